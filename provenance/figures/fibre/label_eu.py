"""Fibre label for the European Union and the United Kingdom.

In: a piece. Out: its label lines. Rules: Regulation (EU) No 1007/2011 (articles named beside
each), in the UK as assimilated law with the Textile Products (Labelling and Fibre Composition)
Regulations 2012. Prompts to check, never a verdict.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction

from provenance.figures.fibre.piecework import (
    BODY,
    LINING,
    FibreLabel,
    Piecework,
    Section,
    asked,
    by_section,
    has_any,
    section_lines,
    share_of,
    without_ornament,
)
from provenance.figures.fibre.shares import (
    FibrePart,
    FibreShare,
    apportion,
    fibre_of,
    grouped,
    statement,
)

REGIMES = {
    "EU": "Regulation (EU) No 1007/2011",
    "UK": "Textile Products (Labelling and Fibre Composition) Regulations 2012, "
    "with Regulation (EU) No 1007/2011 as assimilated",
}
ANIMAL_PARTS = "Contains non-textile parts of animal origin"  # Art. 12, word for word
UNSPECIFIED = "unspecified textile composition"  # Art. 9(4)

ORNAMENT_LIMIT = Fraction(7, 100)  # Art. 10
EXTRANEOUS_LIMIT = Fraction(2, 100)  # Art. 7, 20
EXTRANEOUS_LIMIT_CARDED = Fraction(5, 100)
EXTRANEOUS_LIMIT_VIRGIN = Fraction(3, 1000)  # Art. 8
VIRGIN_FROM = Fraction(25, 100)  # Art. 8
OTHER_FIBRES_LIMIT = Fraction(15, 100)  # Art. 9(2)
STATED_FROM = Fraction(30, 100)  # Art. 11
UNION_LINEN_FROM = Fraction(40, 100)  # Art. 9(3)

_ORNAMENT = (
    "Decoration of up to 7 % was left out: it must be visible, purely decorative and separable "
    "(Art. 10)."
)
_EXTRANEOUS = (
    "Stray fibres were left out: only where they cannot be avoided and are not added as a routine "
    "(Art. 7)."
)
_VIRGIN = (
    "'Virgin wool': all the wool must be new, spun or felted for this piece only; blended in "
    "carding, with one other fibre only (Art. 8)."
)
_NOT_VIRGIN = (
    "'Virgin wool' was not used: all the wool must be new, at least 25 % of the whole, with at "
    "most 0.3 % of stray fibres (Art. 8)."
)
_RECYCLED = (
    "'Recycled' is no fibre name on the list (Annex I): say it beside the content, not in it."
)
_NETTLE = "The list (Annex I) has no name for nettle: ask your trading-standards office."
_UNKNOWN = "Unknown fibres may be stated so only where the content is hard to tell (Art. 9)."
_SURFACE = "Of a floor covering only the use-surface counts (Annex VII), stated by name (Annex IV)."
_RUG_FACE = (
    "If the wear-side hides the warp, write 'weft-faced' in the structure: hidden yarns of a "
    "floor covering do not count (Annex VII)."
)
_RUNNER = (
    "Made for the floor, a runner is a floor covering: only its use-surface counts (Annex VII)."
)
_UNION = (
    "May also be called 'cotton linen union' with 'pure cotton warp — pure linen weft' beside "
    "it (Art. 9(3))."
)
_PLACE = {
    "EU": "In the language of the country of sale, without abbreviations, all in one size of "
    "letter, and seen before an online sale (Art. 14, 16).",
    "UK": "In English, without abbreviations, seen before an online sale; a swing ticket is "
    "enough.",
}


@dataclass(frozen=True, slots=True)
class _Content:
    shares: tuple[FibreShare, ...]
    words: str


def eu_label(work: Piecework, market: str) -> FibreLabel:
    """The label of a piece sold in the EU or the UK."""
    counted = work.counted()
    parts = without_ornament(counted, ORNAMENT_LIMIT)
    surface = _surface(work, parts)
    sections = tuple(
        Section(name, content.shares, content.words)
        for name, members in by_section(surface).items()
        for content in [_content(work, members, market)]
    )
    lines = section_lines(sections)
    is_surface = bool(lines) and _content(work, parts, market).words != lines[0]
    if work.is_rug and len(surface) < len(parts) and is_surface:
        lines = (f"Use-surface: {lines[0]}", *lines[1:])
    if work.has_animal_parts:
        lines = (*lines, ANIMAL_PARTS)
    about = (*_prompts(work, counted, market), *_section_prompts(sections, parts))
    return FibreLabel(market, REGIMES[market], lines, sections, asked([(True, w) for w in about]))


def must_be_stated(share: Fraction, *, is_main_lining: bool) -> bool:
    """Whether a component of different content needs its own statement (Art. 11)."""
    return is_main_lining or share >= STATED_FROM


def stray_limit(work: Piecework) -> Fraction:
    """The share of unavoidable stray fibres that need not be named (Art. 7, 20)."""
    return EXTRANEOUS_LIMIT_CARDED if work.spun == "carded" else EXTRANEOUS_LIMIT


def says_virgin(work: Piecework, parts: Sequence[FibrePart]) -> bool:
    """Whether the wool of these parts may be called virgin wool (Art. 8)."""
    wool = [part for part in parts if fibre_of(part).eu == "wool"]
    stray = [part for part in parts if part.is_extraneous]
    return (
        bool(wool)
        and all(part.is_virgin and not fibre_of(part).is_recycled for part in wool)
        and share_of(wool, parts) >= VIRGIN_FROM
        and share_of(stray, parts) <= EXTRANEOUS_LIMIT_VIRGIN
    )


def _surface(work: Piecework, parts: tuple[FibrePart, ...]) -> tuple[FibrePart, ...]:
    """The parts that are walked on, for a rug; all parts for anything else (Annex VII)."""
    return _seen(work, parts) if work.is_rug else parts


def _seen(work: Piecework, parts: tuple[FibrePart, ...]) -> tuple[FibrePart, ...]:
    """The parts on the right side: the pile, or the yarn that hides the other one."""
    hidden = frozenset({LINING})
    if has_any(parts, lambda part: "pile" in part.roles):
        hidden |= {"warp", "weft", "ground"}
    elif work.is_faced("weft"):
        hidden |= {"warp"}
    elif work.is_faced("warp"):
        hidden |= {"weft"}
    seen = tuple(part for part in parts if not part.roles <= hidden)
    return seen or parts


def _content(work: Piecework, parts: Sequence[FibrePart], market: str) -> _Content:
    stray = [part for part in parts if part.is_extraneous]
    rest = [part for part in parts if not part.is_extraneous]
    kept = rest if rest and share_of(stray, parts) <= stray_limit(work) else parts
    unknown = [part for part in kept if fibre_of(part).is_unknown]
    wool = "virgin wool" if says_virgin(work, parts) else "wool"

    def named(part: FibrePart) -> str:
        name = fibre_of(part).on_label(market)
        return wool if name == "wool" else name

    shares = apportion(grouped(kept, named))
    is_unspecified = share_of(unknown, kept) > OTHER_FIBRES_LIMIT
    return _Content(shares, UNSPECIFIED if is_unspecified else statement(shares, " %", ", "))


def _prompts(work: Piecework, counted: tuple[FibrePart, ...], market: str) -> list[str]:
    parts = without_ornament(counted, ORNAMENT_LIMIT)
    surface = _surface(work, parts)
    is_virgin = says_virgin(work, surface)
    fibres = [fibre_of(part) for part in surface]
    found = (
        (len(parts) < len(counted), _ORNAMENT),
        (len(surface) < len(parts), _SURFACE),
        (work.is_rug and len(surface) == len(parts) and _may_hide_warp(parts), _RUG_FACE),
        (work.kind == "runner", _RUNNER),
        (_drops_stray(work, surface), _EXTRANEOUS),
        (is_virgin, _VIRGIN),
        (not is_virgin and has_any(surface, lambda part: part.is_virgin), _NOT_VIRGIN),
        (any(fibre.is_recycled for fibre in fibres), _RECYCLED),
        (any(fibre.name == "nettle" for fibre in fibres), _NETTLE),
        (any(fibre.is_unknown for fibre in fibres), _UNKNOWN),
        (_is_union(surface), _UNION),
    )
    said = [words for applies, words in found if applies]
    return [*said, *_hanging_prompt(work, parts, market), _PLACE[market]]


def _section_prompts(sections: Sequence[Section], parts: Sequence[FibrePart]) -> list[str]:
    """Sections that may be left off the label (Art. 11); they are stated all the same."""
    if len({section.words for section in sections}) < 2:
        return []
    members = by_section(parts)
    return [
        f"The {section.name} may be left off: under 30 % and no main lining (Art. 11)."
        for section in sections
        if section.name != BODY
        and not must_be_stated(
            share_of(members[section.name], parts), is_main_lining=section.name == LINING
        )
    ]


def _hanging_prompt(work: Piecework, parts: tuple[FibrePart, ...], market: str) -> list[str]:
    """Hidden yarns of hangings may not count; which ones is for the maker to say (Annex VII)."""
    seen = _seen(work, parts)
    if work.kind != "hanging" or len(seen) == len(parts):
        return []
    words = _content(work, seen, market).words
    return [
        "Yarns of a hanging that are not on its right side are left out (Annex VII): if that is "
        f"so here, the line for the cloth reads '{words}'."
    ]


def _drops_stray(work: Piecework, parts: Sequence[FibrePart]) -> bool:
    stray = [part for part in parts if part.is_extraneous]
    return bool(stray) and len(stray) < len(parts) and share_of(stray, parts) <= stray_limit(work)


def _may_hide_warp(parts: Sequence[FibrePart]) -> bool:
    return len({fibre_of(part).eu for part in parts}) > 1 and has_any(
        parts, lambda part: part.roles == {"warp"}
    )


def _is_union(parts: Sequence[FibrePart]) -> bool:
    """Cotton warp and linen weft, the linen at least 40 % (Art. 9(3))."""
    found = {(fibre_of(part).name, use) for part in parts for use in part.roles}
    linen = [part for part in parts if fibre_of(part).name == "linen"]
    return found == {("cotton", "warp"), ("linen", "weft")} and (
        share_of(linen, parts) >= UNION_LINEN_FROM
    )
