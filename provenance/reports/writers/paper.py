"""Reports on paper, for the maker's binder: archival PDFs, with every working in small type.

In: a report that is filed, the border. Out: the bytes of a PDF. Tables of half a page
stand in two columns; names of lots and outlets are spoken (harbour-gallery, Harbour gallery), and
days are in the form of the language. Private: such a paper never leaves the studio.
"""

from __future__ import annotations

import hashlib
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from itertools import groupby
from typing import Any

from provenance.language.phrases import Phrases
from provenance.papers.format import Format, format_for
from provenance.press.codes.qr import Code
from provenance.press.drawings.selvedge import bar_svg
from provenance.press.pdf.render import render_pdf
from provenance.press.pictures.photos import for_print, open_photo
from provenance.press.templates import render, source
from provenance.problems import Slip, Words
from provenance.public.border import Border
from provenance.public.names import capital, spoken
from provenance.public.studio import PublicStudio
from provenance.records.checks_photos import photo_path
from provenance.reports.report import (
    Cell,
    Filed,
    Note,
    Part,
    Report,
    Row,
    Step,
    Table,
    Tree,
    shown_by,
)
from provenance.reports.writers.workings import workings

_STRIP_MM = (60.0, 3.2)
_THUMB_MM = (10.0, 11.5)
_LONG_WORD = 18  # letters; a longer word may be broken anywhere, so that no column grows with it


def as_paper(report: Report, filed: Filed, border: Border, sheet: Format | None = None) -> bytes:
    """The PDF; Slip says what of it cannot be printed."""
    house, page = border.house, _Page(border.house)
    sheet = sheet or format_for(house)
    context = page.context(report, filed) | {"sheet": sheet.name, "black": sheet.is_black}
    html = render("sheets/report.html", context, house.templates)
    assets = {**page.assets, "sheet.css": source("sheets/sheet.css", house.templates)}
    if filed.piece:
        stripes = border.piece(filed.piece).stripes
        strip = bar_svg(stripes, *_STRIP_MM, upright=False, black=sheet.is_black)
        assets["strip.svg"] = strip.encode()
    identifier = hashlib.sha256(html.encode()).digest()
    return render_pdf(html, assets, archival=True, identifier=identifier, created=house.today)


@dataclass(frozen=True)
class _Page:
    """Turns parts of a report into what the template shows; pictures gather in `assets`."""

    house: PublicStudio
    assets: dict[str, bytes | Code] = field(default_factory=dict)

    @property
    def phrases(self) -> Phrases:
        return self.house.phrases

    def context(self, report: Report, filed: Filed) -> dict[str, Any]:
        house, phrases = self.house, self.phrases
        title, called = phrases.tell(report.title), phrases.tell(report.called)
        return {
            "language": phrases.language,
            "title": phrases.tell(filed.about),
            "studio": house.name,
            "maker": house.maker,
            "place": house.place,
            "printed": phrases.day(house.today),
            "loose": any(len(word) > _LONG_WORD for word in f"{title} {called}".split()),
            "say": lambda name: phrases.say(f"sheet.{name}"),
            "number": title,
            "called": called,
            "has_strip": bool(filed.piece),
            "groups": list(self._groups(shown_by("paper", report.parts))),
            "workings": list(self._workings(report, filed)),
        }

    def _workings(self, report: Report, filed: Filed) -> Iterator[dict[str, Any]]:
        yield from map(self._tree, workings(report, self.phrases) if filed.has_workings else ())

    def _groups(self, parts: Iterable[Part]) -> Iterator[tuple[bool, list[Mapping[str, Any]]]]:
        """Parts in order; those of half a page, one after another, stand in two columns."""
        for is_half, found in groupby(parts, lambda each: isinstance(each, Table) and each.is_half):
            yield is_half, [self._part(each) for each in found]

    def _part(self, part: Part) -> dict[str, Any]:
        match part:
            case Note():
                return {"kind": "note", **self._note(part)}
            case Tree():
                return {"kind": "tree", **self._tree(part)}
        heading, *heads = (capital(self.phrases.tell(each.heading)) for each in part.columns)
        return {
            "kind": "table",
            "heading": heading,
            "heads": heads if any(heads) else [],
            "numbers": [each.kind == "numbers" for each in part.columns],
            "rows": [self._row(row, len(part.columns)) for row in part.rows],
            "notes": [self._note(note) for note in part.notes],
            "is_half": part.is_half,
            "on_new_page": part.on_new_page,
        }

    def _note(self, note: Note) -> dict[str, Any]:
        lead, told = self.phrases.tell(note.lead), self.phrases.tell(note.words)
        return {"lead": lead, "colours": note.colours, "text": told, "is_quiet": note.is_set_in}

    def _tree(self, tree: Tree) -> dict[str, Any]:
        steps = list(self._steps(tree.steps, 0))
        return {"heading": self.phrases.tell(tree.heading), "steps": steps}

    def _steps(self, steps: Sequence[Step], depth: int) -> Iterator[tuple[int, str]]:
        for step in steps:
            yield depth, self.phrases.tell(step.words)
            yield from self._steps(step.steps, depth + 1)

    def _row(self, row: Row, width: int) -> dict[str, Any]:
        cells = [self._cell(cell, is_first=not turn) for turn, cell in enumerate(row.cells)]
        return {
            "cells": cells,
            "rest": width - len(cells),
            "style": "sum" if row.is_sum else row.style,
            "depth": row.depth,
        }

    def _cell(self, cell: Words | Cell, *, is_first: bool) -> dict[str, Any]:
        it = cell if isinstance(cell, Cell) else Cell(cell)
        text = self.phrases.tell(it.words)
        if it.kind == "name":
            text = spoken(text)
        return {
            "text": capital(text) if is_first else text,
            "aside": self.phrases.tell(it.aside),
            "colours": it.colours,
            "thumb": self._thumb(text) if it.kind == "photo" else None,
        }

    def _thumb(self, file: str) -> dict[str, str] | None:
        """A small picture; a photo that can't be read leaves its name, `check` says why."""
        try:
            photo = open_photo(self.house.folder, photo_path(file))
            width = min(_THUMB_MM[0], _THUMB_MM[1] * photo.width / photo.height)
            name = f"thumb-{len(self.assets)}.jpg"
            self.assets[name] = for_print(photo, width, dpi=200)
        except Slip:
            return None
        return {"file": name, "width": f"{width:.2f}", "alt": file}
