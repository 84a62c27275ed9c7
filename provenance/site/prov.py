"""The making of a piece in PROV terms, for archives and auditors: `NUMBER/prov.json`.

In: the public studio and a piece shown. Out: a PROV-JSON document (W3C member submission, 24 April
2013) of entities, activities and agents (PROV-DM, W3C recommendation, 30 April 2013). PROV-JSON
stands alone: it is read without fetching a context. Weights are text with their unit and never
numbers, so that no reader rounds them. Everything in it stands on the pages too.
"""

from collections.abc import Iterator
from typing import Any

from provenance.language.phrases import decimal
from provenance.public.making.steps import Making, Step, Thing
from provenance.public.studio import PublicStudio
from provenance.reference.aat import BASE, find_term
from provenance.site.shown import ShownPiece

MAKER = "home:maker"
_DERIVED_FROM = ("fleece", "bought yarn", "between", "yarn", "lot")
Fields = dict[str, Any]


def prov(studio: PublicStudio, piece: ShownPiece) -> Fields:
    """The document; the studio must have a site, whose addresses are the names of things."""
    making = piece.facts.making
    names = _names(making, piece)
    farms = {thing.farm: f"here:farm-{number}" for number, thing in enumerate(_farmed(making), 1)}
    said: Fields = {
        "prefix": _prefixes(studio, piece),
        "entity": {names[each.id]: _entity(studio, each, piece) for each in making.things},
        "agent": {MAKER: _agent("prov:Person", studio.maker)}
        | {name: _agent("prov:Organization", farm) for farm, name in farms.items()},
        "activity": {f"here:{step.id}": _activity(studio, step) for step in making.steps},
    }
    for relation, number, fields in _relations(making, names, farms):
        said.setdefault(relation, {})[f"_:{relation}{number}"] = fields
    return said


def _prefixes(studio: PublicStudio, piece: ShownPiece) -> dict[str, str]:
    return {
        "home": f"{studio.site}/#",
        "studio": f"{studio.site}/",
        "here": f"{studio.site}/{piece.path}prov.json#",
        "aat": BASE,
        "schema": "https://schema.org/",
        "dcterms": "http://purl.org/dc/terms/",
    }


def _names(making: Making, piece: ShownPiece) -> dict[str, str]:
    """The piece is named by its permanent address, all else within this file."""
    return {
        thing.id: f"studio:{piece.path}" if thing.kind == "piece" else f"here:{thing.id}"
        for thing in making.things
    }


def _farmed(making: Making) -> list[Thing]:
    """One fleece for each farm."""
    return list({thing.farm: thing for thing in making.things if thing.farm}.values())


def _entity(studio: PublicStudio, thing: Thing, piece: ShownPiece) -> Fields:
    said: Fields = {"prov:label": thing.name}
    if thing.kind == "piece":
        said["prov:type"] = _name("schema:VisualArtwork")
        said["dcterms:identifier"] = piece.facts.number
        said["dcterms:created"] = piece.facts.made
    elif thing.term:
        said["prov:type"] = _name(f"aat:{thing.term.number}")
    if thing.grams is not None:
        said["schema:weight"] = f"{decimal(thing.grams, 1)} g"
    if thing.fibres:
        said["schema:material"] = ", ".join(map(studio.phrases.fibre, thing.fibres))
    if thing.species:
        said["schema:alternateName"] = thing.species
    if thing.shorn:
        said["dcterms:created"] = thing.shorn
    return said


def _agent(kind: str, label: str) -> Fields:
    return {"prov:type": _name(kind), "prov:label": label}


def _activity(studio: PublicStudio, step: Step) -> Fields:
    said: Fields = {"prov:label": studio.phrases.say(f"making.{step.work.replace(' ', '_')}")}
    if term := find_term("work", step.work):
        said["prov:type"] = _name(f"aat:{term.number}")
    return said


def _name(short: str) -> dict[str, str]:
    return {"$": short, "type": "prov:QUALIFIED_NAME"}


def _relations(
    making: Making, names: dict[str, str], farms: dict[str, str]
) -> Iterator[tuple[str, int, Fields]]:
    """Each relation with its name, its running number and what it ties together."""
    kinds = {thing.id: thing.kind for thing in making.things}
    used = [(step, each) for step in making.steps for each in step.used]
    for number, (step, each) in enumerate(used, 1):
        fields = {"prov:activity": f"here:{step.id}", "prov:entity": names[each]}
        yield "used", number, fields
    for number, step in enumerate(making.steps, 1):
        activity, made = f"here:{step.id}", names[step.made]
        yield "wasGeneratedBy", number, {"prov:entity": made, "prov:activity": activity}
        yield "wasAssociatedWith", number, {"prov:activity": activity, "prov:agent": MAKER}
    derived = [(step, each) for step, each in used if kinds[each] in _DERIVED_FROM]
    for number, (step, each) in enumerate(derived, 1):
        both = {"prov:generatedEntity": names[step.made], "prov:usedEntity": names[each]}
        yield "wasDerivedFrom", number, {**both, "prov:activity": f"here:{step.id}"}
    grown = [thing for thing in making.things if thing.farm]
    for number, thing in enumerate(grown, 1):
        fields = {"prov:entity": names[thing.id], "prov:agent": farms[thing.farm]}
        yield "wasAttributedTo", number, fields
