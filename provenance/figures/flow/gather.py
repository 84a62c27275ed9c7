"""From the record book to the nodes and draws of the material flow.

In: the book. Out: `studio_flow(book)`, every lot, bath and piece as a node, every use as a draw.
Yarn spun in place takes grease weight = yarn / (scoured x carded x spun); dyestuff and mordant
shares are of the dry weight of fibre in the bath; several yarns share a bath by weight.
"""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import replace
from fractions import Fraction
from functools import partial
from math import prod
from typing import Any

from provenance.figures.flow.flow import (
    HEAT,
    HOLDS,
    LOST,
    Draw,
    Flow,
    Key,
    Load,
    Node,
    Workings,
    called,
    in_all,
    naming,
    work_out,
)
from provenance.figures.flow.own_workings import (
    WorkedLater,
    dose_working,
    fibre_working,
    grease_working,
    heat_working,
    hours_of,
    hours_workings,
    is_shared,
    piece_hours,
    spun_working,
    yields_of,
)
from provenance.figures.flow.sundries import sundries_of, sundry_node
from provenance.figures.working import Figure
from provenance.problems import Place, Said, named
from provenance.records.amounts import Dose, Spent
from provenance.records.baths import Bath, Dyeing
from provenance.records.book import Book
from provenance.records.lots import Dyestuff, Fleece, Mordant, Sundry, Yarn
from provenance.records.pieces import Piece
from provenance.records.quantities import Share
from provenance.records.text import Written

Parts = tuple[list[Node], list[Draw]]
Lot = Fleece | Dyestuff | Mordant | Yarn


def studio_flow(book: Book) -> Flow:
    """The material flow of the whole studio."""
    nodes: list[Node] = [Node(LOST, Place(""))]
    draws: list[Draw] = []
    for more_nodes, more_draws in _all_parts(book):
        nodes += more_nodes
        draws += more_draws
    return work_out({node.key: _came_in(book, node, draws) for node in nodes}, draws)


class FlowLater(Flow):
    """The same, worked out when something of it is first asked for."""

    __slots__ = ("_book",)
    _book: Book

    @classmethod
    def of(cls, book: Book) -> Flow:
        """The flow of a book; nothing of it is there yet."""
        later = cls.__new__(cls)
        object.__setattr__(later, "_book", book)
        return later

    def __getattr__(self, name: str) -> Any:
        if name not in Flow.__slots__:  # those are lacking until they are filled here
            raise AttributeError(name)
        flow = studio_flow(self._book)
        for each in Flow.__slots__:
            object.__setattr__(self, each, getattr(flow, each))
        return getattr(flow, name)


def _came_in(book: Book, node: Node, draws: Sequence[Draw]) -> Node:
    """What was never weighed or counted (gathered dyestuff) came in as what was drawn from it."""
    used = (each.amount for each in draws if each.source == node.key)
    if node.holds is None and node.key.kind in ("dyestuff", "mordant"):
        return replace(node, own=replace(node.own, grams={node.key: sum(used, Fraction(0))}))
    if node.holds is None and node.key.kind == "sundry":
        return sundry_node(book, book.sundries[node.key.name], used)
    return node


def _all_parts(book: Book) -> Iterator[Parts]:
    for fleece in book.fleece.values():
        yield _stock("fleece", fleece)
    for kind, lots in (("dyestuff", book.dyestuffs), ("mordant", book.mordants)):
        for lot in lots.values():
            yield _stock(kind, lot)
    for yarn in book.yarns.values():
        yield _spun(book, yarn) if yarn.fleece else _stock("yarn", yarn)
    for sundry in book.sundries.values():
        yield _sundry(book, sundry)
    for name, bath in book.baths.items():
        yield _bath(book, name, bath)
    keepers = [piece for piece in book.pieces.values() if piece.shared]
    for piece in book.pieces.values():
        yield _piece(book, piece, keepers)


def _sundry(book: Book, sundry: Sundry) -> Parts:
    """A sundry, and what was lost of it."""
    node = sundry_node(book, sundry, ())
    lost = sundry.lost
    return [node], [Draw(node.key, LOST, Fraction(lost), lost.place)] if lost else []


