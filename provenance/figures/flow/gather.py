"""From the record book to the nodes and draws of the material flow.

In: the book. Out: `studio_flow(book)`, every lot, bath and piece as a node, every use as a draw.
Yarn spun in place takes grease weight = yarn / (scoured x carded x spun); dyestuff and mordant
shares are of the dry weight of fibre in the bath; several yarns share a bath by weight.
"""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import replace
from fractions import Fraction
from math import prod

from provenance.figures.flow.flow import (
    HEAT,
    HOLDS,
    LOST,
    WHICH_YARN,
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
from provenance.figures.working import Figure
from provenance.problems import Place, Said, named
from provenance.records.amounts import Dose, Spent
from provenance.records.baths import Bath, DyedYarn, Dyeing
from provenance.records.book import Book
from provenance.records.lots import Dyestuff, Fleece, Mordant, Yarn
from provenance.records.pieces import Piece, YarnUse
from provenance.records.text import Written

Parts = tuple[list[Node], list[Draw]]


def studio_flow(book: Book) -> Flow:
    """The material flow of the whole studio."""
    nodes: list[Node] = [Node(LOST, Place(""))]
    draws: list[Draw] = []
    for more_nodes, more_draws in _all_parts(book):
        nodes += more_nodes
        draws += more_draws
    return work_out({node.key: node for node in _weighed_in(nodes, draws)}, draws)


def _weighed_in(nodes: Iterable[Node], draws: Sequence[Draw]) -> Iterator[Node]:
    """A lot that was never weighed (gathered dyestuff) came in as what was drawn from it."""
    for node in nodes:
        if node.holds is None and node.key.kind in ("dyestuff", "mordant"):
            drawn = sum((each.amount for each in draws if each.source == node.key), Fraction(0))
            yield replace(node, own=replace(node.own, grams={node.key: drawn}))
        else:
            yield node


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
        yield [sundry_node(book, sundry, used.get(str(sundry.name), []))], []
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
    weighed, hours = _weighed(lot), hours_workings(key.name, lot.hours)
    holds = weighed[HOLDS].value if weighed else None
    own = Load({key: holds} if holds is not None else {}, {key: Fraction(lot.cost or 0)},
               _values(hours))  # fmt: skip
    place = lot.cost.place if lot.cost is not None else lot.name.place
    node = Node(key, lot.name.place, own, holds, "g", place, {**hours, **weighed})
    return [node], _losses(key, lot)


def _weighed(lot: Fleece | Dyestuff | Mordant | Yarn) -> Workings:
    if lot.weight is None:
        return {}
    return {HOLDS: in_all(lot.name, lot.weight, "g", lot.weight.place)}


def _losses(key: Key, lot: Fleece | Dyestuff | Mordant | Yarn) -> list[Draw]:
    return [Draw(key, LOST, Fraction(lot.lost), lot.lost.place)] if lot.lost else []


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
    hours = hours_workings(key.name, yarn.hours)
    whole = _weighed(yarn) or {HOLDS: spun_working(key.name, parts)}
    own = Load({}, {key: Fraction(yarn.cost)} if yarn.cost else {}, _values(hours))
    paid_at = yarn.cost.place if yarn.cost else yarn.name.place
    workings = {**hours, **whole}
    node = Node(key, yarn.name.place, own, whole[HOLDS].value, "g", paid_at, workings)
    return [node], draws + _losses(key, yarn)


def expected_yarn(book: Book, yarn: Yarn) -> Fraction:
    """Grams of yarn the fleece put in should have given, by its yields."""
    return sum(
        (
            Fraction(put_in or 0) * yield_of(book.fleece[name])
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


def _pot(
    book: Book, key: Key, steps: Iterable[Dyeing], spent: Mapping[Written, Spent], fibre: Figure
) -> tuple[Load, Workings]:
    """What a bath, or a yarn dyed in place, brings in itself: its heat and its hours."""
    heat = heat_working(naming(key), book.studio.heat, steps, str(book.studio.currency))
    hours = hours_workings(naming(key), spent)
    own = Load({}, {HEAT: heat.value} if heat else {}, _values(hours))
    return own, {**({HEAT: heat} if heat else {}), **hours, HOLDS: fibre}


def _bath(book: Book, name: str, bath: Bath) -> Parts:
    """A bath, and the lots that come out of it; what they share goes by weight of fibre."""
    key, fibre, place = Key("bath", name), fibre_working(name, bath), bath.name.place
    own, workings = _pot(book, key, bath.steps, bath.hours, fibre)
    nodes = [Node(key, place, own, fibre.value, "g", place, workings)]
    draws = [*_doses(book, bath.steps, key, fibre), *_leftovers(book, key, bath)]
    lost = Fraction(bath.fibre_also_lost or 0)
    for entry in bath.dyed:
        whole = in_all(entry.becomes, entry.weight, "g", entry.weight.place)
        lot = Key("dyed", str(entry.becomes))
        nodes.append(Node(lot, entry.becomes.place, holds=entry.weight, workings={HOLDS: whole}))
        draws += _dyed_draws(
            book, key, entry, lost * entry.weight / fibre.value if fibre.value else lost
        )
    return nodes, draws


def _leftovers(book: Book, key: Key, bath: Bath) -> Iterator[Draw]:
    """An exhaust bath takes nothing that weighs or costs from the first; yet it is traced."""
    source = exhaust_source(book, bath)
    if source is not None and bath.exhaust_of:
        first = Key("bath", str(source.name))
        yield Draw(first, key, Fraction(0), bath.exhaust_of.place, Said("flow.exhaust"))


def _dyed_draws(book: Book, bath: Key, entry: DyedYarn, lost: Fraction) -> Iterator[Draw]:
    key = Key("dyed", str(entry.becomes))
    yield Draw(lot_key(book, entry.yarn), key, Fraction(entry.weight), entry.weight.place)
    yield Draw(bath, key, Fraction(entry.weight), entry.weight.place)
    if lost:
        yield Draw(key, LOST, lost, entry.weight.place)


def in_place_key(piece: Piece, index: int) -> Key:
    """The node of a yarn written out in place."""
    return Key("in place", f"{piece.number}{WHICH_YARN}{index + 1}")


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
            said = named("use", use.use) if use.use else ""
            draws.append(Draw(source, key, Fraction(use.weight), use.weight.place, said))
    for name, used in sundries_of(book, piece).items():
        draws.append(Draw(Key("sundry", str(name)), key, used.amount, used.place))
    return nodes, draws


def _in_place(book: Book, piece: Piece, index: int, lot: Key | None) -> Parts:
    """A yarn spun and dyed for one piece only."""
    use, key = piece.yarns[index], in_place_key(piece, index)
    fibre = in_all(called(key), use.weight, "g", use.weight.place)
    own, workings = _pot(book, key, [use], use.hours, fibre)
    draws = list(_doses(book, [use], key, fibre))
    if lot is not None:
        draws.append(Draw(lot, key, Fraction(use.weight), use.weight.place))
    elif use.fleece and use.fleece in book.fleece:
        reckoned = grease_working(book.fleece[use.fleece], Fraction(use.weight), use.weight.place)
        fleece = Key("fleece", str(use.fleece))
        draws.append(Draw(fleece, key, reckoned.value, use.weight.place, working=reckoned))
    return [Node(key, use.record_place, own, Fraction(use.weight), workings=workings)], draws
