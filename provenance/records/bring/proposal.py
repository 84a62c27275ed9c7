"""What would be brought in: rows held against the records that there are.

In: what each row says, the book, the numbers that are taken. Out: new records with their numbers,
rows that are there already, rows that say otherwise than the record of their number, rows that
can't be brought in and why. Rows match records by number; without one, by title and year, and what
matches nothing gets the next free number of its year, by day and then in the order of the rows.
"""

from collections.abc import Collection, Container, Iterator, Mapping, Sequence
from dataclasses import dataclass, field

from provenance.problems import Problems, Said
from provenance.records.book import Book
from provenance.records.bring.facts import Fault, Told, lines_of
from provenance.records.bring.same import differing
from provenance.records.bring.written import piece_of
from provenance.records.numbers import Habits
from provenance.records.pieces import Piece

ASKED = ("bring.say_order", "bring.say_unit")  # remedies that the maker has to give for a column


@dataclass(frozen=True, slots=True)
class New:
    """A row that makes a new record; `is_numbered_here` where the table gave no number."""

    row: int
    piece: Piece
    facts: Mapping[str, str]
    is_numbered_here: bool = False

    @property
    def number(self) -> str:
        """Its number."""
        return str(self.piece.number)


@dataclass(frozen=True, slots=True)
class Changed:
    """A row that says otherwise than the record of its number: word, record, row."""

    row: int
    number: str
    words: tuple[tuple[str, str, str], ...]


@dataclass(slots=True)
class Proposal:
    """What is to be done with each row; `questions` are of rows that wait for an answer about a
    column."""

    new: list[New] = field(default_factory=list)
    there: list[tuple[int, str]] = field(default_factory=list)
    changed: list[Changed] = field(default_factory=list)
    refused: list[Fault] = field(default_factory=list)
    questions: list[Fault] = field(default_factory=list)
    remarks: list[Fault] = field(default_factory=list)


@dataclass(frozen=True, slots=True)
class Known:
    """The records that there are, the numbers that are taken otherwise, the studio's habits."""

    book: Book
    taken: Container[str]
    habits: Habits


def propose(rows: Sequence[Told], known: Known) -> Proposal:
    """The proposal for all rows."""
    made = Proposal()
    sound: list[Told] = []
    for told in rows:
        _refuse(made, told.faults)
        made.remarks += [] if told.faults else told.remarks
        sound += [] if told.faults else [told]
    numbered: dict[str, int] = {}
    for told in (each for each in sound if "number" in each.facts):
        number = told.facts["number"]
        if number in numbered:
            twice = Said("bring.number_twice", number=number, row=numbered[number])
            made.refused.append(Fault(told.row, "", twice, Said("bring.own_number")))
            continue
        numbered[number] = told.row
        _hold(made, told, number, known)
    _without_number([each for each in sound if "number" not in each.facts], numbered, made, known)
    made.new.sort(key=lambda each: each.row)
    made.refused.sort(key=lambda each: each.row)
    return made


def _refuse(made: Proposal, faults: Sequence[Fault]) -> None:
    """A row with something wrong is refused for that; else it waits for what is asked."""
    asked = [each for each in faults if isinstance(each.remedy, Said) and each.remedy.key in ASKED]
    wrong = [each for each in faults if each not in asked]
    made.refused += wrong
    made.questions += [] if wrong else asked


def _hold(made: Proposal, told: Told, number: str, known: Known, *, is_here: bool = False) -> None:
    """One row with its number: new, there already, changed or refused."""
    facts = lines_of(told)
    record = known.book.pieces.get(number)
    if record is None and (why := _taken(number, known)):
        made.refused.append(Fault(told.row, "", why, Said("bring.other_number")))
        return
    if record is None and facts.get("earlier") == "no":
        made.refused.append(
            Fault(told.row, "", Said("bring.not_earlier"), Said("bring.earlier_yes"))
        )
        return
    problems = Problems()
    piece = piece_of(facts, number, known.habits, problems)
    if piece is None:
        made.refused += [Fault(told.row, "", each.what, each.remedy) for each in problems]
    elif record is None and piece.missing:
        made.refused.append(Fault(told.row, "", Said("bring.no_year"), Said("bring.write_year")))
    elif record is None:
        made.new.append(New(told.row, piece, facts, is_numbered_here=is_here))
    elif words := tuple(differing(record, piece, facts)):
        _differs(made, told, record, words)
    else:
        made.there.append((told.row, number))


def _differs(
    made: Proposal, told: Told, record: Piece, words: tuple[tuple[str, str, str], ...]
) -> None:
    """A number under another title is another piece's; else the row tells of changes."""
    if any(word == "title" for word, _, _ in words) and len(words) > 1:
        what = Said("bring.other_piece", number=str(record.number), title=str(record.title),
                    place=record.number.place.short)  # fmt: skip
        made.refused.append(Fault(told.row, "", what, Said("bring.other_number")))
    else:
        made.changed.append(Changed(told.row, str(record.number), words))


def _taken(number: str, known: Known) -> Said | None:
    """Why a number without a record can't be given."""
    for line in known.book.printed:
        if str(line.number) == number:
            key = "bring.printed" if line.title and line.on else "bring.taken"
            return Said(key, number=number, title=str(line.title), on=line.on or "")
    if number in known.taken or known.book.is_broken(number, "pieces"):
        return Said("bring.taken", number=number)
    return None


def _without_number(
    rows: Sequence[Told], numbered: Collection[str], made: Proposal, known: Known
) -> None:
    """Rows without a number, matched by title and year, else given the next one of their year."""
    pool = _pool(known.book, numbered)
    free = _Free(known, numbered)
    for told in sorted(rows, key=lambda each: (each.facts.get("finished", ""), each.row)):
        title, when = told.facts["title"], told.facts.get("finished", "")
        same = pool.get((title, when), [])
        if same:
            _hold(made, told, same.pop(0), known)
        elif when:
            _hold(made, told, free.next(when[:4]), known, is_here=True)
        else:
            made.refused.append(
                Fault(told.row, "", Said("bring.no_year"), Said("bring.write_year"))
            )


def _pool(book: Book, numbered: Container[str]) -> dict[tuple[str, str], list[str]]:
    """Numbers of earlier pieces by title and year, in order."""
    found: dict[tuple[str, str], list[str]] = {}
    for number, piece in sorted(book.pieces.items()):
        if piece.earlier and number not in numbered:
            found.setdefault((str(piece.title), str(piece.finish or "")), []).append(number)
    return found


@dataclass(slots=True)
class _Free:
    """The next free number of each year."""

    known: Known
    numbered: Collection[str]
    last: dict[str, int] = field(default_factory=dict)

    def next(self, year: str) -> str:
        """The next number of a year that nothing has, after the highest of the records."""
        turn = self.last.get(year, self._highest(year)) + 1
        while self._is_taken(number := f"{year}-{turn:03}"):
            turn += 1
        self.last[year] = turn
        return number

    def _highest(self, year: str) -> int:
        rest = (
            each.removeprefix(f"{year}-") for each in self._all() if each.startswith(f"{year}-")
        )
        return max((int(each) for each in rest if each.isdigit() and len(each) < 6), default=0)

    def _all(self) -> Iterator[str]:
        yield from self.known.book.pieces
        yield from self.numbered
        yield from (str(line.number) for line in self.known.book.printed)

    def _is_taken(self, number: str) -> bool:
        is_known = number in self.known.book.pieces or number in self.numbered
        return is_known or _taken(number, self.known) is not None