def lot_key(book: Book, name: str) -> Key:
    """The node of a yarn or dyed lot."""
    return Key("yarn" if name in book.yarns else "dyed", str(name))


def _values(hours: Mapping[Key | str, Figure]) -> dict[str, Fraction]:
    return {str(activity): figure.value for activity, figure in hours.items()}


def _stock(kind: str, lot: Lot) -> Parts:
    """A lot that came in: its weight, its cost, its hours (gathering)."""
    key, weighed = Key(kind, str(lot.name)), _weighed(lot)
    grams = {key: weighed[HOLDS].value} if weighed else {}
    return _lot(key, lot, weighed, Load(grams, {key: Fraction(lot.cost or 0)}))


def _weighed(lot: Lot) -> Workings:
    if lot.weight is None:
        return {}
    return {HOLDS: in_all(lot.name, lot.weight, "g", lot.weight.place)}


def _lot(key: Key, lot: Lot, whole: Workings, own: Load, draws: Iterable[Draw] = ()) -> Parts:
    """A lot with its own load, its hours, and what was lost of it."""
    hours = hours_workings(key.name, lot.hours)
    holds = whole[HOLDS].value if whole else None
    paid_at = lot.cost.place if lot.cost is not None else lot.name.place
    own = replace(own, hours=_values(hours))
    node = Node(key, lot.name.place, own, holds, "g", paid_at, {**hours, **whole})
    lost = [Draw(key, LOST, Fraction(lot.lost), lot.lost.place)] if lot.lost else []
    return [node], [*draws, *lost]


def yield_of(fleece: Fleece) -> Fraction:
    """What is left of a fleece as yarn, as a share of its grease weight."""
    return prod((figure.value for figure in yields_of(fleece)), start=Fraction(1))


def _spun(book: Book, yarn: Yarn) -> Parts:
    """Yarn spun here: draws grease weight from its fleeces; measured weight wins over yields."""
    key = Key("yarn", str(yarn.name))
    draws, parts = [], []
    for name, put_in in (yarn.fleece or {}).items():
        fleece = book.fleece.get(name)
        if fleece is None:
            continue
        place, reckoned = yarn.name.place, None
        if put_in is not None:
            place, grease = put_in.place, Fraction(put_in)
        else:
            reckoned = grease_working(fleece, Fraction(yarn.weight or 0), place)
            grease = reckoned.value
        draws.append(Draw(Key("fleece", str(name)), key, grease, place, working=reckoned))
        parts.append((fleece, grease, place))
    whole = _weighed(yarn) or {HOLDS: spun_working(key.name, parts)}
    return _lot(key, yarn, whole, Load({}, {key: Fraction(yarn.cost)} if yarn.cost else {}), draws)


def expected_yarn(book: Book, yarn: Yarn) -> Fraction:
    """Grams of yarn the fleece put in should have given, by its yields."""
    drawn = ((book.fleece.get(name), put_in) for name, put_in in (yarn.fleece or {}).items())
    spun = (Fraction(put_in or 0) * yield_of(fleece) for fleece, put_in in drawn if fleece)
    return sum(spun, Fraction(0))


def exhaust_source(book: Book, bath: Bath) -> Bath | None:
    """The bath whose leftovers this one uses: named by its file or by a lot it gave."""
    return book.bath_of(bath.exhaust_of) if bath.exhaust_of else None


def dose_grams(dose: Dose, fibre: Fraction) -> Fraction:
    """Grams of a dose on this dry weight of fibre."""
    return fibre * dose if isinstance(dose, Share) else Fraction(dose)


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


def _pot(
    book: Book, key: Key, steps: Iterable[Dyeing], spent: Mapping[Written, Spent], fibre: Figure
) -> tuple[Load, WorkedLater]:
    """What a bath, or a yarn dyed in place, brings in itself: its heat and its hours."""
    heat = heat_working(naming(key), book.studio.heat, steps, str(book.studio.currency))
    own = Load({}, {HEAT: heat.value} if heat else {}, hours_of(spent))
    heats: Workings = {HEAT: heat} if heat else {}
    return own, WorkedLater(lambda: {**heats, **hours_workings(naming(key), spent), HOLDS: fibre})


