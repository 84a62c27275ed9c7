"""An entry's facts in the one scheme of the catalogue, and the rules of it for the preface.

In: an entry. Out: rows of label and lines; what is not recorded has no row. Order: icra.art and
bildhauermuseen.de (see `public.catalogue`); height before width (jennymcnulty).
"""

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from provenance.language.phrases import Phrases
from provenance.press.markup import as_markup, escaped
from provenance.public.catalogue import Entry, PublicCatalogue

RECALLED = "*"  # marks a work that was made before records were kept
_ABOUT = re.compile(r"\bc\. ?\d")


@dataclass(frozen=True, slots=True)
class Row:
    """One fact under its label."""

    name: str
    label: str
    lines: tuple[str, ...]


def rows_of(entry: Entry, phrases: Phrases) -> tuple[Row, ...]:
    """The facts of a work, in the order that all entries have."""
    return tuple(
        Row(name, phrases.say(f"catalogue.row_{name}"), lines)
        for name, told in _told(entry, phrases)
        if (lines := tuple(dict.fromkeys(filter(None, told))))
    )


def _species(dyes: str) -> str:
    """Names of species are set in italics."""
    return as_markup(re.sub(r"\(([^()]+)\)", r"(<i>\1</i>)", str(escaped(dyes))))


def _told(entry: Entry, phrases: Phrases) -> Iterator[tuple[str, Sequence[str]]]:
    piece = entry.piece
    spun = "; ".join(part for part in (piece.content.spun, phrases.inside(piece.bought)) if part)
    made_of = (piece.content.fibres, spun) if piece.yarns else ()
    day = piece.finished or piece.year
    yield "date", (f"{day} {RECALLED}" if day and piece.before_records else day,)
    yield "material", made_of or (piece.recalled,)
    yield "technique", ("; ".join((piece.structure, *piece.cloth)),)
    yield "dimensions", (piece.size,)
    yield "weight", (piece.weight,)
    yield "fleeces", piece.fleeces
    yield "dyes", (_species(piece.dye_species), piece.mordants)
    yield "signed", (entry.signed,)
    yield "edition", (piece.edition,)
    yield "mount", (piece.mount,)
    yield "where", (entry.whereabouts,)
    yield "shown", entry.shown
    yield "reproduced", entry.reproduced
    yield "history", entry.history


def rules_of(catalogue: PublicCatalogue, phrases: Phrases) -> list[str]:
    """The rules by which this catalogue is set, one by one; none that nothing here follows."""
    rows = [row for entry in catalogue.entries for row in rows_of(entry, phrases)]
    there = {row.name for row in rows}
    lines = [line for row in rows for line in row.lines]
    asked = {
        "order_hung" if catalogue.show else "order_made": True,
        "order_texts": bool(catalogue.plates and catalogue.texts),
        "titles": True,
        "date": "date" in there,
        "material": "material" in there,
        "dimensions": "dimensions" in there,
        "weight": "weight" in there,
        "recalled": any(entry.piece.before_records for entry in catalogue.entries),
        "about": any(_ABOUT.search(line) for line in lines),
        "fleeces": "fleeces" in there,
        "dyes": "dyes" in there,
        "where": "where" in there,
        "edge": any(entry.piece.stripes for entry in catalogue.plates),
        "scale": bool(catalogue.plates),
        "silent": True,
    }
    return [phrases.say(f"catalogue.rule_{name}") for name, is_so in asked.items() if is_so]
