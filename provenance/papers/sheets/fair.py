"""What the stand of a fair needs: inventory sheet, price list for a helper, packing list.

In: the papers of an outlet. Out: sheets and the CSV file beside each. The inventory is printed
twice, for the studio and for the organiser, in the order of the tags (by number); the price list
is in the order a helper looks for a thing, kind and then price. A guild's inventory has the fields
of its tags, in their order.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from provenance.papers.sheets.frame import (
    Held,
    Page,
    Papers,
    Sheet,
    price_of,
    sheet_pdf,
    sum_of_prices,
)
from provenance.papers.sheets.spreadsheet import csv_file
from provenance.papers.tags.words import tag_words
from provenance.records.pieces import KINDS

PHASES = ("display", "sales", "set-up", "day", "take-down")
_NUMERIC = ("price",)


def inventory(papers: Papers) -> list[Sheet]:
    """Every piece with number and price as on its tag, a box to tick when it is sold; twice."""
    rows = [_inventory_row(papers, each) for each in papers.pieces]
    page = Page(
        "inventory",
        papers.say("inventory"),
        {
            "copies": (papers.say("studio_copy"), papers.say("organiser_copy")),
            "outlet": papers.title,
            "where": papers.where_and_when,
            "rows": rows,
            "count": papers.count,
            "total": papers.money(sum_of_prices(papers)),
            "note": tax_note(papers),
        },
    )
    columns = ("number", "title", "kind", "fibre", "price", "state")
    cells = [
        (
            r["number"],
            r["title"],
            r["kind"],
            r["fibre"],
            papers.cell(price_of(each)),
            each.facts.state,
        )
        for r, each in zip(rows, papers.pieces, strict=True)
    ]
    return [
        Sheet("inventory.pdf", sheet_pdf(papers.setting, page, papers.pieces), page.title),
        Sheet(
            "inventory.csv",
            csv_file((*columns, "currency"), [(*c, papers.currency) for c in cells]),
        ),
    ]


def _inventory_row(papers: Papers, each: Held) -> dict[str, str]:
    facts = each.facts
    return {
        "number": facts.number,
        "title": facts.title,
        "kind": facts.kind_word,
        "fibre": fibre_of(each),
        "price": facts.price,
        "state": facts.availability if facts.state != "available" else "",
    }


def guild_inventory(papers: Papers) -> list[Sheet]:
    """The inventory in the guild's own fields and order."""
    setting = papers.setting
    studio, phrases = setting.book.studio, setting.phrases
    said = [tag_words(each.facts, studio, phrases, papers.outlet).text for each in papers.pieces]
    fields = [word for word in dict.fromkeys(f for text in said for f in text) if word != "tax"]
    heads = [papers.say(f"field_{field}") for field in fields]
    page = Page(
        "guild_inventory",
        papers.say("inventory"),
        {
            "copies": (papers.say("studio_copy"), papers.say("outlet_copy", outlet=papers.title)),
            "outlet": papers.title,
            "where": papers.where_and_when,
            "heads": list(zip(fields, heads, strict=True)),
            "rows": [[(field, text.get(field, "")) for field in fields] for text in said],
            "count": papers.count,
            "total": papers.money(sum_of_prices(papers)),
            "note": tax_note(papers),
            "numeric": _NUMERIC,
        },
    )
    cells = [
        [papers.cell(price_of(each)) if f == "price" else text.get(f, "") for f in fields]
        for each, text in zip(papers.pieces, said, strict=True)
    ]
    return [
        Sheet("inventory.pdf", sheet_pdf(setting, page, papers.pieces), page.title),
        Sheet("inventory.csv", csv_file(fields, cells)),
    ]


