"""Records that were looked through before and gave nothing to say: they are passed over.

In: the keys of those records, marks of the record files (by name, from `records.kept`). Out: what
is found in a record, and the keys of those in which nothing is. A key holds all that a look at a
bath or a piece comes from: its own file, those of every bath its yarns went through, the studio and
its stock. Pieces and baths are looked at one by one; no other piece is in such a look. What was
found is never kept, so every mistake and remark is found afresh.
"""

import hashlib
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from contextlib import contextmanager
from dataclasses import dataclass, field
from functools import cached_property, partial

from provenance.problems import Problem
from provenance.records.baths import Bath
from provenance.records.book import Book
from provenance.records.pieces import Piece
from provenance.records.reading import Record
from provenance.workers import beside, in_halves

Looked = Bath | Piece
MANY = 100  # looks; so many are worth a process
_Look = Callable[[], Iterable[Problem]]
_NOT_STOCK = ("printed", "deeds")  # files in studio/ that say nothing of stock


@dataclass
class Reviewed:
    """What an earlier run found nothing in, and what this one finds nothing in."""

    before: frozenset[str] = frozenset()
    program: str = ""
    marks: Mapping[str, str] = field(default_factory=dict)
    now: set[str] = field(default_factory=set)

    def of(self, book: Book) -> "Looks":
        """Looks at the records of a book."""
        return Looks(self, book)

    def alone(self, what: str, record: Record, look: _Look) -> tuple[Problem, ...]:
        """What a look at a record finds that comes from nothing but its file, and from `what`."""
        file = record.record_place.file
        mark = self.marks.get(file)
        return self.passing(_key_of(self.program, what, file, mark) if mark else "", look)

    def each_passing(self, looks: Sequence[tuple[str, _Look]]) -> Iterator[Problem]:
        """What looks find, one after another; of many new ones half are taken beside us."""
        new = [turn for turn, (key, _) in enumerate(looks) if key and key not in self.before]
        found: dict[int, tuple[Problem, ...]] = {}

        def look_at(turn: int) -> None:
            found[turn] = self.passing(*looks[turn])

        if is_much(len(new), len(looks)):
            quiet = in_halves(new, look_at, partial(_quiet, looks))
            found |= {turn: self.passing(looks[turn][0], tuple) for turn in map(int, quiet.split())}
        for turn, look in enumerate(looks):
            yield from found[turn] if turn in found else self.passing(*look)

    def passing(self, key: str, look: _Look) -> tuple[Problem, ...]:
        """What a look finds; nothing where the same look, under this key, found nothing."""
        found = () if key and key in self.before else tuple(look())
        if key and not found:
            self.now.add(key)
        return found


@dataclass
class Looks:
    """Looks at the pieces and baths of one book."""

    reviewed: Reviewed
    book: Book

    def at_each(
        self, records: Iterable[Looked], look: Callable[[Looked], Iterable[Problem]]
    ) -> Iterator[Problem]:
        """What a look at each record finds; nothing where the same look found nothing."""
        looks = [(self._key(record), partial(look, record)) for record in records]
        return self.reviewed.each_passing(looks)

    @contextmanager
    def at_all(self, look: _Look) -> Iterator[Callable[[], tuple[Problem, ...]]]:
        """What a look at all records but those of what was printed and done finds; of many it is
        taken beside us until it is asked for."""
        marks, known = self._marks_without(set()), self.reviewed
        key = _key_of("all", known.program, marks, self._broken) if marks else ""
        if not key or key in known.before or len(self.book.pieces) < MANY:
            yield lambda: known.passing(key, look)
            return
        with beside(partial(_quiet, [(key, look)], [0])) as theirs:
            yield lambda: known.passing(key, tuple if theirs() else look)

    def _key(self, record: Looked) -> str:
        """'' for a record whose file, or that of a bath behind it, has no mark."""
        files = [each.record_place.file for each in (record, *self._baths_behind(record))]
        marks = [self.reviewed.marks.get(file) for file in files]
        if not all(marks):
            return ""
        return _key_of(self._shared, files[0], sorted(zip(files, marks, strict=True)))

    def _baths_behind(self, record: Looked) -> Iterable[Bath]:
        """Every bath its yarns went through, and those whose leftovers were used."""
        found, waiting = dict[str, Bath](), list(_drawn(record))
        while waiting:
            name = waiting.pop()
            dyed = self.book.dyed.get(name)
            for bath in filter(None, (self.book.baths.get(name), dyed and dyed.bath)):
                if bath.record_place.file not in found:
                    found[bath.record_place.file] = bath
                    waiting += _drawn(bath)
        return found.values()

    @cached_property
    def _shared(self) -> str:
        """The studio, its stock, what could not be read, and the program that looks."""
        book = self.book
        records = (*book.baths.values(), *book.pieces.values(), *book.commissions.values(),
                   *book.shows.values())  # fmt: skip
        own = {each.record_place.file for each in records}
        return _key_of(self.reviewed.program, self._marks_without(own), self._broken)

    def _marks_without(self, own: set[str]) -> list[tuple[str, str]]:
        own = own | {f"{self.book.folder.name}/studio/{name}.yaml" for name in _NOT_STOCK}
        return sorted(each for each in self.reviewed.marks.items() if each[0] not in own)

    @cached_property
    def _broken(self) -> object:
        return sorted((kind, sorted(names)) for kind, names in self.book.broken.items())


def _quiet(looks: Sequence[tuple[str, _Look]], turns: Iterable[int]) -> bytes:
    """The turns of those looks that find nothing."""
    return b" ".join(b"%d" % turn for turn in turns if not tuple(looks[turn][1]()))


def is_much(new: int, looks: int) -> bool:
    """Whether so many new looks are worth a process; some find something in every run."""
    return new >= max(MANY, looks // 2)


def _key_of(*state: object) -> str:
    return hashlib.sha256(repr(state).encode("utf-8", "replace")).hexdigest()


def _drawn(record: Looked) -> Iterator[str]:
    """The lots and baths that a record names as what it draws from."""
    if isinstance(record, Piece):
        yield from (str(use.lot) for use in record.yarns if use.lot)
    else:
        yield from (str(entry.yarn) for entry in record.dyed)
        yield from (str(record.exhaust_of),) if record.exhaust_of else ()
