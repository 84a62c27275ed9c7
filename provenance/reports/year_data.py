"""The year's book as data: stable English keys, money as text with the currency's decimals.

In: a year's book, its losses, its goods sold (None where no stock is counted). Out: a dictionary;
what its own keys hold is told in the guide, and what does not stand in a sale (tax, outlets,
overhead, hours, losses) is under "totals".
"""

from collections.abc import Sequence
from fractions import Fraction
from typing import Any

from provenance.figures.money.losses import Loss
from provenance.figures.money.year import Hourly, Sums, YearBook
from provenance.figures.stock.stock import GoodsSold
from provenance.figures.working import Figure, plain
from provenance.reference.currencies import minor_unit
from provenance.reports.costing import sale_data
from provenance.reports.report import money


def year_data(book: YearBook, lost: Sequence[Loss], goods: GoodsSold | None) -> dict[str, Any]:
    """The book of a year."""
    minor = minor_unit(book.currency)

    def said(figure: Figure | None) -> str | None:
        return None if figure is None else money(figure, minor)

    return {
        "year": book.year,
        "from": book.first.isoformat(),
        "to": book.last.isoformat(),
        "currency": book.currency,
        "sales": [sale_data(line.sold, minor) for line in book.lines],
        "totals": {
            **_sums(book.sums, minor),
            "outlets": {name: _sums(sums, minor) for name, sums in book.by_outlet.items()},
            "months": {
                first.isoformat(): _sums(sums, minor) for (first, _), sums in book.by_month.items()
            },
            "overhead": {
                "recovered": said(book.overhead.recovered),
                "paid": said(book.overhead.paid),
            },
            "hourly return": {each.kind or "all": _an_hour(each) for each in book.hourly},
            "losses": [
                {
                    "name": each.key.name,
                    "on": each.on.isoformat() if each.on else None,
                    "cost": said(each.cost),
                }
                for each in lost
            ],
        },
        "owed": [
            {
                "number": str(each.sold.piece.number),
                "on": each.sold.sale.on.isoformat(),
                "at": each.sold.at,
                "owed": said(each.amount),
            }
            for each in book.owed
        ],
        "deposits": [
            {
                "commission": str(each.commission.number),
                "on": each.on.isoformat(),
                "deposit": said(each.amount),
            }
            for each in book.deposits
        ],
        "stock": _stock(goods, minor) if goods else None,
    }


def _sums(sums: Sums, minor: int) -> dict[str, Any]:
    return {
        "sold": sums.count,
        "price": money(sums.price, minor),
        "kept back": money(sums.kept_back, minor),
        "tax": money(sums.tax, minor),
        "tax on top": money(sums.tax_on_top, minor),
        "net": money(sums.net, minor),
    }


def _an_hour(each: Hourly) -> str | None:
    return plain(each.an_hour.value, 4) if each.an_hour else None


def _stock(goods: GoodsSold, minor: int) -> dict[str, str]:
    bought = sum((figure.value for figure in goods.bought), Fraction(0))
    return {
        "opening": money(goods.opening.total, minor),
        "bought": money(bought, minor),
        "closing": money(goods.closing.total, minor),
        "cost of goods sold": money(goods.cost, minor),
    }
