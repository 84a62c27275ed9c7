"""The files beside each piece's page that programs read: its facts, a museum record, its making.

In: the public studio and a piece shown. Out: its bytes, and what to call them on the
page. The museum record and the making name everything by address, so they are made only for a
studio that has a site.
"""

import json
from dataclasses import dataclass
from typing import Any

from provenance.public.studio import PublicStudio
from provenance.site.museum import CONTEXT, linked_art
from provenance.site.prov import prov
from provenance.site.shown import ShownPiece


@dataclass(frozen=True, slots=True)
class Export:
    """One file: its name, its media type, and the phrase that tells what it is."""

    name: str
    media_type: str
    phrase: str


FACTS = Export("piece.json", "application/json", "page.download")
MUSEUM = Export(
    "linked-art.json", f'application/ld+json;profile="{CONTEXT}"', "page.download_museum"
)
MAKING = Export("prov.json", "application/json", "page.download_making")


def exports_of(studio: PublicStudio) -> tuple[Export, ...]:
    """The files that each piece of this studio has."""
    return (FACTS, MUSEUM, MAKING) if studio.site else (FACTS,)


def export_file(studio: PublicStudio, piece: ShownPiece, export: Export) -> bytes:
    """One of the files of a piece; what has nothing to say is left out."""
    makers = {FACTS: piece_facts, MUSEUM: linked_art, MAKING: prov}
    said = {word: value for word, value in makers[export](studio, piece).items() if value}
    return (json.dumps(said, ensure_ascii=False, indent=1) + "\n").encode()


def piece_facts(studio: PublicStudio, piece: ShownPiece) -> dict[str, Any]:
    """The piece's public facts, one word each, for readers that are programs."""
    facts = piece.facts
    return {
        "number": facts.number,
        "title": facts.title,
        "kind": facts.kind_word,
        "year": facts.year,
        "note": facts.before_records,
        "maker": studio.maker,
        "size": facts.size,
        "weight": facts.weight,
        "cloth": facts.structure,
        "weaving": list(facts.cloth),
        "mount": facts.mount,
        "fibre": facts.fibres,
        "made of": facts.recalled,
        "fleece": list(facts.fleeces),
        "dyes": facts.dyes,
        "mordants": facts.mordants,
        "signed": facts.signed,
        "edition": facts.edition,
        "price": facts.price_each if facts.shows_price and facts.state == "available" else "",
        "availability": facts.availability,
        "care": list(facts.care),
        "light": [*facts.light, *facts.light_range],
        "provenance": facts.provenance,
        "history": [f"{day}: {event}" for day, event in facts.history],
        "story": facts.story,
        "pictures": [picture.alt for picture in piece.pictures],
    }
