"""The material flow: what every lot and piece carries, exactly.

In: nodes (lots, baths, pieces) with what they brought in themselves, and draws between them. Out:
for each node the grams of every stock lot, the money and the hours it carries; what is left in it;
and every use beyond what a lot holds. A draw of g from w carries the fraction g/w of everything;
the law is that all that came in = carried into pieces + left in lots + lost, exactly, for grams,
money and hours.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from fractions import Fraction
from operator import attrgetter
from typing import Any, NamedTuple

from provenance.figures.working import Figure, Number, given, in_turn, plain
from provenance.problems import NOWHERE, Place, Problem, Said, Words, row


class Key(NamedTuple):
    """A node: fleece, dyestuff, mordant, sundry, yarn, dyed, in place, bath, heat, piece, lost."""

    kind: str
    name: str


LOST = Key("lost", "")
HOLDS = Key("holds", "")
HEAT = Key("heat", "heat")

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
    sums: tuple[dict[Any, Fraction], ...] = ({}, {}, {})
    for load in loads:
        parts: tuple[Mapping[Any, Fraction], ...] = (load.grams, load.money, load.hours)
        for into, more in zip(sums, parts, strict=True):
            for key, value in more.items():
                into[key] = into[key] + value if key in into else value
    return Load(*sums)


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
    workings: Mapping[Key | str, Figure] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class Draw:
    """An amount going from one node to another; `working` where it was reckoned, not weighed."""

    source: Key
    target: Key
    amount: Fraction
    place: Place
    use: Words = ""
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


def work_out(nodes: Mapping[Key, Node], draws: Iterable[Draw]) -> Flow:
    """Carry every load along its draws; draws that would close a circle are left out."""
    kept = [draw for draw in draws if draw.source in nodes and draw.target in nodes]
    ordered = _sources_first(nodes, _grouped(kept, "target"), set())
    order = {key: turn for turn, key in enumerate(ordered)}
    kept = [draw for draw in kept if order[draw.source] < order[draw.target]]
    into, out = _grouped(kept, "target"), _grouped(kept, "source")
    totals = {key: sum((draw.amount for draw in drawn), Fraction(0)) for key, drawn in out.items()}
    loads = Loads(tuple(order))
    loads.flow = Flow(nodes, into, out, loads, totals)
    return loads.flow


class Loads(Mapping[Key, Load]):
    """What each node carries, worked out when it is first asked for."""

    flow: Flow

    def __init__(self, order: Sequence[Key]) -> None:
        self._order = order
        self._found: dict[Key, Load] = {}
        self._done: set[Key] = set()

    def __getitem__(self, key: Key) -> Load:
        if key not in self._found:
            nodes, into = self.flow.nodes, self.flow.into
            for each in _sources_first((nodes[key].key,), into, self._done):
                draws = into.get(each, ())
                carried = (self._found[d.source].share(self.flow.fraction(d)) for d in draws)
                self._found[each] = add_loads([nodes[each].own, *carried])
        return self._found[key]

    def __iter__(self) -> Iterator[Key]:
        return iter(self._order)

    def __len__(self) -> int:
        return len(self._order)


def _grouped(draws: Iterable[Draw], end: str) -> dict[Key, tuple[Draw, ...]]:
    """The draws by their source or their target."""
    found: dict[Key, list[Draw]] = {}
    end_of = attrgetter(end)
    for draw in draws:
        found.setdefault(end_of(draw), []).append(draw)
    return {key: tuple(each) for key, each in found.items()}


def _sources_first(
    nodes: Iterable[Key], into: Mapping[Key, tuple[Draw, ...]], done: set[Key]
) -> Iterator[Key]:
    """Nodes not `done` yet, in an order in which every source comes before what it flows into."""
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
MOST_USES = 40  # that are told of a lot


def overdrawn(flow: Flow, planned: Collection[str] = ()) -> Iterator[Problem]:
    """Uses beyond what a lot holds; within the scale's error (2 % or 2 g) only a remark, and where
    it holds enough but for pieces that are `planned`: their numbers, still in progress."""
    for key, node in flow.nodes.items():
        missing = flow.drawn(key) - node.holds if node.holds is not None else Fraction(0)
        if missing <= 0 or node.holds is None or key.kind in ("bath", "piece"):
            continue
        spare = max(node.holds * SCALE_ERROR, SCALE_GRAMS) if node.unit == "g" else Fraction(0)
        in_progress = _planned(flow, key, planned)
        if in_progress and missing - sum(in_progress.values()) <= spare:
            draws = [draw for draw in flow.out[key] if _for_piece(draw) in in_progress]
            yield _too_little(node, draws, flow.drawn(key) - node.holds, tuple(in_progress))
            continue
        is_small = missing <= spare
        yield _overdrawn(node, flow.out[key], node.holds, missing, is_small=is_small)


def _for_piece(draw: Draw) -> str:
    """The number of the piece a draw goes into, at once or by a yarn dyed in place; else ''."""
    is_for_piece = draw.target.kind in ("piece", "in place")
    return draw.target.name.partition(" ")[0] if is_for_piece else ""


def _planned(flow: Flow, key: Key, planned: Collection[str]) -> dict[str, Fraction]:
    """What each piece in progress draws from a node."""
    found: dict[str, Fraction] = {}
    for draw in flow.out[key]:
        if (number := _for_piece(draw)) in planned:
            found[number] = found.get(number, Fraction(0)) + draw.amount
    return found


def _too_little(
    node: Node, draws: Sequence[Draw], missing: Fraction, numbers: tuple[str, ...]
) -> Problem:
    """What is planned takes more than there is: a remark at the last of it."""
    amount = f"{plain(missing, 1)} {node.unit}".strip()
    what = Said("overdrawn.planned", name=node.key.name, missing=amount, numbers=row(numbers))
    remedy = Said("overdrawn.when_made", place=node.place.short)
    return Problem(max(draw.place for draw in draws), what, remedy, is_remark=True)


def _overdrawn(
    node: Node, draws: tuple[Draw, ...], holds: Fraction, missing: Fraction, *, is_small: bool
) -> Problem:
    def told(amount: Fraction) -> str:
        return f"{plain(amount, 1)} {node.unit}".strip()

    uses = (
        Said("overdrawn.use", where=naming(draw.target), amount=told(draw.amount),
             place=draw.place.short)
        for draw in draws[:MOST_USES]
    )  # fmt: skip
    more = ("...",) if draws[MOST_USES:] else ()
    said = Said("overdrawn.lot", name=node.key.name, missing=told(missing), holds=told(holds),
                place=node.place.short)  # fmt: skip
    remedy = Said("overdrawn.uses", uses=in_turn((*uses, *more)))
    return Problem(_crossing(draws, holds).place, said, remedy, is_small)


def _crossing(draws: tuple[Draw, ...], holds: Fraction) -> Draw:
    """The draw at which a lot runs out, in order of record."""
    so_far = Fraction(0)
    for draw in sorted(draws, key=lambda each: (each.target.kind == "piece", each.place)):
        so_far += draw.amount
        if so_far > holds:
            return draw
    return draws[-1]


def called(key: Key) -> Words:
    """The name of a node as it is shown."""
    if key == HEAT:
        return Said("flow.heat")
    return key.name


def naming(key: Key) -> Words:
    """A node in words: what a bath is, and what is lost, is said."""
    if key.kind == "lost":
        return Said("flow.lost")
    return Said("flow.bath", name=key.name) if key.kind == "bath" else called(key)


def in_all(what: Words, amount: Number, unit: str = "g", place: Place | None = None) -> Figure:
    """What a lot holds in all: what its draws are shares of."""
    return given(Said("flow.in_all", what=what), amount, unit, place)
