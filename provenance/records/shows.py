"""An exhibition: shows/NAME.yaml, what hangs on which wall, when, and the catalogue it wants.

In: the words of a record. Out: a frozen `Show`, known by the name of its file. Which works exist,
and whether they fit the walls, is held against the book elsewhere (`checks_shows`,
`figures.hanging_checks`).
"""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from datetime import date, datetime, time
from fractions import Fraction
from typing import Annotated, ClassVar

from pydantic import model_validator

from provenance.problems import Place, Said, Slip
from provenance.records import quantities as q
from provenance.records.fields import Known, Name, OneOf, OneOrMore, PieceNumber, Reads, Text, day
from provenance.records.lots import Span, read_span
from provenance.records.pages import ENDING
from provenance.records.reading import Named, Record
from provenance.records.sets import Whole
from provenance.records.text import Written

# The middle of each work above the floor, where the record is silent: common practice among those
# who hang shows lies between 145 and 152 cm (art-pronet.com 2018, thepracticalartworld 2011).
CENTRE_LINE = Fraction(152)
_OPENING = re.compile(r"([^\sT]+)(?:[ T]+(?:at )?([0-2]?[0-9])[:.]([0-5][0-9])(?::00)?)?")


@dataclass(frozen=True, slots=True)
class Opening:
    """The day a show opens to its guests and, where that is written, the time."""

    on: date
    at: str
    place: Place

    @property
    def moment(self) -> datetime | None:
        """Day and time together; None without a time."""
        return datetime.combine(self.on, time.fromisoformat(self.at)) if self.at else None


def _opening(text: Written) -> Opening:
    """`2027-03-04 18:00`, or the day alone."""
    found = _OPENING.fullmatch(text.strip())
    if found is None or (found[2] and int(found[2]) > 23):
        raise Slip(Said("show_file.opening", text=text), Said("show_file.write_opening"))
    at = f"{int(found[2]):02}:{found[3]}" if found[2] else ""
    return Opening(day(found[1]), at, text.place)


def _isbn(text: Written) -> Written:
    """Thirteen digits of which the last proves the others: their sum times 1, 3, 1, 3 ... is a
    multiple of ten (ISO 2108)."""
    digits = re.sub(r"[\s–-]", "", text.upper().removeprefix("ISBN"))
    if not re.fullmatch("97[89][0-9]{10}", digits):
        raise Slip(Said("show_file.isbn", text=text), Said("show_file.write_isbn"))
    if sum(int(each) * (3 if turn % 2 else 1) for turn, each in enumerate(digits)) % 10:
        raise Slip(Said("show_file.isbn_sum", text=text), Said("show_file.look_at_isbn"))
    return text


class Wall(Record):
    """One wall of a show and what hangs on it, from the left."""

    looks_like: ClassVar[Said] = Said("such.wall")

    name: Text | None = None
    width: q.Centimetres
    works: Annotated[tuple[PieceNumber, ...], OneOrMore()] = ()
    eye: q.Centimetres | None = None
    height: q.Centimetres | None = None
    gaps: Annotated[tuple[q.Centimetres, ...], OneOrMore()] = ()

    @model_validator(mode="after")
    def _gaps_between(self) -> Wall:
        between = max(len(self.works) - 1, 1)
        if len(self.gaps) > 1 and len(self.gaps) != between:
            counts = {"gaps": len(self.gaps), "works": len(self.works)}
            remedy = Said("show_file.write_gaps", count=between)
            raise Slip(Said("show_file.gaps", **counts), remedy, self.gaps[0].place)
        return self

    def middle(self, of_show: Fraction) -> Fraction:
        """How high above the floor the middle of each work hangs here, in cm: as in all the show,
        unless this wall says otherwise."""
        return Fraction(self.eye) if self.eye else of_show


class CatalogueAsked(Record):
    """The printed catalogue of a show."""

    looks_like: ClassVar[Said] = Said("such.catalogue")

    size: Text = Written("A5")
    essay: Text | None = None
    paper: Text | None = None
    copies: Whole | None = None
    isbn: Annotated[Written, Reads(_isbn)] | None = None
    bleed: q.Centimetres | None = None
    printer_profile: Text | None = None
    binding: Annotated[Written, OneOf("stapled", "glued")] | None = None


class Show(Named):
    """shows/NAME.yaml."""

    title: Text
    place: Text | None = None
    address: Text | None = None
    hours: Text | None = None
    web: Text | None = None
    outlet: Name | None = None
    dates: Annotated[Span, Reads(read_span)] | None = None
    opening: Annotated[Opening, Reads(_opening)] | None = None
    words: Text | None = None
    centre_line: q.Centimetres | None = None
    walls: Annotated[tuple[Wall, ...], OneOrMore()] = ()
    works: Annotated[tuple[PieceNumber, ...], OneOrMore()] = ()
    catalogue: CatalogueAsked | None = None
    known: Known = ()
    notes: Text | None = None

    @property
    def path(self) -> str:
        """The permanent address of its page, from the root of the site."""
        return show_path(str(self.name))

    @property
    def hung(self) -> Iterator[Written]:
        """Every number as it is written: wall by wall from the left, then works without a wall."""
        for wall in self.walls:
            yield from wall.works
        yield from self.works

    @property
    def texts(self) -> tuple[Written, ...]:
        """The pages it names: the room text, the essay of its catalogue."""
        essay = self.catalogue.essay if self.catalogue else None
        return tuple(filter(None, (self.words, essay)))

    @property
    def pages(self) -> tuple[str, ...]:
        """The names of those pages."""
        return tuple(map(page_named, self.texts))

    @property
    def eye(self) -> Fraction:
        """How high above the floor the middle of each work hangs, in cm."""
        return Fraction(self.centre_line) if self.centre_line else CENTRE_LINE


def shown_in(shows: Mapping[str, Show]) -> dict[str, tuple[Show, ...]]:
    """The shows that each work hangs in."""
    found: dict[str, tuple[Show, ...]] = {}
    for show in shows.values():
        for number in dict.fromkeys(map(str, show.hung)):
            found[number] = (*found.get(number, ()), show)
    return found


def show_path(name: str) -> str:
    """Where the page of a show lies, by the name of its file: in small letters without accents,
    with a hyphen for whatever an address may not hold."""
    plain = unicodedata.normalize("NFKD", name.casefold())
    part = re.sub(r"[^a-z0-9._-]+", "-", re.sub(r"[\u0300-\u036f]", "", plain))
    return f"shows/{part.strip('-.') or 'show'}/"


def page_named(file: str) -> str:
    """The name of the page in a file of pages/: `pages/Low-water.md` -> low-water."""
    stem = file.removeprefix("pages/")
    stem = stem[: -len(ENDING)] if stem.lower().endswith(ENDING) else stem
    return unicodedata.normalize("NFC", stem).lower()
