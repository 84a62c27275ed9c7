"""Fibre label for the European Union and the United Kingdom.

In: a piece. Out: its label lines, to be told. Rules: Regulation (EU) No 1007/2011 (articles named
beside each), in the UK as assimilated law with the Textile Products (Labelling and Fibre
Composition) Regulations 2012. Notes to check, never a verdict.
"""

from collections.abc import Iterator, Sequence
from fractions import Fraction

from provenance.figures.fibre.piecework import (
    ANIMAL_PARTS,
    BODY,
    LINING,
    LOCAL_RULES,
    FibreLabel,
    Piecework,
    Section,
    by_section,
    is_embroidered,
    notes,
    section_lines,
    share_of,
    without,
    without_ornament,
)
from provenance.figures.fibre.shares import FibrePart, apportion, fibre_of, grouped, statement
from provenance.problems import Said

Parts = tuple[FibrePart, ...]

UNSPECIFIED = Said("content.unspecified")  # Art. 9(4)
VIRGIN_WOOL = "virgin wool"  # Art. 8

ORNAMENT_LIMIT = Fraction(7, 100)  # Art. 10
EXTRANEOUS_LIMIT = Fraction(2, 100)  # Art. 7, 20
EXTRANEOUS_LIMIT_CARDED = Fraction(5, 100)
EXTRANEOUS_LIMIT_VIRGIN = Fraction(3, 1000)  # Art. 8
VIRGIN_FROM = Fraction(25, 100)  # Art. 8
OTHER_FIBRES_LIMIT = Fraction(15, 100)  # Art. 9(2)
STATED_FROM = Fraction(30, 100)  # Art. 11
UNION_LINEN_FROM = Fraction(40, 100)  # Art. 9(3)


def eu_label(work: Piecework, market: str) -> FibreLabel:
    """The label of a piece sold in the EU or the UK."""
    counted, gone = without(work.counted(), _is_left_out)
    parts = without_ornament(counted, ORNAMENT_LIMIT)
    surface = _seen(work, parts) if work.is_rug else parts  # what is walked on (Annex VII)
    sections = tuple(
        _section(work, name, members, market) for name, members in by_section(surface).items()
    )
    lines = section_lines(sections)
    is_surface = bool(lines) and _section(work, BODY, parts, market).words != lines[0]
    if work.is_rug and len(surface) < len(parts) and is_surface:
        lines = (Said("content.use_surface", content=lines[0]), *lines[1:])
    if work.has_animal_parts:
        lines = (*lines, ANIMAL_PARTS)
    asked = (
        *notes(
            {
                "trimming": "trimming" in gone,
                "backing": bool(gone & {"backing", "filling"}),
                "ornament": len(parts) < len(counted),
            }
        ),
        *_notes(work, parts, surface),
        *_hanging_note(work, parts, market),
        *notes({f"place_{market.lower()}": True}),
        *_section_notes(sections, parts),
        LOCAL_RULES,
    )
    return FibreLabel(market, Said(f"law.{market.lower()}"), lines, sections, asked)


def must_be_stated(share: Fraction, *, is_main_lining: bool) -> bool:
    """Whether a component of different content needs its own statement (Art. 11)."""
    return is_main_lining or share >= STATED_FROM


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


def _is_left_out(part: FibrePart) -> bool:
    """Trimmings sewn on (Annex VII (a)); backings, stiffenings and fillings that do not insulate
    (Annex VII (g))."""
    is_idle = part.roles == {"filling"} and not part.is_warm
    return is_idle or part.roles <= {"backing", "trimming"}


def _has_pile(parts: Sequence[FibrePart]) -> bool:
    """A pile of another fibre than what it stands in: they may be stated apart (Annex IV)."""
    pile = {fibre_of(part).eu for part in parts if part.roles == {"pile"}}
    others = (part for part in parts if not part.roles & {"pile", LINING})
    rest = {fibre_of(part).eu for part in others}
    return bool(pile) and bool(rest - pile)


