"""Papers between the maker and whoever sells on commission: consignment sheet and statement.

In: the papers of a gallery, guild shop or other outlet. Out: the consignment sheet, two copies to
sign, and the list that is sent each month to be compared, with the CSV beside each. What belongs
on a consignment sheet: glasstips.blogspot.com, pauldorrell.com; the monthly list that asks for a
match: orchid.ganoksin.com. These carry addresses and figures, and never go before the public.
"""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction
from typing import Any

from provenance.figures.money.consignment import (
    Parts,
    discounted,
    loss_payment,
    parts_of,
    sum_of,
)
from provenance.figures.working import Figure
from provenance.papers.certificates.object_id import medium
from provenance.papers.sheets.frame import (
    Held,
    Page,
    Papers,
    Sheet,
    parties,
    price_of,
    sheet_pdf,
)
from provenance.papers.sheets.spreadsheet import csv_file
from provenance.records.terms import Loss

_COLUMNS = (
    "number", "title", "medium", "size", "edition", "retail", "commission", "to the maker",
    "for a loss", "currency",
)  # fmt: skip


def consignment(papers: Papers) -> list[Sheet]:
    """What is left with the outlet on which terms, signed by both."""
    parts = [parts_of(price_of(each), papers.outlet, papers.minor) for each in papers.pieces]
    whole = sum_of(_for_sale(papers, parts), papers.currency)
    page = Page(
        "consignment",
        papers.say("consignment"),
        {
            "copies": (papers.say("makers_copy"), papers.say("outlet_copy", outlet=papers.title)),
            "outlet": papers.title,
            "where": papers.where_and_when,
            "kind": _kind(papers),
            "parties": parties(papers),
            **_table(papers, parts, whole),
            "count": papers.count,
            "share": _share(papers, papers.outlet.commission),
            "terms": terms_of(papers, whole),
        },
        keep=True,
    )
    return [
        Sheet("consignment.pdf", sheet_pdf(papers.setting, page, papers.pieces), page.title),
        Sheet("consignment.csv", csv_file(_COLUMNS, _cells(papers, parts))),
    ]


def _losses(papers: Papers) -> list[Figure]:
    return [
        loss_payment(price_of(each), papers.outlet, papers.outlet.terms.loss, papers.minor)
        for each in papers.pieces
    ]


def _for_sale(papers: Papers, parts: Sequence[Parts]) -> list[Parts]:
    pairs = zip(papers.pieces, parts, strict=True)
    return [each for piece, each in pairs if piece.for_sale]


def _table(papers: Papers, parts: Sequence[Parts], whole: Parts) -> dict[str, Any]:
    """Rows and sums; each column of money is written in one way from top to bottom."""
    columns = {
        "retail": papers.column([each.price for each in (*parts, whole)]),
        "commission": papers.column([each.commission for each in (*parts, whole)]),
        "to_maker": papers.column([each.to_maker for each in (*parts, whole)]),
    }
    losses = papers.column(_losses(papers))
    rows = []
    for index, each in enumerate(papers.pieces):
        row = {**_piece(each), "loss": losses[index]}
        row |= {word: column[index] if each.for_sale else "" for word, column in columns.items()}
        rows.append(row | {"standing": "" if each.for_sale else papers.say("not_for_sale")})
    return {"rows": rows, "sums": {word: column[-1] for word, column in columns.items()}}


def _piece(each: Held) -> dict[str, str]:
    facts = each.facts
    return {
        "number": facts.number,
        "title": facts.title,
        "year": facts.year,
        "medium": medium(facts),
        "size": facts.size,
        "edition": facts.edition,
    }


def _cells(papers: Papers, parts: Sequence[Parts]) -> list[tuple[str, ...]]:
    cells = []
    for each, part, loss in zip(papers.pieces, parts, _losses(papers), strict=True):
        said = _piece(each)
        money = (part.price, part.commission, part.to_maker)
        sums = [papers.cell(figure) if each.for_sale else "" for figure in money]
        words = [said[word] for word in ("number", "title", "medium", "size", "edition")]
        cells.append((*words, *sums, papers.cell(loss), papers.currency))
    return cells


