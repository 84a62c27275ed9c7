"""What an outlet keeps of what is paid there: its commission, tax on that, the card fee.

In: a price, the outlet, how the studio shows tax. Out: each with its working, rounded once.
An outlet that buys pays its share of the price, and keeps nothing of it. Tax on a commission is the
outlet's own, charged on top of it (1,200 at 40 % and 20 %: 480 + 96 = 576, which leaves 624). A
card fee is taken of all that the buyer pays, tax that is added included, and its fixed part once.
"""

from fractions import Fraction

from provenance.figures.working import Figure, difference, given, product, quotient, rounded, total
from provenance.problems import Said
from provenance.records.lots import Outlet
from provenance.records.studio import Tax


def paid_at(price: Figure, outlet: Outlet, minor: int) -> Figure:
    """What is paid to the maker's side there: the price, or the share that an outlet buys at."""
    if outlet.wholesale is None:
        return price
    share = given(Said("step.wholesale", outlet=outlet.name), outlet.wholesale)
    bought = Said("step.bought_at", outlet=outlet.name)
    return rounded(product(bought, price, share, unit=price.unit), minor)


def commission_at(paid: Figure, outlet: Outlet, minor: int) -> Figure:
    """The commission of an outlet, with the tax it charges on it."""
    name, money = outlet.name, paid.unit
    rate = given(Said("step.kept_by", outlet=name), outlet.commission, "", outlet.commission.place)
    kept = product(Said("step.commission_of", outlet=name), paid, rate, unit=money)
    commission = rounded(kept, minor)
    if not outlet.tax_on_commission:
        return commission
    share = given(Said("step.tax_on_commission", outlet=name), outlet.tax_on_commission)
    tax = product(Said("step.commission_tax", outlet=name), commission, share, unit=money)
    return total(Said("step.with_tax", outlet=name), [commission, rounded(tax, minor)], money)


def card_fee_at(paid: Figure, outlet: Outlet, tax: Tax, minor: int) -> Figure:
    """The card fee on all that the buyer pays."""
    fee, name, money = outlet.card_fee, outlet.name, paid.unit
    if tax.way == "added":
        paid = total(Said("step.buyer_pays"), [paid, tax_on_top(paid, tax, minor)], money)
    share = given(Said("step.fee_share", outlet=name), fee.share, "", fee.place)
    taken = product(Said("step.fee_at", outlet=name), paid, share, unit=money)
    if fee.fixed:
        fixed = given(Said("step.fee_fixed", outlet=name), fee.fixed, money, fee.place)
        taken = total(Said("step.fee_at", outlet=name), [taken, fixed], money)
    return rounded(taken, minor)


def kept_back(price: Figure, outlet: Outlet, tax: Tax, minor: int) -> Figure:
    """All that an outlet keeps of a price that was paid there, by its terms of today."""
    said = Said("step.kept_back", outlet=outlet.name)
    parts = [commission_at(price, outlet, minor), card_fee_at(price, outlet, tax, minor)]
    return total(said, parts, price.unit)


def left_of_each(outlet: Outlet, tax: Tax) -> Figure:
    """How much of one unit of price reaches the maker, before what is fixed."""
    name, one = outlet.name, given(Said("step.one"), 1)
    after_tax = one
    if tax.way == "included":
        after_tax = quotient(Said("step.kept_after_tax"), one, one_and(tax))
    rate = given(Said("step.kept_by", outlet=name), outlet.commission, "", outlet.commission.place)
    if outlet.tax_on_commission:
        taxed = given(Said("step.one_and_tax"), 1 + outlet.tax_on_commission)
        rate = product(Said("step.with_tax", outlet=name), rate, taxed)
    fee = given(Said("step.fee_share", outlet=name), outlet.card_fee.share, "",
                outlet.card_fee.place)  # fmt: skip
    if tax.way == "added":
        fee = product(Said("step.fee_on_all", outlet=name), fee, one_and(tax))
    left = difference(Said("step.kept"), after_tax, rate, fee)
    if outlet.wholesale is None:
        return left
    share = given(Said("step.wholesale", outlet=name), outlet.wholesale)
    return product(Said("step.kept"), left, share)


def tax_within(price: Figure, tax: Tax, minor: int) -> Figure:
    """The tax inside a shown price (486.00 including 8 % holds 36.00); 0 when none is included."""
    if tax.way != "included":
        return given(Said("step.tax"), 0, price.unit)
    exact = quotient(Said("step.before_tax"), price, one_and(tax), unit=price.unit)
    return difference(Said("step.tax"), price, rounded(exact, minor))


def tax_on_top(price: Figure, tax: Tax, minor: int) -> Figure:
    """The tax that is added to a price."""
    share = given(Said("step.tax_share"), tax.share if tax.way == "added" else Fraction(0))
    return rounded(product(Said("step.tax"), price, share, unit=price.unit), minor)


def one_and(tax: Tax) -> Figure:
    """One and the tax: what a price before tax is multiplied by."""
    return given(Said("step.one_and_tax"), 1 + tax.share)
