"""One state for a whole run: the studio as read today, and each piece worked out once and kept.

In: the book, its flow, colours measured from swatch photos, today. Out: `Studio`, and for each
number a `Worked` piece whose cost, strands, fibres, labels and light are worked out when they are
first asked for. Private: pages and papers for others receive `public` facts instead.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field
from datetime import date
from fractions import Fraction
from functools import cached_property
from typing import TypeVar

from provenance.figures.cloth.balance import Balance, balance
from provenance.figures.dyes.guard import is_of_dyeing
from provenance.figures.dyes.stages import piece_dyes
from provenance.figures.fibre.of_piece import markets_of, piece_fibres, piece_labels
from provenance.figures.fibre.piecework import FibreLabel
from provenance.figures.fibre.shares import FibreShare
from provenance.figures.flow.flow import Flow, Load
from provenance.figures.flow.strands import Strand, key_of, strands_of
from provenance.figures.light.guidance import Light, guidance
from provenance.figures.light.rating import DyeInPiece
from provenance.figures.money.cost import CostSheet, cost_sheet
from provenance.problems import Problem, Said, Slip, Words, did_you_mean
from provenance.records.book import Book
from provenance.records.commissions import Commission
from provenance.records.lots import Outlet
from provenance.records.numbers import Habits
from provenance.records.pieces import Piece
from provenance.records.printed import Printed
from provenance.records.shows import Show
from provenance.records.studio import StudioFile

STILL = "start.still_ours"  # a word of the start files that stands in a record
Record = TypeVar("Record", Piece, Outlet, Commission, Show)


@dataclass(frozen=True, eq=False)
class Studio:
    """One reading of the records and what follows from it; `of_photos` are problems of photos."""

    book: Book
    flow: Flow
    swatches: Mapping[str, str]
    today: date
    problems: tuple[Problem, ...] = ()
    of_photos: frozenset[Problem] = frozenset()
    _kept: dict[str, Worked] = field(default_factory=dict, repr=False)

    @property
    def file(self) -> StudioFile:
        """The studio file: maker, pay, prices, how papers are printed."""
        return self.book.studio

    @property
    def habits(self) -> Habits:
        """How the maker writes numbers, in records and to a command."""
        return self.file.habits

    @cached_property
    def _printed(self) -> Mapping[tuple[str, str], tuple[Printed, ...]]:
        found: dict[tuple[str, str], tuple[Printed, ...]] = {}
        for line in self.book.printed:
            about = (str(line.paper), str(line.number))
            found[about] = (*found.get(about, ()), line)
        return found

    def printed(self, paper: str, number: str) -> tuple[Printed, ...]:
        """The lines of printed.yaml about a paper of a piece, oldest first."""
        return self._printed.get((paper, number), ())

    def not_before(self, paper: str, number: str) -> date:
        """The day a paper is dated: today, and never before it was printed last."""
        last = (line.on for line in self.printed(paper, number)[-1:] if line.on)
        return max([self.today, *last])

    @property
    def mistakes(self) -> tuple[Problem, ...]:
        """Problems that must be mended."""
        return tuple(problem for problem in self.problems if not problem.is_remark)

    @cached_property
    def _just_begun(self) -> frozenset[str]:
        """Files that still hold a word of the start files."""
        told = ((each.place.file, each.what) for each in self.problems)
        return frozenset(
            file for file, what in told if isinstance(what, Said) and what.key == STILL
        )

    def is_at_home(self, show: Show) -> bool:
        """Whether a show still holds a word of the start files: nobody else hears of it."""
        return show.record_place.file in self._just_begun

    def remarks_on(self, pot: str) -> tuple[Words, ...]:
        """What the guard of the dye day says of a bath, or of a yarn dyed in place (`2026-014`)."""
        bath, piece = self.book.baths.get(pot), self.book.pieces.get(pot.split(" ")[0])
        record = bath or piece
        if record is None:
            return ()
        file = record.record_place.file
        said = (problem.what for problem in self.problems if problem.place.file == file)
        return tuple(what for what in said if isinstance(what, Said) and is_of_dyeing(what))

    def piece(self, number: str) -> Worked:
        """One piece, worked out once and kept. Raises Slip for a number nobody knows."""
        if number not in self._kept:
            unknown = Said("find.no_piece", number=number)
            record = self._found("pieces", self.book.pieces, number, unknown)
            self._kept[number] = Worked(self, record)
        return self._kept[number]

    def let_go(self, number: str) -> None:
        """Hold what was worked out of a piece no longer; it is worked out anew when asked for."""
        self._kept.pop(number, None)

    def outlet(self, name: str) -> Outlet:
        """An outlet by its name. Raises Slip for a name nobody knows."""
        return self._found("outlets", self.book.outlets, name, Said("find.no_outlet", name=name))

    def commission(self, number: str) -> Commission:
        """A commission by its number. Raises Slip for a number nobody knows."""
        unknown = Said("find.no_commission", number=number)
        return self._found("commissions", self.book.commissions, number, unknown)

    def show(self, name: str) -> Show:
        """A show by its name. Raises Slip for a name nobody knows."""
        return self._found("shows", self.book.shows, name, Said("find.no_show", name=name))

    def _found(self, kind: str, known: Mapping[str, Record], name: str, unknown: Said) -> Record:
        if self.book.is_broken(name, kind):
            raise Slip(Said("find.broken", name=name))
        if name not in known:
            files = self.book.broken.get(kind, ())  # 2026-002-charm, by which its number is known
            if any(file.startswith(f"{name}-") for file in files):
                raise Slip(Said("find.broken", name=name))
            raise Slip(unknown, did_you_mean(name, known))
        return known[name]

    def pieces(self, numbers: Iterable[str] = ()) -> Iterator[Worked]:
        """The pieces asked for; without numbers every one, in the order of the record book."""
        return map(self.piece, tuple(numbers) or tuple(self.book.pieces))


@dataclass(frozen=True, eq=False)
class Worked:
    """One piece and all that is worked out of its record; each part raises Slip when it can't be
    known, and is worked out once."""

    studio: Studio
    record: Piece

    @property
    def number(self) -> str:
        """Its number."""
        return str(self.record.number)

    @cached_property
    def load(self) -> Load:
        """What it carries, or one of a set: grams, money and hours by where they came from."""
        load = self.studio.flow.loads[key_of(self.record)]
        return load.share(Fraction(1, self.record.made))

    @cached_property
    def cost(self) -> CostSheet:
        """What it cost and what it should sell for."""
        return cost_sheet(self.studio.book, self.studio.flow, self.record, self.studio.today)

    @cached_property
    def strands(self) -> tuple[Strand, ...]:
        """Its lots, or those of one of a set, with their way from the fleece."""
        studio, cloth = self.studio, [each / self.record.made for each in self.balance.cloth]
        return strands_of(studio.book, studio.flow, self.record, studio.swatches, cloth)

    @cached_property
    def balance(self) -> Balance:
        """How much of each yarn is in the cloth, and what was left over; of all in a set."""
        return balance(self.studio.book, self.record)

    @cached_property
    def fibres(self) -> tuple[FibreShare, ...]:
        """Its fibre content, most first."""
        return piece_fibres(self.studio.book, self.record, self.balance)

    @property
    def labels(self) -> dict[str, FibreLabel]:
        """Its fibre label in each market of the studio and of the outlet where it is."""
        return self.labels_in(markets_of(self.studio.book, self.record))

    def labels_in(self, markets: tuple[str, ...]) -> dict[str, FibreLabel]:
        """Its fibre label in each of these markets, each worked out once."""
        new = tuple(market for market in markets if market not in self._labels)
        if new:
            self._labels.update(piece_labels(self.studio.book, self.record, self.balance, new))
        return {market: self._labels[market] for market in markets if market in self._labels}

    @cached_property
    def _labels(self) -> dict[str, FibreLabel]:
        return {}

    @cached_property
    def dyes(self) -> tuple[DyeInPiece, ...]:
        """Every dye in it, with the mordants of its yarn."""
        return piece_dyes(self.studio.book, self.record)

    @cached_property
    def light(self) -> Light:
        """Light guidance for the home wall of the studio file."""
        wall = self.studio.file.light
        return guidance(self.dyes, wall.lux, wall.hours_a_day, place=wall.record_place)
