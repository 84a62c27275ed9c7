"""All that an outlet needs in one go, by its kind: papers, tags, for a gallery its certificates.

In: the border and an outlet. Out: files in papers/OUTLET/, prices noted in printed.yaml, lines that
tell it, what the maker should know before printing. Everything is made before anything is written.
Pieces are those whose record says `at:` this outlet; for a fair that no piece names, all that are
in the studio and for sale, which is said.
"""

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from datetime import date
from pathlib import Path

from provenance.build.certificates import issue_certificates, not_issued
from provenance.build.counts import is_at, items_for
from provenance.build.doubts import refuse_doubt
from provenance.build.filing import file_paper
from provenance.build.ledger import begin_printing, catch_up, note_printed
from provenance.build.papers_due import Progress
from provenance.build.sealing import open_sealing
from provenance.build.shows import entries_of
from provenance.build.stall import stall_paper
from provenance.build.start_words import hold_back
from provenance.build.tags import TagRun, Wishes, print_tags
from provenance.build.tags_due import note_lines
from provenance.build.told import paper_lines, private_name, stale_line
from provenance.build.works import facts_of, of_photos
from provenance.papers.format import format_for
from provenance.papers.sheets.condition import condition_report
from provenance.papers.sheets.fair import guild_inventory, inventory, packing_list, price_list
from provenance.papers.sheets.frame import Display, Paper
from provenance.papers.sheets.gallery import consignment, delivery, statement
from provenance.papers.sheets.show_entries import entry_list
from provenance.papers.sheets.wall_labels import wall_labels
from provenance.problems import Problem, Said, Slip, Words, chained
from provenance.public.border import Border
from provenance.public.dealings import Dealing, dealing
from provenance.public.names import outlet_title
from provenance.public.piece import PublicPiece
from provenance.records.lots import Outlet
from provenance.records.pieces import A_PHOTO, FOR_SALE, Piece
from provenance.records.printed import printed_line
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


def make_for_outlet(
    border: Border, name: str, progress: Progress, shown: Callable[[Path], str]
) -> tuple[list[Words], list[Problem]]:
    """All papers of an outlet: made, written, noted; the lines that tell it (`shown` is how a path
    is told) and what could not be made."""
    refuse_doubt(border.studio.book)
    hold_back(border.studio, "studio", "pieces")
    made = outlet_papers(border, name)
    run, papers, outlet = _tags(border, made, progress), made.papers, made.display.outlet
    if run.content:
        papers += (Paper("tags.pdf", run.content, border.phrases.say("papers.tags")),)
    folder = border.house.folder / "papers" / name
    stale = stale_line(folder, papers)
    catch_up(border.house.folder, border.studio.today)
    begin_printing(border.house.folder, border.studio.today)
    write_papers(folder, papers, border.studio.today)
    if noted := note_lines(border.studio, run.notes) + made.noted:
        note_printed(border.house.folder, noted, border.studio.today)
    told = {"outlet": outlet.title, "count": made.display.count, "folder": shown(folder)}
    lines = [Said("papers.head", **told), *paper_lines(name, papers), *([stale] if stale else [])]
    problems = [*made.problems, *run.problems]
    if outlet.kind == "gallery":
        more, slips = _certificates(border, _for_sale(made), shown)
        lines, problems = lines + more, problems + slips
    left_out = (Said("outlet.no_tag", number=n, why=why) for n, why in run.left_out)
    lines += (Said("papers.remark", what=remark) for remark in (*made.remarks, *left_out))
    return lines, problems


def write_papers(folder: Path, papers: tuple[Paper, ...], today: date) -> None:
    """Each file in its place; what is for the maker alone never in a folder that is handed out."""
    for paper in papers:
        private = private_name(folder.name, paper)
        path = folder.parent / private if private else folder.joinpath(*paper.name.split("/"))
        file_paper(path, paper.waiting.path if paper.waiting else paper.content, today)


def _for_sale(made: OutletPapers) -> tuple[str, ...]:
    return tuple(each.number for each in made.display.pieces if each.for_sale)


def _tags(border: Border, made: OutletPapers, progress: Progress) -> TagRun:
    numbers, outlet, run = _for_sale(made), made.display.outlet, TagRun()
    if outlet.tag_kind != "none" and numbers:
        with progress("tags") as bar:
            run = print_tags(border, Wishes(numbers=numbers, outlet=outlet.name), bar.tell)
    return run if run.content else TagRun()


