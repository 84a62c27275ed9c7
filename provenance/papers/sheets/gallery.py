"""Papers between the maker and whoever sells the work: consignment sheet, statement, delivery note.

In: what hangs at a gallery, guild shop or other outlet, and the dealing. Out: the consignment
sheet, two copies to sign, and the list that is sent each month to be compared; for an outlet that
buys, the delivery note; beside each the CSV, a line for each thing. What belongs on a consignment
sheet: glasstips.blogspot.com, pauldorrell.com; the monthly list that asks for a match:
orchid.ganoksin.com. These carry addresses and figures, and never go before the public.
"""

from typing import Any

from provenance.papers.certificates.object_id import medium
from provenance.papers.sheets.frame import Display, Page, Paper
from provenance.public.dealings import Dealing
from provenance.public.piece import PublicPiece

_PARTS = ("price", "commission", "to_maker", "for_a_loss")
_CONSIGNED = (
    "number", "title", "medium", "size", "edition", "retail", "commission", "to the maker",
    "for a loss", "currency",
)  # fmt: skip
_BOUGHT = ("number", "title", "medium", "size", "edition", "retail", "trade price", "currency")
_COMPARED = (
    "number", "title", "retail", "commission", "to the maker", "here", "sold on", "sold for",
    "due to the maker", "currency",
)  # fmt: skip


def consignment(display: Display, deal: Dealing) -> list[Paper]:
    """What is left with the outlet on which terms, signed by both."""
    page = _signed(display, deal, "consignment")
    amount = display.phrases.amount
    rows = [
        [each.number, each.title, medium(each), each.size, each.edition,
         *_sums(display, deal, each), amount(deal.shares[each.number].for_a_loss),
         display.studio.currency]
        for each in display.things
    ]  # fmt: skip
    return display.papers(page, _CONSIGNED, rows)


def delivery(display: Display, deal: Dealing) -> list[Paper]:
    """What an outlet buys, at which trade price, signed by both: bought, not consigned."""
    page = _signed(display, deal, "delivery")
    rows = [
        [each.number, each.title, medium(each), each.size, each.edition,
         *_sums(display, deal, each)[::2], display.studio.currency]
        for each in display.things
    ]  # fmt: skip
    return display.papers(page, _BOUGHT, rows)


def statement(display: Display, deal: Dealing) -> list[Paper]:
    """What the outlet holds by our records, with room to say what was sold: asks for a match."""
    page = display.page("statement", _values(display, deal))
    rows = [
        [each.number, each.title, *_sums(display, deal, each), "", "", "", "",
         display.studio.currency]
        for each in display.things
    ]  # fmt: skip
    return display.papers(page, _COMPARED, rows)


def _signed(display: Display, deal: Dealing, kind: str) -> Page:
    """A sheet in two copies, one for each who signs."""
    copies = (display.say("makers_copy"), display.say("outlet_copy", outlet=display.outlet.title))
    values = {"copies": copies, "share": deal.commission, "terms": deal.terms, "medium": medium}
    return display.page(kind, {**_values(display, deal), **values})


def _values(display: Display, deal: Dealing) -> dict[str, Any]:
    """Parties, rows and sums; each column of money is written in one way from top to bottom.

    A set is a row, at what all of it comes to that is there.
    """
    shares = [deal.shares[each.number].times(display.number(each)) for each in display.pieces]
    shares.append(deal.whole)
    column = display.phrases.column
    columns = {part: column([getattr(share, part) for share in shares]) for part in _PARTS}
    *money, sums = [{part: columns[part][at] for part in _PARTS} for at in range(len(shares))]
    return {
        "kind": deal.kind,
        "parties": {"maker": deal.maker, "outlet": deal.outlet},
        "rows": list(zip(display.pieces, money, strict=True)),
        "sums": sums,
    }


def _sums(display: Display, deal: Dealing, each: PublicPiece) -> list[str]:
    share, amount = deal.shares[each.number], display.phrases.amount
    sums = (share.price, share.commission, share.to_maker)
    return [amount(value) if each.for_sale else "" for value in sums]
