"""The stock of a day on paper: classes and places, every item, finished work for the insurer.

In: the setting and a stock. Out: an archival PDF for the books: at cost, without the maker's own
hours; then the list for the insurer with pictures. Figures and no advice; private.
"""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction

from provenance.figures.stock.stock import (
    GoodsSold,
    Insured,
    Line,
    Stock,
    amount_words,
    class_words,
    insurance,
)
from provenance.figures.working import Figure, half_up
from provenance.papers.sheets.frame import Page, Sheet, sheet_pdf
from provenance.press.codes.qr import Code
from provenance.press.pictures.photos import for_print, open_photo
from provenance.problems import Slip
from provenance.public.setting import Setting, outlet_title, spoken
from provenance.records.checks_photos import photo_path
from provenance.reference.currencies import minor_unit

_THUMB_MM = (10.0, 11.5)


def stock_paper(setting: Setting, stock: Stock, goods: GoodsSold | None = None) -> Sheet:
    """`stock-DATE.pdf`; with the cost of goods sold where that was asked for."""
    phrases = setting.phrases
    insured = insurance(setting.book, setting.flow, stock)
    assets: dict[str, bytes | Code] = {}
    page = Page(
        "stock",
        phrases.say("sheet.stock"),
        {
            "day": phrases.say("sheet.stock_on", day=phrases.day(stock.on)),
            "currency": stock.currency,
            "classes": [_class(setting, line, stock) for line in stock.lines],
            "total": _money(stock.total, stock),
            "count": len(stock.items),
            "goods": _goods(setting, goods) if goods else None,
            "groups": [_group(setting, line, stock) for line in stock.lines],
            "insured": [_insured(setting, each, stock, assets) for each in insured],
            "insured_sums": _sums(insured, stock),
            "no_day": ", ".join(key.name for key in stock.no_day),
        },
        keep=True,
        assets=assets,
    )
    return Sheet(f"stock-{stock.on.isoformat()}.pdf", sheet_pdf(setting, page), page.title)


def _money(figure: Figure | Fraction, stock: Stock) -> str:
    value = figure.value if isinstance(figure, Figure) else figure
    return str(half_up(value, minor_unit(stock.currency)))


def _place(setting: Setting, name: str) -> str:
    outlet = setting.book.outlets.get(name)
    return outlet_title(outlet) if outlet else spoken(name)


def _class(setting: Setting, line: Line, stock: Stock) -> dict[str, str]:
    return {
        "class": spoken(setting.phrases.tell(class_words(line.group))),
        "place": _place(setting, line.place),
        "count": str(len(line.items)),
        "cost": _money(line.cost, stock),
    }


def _group(setting: Setting, line: Line, stock: Stock) -> dict[str, object]:
    pieces = setting.book.pieces
    rows = []
    for item in line.items:
        name = item.key.name
        said = f"{name} {pieces[name].title}" if item.key.kind == "piece" else name
        rows.append((said, amount_words(item), _money(item.cost, stock)))
    return {**_class(setting, line, stock), "rows": rows}


def _goods(setting: Setting, goods: GoodsSold) -> dict[str, object]:
    day, stock = setting.phrases.day, goods.closing
    return {
        "days": f"{day(goods.first)} – {day(goods.last)}",
        "opening": _money(goods.opening.total, stock),
        "bought": [
            (spoken(setting.phrases.tell(line.what)), _money(line, stock)) for line in goods.bought
        ],
        "closing": _money(goods.closing.total, stock),
        "cost": _money(goods.cost, stock),
    }


def _insured(
    setting: Setting, each: Insured, stock: Stock, assets: dict[str, bytes | Code]
) -> dict[str, object]:
    size = setting.book.pieces[each.number].size
    return {
        "number": each.number,
        "title": each.title,
        "size": setting.phrases.size(size) if size else "",
        "place": _place(setting, each.place),
        "price": _money(each.price, stock),
        "cost": _money(each.cost, stock),
        "thumb": _thumb(setting, each, assets),
    }


def _thumb(
    setting: Setting, each: Insured, assets: dict[str, bytes | Code]
) -> dict[str, str] | None:
    """A small picture; a photo that can't be read leaves its place empty, `check` says why."""
    if not each.photo:
        return None
    try:
        photo = open_photo(setting.book.folder, photo_path(each.photo))
        wide, high = _THUMB_MM
        width = min(wide, high * photo.width / photo.height)
        name = f"thumb-{each.number}.jpg"
        assets[name] = for_print(photo, width, dpi=200)
    except Slip:
        return None
    return {"file": name, "width": f"{width:.2f}", "alt": each.title}


def _sums(insured: Sequence[Insured], stock: Stock) -> tuple[str, str]:
    prices = sum((each.price.value for each in insured), Fraction(0))
    costs = sum((each.cost.value for each in insured), Fraction(0))
    return _money(prices, stock), _money(costs, stock)
