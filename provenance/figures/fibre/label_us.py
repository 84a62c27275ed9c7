"""Fibre label for the United States, and what its rules ask of tags and of cashmere.

In: a piece. Out: its label lines, to be told in English. Rules: Wool Products Labeling Act
(15 USC 68-68j) with 16 CFR 300, Textile Fiber Products Identification Act (15 USC 70-70k) with
16 CFR 303. Notes to check, never a verdict.
"""

import re
from collections.abc import Sequence
from dataclasses import replace
from decimal import Decimal
from fractions import Fraction

from provenance.figures.fibre.piecework import (
    ANIMAL_PARTS,
    LINING,
    LOCAL_RULES,
    FibreLabel,
    Piecework,
    Section,
    by_section,
    notes,
    section_lines,
    share_of,
    without,
    without_ornament,
)
from provenance.figures.fibre.shares import (
    FibrePart,
    FibreShare,
    apportion,
    fibre_of,
    grouped,
    us_statement,
    woven,
)
from provenance.problems import SILENCE, Said
from provenance.reference.fibres import fibre_names, find_fibre, us_pooled

WOOL_ACT = Said("law.wool_act")
TEXTILE_ACT = Said("law.textile_act")

NAMED_FROM = Fraction(5, 100)  # 15 USC 70b(b): a fibre of 5 % or more goes by its name
ORNAMENT_LIMIT = Fraction(5, 100)  # 16 CFR 303.26, 300.16

_EXEMPT = frozenset({LINING, "filling", "backing"})
_CASHMERE_MICRONS = Decimal(19)
_CASHMERE_COARSE = Decimal(3)
_CASHMERE_VARIATION = Decimal(24)


def us_label(work: Piecework) -> FibreLabel:
    """The label of a piece sold in the United States."""
    counted, gone = without(work.counted(), _is_exempt)
    parts = without_ornament(counted, ORNAMENT_LIMIT)
    # Whatever holds wool; but rugs and carpets are left to the Textile Act (68j).
    is_wool = any(fibre_of(part).is_wool_act for part in counted) and not work.is_rug
    sections = tuple(
        work.stated(_section(name, members, is_wool=is_wool), us_statement)
        for name, members in by_section(parts).items()
    )
    lines = section_lines(sections)
    if len(parts) < len(counted):
        lines = (*(Said("us_content.exclusive", content=line) for line in lines[:1]), *lines[1:])
    if work.has_animal_parts:
        lines = (*lines, ANIMAL_PARTS)
    regime = WOOL_ACT if is_wool else TEXTILE_ACT
    left_out = {
        "us_lining": bool(gone & _EXEMPT),
        "us_trimming": "trimming" in gone,
        "us_ornament": len(parts) < len(counted),
    }
    return FibreLabel("US", regime, lines, sections, (*notes(left_out), *_notes(work, parts)))


def _is_exempt(part: FibrePart) -> bool:
    """Linings, fillings, backings that don't warm and of which nothing is said; trimmings.

    15 USC 70j(a): what is there for structure is exempt, until any statement is made of it.
    """
    is_silent = part.roles <= _EXEMPT and not (part.is_warm or part.is_told)
    return is_silent or part.roles == {"trimming"}


def _section(name: str, parts: tuple[FibrePart, ...], *, is_wool: bool) -> Section:
    content = _content(parts, is_wool=is_wool)
    pile = tuple(part for part in parts if part.roles == {"pile"})
    back = tuple(part for part in parts if "pile" not in part.roles)
    if not pile or not back or len(pile) + len(back) < len(parts) or len(content) == 1:
        return Section(name, content, us_statement(content))
    return Section(name, content, _pile_and_back(pile, back, is_wool=is_wool))


def _pile_and_back(
    pile: tuple[FibrePart, ...], back: tuple[FibrePart, ...], *, is_wool: bool
) -> Said:
    """Pile and back by themselves, with the share of each in the cloth (16 CFR 303.24)."""
    split = {share.fibre: share.percent for share in apportion({"pile": pile, "back": back})}
    return Said(
        "us_content.pile_and_back",
        pile=us_statement(_content(pile, is_wool=is_wool)),
        back=us_statement(_content(back, is_wool=is_wool)),
        pile_share=split["pile"],
        back_share=split["back"],
    )