def price_list(papers: Papers) -> list[Sheet]:
    """Large type for whoever minds the stand: kind, then price; how to pay, what to do."""
    pieces = sorted(papers.pieces, key=_helper_order)
    groups: dict[str, list[Held]] = {}
    for each in pieces:
        groups.setdefault(papers.setting.phrases.say(f"kinds.{each.facts.kind}"), []).append(each)
    page = Page(
        "price_list",
        papers.say("price_list"),
        {
            "outlet": papers.title,
            "where": papers.where_and_when,
            "groups": [
                (kind, [_offer(papers, each) for each in some]) for kind, some in groups.items()
            ],
            "pay": how_to_pay(papers),
            "note": tax_note(papers),
        },
    )
    columns = ("kind", "title", "number", "size", "made of", "price")
    cells = [
        (o["kind"], o["title"], o["number"], o["size"], o["made_of"], papers.cell(price_of(each)))
        for each, o in ((each, _offer(papers, each)) for each in pieces)
    ]
    return [
        Sheet("price-list.pdf", sheet_pdf(papers.setting, page, pieces), page.title),
        Sheet("price-list.csv", csv_file(columns, cells)),
    ]


def _helper_order(each: Held) -> tuple[int, Any, str]:
    return KINDS.index(each.facts.kind), each.cost.price.value, each.facts.number


def _offer(papers: Papers, each: Held) -> dict[str, str]:
    facts = each.facts
    return {
        "number": facts.number,
        "title": facts.title,
        "kind": facts.kind_word,
        "size": facts.size,
        "made_of": made_of(papers, each),
        "price": facts.price,
        "state": facts.availability if facts.state == "reserved" else "",
    }


def made_of(papers: Papers, each: Held) -> str:
    """Fibre and dyes in a line."""
    fibre, dyes = fibre_of(each), each.facts.dyes
    if not dyes:
        return fibre
    return papers.say("dyed_with", fibre=fibre, dyes=dyes[:1].lower() + dyes[1:])


def how_to_pay(papers: Papers) -> str:
    """The outlet's own words, else cash, and cards where a card fee is noted."""
    own = papers.outlet.terms.pay
    return str(own) if own else papers.say("pay_card" if papers.outlet.card_fee else "pay_cash")


def packing_list(papers: Papers) -> list[Sheet]:
    """What to take along, by phase: the outlet's own list, else the usual one, and the pieces."""
    phases = _phases(papers)
    page = Page(
        "packing_list",
        papers.say("packing_list"),
        {
            "outlet": papers.title,
            "where": papers.where_and_when,
            "phases": phases,
            "is_own": bool(papers.outlet.packing),
            "pieces": [
                {"number": each.facts.number, "title": each.facts.title} for each in papers.pieces
            ],
            "count": papers.count,
        },
    )
    cells = [(phase, item) for phase, items in phases for item in items]
    cells += [
        (papers.say("pieces"), f"{each.facts.number} {each.facts.title}") for each in papers.pieces
    ]
    return [
        Sheet("packing-list.pdf", sheet_pdf(papers.setting, page, papers.pieces), page.title),
        Sheet("packing-list.csv", csv_file(("when", "what"), cells)),
    ]


def _phases(papers: Papers) -> list[tuple[str, list[str]]]:
    own: Mapping[Any, Sequence[Any]] = papers.outlet.packing
    words = papers.setting.phrases.words
    if own:
        return [
            (
                words.get(f"packing.{phase}", _capital(str(phase))),
                [str(item) for item in own[phase]],
            )
            for phase in own
        ]
    usual = ((words[f"packing.{phase}"], words[f"packing.{phase}_items"]) for phase in PHASES)
    return [(name, [item.strip() for item in items.split(",")]) for name, items in usual]


def _capital(text: str) -> str:
    return text[:1].upper() + text[1:]


def fibre_of(each: Held) -> str:
    """The fibre content as the tag says it."""
    facts = each.facts
    return facts.labels[0][1] if facts.labels else facts.fibres


def tax_note(papers: Papers) -> str:
    """What the prices hold of tax, when they hold any."""
    notes = {each.facts.price_note for each in papers.pieces if each.facts.price_note}
    tax = papers.setting.book.studio.prices.tax
    if tax.way == "added" and notes:
        share = f"{papers.setting.phrases.number(tax.share * 100, 2)} %"
        return papers.say("tax_added", share=share)
    return papers.say("tax_included", note=next(iter(notes))) if notes else ""
