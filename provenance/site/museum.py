"""The record of a piece for museums and collections: `NUMBER/linked-art.json`.

In: the public studio and a piece shown. Out: a HumanMadeObject of the Linked Art model 1.0, a
profile of CIDOC CRM, with concepts of AAT where one could be verified. What belongs on a museum's
public record is there: name, number, kind, materials and technique, size, maker, date, pictures,
page. Price, owner and whereabouts are the studio's affair and have no way in.
"""

from collections.abc import Iterator, Sequence
from fractions import Fraction
from typing import Any

from provenance.language.phrases import decimal
from provenance.public.piece import PublicPiece
from provenance.public.studio import PublicStudio
from provenance.reference.aat import Term, find_term, term
from provenance.reference.fibres import find_fibre
from provenance.site.shown import Picture, ShownPiece

CONTEXT = "https://linked.art/ns/v1/linked-art.json"
_CLOTHING = ("shawl", "scarf", "garment")
Fields = dict[str, Any]


def linked_art(studio: PublicStudio, piece: ShownPiece) -> Fields:
    """The record; the studio must have a site, whose addresses are the names of things."""
    facts = piece.facts
    page = f"{studio.site}/{piece.path}"
    return {
        "@context": CONTEXT,
        "id": page,
        "type": "HumanMadeObject",
        "_label": f"{facts.title}, {facts.kind_word}, {facts.number}",
        "classified_as": _classes(facts),
        "identified_by": [
            _text("Name", facts.title, "primary name"),
            _text("Identifier", facts.number, "stock number"),
        ],
        "referred_to_by": list(_statements(facts)),
        "made_of": [_concept(each, "Material") for each in _materials(facts)],
        "dimension": list(_dimensions(facts)),
        "produced_by": _production(studio, piece),
        "representation": [_shown(studio, picture) for picture in piece.pictures],
        "subject_of": [_page(page, facts)],
    }


def _concept(concept: Term, kind: str = "Type", kinds: Sequence[Term] = ()) -> Fields:
    said: Fields = {"id": concept.uri, "type": kind, "_label": concept.label}
    if kinds:
        said["classified_as"] = [_concept(each) for each in kinds]
    return said


def _classes(facts: PublicPiece) -> list[Fields]:
    """A work of art, and what kind of work."""
    return [
        _concept(term("model", "artwork")),
        _concept(term("object", _object_word(facts)), kinds=[term("model", "type of work")]),
    ]


def _object_word(facts: PublicPiece) -> str:
    kind = facts.kind
    if "tapestry" in facts.structure.lower():
        return "tapestry"
    if kind in _CLOTHING:
        return "clothing"
    return "blanket" if kind == "blanket" else "textile"


def _text(kind: str, content: str, of: str) -> Fields:
    concept = _concept(term("model", of))
    return {"type": kind, "classified_as": [concept], "content": content}


def _statements(facts: PublicPiece) -> Iterator[Fields]:
    """What is said in words: of what and how, how large, how signed, whether there are others.

    What nobody wrote down has no statement.
    """
    made = (facts.fibres, facts.recalled, facts.structure, *facts.cloth, facts.dye_species,
            facts.mordants, *facts.fleeces, facts.mount)  # fmt: skip
    said = {
        "materials": "; ".join(filter(None, made)),
        "dimensions": ", ".join(filter(None, (facts.size, facts.weight))),
        "inscriptions": facts.signed,
        "edition": facts.edition,
    }
    for of, words in ((of, words) for of, words in said.items() if words):
        kind = _concept(term("model", of), kinds=[term("model", "brief text")])
        yield {"type": "LinguisticObject", "classified_as": [kind], "content": words}


def _materials(facts: PublicPiece) -> list[Term]:
    """Fibres by share, then dyes; a material without a verified concept stays in the words."""
    names = map(find_fibre, facts.made_of)
    fibres = [find_term("fibre", fibre.name) for fibre in names if fibre]
    dyes = [thing.term for thing in facts.making.of("dyestuff")]
    return list(dict.fromkeys(each for each in (*fibres, *dyes) if each))


def _dimensions(facts: PublicPiece) -> Iterator[Fields]:
    size = facts.measures
    sides = {"height": size.height, "width": size.width, "depth": size.depth} if size else {}
    for side, length in sides.items():
        if length is not None:
            yield _dimension(side, Fraction(length), "centimetres")
    if facts.grams:
        yield _dimension("weight", facts.grams, "grams")


def _dimension(what: str, value: Fraction, unit: str) -> Fields:
    return {
        "type": "Dimension",
        "classified_as": [_concept(term("model", what))],
        "value": _json_number(value),
        "unit": _concept(term("model", unit), "MeasurementUnit"),
    }


def _json_number(value: Fraction) -> int | float:
    """The model wants numbers here; to the millimetre they come out as they were written."""
    text = decimal(value, 1)
    return float(text) if "." in text else int(text)


def _production(studio: PublicStudio, piece: ShownPiece) -> Fields:
    """One production by one pair of hands, with a part for each technique that has a concept."""
    said = studio.phrases.say
    parts = []
    for work in piece.facts.making.works:
        if concept := find_term("work", work):
            label = said(f"making.{work.replace(' ', '_')}")
            technique = [_concept(concept)]
            parts.append({"type": "Production", "_label": label, "technique": technique})
    maker = {"id": f"{studio.site}/#maker", "type": "Person", "_label": studio.maker}
    return {
        "type": "Production",
        "carried_out_by": [maker],
        "timespan": _timespan(piece),
        **({"part": parts} if parts else {}),
    }


def _timespan(piece: ShownPiece) -> Fields:
    """When it was finished: to the day where that is known; when it was begun is not told."""
    day = piece.facts.day
    last = piece.facts.by or f"{piece.facts.year}-12-31"
    return {
        "type": "TimeSpan",
        "identified_by": [{"type": "Name", "content": piece.facts.finished or piece.facts.year}],
        **({"begin_of_the_end": f"{day}T00:00:00Z"} if day else {}),
        "end_of_the_end": f"{last}T23:59:59Z",
    }


def _shown(studio: PublicStudio, picture: Picture) -> Fields:
    address = f"{studio.site}/{picture.largest.path}"
    file: Fields = {
        "type": "DigitalObject",
        "classified_as": [_concept(term("model", "digital image"))],
        "format": "image/jpeg",
        "access_point": [{"id": address, "type": "DigitalObject"}],
    }
    label = {"_label": picture.alt} if picture.alt else {}
    return {"type": "VisualItem", **label, "digitally_shown_by": [file]}


def _page(address: str, facts: PublicPiece) -> Fields:
    file: Fields = {
        "type": "DigitalObject",
        "_label": f"{facts.number} {facts.title}",
        "classified_as": [_concept(term("model", "web page"))],
        "format": "text/html",
        "access_point": [{"id": address, "type": "DigitalObject"}],
    }
    return {"type": "LinguisticObject", "digitally_carried_by": [file]}
