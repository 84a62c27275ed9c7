"""What the stand of a fair needs: inventory sheet, price list for a helper, packing list.

In: what hangs at an outlet. Out: sheets and the CSV file beside each. The inventory is printed
twice, for the studio and for the organiser, in the order of the tags (by number); the price list
is in the order a helper looks for a thing, kind and then price. A guild's inventory has the fields
of its tags, in their order.
"""

from collections.abc import Sequence
from fractions import Fraction
from itertools import groupby
from typing import Any

from provenance.papers.sheets.frame import Display, Paper, Sheets, price_of, whole_view
from provenance.papers.tags.words import tag_words
from provenance.press.codes.qr import Code
from provenance.press.letters.faces import SANS
from provenance.press.letters.measure import lines_of
from provenance.public.piece import KINDS, PublicPiece

_NUMERIC = ("price",)
_PHOTO_MM = (26.0, 30.0)
# The packing list as sheet.css sets it: its letters in points, the room for an item beside its box,
# a line, a heading with its white and the line that is left to fill in, a column of the first page.
_LETTERS, _ITEM_MM = Fraction("9.4"), Fraction(73)
_LINE_MM, _HEADING_MM, _COLUMN_MM = 4.64, 17.1, 205.0


def inventory(display: Display) -> list[Paper]:
    """Every piece with number and price as on its tag, a box to tick when it is sold; twice."""
    copies = (display.say("studio_copy"), display.say("organiser_copy"))
    page = display.page("inventory", {"copies": copies, **_total(display)})
    columns = ("number", "title", "kind", "fibre", "price", "state", "currency")
    rows = [
        (each.number, each.title, each.kind_word, each.label, _plain_price(display, each),
         _state(display, each), display.studio.currency)
        for each in display.things
    ]  # fmt: skip
    return display.papers(page, columns, rows)


def _state(display: Display, each: PublicPiece) -> str:
    """How it stands, without a place or a day."""
    return display.phrases.inside(display.phrases.say(f"state.{each.state.replace(' ', '_')}"))


def _plain_price(display: Display, each: PublicPiece) -> str:
    """For a spreadsheet: the currency's decimals, no sign."""
    return display.phrases.amount(price_of(each))


def _total(display: Display) -> dict[str, str]:
    """All prices added, each as printed; what they hold of tax."""
    total = sum(map(price_of, display.things), Fraction(0))
    return {"total": display.phrases.money(total), "note": tax_note(display)}


def guild_inventory(display: Display) -> list[Paper]:
    """The inventory in the guild's own fields and order."""
    said = [tag_words(each, display.studio, display.outlet).text for each in display.things]
    fields = [word for word in dict.fromkeys(f for text in said for f in text) if word != "tax"]
    theirs = display.say("outlet_copy", outlet=display.outlet.title)
    values = {
        "copies": (display.say("studio_copy"), theirs),
        "heads": [(field, display.say(f"field_{field}")) for field in fields],
        "rows": [[(field, text.get(field, "")) for field in fields] for text in said],
        "numeric": _NUMERIC,
        **_total(display),
    }
    page = display.page("inventory", values, template="guild_inventory")
    rows = [
        [_plain_price(display, each) if f == "price" else text.get(f, "") for f in fields]
        for each, text in zip(display.things, said, strict=True)
    ]
    return display.papers(page, fields, rows)


def price_list(display: Display) -> list[Paper]:
    """Large type for whoever minds the stand: kind, then price, with a small picture; how to pay,
    what to do with the stubs where its tags have them."""
    assets: dict[str, bytes | Code] = {}
    pieces = sorted(display.pieces, key=_helper_order)
    groups = groupby(pieces, lambda each: display.phrases.say(f"kinds.{each.kind}"))
    values = {
        "groups": [(kind, list(offers)) for kind, offers in groups],
        "made_of": lambda each: made_of(display, each),
        "pay": display.outlet.pay,
        "has_stub": display.outlet.has_stub,
        "note": tax_note(display),
        "photos": {each.number: whole_view(display, each, _PHOTO_MM, assets) for each in pieces},
    }
    columns = ("kind", "title", "number", "size", "made of", "price")
    rows = [
        (each.kind_word, each.title, each.number, each.size, made_of(display, each),
         _plain_price(display, each))
        for each in pieces
    ]  # fmt: skip
    return display.papers(display.page("price_list", values, assets=assets), columns, rows)


def _helper_order(each: PublicPiece) -> tuple[int, Any, str]:
    return KINDS.index(each.kind), price_of(each), each.number


def made_of(sheets: Sheets, each: PublicPiece) -> str:
    """Fibre and dyes in a line."""
    if not each.dyes:
        return each.label
    return sheets.say("dyed_with", fibre=each.label, dyes=sheets.phrases.inside(each.dyes))


def packing_list(display: Display) -> list[Paper]:
    """What to take along, by phase: the outlet's own list, else the usual one, and the pieces."""
    phases = display.outlet.packing
    page = display.page("packing_list", {"phases": phases, "second": _second_column(phases)})
    rows = [(phase, item) for phase, items in phases for item in items]
    rows += [(display.say("pieces"), _packed(display, each)) for each in display.pieces]
    return display.papers(page, ("when", "what"), rows)


def _packed(display: Display, each: PublicPiece) -> str:
    number, said = display.number(each), f"{each.number} {each.title}"
    return f"{said}, {display.say('so_many', number=number)}" if number > 1 else said


def _second_column(phases: Sequence[tuple[str, Sequence[str]]]) -> int:
    """Which phase begins the second column, for two of the most even heights; 0 for none.

    The renderer can balance columns too, by trying one height after another, for seconds. A list
    longer than the page fills column after column.
    """
    heights = [_HEADING_MM + sum(map(_item_mm, items)) for _, items in phases]
    halves = {at: max(sum(heights[:at]), sum(heights[at:])) for at in range(len(heights), 0, -1)}
    second = min(halves, key=halves.__getitem__)
    return second if halves[second] <= _COLUMN_MM else 0


def _item_mm(item: str) -> float:
    return 1.8 + _LINE_MM * len(lines_of(item, (SANS, 400), _LETTERS, _ITEM_MM))


def tax_note(sheets: Sheets) -> str:
    """What the prices hold of tax, when they hold any."""
    notes = {each.price_note for each in sheets.pieces if each.price_note}
    if sheets.studio.tax == "added" and notes:
        return sheets.say("tax_added", share=sheets.studio.tax_share)
    return sheets.say("tax_included", note=next(iter(notes))) if notes else ""