def terms_of(papers: Papers, whole: Parts) -> list[tuple[str, str]]:
    """The terms one by one; what is not recorded is a line to fill in."""
    terms, kind = papers.outlet.terms, _kind(papers)
    said = {
        "term": str(terms.term) if terms.term else papers.say("open_term"),
        "commission": papers.say(
            "commission_words", share=_share(papers, papers.outlet.commission), kind=kind
        ),
        "payment": papers.say("payment_words", days=terms.payment)
        if terms.payment
        else papers.say("open_payment"),
        "discount": _discount(papers, whole),
        "insurance": papers.say("insured_words", kind=kind, day=terms.insured_from)
        if terms.insured_from
        else papers.say("open_insurance"),
        "loss": _loss_words(papers, terms.loss),
        "ownership": papers.say("ownership_words"),
        "freight": str(terms.freight) if terms.freight else papers.say("open_freight"),
    }
    lines = [(papers.say(word), _sentence(text)) for word, text in said.items()]
    lines += [(word[:1].upper() + word[1:], _sentence(text)) for word, text in terms.others]
    return [*lines, *((papers.say("also"), _sentence(str(also))) for also in terms.also)]


def _sentence(text: str) -> str:
    """With a capital and a full stop; a line to fill in stays as it is."""
    text = text[:1].upper() + text[1:]
    return text if text.endswith((".", "_")) or "____" in text else f"{text}."


def _discount(papers: Papers, whole: Parts) -> str:
    discount, kind = papers.outlet.terms.discount, _kind(papers)
    if discount is None:
        return papers.say("open_discount")
    if not discount.share or not discount.bearer:
        return discount.written
    sums = discounted(whole.price, papers.outlet, discount, papers.minor)
    buyer, maker, outlet = papers.column([sums.buyer, sums.to_maker, sums.to_outlet])
    return papers.say(
        "discount_share_words",
        share=_share(papers, discount.share),
        bearer=papers.say(f"bearer_{discount.bearer}", kind=kind),
        buyer=buyer,
        maker=maker,
        outlet=outlet,
        kind=kind,
    )


def _loss_words(papers: Papers, loss: Loss) -> str:
    kind = _kind(papers)
    if loss.share is None:
        return papers.say("loss_words", kind=kind)
    share = papers.say("half") if loss.share == Fraction(1, 2) else _share(papers, loss.share)
    if not loss.limit:
        return papers.say("loss_share_all_words", kind=kind, share=share)
    above = papers.say("from" if loss.from_limit else "above")
    limit = papers.setting.phrases.money(loss.limit)
    return papers.say("loss_share_words", kind=kind, share=share, above=above, limit=limit)


def _share(papers: Papers, share: Fraction) -> str:
    return f"{papers.setting.phrases.number(share * 100, 2)} %"


def _kind(papers: Papers) -> str:
    return papers.say(f"kind_{papers.outlet.kind}")


def statement(papers: Papers) -> list[Sheet]:
    """What the outlet holds by our records, with room to say what was sold: asks for a match."""
    parts = [parts_of(price_of(each), papers.outlet, papers.minor) for each in papers.pieces]
    whole = sum_of(_for_sale(papers, parts), papers.currency)
    page = Page(
        "statement",
        papers.say("statement"),
        {
            "outlet": papers.title,
            "where": papers.where_and_when,
            "parties": parties(papers),
            "kind": _kind(papers),
            **_table(papers, parts, whole),
            "count": papers.count,
        },
    )
    columns = ("number", "title", "retail", "commission", "to the maker", "here", "sold on",
               "sold for", "due to the maker", "currency")  # fmt: skip
    cells = []
    for each, part in zip(papers.pieces, parts, strict=True):
        money = (part.price, part.commission, part.to_maker)
        sums = [papers.cell(figure) if each.for_sale else "" for figure in money]
        cells.append((each.facts.number, each.facts.title, *sums, "", "", "", "", papers.currency))
    return [
        Sheet("statement.pdf", sheet_pdf(papers.setting, page, papers.pieces), page.title),
        Sheet("statement.csv", csv_file(columns, cells)),
    ]
