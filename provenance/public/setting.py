"""What every paper and page is written from: one reading of the studio, its phrases, today.

In: the book, the flow, measured swatch colours, the date. Out: a frozen setting handed to all
documents, and plain names of lots, outlets and breeds.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from pathlib import Path

from provenance.figures.flow.flow import Flow
from provenance.language.phrases import Phrases, phrases_of, templates_of
from provenance.records.book import Book
from provenance.records.lots import Fleece, Outlet


@dataclass(frozen=True)
class Setting:
    """Everything documents need; `swatches` are colours measured from photos of swatches."""

    book: Book
    flow: Flow
    phrases: Phrases
    today: date
    swatches: Mapping[str, str]
    templates: Path | None = None


def setting_for(book: Book, flow: Flow, today: date, swatches: Mapping[str, str]) -> Setting:
    """The setting of a studio; its own templates/ folder beside the records comes first."""
    return Setting(book, flow, phrases_of(book), today, swatches, templates_of(book))


def spoken(name: str) -> str:
    """A lot's or outlet's name as words: harbour-gallery -> Harbour gallery."""
    words = name.replace("-", " ").replace("_", " ").strip()
    return words[:1].upper() + words[1:]


def outlet_title(outlet: Outlet) -> str:
    """The name of an outlet on papers."""
    return str(outlet.title) if outlet.title else spoken(str(outlet.name))


def farm_of(fleece: Fleece) -> str:
    """The farm's name; what follows a comma is its address, told only when marked public."""
    if not fleece.from_:
        return ""
    return str(fleece.from_) if fleece.public else str(fleece.from_).split(",")[0].strip()


def fleece_title(fleece: Fleece) -> str:
    """The breed, else the fibre, else the name of the lot."""
    if fleece.breed:
        return str(fleece.breed)
    fibre = next(iter(fleece.fibre), "")
    return spoken(str(fibre)) if fibre and fibre != "wool" else spoken(str(fleece.name))


def fleece_name(phrases: Phrases, fleece: Fleece) -> str:
    """Gotland fleece; fibre that was bought washed is no fleece: Angora goat, first clip."""
    title = fleece_title(fleece)
    is_fleece = "wool" in fleece.fibre and fleece.scoured != 1
    return phrases.say("label.fleece_of", breed=title) if is_fleece else title
