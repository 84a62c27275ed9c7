"""The cost report: what a piece cost, what its price brings at every outlet; or all in a line each.

In: pieces as worked out. Out: a `Report` for one, with every working, or one for all of them. The
rules are those of `figures.money`; the order of the work is that of making.
"""

from collections.abc import Iterator, Sequence
from dataclasses import replace
from functools import partial

from provenance.figures.dyes.dye_day import cautions
from provenance.figures.dyes.stages import stuffs_in
from provenance.figures.fibre.protected import protected_in
from provenance.figures.flow.flow import Key
from provenance.figures.money.cost import MaterialLine
from provenance.figures.money.price import OwnSales, per_square_foot, per_square_metre
from provenance.figures.working import Figure, plain
from provenance.problems import SILENCE, Said, Slip, Words, chained, named, row, sort
from provenance.records.pieces import A_PHOTO, FINISHING
from provenance.records.quantities import Rate
from provenance.reports.cost_labels import labels_of
from provenance.reports.cost_outlets import outlets_of
from provenance.reports.costing import Costing, data_of, figures_of
from provenance.reports.measured import measured
from provenance.reports.report import (
    Cell,
    Column,
    Filed,
    Note,
    Part,
    Report,
    Table,
    account,
    money,
    notes,
    numbers,
    per_cent,
    rows,
    sum_row,
)
from provenance.studio import Studio, Worked

_ASIDE = {"fleece": "cost.in_the_grease", "yarn": "cost.bought", "dyed": "cost.dyed"}
_ORDER = (
    "gathering", "scouring", "sorting", "combing", "carding", "blending", "spinning", "plying",
    "skeining", "extracting", "mordanting", "sampling", "dyeing", "", "design", "winding",
    "warping", "dressing", "weaving", "knotting", "fringe", "fringing", "sewing", "making up",
    "washing", "fulling", "finishing",
)  # fmt: skip


def costs_report(studio: Studio, pieces: Sequence[Worked]) -> Report:
    """Every piece on a line."""
    costings = [Costing(each) for each in pieces]
    if not costings:
        return Report((Note(Said("cost.none"), is_set_in=False),), data=list)
    columns = (
        Column(Said("cost.number"), whole=True),
        Column(Said("cost.title"), grows=True),
        Column(Said("cost.at"), least=81),
        *numbers(Said("cost.hours"), Said("cost.cost"), Said("cost.price"), Said("cost.an_hour")),
    )
    table = Table(columns, rows(*map(_line, costings)), narrow=5)
    words = Said("cost.all_words", currency=str(studio.file.currency))
    parts = (table, Note(words, "dim", is_apart=True))
    return Report(parts, data=lambda: [data_of(each) for each in costings])


def _line(it: Costing) -> tuple[Words | Cell, ...]:
    piece, here, sales = it.worked.record, it.here, it.sales
    at, hourly = (here.outlet, here.hourly) if here else ("-", None)
    if sales:
        at, hourly = sales[0].at, it.hour_of(sales[0])
    return (
        str(piece.number), _title(it), at, plain(it.sheet.hours.value, 1),
        it.money(it.sheet.cost), it.money(it.sheet.price), it.money(hourly),
    )  # fmt: skip


def _title(it: Costing) -> Words:
    """Its title; beside a set, that figures are of one."""
    title = str(it.worked.record.title)
    return Said("cost.one_of", title=title, made=it.makes) if it.sheet.of_all else title


def cost_report(worked: Worked, *, explain: bool = False) -> Report:
    """The sheet of one piece, on paper with every working where asked to `explain` it.

    Raises Slip for one made before there were records to cost it by.
    """
    if worked.record.earlier and not worked.record.can_be_costed:
        raise Slip(Said("cost.earlier", number=worked.number), Said("cost.earlier_wants"))
    it = Costing(worked)
    number = worked.number
    return Report(
        (*_body(it), *labels_of(it), *_mind(it)),
        number,
        str(worked.record.title),
        figures=figures_of(it),
        data=partial(data_of, it),
        filed=Filed(
            f"cost-{number}", Said("cost.sheet", number=number), number, is_brief=not explain
        ),
    )


