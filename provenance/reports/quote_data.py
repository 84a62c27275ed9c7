"""A quotation and the stand card as data with stable keys that are words.

In: a quotation or the rows of the card. Out: plain data: money with the currency's decimals;
metres and grams to one decimal, centimetres and hours to two, as decimal strings.
"""

from collections.abc import Sequence
from typing import Any

from provenance.figures.quotation.card import CardRow
from provenance.figures.quotation.price import POINTS
from provenance.figures.quotation.quote import Option, Quotation
from provenance.figures.quotation.score import Outcome
from provenance.figures.working import plain
from provenance.reports.report import money


def card_data(rows: Sequence[CardRow], minor: int) -> list[dict[str, Any]]:
    """The rows of the card."""
    return [
        {
            "kind": row.kind,
            "structure": row.structure,
            "size": row.option.size.written,
            "cheapest": money(row.least, minor),
            "from": money(row.low, minor),
            "to": money(row.high, minor),
            "weeks": plain(row.option.weeks.value) if row.option.weeks else None,
        }
        for row in rows
    ]


def quote_data(found: Quotation, outcome: Outcome | None, minor: int) -> dict[str, Any]:
    """The quotation, and what its piece then took."""
    data: dict[str, Any] = {
        "number": str(found.asked.commission.number),
        "options": [_option(option, minor) for option in found.options],
        "frozen": False,
        "sent on": None,
        "valid until": found.until.isoformat(),
        "lacking": [
            {"what": what, "grams": plain(grams.value, 1)} for what, grams in found.lacking.items()
        ],
    }
    if found.is_lapsed:
        data["lapsed"] = True
    return data | actual_data(outcome)


def actual_data(outcome: Outcome | None) -> dict[str, Any]:
    """What the piece of a commission then took, once it is finished."""
    if outcome is None:
        return {}
    return {
        "actual": {
            "piece": str(outcome.piece.number),
            "hours": plain(outcome.taken.value, 2),
            "within": outcome.is_inside,
        }
    }


def _option(option: Option, minor: int) -> dict[str, Any]:
    plan, likely, offer = option.plan, option.costs["likely"], option.offer
    return {
        "size": option.size.written,
        "ends": plain(plan.ends.value) if plan else None,
        "loom width cm": plain(plan.loom_width.value, 2) if plan else None,
        "loom length cm": plain(plan.loom_length.value, 2) if plan else None,
        "warp m": plain(plan.warp.value, 1) if plan else None,
        "weft m": plain(plan.weft.value, 1) if plan else None,
        "yarn m": plain(plan.yarn_with_spare.value, 1) if plan else None,
        "yarn g": plain(option.grams.value, 1),
        "hours": {point: plain(option.costs[point].hours.value, 2) for point in POINTS},
        "cost": {
            "materials": money(likely.materials, minor),
            "labour": money(likely.labour, minor),
            "overhead": money(likely.overhead, minor),
            **{point: money(option.costs[point].cost, minor) for point in POINTS},
        },
        "price": {
            **{point: money(option.costs[point].price, minor) for point in POINTS},
            "offered": money(offer.price, minor),
            **{word: money(extra, minor) for word, extra in offer.extras.items()},
            "tax": money(offer.tax, minor),
            "in all": money(offer.whole, minor),
        },
        "an hour earns": {p: option.earns[p] and money(option.earns[p], minor) for p in POINTS},
        "instalments": [money(each, minor) for each in offer.instalments],
        "weeks": plain(option.weeks.value) if option.weeks else None,
    }  # fmt: skip
