"""Care of a finished piece, from its fibres, structure, kind, dyes and mordants.

In: names as the maker wrote them. Out: sentences for the page and certificate, and those that a
hang-tag chooses from, to be told by `language/`. Their sources are in `reference.care`; here it is
only decided which apply. Words only, never symbols; hazards of the dye-pot are for the maker's
papers (`figures.dyes.dosing.hazards`), not for the buyer.
"""

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from provenance.figures.dyes.dosing import stuff
from provenance.figures.light.guidance import DyeInPiece, rating
from provenance.problems import Said
from provenance.reference.care import tag_sentences
from provenance.reference.dyes import Dye, find_dye
from provenance.reference.fibres import find_fibre
from provenance.reference.mordants import family_of

TAG_LENGTH = 120
UNWASHED = frozenset({"rug", "hanging"})
STRUCTURES = (
    (r"\bpile|knotted|tuft|\brya\b", "pile"),
    (r"loop|boucl", "looped"),
    (r"\blace|leno|gauze|\bopen", "open_weave"),
    (r"\bfelt|fulled", "felted"),
)
# What a tag must say first: how to clean, what may rub off, sun, then the rest.
URGENCY = ("wash", "clean", "crocking", "dry", "fugitive", "sun", "acid_alkali", "iron", "moth")
Choice = tuple[str, Sequence[str]]


@dataclass(frozen=True, slots=True)
class Cloth:
    """What decides the care of a piece; dyes by name or species."""

    fibres: Sequence[str]
    structure: str
    kind: str
    dyes: Sequence[str]
    mordants: Sequence[str]

    @property
    def is_washed(self) -> bool:
        return self.kind not in UNWASHED

    @property
    def has_silk(self) -> bool:
        return any(found.group == "silk" for found in map(find_fibre, self.fibres) if found)

    @property
    def has_animal(self) -> bool:
        return any(found.is_animal for found in map(find_fibre, self.fibres) if found)


def care_words(cloth: Cloth) -> tuple[Said, ...]:
    """Care sentences for one piece, cleaning first."""
    return tuple(_said(key, names) for key, names in _care(cloth))


def short_care(cloth: Cloth) -> Said:
    """The care line of a hang-tag: whole sentences, 120 signs at most."""
    keys = [key for key, _ in _care(cloth)]
    left_out = "sun" if "fugitive" in keys else ""
    shown = [key for key in keys if key in tag_sentences() and key != left_out]
    sentences = tuple(Said(f"care_short.{key}") for key in sorted(shown, key=_urgency))
    return Said("form.fitting", sentences=sentences, most=TAG_LENGTH)


def _said(key: str, names: Sequence[str]) -> Said:
    if not names:
        return Said(f"care.{key}")
    dyes = tuple(map(stuff, dict.fromkeys(names)))
    return Said("form.opening", words=Said(f"care.{key}", dyes=dyes))


def _care(cloth: Cloth) -> Iterator[Choice]:
    yield from _cleaning(cloth)
    for pattern, key in STRUCTURES:
        if re.search(pattern, cloth.structure.casefold()):
            yield key, ()
    yield from _for_dyes(cloth)
    yield from _keeping(cloth)


def _cleaning(cloth: Cloth) -> Iterator[Choice]:
    if cloth.kind == "rug":
        yield from (("clean_rug", ()), ("turn_rug", ()))
    elif cloth.kind == "hanging":
        yield from (("clean_hanging", ()), ("hang", ()))
    else:
        if cloth.kind == "cushion":
            yield "cushion", ()
        yield _wash(cloth), ()
        if cloth.dyes or cloth.has_animal:
            yield "dry", ()


def _wash(cloth: Cloth) -> str:
    if cloth.has_animal:
        return "wash_silk" if cloth.has_silk else "wash_wool"
    return "wash_plant" if cloth.dyes else "wash_undyed_plant"


def _for_dyes(cloth: Cloth) -> Iterator[Choice]:
    rows = {name: dye for name in cloth.dyes if (dye := find_dye(name))}
    crocking = "crocking" if cloth.is_washed else "crocking_unwashed"
    marked = (
        (crocking, [dye.name for dye in rows.values() if dye.crocking]),
        ("acid_alkali", [dye.name for dye in rows.values() if dye.acid_alkali]),
        ("tannin", [dye.name for dye in rows.values() if dye.on_wool == "tannin"]),
        ("fugitive", [dye.name for dye in rows.values() if _is_fugitive(dye, cloth.mordants)]),
    )
    yield from ((key, names) for key, names in marked if names)
    families = {family_of(name) for name in cloth.mordants}
    yield from ((family, ()) for family in ("iron", "tin") if family in families)


def _is_fugitive(dye: Dye, mordants: Sequence[str]) -> bool:
    """Rated, and in class high (blue wool 1 to 3) at its best."""
    rated = rating(DyeInPiece(dye.name, mordants=frozenset(mordants)))
    return rated.is_rated and rated.blue_wool[1] <= 3


def _keeping(cloth: Cloth) -> Iterator[Choice]:
    if cloth.has_animal:
        yield "moth", ()
    if not cloth.is_washed:
        yield "roll", ()
    undyed = "undyed" if cloth.has_animal else "undyed_plant"
    yield ("sun" if cloth.dyes else undyed), ()


def _urgency(key: str) -> int:
    return next((i for i, start in enumerate(URGENCY) if key.startswith(start)), len(URGENCY))
