"""The certificate on paper: a page to frame, and the record of the piece overleaf.

In: the public studio, what is said, the issue, the sheet. Out: the bytes of a PDF/A-3a and
PDF/UA-1. How large photo, title, statement and the record's letters are is measured beforehand
(`fitting`), so that it is laid out once; where that misses, the next closer way is taken. What is
longer than two pages hold is shortened, which the page says; only where even the shortest takes
more pages, it goes out on as many.
"""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction
from functools import cached_property
from itertools import islice, repeat
from typing import TypeVar

from provenance.papers.certificates.certificate import Certificate, Issue, photos_of
from provenance.papers.certificates.fitting import (
    BESIDE_MM,
    COLUMN_GAP_MM,
    HAND_MM,
    LABELS_MM,
    SMALL,
    Front,
    Record,
    Room,
    brief,
    fronts,
    records,
    shortened,
    together,
)
from provenance.papers.certificates.object_id import Row
from provenance.papers.certificates.ribbons import gathered
from provenance.papers.format import SELVEDGE_MM, Format
from provenance.press.codes.qr import CLEAR, Code, code_of, mm
from provenance.press.drawings import lineage
from provenance.press.drawings.selvedge import bar_svg
from provenance.press.letters.measure import POINT
from provenance.press.pdf import render as pdf
from provenance.press.pdf.noted import carrying
from provenance.press.pictures.photos import Upright, for_print, open_photo
from provenance.press.templates import render, source
from provenance.public.studio import PublicStudio

MODULE_MM = Decimal("0.65")
PAGES = 2
_TRIES = 24
EM = SMALL * POINT
_PROSE = ("light", "care", "sources")
Way = TypeVar("Way")


@dataclass(frozen=True, slots=True)
class Seal:
    """What a sealed certificate carries: a line to print, and the file that travels inside."""

    key_line: str
    file: pdf.Attached


def certificate_pdf(
    studio: PublicStudio,
    certificate: Certificate,
    issue: Issue,
    sheet: Format,
    seal: Seal | None = None,
    noted: str = "",
) -> bytes:
    """The finished paper, which carries what is noted of it; Slip says what cannot be printed."""
    laid = _Page(studio, certificate, issue, sheet, seal, noted).laid_out()
    return laid.pdf(
        archival=True,
        identifier=f"{issue.digest} {issue.number} {sheet}".encode(),
        created=issue.on,
        attachments=(seal.file,) if seal else (),
    )


def _and_again(ways: Iterator[Way]) -> Iterator[Way]:
    """Each way in turn, and the last one for ever."""
    last = None
    for way in ways:
        last = way
        yield way
    if last is not None:
        yield from repeat(last)


