"""Care of a finished piece, from its fibres, structure, kind, dyes and mordants.

In: names as the maker wrote them. Out: sentences for the page and certificate, those that a
hang-tag chooses from, and those for a gallery's condition report, to be told by `language/`. Their
sources are in `tables/care.toml`; here it is only decided which apply. Words only: the care symbols
of ISO 3758 are licensed trademarks (ginetex.net) and are never drawn. Hazards of the dye-pot are
for the maker's papers (`figures.dyes.dosing.hazards`), not for the buyer.
"""

import re
from collections.abc import Sequence
from dataclasses import dataclass

from provenance.figures.dyes.dosing import stuff
from provenance.figures.light.rating import DyeInPiece, rating
from provenance.problems import SILENCE, Said
from provenance.reference.dyes import Dye, find_dye
from provenance.reference.fibres import find_fibre
from provenance.reference.loader import rows
from provenance.reference.mordants import family_of

TAG_LENGTH = 84
UNWASHED = frozenset({"rug", "hanging"})
STRUCTURES = (
    (r"\bpile|knotted|tuft|\brya\b", "pile"),
    (r"loop|boucl", "looped"),
    (r"\blace|leno|gauze|\bopen", "open_weave"),
    (r"\bfelt|fulled", "felted"),
)
# What a gallery is told beside: of every piece, and of one that moth eats.
KEEPING, AGAINST_MOTH = ("climate", "ultraviolet"), ("moth_life", "moth_freezing")
# What a tag must say first: how to clean, sun, what may rub off, then the rest.
URGENCY = ("wash", "clean", "fugitive", "sun", "crocking", "dry", "acid_alkali", "iron", "moth")
LIGHT = frozenset({"fugitive", "sun"})
Choices = dict[str, Sequence[str]]


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
    return tuple(_said(key, names) for key, names in _care(cloth).items())


def keeping_words(cloth: Cloth) -> tuple[Said, ...]:
    """What whoever keeps a piece for others is told: climate, ultraviolet, moth, freezing."""
    told = KEEPING + (AGAINST_MOTH if cloth.has_animal else ())
    return tuple(Said(f"conservation.{about}") for about in told)


def tag_sentences() -> frozenset[str]:
    """Keys of the sentences that have shorter words for a hang-tag."""
    return frozenset(row["key"] for row in rows("care") if row.get("on_tag"))


def short_care(cloth: Cloth, light: Said = SILENCE) -> Said:
    """The care line of a hang-tag: whole sentences, 84 signs at most, three lines of a tag.

    That is the piece's light guidance in a line: it takes the place of what dyes alone say.
    """
    keys = [key for key in _care(cloth) if key in tag_sentences() and not (light and key in LIGHT)]
    if "fugitive" in keys and "sun" in keys:
        keys.remove("sun")
    said = {key: Said(f"care_short.{key}") for key in keys} | ({"sun": light} if light else {})
    in_turn = sorted(said, key=_urgency)
    return Said("form.fitting", sentences=tuple(said[key] for key in in_turn), most=TAG_LENGTH)


def _said(key: str, names: Sequence[str]) -> Said:
    if not names:
        return Said(f"care.{key}")
    dyes = tuple(map(stuff, dict.fromkeys(names)))
    return Said("form.opening", words=Said(f"care.{key}", dyes=dyes))


def _care(cloth: Cloth) -> Choices:
    """Keys of the sentences that apply, in their order, with the dyes that each names."""
    structure = cloth.structure.casefold()
    made = (key for pattern, key in STRUCTURES if re.search(pattern, structure))
    before = dict.fromkeys((*_cleaning(cloth), *made), ())
    return {**before, **_for_dyes(cloth), **dict.fromkeys(_keeping(cloth), ())}


def _cleaning(cloth: Cloth) -> list[str]:
    if cloth.kind in UNWASHED:
        return [f"clean_{cloth.kind}", "turn_rug" if cloth.kind == "rug" else "hang"]
    first = ["cushion"] if cloth.kind == "cushion" else []
    last = ["dry"] if cloth.dyes or cloth.has_animal else []
    return [*first, _wash(cloth), *last]


def _wash(cloth: Cloth) -> str:
    if cloth.has_animal:
        return "wash_silk" if cloth.has_silk else "wash_wool"
    return "wash_plant" if cloth.dyes else "wash_undyed_plant"


def _for_dyes(cloth: Cloth) -> Choices:
    known = [dye for dye in map(find_dye, cloth.dyes) if dye]
    marked = {
        "crocking" if cloth.is_washed else "crocking_unwashed": [d for d in known if d.crocking],
        "acid_alkali": [dye for dye in known if dye.acid_alkali],
        "tannin": [dye for dye in known if dye.on_wool == "tannin"],
        "fugitive": [dye for dye in known if _is_fugitive(dye, cloth.mordants)],
    }
    families = {family_of(name) for name in cloth.mordants}
    metals: Choices = {family: () for family in ("iron", "tin") if family in families}
    return {key: [dye.name for dye in found] for key, found in marked.items() if found} | metals


def _is_fugitive(dye: Dye, mordants: Sequence[str]) -> bool:
    """Known, and in class high (blue wool 1 to 3) at its best."""
    rated = rating(DyeInPiece(dye.name, mordants=frozenset(mordants)))
    return rated.basis != "assumed" and rated.blue_wool[1] <= 3


def _keeping(cloth: Cloth) -> list[str]:
    moth = ["moth"] if cloth.has_animal else []
    roll = [] if cloth.is_washed else ["roll"]
    undyed = "undyed" if cloth.has_animal else "undyed_plant"
    return [*moth, *roll, "sun" if cloth.dyes else undyed]


def _urgency(key: str) -> int:
    return next((i for i, start in enumerate(URGENCY) if key.startswith(start)), len(URGENCY))
