"""What the materials of a commission cost: yarn, fleece, dyestuffs, heat, sundries.

In: what is asked and its needs. Out: a rounded cost for each material. A lot costs what it carries
by weight; yarn and dye are counted with the spare, since what is spun and dyed for one piece
cannot be matched for the next. Each bath is a pot on the heat as long as before.
"""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction

from provenance.figures.flow.flow import Key, carried_money
from provenance.figures.flow.gather import HEAT
from provenance.figures.quotation.cloth import Asked
from provenance.figures.quotation.needs import Needs
from provenance.figures.quotation.yarn import times_area
from provenance.figures.working import Figure, given, product, quotient, rounded, total
from provenance.records.amounts import Size, SundryUse
from provenance.records.lots import Sundry
from provenance.reference.currencies import minor_unit


def materials_of(asked: Asked, needs: Needs, size: Size) -> tuple[Figure, ...]:
    """Every material with its rounded cost."""
    minor = minor_unit(asked.book.studio.currency)
    lines = [*_lots(asked, needs), *_heat(asked, needs), *_sundries(asked, size)]
    return tuple(rounded(line, minor, line.what) for line in lines)


def _lots(asked: Asked, needs: Needs) -> Iterator[Figure]:
    money = str(asked.book.studio.currency)
    for need in needs.lines:
        if need.is_in_yarn:
            continue  # the cost of that yarn has its fleece in it
        gram = cost_of_a_gram(asked, need.kind, need.what)
        yield product(need.what, need.grams, gram, unit=money)


def cost_of_a_gram(asked: Asked, kind: str, name: str) -> Figure:
    """What a gram of a lot cost, by all the money it carries."""
    key, money = Key(kind, name), str(asked.book.studio.currency)
    what = f"cost of a gram of {name}"
    whole = asked.flow.whole(key) if key in asked.flow.nodes else Fraction(0)
    if not whole:
        return given(f"{what} (not on record)", 0, money)
    terms = [carried_money(asked.flow, key, origin, money)
             for origin in asked.flow.loads[key].money]  # fmt: skip
    spent = total(f"cost of {name}", terms, money) if terms else given(f"cost of {name}", 0, money)
    return quotient(what, spent, given(f"{name} in all", whole, "g"), unit=money)


def _heat(asked: Asked, needs: Needs) -> Iterator[Figure]:
    """A pot on the heat for each bath that is made again."""
    for bath in needs.pots:
        node = asked.flow.nodes.get(Key("bath", bath))
        if node is not None and HEAT in node.workings:
            yield node.workings[HEAT]


def _sundries(asked: Asked, size: Size) -> Iterator[Figure]:
    """Those of the old piece, measured ones by the width, weighed ones by the area."""
    like = asked.like
    money = str(asked.book.studio.currency)
    one = given("pieces", 1)
    taken = {str(name): (use, one) for name, use in asked.book.studio.every_piece_takes.items()}
    for name, use in like.sundries.items() if like else ():
        taken[str(name)] = (use, _times(asked, use, size))
    for word, (use, times) in taken.items():
        sundry = asked.book.sundries.get(word)
        if sundry is not None:
            amount = given(word, use.amount, use.unit, use.place)
            used = product(f"{word}, used", amount, times, unit=use.unit)
            yield product(word, used, _each(sundry, money), unit=money)


def _each(sundry: Sundry, money: str) -> Figure:
    """What one, a centimetre or a gram of a sundry cost."""
    what = f"{sundry.name}, each"
    if sundry.each is not None:
        return given(what, sundry.each, money, sundry.each.place)
    if not sundry.amount:
        return given(what, 0, money)
    whole = given(f"{sundry.name} in all", sundry.amount, sundry.unit, sundry.amount.place)
    place = sundry.cost.place if sundry.cost is not None else None
    return quotient(what, given(f"cost of {sundry.name}", sundry.cost or 0, money, place), whole)


def _times(asked: Asked, use: SundryUse, size: Size) -> Figure:
    like = asked.like
    if like is None or like.size is None or not use.unit:
        return given("pieces", 1)
    if use.unit == "g":
        return times_area(like, size)
    return quotient(
        f"times the width of {like.number}",
        given("width", size.width, "cm", size.place),
        given(f"width of {like.number}", like.size.width, "cm", like.size.place),
    )
