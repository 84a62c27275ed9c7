"""Everything an outlet needs, by its kind, and what the maker should know before printing.

In: the border and an outlet. Out: papers with their file names, problems, remarks, and lines for
printed.yaml. Pieces are those whose record says `at:` this outlet; for a fair that no piece names,
all that are in the studio and for sale, which is said.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from provenance.build.shows import entries_of
from provenance.build.tags import is_at
from provenance.papers.sheets.condition import condition_report
from provenance.papers.sheets.entry_list import entry_list
from provenance.papers.sheets.fair import guild_inventory, inventory, packing_list, price_list
from provenance.papers.sheets.frame import Display, Paper
from provenance.papers.sheets.gallery import consignment, statement
from provenance.papers.sheets.wall_labels import wall_labels
from provenance.problems import Problem, Said, Slip, chained
from provenance.public.border import Border
from provenance.public.dealings import Dealing, dealing
from provenance.public.names import outlet_title
from provenance.public.piece import PublicPiece
from provenance.records.lots import Outlet
from provenance.records.pieces import A_PHOTO, FOR_SALE, Piece
from provenance.records.printed import Printed, printed_line
from provenance.reports.fair_private import private_fair
from provenance.studio import Studio

OPEN = {
    "fair": (inventory, price_list, packing_list),
    "studio": (inventory, price_list),
    "other": (inventory, price_list),
    "website": (inventory,),
    "gallery": (wall_labels, condition_report),
    "shop": (inventory,),
    "guild": (guild_inventory,),
    "show": (condition_report,),
}
CONSIGNED = ("gallery", "shop", "guild")
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
    """The papers of an outlet, not yet written; `noted` are lines for printed.yaml."""

    display: Display
    papers: tuple[Paper, ...]
    problems: tuple[Problem, ...]
    remarks: tuple[Said, ...]
    noted: str


def choose(studio: Studio, outlet: Outlet) -> Choice:
    """Which pieces the papers are about, in order of number."""
    states: tuple[str, ...] = FOR_SALE
    if outlet.kind in SHOWN_UNSOLD:
        states = (*states, "not for sale")
    there = [piece for piece in _pieces(studio, states) if is_at(piece, outlet)]
    from_studio = not there and outlet.kind in _FROM_STUDIO
    if from_studio:
        home = [each for each in studio.book.outlets.values() if each.kind == "studio"]
        for_sale = _pieces(studio, ("available",))
        there = [each for each in for_sale if not each.at or any(is_at(each, o) for o in home)]
    ready = tuple(piece for piece in there if piece.can_be_costed)
    drafts = tuple(piece for piece in there if not piece.can_be_costed)
    return Choice(ready, drafts, from_studio)


def _pieces(studio: Studio, states: tuple[str, ...]) -> list[Piece]:
    pieces = studio.book.pieces
    return [pieces[number] for number in sorted(pieces) if pieces[number].state in states]


def outlet_papers(border: Border, name: str) -> OutletPapers:
    """All papers of an outlet; Slip when there is nothing to put on them."""
    studio = border.studio
    outlet = studio.outlet(name)
    choice = choose(studio, outlet)
    if not choice.pieces:
        raise _nothing(outlet, choice)
    there = border.speaking(outlet)
    pieces, problems = _facts(there, choice.pieces)
    display = Display(there.house, there.outlet(name), pieces)
    worked = [studio.piece(piece.number) for piece in pieces]
    deal = dealing(there, outlet, worked)
    papers, more = _papers(display, deal, studio)
    if outlet.kind == "fair":
        papers += private_fair(border, outlet, worked)
    problems = [*problems, *more, *_photo_problems(display, studio)]
    return OutletPapers(
        display,
        tuple(papers),
        tuple(dict.fromkeys(problems)),
        (*_changed_prices(display, studio), *_remarks(display, choice, outlet)),
        _noted(display, studio),
    )


def _papers(display: Display, deal: Dealing, studio: Studio) -> tuple[list[Paper], list[Problem]]:
    papers: list[Paper] = []
    problems: list[Problem] = []
    kind = display.outlet.kind
    if kind == "show":
        entries, problems = entries_of(display, deal, studio)
        papers += entry_list(display, deal, entries)
    if kind in CONSIGNED:
        papers += consignment(display, deal)
    for make in OPEN[kind]:
        papers += make(display)
    if kind in CONSIGNED:
        papers += statement(display, deal)
    return papers, problems


def _photo_problems(display: Display, studio: Studio) -> Iterator[Problem]:
    """Photos that could not be shown, told where they are named."""
    for number, file, slip in display.slips:
        yield Problem(studio.piece(number).record.place_of(file), slip.what, slip.remedy)


def _facts(
    border: Border, pieces: Sequence[Piece]
) -> tuple[tuple[PublicPiece, ...], list[Problem]]:
    """Pieces with their facts; one whose facts can't be told holds up none of the others."""
    found, problems = [], []
    for piece in pieces:
        try:
            found.append(border.piece(str(piece.number)))
        except Slip as slip:
            what = Said("outlet.left_out", what=slip.what, **_named(piece))
            problems.append(Problem(piece.number.place, what, slip.remedy))
    if not found:
        raise Slip(problems[0].what, problems[0].remedy)
    return tuple(found), problems


