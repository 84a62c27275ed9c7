"""Everything an outlet needs, by its kind, and what the maker should know before printing.

In: the setting and an outlet. Out: sheets with their file names, problems, remarks. Pieces are
those whose record says `at:` this outlet; for a fair that no piece names, all that are in the
studio and for sale, which is said.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass

from provenance.language.phrases import british
from provenance.papers.sheets.condition import condition_report
from provenance.papers.sheets.entry_list import entry_list
from provenance.papers.sheets.fair import guild_inventory, inventory, packing_list, price_list
from provenance.papers.sheets.frame import Held, Papers, Sheet, held
from provenance.papers.sheets.gallery import consignment, statement
from provenance.papers.sheets.wall_labels import wall_labels
from provenance.problems import Problem, Slip
from provenance.public.setting import Setting, outlet_title
from provenance.records.lots import Outlet
from provenance.records.pieces import A_PHOTO, Piece
from provenance.reports.fair_private import private_fair

Maker = Callable[[Papers], list[Sheet]]
BY_KIND: dict[str, tuple[Maker, ...]] = {
    "fair": (inventory, price_list, packing_list, private_fair),
    "studio": (inventory, price_list),
    "other": (inventory, price_list),
    "website": (inventory,),
    "gallery": (consignment, wall_labels, condition_report, statement),
    "shop": (consignment, inventory, statement),
    "guild": (guild_inventory, consignment, statement),
    "show": (condition_report,),
}
SHOWN_UNSOLD = ("gallery", "show")
_FROM_STUDIO = ("fair", "other")


@dataclass(frozen=True, slots=True)
class Choice:
    """The pieces that go on the papers, those that can't, and what is to be said of it."""

    pieces: tuple[Piece, ...]
    drafts: tuple[Piece, ...]
    from_studio: bool


@dataclass(frozen=True, slots=True)
class OutletPapers:
    """The papers of an outlet, not yet written."""

    papers: Papers
    sheets: tuple[Sheet, ...]
    problems: tuple[Problem, ...]
    remarks: tuple[str, ...]


def choose(setting: Setting, outlet: Outlet) -> Choice:
    """Which pieces the papers are about, in order of number."""
    states: tuple[str, ...] = ("available", "reserved")
    if outlet.kind in SHOWN_UNSOLD:
        states = (*states, "not for sale")
    there = [piece for piece in _pieces(setting, states) if _is_at(setting, piece, outlet)]
    from_studio = not there and outlet.kind in _FROM_STUDIO
    if from_studio:
        home = [each for each in setting.book.outlets.values() if each.kind == "studio"]
        there = [
            piece
            for piece in _pieces(setting, ("available",))
            if not piece.at or any(str(piece.at) == str(each.name) for each in home)
        ]
    ready = tuple(piece for piece in there if piece.can_be_costed)
    drafts = tuple(piece for piece in there if not piece.can_be_costed)
    return Choice(ready, drafts, from_studio)


def _pieces(setting: Setting, states: tuple[str, ...]) -> list[Piece]:
    pieces = setting.book.pieces
    return [pieces[number] for number in sorted(pieces) if pieces[number].state in states]


def _is_at(setting: Setting, piece: Piece, outlet: Outlet) -> bool:
    """What hangs nowhere is in the studio."""
    return str(piece.at) == str(outlet.name) if piece.at else outlet.kind == "studio"


def outlet_papers(setting: Setting, outlet: Outlet) -> OutletPapers:
    """All sheets of an outlet; Slip when there is nothing to put on them."""
    choice = choose(setting, outlet)
    if not choice.pieces:
        raise _nothing(outlet, choice)
    pieces, problems = _held(setting, choice.pieces)
    papers = Papers(setting, outlet, pieces)
    sheets: list[Sheet] = []
    if outlet.kind == "show":
        sheets, refused = entry_list(papers)
        problems += refused
    for make in BY_KIND[str(outlet.kind)]:
        sheets += make(papers)
    problems = tuple(dict.fromkeys((*problems, *papers.problems)))
    return OutletPapers(papers, tuple(sheets), problems, tuple(_remarks(papers, choice)))


def _held(
    setting: Setting, pieces: tuple[Piece, ...]
) -> tuple[tuple[Held, ...], tuple[Problem, ...]]:
    """Pieces with their facts; one whose facts can't be told holds up none of the others."""
    found, problems = [], []
    for piece in pieces:
        try:
            found.append(held(setting, piece))
        except Slip as slip:
            what = f"{piece.number} {piece.title} is left out: {british().tell(slip.what)}"
            problems.append(Problem(piece.number.place, what, slip.remedy))
    if not found:
        raise Slip(problems[0].what, problems[0].remedy)
    return tuple(found), tuple(problems)


def _nothing(outlet: Outlet, choice: Choice) -> Slip:
    title = outlet_title(outlet)
    if choice.drafts:
        numbers = ", ".join(str(piece.number) for piece in choice.drafts)
        return Slip(f"the pieces for {title} are drafts: {numbers}", "'provenance check' says why")
    return Slip(
        f"no piece for sale is at {title}",
        f"write 'at: {outlet.name}' into the records of the pieces that go there",
    )


def _remarks(papers: Papers, choice: Choice) -> Iterator[str]:
    """What to look at before printing."""
    outlet, today = papers.outlet, papers.setting.today
    if choice.from_studio:
        yield (
            f"no record says 'at: {outlet.name}', so these papers have everything for sale in the "
            f"studio: {papers.count}"
        )
    for piece in choice.drafts:
        wants = " and ".join(british().tell(w) for w in piece.missing if w != A_PHOTO)
        yield f"{piece.number} {piece.title} is left out: its record still wants {wants}"
    if outlet.dates and outlet.dates.last < today:
        yield f"{papers.title} was over on {papers.setting.phrases.day(outlet.dates.last)}"
    for each in papers.pieces:
        name = f"{each.facts.number} {each.facts.title}"
        until = each.piece.status.until if each.piece.status else None
        if each.piece.price is None and each.for_sale:
            yield f"{name} has no price of its own: {each.facts.price} is the worked-out one"
        if until and until < today:
            yield f"{name} was reserved until {papers.setting.phrases.day(until)}: sold, or free?"
    yield from _open_terms(outlet)


def _open_terms(outlet: Outlet) -> Iterator[str]:
    """Terms that will be lines to fill in on the consignment sheet."""
    if outlet.kind not in ("gallery", "shop", "guild"):
        return
    terms = outlet.terms
    named = {
        "term": terms.term,
        "payment": terms.payment,
        "discount": terms.discount,
        "insured from": terms.insured_from,
        "freight": terms.freight,
    }
    lacking = [f"'{word}'" for word, said in named.items() if said is None]
    if lacking:
        yield f"left open on the consignment sheet, as the terms don't say it: {', '.join(lacking)}"
    if not outlet.commission:
        yield f"no commission is noted for {outlet.name}: the sheet gives the maker all of it"
