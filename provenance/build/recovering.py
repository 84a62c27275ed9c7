"""The list of printed numbers, put together again from everything that knows of it.

In: the book, with its list as far as it can be read; copies, certificates, tags, the site. Out: the
lines that are missing and where each was found, and the whole list anew, chained. A line that can
be read is never dropped, but for one that was changed where a sound copy has it as it was written.
Nothing is made up: what nobody knows of a line (its day, its title, its price) it does not say.
"""

from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import date
from hashlib import sha256

from provenance.build.doubts import Ledger, doubts, refuse_doubt
from provenance.build.ledger import COPIES, copied_numbers, keep_copy, list_path
from provenance.build.witnesses import number_in
from provenance.output import write_file
from provenance.press.codes.qr import address_of
from provenance.problems import Said, Words
from provenance.records.book import Book
from provenance.records.folder import leads_inside
from provenance.records.printed import Printed, chained, lines_alone, printed_line

Lines = list[Printed]
_MOST = 40


@dataclass(frozen=True, slots=True)
class Recovery:
    """What a recovery would do: `missing` lines and where each was found, the list before and
    after, and what is told of it. Nothing to do where `is_needed` is false."""

    missing: tuple[tuple[str, Printed], ...]
    before: bytes
    after: bytes
    told: tuple[Words, ...]
    is_needed: bool


def recovery(book: Book, today: date) -> Recovery:
    """Everything that is known, held against the list. Slip where that is a link that leads out."""
    if not leads_inside(list_path(book.folder), book.folder):
        refuse_doubt(book)
    ledger = Ledger(book)
    readable = _readable(ledger)
    lines, dropped = _mended(ledger, readable)
    missing: list[tuple[str, Printed]] = []
    for name, copy in ledger.copies:
        lines, new = _together(lines, list(lines_alone(copy.raw)))
        missing += ((name, line) for line in new)
    for name, line in tuple(_from_others(ledger, lines)):
        lines = _by_day(lines, line)
        missing.append((name, line))
    unread = ledger.chain.count - len(readable) if ledger.is_unread else 0
    lost = max(unread, 0) + len(dropped)
    is_needed = bool(missing or lost or ledger.is_unread or any(doubts(book)))
    text = "".join([*_notes(ledger, lines, today), *map(printed_line, lines)])
    told = tuple(_told(missing, lost)) if is_needed else (Said("ledger.nothing_missing"),)
    return Recovery(tuple(missing), ledger.chain.raw, _whole(text), told, is_needed)


def put_back(book: Book, found: Recovery, today: date) -> None:
    """Write the list anew, what it was before beside the copies, and a copy; the lock is the
    caller's."""
    if found.before.strip():
        name = f"before-{sha256(found.before).hexdigest()[:8]}.yaml"
        write_file(book.folder / COPIES / name, found.before)
    write_file(list_path(book.folder), found.after)
    keep_copy(book.folder, found.after, today)


def _readable(ledger: Ledger) -> Lines:
    """The lines of the list: as they were read, or each by itself where one can't be."""
    return list(lines_alone(ledger.chain.raw) if ledger.is_unread else ledger.book.printed)


def _mended(ledger: Ledger, lines: Lines) -> tuple[Lines, Lines]:
    """The lines of a damaged list without those that a sound copy has as they were written."""
    if not (ledger.copies and (ledger.is_unread or ledger.chain.broken)):
        return lines, []
    written = list(lines_alone(ledger.copies[0][1].raw))
    said, slots = set(map(_content, written)), {_slot(*each) for each in enumerate(written)}
    changed = [
        line
        for turn, line in enumerate(lines)
        if _content(line) not in said and _slot(turn, line) in slots
    ]
    return [line for line in lines if line not in changed], changed


def _slot(turn: int, line: Printed) -> str:
    """What ties a line to those before it: of one that was changed, what tied it when it was
    written. Of one that carries none, its turn."""
    return str(line.chain or turn)


def _content(line: Printed) -> str:
    return printed_line(line)


def _together(lines: Lines, others: Lines) -> tuple[Lines, Lines]:
    """All lines of both, and which of them are new: each after the one before it in the others,
    and after what only we have of its day and before."""
    contents, theirs = [_content(line) for line in lines], {_content(line) for line in others}
    left, found, new, at = Counter(contents), list(lines), Lines(), 0
    for line in others:
        content = _content(line)
        left[content] -= 1
        if left[content] >= 0:
            at = contents.index(content, at) + 1 if content in contents[at:] else at
            continue
        while at < len(found) and contents[at] not in theirs and _day(found[at]) <= _day(line):
            at += 1
        found.insert(at, line)
        contents.insert(at, content)
        new.append(line)
        at += 1
    return found, new


def _day(line: Printed) -> date:
    return line.on or date.min


