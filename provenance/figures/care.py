"""Care of a finished piece in plain words, from its fibres, structure, kind, dyes and mordants.

In: names as the maker wrote them. Out: sentences for the page and certificate, a short line for
the hang-tag, and conservators' bands. The sentences and their sources are in `reference.care`;
here it is only decided which apply. Words only, never symbols; hazards of the dye-pot are for
the maker's papers (`figures.dyes.dosing.hazards`), not for the buyer.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence

from provenance.figures.dyes.dosing import is_wool_like, listed
from provenance.figures.light.guidance import DyeInPiece, rating
from provenance.reference.care import Sentence, bands, sentences
from provenance.reference.dyes import Dye, find_dye
from provenance.reference.mordants import family_of
from provenance.reference.sourced import Note

TAG_LENGTH = 120
UNWASHED = frozenset({"rug", "hanging"})
STRUCTURES = (
    (r"\bpile|knotted|tuft|\brya\b", "pile"),
    (r"loop|boucl", "looped"),
    (r"\blace|leno|gauze|\bopen", "open weave"),
    (r"\bfelt|fulled", "felted"),
)
Choice = tuple[str, Sequence[str]]


def care_words(
    fibres: Sequence[str],
    structure: str,
    kind: str,
    dyes: Sequence[str],
    mordants: Sequence[str],
) -> tuple[str, ...]:
    """Care sentences for one piece, cleaning first; dyes by name or species."""
    return tuple(
        _filled(sentence.words, names)
        for sentence, names in _care(fibres, structure, kind, dyes, mordants)
    )


def short_care(
    fibres: Sequence[str],
    structure: str,
    kind: str,
    dyes: Sequence[str],
    mordants: Sequence[str],
) -> str:
    """The care line of a hang-tag: whole sentences, 120 characters at most."""
    line = ""
    chosen = [sentence for sentence, _ in _care(fibres, structure, kind, dyes, mordants)]
    is_fugitive = any(sentence.key == "fugitive" for sentence in chosen)
    for sentence in sorted(chosen, key=_urgency):
        if is_fugitive and sentence.key == "sun":
            continue
        longer = f"{line} {sentence.short}".strip()
        if sentence.short and len(longer) <= TAG_LENGTH:
            line = longer
    return line


def conservation() -> tuple[Note, ...]:
    """Climate, pests and ultraviolet for a gallery or collector, each with its source."""
    return bands()


def _care(
    fibres: Sequence[str],
    structure: str,
    kind: str,
    dyes: Sequence[str],
    mordants: Sequence[str],
) -> list[tuple[Sentence, Sequence[str]]]:
    known = sentences()
    is_washed = kind not in UNWASHED
    keys = (
        *_cleaning(fibres, kind, is_dyed=bool(dyes)),
        *((key, ()) for pattern, key in STRUCTURES if re.search(pattern, structure.casefold())),
        *_for_dyes(dyes, mordants, is_washed=is_washed),
        *_keeping(fibres, kind, is_dyed=bool(dyes)),
    )
    return [(known[key], names) for key, names in keys]


def _cleaning(fibres: Sequence[str], kind: str, *, is_dyed: bool) -> Iterator[Choice]:
    if kind == "rug":
        yield from (("clean rug", ()), ("turn rug", ()))
    elif kind == "hanging":
        yield from (("clean hanging", ()), ("hang", ()))
    else:
        if kind == "cushion":
            yield "cushion", ()
        yield _wash(fibres, is_dyed=is_dyed), ()
        if is_dyed or _has_animal(fibres):
            yield "dry", ()


def _wash(fibres: Sequence[str], *, is_dyed: bool) -> str:
    if _has_silk(fibres):
        return "wash silk"
    if any(map(is_wool_like, fibres)):
        return "wash wool"
    return "wash plant" if is_dyed else "wash undyed plant"


def _for_dyes(dyes: Sequence[str], mordants: Sequence[str], *, is_washed: bool) -> Iterator[Choice]:
    rows = {name: dye for name in dict.fromkeys(dyes) if (dye := find_dye(name))}
    marked = (
        ("crocking" if is_washed else "crocking unwashed", [n for n in rows if rows[n].crocking]),
        ("acid alkali", [rows[n].name for n in rows if rows[n].acid_alkali]),
        ("tannin", [rows[n].name for n in rows if rows[n].on_wool == "tannin"]),
        ("fugitive", [n for n, dye in rows.items() if _is_fugitive(dye, mordants)]),
    )
    for key, names in marked:
        if names:
            yield key, [rows[name].name if name in rows else name for name in names]
    families = {family_of(name) for name in mordants}
    yield from ((family, ()) for family in ("iron", "tin") if family in families)


def _is_fugitive(dye: Dye, mordants: Sequence[str]) -> bool:
    """Rated, and in class high (blue wool 1 to 3) at its best."""
    rated = rating(DyeInPiece(dye.name, mordants=frozenset(mordants)))
    return rated.is_rated and rated.blue_wool[1] <= 3


def _keeping(fibres: Sequence[str], kind: str, *, is_dyed: bool) -> Iterator[Choice]:
    if _has_animal(fibres):
        yield "moth", ()
    if kind in UNWASHED:
        yield "roll", ()
    undyed = "undyed" if _has_animal(fibres) else "undyed plant"
    yield ("sun" if is_dyed else undyed), ()


def _has_silk(fibres: Sequence[str]) -> bool:
    return any("silk" in fibre.casefold() for fibre in fibres)


def _has_animal(fibres: Sequence[str]) -> bool:
    return _has_silk(fibres) or any(map(is_wool_like, fibres))


def _filled(words: str, names: Sequence[str]) -> str:
    said = words.format(dyes=listed(list(dict.fromkeys(names))))
    return said[:1].upper() + said[1:]


def _urgency(sentence: Sentence) -> int:
    """What a tag must say first: how to clean, what may rub off, sun, then the rest."""
    order = ("wash", "clean", "crocking", "dry", "fugitive", "sun", "acid alkali", "iron", "moth")
    return next((i for i, key in enumerate(order) if sentence.key.startswith(key)), len(order))
