"""A piece as the label rules see it, and what every market's rules share.

In: the yarns of a piece with what they do, its kind and structure. Out: the parts that count,
sorted by section (body, lining), and `FibreLabel`. The rules themselves are in `label_us.py` and
`label_eu.py`.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction

from provenance.figures.fibre.shares import FibrePart, FibreShare, fibre_of, woven
from provenance.problems import Said, chained

BODY = "body"
LINING = "lining"
ANIMAL_PARTS = Said("content.animal_parts")  # Regulation (EU) No 1007/2011 Art. 12, word for word
LOCAL_RULES = Said("label_note.local_rules")
_FACED = {  # as weavers name it, in English and in German
    "weft": ("weft-faced", "schussrips", "schusssichtig"),
    "warp": ("warp-faced", "kettrips", "kettsichtig"),
}


@dataclass(frozen=True, slots=True)
class Piecework:
    """Everything of a piece that decides its fibre label.

    `spun` is carded, combed or "" (not known). `has_animal_parts`: leather, horn, bone, shell,
    down. Not `is_certain`: how much of each fibre is in it is not known well enough to state
    shares.
    """

    parts: tuple[FibrePart, ...]
    kind: str
    structure: str = ""
    has_animal_parts: bool = False
    spun: str = ""
    is_certain: bool = True

    @property
    def is_rug(self) -> bool:
        return self.kind == "rug"

    def counted(self) -> tuple[FibrePart, ...]:
        """The parts that are fibre content."""
        return woven(self.parts)

    def stated(self, section: Section, told: Callable[[Sequence[FibreShare]], Said]) -> Section:
        """A section as it may be stated: without shares where they are not certain."""
        if self.is_certain or len(section.shares) == 1:
            return section
        unsure = tuple(replace(one, is_certain=False) for one in section.shares)
        return Section(section.name, unsure, told(unsure))

    def is_faced(self, yarn: str) -> bool:
        """Whether the structure says that `yarn` (warp, weft) hides the other one."""
        return is_faced(self.structure, yarn)


def is_faced(structure: str, yarn: str) -> bool:
    """Whether a structure says that `yarn` (warp, weft) hides the other one."""
    said = "-".join(structure.casefold().split())
    return any(word in said for word in _FACED[yarn])


@dataclass(frozen=True, slots=True)
class Section:
    """One part of a piece that is stated by itself, and how it is stated."""

    name: str
    shares: tuple[FibreShare, ...]
    words: Said

    @property
    def said(self) -> Said:
        """Its name, to be told."""
        return Said("form.named", group="section", word=self.name)


@dataclass(frozen=True, slots=True)
class FibreLabel:
    """What a fibre label in one market should say, by which law, and what to check."""

    market: str
    regime: Said
    lines: tuple[Said, ...]
    sections: tuple[Section, ...]
    prompts: tuple[Said, ...]

    @property
    def text(self) -> Said:
        """All lines in one, in the language that the market's law asks for."""
        lines = chained("content.stop", self.lines)
        return Said("form.label", market=self.market, words=lines)


def share_of(some: Sequence[FibrePart], whole: Sequence[FibrePart]) -> Fraction:
    """What share of `whole` the weight of `some` is; 0 of nothing."""
    one, everything = (sum((p.grams for p in each), Fraction(0)) for each in (some, whole))
    return one / everything if everything else Fraction(0)


def is_embroidered(parts: Sequence[FibrePart]) -> bool:
    """Whether decoration is of other fibre than what it stands on."""
    ornament = {fibre_of(part).name for part in parts if part.roles == {"ornament"}}
    return bool(ornament - {fibre_of(part).name for part in parts if part.roles != {"ornament"}})


def without_ornament(parts: tuple[FibrePart, ...], limit: Fraction) -> tuple[FibrePart, ...]:
    """The parts without decoration, where it is light enough to be left out by law.

    Decoration of fibres that the rest is made of anyway is counted: leaving it out hides nothing.
    """
    ornament = tuple(part for part in parts if part.roles == {"ornament"})
    rest = tuple(part for part in parts if part.roles != {"ornament"})
    is_light = bool(rest) and share_of(ornament, parts) <= limit
    return rest if is_light and is_embroidered(parts) else parts


def without(
    parts: tuple[FibrePart, ...], is_out: Callable[[FibrePart], bool]
) -> tuple[tuple[FibrePart, ...], frozenset[str]]:
    """The parts that stay, and what those do that are left out; where all would go, all stay."""
    rest = tuple(part for part in parts if not is_out(part))
    gone = frozenset(role for part in parts if is_out(part) for role in part.roles)
    return (rest, gone) if rest else (parts, frozenset())


def by_section(parts: Sequence[FibrePart]) -> dict[str, tuple[FibrePart, ...]]:
    """The parts by the section they are stated in, the body first."""
    found: dict[str, tuple[FibrePart, ...]] = {}
    for part in sorted(parts, key=lambda part: _section(part) != BODY):
        found[_section(part)] = (*found.get(_section(part), ()), part)
    return found


def section_lines(sections: Sequence[Section]) -> tuple[Said, ...]:
    """One line where all sections say the same, else a line for each with its name."""
    if len({section.words for section in sections}) <= 1:
        return tuple(section.words for section in sections[:1])
    return tuple(
        Said("content.section", name=Said("form.opening", words=each.said), content=each.words)
        for each in sections
    )


def notes(found: Mapping[str, bool]) -> tuple[Said, ...]:
    """The notes that apply, by their keys."""
    return tuple(Said(f"label_note.{key}") for key, applies in found.items() if applies)


def _section(part: FibrePart) -> str:
    return LINING if part.roles == {LINING} else part.section or BODY
