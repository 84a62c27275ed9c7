"""Which works a juried show lets in, and what is wrong with those it doesn't.

In: what hangs there, its dealing, the studio. Out: entries, and a problem with its place for every
work, picture or statement that the show's rules refuse.
"""

from collections.abc import Iterator

from provenance.papers.sheets.frame import Display
from provenance.papers.sheets.show_entries import Entry, entry_of
from provenance.problems import Problem, Said, Words
from provenance.public.dealings import Dealing
from provenance.public.shapes import ShowRules, Size
from provenance.records.days import by_then
from provenance.records.pieces import Piece
from provenance.studio import Studio


def entries_of(
    display: Display, deal: Dealing, studio: Studio
) -> tuple[list[Entry], list[Problem]]:
    """Every work that the rules let in, in order of number, and what they refuse."""
    entries: list[Entry] = []
    problems: list[Problem] = []
    names: set[str] = set()
    for work in display.pieces:
        piece = studio.piece(work.number).record
        refused = [_problem(piece, *each) for each in refusals(display, piece)]
        problems += refused
        if refused:
            continue
        share = deal.shares[work.number]
        is_whole = display.outlet.rules.insurance == "price"
        entry, slips = entry_of(display, work, share.price if is_whole else share.to_maker, names)
        problems += [_problem(piece, slip.what, slip.remedy) for slip in slips]
        problems += _too_wordy(display, piece, entry.statement)
        entries.append(entry)
    return entries, problems + _too_many(display, entries)


def _too_many(display: Display, entries: list[Entry]) -> list[Problem]:
    most = display.outlet.rules.most_works
    if most is None or len(entries) <= most:
        return []
    counts = {"count": str(len(entries)), "most": str(int(most))}
    what = Said("entry.too_many", show=display.outlet.title, **counts)
    return [Problem(most.place, what, Said("entry.others_elsewhere"))]


def _problem(piece: Piece, what: Words, remedy: Words, *, is_remark: bool = False) -> Problem:
    said = Said("entry.of_piece", number=str(piece.number), title=str(piece.title), what=what)
    return Problem(piece.number.place, said, remedy, is_remark)


def refusals(display: Display, piece: Piece) -> Iterator[tuple[Words, Words]]:
    """Why a work may not be entered, each with a remedy."""
    rules, size, show = display.outlet.rules, piece.size, display.outlet.title
    if size is not None:
        for why in _too_large(size, rules):
            said = display.phrases.size(size)
            yield Said("entry.too_large", size=said, why=why, show=show), Said("entry.smaller")
    finished, since = piece.finish, rules.made_since
    if since and finished and by_then(finished).isoformat()[: len(since)] < since:
        days = {"finished": str(finished), "since": str(since)}
        yield Said("entry.too_old", show=show, **days), Said("entry.newer")


def _too_large(size: Size, rules: ShowRules) -> Iterator[Said]:
    if rules.largest_work is not None and not fits(size, rules.largest_work):
        yield Said("entry.larger_than", size=rules.largest_work.written)
    if rules.no_side_over is not None and max(size.sides) > rules.no_side_over:
        yield Said("entry.side_over", length=rules.no_side_over.written)
    if rules.largest_area is not None and size.area > rules.largest_area:
        yield Said("entry.area_over")


def fits(size: Size, largest: Size) -> bool:
    """Whether height, width and, where both have one, depth stay within the largest."""
    return all(a <= b for a, b in zip(size.sides, largest.sides, strict=False))


def _too_wordy(display: Display, piece: Piece, statement: str) -> list[Problem]:
    asked, count = display.outlet.rules.statement, len(statement.split())
    if asked is None or asked.least <= count <= asked.most:
        return []
    asks = "entry.from_to" if asked.least else "entry.at_most"
    range_ = Said(asks, least=str(asked.least), most=str(asked.most))
    what = Said("entry.words", count=str(count), show=display.outlet.title, range=range_)
    return [_problem(piece, what, Said("entry.that_long"), is_remark=True)]