def _body(it: Costing) -> Iterator[Part]:
    yield from _head(it)
    yield from (_materials(it), _work(it), _price(it), _readings(it))
    yield from outlets_of(it)


def _head(it: Costing) -> Iterator[Note]:
    piece = it.worked.record
    facts = (piece.kind and sort(piece.kind), piece.structure, piece.size and piece.size.written)
    yield Note(row(fact for fact in facts if fact), "dim", is_set_in=False)
    if piece.state == "in progress":
        yield Note(Said("cost.in_progress"), is_set_in=False)
    wants = [words for words in piece.missing if words not in (A_PHOTO, FINISHING)]
    if wants:
        yield Note(Said("cost.wants", wants=chained("count.both", wants)), is_set_in=False)


def _materials(it: Costing) -> Table:
    sheet = it.sheet.of_all or it.sheet
    lines = [
        (_called(line), _amount(it, line), it.money(line.cost)) for line in sheet.material_lines
    ]
    whole = sum_row(Said("cost.materials"), "", it.money(sheet.materials))
    heads = (Said("cost.amount"), it.sheet.currency)
    return account(_heading("materials", it), heads, *rows(*lines), whole)


def _heading(of: str, it: Costing) -> Said:
    """Materials and work of a set are those of all."""
    if it.sheet.of_all:
        return Said(f"cost.{of}_heading_all", made=it.makes)
    return Said(f"cost.{of}_heading")


def _amount(it: Costing, line: MaterialLine) -> Words:
    book, key = it.worked.studio.book, Key(line.kind, line.what)
    return measured(book, key, line.amount, line.unit)


def _called(line: MaterialLine) -> Words | Cell:
    if line.kind == "heat":
        return Said("cost.heat")
    is_plain = line.kind in ("sundry", line.what)
    aside = Said(_ASIDE.get(line.kind, f"cost.{line.kind}".replace(" ", "_")))
    return Cell(line.what, SILENCE if is_plain else aside, "name")


def _work(it: Costing) -> Table:
    sheet, minor = it.sheet.of_all or it.sheet, it.sheet.minor
    lines = []
    for line in sorted(sheet.labour_lines, key=lambda each: _when(each.activity)):
        pay = money(it.pay_for(line.activity), minor)
        said, hours = named("activity", line.activity), plain(line.hours.value, 2)
        lines.append((said, hours, pay, it.money(line.cost)))
    whole = sum_row(Said("cost.work"), plain(sheet.hours.value, 2), "", it.money(sheet.labour))
    heads = (Said("cost.hours"), Said("cost.an_hour"), it.sheet.currency)
    return account(_heading("work", it), heads, *rows(*lines), whole)


def _when(activity: str) -> int:
    """Where an activity stands in the making; other words stand before design."""
    return _ORDER.index(activity if activity in _ORDER else "")


def _price(it: Costing) -> Table:
    """Cost and price; of a set what all cost, and what one of them did."""
    sheet, whole = it.sheet, it.sheet.of_all or it.sheet
    is_set = sheet.of_all is not None

    def line(words: Words, one: Figure, of_all: Figure | None = None) -> tuple[Words, ...]:
        return (words, *((it.money(of_all) if of_all else "",) if is_set else ()), it.money(one))

    parts = rows(
        line(Said("cost.materials"), sheet.materials, whole.materials),
        line(Said("cost.work"), sheet.labour, whole.labour),
        line(_overhead_words(it), sheet.overhead, whole.overhead),
    )
    own = Said("cost.your_price" if sheet.has_own_price else "cost.no_own_price")
    if sheet.price is not it.worked.cost.price:
        own = Said("cost.sold_for")
    prices = rows(line(_price_words(it), sheet.worked_out_price), line(own, sheet.price))
    cost = sum_row(*line(Said("cost.cost"), sheet.cost, whole.cost))
    told, lines = {"made": it.makes, "currency": sheet.currency}, (*parts, cost, *prices)
    if not is_set:
        return account(Said("cost.price_heading"), (sheet.currency,), *lines)
    heads, words = (Said("cost.all_made", **told), Said("cost.of_one")), "cost.of_one_words"
    return account(Said("cost.price_heading"), heads, *lines, words=Said(words, **told))


