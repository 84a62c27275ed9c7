"""One state for a whole run: the studio as read today, and each piece worked out once and kept.

In: the book, its flow, colours measured from swatch photos, today. Out: `Studio`, and for each
number a `Worked` piece whose cost, strands, fibres, labels and light are worked out when they are
first asked for. Private: pages and papers for others receive `public` facts instead.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field
from datetime import date
from functools import cached_property

from provenance.figures.fibre.of_piece import piece_fibres, piece_labels
from provenance.figures.fibre.piecework import FibreLabel
from provenance.figures.fibre.shares import FibreShare
from provenance.figures.flow.flow import Flow, Load
from provenance.figures.flow.strands import Strand, key_of, strands_of
from provenance.figures.light.guidance import DyeInPiece, Light
from provenance.figures.light.of_piece import piece_dyes, piece_light
from provenance.figures.money.cost import CostSheet, cost_sheet
from provenance.problems import Problem, Said, Slip, did_you_mean
from provenance.records.book import Book
from provenance.records.commissions import Commission
from provenance.records.lots import Outlet
from provenance.records.pieces import Piece
from provenance.records.printed import Printed
from provenance.records.studio import StudioFile


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

    @property
    def mistakes(self) -> tuple[Problem, ...]:
        """Problems that must be mended."""
        return tuple(problem for problem in self.problems if not problem.is_remark)

    def piece(self, number: str) -> Worked:
        """One piece, worked out once and kept. Raises Slip for a number nobody knows."""
        if number not in self._kept:
            self._kept[number] = Worked(self, self._record(number))
        return self._kept[number]

    def _record(self, number: str) -> Piece:
        if self.book.is_broken(number, "pieces"):
            raise Slip(Said("find.broken", name=number))
        if number not in self.book.pieces:
            raise Slip(Said("find.no_piece", number=number), did_you_mean(number, self.book.pieces))
        return self.book.pieces[number]

    def outlet(self, name: str) -> Outlet:
        """An outlet by its name. Raises Slip for a name nobody knows."""
        if name not in self.book.outlets:
            if self.book.is_broken(name, "outlets"):
                raise Slip(Said("find.broken", name=name))
            raise Slip(Said("find.no_outlet", name=name), did_you_mean(name, self.book.outlets))
        return self.book.outlets[name]

    def commission(self, number: str) -> Commission:
        """A commission by its number. Raises Slip for a number nobody knows."""
        known = self.book.commissions
        if self.book.is_broken(number, "commissions"):
            raise Slip(Said("find.broken", name=number))
        if number not in known:
            raise Slip(Said("find.no_commission", number=number), did_you_mean(number, known))
        return known[number]

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
        """What it carries: grams, money and hours by where they came from."""
        return self.studio.flow.loads[key_of(self.record)]

    @cached_property
    def cost(self) -> CostSheet:
        """What it cost and what it should sell for."""
        return cost_sheet(self.studio.book, self.studio.flow, self.record)

    @cached_property
    def strands(self) -> tuple[Strand, ...]:
        """Its lots with their way from the fleece."""
        return strands_of(self.studio.book, self.studio.flow, self.record, self.studio.swatches)

    @cached_property
    def fibres(self) -> tuple[FibreShare, ...]:
        """Its fibre content, most first."""
        return piece_fibres(self.studio.book, self.record)

    @cached_property
    def labels(self) -> dict[str, FibreLabel]:
        """Its fibre label in each market the studio prints for."""
        return piece_labels(self.studio.book, self.record)

    @cached_property
    def dyes(self) -> tuple[DyeInPiece, ...]:
        """Every dye in it, with the mordants of its yarn."""
        return piece_dyes(self.studio.book, self.record)

    @cached_property
    def light(self) -> Light:
        """Light guidance for the home wall of the studio file."""
        return piece_light(self.studio.book, self.record)
