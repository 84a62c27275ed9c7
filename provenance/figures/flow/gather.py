"""From the record book to the nodes and draws of the material flow.

In: the book. Out: `studio_flow(book)`, every lot, bath and piece as a node, every use as a draw.
Yarn spun in place takes grease weight = yarn / (scoured x carded x spun); dyestuff and mordant
shares are of the dry weight of fibre in the bath; several yarns share a bath by weight.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from dataclasses import replace
from fractions import Fraction
from math import prod

from provenance.figures.flow.flow import (
    HOLDS,
    LOST,
    Draw,
    Flow,
    Key,
    Load,
    Node,
    Workings,
    work_out,
)
from provenance.figures.flow.own_workings import (
    STEPS,
    dose_working,
    fibre_working,
    grease_working,
    heat_working,
    hours_workings,
    spun_working,
    yields_of,
)
from provenance.figures.flow.piece_hours import piece_hours
from provenance.figures.flow.sundries import sundries_of, sundries_used, sundry_node
from provenance.figures.working import Figure, given
from provenance.problems import Place
from provenance.records.amounts import Dose
from provenance.records.baths import Bath, DyedYarn, Dyeing
from provenance.records.book import Book
from provenance.records.lots import Dyestuff, Fleece, Mordant, Yarn
from provenance.records.pieces import Piece, YarnUse

HEAT = Key("heat", "heat")
Parts = tuple[list[Node], list[Draw]]


def studio_flow(book: Book) -> Flow:
    """The material flow of the whole studio."""
    nodes: list[Node] = [Node(LOST, Place(""))]
    draws: list[Draw] = []
    for more_nodes, more_draws in _all_parts(book):
        nodes += more_nodes
        draws += more_draws
    return work_out({node.key: node for node in map(_unweighed(draws), nodes)}, draws)


def _unweighed(draws: Iterable[Draw]) -> Callable[[Node], Node]:
    """A lot that was never weighed (gathered dyestuff) came in as what was drawn from it."""
    drawn: dict[Key, Fraction] = {}
    for draw in draws:
        drawn[draw.source] = drawn.get(draw.source, Fraction(0)) + draw.amount

    def filled(node: Node) -> Node:
        if node.holds is not None or node.key.kind not in ("dyestuff", "mordant"):
            return node
        own = replace(node.own, grams={node.key: drawn.get(node.key, Fraction(0))})
        return replace(node, own=own)

    return filled


def _all_parts(book: Book) -> Iterator[Parts]:
    for fleece in book.fleece.values():
        yield _stock("fleece", fleece)
    for kind, lots in (("dyestuff", book.dyestuffs), ("mordant", book.mordants)):
        for lot in lots.values():
            yield _stock(kind, lot)
    for yarn in book.yarns.values():
        yield _spun(book, yarn) if yarn.fleece else _stock("yarn", yarn)
    used = sundries_used(book)
    for sundry in book.sundries.values():
        yield sundry_node(book, sundry, used.get(str(sundry.name), []))
    for name, bath in book.baths.items():
        yield _bath(book, name, bath)
    for piece in book.pieces.values():
        yield _piece(book, piece)


def lot_key(book: Book, name: str) -> Key:
    """The node of a yarn or dyed lot."""
    return Key("yarn" if name in book.yarns else "dyed", str(name))


def _values(hours: Workings) -> dict[str, Fraction]:
    return {str(activity): figure.value for activity, figure in hours.items()}


def _stock(kind: str, lot: Fleece | Dyestuff | Mordant | Yarn) -> Parts:
    """A lot that came in: its weight, its cost, its hours (gathering)."""
    key = Key(kind, str(lot.name))
    grams = {key: Fraction(lot.weight)} if lot.weight is not None else {}
    money = {key: Fraction(lot.cost or 0)}
    place = lot.cost.place if lot.cost is not None else lot.name.place
    hours = hours_workings(str(lot.name), lot.hours)
    own = Load(grams, money, _values(hours))
    node = Node(key, lot.name.place, own, _held(lot), "g", place, {**hours, **_weighed(lot)})
    return [node], _losses(key, lot)


def _held(lot: Fleece | Dyestuff | Mordant | Yarn) -> Fraction | None:
    return Fraction(lot.weight) if lot.weight is not None else None


def _weighed(lot: Fleece | Dyestuff | Mordant | Yarn) -> Workings:
    if lot.weight is None:
        return {}
    return {HOLDS: given(f"{lot.name} in all", lot.weight, "g", lot.weight.place)}


def _losses(key: Key, lot: Fleece | Dyestuff | Mordant | Yarn) -> list[Draw]:
    return [Draw(key, LOST, Fraction(lot.lost), lot.lost.place)] if lot.lost else []


def yield_of(fleece: Fleece) -> tuple[Fraction, tuple[str, ...]]:
    """What is left of a fleece as yarn (share of its grease weight), and the steps assumed."""
    whole = prod((figure.value for figure in yields_of(fleece)), start=Fraction(1))
    return whole, tuple(step for step in STEPS if getattr(fleece, step) is None)


def _spun(book: Book, yarn: Yarn) -> Parts:
    """Yarn spun here: draws grease weight from its fleeces; measured weight wins over yields."""
    key = Key("yarn", str(yarn.name))
    draws, parts = [], []
    for name, put_in in (yarn.fleece or {}).items():
        fleece = book.fleece.get(name)
        if fleece is None:
            continue
        place = put_in.place if put_in is not None else yarn.name.place
        reckoned = None
        if put_in is None:
            reckoned = grease_working(fleece, Fraction(yarn.weight or 0), place)
        grease = reckoned.value if reckoned else Fraction(put_in or 0)
        draws.append(Draw(Key("fleece", str(name)), key, grease, place, working=reckoned))
        parts.append((fleece, grease, place))
    hours = hours_workings(str(yarn.name), yarn.hours)
    whole = _weighed(yarn) or {HOLDS: spun_working(str(yarn.name), parts)}
    own = Load({}, {key: Fraction(yarn.cost)} if yarn.cost else {}, _values(hours))
    money_place = yarn.cost.place if yarn.cost else yarn.name.place
    holds = whole[HOLDS].value
    node = Node(key, yarn.name.place, own, holds, "g", money_place, {**hours, **whole})
    return [node], draws + _losses(key, yarn)


def expected_yarn(book: Book, yarn: Yarn) -> Fraction:
    """Grams of yarn the fleece put in should have given, by its yields."""
    return sum(
        (
            Fraction(put_in or 0) * yield_of(book.fleece[name])[0]
            for name, put_in in (yarn.fleece or {}).items()
            if name in book.fleece
        ),
        Fraction(0),
    )


def exhaust_source(book: Book, bath: Bath) -> Bath | None:
    """The bath whose leftovers this one uses: named by its file or by a lot it gave."""
    name = bath.exhaust_of
    if name is None:
        return None
    lot = book.dyed.get(name)
    return book.baths.get(name) or (lot.bath if lot else None)


def dose_grams(dose: Dose, fibre: Fraction) -> Fraction:
    """Grams of a dose on this dry weight of fibre."""
    return fibre * dose.share if dose.share is not None else Fraction(dose.grams or 0)


def _doses(book: Book, steps: Iterable[Dyeing], target: Key, fibre: Figure) -> Iterator[Draw]:
    """Dyestuffs and mordants drawn by the steps of a bath; shares are of the dry fibre in it."""
    for step in steps:
        for name, dose in step.dyes.items():
            yield _dose_draw("dyestuff", name, dose, target, fibre)
        for name, dose in [*step.mordants.items(), *step.after.items()]:
            kind = "mordant" if name in book.mordants else "dyestuff"
            yield _dose_draw(kind, name, dose, target, fibre)


def _dose_draw(kind: str, name: str, dose: Dose, target: Key, fibre: Figure) -> Draw:
    grams, working = dose_grams(dose, fibre.value), dose_working(str(name), dose, fibre)
    return Draw(Key(kind, str(name)), target, grams, dose.place, working=working)


def _heat(book: Book, owner: str, steps: Iterable[Dyeing]) -> Workings:
    heat = heat_working(owner, book.studio.heat, steps, str(book.studio.currency))
    return {HEAT: heat} if heat else {}


def _bath(book: Book, name: str, bath: Bath) -> Parts:
    """A bath, and the lots that come out of it; what they share goes by weight of fibre."""
    key = Key("bath", name)
    fibre = fibre_working(name, bath)
    owner = f"bath {name}"
    heat, hours = _heat(book, owner, bath.steps), hours_workings(owner, bath.hours)
    own = Load({}, {HEAT: heat[HEAT].value} if heat else {}, _values(hours))
    workings = {**heat, **hours, HOLDS: fibre}
    nodes = [Node(key, bath.name.place, own, fibre.value, "g", bath.name.place, workings)]
    draws = [*_doses(book, bath.steps, key, fibre), *_leftovers(book, key, bath)]
    lost = Fraction(bath.fibre_also_lost or 0)
    for entry in bath.dyed:
        whole = given(f"{entry.becomes} in all", entry.weight, "g", entry.weight.place)
        lot = Key("dyed", str(entry.becomes))
        nodes.append(Node(lot, entry.becomes.place, holds=entry.weight, workings={HOLDS: whole}))
        draws += _dyed_draws(
            book, key, entry, lost * entry.weight / fibre.value if fibre.value else lost
        )
    return nodes, draws


def _leftovers(book: Book, key: Key, bath: Bath) -> Iterator[Draw]:
    """An exhaust bath takes nothing that weighs or costs from the first; yet it is traced."""
    source = exhaust_source(book, bath)
    if source is not None and bath.exhaust_of and source is not bath:
        first = Key("bath", str(source.name))
        yield Draw(first, key, Fraction(0), bath.exhaust_of.place, "exhaust")


def _dyed_draws(book: Book, bath: Key, entry: DyedYarn, lost: Fraction) -> Iterator[Draw]:
    key = Key("dyed", str(entry.becomes))
    yield Draw(lot_key(book, entry.yarn), key, Fraction(entry.weight), entry.weight.place)
    yield Draw(bath, key, Fraction(entry.weight), entry.weight.place)
    if lost:
        yield Draw(key, LOST, lost, entry.weight.place)


def in_place_key(piece: Piece, index: int) -> Key:
    """The node of a yarn written out in place."""
    return Key("in place", f"{piece.number} yarn {index + 1}")


def is_in_place(use: YarnUse) -> bool:
    """Whether a yarn of a piece is spun or dyed where it is written."""
    return bool(use.fleece or use.dyes or use.mordants or use.after or use.hours)


def _piece(book: Book, piece: Piece) -> Parts:
    key, hours = Key("piece", str(piece.number)), piece_hours(book, piece)
    own = Load({}, {}, _values(hours))
    nodes, draws = [Node(key, piece.number.place, own, workings={**hours})], list[Draw]()
    for index, use in enumerate(piece.yarns):
        source = lot_key(book, use.lot) if use.lot else None
        if is_in_place(use):
            more_nodes, more_draws = _in_place(book, piece, index, source)
            nodes, draws = nodes + more_nodes, draws + more_draws
            source = in_place_key(piece, index)
        if source is not None:
            draws.append(Draw(source, key, Fraction(use.weight), use.weight.place, str(use.use)))
    for name, used in sundries_of(book, piece).items():
        draws.append(Draw(Key("sundry", str(name)), key, used.amount, used.place))
    return nodes, draws


def _in_place(book: Book, piece: Piece, index: int, lot: Key | None) -> Parts:
    """A yarn spun and dyed for one piece only."""
    use, key = piece.yarns[index], in_place_key(piece, index)
    heat, hours = _heat(book, key.name, [use]), hours_workings(key.name, use.hours)
    own = Load({}, {HEAT: heat[HEAT].value} if heat else {}, _values(hours))
    fibre = given(f"{key.name} in all", use.weight, "g", use.weight.place)
    draws = list(_doses(book, [use], key, fibre))
    if lot is not None:
        draws.append(Draw(lot, key, Fraction(use.weight), use.weight.place))
    elif use.fleece and use.fleece in book.fleece:
        reckoned = grease_working(book.fleece[use.fleece], Fraction(use.weight), use.weight.place)
        fleece = Key("fleece", str(use.fleece))
        draws.append(Draw(fleece, key, reckoned.value, use.weight.place, working=reckoned))
    workings = {**heat, **hours, HOLDS: fibre}
    return [Node(key, use.record_place, own, Fraction(use.weight), workings=workings)], draws
