"""The material flow: what every lot and piece carries, exactly.

In: nodes (lots, baths, pieces) with what they brought in themselves, and draws between them. Out:
for each node the grams of every stock lot, the money and the hours it carries; what is left in it;
and every use beyond what a lot holds. A draw of g from w carries the fraction g/w of everything;
the law is that all that came in = carried into pieces + left in lots + lost, exactly, for grams,
money and hours.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field
from fractions import Fraction
from typing import NamedTuple

from provenance.figures.working import Figure, given, plain, product, quotient, total
from provenance.problems import NOWHERE, Place, Problem


class Key(NamedTuple):
    """A node: fleece, dyestuff, mordant, sundry, yarn, dyed, in place, bath, heat, piece, lost."""

    kind: str
    name: str


LOST = Key("lost", "")
HOLDS = Key("holds", "")

Ledger = dict[Key, Fraction]
Workings = dict[Key | str, Figure]


@dataclass(frozen=True, slots=True)
class Load:
    """What is carried: grams by stock lot, money by where it was spent, hours by activity."""

    grams: Mapping[Key, Fraction] = field(default_factory=dict)
    money: Mapping[Key, Fraction] = field(default_factory=dict)
    hours: Mapping[str, Fraction] = field(default_factory=dict)

    def share(self, fraction: Fraction) -> Load:
        """This load times a fraction."""
        if fraction == 1:
            return self
        if fraction == 0:
            return Load()
        return Load(
            {key: value * fraction for key, value in self.grams.items()},
            {key: value * fraction for key, value in self.money.items()},
            {key: value * fraction for key, value in self.hours.items()},
        )


def add_loads(loads: Iterable[Load]) -> Load:
    """The sum of several loads."""
    grams: dict[Key, Fraction] = {}
    money: dict[Key, Fraction] = {}
    hours: dict[str, Fraction] = {}
    for load in loads:
        for key, value in load.grams.items():
            grams[key] = grams.get(key, Fraction(0)) + value
        for key, value in load.money.items():
            money[key] = money.get(key, Fraction(0)) + value
        for activity, value in load.hours.items():
            hours[activity] = hours.get(activity, Fraction(0)) + value
    return Load(grams, money, hours)


@dataclass(frozen=True, slots=True)
class Node:
    """A lot, bath or piece. `holds` is its amount (grams, or units of a sundry); None: no limit.

    `workings` say how its own money (by origin), its own hours (by activity) and what it holds
    (under HOLDS) were reached, where they do not simply stand in the record.
    """

    key: Key
    place: Place
    own: Load = Load()
    holds: Fraction | None = None
    unit: str = "g"
    own_place: Place = NOWHERE
    workings: Workings = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class Draw:
    """An amount going from one node to another; `working` where it was reckoned, not weighed."""

    source: Key
    target: Key
    amount: Fraction
    place: Place
    use: str = ""
    working: Figure | None = None


@dataclass(frozen=True, slots=True)
class Flow:
    """The whole flow of a studio."""

    nodes: Mapping[Key, Node]
    into: Mapping[Key, tuple[Draw, ...]]
    out: Mapping[Key, tuple[Draw, ...]]
    loads: Mapping[Key, Load]
    totals: Mapping[Key, Fraction]

    def drawn(self, key: Key) -> Fraction:
        """Everything drawn from a node, losses included."""
        return self.totals.get(key, Fraction(0))

    def whole(self, key: Key) -> Fraction:
        """What the draws of a node are shares of: what it holds, or what was drawn if more."""
        holds, drawn = self.nodes[key].holds, self.drawn(key)
        return drawn if holds is None else max(holds, drawn)

    def fraction(self, draw: Draw) -> Fraction:
        """The share of its source that a draw carries."""
        whole = self.whole(draw.source)
        return draw.amount / whole if whole else Fraction(0)

    def left(self, key: Key) -> Fraction:
        """Amount left in a node; never below nothing."""
        return self.whole(key) - self.drawn(key)

    def left_load(self, key: Key) -> Load:
        """What is still carried by what is left in a node."""
        whole = self.whole(key)
        if key.kind in ("piece", "lost"):
            return Load()
        return self.loads[key].share(self.left(key) / whole if whole else Fraction(1))


def work_out(nodes: Mapping[Key, Node], draws: Iterable[Draw]) -> Flow:
    """Carry every load along its draws; draws that would close a circle are left out."""
    kept = [draw for draw in draws if draw.source in nodes and draw.target in nodes]
    order = {key: turn for turn, key in enumerate(_sources_first(nodes, _by_target(kept)))}
    kept = [draw for draw in kept if order[draw.source] < order[draw.target]]
    into, out, loads = _by_target(kept), _by_source(kept), dict[Key, Load]()
    totals = {key: sum((draw.amount for draw in drawn), Fraction(0)) for key, drawn in out.items()}
    flow = Flow(nodes, into, out, loads, totals)
    for key in order:
        carried = (loads[draw.source].share(flow.fraction(draw)) for draw in into.get(key, ()))
        loads[key] = add_loads([nodes[key].own, *carried])
    return flow


def _by_target(draws: Iterable[Draw]) -> dict[Key, tuple[Draw, ...]]:
    into: dict[Key, list[Draw]] = {}
    for draw in draws:
        into.setdefault(draw.target, []).append(draw)
    return {key: tuple(found) for key, found in into.items()}


def _by_source(draws: Iterable[Draw]) -> dict[Key, tuple[Draw, ...]]:
    out: dict[Key, list[Draw]] = {}
    for draw in draws:
        out.setdefault(draw.source, []).append(draw)
    return {key: tuple(found) for key, found in out.items()}


def _sources_first(nodes: Iterable[Key], into: Mapping[Key, tuple[Draw, ...]]) -> Iterator[Key]:
    """Nodes in an order in which every source comes before what it flows into."""
    done: set[Key] = set()
    for start in nodes:
        waiting, on_path = [start], {start}
        while waiting:
            key = waiting[-1]
            sources = [draw.source for draw in into.get(key, ())]
            ahead = [each for each in sources if each not in done and each not in on_path]
            if key not in done and ahead:
                waiting.append(ahead[0])
                on_path.add(ahead[0])
                continue
            waiting.pop()
            on_path.discard(key)
            if key not in done:
                done.add(key)
                yield key


SCALE_ERROR = Fraction(2, 100)
SCALE_GRAMS = Fraction(2)


def overdrawn(flow: Flow) -> Iterator[Problem]:
    """Uses beyond what a lot holds; within the scale's error (2 % or 2 g) only a remark."""
    for key, node in flow.nodes.items():
        missing = flow.drawn(key) - node.holds if node.holds is not None else Fraction(0)
        if missing <= 0 or node.holds is None or key.kind in ("bath", "piece"):
            continue
        is_small = node.unit == "g" and missing <= max(node.holds * SCALE_ERROR, SCALE_GRAMS)
        draws = flow.out[key]
        unit = f" {node.unit}" if node.unit else ""
        every = "; ".join(
            f"{naming(draw.target)} {plain(draw.amount, 1)}{unit} ({draw.place.short})"
            for draw in draws
        )
        yield Problem(
            _crossing(draws, node.holds).place,
            f"'{key.name}' is overdrawn by {plain(missing, 1)}{unit}: "
            f"it holds {plain(node.holds, 1)}{unit} ({node.place.short})",
            f"drawn by {every}",
            is_remark=is_small,
        )


