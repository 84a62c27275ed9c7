"""A piece or lot followed back to where it came from, and forward to what became of it.

In: the flow and a node. Out: steps with amounts, nested. Backward an amount is the part that is in
the thing asked for; forward it is what was drawn at each step, with how much of the lot asked for
went along. Backward, all fleece of one name adds up to what the flow says the piece carries;
forward, what reached the pieces, was lost and is left adds up to the whole lot, exactly.
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from provenance.figures.flow.carried import carried_grams
from provenance.figures.flow.flow import Draw, Flow, Key, called, in_all
from provenance.figures.working import Figure, difference, given
from provenance.problems import Said, Words

TRACED = (
    "piece", "fleece", "yarn", "in place", "dyed", "dyestuff", "mordant", "sundry", "bath",
)  # fmt: skip


@dataclass(frozen=True, slots=True)
class Step:
    """One step of a trace.

    `amount` is in `unit` (g; cm or '' for sundries; grams of fibre for a bath); `of_it` is how
    much of the lot asked for is in this step, `left` how much of this step's lot is left.
    """

    key: Key
    amount: Fraction
    unit: str
    use: Words
    of_it: Fraction
    left: Fraction | None
    steps: tuple[Step, ...]


@dataclass(frozen=True, slots=True)
class Trace:
    """Where a node came from and went; `whole` and `left` are None for a piece."""

    key: Key
    unit: str
    whole: Fraction | None
    left: Fraction | None
    back: tuple[Step, ...]
    forward: tuple[Step, ...]


def named(flow: Flow, name: str) -> tuple[Key, ...]:
    """Every node called so: pieces first, then lots, then baths; else a yarn of this name that was
    dyed in place, which is called by the number of its piece too: 2026-014 sky."""
    found = tuple(key for kind in TRACED if (key := Key(kind, name)) in flow.nodes)
    in_place = (key for key in flow.nodes if key.kind == "in place")
    return found or tuple(key for key in in_place if key.name.partition(" ")[2] == name)


def names(flow: Flow) -> tuple[str, ...]:
    """Every name that can be traced."""
    return tuple(dict.fromkeys(key.name for key in flow.nodes if key.kind in TRACED))


def trace(flow: Flow, key: Key) -> Trace:
    """Both ways from one node."""
    back, unit = _back(flow, key, Fraction(1)), flow.nodes[key].unit
    if key.kind == "piece":
        return Trace(key, unit, None, None, back, _forward(flow, key, Fraction(0)))
    whole = flow.whole(key)
    return Trace(key, unit, whole, flow.left(key), back, _forward(flow, key, whole))


def _back(flow: Flow, key: Key, portion: Fraction) -> tuple[Step, ...]:
    """What the given portion of a node was drawn from."""
    steps = []
    for draw in _merged(flow.into.get(key, ())):
        amount, unit = draw.amount * portion, flow.nodes[draw.source].unit
        further = _back(flow, draw.source, flow.fraction(draw) * portion)
        steps.append(Step(draw.source, amount, unit, draw.use, amount, None, further))
    return tuple(steps)


def _forward(flow: Flow, key: Key, of_it: Fraction) -> tuple[Step, ...]:
    """What was drawn from a node that holds `of_it` of the lot asked for."""
    steps = []
    for draw in _merged(flow.out.get(key, ())):
        along = flow.fraction(draw) * of_it
        left = None if draw.target.kind in ("piece", "lost") else flow.left(draw.target)
        further = _forward(flow, draw.target, along)
        unit = flow.nodes[key].unit
        steps.append(Step(draw.target, draw.amount, unit, draw.use, along, left, further))
    return tuple(steps)


def _merged(draws: tuple[Draw, ...]) -> list[Draw]:
    """Draws between the same two nodes for the same use as one."""
    found: dict[tuple[Key, Key, Words], Draw] = {}
    for draw in draws:
        way = (draw.source, draw.target, draw.use)
        amount = draw.amount + (found[way].amount if way in found else 0)
        found[way] = Draw(draw.source, draw.target, amount, draw.place, draw.use)
    return list(found.values())


def workings(flow: Flow, key: Key) -> tuple[Figure, ...]:
    """Grams of every stock lot that a node carries, and what is left of it."""
    load = flow.loads[key]
    found = [carried_grams(flow, key, origin) for origin in load.grams if origin != key]
    if key.kind == "piece":
        return tuple(found)
    node = flow.nodes[key]
    whole = in_all(called(key), flow.whole(key), node.unit, node.place)
    drawn = [
        given(_into(draw.target), draw.amount, node.unit, draw.place)
        for draw in flow.out.get(key, ())
    ]
    return (*found, difference(Said("flow.left_of", what=called(key)), whole, *drawn))


def _into(target: Key) -> Said:
    where = Said("flow.waste") if target.kind == "lost" else called(target)
    return Said("flow.into", where=where)