def _by_day(lines: Lines, line: Printed) -> Lines:
    """With a line after the last of its day or before; one without a day comes first."""
    later = (turn for turn, each in enumerate(lines) if _day(each) > _day(line))
    at = next(later, len(lines))
    return [*lines[:at], line, *lines[at:]]


def _from_others(ledger: Ledger, lines: Sequence[Printed]) -> Iterator[tuple[str, Printed]]:
    """What papers and site know, and no line says yet; each once."""
    known = set(map(_said, lines))
    for name, line in _witnessed(ledger, lines):
        if _said(line) not in known:
            known.add(_said(line))
            yield name, line


def _said(line: Printed) -> tuple[str, ...]:
    """What a line says of a paper, whatever its day: printed again, it said the same."""
    number, paper = str(line.number), str(line.paper)
    if paper == "certificate" and line.digest:
        return paper, number, str(line.digest)
    said = (line.title, line.address, line.price, line.digest)
    return paper, number, *(str(each or "") for each in said)


def _witnessed(ledger: Ledger, lines: Sequence[Printed]) -> Iterator[tuple[str, Printed]]:
    """Papers by the lines they carry; those without by name and codes; then the site. Of what is
    known by its number alone one line is enough."""
    papers, known = ledger.papers, {(str(line.paper), str(line.number)) for line in lines}
    found: Lines = []
    numbers = {str(line.number) for line in lines} | set(ledger.book.pieces)
    certificates = [(path, number) for number, path in papers.certificates(numbers)]
    for path, number in (*certificates, *((path, "") for path in papers.tags)):
        carried = papers.lines_on(path)
        yield from ((papers.named(path), line) for line in carried)
        found += carried
        known.update((str(line.paper), str(line.number)) for line in carried)
        for line in () if carried else _by_code(papers.addresses_on(path), number):
            if (str(line.paper), str(line.number)) not in known:
                known.add((str(line.paper), str(line.number)))
                found.append(line)
                yield papers.named(path), line
    addressed = {str(line.number) for line in (*lines, *found) if line.address}
    yield from _of_site(ledger, addressed)
    yield from _of_rest(ledger, {str(line.number) for line in (*lines, *found)} | addressed)


def _by_code(addresses: Sequence[str], certified: str) -> Iterator[Printed]:
    """Lines of a paper that carries none: a certificate by its name, tags by their codes."""
    if certified:
        address = next((each for each in addresses if number_in(each) == certified), None)
        yield _line(paper="certificate", number=certified, address=address)
        return
    for address in addresses:
        if number := number_in(address):
            yield _line(paper="tag", number=number, address=address)


def _of_site(ledger: Ledger, addressed: set[str]) -> Iterator[tuple[str, Printed]]:
    site = ledger.site
    for number, address in site.listing.addresses.items():
        if number not in addressed:
            told = {"number": number, "address": address or address_of(site.site, number)}
            yield str(site.listing.place), _line(paper="site", title=site.title_of(number), **told)


def _of_rest(ledger: Ledger, known: set[str]) -> Iterator[tuple[str, Printed]]:
    """Numbers that stand in what is left of a line: of the list, or, where it says nothing any
    more, of its copies."""
    rest = ledger.chain.numbers if ledger.is_unread else set()
    if not ledger.book.printed:
        rest |= copied_numbers(ledger.book.folder)
    for number in sorted(rest - known - set(ledger.site.listing.addresses)):
        yield ledger.file, _line(paper="unknown", number=number)


def _line(**told: str | None) -> Printed:
    return Printed.model_validate({word: each for word, each in told.items() if each})


def _notes(ledger: Ledger, lines: Lines, today: date) -> Iterator[str]:
    """Lines that are no entries: those there were; that the site knew another list."""
    notes, listing = ledger.chain.notes, ledger.site.listing
    yield from (f"{note}\n" for note in notes)
    if not listing.is_of(lines) and listing.digest not in " ".join(notes):
        yield f"# {today}: recovered; the site was built from another list, {listing.digest}\n"


def _whole(text: str) -> bytes:
    """The list, chained from its first entry on."""
    notes = "".join(line for line in text.splitlines(keepends=True) if line.startswith("#"))
    entries = "".join(line for line in text.splitlines(keepends=True) if not line.startswith("#"))
    return notes.encode() + chained(notes.encode(), entries).encode()


def _told(missing: Sequence[tuple[str, Printed]], lost: int) -> Iterator[Words]:
    """The lines that come back, by where they were found."""
    by_name: dict[str, Lines] = {}
    for name, line in missing:
        by_name.setdefault(name, []).append(line)
    for name, lines in by_name.items():
        yield Said("ledger.found", number=len(lines), file=name)
        yield from (f"  + {printed_line(line).rstrip()}" for line in lines[:_MOST])
        if more := lines[_MOST:]:
            yield Said("deed.more_lines", number=len(more))
    if lost:
        yield Said("ledger.unreadable", number=lost)
    if not missing:
        yield Said("ledger.anew")
