"""What maker and outlet agree on paper: who they are, on which terms, how each price is parted.

In: the view, an outlet, its pieces. Out: a `Dealing`, for the two of them and never before the
public: addresses of both, terms in words, exact sums. It holds no cost and no hour.
"""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction
from functools import partial
from typing import Any

from provenance.figures.money.consignment import (
    Parts,
    discounted,
    loss_payment,
    parts_of,
    sum_of,
)
from provenance.figures.working import Figure, rounded
from provenance.public.label import responsible_line
from provenance.public.names import capital, outlet_title, studio_title
from provenance.public.view import View
from provenance.records.lots import Outlet
from provenance.records.pieces import FOR_SALE
from provenance.reference.currencies import minor_unit
from provenance.studio import Worked


@dataclass(frozen=True, slots=True)
class Share:
    """A price and how it is parted; `for_a_loss` is what the maker gets for a lost piece."""

    price: Fraction
    commission: Fraction
    to_maker: Fraction
    for_a_loss: Fraction = Fraction(0)

    def times(self, count: int) -> "Share":
        """The same for several like things."""
        return Share(self.price * count, self.commission * count, self.to_maker * count,
                     self.for_a_loss * count)  # fmt: skip


@dataclass(frozen=True, slots=True)
class Dealing:
    """All that stands on papers between maker and outlet besides the pieces; `shares` by number,
    of one of a set, `whole` of all those for sale. Where the outlet `is_bought`, it buys them at
    `commission`, its share of the price."""

    maker: tuple[str, ...]
    outlet: tuple[str, ...]
    kind: str
    commission: str
    terms: tuple[tuple[str, str], ...]
    shares: Mapping[str, Share]
    whole: Share
    is_bought: bool = False


def dealing(
    view: View, outlet: Outlet, pieces: Sequence[Worked], items: Mapping[str, int] | None = None
) -> Dealing:
    """The dealing of an outlet about some pieces; `items`: how many of each are there, else one."""
    currency = view.book.studio.currency
    minor = minor_unit(currency)
    parts = {each.number: parts_of(rounded(each.cost.price, minor), outlet, minor)
             for each in pieces}  # fmt: skip
    for_sale = [parts[each.number] for each in pieces if each.record.state in FOR_SALE
                for _ in range((items or {}).get(each.number, 1))]  # fmt: skip
    whole = sum_of(for_sale, str(currency))
    maker, theirs = _parties(view, outlet)
    terms = _terms(view, outlet, whole, minor) if outlet.wholesale is None else ()
    return Dealing(
        maker=maker,
        outlet=theirs,
        kind=view.phrases.say(f"sheet.kind_{outlet.kind}"),
        commission=_rate(view, outlet),
        terms=tuple(terms or _terms_of_sale(view, outlet)),
        shares={number: _share(each, outlet, minor) for number, each in parts.items()},
        whole=Share(whole.price.value, whole.commission.value, whole.to_maker.value),
        is_bought=outlet.wholesale is not None,
    )


def _rate(view: View, outlet: Outlet) -> str:
    """What an outlet keeps, or buys at, in short: 45 %; 45 % and 20 % tax on it."""
    percent, tax = view.phrases.percent, outlet.tax_on_commission
    share = percent(
        Fraction(outlet.commission if outlet.wholesale is None else outlet.wholesale) * 100
    )
    if not tax:
        return share
    return view.phrases.say("sheet.share_and_tax", share=share, tax=percent(tax * 100))


def _share(parts: Parts, outlet: Outlet, minor: int) -> Share:
    loss = loss_payment(parts.price, outlet, outlet.terms.loss, minor)
    return Share(parts.price.value, parts.commission.value, parts.to_maker.value, loss.value)


def _parties(view: View, outlet: Outlet) -> tuple[tuple[str, ...], tuple[str, ...]]:
    """Maker and outlet, each with name and address."""
    studio = view.book.studio
    maker = (str(studio.maker), studio_title(view.phrases, studio), *_reached(studio.contact))
    rest = {str(word): str(text) for word, text in outlet.contact.items()}
    post = rest.pop("post", "")
    post = str(outlet.address or post or outlet.place or "")
    theirs = (*_name_and_post(outlet_title(outlet), post), *_reached(rest))
    return (
        tuple(filter(None, (*maker, responsible_line(view)))),
        tuple(filter(None, theirs)),
    )


