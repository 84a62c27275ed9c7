"""The workings of what a node carries: money, hours and grams, back to the record.

In: the flow, a node and what it carries. Out: a figure whose terms follow every draw back to where
the money was spent, the hours were noted, the grams were weighed; each carried on by its share.
"""

from collections.abc import Mapping
from fractions import Fraction
from typing import NamedTuple

from provenance.figures.flow.flow import HOLDS, Draw, Flow, Key, Load, Node, called, in_all, naming
from provenance.figures.working import Figure, given, product, quotient, total
from provenance.problems import NOWHERE, Said, Words, named


def carried_money(flow: Flow, key: Key, origin: Key, unit: str = "") -> Figure:
    """The working of the money one node carries from one origin, back to the record."""
    return _carried(flow, key, _Carried("money", origin, called(origin), unit))


def carried_hours(flow: Flow, key: Key, activity: str) -> Figure:
    """The working of the hours of one activity that a node carries."""
    return _carried(flow, key, _Carried("hours", activity, named("activity", activity), "h"))


def carried_grams(flow: Flow, key: Key, origin: Key) -> Figure:
    """The working of the grams of one stock lot that a node carries."""
    return _carried(flow, key, _Carried("grams", origin, origin.name, "g"))


class _Carried(NamedTuple):
    """One thing that is carried: an entry of one part of a load, its name and its unit."""

    part: str
    entry: Key | str
    what: Words
    unit: str

    def within(self, load: Load) -> Fraction | None:
        part: Mapping[Key | str, Fraction] = getattr(load, self.part)
        return part.get(self.entry)

    def given(self, node: Node, value: Fraction) -> Figure:
        """What a node brings in itself, as it stands in the record."""
        if self.part == "grams":
            return in_all(self.what, value, self.unit, node.place)
        if self.part == "hours":
            said = Said("flow.hours_of", activity=self.what, what=naming(node.key))
            return given(said, value, self.unit, node.place)
        place = node.own_place if node.own_place.file else node.place
        return given(Said("flow.cost_of", what=self.what), value, self.unit, place)


def _carried(flow: Flow, key: Key, thing: _Carried) -> Figure:
    """The working of all that a node carries of one thing."""
    node = flow.nodes[key]
    terms = []
    if (value := thing.within(node.own)) is not None:
        working = node.workings.get(HOLDS if thing.part == "grams" else thing.entry)
        terms.append(working or thing.given(node, value))
    for draw in flow.into.get(key, ()):
        if thing.within(flow.loads[draw.source]) is not None:
            terms.append(_shared(flow, draw, _carried(flow, draw.source, thing), thing.what))
    if len(terms) == 1:
        return terms[0]
    return total(Said("flow.within", what=thing.what, where=naming(key)), terms, thing.unit)


def _shared(flow: Flow, draw: Draw, carried: Figure, what: Words) -> Figure:
    """What a draw carries of a figure: figure x drawn / whole."""
    source, where = flow.nodes[draw.source], naming(draw.target)
    whole = flow.whole(draw.source)
    if draw.amount == whole:
        return carried
    drawn = draw.working or given(Said("flow.into", where=where), draw.amount, source.unit,
                                  draw.place)  # fmt: skip
    place, working = source.place, source.workings.get(HOLDS)
    if source.holds != whole:
        place, working = NOWHERE, None
    lot = naming(draw.source)
    part = quotient(
        Said("flow.share_of", what=lot), drawn, working or in_all(lot, whole, source.unit, place)
    )
    if called(draw.source) == what:
        said = Said("flow.going", what=what, where=where)
    else:
        said = Said("flow.going_with", what=what, lot=lot, where=where)
    return product(said, carried, part, unit=carried.unit)
