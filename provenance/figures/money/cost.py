"""Cost, labour and worked-out price of one piece.

In: the book, its flow, a piece. Out: a cost sheet whose every figure carries its working.
materials = what was drawn from lots, by where the money was spent, + sundries + heat; labour = sum
of hours x pay of that activity on the day the piece was finished; overhead = a share of materials
and labour, or a rate x hours; cost = the three; worked-out price = cost x (1 + profit), rounded up
as set. Money is rounded half up once per printed line and totals add the rounded lines, so every
paper adds up. A set of like things is worked out whole, and adds up so; what one of them cost is
each of those figures divided by their number, and rounded half up once.
"""

from dataclasses import dataclass, replace
from datetime import date
from fractions import Fraction

from provenance.figures.flow.carried import carried_hours, carried_money
from provenance.figures.flow.flow import Flow, Key, called
from provenance.figures.working import Figure, given, product, quotient, rounded, rounded_up, total
from provenance.problems import Said, named
from provenance.records.book import Book
from provenance.records.pay import LATEST, rates_on
from provenance.records.pieces import Piece
from provenance.records.quantities import Rate
from provenance.records.studio import StudioFile
from provenance.reference.currencies import minor_unit

KIND_ORDER = ("fleece", "yarn", "in place", "dyed", "dyestuff", "mordant", "heat", "sundry")


@dataclass(frozen=True, slots=True)
class MaterialLine:
    """What was drawn: grams (or amount of a sundry) and its rounded cost."""

    what: str
    kind: str
    amount: Fraction | None
    unit: str
    cost: Figure


@dataclass(frozen=True, slots=True)
class LabourLine:
    """Hours of one activity and what they cost."""

    activity: str
    hours: Figure
    cost: Figure


@dataclass(frozen=True, slots=True)
class Costs:
    """What was spent on one thing, or on all that a record is about, line by line."""

    material_lines: tuple[MaterialLine, ...]
    labour_lines: tuple[LabourLine, ...]
    materials: Figure
    labour: Figure
    overhead: Figure
    cost: Figure
    hours: Figure


@dataclass(frozen=True, slots=True)
class CostSheet:
    """Everything a piece cost; money figures are rounded to the minor unit.

    Where a record is about several things, all of it is of one of them but `of_all`.
    """

    number: str
    currency: str
    material_lines: tuple[MaterialLine, ...]
    labour_lines: tuple[LabourLine, ...]
    materials: Figure
    labour: Figure
    overhead: Figure
    cost: Figure
    hours: Figure
    worked_out_price: Figure
    price: Figure
    has_own_price: bool
    makes: int = 1
    of_all: Costs | None = None

    @property
    def minor(self) -> int:
        """Decimal places of the currency."""
        return minor_unit(self.currency)


def cost_sheet(book: Book, flow: Flow, piece: Piece, today: date = LATEST) -> CostSheet:
    """The cost sheet of one piece, at the pay of the day it was finished; else of `today`."""
    money, spent = str(book.studio.currency), _spent(book, flow, piece, today)
    one = spent if piece.made == 1 else _of_one(spent, piece, money)
    worked_out = _worked_out_price(book.studio, one.cost)
    own = piece.price
    price = given(Said("step.price"), own, money, own.place) if own is not None else worked_out
    return CostSheet(
        str(piece.number), money, one.material_lines, one.labour_lines, one.materials, one.labour,
        one.overhead, one.cost, one.hours, worked_out, price, own is not None, piece.made,
        None if one is spent else spent,
    )  # fmt: skip


def _spent(book: Book, flow: Flow, piece: Piece, today: date) -> Costs:
    """What all that the record is about cost."""
    studio, key = book.studio, Key("piece", str(piece.number))
    money, minor = str(studio.currency), minor_unit(studio.currency)
    material_lines = tuple(_material_line(flow, key, each, money) for each in _origins(flow, key))
    labour_lines = _labour_lines(flow, key, studio, valued_on(piece, today))
    materials = total(Said("step.materials"), [line.cost for line in material_lines], money)
    labour = total(Said("step.labour"), [line.cost for line in labour_lines], money)
    hours = total(Said("step.hours"), [line.hours for line in labour_lines], "h")
    overhead = rounded(overhead_of(studio, materials, labour, hours), minor)
    cost = total(Said("step.cost"), [materials, labour, overhead], money)
    return Costs(material_lines, labour_lines, materials, labour, overhead, cost, hours)


