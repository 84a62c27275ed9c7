"""Fibre label for the United States.

In: a piece. Out: its label lines. Rules: Wool Products Labeling Act (15 USC 68-68j) with
16 CFR 300, Textile Fiber Products Identification Act (15 USC 70-70k) with 16 CFR 303. Prompts
to check, never a verdict.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from fractions import Fraction

from provenance.figures.fibre.piecework import (
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

WOOL_ACT = "Wool Act (15 USC 68; 16 CFR 300)"
TEXTILE_ACT = "Textile Act (15 USC 70; 16 CFR 303)"

NAMED_FROM = Fraction(5, 100)  # 15 USC 70b(b): a fibre of 5 % or more goes by its name
ORNAMENT_LIMIT = Fraction(5, 100)  # 16 CFR 303.26, 300.16
EXCLUSIVE = "—Exclusive of Ornamentation"

_NAME_AND_ORIGIN = (
    "A US label also carries your business name (or RN) and the country of origin, the origin in "
    "front (15 USC 70b(b), 68b(a)(2)); in English, without abbreviations."
)
_ORNAMENT = "Decoration of up to 5 % was left out, and the label says so (16 CFR 303.26, 300.16)."
_LINING = (
    "A lining that does not warm and of which you claim no fibre need not be stated "
    "(15 USC 70j(a))."
)
_HANGING = (
    "Whether a wall hanging needs a US fibre label was not found in the rules: label it, or ask."
)
_BAG = "Textiles in handbags are exempt (15 USC 70j(a)); a content you state must still be true."
_RUNNER = "Made for the floor, a runner of wool is a rug: the Textile Act holds (15 USC 68j)."
_PILE = "Pile and back cannot be told apart: give the pile a line of its own (use: pile)."
_RUG_WOOL = "In a rug, wool under 5 % falls under 'other fiber' (15 USC 70b(b)(2)): check."


def us_label(work: Piecework) -> FibreLabel:
    """The label of a piece sold in the United States."""
    counted = work.counted()
    parts = without_ornament(counted, ORNAMENT_LIMIT)
    is_wool = us_regime(work) == WOOL_ACT
    sections = tuple(
        _section(name, members, is_wool=is_wool) for name, members in by_section(parts).items()
    )
    lines = section_lines(sections)
    if len(parts) < len(counted):
        lines = tuple(f"{line}{EXCLUSIVE}" for line in lines[:1]) + lines[1:]
    return FibreLabel("US", us_regime(work), lines, sections, _prompts(work, counted, parts))


def us_regime(work: Piecework) -> str:
    """Wool Act for whatever holds wool, but rugs and carpets are left to the Textile Act (68j)."""
    has_wool = has_any(work.counted(), lambda part: fibre_of(part).is_wool_act)
    return WOOL_ACT if has_wool and not work.is_rug else TEXTILE_ACT


def _section(name: str, parts: tuple[FibrePart, ...], *, is_wool: bool) -> Section:
    content = _content(parts, is_wool=is_wool)
    pile = tuple(part for part in parts if part.roles == {"pile"})
    back = tuple(part for part in parts if "pile" not in part.roles)
    if not pile or not back or len(pile) + len(back) < len(parts) or len(content) == 1:
        return Section(name, content, _words(content))
    return Section(name, content, _pile_and_back(pile, back, is_wool=is_wool))


def _pile_and_back(
    pile: tuple[FibrePart, ...], back: tuple[FibrePart, ...], *, is_wool: bool
) -> str:
    """Pile and back by themselves, with the share of each in the cloth (16 CFR 303.24)."""
    split = {share.fibre: share.percent for share in apportion({"pile": pile, "back": back})}
    return (
        f"{_words(_content(pile, is_wool=is_wool))} Pile "
        f"{_words(_content(back, is_wool=is_wool))} Back "
        f"(Back constitutes {split['back']}% of fabric and pile {split['pile']}%)"
    )


def _content(parts: Sequence[FibrePart], *, is_wool: bool) -> tuple[FibreShare, ...]:
    """Shares by US name; fibres under 5 % pooled as "other", unknown fibres and others last."""
    groups = grouped(parts, lambda part: fibre_of(part).us)
    minor = [name for name, some in groups.items() if _is_minor(some, parts, is_wool=is_wool)]
    pooled = "Other Fiber" if len(minor) == 1 else "Other Fibers"
    named = grouped(parts, lambda part: pooled if fibre_of(part).us in minor else fibre_of(part).us)
    last = {name for name, some in named.items() if has_any(some, lambda p: fibre_of(p).is_unknown)}
    return tuple(
        sorted(apportion(named), key=lambda share: (share.fibre == pooled, share.fibre in last))
    )


def _is_minor(some: Sequence[FibrePart], parts: Sequence[FibrePart], *, is_wool: bool) -> bool:
    """Under 5 %, and neither wool under the Wool Act (68b(a)(2)(A)) nor there for a function."""
    keeps_name = all(
        part.is_functional or (is_wool and fibre_of(part).is_wool_act) for part in some
    )
    return not keeps_name and share_of(some, parts) < NAMED_FROM


def _words(content: Sequence[FibreShare]) -> str:
    return statement(content, "%", " / ")


def _prompts(
    work: Piecework, counted: Sequence[FibrePart], parts: Sequence[FibrePart]
) -> tuple[str, ...]:
    is_mixed = has_any(parts, lambda part: "pile" in part.roles and len(part.roles) > 1)
    has_wool = has_any(parts, lambda part: fibre_of(part).is_wool_act)
    return asked(
        (
            (len(parts) < len(counted), _ORNAMENT),
            (is_mixed, _PILE),
            (has_any(parts, lambda part: part.roles == {LINING}), _LINING),
            (work.kind == "hanging", _HANGING),
            (work.kind == "bag", _BAG),
            (work.kind == "runner" and has_wool, _RUNNER),
            (work.is_rug and _hides_wool(parts), _RUG_WOOL),
            (True, _NAME_AND_ORIGIN),
        )
    )


def _hides_wool(parts: Sequence[FibrePart]) -> bool:
    plain = [replace(part, is_functional=False) for part in parts]
    wools = grouped([p for p in plain if fibre_of(p).is_wool_act], lambda p: fibre_of(p).us)
    return any(_is_minor(some, plain, is_wool=False) for some in wools.values())
