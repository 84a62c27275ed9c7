"""The cost sheet in the terminal: one piece on a sheet, or all pieces a line each.

In: costings. Out: printed tables that fit a narrow terminal and use a wide one.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from provenance.commands.showing import (
    add_rows,
    add_sum,
    money,
    open_console,
    per_cent,
    print_workings,
    say,
    table,
)
from provenance.commands.studio import Opened
from provenance.figures.money.own_sales import per_square_foot
from provenance.figures.working import half_up, plain
from provenance.language.phrases import british
from provenance.records.pieces import A_PHOTO, FINISHING

if TYPE_CHECKING:
    from rich.console import Console

    from provenance.commands.cost import Costing
    from provenance.figures.money.cost import CostSheet, MaterialLine
    from provenance.figures.money.price import OutletReading
    from provenance.records.studio import StudioFile

WIDE = 80
_KINDS = {"fleece": "fleece, in the grease", "yarn": "yarn, bought", "dyed": "dyed", "heat": ""}
_ORDER = (
    "gathering", "scouring", "sorting", "combing", "carding", "blending", "spinning", "plying",
    "skeining", "extracting", "mordanting", "sampling", "dyeing", "", "design", "winding",
    "warping", "dressing", "weaving", "knotting", "fringe", "fringing", "sewing", "making up",
    "washing", "fulling", "finishing",
)  # fmt: skip


def show_all(opened: Opened, costings: Sequence[Costing]) -> None:
    """Every piece on a line."""
    console = open_console()
    if not costings:
        console.print("No piece can be costed yet: one needs its kind, size, yarns and hours.")
        return
    is_wide = console.width > WIDE
    currency = str(opened.book.studio.currency)
    words = ("number", "title", "at") if is_wide else ("number", "title")
    numbers = ("hours", "cost", "price", "an hour")
    made = table(console, *words, *numbers, left=len(words), narrow=5)
    made.columns[0].ratio, made.columns[1].ratio = None, 1
    made.columns[0].no_wrap = True
    for costing in costings:
        sheet, reading = costing.sheet, _here(opened, costing)
        hourly = money(reading.hourly, sheet.minor) if reading and reading.hourly else "-"
        where = [reading.outlet if reading else "-"] if is_wide else []
        cells = [str(costing.piece.number), str(costing.piece.title), *where]
        cells += [plain(sheet.hours.value, 1), money(sheet.cost, sheet.minor)]
        made.add_row(*cells, money(sheet.price, sheet.minor), hourly)
    console.print(made)
    console.print()
    say(
        console,
        f"Money in {currency}. 'an hour' is what each hands-on hour brings at the outlet where the "
        "piece is or was sold, after materials, overhead, commission and card fee. "
        "'provenance cost NUMBER' shows the whole sheet.",
        style="dim",
    )


def _here(opened: Opened, costing: Costing) -> OutletReading | None:
    """What the piece brings where it is: its sale, its outlet, else the studio itself."""
    if costing.sale:
        return costing.sale
    at = str(costing.piece.at or "")
    own = [name for name, outlet in opened.book.outlets.items() if outlet.kind == "studio"]
    for name in (at, *own):
        for reading in costing.outlets:
            if reading.outlet == name:
                return reading
    return None


def show_sheets(opened: Opened, costings: Sequence[Costing], *, explain: bool) -> None:
    """The sheets of a few pieces, with their workings when asked for."""
    console = open_console()
    for index, costing in enumerate(costings):
        if index:
            console.print()
        _show_sheet(console, opened, costing)
        if explain:
            sheet = costing.sheet
            print_workings(console, sheet.currency, sheet.minor, costing.figures())


def _show_sheet(console: Console, opened: Opened, costing: Costing) -> None:
    piece, sheet = costing.piece, costing.sheet
    console.print(f"{piece.number}  {piece.title}", style="bold")
    facts = [piece.kind, piece.structure, piece.size and piece.size.written]
    console.print(", ".join(str(fact) for fact in facts if fact), style="dim")
    wants = [british().tell(w) for w in piece.missing if w not in (A_PHOTO, FINISHING)]
    if piece.state == "in progress":
        console.print("Still in progress: what it has cost so far.")
    if wants:
        console.print(f"The record still wants {' and '.join(wants)}.")
    _show_materials(console, sheet)
    _show_work(console, sheet, opened.book.studio)
    _show_price(console, costing, opened.book.studio)
    _show_readings(console, costing)
    _show_outlets(console, opened, costing)


def _show_materials(console: Console, sheet: CostSheet) -> None:
    made = table(console, "Materials", "amount", sheet.currency)
    for line in sheet.material_lines:
        made.add_row(_called(line), _amount(line), money(line.cost, sheet.minor))
    add_sum(console, made, "materials", "", money(sheet.materials, sheet.minor))
    console.print()
    console.print(made)


def _called(line: MaterialLine) -> str:
    if line.kind == "heat":
        return "heat under the pots"
    word = _KINDS.get(line.kind, line.kind)
    return line.what if line.kind == "sundry" or word == line.what else f"{line.what} ({word})"


def _amount(line: MaterialLine) -> str:
    if line.amount is None:
        return ""
    return f"{plain(line.amount, 1)} {line.unit}".strip()


def _show_work(console: Console, sheet: CostSheet, studio: StudioFile) -> None:
    made = table(console, "Work", "hours", "an hour", sheet.currency)
    for line in sorted(sheet.labour_lines, key=lambda each: _when(each.activity)):
        pay = studio.pay_for(line.activity)
        rate = money(pay, sheet.minor) if pay is not None else "-"
        worth = money(line.cost, sheet.minor)
        made.add_row(line.activity, plain(line.hours.value, 2), rate, worth)
    add_sum(
        console, made, "work", plain(sheet.hours.value, 2), "", money(sheet.labour, sheet.minor)
    )
    console.print()
    console.print(made)


def _when(activity: str) -> int:
    """Where an activity stands in the making; other words stand before design."""
    return _ORDER.index(activity if activity in _ORDER else "")


def _show_price(console: Console, costing: Costing, studio: StudioFile) -> None:
    sheet, overhead = costing.sheet, studio.overhead
    made = table(console, "Cost and price", sheet.currency)
    words = "overhead"
    if overhead.rate is not None:
        words += f", {money(overhead.rate, sheet.minor)} for each hour of work"
    elif overhead.share is not None:
        words += f", {per_cent(overhead.share)} of materials and work"
    rows = (("materials", sheet.materials), ("work", sheet.labour), (words, sheet.overhead))
    add_rows(made, [(word, money(figure, sheet.minor)) for word, figure in rows])
    add_sum(console, made, "cost", money(sheet.cost, sheet.minor))
    worked_out = f"worked-out price: cost and {per_cent(studio.profit)} profit"
    if studio.prices.round_up_to:
        worked_out += f", rounded up to {plain(studio.prices.round_up_to)}"
    own = "your price" if sheet.has_own_price else "your price: none set, so the worked-out one"
    prices = [(worked_out, sheet.worked_out_price), (own, sheet.price)]
    add_rows(made, [(word, money(figure, sheet.minor)) for word, figure in prices])
    console.print()
    console.print(made)


def _show_readings(console: Console, costing: Costing) -> None:
    sheet, r, own = costing.sheet, costing.readings, costing.own_sales
    made = table(console, "Readings, to hold your price against", sheet.currency)
    rules = [
        ("cost × 2", r.twice_cost),
        ("cost × 4", r.four_times_cost),
        ("materials × 3", r.three_times_materials),
    ]
    add_rows(made, [(word, money(figure, sheet.minor)) for word, figure in rules])
    if r.per_cm2 and r.per_square_foot:
        made.add_row("your price for a cm²", str(half_up(r.per_cm2.value, sheet.minor + 1)))
        made.add_row("your price for a sq ft", money(r.per_square_foot, sheet.minor))
    console.print()
    console.print(made)
    if r.per_cm2 and own:
        ends = [str(half_up(end.value, sheet.minor + 1)) for end in (own.least, own.most)]
        feet = [money(per_square_foot(end), sheet.minor) for end in (own.least, own.most)]
        pieces = "piece" if len(own.numbers) == 1 else "pieces"
        say(
            console,
            f"Your sold {own.kind} work ({len(own.numbers)} {pieces}: {', '.join(own.numbers)}) "
            f"brought {_range(ends)} for a cm², {_range(feet)} for a sq ft: "
            f"{_lies(own.where(r.per_cm2), one=own.least.value == own.most.value)}.",
        )
    elif r.per_cm2:
        say(console, f"No other {costing.piece.kind} is sold yet to compare the area price with.")


def _range(ends: Sequence[str]) -> str:
    return ends[0] if ends[0] == ends[1] else f"{ends[0]} to {ends[1]}"


def _lies(where: str, *, one: bool) -> str:
    words = {"within": "equal to it" if one else "within that range"}
    return f"this one lies {words.get(where, f'{where} that')}"


def _show_outlets(console: Console, opened: Opened, costing: Costing) -> None:
    sheet, tax = costing.sheet, opened.book.studio.prices.tax
    if not costing.outlets:
        console.print("\nNo outlet is written down yet in studio/outlets.yaml.")
        return
    is_wide = console.width >= WIDE
    takes = ["commission", "card fee"] if is_wide else []
    takes += ["tax"] if tax.way == "included" and is_wide else []
    made = table(console, "Where it sells", *takes, "net", "an hour", "for full pay")
    for reading in costing.outlets:
        taken = (reading.commission, reading.card_fee, reading.tax)[: len(takes)]
        cells = [money(figure, sheet.minor) for figure in taken]
        made.add_row(reading.outlet, *cells, *_brings(reading, sheet))
    console.print()
    console.print(made)
    say(console, _outlet_words(sheet), style="dim")
    if here := _here(opened, costing):
        say(console, _here_words(costing, here))


def _brings(reading: OutletReading, sheet: CostSheet) -> tuple[str, str, str]:
    hourly = money(reading.hourly, sheet.minor) if reading.hourly else "-"
    earns = reading.to_earn_the_pay
    return money(reading.net, sheet.minor), hourly, money(earns, sheet.minor) if earns else "-"


def _outlet_words(sheet: CostSheet) -> str:
    return (
        f"At {money(sheet.price, sheet.minor)}. Net is what reaches you after commission and card "
        "fee. An hour is what is left of it for each hands-on hour after materials and overhead. "
        "For full pay is the price there that pays every hour at your own rate."
    )


def _here_words(costing: Costing, here: OutletReading) -> str:
    """Where the piece is or was sold, and what that brings."""
    piece, minor = costing.piece, costing.sheet.minor
    hourly = f", {money(here.hourly, minor)} an hour" if here.hourly else ""
    brings = f"{money(here.net, minor)} net{hourly}"
    if piece.sale and costing.sale:
        sold_for = here.net.terms[0]
        return (
            f"Sold on {piece.sale.on} at {here.outlet} for {money(sold_for, minor)}: it brought "
            f"{brings}."
        )
    return f"It is at {here.outlet} now: {brings}."