def _named(piece: Piece | PublicPiece) -> dict[str, str]:
    return {"number": str(piece.number), "title": str(piece.title)}


def _nothing(outlet: Outlet, choice: Choice) -> Slip:
    title = outlet_title(outlet)
    if choice.drafts:
        numbers = ", ".join(str(piece.number) for piece in choice.drafts)
        return Slip(Said("outlet.drafts", outlet=title, numbers=numbers), Said("outlet.check_says"))
    return Slip(
        Said("outlet.nothing", outlet=title), Said("outlet.write_at", outlet=str(outlet.name))
    )


def _remarks(display: Display, choice: Choice, outlet: Outlet) -> Iterator[Said]:
    """What to look at before printing."""
    today = display.studio.today
    if choice.from_studio:
        yield Said("outlet.from_studio", outlet=str(outlet.name), count=display.count)
    for piece in choice.drafts:
        wants = tuple(words for words in piece.missing if words != A_PHOTO)
        yield Said("outlet.still_wants", what=wants, **_named(piece))
    if outlet.dates and outlet.dates.last < today:
        yield Said("outlet.over", outlet=display.outlet.title, day=outlet.dates.last)
    records = {str(piece.number): piece for piece in choice.pieces}
    for each in display.pieces:
        record = records[each.number]
        until = record.status.until if record.status else None
        if record.price is None and each.for_sale:
            yield Said("outlet.worked_out", price=each.price, **_named(each))
        if until and until < today:
            yield Said("outlet.reserved", day=until, **_named(each))
    yield from _open_terms(outlet)


def _open_terms(outlet: Outlet) -> Iterator[Said]:
    """Terms that will be lines to fill in on the consignment sheet."""
    if outlet.kind not in CONSIGNED:
        return
    terms = outlet.terms
    named = {
        "term": terms.term,
        "payment": terms.payment,
        "discount": terms.discount,
        "insured from": terms.insured_from,
        "freight": terms.freight,
    }
    lacking = [Said("outlet.term", word=word) for word, said in named.items() if said is None]
    if lacking:
        yield Said("outlet.open_terms", terms=chained("outlet.next_term", lacking))
    if not outlet.commission:
        yield Said("outlet.no_commission", outlet=str(outlet.name))


def _paper_of(display: Display) -> str:
    """The word for these sheets in printed.yaml."""
    return f"sheets {display.outlet.name}"


def _last_line(display: Display, studio: Studio, number: str) -> Printed | None:
    return next(reversed(studio.printed(_paper_of(display), number)), None)


def _noted(display: Display, studio: Studio) -> str:
    """Lines for printed.yaml: pieces that were not on these sheets, or at another price."""
    lines = []
    for each in display.pieces:
        last = _last_line(display, studio, each.number)
        if last is None or str(last.price or "") != each.price:
            told = {"on": studio.today, "paper": _paper_of(display)}
            lines.append(printed_line({**told, **_named(each), "price": each.price}))
    return "".join(lines)


def _changed_prices(display: Display, studio: Studio) -> Iterator[Said]:
    """Pieces whose price was another on the sheets printed last."""
    for each in display.pieces:
        line = _last_line(display, studio, each.number)
        if line is not None and str(line.price or "") != each.price:
            told = {"price": each.price, "old": str(line.price), "day": line.on}
            yield Said("outlet.other_price", **told, **_named(each))
