"""Papers between the maker and whoever sells on commission: consignment sheet and statement.

In: what hangs at a gallery, guild shop or other outlet, and the dealing. Out: the consignment
sheet, two copies to sign, and the list that is sent each month to be compared, with the CSV beside
each. What belongs on a consignment sheet: glasstips.blogspot.com, pauldorrell.com; the monthly list
that asks for a match: orchid.ganoksin.com. These carry addresses and figures, and never go before
the public.
"""

from collections.abc import Iterator, Sequence
from fractions import Fraction
from typing import Any

from provenance.papers.certificates.object_id import medium
from provenance.papers.sheets.frame import Display, Page, Paper, sheet_pdf
from provenance.papers.sheets.spreadsheet import csv_file
from provenance.public.dealings import Dealing, Share
from provenance.public.piece import PublicPiece

_CONSIGNED = (
    "number", "title", "medium", "size", "edition", "retail", "commission", "to the maker",
    "for a loss", "currency",
)  # fmt: skip
_COMPARED = (
    "number", "title", "retail", "commission", "to the maker", "here", "sold on", "sold for",
    "due to the maker", "currency",
)  # fmt: skip


def consignment(display: Display, deal: Dealing) -> list[Paper]:
    """What is left with the outlet on which terms, signed by both."""
    say, outlet = display.say, display.outlet
    copies = (say("makers_copy"), say("outlet_copy", outlet=outlet.title))
    more = {"copies": copies, "share": deal.commission, "terms": deal.terms}
    page = _page(display, deal, "consignment", more, keep=True)
    rows = [
        [each.number, each.title, medium(each), each.size, each.edition,
         *_sums(display, deal, each), _loss(display, deal, each), display.studio.currency]
        for each in display.pieces
    ]  # fmt: skip
    return _papers(display, page, "consignment", csv_file(display.heads(_CONSIGNED), rows))


def statement(display: Display, deal: Dealing) -> list[Paper]:
    """What the outlet holds by our records, with room to say what was sold: asks for a match."""
    page = _page(display, deal, "statement", {})
    rows = [
        [each.number, each.title, *_sums(display, deal, each), "", "", "", "",
         display.studio.currency]
        for each in display.pieces
    ]  # fmt: skip
    return _papers(display, page, "statement", csv_file(display.heads(_COMPARED), rows))


def _papers(display: Display, page: Page, name: str, table: bytes) -> list[Paper]:
    content = sheet_pdf(display.studio, page, display.pieces)
    return [Paper(f"{name}.pdf", content, page.title), Paper(f"{name}.csv", table)]


def _page(
    display: Display, deal: Dealing, name: str, more: dict[str, Any], *, keep: bool = False
) -> Page:
    values = {
        "outlet": display.outlet.title,
        "where": display.outlet.where_and_when,
        "kind": deal.kind,
        "parties": {"maker": deal.maker, "outlet": deal.outlet},
        **_table(display, deal),
        "count": display.count,
        **more,
    }
    return Page(name, display.say(name), values, keep=keep)


def _table(display: Display, deal: Dealing) -> dict[str, Any]:
    """Rows and sums; each column of money is written in one way from top to bottom."""
    shares = [deal.shares[each.number] for each in display.pieces]
    columns = dict(_columns(display, [*shares, deal.whole]))
    losses = display.phrases.column([share.for_a_loss for share in shares])
    rows = []
    for index, each in enumerate(display.pieces):
        row = {**_piece(each), "loss": losses[index]}
        row |= {word: column[index] if each.for_sale else "" for word, column in columns.items()}
        rows.append(row | {"standing": "" if each.for_sale else display.say("not_for_sale")})
    return {"rows": rows, "sums": {word: column[-1] for word, column in columns.items()}}


def _columns(display: Display, shares: Sequence[Share]) -> Iterator[tuple[str, list[str]]]:
    column = display.phrases.column
    yield "retail", column([share.price for share in shares])
    yield "commission", column([share.commission for share in shares])
    yield "to_maker", column([share.to_maker for share in shares])


def _piece(each: PublicPiece) -> dict[str, str]:
    return {
        "number": each.number,
        "title": each.title,
        "year": each.year,
        "medium": medium(each),
        "size": each.size,
        "edition": each.edition,
    }


def _sums(display: Display, deal: Dealing, each: PublicPiece) -> list[str]:
    share = deal.shares[each.number]
    sums: tuple[Fraction, ...] = (share.price, share.commission, share.to_maker)
    return [display.phrases.amount(value) if each.for_sale else "" for value in sums]


def _loss(display: Display, deal: Dealing, each: PublicPiece) -> str:
    return display.phrases.amount(deal.shares[each.number].for_a_loss)
