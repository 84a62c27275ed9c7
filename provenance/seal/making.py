"""How a piece was made, in PROV-O terms, as its statement tells it.

In: the public studio and public facts. Out: entities with their masses and activities, under the
names that the file of the making (`prov.json`) has for them (PROV-O, W3C Recommendation 30 April
2013). Both are written from the same `Making`.
"""

from collections.abc import Iterator
from typing import Any

from provenance.language.phrases import decimal
from provenance.public.making.steps import Step, Thing
from provenance.public.piece import PublicPiece
from provenance.public.studio import PublicStudio
from provenance.reference.aat import find_term

_DERIVED_FROM = ("fleece", "bought yarn", "between", "yarn", "lot")
Node = dict[str, Any]


def making(studio: PublicStudio, facts: PublicPiece) -> list[Node]:
    """Every lot and every step; nothing of a piece without yarns."""
    if not facts.making.steps:
        return []
    page = f"{studio.site}/{facts.number}/"
    names = {
        each.id: page if each.kind == "piece" else f"{page}prov.json#{each.id}"
        for each in facts.making.things
    }
    return [*_entities(studio, facts, names), *_activities(studio, facts, names, page)]


def _entities(studio: PublicStudio, facts: PublicPiece, names: dict[str, str]) -> Iterator[Node]:
    kinds = {each.id: each.kind for each in facts.making.things}
    for thing in facts.making.things:
        step = next((each for each in facts.making.steps if each.made == thing.id), None)
        used = step.used if step else ()
        derived = [names[each] for each in used if kinds[each] in _DERIVED_FROM]
        said = _entity(studio, thing, names[thing.id])
        yield {**said, **({"wasDerivedFrom": derived} if derived else {})}


def _entity(studio: PublicStudio, thing: Thing, name: str) -> Node:
    weight = None
    if thing.grams is not None and thing.kind != "piece":
        amount = decimal(thing.grams, 1)
        weight = {"type": "QuantitativeValue", "value": amount, "unitCode": "GRM"}
    said = {
        "id": name,
        "type": "Entity",
        "name": thing.name,
        "weight": weight,
        "material": list(map(studio.phrases.fibre, thing.fibres)),
        "shorn": thing.shorn,
        "concept": thing.term.uri if thing.term and thing.kind != "piece" else "",
    }
    return {word: value for word, value in said.items() if value}


def _activities(
    studio: PublicStudio, facts: PublicPiece, names: dict[str, str], page: str
) -> Iterator[Node]:
    for step in facts.making.steps:
        yield {
            "id": f"{page}prov.json#{step.id}",
            "type": "Activity",
            "name": studio.phrases.say(f"making.{step.work.replace(' ', '_')}"),
            **_concept(step),
            "used": [names[each] for each in step.used],
            "generated": names[step.made],
            "wasAssociatedWith": f"{studio.site}/#maker",
        }


def _concept(step: Step) -> Node:
    term = find_term("work", step.work)
    return {"concept": term.uri} if term else {}
