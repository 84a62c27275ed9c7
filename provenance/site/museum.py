"""The record of a piece for museums and collections: `NUMBER/linked-art.json`.

In: the setting and a piece shown. Out: a HumanMadeObject of the Linked Art model 1.0, a profile of
CIDOC CRM, with concepts of AAT where one could be verified. What belongs on a museum's public
record is there: name, number, kind, materials and technique, size, maker, date, pictures, page.
Price, owner and whereabouts are the studio's affair and have no way in.
"""

from __future__ import annotations

import json
from collections.abc import Iterator, Sequence
from decimal import Decimal
from fractions import Fraction
from typing import Any

from provenance.figures.fibre.of_piece import piece_fibres
from provenance.figures.working import half_up
from provenance.public.facts import PieceFacts
from provenance.public.making.steps import Making
from provenance.public.making.trail import making_of
from provenance.public.setting import Setting
from provenance.records.pieces import Piece
from provenance.reference.aat import Term, find_term, term
from provenance.reference.fibres import find_fibre
from provenance.site.shown import Picture, ShownPiece
from provenance.site.studio import SiteStudio

CONTEXT = "https://linked.art/ns/v1/linked-art.json"
_CLOTHING = ("shawl", "scarf", "garment")
Fields = dict[str, Any]


def linked_art(setting: Setting, studio: SiteStudio, piece: ShownPiece) -> bytes:
    """The file; the studio must have a site, whose addresses are the names of things."""
    facts, record = piece.facts, setting.book.pieces[piece.facts.number]
    making = making_of(setting, record)
    page = f"{studio.site}/{piece.path}"
    said: Fields = {
        "@context": CONTEXT,
        "id": page,
        "type": "HumanMadeObject",
        "_label": f"{facts.title}, {facts.kind_word}, {facts.number}",
        "classified_as": _classes(record),
        "identified_by": [
            _text("Name", facts.title, "primary name"),
            _text("Identifier", facts.number, "stock number"),
        ],
        "referred_to_by": [_statement(words, of) for of, words in _statements(facts)],
        "made_of": [_concept(each, "Material") for each in _materials(setting, record, making)],
        "dimension": list(_dimensions(record)),
        "produced_by": _production(setting, studio, piece, making),
        "representation": [_shown(studio, picture) for picture in piece.pictures],
        "subject_of": [_page(page, facts)],
    }
    kept = {word: value for word, value in said.items() if value}
    return (json.dumps(kept, ensure_ascii=False, indent=1) + "\n").encode()


def _concept(concept: Term, kind: str = "Type", kinds: Sequence[Term] = ()) -> Fields:
    said: Fields = {"id": concept.uri, "type": kind, "_label": concept.label}
    if kinds:
        said["classified_as"] = [_concept(each) for each in kinds]
    return said


def _classes(piece: Piece) -> list[Fields]:
    """A work of art, and what kind of work."""
    return [
        _concept(term("model", "artwork")),
        _concept(term("object", _object_word(piece)), kinds=[term("model", "type of work")]),
    ]


def _object_word(piece: Piece) -> str:
    kind = str(piece.kind or "other")
    if "tapestry" in str(piece.structure or "").lower():
        return "tapestry"
    if kind in _CLOTHING:
        return "clothing"
    return "blanket" if kind == "blanket" else "textile"


def _text(kind: str, content: str, of: str) -> Fields:
    concept = _concept(term("model", of))
    return {"type": kind, "classified_as": [concept], "content": content}


def _statements(facts: PieceFacts) -> Iterator[tuple[str, str]]:
    """What is said in words: of what and how, how large, how signed, whether there are others."""
    made = (facts.fibres, facts.structure, facts.dye_species, facts.mordants, *facts.fleeces)
    yield "materials", "; ".join(part for part in made if part)
    yield "dimensions", ", ".join(part for part in (facts.size, facts.weight) if part)
    yield "inscriptions", facts.signed
    yield "edition", facts.edition


def _statement(words: str, of: str) -> Fields:
    kind = _concept(term("model", of), kinds=[term("model", "brief text")])
    return {"type": "LinguisticObject", "classified_as": [kind], "content": words}


def _materials(setting: Setting, piece: Piece, making: Making) -> list[Term]:
    """Fibres by share, then dyes; a material without a verified concept stays in the words."""
    shares = piece_fibres(setting.book, piece) or ()
    names = (find_fibre(str(share.fibre)) for share in shares)
    fibres = [find_term("fibre", fibre.name) for fibre in names if fibre]
    dyes = [thing.term for thing in making.of("dyestuff")]
    return list(dict.fromkeys(each for each in (*fibres, *dyes) if each))


def _dimensions(piece: Piece) -> Iterator[Fields]:
    size = piece.size
    sides = {"height": size.height, "width": size.width, "depth": size.depth} if size else {}
    for side, length in sides.items():
        if length is not None:
            yield _dimension(side, Fraction(length), "centimetres")
    if piece.weight:
        yield _dimension("weight", Fraction(piece.weight), "grams")


def _dimension(what: str, value: Fraction, unit: str) -> Fields:
    return {
        "type": "Dimension",
        "classified_as": [_concept(term("model", what))],
        "value": _json_number(half_up(value, 1)),
        "unit": _concept(term("model", unit), "MeasurementUnit"),
    }


def _json_number(value: Decimal) -> int | float:
    """The model wants numbers here; to the millimetre they come out as they were written."""
    return int(value) if value == value.to_integral_value() else float(value)


def _production(setting: Setting, studio: SiteStudio, piece: ShownPiece, making: Making) -> Fields:
    """One production by one pair of hands, with a part for each technique that has a concept."""
    said = setting.phrases.say
    parts = [
        {
            "type": "Production",
            "_label": said(f"making.{work.replace(' ', '_')}"),
            "technique": [_concept(concept)],
        }
        for work in making.works
        if (concept := find_term("work", work))
    ]
    maker = {"id": f"{studio.site}/#maker", "type": "Person", "_label": studio.maker}
    return {
        "type": "Production",
        "carried_out_by": [maker],
        "timespan": _timespan(piece),
        **({"part": parts} if parts else {}),
    }


def _timespan(piece: ShownPiece) -> Fields:
    """When it was finished: to the day where that is known; when it was begun is not told."""
    day = piece.finished
    first, last = (day.isoformat(), day.isoformat()) if day else (None, f"{piece.facts.year}-12-31")
    return {
        "type": "TimeSpan",
        "identified_by": [{"type": "Name", "content": piece.facts.finished or piece.facts.year}],
        **({"begin_of_the_end": f"{first}T00:00:00Z"} if first else {}),
        "end_of_the_end": f"{last}T23:59:59Z",
    }


def _shown(studio: SiteStudio, picture: Picture) -> Fields:
    address = f"{studio.site}/{picture.largest.path}"
    file: Fields = {
        "type": "DigitalObject",
        "classified_as": [_concept(term("model", "digital image"))],
        "format": "image/jpeg",
        "access_point": [{"id": address, "type": "DigitalObject"}],
    }
    label = {"_label": picture.alt} if picture.alt else {}
    return {"type": "VisualItem", **label, "digitally_shown_by": [file]}


def _page(address: str, facts: PieceFacts) -> Fields:
    file: Fields = {
        "type": "DigitalObject",
        "_label": f"{facts.number} {facts.title}",
        "classified_as": [_concept(term("model", "web page"))],
        "format": "text/html",
        "access_point": [{"id": address, "type": "DigitalObject"}],
    }
    return {"type": "LinguisticObject", "digitally_carried_by": [file]}
