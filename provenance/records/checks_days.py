"""Whether the records fit today, and what was printed once: days to come, fairs gone by, addresses.

In: the book, today. Out: remarks with places, each said where it can be put right.
"""

from collections import Counter
from collections.abc import Iterator
from datetime import date

from provenance.problems import Place, Problem, Said, row
from provenance.records.book import Book
from provenance.records.checks_shows import check_gone
from provenance.records.printed import Printed

Found = Iterator[Problem]
SHOWN = 8  # addresses that are named one by one
_GONE = ("sold", "withdrawn")


def _remark(place: Place, what: Said, remedy: Said) -> Problem:
    return Problem(place, what, remedy, is_remark=True)


def of_today(book: Book, today: date) -> Found:
    """All that depends on the day."""
    yield from expired(book, today)
    yield from check_future(book, today)
    yield from check_fairs_over(book, today)
    yield from check_clock(book, today)
    yield from check_gone(book, today)


def expired(book: Book, today: date) -> Found:
    """Reservations that have run out by today."""
    for piece in book.pieces.values():
        if piece.status and piece.status.until and piece.status.until < today:
            what = Said("sense.expired", number=piece.number, day=piece.status.until.isoformat())
            yield _remark(piece.status.place, what, Said("sense.sold_or_not"))


def check_future(book: Book, today: date) -> Found:
    """Nothing was finished or sold on a day to come."""
    remedy = Said("sense.today_is", day=today.isoformat())
    for piece in book.pieces.values():
        if piece.finished and piece.finished > today:
            day = piece.finished.isoformat()
            what = Said("sense.finished_ahead", number=piece.number, day=day)
            yield _remark(piece.number.place, what, remedy)
        for sale in piece.sold:
            if sale.on > today:
                what = Said("sense.sold_ahead", number=piece.number, day=sale.on.isoformat())
                yield _remark(sale.record_place, what, remedy)


def check_fairs_over(book: Book, today: date) -> Found:
    """When a fair or a show is over, its pieces are somewhere else; said once for each."""
    for outlet in book.outlets.values():
        if outlet.dates is None or outlet.dates.last >= today:
            continue
        name = str(outlet.name)
        there = [piece for piece in book.pieces.values() if piece.standing.get(name)]
        left = [piece for piece in there if piece.state not in _GONE]
        if left:
            numbers = row(str(piece.number) for piece in left)
            told = {"outlet": str(outlet.name), "day": outlet.dates.last.isoformat()}
            what = Said("sense.fair_over", numbers=numbers, **told)
            remedy = Said("sense.bring_home", outlet=str(outlet.name))
            place = next(each.place for each in left[0].places if each == name)
            yield _remark(place, what, remedy)


def check_clock(book: Book, today: date) -> Found:
    """Nothing went out on a day to come: where it did, the clock of this computer was wrong, or
    is. A day's difference is a journey."""
    lines = [(line.on, line.record_place) for line in book.printed if line.on]
    lines += [
        (issue.on, Place(f"{book.folder.name}/{issue.file.as_posix()}"))
        for issues in book.issued.values()
        for issue in issues
    ]
    if not lines:
        return
    day, place = max(lines)
    if (day - today).days > 1:
        what = Said("sense.clock", today=today.isoformat(), day=day.isoformat())
        yield _remark(place, what, Said("sense.set_clock", day=day.isoformat()))


def check_site(book: Book) -> Found:
    """An address once printed goes on answering, also when the site has moved."""
    site = book.studio.site
    if site is None or book.is_broken("*", "studio"):
        return
    moved: dict[str, dict[str, None]] = {}
    count = Counter[str]()
    for line in book.printed:
        if line.address and (base := _base(line)) != site.casefold():
            moved.setdefault(base, {})[str(line.number)] = None
            count[base] += 1
    for base, numbers in moved.items():
        what = Said("sense.site_moved", number=count[base], old=base, site=str(site))
        yield _remark(site.place, what, _keep_answering(base, str(site), list(numbers)))


def _keep_answering(old: str, site: str, numbers: list[str]) -> Said:
    """Each address that was printed, where it must lead, and how to say that it does."""
    leads = [f"{old}/{number}/ -> {site}/{number}/" for number in numbers[:SHOWN]]
    if len(numbers) > SHOWN:
        leads.append("...")
    return Said("sense.keep_answering", old=old, leads=row(leads))


def _base(line: Printed) -> str:
    """The site of a printed address: without the number of the piece, in small letters."""
    address = str(line.address).rstrip("/")
    return address.removesuffix(str(line.number)).rstrip("/").lower()


def check_titles(book: Book) -> Found:
    """A number stays with its piece: the title printed last is the title of its record."""
    last = {str(line.number): line.title for line in book.printed if line.title}
    for number, old in last.items():
        piece = book.pieces.get(number)
        if piece and piece.state != "withdrawn" and _plainly(old) != _plainly(piece.title):
            what = Said("sense.other_title", number=number, old=old, title=piece.title)
            yield _remark(piece.title.place, what, Said("sense.same_piece", number=number))


def _plainly(title: str) -> str:
    return " ".join(title.split()).casefold()