def _of_one(spent: Costs, piece: Piece, money: str) -> Costs:
    """Each figure divided by the number of things, and money rounded once."""
    makes = given(Said("step.makes"), piece.makes or 1)

    def shared(figure: Figure) -> Figure:
        whole = replace(figure, what=Said("step.for_all", what=figure.what))
        part = quotient(figure.what, whole, makes, unit=figure.unit)
        return rounded(part) if figure.unit == money else part

    return Costs(
        tuple(
            replace(line, amount=line.amount and line.amount / piece.made, cost=shared(line.cost))
            for line in spent.material_lines
        ),
        tuple(
            replace(line, hours=shared(line.hours), cost=shared(line.cost))
            for line in spent.labour_lines
        ),
        *map(shared, (spent.materials, spent.labour, spent.overhead, spent.cost, spent.hours)),
    )


def _origins(flow: Flow, key: Key) -> list[Key]:
    """What a node carries money or grams of, in the order of the sheet."""
    load = flow.loads[key]
    return sorted(
        load.money.keys() | load.grams.keys(),
        key=lambda origin: (KIND_ORDER.index(origin.kind), origin.name),
    )


def _material_line(flow: Flow, key: Key, origin: Key, money: str) -> MaterialLine:
    load, minor = flow.loads[key], minor_unit(money)
    carried = given(Said("step.no_cost"), 0, money)
    if origin in load.money:
        carried = carried_money(flow, key, origin, money)
    amount, unit = load.grams.get(origin), "g"
    if origin.kind == "sundry":
        drawn = [draw.amount for draw in flow.into[key] if draw.source == origin]
        amount, unit = sum(drawn, Fraction(0)), flow.nodes[origin].unit
    return MaterialLine(
        origin.name, origin.kind, amount, unit, rounded(carried, minor, called(origin))
    )


def of_so_many(sheet: CostSheet, count: int) -> CostSheet:
    """The sheet of several like things, each as the one of `sheet`."""
    if count == 1:
        return sheet
    return replace(
        sheet, materials=so_many(sheet.materials, count), labour=so_many(sheet.labour, count),
        overhead=so_many(sheet.overhead, count), cost=so_many(sheet.cost, count),
        hours=so_many(sheet.hours, count), price=so_many(sheet.price, count),
    )  # fmt: skip


def so_many(one: Figure, count: int) -> Figure:
    """What several like things come to."""
    if count == 1:
        return one
    return product(one.what, one, given(Said("step.so_many_left"), count), unit=one.unit)


def valued_on(piece: Piece, today: date) -> date:
    """The day whose pay counts: when it was finished, sold at the latest; until then today."""
    return piece.finished or min((sale.on for sale in piece.sold), default=today)


def _labour_lines(flow: Flow, key: Key, studio: StudioFile, day: date) -> tuple[LabourLine, ...]:
    lines, minor = [], minor_unit(studio.currency)
    for activity in flow.loads[key].hours:
        hours = carried_hours(flow, key, activity)
        said, pay = named("activity", activity), pay_of(studio, activity, day)
        worth = product(said, hours, pay, unit=str(studio.currency))
        lines.append(LabourLine(activity, hours, rounded(worth, minor)))
    return tuple(lines)


def pay_of(studio: StudioFile, activity: str, day: date = LATEST) -> Figure:
    """What an hour of an activity is paid on a day; nothing where no pay is set."""
    rates = rates_on(studio.pay, day)
    pay = rates.pay_for(activity) if rates else None
    said = Said("step.pay_for", activity=named("activity", activity))
    figure = given(said, pay or 0, "an hour", pay.place if pay is not None else None)
    if rates is None or len(studio.pay) == 1:
        return figure
    since = rates.from_
    line = Said("step.rates_from", day=since.isoformat()) if since else Said("step.first_rates")
    return replace(figure, note=line)


def overhead_of(studio: StudioFile, materials: Figure, labour: Figure, hours: Figure) -> Figure:
    """A share of materials and labour, or an amount for every hour."""
    overhead, money, what = studio.overhead, str(studio.currency), Said("step.overhead")
    if isinstance(overhead, Rate):
        return product(what, hours, given(what, overhead, "an hour", overhead.place), unit=money)
    base = total(Said("step.materials_and_labour"), [materials, labour], money)
    place = overhead.place if overhead is not None else None
    part = given(Said("step.overhead_share"), overhead or 0, "", place)
    return product(what, base, part, unit=money)


def _worked_out_price(studio: StudioFile, cost: Figure) -> Figure:
    profit = given(Said("step.profit_share"), studio.profit, "", studio.profit.place)
    factor = total(Said("step.one_and_profit"), [given(Said("step.one"), 1), profit])
    exact = product(Said("step.worked_out"), cost, factor, unit=str(studio.currency))
    price, step = rounded(exact, minor_unit(studio.currency)), studio.prices.round_up_to
    return rounded_up(price, step) if step else price