def _certificates(
    border: Border, numbers: tuple[str, ...], shown: Callable[[Path], str]
) -> tuple[list[Words], list[Problem]]:
    """Written where certificates lie, so that each has one place."""
    lines: list[Words] = []
    problems: list[Problem] = []
    sealing = open_sealing(border) if numbers else None
    for issued in issue_certificates(
        border, numbers, format_for(border.house), sealing=sealing, is_strict=True
    ):
        if issued.slip:
            problems.append(not_issued(border.studio, issued.number, issued.slip))
        elif issued.issue and issued.path:
            told = {"issue": str(issued.issue.number), "path": shown(issued.path)}
            lines.append(Said("papers.certificate", number=issued.number, **told))
    return lines, problems


def choose(studio: Studio, outlet: Outlet) -> Choice:
    """Which pieces the papers are about, in order of number."""
    states = (*FOR_SALE, "not for sale") if outlet.kind in SHOWN_UNSOLD else FOR_SALE
    there = [piece for piece in _pieces(studio, states) if is_at(piece, outlet)]
    from_studio = not there and outlet.kind in _FROM_STUDIO
    if from_studio:
        home = [each for each in studio.book.outlets.values() if each.kind == "studio"]
        for_sale = _pieces(studio, ("available",))
        there = [each for each in for_sale if not each.at or any(is_at(each, o) for o in home)]
    ready = tuple(piece for piece in there if _is_ready(piece, outlet))
    drafts = tuple(piece for piece in there if piece not in ready)
    return Choice(ready, drafts, from_studio)


def _is_ready(piece: Piece, outlet: Outlet) -> bool:
    """Known well enough for the papers; an earlier piece by its price, but not for a fair, whose
    sums start from what pieces cost."""
    is_priced = piece.earlier and not piece.missing and piece.price is not None
    return piece.can_be_costed or (is_priced and outlet.kind != "fair")


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
    pieces, problems = facts_of(there, choice.pieces)
    worked = [studio.piece(piece.number) for piece in pieces]
    items = {each.number: items_for(studio.book, each.record, outlet) for each in worked}
    display = Display(there.house, pieces, there.outlet(name), items)
    deal = dealing(there, outlet, worked, items)
    papers, more = _papers(display, deal, studio)
    papers += stall_paper(there, display, outlet, worked)
    if outlet.kind == "fair":
        papers += private_fair(border, outlet, worked, items)
    problems += more
    problems += of_photos(studio, display.slips)
    noted, changed = _prices(display, studio)
    remarks = (*changed, *_remarks(display, choice, outlet))
    return OutletPapers(display, tuple(papers), tuple(dict.fromkeys(problems)), remarks, noted)


def _papers(display: Display, deal: Dealing, studio: Studio) -> tuple[list[Paper], list[Problem]]:
    papers: list[Paper] = []
    problems: list[Problem] = []
    kind = display.outlet.kind
    if kind == "show":
        entries, problems = entries_of(display, deal, studio)
        papers += entry_list(display, deal, entries)
    if deal.is_bought:
        papers += delivery(display, deal)
    elif kind in CONSIGNED:
        papers += consignment(display, deal)
    for make in OPEN[kind]:
        papers += make(display)
    if kind in CONSIGNED and not deal.is_bought:
        papers += statement(display, deal)
    return papers, problems


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
        wants = tuple(words for words in piece.unrecorded if words != A_PHOTO)
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
    if outlet.kind not in CONSIGNED or outlet.wholesale is not None:
        return
    words = ("term", "payment", "discount", "insured from", "freight")
    open_ = [word for word in words if getattr(outlet.terms, word.replace(" ", "_")) is None]
    lacking = [Said("outlet.term", word=word) for word in open_]
    if lacking:
        yield Said("outlet.open_terms", terms=chained("outlet.next_term", lacking))
    if not outlet.commission:
        yield Said("outlet.no_commission", outlet=str(outlet.name))


def _prices(display: Display, studio: Studio) -> tuple[str, list[Said]]:
    """Lines for printed.yaml: pieces that were not on these sheets, or at another price; and the
    prices that were others on the sheets printed last."""
    lines, changed, paper = "", [], f"sheets {display.outlet.name}"
    for each in display.pieces:
        last = next(reversed(studio.printed(paper, each.number)), None)
        if last and str(last.price or "") == each.price:
            continue
        on = studio.not_before(paper, each.number)
        told = {"on": on, "paper": paper, **_named(each), "price": each.price}
        lines += printed_line(told)
        if last:
            was = {"old": str(last.price), "day": last.on or ""}
            changed.append(Said("outlet.other_price", price=each.price, **was, **_named(each)))
    return lines, changed