@dataclass(frozen=True)
class _Page:
    """One certificate being set."""

    studio: PublicStudio
    it: Certificate
    issue: Issue
    sheet: Format
    seal: Seal | None
    noted: str

    def laid_out(self) -> pdf.Laid:
        """The first way of setting it that takes two pages; after many tries the closest."""
        of_front, of_record = _and_again(self._fronts()), _and_again(self._records())
        for front, record in islice(zip(of_front, of_record, strict=False), _TRIES):
            laid = pdf.lay_out(*self.set(front, record))
            if laid.pages == PAGES:
                return laid
        *_, front = self._fronts()
        *_, record = self._records()
        return pdf.lay_out(*self.set(front, record))

    def _fronts(self) -> Iterator[Front]:
        shape = Fraction(self.photo.width, self.photo.height) if self.photo else Fraction(0)
        return fronts(self.it, Room.on(self.sheet), shape, self._small)

    def _records(self) -> Iterator[Record]:
        return records(self.it, Room.on(self.sheet), self._prose, self._drawn_high)

    def set(self, front: Front, record: Record) -> tuple[str, Mapping[str, bytes | Code]]:
        """Both pages as HTML with their files."""
        black, templates = self.sheet.is_black, self.studio.templates
        tall = self.sheet.size_mm[1]
        assets: dict[str, bytes | Code] = {
            "certificate.css": source("certificate/certificate.css", templates),
            "selvedge.svg": bar_svg(self.it.stripes, SELVEDGE_MM, tall, upright=True, black=black),
        }
        context = {
            "it": brief(self.it, front.most),
            "front": front,
            "record": record,
            "is_black": black,
            "sheet": self.sheet.name,
            "language": self.studio.phrases.language,
            "words": self._words,
            "photo": self._photo(front, assets),
            "drawing": self._drawing(record, assets),
            "code": self._code(assets),
            "rows": self._rows(record),
            "prose": self._told(record),
            "small": self._small,
            "shortened": bool(front.most or record.most),
            "mm": {"labels": LABELS_MM, "gap": COLUMN_GAP_MM, "hand": HAND_MM},
        }
        html = render("certificate/certificate.html", context, templates)
        return carrying(html, self.noted), assets

    @cached_property
    def photo(self) -> Upright | None:
        """The maker's photo, looked at; Slip when it can't be shown."""
        if self.it.photo is None:
            return None
        return open_photo(photos_of(self.studio), self.it.photo.file)

    def _photo(self, front: Front, assets: dict[str, bytes | Code]) -> dict[str, str] | None:
        """Its sides on the page in millimetres; it is put among the assets, as drawing and code."""
        if self.photo is None or self.it.photo is None:
            return None
        sides = {"width": front.photo[0], "height": front.photo[1]}
        sides["room"] = front.photo[0] + BESIDE_MM
        told = {name: f"{float(side):.2f}" for name, side in sides.items()}
        grey = self.sheet.is_black
        assets["photo.jpg"] = for_print(self.photo, float(told["width"]), grey=grey)
        return {**told, "alt": self.it.photo.alt or f"{self.it.title}, {self.it.kind_line}"}

    def _drawn(self, lots: int) -> tuple[str, Fraction]:
        """The lineage of so many lots, and how high it is; none for 0."""
        tree, ink = gathered(self.it.tree, lots, self.studio.phrases), "#231d19"
        if not lots or not tree.twigs:
            return "", Fraction(0)
        if self.sheet.is_black:
            tree, ink = lineage.greyed(tree), "#000"
        svg = lineage.draw_wide(tree, float(Room.on(self.sheet).width / EM), ink, run_in=True)
        lines = svg.split('viewBox="', 1)[1].split('"', 1)[0].split()[3]
        return svg, Fraction(lines) * EM

    def _drawn_high(self, lots: int) -> Fraction:
        return self._drawn(lots)[1]

    def _drawing(self, record: Record, assets: dict[str, bytes | Code]) -> dict[str, str] | None:
        """Its sides on the page; None where there is none, or no room for it."""
        svg, height = self._drawn(record.lots)
        if not svg:
            return None
        assets["lineage.svg"] = svg.encode()
        width = float(Room.on(self.sheet).width)
        return {"width": f"{width:.2f}", "height": f"{float(height):.2f}"}

    def _code(self, assets: dict[str, bytes | Code]) -> dict[str, Decimal] | None:
        if not self.it.address:
            return None
        code = assets["code.png"] = code_of(self.it.address)
        return {"width": mm(code, MODULE_MM), "edge": CLEAR * MODULE_MM}

    def _rows(self, record: Record) -> list[Row]:
        """The record, what is not recorded, and the day it was written down."""
        phrases, unknown = self.studio.phrases, self.it.not_recorded
        day = Row(phrases.say("object_id.documented"), (phrases.day(self.issue.on),))
        without = [Row(phrases.say("object_id.without"), (unknown,))] if unknown else []
        legend = phrases.say("certificate.format") if "; " in self.it.provenance else ""
        told = tuple(filter(None, (self.it.provenance, legend)))
        owners = Row(phrases.say("certificate.provenance"), told)
        return [
            Row(row.label, tuple(shortened(line, record.most) for line in together(row.lines)))
            for row in (*self.it.record, owners, day, *without)
        ]

    @cached_property
    def _prose(self) -> tuple[str, ...]:
        """What is told in sentences; empty ones say nothing."""
        return self.it.light, self.it.care, " ".join(self.it.light_sources)

    def _told(self, record: Record) -> list[tuple[str, str]]:
        """The same under their headings."""
        told = zip(_PROSE, self._prose, strict=True)
        return [(self._words[name], shortened(text, record.most)) for name, text in told if text]

    @cached_property
    def _small(self) -> tuple[str, ...]:
        """The small lines under the signature."""
        say, site = self.studio.phrases.say, self.studio.site.partition("://")[2]
        page = say("certificate.page", address=f"{site}/{self.it.number}/") if site else ""
        key_line = self.seal.key_line if self.seal else ""
        lines = (say("certificate.overleaf"), page, key_line)
        return tuple(line for line in lines if line)

    @cached_property
    def _words(self) -> dict[str, str]:
        say, it = self.studio.phrases.say, self.it
        day = self.studio.phrases.day(self.issue.on)
        issue = "first_issue" if self.issue.number == 1 else "issue"
        named = ("name", "light", "lineage", "facts", "shortened")
        more = {
            "issue": say(f"certificate.{issue}", number=str(self.issue.number), day=day),
            "sources": say("certificate.light_sources"),
            "care": say("label.care"),
            "record": say("object_id.name"),
            "place_and_day": say("certificate.place_and_day", place=it.place, day=day)
            if it.place
            else day,
            "code": say("certificate.code", number=it.number, address=it.address),
        }
        return {**{name: say(f"certificate.{name}") for name in named}, **more}
