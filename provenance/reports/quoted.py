"""The tables of a quotation, sizes side by side: money, loom, shelf, what is to be made, when.

In: a quotation. Out: tables for its report. What the terminal says in few words stands on the
private sheet with its units; what only the sheet has room for is marked so.
"""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace
from fractions import Fraction
from functools import cached_property

from provenance.figures.quotation.needs import Making, Need
from provenance.figures.quotation.quote import Option, Quotation
from provenance.figures.quotation.score import Outcome
from provenance.figures.quotation.time import order_of
from provenance.figures.working import Figure, plain
from provenance.problems import Said, Words, named
from provenance.reference.currencies import minor_unit
from provenance.reports.report import Column, Note, Row, Table, Writer, either, money, numbers

_PARTS = {"drawing": "drawing", "spinning": "spinning", "dyeing": "dyeing", "loom": "loom_work"}


@dataclass(frozen=True)
class Quoted:
    """A quotation, and how its figures are told."""

    found: Quotation

    @cached_property
    def minor(self) -> int:
        """Decimals of the studio's currency."""
        return minor_unit(self.found.asked.book.studio.currency)

    @property
    def options(self) -> tuple[Option, ...]:
        """The sizes."""
        return self.found.options

    def money(self, figure: Figure | None) -> Words:
        """Money; a dash where there is none."""
        return _money_of(figure, self.minor)

    def costs(self, point: str, part: str) -> list[Words]:
        """One part of the cost at likely, low or high hours, for each size."""
        return [self.money(getattr(option.costs[point], part)) for option in self.options]

    def table(
        self, key: str, rows: Iterable[Row], *notes: Note, only: Writer | None = None
    ) -> Table:
        """Rows under the sizes."""
        sizes = (
            either(Said("form.size_cm", size=each.size), _compact(each)) for each in self.options
        )
        columns = (Column(Said(f"workings.{key}")), *numbers(*sizes))
        return Table(columns, tuple(rows), notes, narrow=7, only=only)


def _money_of(figure: Figure | None, minor: int) -> Words:
    if figure is None:
        return "-"
    return either(Said("form.money", value=figure.value), money(figure, minor))


def _compact(option: Option) -> str:
    return option.size.written.replace(" cm", "").replace(" ", "")


def _row(label: Words, cells: Iterable[Words], depth: int = 0) -> Row:
    """A label, ready or by its key, and a cell for each size."""
    return Row(
        (Said(f"workings.{label}") if isinstance(label, str) else label, *cells), depth=depth
    )


def _bold(row: Row, *, is_sum: bool = False) -> Row:
    return replace(row, style="bold", is_sum=is_sum)


def _on(writer: Writer, rows: Iterable[Row]) -> Iterator[Row]:
    return (replace(row, only=writer) for row in rows)


def _hours(value: Fraction) -> Words:
    return either(Said("form.hours", value=value), plain(value, 1))


def _mass(grams: Fraction, places: int = 1) -> Words:
    return either(Said("form.mass", grams=grams), plain(grams, places))


def _length(unit: str, value: Fraction) -> Words:
    number = Said("form.number", value=value, places=1)
    return either(Said(f"workings.{unit}", number=number), plain(value, 1))


def _span(low: Words, high: Words) -> Said:
    return Said("workings.span", low=low, high=high)


def tables_of(it: Quoted, outcome: Outcome | None) -> Iterator[Table]:
    """All of them that have rows, in the order they are read."""
    shown = [outcome_table(outcome, it.minor)] if outcome else []
    shown += [_money(it), _loom(it), _shelf(it), _makings(it), _stages(it)]
    return (table for table in shown if table.rows)


def outcome_table(outcome: Outcome, minor: int) -> Table:
    """Quoted against actual, when the piece is finished."""
    taken = outcome.taken.value
    lines = [
        _bold(_row("spent", (_hours(outcome.likely), _hours(taken)))),
        _row("low", (_hours(outcome.low), ""), depth=1),
        _row("high", (_hours(outcome.high), ""), depth=1),
        _row("cost_taken", ("", _money_of(outcome.sheet.cost, minor))),
        _row("price", (_money_of(outcome.price, minor), "")),
    ]
    if outcome.earned:
        lines.append(_row("brought", ("", _money_of(outcome.earned, minor))))
    finished = Said("workings.finished", number=outcome.piece.number)
    columns = (Column(finished), *numbers(Said("workings.quoted"), Said("workings.taken")))
    word = Said("workings.inside" if outcome.is_inside else "workings.outside")
    return Table(columns, tuple(lines), (Note(word),), narrow=7)