def _content(parts: Sequence[FibrePart], *, is_wool: bool) -> tuple[FibreShare, ...]:
    """Shares by US name; fibres under 5 % pooled as "other", unknown fibres and others last."""
    groups = grouped(parts, lambda part: fibre_of(part).us)
    minor = [name for name, some in groups.items() if _is_minor(some, parts, is_wool=is_wool)]
    pooled = us_pooled(len(minor))
    named = grouped(parts, lambda part: pooled if fibre_of(part).us in minor else fibre_of(part).us)
    last = {name for name, some in named.items() if any(fibre_of(p).is_unknown for p in some)}
    return tuple(
        sorted(apportion(named), key=lambda share: (share.fibre == pooled, share.fibre in last))
    )


def _is_minor(some: Sequence[FibrePart], parts: Sequence[FibrePart], *, is_wool: bool) -> bool:
    """Under 5 %, and neither wool under the Wool Act (68b(a)(2)(A)) nor there for a function."""
    keeps_name = all(
        part.is_functional or (is_wool and fibre_of(part).is_wool_act) for part in some
    )
    return not keeps_name and share_of(some, parts) < NAMED_FROM


def _notes(work: Piecework, parts: Sequence[FibrePart]) -> tuple[Said, ...]:
    is_mixed = any("pile" in part.roles and len(part.roles) > 1 for part in parts)
    has_wool = any(fibre_of(part).is_wool_act for part in parts)
    found = {
        "us_pile": is_mixed,
        "us_hanging": work.kind == "hanging",
        "us_bag": work.kind == "bag",
        "us_runner": work.kind == "runner" and has_wool,
        "us_rug_wool": work.is_rug and _hides_wool(parts),
        "us_name_and_origin": True,
    }
    return (*notes(found), LOCAL_RULES)


def _hides_wool(parts: Sequence[FibrePart]) -> bool:
    plain = [replace(part, is_functional=False) for part in parts]
    wools = grouped([p for p in plain if fibre_of(p).is_wool_act], lambda p: fibre_of(p).us)
    return any(_is_minor(some, plain, is_wool=False) for some in wools.values())


def tag_note(headline: str, parts: Sequence[FibrePart]) -> Said:
    """What a US tag without the content must add when its words name some fibres but not all.

    16 CFR 303.17(b), 300.24(b). Silence where the words name no fibre, or every one.
    """
    named = {name.removeprefix("recycled ") for name in fibres_named(headline)}
    present = {fibre_of(part).name.removeprefix("recycled ") for part in woven(parts)}
    if not named & present or present <= named:
        return SILENCE
    return Said("us_tag.not_full")


def fibres_named(text: str) -> tuple[str, ...]:
    """The plain names of the fibres that a text mentions, in order, each once."""
    words = sorted(fibre_names(), key=len, reverse=True)
    pattern = r"\b(?:recycled )?(?:" + "|".join(re.escape(word) for word in words) + r")\b"
    found = (find_fibre(match) for match in re.findall(pattern, text, re.IGNORECASE))
    return tuple(dict.fromkeys(fibre.name for fibre in found if fibre))


def cashmere_doubts(
    microns: Decimal, coarse: Decimal = Decimal(0), variation: Decimal | None = None
) -> tuple[Said, ...]:
    """Why a fibre may not be called cashmere in the US (16 CFR 300.19(a)); none: it may.

    Mean diameter in micrometres; weight over 30 µm and coefficient of variation in per cent.
    """
    found = (
        ("diameter", microns, _CASHMERE_MICRONS),
        ("coarse", coarse, _CASHMERE_COARSE),
        ("variation", variation or Decimal(0), _CASHMERE_VARIATION),
    )
    return tuple(
        Said(f"cashmere.{what}", found=value, most=most)
        for what, value, most in found
        if value > most
    )


def measured_cashmere(told: str) -> tuple[Decimal, Decimal, Decimal]:
    """Micron, weight over 30 µm and variation, as a fleece's `micron` tells: "18.4, 2 % over 30,
    varies 21 %"; what it does not tell is 0."""
    number = r"([0-9]+(?:[.,][0-9]+)?)"
    wanted = (rf"^\s*{number}", rf"{number}\s*%\s*over", rf"(?:varies|cv)\D*{number}")
    found = (re.search(pattern, told, re.IGNORECASE) for pattern in wanted)
    mean, coarse, variation = (Decimal(f[1].replace(",", ".")) if f else Decimal(0) for f in found)
    return mean, coarse, variation
