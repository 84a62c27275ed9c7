"""The cost sheet on paper, for the maker's binder.

In: the setting, a piece, and its workings as lines (the terminal shows the same ones). Out: an
archival PDF: materials, work, cost and price, what the price brings at every outlet, readings;
then every working in small type, down to the line of the record. Private: it never leaves the
studio.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from provenance.figures.money.cost import CostSheet, MaterialLine
from provenance.figures.money.price import OutletReading, area_of, outlet_reading, readings
from provenance.figures.working import Figure, half_up, plain
from provenance.papers.sheets.frame import Held, Page, Sheet, held, sheet_pdf
from provenance.public.setting import Setting, outlet_title, spoken
from provenance.records.pieces import Piece

_WORDS = {
    "in place": "spun for this piece", "dyed": "dyed lot", "dyestuff": "dyestuff",
    "mordant": "mordant or helper", "fleece": "fleece", "yarn": "yarn",
}  # fmt: skip


def cost_paper(setting: Setting, piece: Piece, workings: Mapping[str, Sequence[str]]) -> Sheet:
    """`cost-NUMBER.pdf`; workings are lines by heading, set in by two spaces a step."""
    it = held(setting, piece)
    page = Page(
        "cost",
        f"{setting.phrases.say('sheet.cost_sheet')} {it.facts.number}",
        {
            "it": it.facts,
            "price": _prices(setting, it),
            "materials": [_material(line, it.cost) for line in it.cost.material_lines],
            "work": _work(setting, it.cost),
            "hours": plain(it.cost.hours.value, 2),
            "sums": _sums(it.cost),
            "outlets": [_outlet(setting, it.cost, each) for each in _outlets(setting, it.cost)],
            "readings": _readings(it),
            "currency": it.cost.currency,
            "workings": [
                (heading, [_step(line) for line in lines]) for heading, lines in workings.items()
            ],
        },
        keep=True,
    )
    return Sheet(f"cost-{it.facts.number}.pdf", sheet_pdf(setting, page, (it,)), page.title)


def _money(figure: Figure, cost: CostSheet) -> str:
    """As in the records: decimals, no sign; the currency stands in the heading."""
    return str(half_up(figure.value, cost.minor))


def _material(line: MaterialLine, cost: CostSheet) -> dict[str, str]:
    is_heat = line.kind == "heat"
    word = "" if line.kind == "sundry" else _WORDS.get(line.kind, line.kind)
    amount = f"{plain(line.amount, 1)} {line.unit}".strip() if line.amount is not None else ""
    return {
        "what": "Heat under the pots" if is_heat else spoken(line.what),
        "kind": "" if is_heat else word,
        "amount": amount,
        "cost": _money(line.cost, cost),
    }


def _work(setting: Setting, cost: CostSheet) -> list[dict[str, str]]:
    studio = setting.book.studio
    rows = []
    for line in sorted(cost.labour_lines, key=lambda each: -each.hours.value):
        pay = studio.pay_for(line.activity)
        rows.append(
            {
                "activity": spoken(line.activity),
                "hours": plain(line.hours.value, 2),
                "pay": str(half_up(pay, cost.minor)) if pay is not None else "-",
                "cost": _money(line.cost, cost),
            }
        )
    return rows


def _sums(cost: CostSheet) -> dict[str, str]:
    return {
        "materials": _money(cost.materials, cost),
        "work": _money(cost.labour, cost),
        "overhead": _money(cost.overhead, cost),
        "cost": _money(cost.cost, cost),
        "worked_out": _money(cost.worked_out_price, cost),
    }


def _prices(setting: Setting, it: Held) -> dict[str, str]:
    own = "" if it.cost.has_own_price else setting.phrases.say("sheet.price_from_cost")
    return {"price": _money(it.cost.price, it.cost), "note": own}


def _outlets(setting: Setting, cost: CostSheet) -> list[OutletReading]:
    book = setting.book
    return [outlet_reading(cost, each, book.studio.prices.tax) for each in book.outlets.values()]


def _outlet(setting: Setting, cost: CostSheet, reading: OutletReading) -> dict[str, str]:
    earning = reading.to_earn_the_pay
    return {
        "outlet": outlet_title(setting.book.outlets[reading.outlet]),
        "commission": _money(reading.commission, cost),
        "card_fee": _money(reading.card_fee, cost),
        "net": _money(reading.net, cost),
        "hourly": _money(reading.hourly, cost) if reading.hourly else "-",
        "earning": _money(earning, cost) if earning else "-",
    }


def _readings(it: Held) -> list[tuple[str, str]]:
    found = readings(it.cost, area_of(it.piece))
    rows: list[tuple[str, Figure | None]] = [
        ("Cost × 2", found.twice_cost),
        ("Cost × 4", found.four_times_cost),
        ("Materials × 3", found.three_times_materials),
        ("Price for a square foot", found.per_square_foot),
    ]
    said = [(what, _money(figure, it.cost)) for what, figure in rows if figure is not None]
    if found.per_cm2 is not None:
        said.append(("Price for a cm²", str(half_up(found.per_cm2.value, it.cost.minor + 1))))
    return said


def _step(line: str) -> dict[str, Any]:
    """A line and how far it is set in."""
    text = line.lstrip(" ")
    return {"text": text, "depth": (len(line) - len(text)) // 2}