def _crossing(draws: tuple[Draw, ...], holds: Fraction) -> Draw:
    """The draw at which a lot runs out, in order of record."""
    so_far = Fraction(0)
    for draw in sorted(draws, key=lambda each: (each.target.kind == "piece", each.place)):
        so_far += draw.amount
        if so_far > holds:
            return draw
    return draws[-1]


def naming(key: Key) -> str:
    """A node in words."""
    if key.kind == "lost":
        return "lost"
    return f"bath {key.name}" if key.kind == "bath" else key.name


def carried_money(flow: Flow, key: Key, origin: Key, unit: str = "") -> Figure:
    """The working of the money one node carries from one origin, back to the record."""
    node = flow.nodes[key]
    terms = []
    if origin in node.own.money:
        place = node.own_place if node.own_place.file else node.place
        plainly = given(f"cost of {origin.name}", node.own.money[origin], unit, place)
        terms.append(node.workings.get(origin, plainly))
    for draw in flow.into.get(key, ()):
        if origin in flow.loads[draw.source].money:
            carried = carried_money(flow, draw.source, origin, unit)
            terms.append(_shared(flow, draw, carried, origin.name))
    return terms[0] if len(terms) == 1 else total(f"{origin.name} in {naming(key)}", terms, unit)


def carried_hours(flow: Flow, key: Key, activity: str) -> Figure:
    """The working of the hours of one activity that a node carries."""
    node = flow.nodes[key]
    terms = []
    if activity in node.own.hours:
        plainly = given(f"{activity}, {naming(key)}", node.own.hours[activity], "h", node.place)
        terms.append(node.workings.get(activity, plainly))
    for draw in flow.into.get(key, ()):
        if activity in flow.loads[draw.source].hours:
            carried = carried_hours(flow, draw.source, activity)
            terms.append(_shared(flow, draw, carried, activity))
    return terms[0] if len(terms) == 1 else total(f"{activity} in {naming(key)}", terms, "h")


def carried_grams(flow: Flow, key: Key, origin: Key) -> Figure:
    """The working of the grams of one stock lot that a node carries."""
    node = flow.nodes[key]
    terms = []
    if origin in node.own.grams:
        plainly = given(f"{origin.name} in all", node.own.grams[origin], "g", node.place)
        terms.append(node.workings.get(HOLDS, plainly))
    for draw in flow.into.get(key, ()):
        if origin in flow.loads[draw.source].grams:
            carried = carried_grams(flow, draw.source, origin)
            terms.append(_shared(flow, draw, carried, origin.name))
    return terms[0] if len(terms) == 1 else total(f"{origin.name} in {naming(key)}", terms, "g")


def _shared(flow: Flow, draw: Draw, carried: Figure, subject: str) -> Figure:
    """What a draw carries of a figure: figure x drawn / whole."""
    source = flow.nodes[draw.source]
    whole = flow.whole(draw.source)
    if draw.amount == whole:
        return carried
    drawn = given(f"into {naming(draw.target)}", draw.amount, source.unit, draw.place)
    place, working = source.place, source.workings.get(HOLDS)
    if source.holds != whole:
        place, working = NOWHERE, None
    in_all = given(f"{naming(draw.source)} in all", whole, source.unit, place)
    part = quotient(
        f"share of {naming(draw.source)} drawn", draw.working or drawn, working or in_all
    )
    way = "" if draw.source.name == subject else f" with {naming(draw.source)}"
    what = f"{subject}{way} into {naming(draw.target)}"
    return product(what, carried, part, unit=carried.unit)