def _overhead_words(it: Costing) -> Said:
    overhead = it.studio.overhead
    if isinstance(overhead, Rate):
        return Said("cost.overhead_rate", rate=money(overhead, it.sheet.minor))
    if overhead is not None:
        return Said("cost.overhead_share", share=per_cent(overhead))
    return Said("cost.overhead")


def _price_words(it: Costing) -> Said:
    profit, step = per_cent(it.studio.profit), it.studio.prices.round_up_to
    if step:
        return Said("cost.worked_out_rounded", profit=profit, step=plain(step))
    return Said("cost.worked_out", profit=profit)


def _readings(it: Costing) -> Table:
    """What it must bring where it hangs, and its price beside the maker's own sold work."""
    found, own, hours = it.readings, it.own_sales, it.own_hours
    lines: list[tuple[Words, ...]] = [
        (Said("cost.must_bring", at=each.outlet), it.money(each.must_bring)) for each in it.hanging
    ]
    by_area = {"square_metre": per_square_metre, "square_foot": per_square_foot}
    for size, of in by_area.items() if found.per_cm2 else ():
        ends = [it.money(of(end)) for end in (own.least, own.most)] if own else []
        reading = it.money(of(found.per_cm2)) if found.per_cm2 else ""
        lines.append((Said(f"cost.for_a_{size}"), reading, *_span(ends)))
    if it.hour:
        ends = [it.money(end) for end in (hours.least, hours.most)] if hours else []
        lines.append((Said("cost.for_an_hour"), it.money(it.hour), *_span(ends)))
    heads = (it.sheet.currency, *((Said("cost.yours_sold"),) if own else ()))
    table = account(Said("cost.readings"), heads, *rows(*lines))
    return replace(table, notes=notes(*_readings_words(it)))


def _readings_words(it: Costing) -> Iterator[Words]:
    """What the figures mean, and how many sold pieces they rest on."""
    if it.hanging:
        yield Said("cost.must_bring_words")
    per_cm2, own, hours = it.readings.per_cm2, it.own_sales, it.own_hours
    if own is None or per_cm2 is None:
        if per_cm2:
            yield Said("cost.no_own_sales", kind=sort(str(it.worked.record.kind)))
        return
    told = {"number": len(own.numbers), "pieces": ", ".join(own.numbers)}
    yield Said("cost.own_sales", **told, kind=sort(own.kind), lies=_lies(own, per_cm2))
    if hours and it.hour:
        is_fewer = len(hours.numbers) < len(own.numbers)
        key = "cost.own_hours_of_some" if is_fewer else "cost.own_hours"
        yield Said(key, number=len(hours.numbers), lies=_lies(hours, it.hour))


def _lies(own: OwnSales, this_one: Figure) -> Said:
    where, is_one = own.where(this_one), own.least.value == own.most.value
    return Said(f"cost.lies_{'equal' if is_one and where == 'within' else where}")


def _mind(it: Costing) -> Iterator[Note]:
    """Poison, protection and what nobody here knows, of its yarn and what it was dyed with."""
    book, piece = it.worked.studio.book, it.worked.record
    found = (*protected_in(book, piece), *cautions(book, stuffs_in(book, piece)))
    if found:
        yield Note(Said("cost.mind"), "bold", is_apart=True, is_set_in=False)
    yield from map(Note, found)


def _span(ends: Sequence[str]) -> tuple[Words, ...]:
    if len(set(ends)) < 2:
        return tuple(ends[:1])
    return (Said("cost.span", least=ends[0], most=ends[1]),)
