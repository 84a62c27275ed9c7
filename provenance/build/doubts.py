"""What is wrong with the list of printed numbers: gone, shortened, damaged, or one of two.

In: the book; the list on the disk, its copies, the papers and the site that know of it. Out: a
mistake with its place and a remedy, and a refusal for whatever would print or hand out a number
meanwhile. Silence where nothing was printed yet, and where papers, site or copies were taken away:
none of them has to be there.
"""

import os
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace
from functools import cached_property

from provenance.build.ledger import (
    COPIES,
    NOTHING_YET,
    copied_numbers,
    copies,
    list_path,
    read_list,
)
from provenance.build.witnesses import OldSite, Papers, old_site
from provenance.problems import Place, Problem, Said, Slip, row
from provenance.records.book import Book
from provenance.records.folder import leads_inside
from provenance.records.printed import FILE, Chain

_SHOWN = 5
_RECOVER = Said("ledger.recover")


@dataclass(frozen=True)
class Ledger:
    """The list of one reading, and all that knows of it."""

    book: Book

    @cached_property
    def chain(self) -> Chain:
        """The list as it is on the disk."""
        return read_list(self.book.folder)

    @cached_property
    def copies(self) -> tuple[tuple[str, Chain], ...]:
        """Name and lines of every sound copy, the newest first."""
        return copies(self.book.folder)

    @cached_property
    def papers(self) -> Papers:
        """Certificates and tags."""
        return Papers(self.book.folder)

    @cached_property
    def site(self) -> OldSite:
        """The site that was built last, where it lies by default."""
        file = self.book.studio
        return old_site(self.book.folder, str(file.studio), str(file.site or ""))

    @property
    def is_unread(self) -> bool:
        """Whether some of the list can't be read as a record; that is told where it stands."""
        return self.book.is_broken("*", FILE)

    @property
    def file(self) -> str:
        """The list as it is named in messages."""
        return f"{self.book.folder.name}/studio/{FILE}.yaml"

    def certificates_without_line(self) -> Iterator[tuple[str, str]]:
        """Number and file of certificates that no line tells of."""
        known = {str(line.number) for line in self.book.printed if line.paper == "certificate"}
        for number, path in self.papers.certificates(known | set(self.book.pieces)):
            if number not in known:
                yield number, self.papers.named(path)

    def addresses_without_line(self) -> Iterator[str]:
        """Numbers whose printed address the site knows, and no line."""
        known = {str(line.number) for line in self.book.printed if line.address}
        return (number for number in self.site.listing.addresses if number not in known)


def doubts(book: Book) -> Iterator[Problem]:
    """The first thing that is wrong with the list; what can't be read is told already."""
    ledger = Ledger(book)
    if not ledger.is_unread:
        ways = (_no_folder, _gone, _damaged, _against_copy, _lacking)
        found = next((each for way in ways if (each := next(way(ledger), None))), None)
        if found:
            yield found


def _no_folder(ledger: Ledger) -> Iterator[Problem]:
    """Something lies where copies go: they could not be written once papers are out."""
    place, folder = ledger.book.folder / COPIES, ledger.book.folder
    if os.path.lexists(place) and not (place.is_dir() and leads_inside(place, folder)):
        where = Place(f"{folder.name}/{COPIES}")
        yield Problem(where, Said("ledger.no_folder"), Said("ledger.make_room"))


def _gone(ledger: Ledger) -> Iterator[Problem]:
    """No entry at all, and something knows that there were some."""
    if ledger.chain.count or ledger.book.printed:
        return
    place, copy = Place(ledger.file), max(ledger.copies, key=_count, default=None)
    papers = [file for _, file in ledger.certificates_without_line()]
    if all(each.raw != NOTHING_YET for _, each in ledger.copies):  # else a run was killed
        papers += [ledger.papers.named(path) for path in ledger.papers.tags]
    if copy and _count(copy):
        yield Problem(place, Said("ledger.gone", number=_count(copy), file=copy[0]), _RECOVER)
    elif copied := copied_numbers(ledger.book.folder):
        what = Said("ledger.gone", number=len(copied), file=f"{COPIES}/")
        yield Problem(place, what, _RECOVER)
    elif papers:
        what = Said("ledger.gone_papers", papers=row(papers[:_SHOWN]))
        yield Problem(place, what, _afresh("papers"))
    elif numbers := list(ledger.site.listing.addresses):
        what = Said("ledger.gone_site", numbers=row(numbers[:_SHOWN]))
        yield Problem(place, what, _afresh("site"))