def _bath(book: Book, name: str, bath: Bath) -> Parts:
    """A bath, and the lots that come out of it; what they share goes by weight of fibre."""
    key, fibre, place = Key("bath", name), fibre_working(name, bath), bath.name.place
    own, workings = _pot(book, key, bath.steps, bath.hours, fibre)
    nodes = [Node(key, place, own, fibre.value, "g", place, workings)]
    draws = [*_doses(book, bath.steps, key, fibre), *_leftovers(book, key, bath)]
    lost = Fraction(bath.fibre_also_lost or 0)
    for entry in bath.dyed:
        lot, weight, at = Key("dyed", str(entry.becomes)), entry.weight, entry.weight.place
        whole = in_all(entry.becomes, weight, "g", at)
        nodes.append(Node(lot, entry.becomes.place, holds=weight, workings={HOLDS: whole}))
        yarn = lot_key(book, entry.yarn)
        draws += [Draw(source, lot, Fraction(weight), at) for source in (yarn, key)]
        if part := lost * weight / fibre.value if fibre.value else lost:
            draws.append(Draw(lot, LOST, part, at))
        if entry.lost:
            draws.append(Draw(lot, LOST, Fraction(entry.lost), entry.lost.place))
    return nodes, draws


def _leftovers(book: Book, key: Key, bath: Bath) -> Iterator[Draw]:
    """An exhaust bath takes nothing that weighs or costs from the first; yet it is traced."""
    source = exhaust_source(book, bath)
    if source is not None and bath.exhaust_of:
        first = Key("bath", str(source.name))
        yield Draw(first, key, Fraction(0), bath.exhaust_of.place, Said("flow.exhaust"))


def in_place_key(piece: Piece, index: int) -> Key:
    """The node of a yarn written out in place."""
    return Key("in place", piece.name_in_place(index))


def source_key(book: Book, piece: Piece, index: int) -> Key | None:
    """The node one yarn of a piece was drawn from."""
    use = piece.yarns[index]
    if use.is_in_place:
        return in_place_key(piece, index)
    return lot_key(book, use.lot) if use.lot else None


def _piece(book: Book, piece: Piece, keepers: Sequence[Piece]) -> Parts:
    key = Key("piece", str(piece.number))
    sharing = [each for each in keepers if is_shared(each, piece)]
    workings = WorkedLater(partial(piece_hours, book, piece, sharing))
    hours = _values(workings) if sharing else hours_of(piece.hours)
    own = Load({}, {}, hours)
    nodes, draws = [Node(key, piece.number.place, own, workings=workings)], list[Draw]()
    for index, use in enumerate(piece.yarns):
        if use.is_in_place:
            node, more_draws = _in_place(book, piece, index)
            nodes, draws = [*nodes, node], draws + more_draws
        if source := source_key(book, piece, index):
            said = named("use", use.use) if use.use else ""
            draws.append(Draw(source, key, Fraction(use.weight), use.weight.place, said))
    for name, used in sundries_of(book, piece).items():
        draws.append(Draw(Key("sundry", str(name)), key, Fraction(used), used.place))
    return nodes, draws


def _in_place(book: Book, piece: Piece, index: int) -> tuple[Node, list[Draw]]:
    """A yarn spun and dyed for one piece only."""
    use, key = piece.yarns[index], in_place_key(piece, index)
    fibre = in_all(called(key), use.weight, "g", use.weight.place)
    own, workings = _pot(book, key, [use], use.hours, fibre)
    draws = list(_doses(book, [use], key, fibre))
    if use.lot:
        draws.append(Draw(lot_key(book, use.lot), key, Fraction(use.weight), use.weight.place))
    elif use.fleece and use.fleece in book.fleece:
        reckoned = grease_working(book.fleece[use.fleece], Fraction(use.weight), use.weight.place)
        fleece = Key("fleece", str(use.fleece))
        draws.append(Draw(fleece, key, reckoned.value, use.weight.place, working=reckoned))
    return Node(key, use.record_place, own, Fraction(use.weight), workings=workings), draws