def _seen(work: Piecework, parts: Parts) -> Parts:
    """The parts on the right side: the pile, or the yarn that hides the other one."""
    hidden = frozenset({LINING})
    if any("pile" in part.roles for part in parts):
        hidden |= {"warp", "weft", "ground"}
    elif work.is_faced("weft"):
        hidden |= {"warp"}
    elif work.is_faced("warp"):
        hidden |= {"weft"}
    seen = tuple(part for part in parts if not part.roles <= hidden)
    return seen or parts


def _section(work: Piecework, name: str, parts: Sequence[FibrePart], market: str) -> Section:
    kept = _without_stray(work, parts)
    unknown = [part for part in kept if fibre_of(part).is_unknown]
    wool = VIRGIN_WOOL if says_virgin(work, parts) else "wool"

    def named(part: FibrePart) -> str:
        name = fibre_of(part).on_label(market)
        return wool if name == "wool" else name

    shares = apportion(grouped(kept, named))
    if share_of(unknown, kept) > OTHER_FIBRES_LIMIT:
        return Section(name, shares, UNSPECIFIED)
    return work.stated(Section(name, shares, statement(shares)), statement)


def _without_stray(work: Piecework, parts: Sequence[FibrePart]) -> Sequence[FibrePart]:
    """The parts without unavoidable stray fibres, where they need not be named (Art. 7, 20)."""
    limit = EXTRANEOUS_LIMIT_CARDED if work.spun == "carded" else EXTRANEOUS_LIMIT
    rest = [part for part in parts if not part.is_extraneous]
    return rest if rest and 1 - share_of(rest, parts) <= limit else parts


def _notes(work: Piecework, parts: Parts, surface: Parts) -> tuple[Said, ...]:
    is_virgin = says_virgin(work, surface)
    fibres = [fibre_of(part) for part in surface]
    found = {
        "pile": not work.is_rug and _has_pile(parts),
        "embroidery": is_embroidered(work.counted()),
        "surface": len(surface) < len(parts),
        "rug_face": work.is_rug and len(surface) == len(parts) and _may_hide_warp(parts),
        "runner": work.kind == "runner",
        "stray": len(_without_stray(work, surface)) < len(surface),
        "virgin": is_virgin,
        "not_virgin": not is_virgin and any(part.is_virgin for part in surface),
        "recycled": any(fibre.is_recycled for fibre in fibres),
        "nettle": any(fibre.name == "nettle" for fibre in fibres),
        "unknown": any(fibre.is_unknown for fibre in fibres),
        "union": _is_union(surface),
    }
    return notes(found)


def _section_notes(sections: Sequence[Section], parts: Sequence[FibrePart]) -> Iterator[Said]:
    """Sections that may be left off the label (Art. 11); they are stated all the same."""
    if len({section.words for section in sections}) < 2:
        return
    members = by_section(parts)
    for section in sections:
        some, is_lining = members[section.name], section.name == LINING
        is_known = all(part.is_weighed for part in some)
        is_needed = must_be_stated(share_of(some, parts), is_main_lining=is_lining)
        if section.name != BODY and is_known and not is_needed:
            yield Said("label_note.may_be_left_off", section=section.said)


def _hanging_note(work: Piecework, parts: Parts, market: str) -> Iterator[Said]:
    """Hidden yarns of hangings may not count; which ones is for the maker to say (Annex VII)."""
    seen = _seen(work, parts)
    if work.kind == "hanging" and len(seen) < len(parts):
        content = _section(work, BODY, seen, market).words
        yield Said("label_note.hidden_yarns", content=content)


def _may_hide_warp(parts: Sequence[FibrePart]) -> bool:
    has_warp = any(part.roles == {"warp"} for part in parts)
    return has_warp and len({fibre_of(part).eu for part in parts}) > 1


def _is_union(parts: Sequence[FibrePart]) -> bool:
    """Cotton warp and linen weft, the linen at least 40 % (Art. 9(3))."""
    found = {(fibre_of(part).name, use) for part in parts for use in part.roles}
    linen = [part for part in parts if fibre_of(part).name == "linen"]
    return found == {("cotton", "warp"), ("linen", "weft")} and (
        share_of(linen, parts) >= UNION_LINEN_FROM
    )