def _count(copy: tuple[str, Chain]) -> int:
    return copy[1].count


def _damaged(ledger: Ledger) -> Iterator[Problem]:
    """A line was changed, put in or taken out; the copy tells which."""
    if turn := ledger.chain.broken:
        place, key = Place(ledger.file, turn, 1), "ledger.damaged"
        for _, copy in ledger.copies[:1]:
            line, column = ledger.chain.parts_from(copy)
            if line <= turn and not ledger.chain.begins(copy):
                place, key = Place(ledger.file, line, column), "ledger.changed"
        yield Problem(place, Said(key), _RECOVER)


def _against_copy(ledger: Ledger) -> Iterator[Problem]:
    """A copy has lines that the list has not; of older ones only that counts, not the order."""
    for name, copy in ledger.copies:
        if not copy.count or copy.begins(ledger.chain):
            continue
        if name != ledger.copies[0][0] and copy.contents <= ledger.chain.contents:
            continue
        line, column = ledger.chain.parts_from(copy)
        if ledger.chain.begins(copy):
            missing = len(copy.texts) - len(ledger.chain.texts)
            what = Said("ledger.shortened", number=missing, file=name)
        else:
            what = Said("ledger.forked", file=name)
        yield Problem(Place(ledger.file, line, column), what, _RECOVER)


def _lacking(ledger: Ledger) -> Iterator[Problem]:
    """A certificate or the site knows what no line tells."""
    place, site = Place(ledger.file), ledger.site.listing
    if found := next(ledger.certificates_without_line(), None):
        what = Said("ledger.lacks_paper", number=found[0], paper=found[1])
        yield Problem(place, what, _afresh("papers"))
    elif numbers := list(ledger.addresses_without_line()):
        what = Said("ledger.lacks_pages", numbers=row(numbers[:_SHOWN]))
        yield Problem(place, what, _afresh("site"))
    elif not site.is_of(ledger.book.printed) and site.digest not in " ".join(ledger.chain.notes):
        yield Problem(place, Said("ledger.other_site", number=site.count), _afresh("site"))


def _afresh(witness: str) -> Said:
    """What to do, also where the alarm is wrong."""
    return Said(f"ledger.recover_{witness}")


def to_recover(book: Book, problems: Iterable[Problem]) -> Iterator[Problem]:
    """The problems of a reading; what can't be read of the list is mended by `recover`."""
    file, remedy = Ledger(book).file, _remedy(book)
    for problem in problems:
        is_ours = problem.place.file == file and not problem.is_remark
        yield replace(problem, remedy=remedy) if is_ours else problem


def _remedy(book: Book) -> Said:
    """Nothing is ever written through a link that leads out, nor put in its place."""
    is_inside = leads_inside(list_path(book.folder), book.folder)
    return _RECOVER if is_inside else Said("ledger.unlink")


def refuse_doubt(book: Book) -> None:
    """Nothing is printed, and no number given, while the list is in doubt: Slip."""
    if book.is_broken("*", FILE):
        raise Slip(Said("ledger.unread"), _remedy(book))
    for found in doubts(book):
        raise found.as_slip()


def numbers_known(book: Book) -> set[str]:
    """Every number that was printed or has a page, whoever knows of it."""
    ledger = Ledger(book)
    known = {str(line.number) for line in book.printed}
    known |= copied_numbers(book.folder)
    known |= {number for number, _ in ledger.papers.certificates(known | set(book.pieces))}
    known.update(ledger.papers.tag_numbers())
    known.update(ledger.site.listing.addresses, ledger.site.page_numbers())
    return known
