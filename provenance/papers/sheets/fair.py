"""What the stand of a fair needs: inventory sheet, price list for a helper, packing list.

In: what hangs at an outlet. Out: sheets and the CSV file beside each. The inventory is printed
twice, for the studio and for the organiser, in the order of the tags (by number); the price list
is in the order a helper looks for a thing, kind and then price. A guild's inventory has the fields
of its tags, in their order.
"""

from fractions import Fraction
from typing import Any

from provenance.papers.sheets.frame import Display, Page, Paper, price_of, sheet_pdf
from provenance.papers.sheets.spreadsheet import csv_file
from provenance.papers.tags.words import tag_words
from provenance.public.piece import KINDS, PublicPiece

_NUMERIC = ("price",)


def inventory(display: Display) -> list[Paper]:
    """Every piece with number and price as on its tag, a box to tick when it is sold; twice."""
    rows = [_inventory_row(display, each) for each in display.pieces]
    page = Page(
        "inventory",
        display.say("inventory"),
        {
            "copies": (display.say("studio_copy"), display.say("organiser_copy")),
            "outlet": display.outlet.title,
            "where": display.outlet.where_and_when,
            "rows": rows,
            "count": display.count,
            "total": display.phrases.money(_total(display)),
            "note": tax_note(display),
        },
    )
    columns = ("number", "title", "kind", "fibre", "price", "state")
    cells = [
        (each.number, each.title, each.kind_word, each.label, _plain_price(display, each),
         _state(display, each), display.studio.currency)
        for each in display.pieces
    ]  # fmt: skip
    return [
        Paper("inventory.pdf", sheet_pdf(display.studio, page, display.pieces), page.title),
        Paper(
            "inventory.csv",
            csv_file(display.heads((*columns, "currency")), cells),
        ),
    ]


def _state(display: Display, each: PublicPiece) -> str:
    """How it stands, without a place or a day."""
    return display.phrases.inside(display.phrases.say(f"state.{each.state.replace(' ', '_')}"))


def _plain_price(display: Display, each: PublicPiece) -> str:
    """For a spreadsheet: the currency's decimals, no sign."""
    return display.phrases.amount(price_of(each))


def _total(display: Display) -> Fraction:
    """All prices added, each as printed."""
    return sum(map(price_of, display.pieces), Fraction(0))


def _inventory_row(display: Display, each: PublicPiece) -> dict[str, str]:
    return {
        "number": each.number,
        "title": each.title,
        "kind": each.kind_word,
        "fibre": each.label,
        "price": each.price,
        "state": each.availability if each.state != "available" else "",
    }


def guild_inventory(display: Display) -> list[Paper]:
    """The inventory in the guild's own fields and order."""
    said = [tag_words(each, display.studio, display.outlet).text for each in display.pieces]
    fields = [word for word in dict.fromkeys(f for text in said for f in text) if word != "tax"]
    heads = [display.say(f"field_{field}") for field in fields]
    page = Page(
        "guild_inventory",
        display.say("inventory"),
        {
            "copies": (
                display.say("studio_copy"),
                display.say("outlet_copy", outlet=display.outlet.title),
            ),
            "outlet": display.outlet.title,
            "where": display.outlet.where_and_when,
            "heads": list(zip(fields, heads, strict=True)),
            "rows": [[(field, text.get(field, "")) for field in fields] for text in said],
            "count": display.count,
            "total": display.phrases.money(_total(display)),
            "note": tax_note(display),
            "numeric": _NUMERIC,
        },
    )
    cells = [
        [_plain_price(display, each) if f == "price" else text.get(f, "") for f in fields]
        for each, text in zip(display.pieces, said, strict=True)
    ]
    return [
        Paper("inventory.pdf", sheet_pdf(display.studio, page, display.pieces), page.title),
        Paper("inventory.csv", csv_file(display.heads(fields), cells)),
    ]


def price_list(display: Display) -> list[Paper]:
    """Large type for whoever minds the stand: kind, then price; how to pay, what to do."""
    pieces = sorted(display.pieces, key=_helper_order)
    groups: dict[str, list[dict[str, str]]] = {}
    for each in pieces:
        kind = display.phrases.say(f"kinds.{each.kind}")
        groups.setdefault(kind, []).append(_offer(display, each))
    page = Page(
        "price_list",
        display.say("price_list"),
        {
            "outlet": display.outlet.title,
            "where": display.outlet.where_and_when,
            "groups": list(groups.items()),
            "pay": display.outlet.pay,
            "note": tax_note(display),
        },
    )
    columns = ("kind", "title", "number", "size", "made of", "price")
    cells = [
        (each.kind_word, each.title, each.number, each.size, made_of(display, each),
         _plain_price(display, each))
        for each in pieces
    ]  # fmt: skip
    return [
        Paper("price-list.pdf", sheet_pdf(display.studio, page, pieces), page.title),
        Paper("price-list.csv", csv_file(display.heads(columns), cells)),
    ]


def _helper_order(each: PublicPiece) -> tuple[int, Any, str]:
    return KINDS.index(each.kind), price_of(each), each.number


def _offer(display: Display, each: PublicPiece) -> dict[str, str]:
    return {
        "number": each.number,
        "title": each.title,
        "kind": each.kind_word,
        "size": each.size,
        "made_of": made_of(display, each),
        "price": each.price,
        "state": each.availability if each.state == "reserved" else "",
    }


def made_of(display: Display, each: PublicPiece) -> str:
    """Fibre and dyes in a line."""
    fibre, dyes = each.label, each.dyes
    if not dyes:
        return fibre
    return display.say("dyed_with", fibre=fibre, dyes=display.phrases.inside(dyes))


def packing_list(display: Display) -> list[Paper]:
    """What to take along, by phase: the outlet's own list, else the usual one, and the pieces."""
    phases = display.outlet.packing
    page = Page(
        "packing_list",
        display.say("packing_list"),
        {
            "outlet": display.outlet.title,
            "where": display.outlet.where_and_when,
            "phases": phases,
            "is_own": display.outlet.has_own_packing,
            "pieces": [{"number": each.number, "title": each.title} for each in display.pieces],
            "count": display.count,
        },
    )
    cells = [(phase, item) for phase, items in phases for item in items]
    cells += [(display.say("pieces"), f"{each.number} {each.title}") for each in display.pieces]
    return [
        Paper("packing-list.pdf", sheet_pdf(display.studio, page, display.pieces), page.title),
        Paper("packing-list.csv", csv_file(display.heads(("when", "what")), cells)),
    ]


def tax_note(display: Display) -> str:
    """What the prices hold of tax, when they hold any."""
    notes = {each.price_note for each in display.pieces if each.price_note}
    if display.studio.tax == "added" and notes:
        return display.say("tax_added", share=display.studio.tax_share)
    return display.say("tax_included", note=next(iter(notes))) if notes else ""
