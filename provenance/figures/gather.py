"""From the record book to the nodes and draws of the material flow.

In: the book. Out: `studio_flow(book)`, every lot, bath and piece as a node, every use as a draw.
Yarn spun in place takes grease weight = yarn / (scoured x carded x spun); dyestuff and mordant
shares are of the dry weight of fibre in the bath; several yarns share a bath by weight.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from fractions import Fraction

from provenance.figures.flow import LOST, Draw, Flow, Key, Load, Node, work_out
from provenance.problems import Place
from provenance.records.amounts import Dose, Spent, SundryUse
from provenance.records.baths import Bath, DyedYarn, Dyeing
from provenance.records.book import Book
from provenance.records.lots import Dyestuff, Fleece, Mordant, Sundry, Yarn
from provenance.records.pieces import Piece, YarnUse
from provenance.records.text import Written
from provenance.reference.yields import default_yields

HEAT = Key("heat", "heat")
Parts = tuple[list[Node], list[Draw]]


def studio_flow(book: Book) -> Flow:
    """The material flow of the whole studio."""
    nodes: list[Node] = [Node(LOST, Place(""))]
    draws: list[Draw] = []
    for more_nodes, more_draws in _all_parts(book):
        nodes += more_nodes
        draws += more_draws
    return work_out({node.key: node for node in nodes}, draws)


def _all_parts(book: Book) -> Iterator[Parts]:
    for fleece in book.fleece.values():
        yield _stock("fleece", fleece)
    for kind, lots in (("dyestuff", book.dyestuffs), ("mordant", book.mordants)):
        for lot in lots.values():
            yield _stock(kind, lot)
    for yarn in book.yarns.values():
        yield _spun(book, yarn) if yarn.fleece else _stock("yarn", yarn)
    used = _sundries_used(book)
    for sundry in book.sundries.values():
        yield _sundry(sundry, used.get(str(sundry.name), []))
    for name, bath in book.baths.items():
        yield _bath(book, name, bath)
    for piece in book.pieces.values():
        yield _piece(book, piece)


def lot_key(book: Book, name: str) -> Key:
    """The node of a yarn or dyed lot."""
    return Key("yarn" if name in book.yarns else "dyed", str(name))


def spent_hours(spent: Mapping[Written, Spent]) -> dict[str, Fraction]:
    """Hours by activity."""
    return {str(activity): Fraction(each.hours) for activity, each in spent.items()}


def _stock(kind: str, lot: Fleece | Dyestuff | Mordant | Yarn) -> Parts:
    """A lot that came in: its weight, its cost, its hours (gathering)."""
    key = Key(kind, str(lot.name))
    grams = {key: Fraction(lot.weight)} if lot.weight is not None else {}
    money = {key: Fraction(lot.cost or 0)}
    place = lot.cost.place if lot.cost is not None else lot.name.place
    own = Load(grams, money, spent_hours(lot.hours))
    return [Node(key, lot.name.place, own, _held(lot), "g", place)], _losses(key, lot)


def _held(lot: Fleece | Dyestuff | Mordant | Yarn) -> Fraction | None:
    return Fraction(lot.weight) if lot.weight is not None else None


def _losses(key: Key, lot: Fleece | Dyestuff | Mordant | Yarn) -> list[Draw]:
    return [Draw(key, LOST, Fraction(lot.lost), lot.lost.place)] if lot.lost else []


def yield_of(fleece: Fleece) -> tuple[Fraction, tuple[str, ...]]:
    """What is left of a fleece as yarn (share of its grease weight), and the steps assumed."""
    fibre = next(iter(fleece.fibre), "wool")
    assumed = default_yields(fleece.breed, fibre)
    whole, guessed = Fraction(1), []
    for step in ("scoured", "carded", "spun"):
        share = getattr(fleece, step)
        if share is None:
            guessed.append(step)
            share = Fraction(getattr(assumed, step)) / 100
        whole *= share
    return whole, tuple(guessed)


def _spun(book: Book, yarn: Yarn) -> Parts:
    """Yarn spun here: draws grease weight from its fleeces; measured weight wins over yields."""
    key = Key("yarn", str(yarn.name))
    draws, expected = [], Fraction(0)
    for name, put_in in (yarn.fleece or {}).items():
        fleece = book.fleece.get(name)
        if fleece is None:
            continue
        left = yield_of(fleece)[0]
        grease = Fraction(put_in) if put_in is not None else Fraction(yarn.weight or 0) / left
        place = put_in.place if put_in is not None else yarn.name.place
        draws.append(Draw(Key("fleece", str(name)), key, grease, place))
        expected += grease * left
    holds = Fraction(yarn.weight) if yarn.weight is not None else expected
    money = {key: Fraction(yarn.cost)} if yarn.cost else {}
    own = Load({}, money, spent_hours(yarn.hours))
    return [Node(key, yarn.name.place, own, holds)], draws + _losses(key, yarn)


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


def _sundries_used(book: Book) -> dict[str, list[SundryUse]]:
    used: dict[str, list[SundryUse]] = {}
    for piece in book.pieces.values():
        for name, use in sundries_of(book, piece).items():
            used.setdefault(str(name), []).append(use)
    return used


def sundries_of(book: Book, piece: Piece) -> dict[Written, SundryUse]:
    """The sundries of a piece: its own, and what every finished piece takes."""
    everyone = book.studio.every_piece_takes if piece.state != "in progress" else {}
    return {**everyone, **piece.sundries}


def _sundry(sundry: Sundry, used: Iterable[SundryUse]) -> Parts:
    """A sundry: counted at a price each, or a length or weight at a price for the whole."""
    key = Key("sundry", str(sundry.name))
    measure = sundry.length or sundry.weight or sundry.number
    unit = "cm" if sundry.length else "g" if sundry.weight else ""
    amount = Fraction(measure) if measure else None
    if sundry.each is not None:
        count = amount if amount is not None else sum((use.amount for use in used), Fraction(0))
        money, place = Fraction(sundry.each) * count, sundry.each.place
    else:
        money = Fraction(sundry.cost or 0)
        place = sundry.cost.place if sundry.cost is not None else sundry.name.place
    return [Node(key, sundry.name.place, Load({}, {key: money}), amount, unit, place)], []


def exhaust_source(book: Book, bath: Bath) -> Bath | None:
    """The bath whose leftovers this one uses: named by its file or by a lot it gave."""
    name = bath.exhaust_of
    if name is None:
        return None
    by_lot = (each for each in book.baths.values() if any(e.becomes == name for e in each.dyed))
    return book.baths.get(name) or next(by_lot, None)


def dose_grams(dose: Dose, fibre: Fraction) -> Fraction:
    """Grams of a dose on this dry weight of fibre."""
    return fibre * dose.share if dose.share is not None else Fraction(dose.grams or 0)


def _doses(book: Book, steps: Iterable[Dyeing], target: Key, fibre: Fraction) -> Iterator[Draw]:
    """Dyestuffs and mordants drawn by the steps of a bath."""
    for step in steps:
        for name, dose in {**step.dyes}.items():
            yield _dose_draw("dyestuff", name, dose, target, fibre)
        for name, dose in [*step.mordants.items(), *step.after.items()]:
            kind = "mordant" if name in book.mordants else "dyestuff"
            yield _dose_draw(kind, name, dose, target, fibre)


def _dose_draw(kind: str, name: str, dose: Dose, target: Key, fibre: Fraction) -> Draw:
    return Draw(Key(kind, str(name)), target, dose_grams(dose, fibre), dose.place)


def _heat_money(book: Book, steps: Iterable[Dyeing]) -> dict[Key, Fraction]:
    hours = sum((step.heat.hours for step in steps if step.heat and step.heat.hours), Fraction(0))
    return {HEAT: hours * book.studio.heat} if book.studio.heat and hours else {}


def _bath(book: Book, name: str, bath: Bath) -> Parts:
    """A bath, and the lots that come out of it; what they share goes by weight of fibre."""
    key = Key("bath", name)
    fibre = sum((entry.weight for entry in bath.dyed), Fraction(0))
    own = Load({}, _heat_money(book, bath.steps), spent_hours(bath.hours))
    nodes = [Node(key, bath.name.place, own, fibre, "g", _heat_place(bath.steps, bath.name.place))]
    draws = list(_doses(book, bath.steps, key, fibre))
    lost = Fraction(bath.fibre_also_lost or 0)
    for entry in bath.dyed:
        nodes.append(Node(Key("dyed", str(entry.becomes)), entry.becomes.place, holds=entry.weight))
        draws += _dyed_draws(book, key, entry, lost * entry.weight / fibre if fibre else lost)
    return nodes, draws


def _heat_place(steps: Iterable[Dyeing], default: Place) -> Place:
    return next((step.heat.place for step in steps if step.heat), default)


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
    key = Key("piece", str(piece.number))
    own = Load({}, {}, piece_hours(book, piece))
    nodes, draws = [Node(key, piece.number.place, own)], list[Draw]()
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
    own = Load({}, _heat_money(book, [use]), spent_hours(use.hours))
    draws = list(_doses(book, [use], key, Fraction(use.weight)))
    if lot is not None:
        draws.append(Draw(lot, key, Fraction(use.weight), use.weight.place))
    elif use.fleece and use.fleece in book.fleece:
        grease = use.weight / yield_of(book.fleece[use.fleece])[0]
        draws.append(Draw(Key("fleece", str(use.fleece)), key, grease, use.weight.place))
    return [Node(key, use.record_place, own, Fraction(use.weight))], draws


def piece_hours(book: Book, piece: Piece) -> dict[str, Fraction]:
    """Hours on the piece itself: its own, and its share of work done for several at once."""
    hours = spent_hours(piece.hours)
    for other in book.pieces.values():
        if other.shared and (other is piece or piece.number in other.shared.with_):
            share = shared_fraction(book, other, piece)
            for activity, spent in other.shared.hours.items():
                hours[activity] = hours.get(activity, Fraction(0)) + spent.hours * share
    return hours


def shared_fraction(book: Book, keeper: Piece, piece: Piece) -> Fraction:
    """This piece's part of work shared by weight, length or number."""
    assert keeper.shared is not None
    numbers = dict.fromkeys([str(keeper.number), *map(str, keeper.shared.with_)])
    sharers = [book.pieces[number] for number in numbers if number in book.pieces]
    measures = {each.number: _measure(each, str(keeper.shared.by)) for each in sharers}
    if any(value == 0 for value in measures.values()):
        return Fraction(1, len(sharers))
    return measures[piece.number] / sum(measures.values())


def _measure(piece: Piece, by: str) -> Fraction:
    if by == "weight":
        return Fraction(piece.weight or 0)
    return (
        Fraction(piece.size.height) if by == "length" and piece.size else Fraction(by == "number")
    )