def _money(it: Quoted) -> Table:
    """Hours, cost and price at the likely hours and both ends, the offer, what an hour brings."""
    return it.table("money", (*_cost_rows(it), *_price_rows(it), *_offer_rows(it), *_earned(it)))


def _cost_rows(it: Quoted) -> Iterator[Row]:
    likely, low, high = (
        [_hours(getattr(option.hours, point)) for option in it.options]
        for point in ("likely", "low", "high")
    )
    hours = (_bold(_row("hours_likely", likely)), _row("low", low, 1), _row("high", high, 1))
    cost = _row("cost", it.costs("likely", "cost"))
    yield from _on("terminal", (*hours, cost))
    parts = (_row(part, it.costs("likely", part)) for part in ("materials", "labour", "overhead"))
    ends = map(_span, it.costs("low", "cost"), it.costs("high", "cost"))
    yield from _on("paper", (*parts, _bold(cost, is_sum=True), _row("cost_range", ends)))


def _price_rows(it: Quoted) -> Iterator[Row]:
    yield _row("price_likely", it.costs("likely", "price"))
    yield _row("low", it.costs("low", "price"), 1)
    yield _row("high", it.costs("high", "price"), 1)
    like = it.found.asked.like
    if like and it.options[0].as_like:
        label = Said("workings.as_like", number=like.number)
        yield _row(label, (it.money(option.as_like) for option in it.options))


def _offer_rows(it: Quoted) -> Iterator[Row]:
    offers = [option.offer for option in it.options]
    own = "offered_own" if offers[0].is_own else "offered"
    yield _bold(_row(own, (it.money(offer.price) for offer in offers)), is_sum=True)
    for word, extra in offers[0].extras.items():
        yield Row((extra.what, *(it.money(offer.extras[word]) for offer in offers)))
    yield _bold(_row("whole", (it.money(offer.whole) for offer in offers)))
    for turn in range(len(offers[0].instalments)):
        label = Said("workings.part", turn=turn + 1)
        yield _row(label, (it.money(offer.instalments[turn]) for offer in offers), 1)
    yield _row("weeks", (plain(o.weeks.value) if o.weeks else "-" for o in it.options))


def _earned(it: Quoted) -> Iterator[Row]:
    """What an hour would bring, as likely, if it goes well, if it goes badly."""
    for point in ("likely", "low", "high"):
        spent = tuple(Said("form.hours", hours=o.costs[point].hours.value) for o in it.options)
        label = Said(f"workings.earns_{point}", hours=spent)
        earned = (it.money(option.earns[point]) for option in it.options)
        yield _bold(_row(label, earned)) if point == "likely" else _row(label, earned, 1)


def _loom(it: Quoted) -> Table:
    """Width and length on the loom, ends, metres, grams."""
    return it.table("loom", (*_plan_rows(it), *_yarn_rows(it)))


def _plan_rows(it: Quoted) -> Iterator[Row]:
    plans = [option.plan for option in it.options if option.plan]
    if len(plans) < len(it.options):
        return
    yield _row("loom_width", (_length("centimetres", plan.loom_width.value) for plan in plans))
    yield _row("loom_length", (_length("centimetres", plan.loom_length.value) for plan in plans))
    yield _row("ends", (plain(plan.ends.value) for plan in plans))
    yield _row("warp", (_length("metres", plan.warp.value) for plan in plans))
    yield _row("weft", (_length("metres", plan.weft.value) for plan in plans))
    yield _row("both", (_length("metres", plan.yarn_with_spare.value) for plan in plans))