def _name_and_post(name: str, post: str) -> tuple[str, ...]:
    """An address often begins with the name: a fuller one is taken, the same is spelled as ours."""
    first, _, rest = post.partition(",")
    if first.strip().casefold().removeprefix("the ") == name.casefold().removeprefix("the "):
        return tuple(filter(None, (name, rest.strip())))
    is_named = name.casefold().removeprefix("the ") in first.casefold()
    return (first.strip(), rest.strip()) if is_named and rest else (name, post)


def _reached(contact: Mapping[Any, Any]) -> tuple[str, ...]:
    """Ways to reach somebody: post, phone, email, then the rest by name."""
    order = ("post", "phone", "email")
    words = sorted(map(str, contact))
    words.sort(key=lambda word: order.index(word) if word in order else len(order))
    return tuple(str(contact[word]) for word in words)


def _terms(view: View, outlet: Outlet, whole: Parts, minor: int) -> Iterator[tuple[str, str]]:
    """Heading and words, one by one; what is not recorded is a line to fill in."""
    terms, say = outlet.terms, partial(_say, view, outlet)
    insured, payment = terms.insured_from, terms.payment
    said = {
        "term": str(terms.term or say("open_term")),
        "commission": _commission(view, outlet),
        "payment": say("payment_words", days=payment) if payment else say("open_payment"),
        "discount": _discount(view, outlet, whole.price, minor),
        "insurance": say("insured_words", day=insured) if insured else say("open_insurance"),
        "loss": _loss(view, outlet),
        "ownership": say("ownership_words"),
        "freight": str(terms.freight or say("open_freight")),
    }
    yield from _in_words(view, outlet, said)


def _commission(view: View, outlet: Outlet) -> str:
    percent, tax = view.phrases.percent, outlet.tax_on_commission
    key = "commission_tax_words" if tax else "commission_words"
    told = {"share": percent(outlet.commission * 100), "tax": percent(tax * 100)}
    return _say(view, outlet, key, **told)


def _terms_of_sale(view: View, outlet: Outlet) -> Iterator[tuple[str, str]]:
    """The terms of an outlet that buys: the trade price, when it is due, whose the pieces are."""
    terms, say = outlet.terms, partial(_say, view, outlet)
    said = {
        "trade_price": say("trade_words", share=_rate(view, outlet)),
        "payment": say("trade_payment_words", days=terms.payment or "____________________"),
        "ownership": say("ownership_words"),
    }
    yield from _in_words(view, outlet, said)


def _in_words(view: View, outlet: Outlet, said: Mapping[str, str]) -> Iterator[tuple[str, str]]:
    """The usual terms, then those in words of the maker's own."""
    terms, say = outlet.terms, partial(_say, view, outlet)
    own = [(capital(word), text) for word, text in terms.others]
    also = [(say("also"), str(text)) for text in terms.also]
    for heading, text in [*((say(word), text) for word, text in said.items()), *own, *also]:
        yield heading, _sentence(text)


def _say(view: View, outlet: Outlet, name: str, /, **values: Any) -> str:
    kind = view.phrases.say(f"sheet.kind_{outlet.kind}")
    return view.phrases.say(f"sheet.{name}", kind=kind, **values)


def _discount(view: View, outlet: Outlet, price: Figure, minor: int) -> str:
    discount, say = outlet.terms.discount, partial(_say, view, outlet)
    if discount is None:
        return say("open_discount")
    if not discount.share or not discount.bearer:
        return discount.written
    sums = discounted(price, outlet, discount, minor)
    found = [sums.price.value, sums.to_maker.value, sums.commission.value]
    buyer, maker, to_outlet = view.phrases.column(found)
    return say(
        "discount_share_words", share=view.phrases.percent(discount.share * 100),
        bearer=say(f"bearer_{discount.bearer}"), buyer=buyer, maker=maker, outlet=to_outlet,
    )  # fmt: skip


def _loss(view: View, outlet: Outlet) -> str:
    loss, say = outlet.terms.loss, partial(_say, view, outlet)
    if loss.share is None:
        return say("loss_words")
    share = say("half") if loss.share == Fraction(1, 2) else view.phrases.percent(loss.share * 100)
    if not loss.limit:
        return say("loss_share_all_words", share=share)
    above = say("from" if loss.from_limit else "above")
    limit = view.phrases.money(loss.limit)
    return say("loss_share_words", share=share, above=above, limit=limit)


def _sentence(text: str) -> str:
    """With a capital and a full stop; a line to fill in stays as it is."""
    text = capital(text)
    return text if text.endswith((".", "_")) or "____" in text else f"{text}."