def _yarn_rows(it: Quoted) -> Iterator[Row]:
    for turn, strand in enumerate(it.options[0].strands):
        grams = (option.strands[turn].with_spare.value for option in it.options)
        label = Said("workings.strand", use=named("use", strand.use), name=strand.name)
        yield _row(label, (_mass(each, 0) for each in grams))
    whole = (_mass(option.grams.value, 0) for option in it.options)
    yield _bold(_row("yarns", whole), is_sum=True)


def _shelf(it: Quoted) -> Table:
    """What is taken of each lot, and what the shelf lacks."""
    names = dict.fromkeys((n.kind, n.what) for o in it.options for n in o.needs.lines)
    return it.table("shelf", (_shelf_row(it, *name) for name in names))


def _shelf_row(it: Quoted, kind: str, what: str) -> Row:
    found = [
        next((n for n in option.needs.lines if (n.kind, n.what) == (kind, what)), None)
        for option in it.options
    ]
    known = next(need for need in found if need)
    label = Said("workings.not_weighed", what=what)
    if known.is_weighed:
        left = Said("form.mass", grams=known.on_shelf.value)
        label = Said("workings.with_left", what=what, left=left)
    row = _row(label, map(_taken, found))
    return row if any(n and n.lacking.value for n in found) else replace(row, only="paper")


def _taken(need: Need | None) -> Words:
    if need is None:
        return "-"
    grams = Said("form.mass", grams=need.grams.value)
    if not (lacking := need.lacking.value):
        return either(grams, "-")
    lacks = Said("form.mass", grams=lacking)
    return Said("workings.lacks", grams=grams, lacking=lacks, bare=plain(lacking, 1))


def _makings(it: Quoted) -> Table:
    """Spinning, dyeing and buying that come before the loom."""
    ways = dict.fromkeys(
        (m.way, m.what, m.recipe, m.exhaust_of) for o in it.options for m in o.needs.makings
    )
    one_bath = Note(Said("workings.one_bath"), only="paper")
    return it.table("to_make", (_making_row(it, *way) for way in ways), one_bath)


def _making_row(it: Quoted, way: str, what: Words, recipe: str, exhausts: tuple[str, ...]) -> Row:
    found = [
        next((m for m in option.needs.makings if (m.way, m.what) == (way, what)), None)
        for option in it.options
    ]
    label = Said(f"workings.way_{way}", what=what)
    if way == "dye" and recipe != what:
        key = "dye_by_recipe" if recipe else "dye_anew"
        label = Said(f"workings.{key}", way=label, recipe=recipe)
    for bath in exhausts:
        label = Said("workings.dye_after", way=label, bath=bath)
    row = _row(label, map(_made, found))
    return row if any(making and making.hours for making in found) else replace(row, only="paper")


def _made(making: Making | None) -> Words:
    if making is None:
        return "-"
    grams = Said("form.mass", grams=making.grams.value)
    if making.hours is None:
        return either(grams, "-")
    spent = making.hours.value
    hours = Said("form.hours", hours=spent)
    return Said("workings.made", grams=grams, hours=hours, bare=plain(spent, 1))


def _stages(it: Quoted) -> Table:
    """The likely hours by stage, and the range of all of them; for the sheet."""
    hours = [option.hours for option in it.options]
    told = [{stage: _hours(spent) for stage, spent in each.stages.items()} for each in hours]
    stages = sorted({stage for each in told for stage in each}, key=order_of)
    lines = [_row(named("activity", each), (t.get(each, "") for t in told)) for each in stages]
    likely = _bold(_row("likely", (_hours(each.likely) for each in hours)), is_sum=True)
    ends = _row("range", (_span(_hours(each.low), _hours(each.high)) for each in hours))
    return it.table("hours", (*lines, likely, ends), only="paper")


def weeks_table(it: Quoted) -> Table:
    """Which weeks each part of the work falls into; for the sheet."""
    turns = [{turn.part: turn for turn in option.turns} for option in it.options]
    lines = []
    for part, word in _PARTS.items():
        found = [each.get(part) for each in turns]
        if any(found):
            lines.append(_row(word, (_weeks(t.first, t.last) if t else "-" for t in found)))
    return it.table("when", lines, only="paper")


def _weeks(first: int, last: int) -> Said:
    if first == last:
        return Said("workings.in_week", first=first)
    return Said("workings.in_weeks", first=first, last=last)
