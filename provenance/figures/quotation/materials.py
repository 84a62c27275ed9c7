"""What the materials of a commission cost: yarn, fleece, dyestuffs, heat, sundries.

In: what is asked and its needs. Out: a rounded cost for each material. A lot costs what it carries
by weight; yarn and dye are counted with the spare, since what is spun and dyed for one piece
cannot be matched for the next. Each bath is a pot on the heat as long as before.
"""

from collections.abc import Iterator
from fractions import Fraction

from provenance.figures.flow.carried import carried_money
from provenance.figures.flow.flow import HEAT, Key, in_all
from provenance.figures.flow.own_workings import each_of
from provenance.figures.quotation.cloth import Asked
from provenance.figures.quotation.needs import Needs
from provenance.figures.quotation.yarn import times_area
from provenance.figures.working import Figure, given, product, quotient, rounded, total
from provenance.problems import Said
from provenance.records.amounts import Size
from provenance.records.quantities import Quantity
from provenance.reference.currencies import minor_unit


def materials_of(asked: Asked, needs: Needs, size: Size) -> tuple[Figure, ...]:
    """Every material with its rounded cost."""
    minor = minor_unit(asked.money)
    lines = [*_lots(asked, needs), *_heat(asked, needs), *_sundries(asked, size)]
    return tuple(rounded(line, minor, line.what) for line in lines)


def _lots(asked: Asked, needs: Needs) -> Iterator[Figure]:
    for need in needs.lines:
        if not need.is_in_yarn:  # else the cost of that yarn has its fleece in it
            gram = cost_of_a_gram(asked, need.kind, need.what)
            yield product(need.what, need.grams, gram, unit=asked.money)


def cost_of_a_gram(asked: Asked, kind: str, name: str) -> Figure:
    """What a gram of a lot cost, by all the money it carries."""
    key, money, flow = Key(kind, name), asked.money, asked.flow
    what = Said("step.gram_costs", lot=name)
    whole = flow.whole(key) if key in flow.nodes else Fraction(0)
    if not whole:
        return given(Said("step.not_on_record", what=what), 0, money)
    terms = [carried_money(flow, key, origin, money) for origin in flow.loads[key].money]
    said = Said("flow.cost_of", what=name)
    spent = total(said, terms, money) if terms else given(said, 0, money)
    return quotient(what, spent, in_all(name, whole), unit=money)


def _heat(asked: Asked, needs: Needs) -> Iterator[Figure]:
    """A pot on the heat for each bath that is made again."""
    for bath in needs.pots:
        node = asked.flow.nodes.get(Key("bath", bath))
        if node is not None and HEAT in node.workings:
            yield node.workings[HEAT]


def _sundries(asked: Asked, size: Size) -> Iterator[Figure]:
    """Those of the old piece, measured ones by the width, weighed ones by the area."""
    like, one = asked.like, given(Said("step.pieces"), 1)
    taken = {str(name): (use, one) for name, use in asked.book.studio.every_piece_takes.items()}
    for name, use in like.sundries.items() if like else ():
        taken[str(name)] = (use, _times(asked, use, size))
    for word, (use, times) in taken.items():
        sundry = asked.book.sundries.get(word)
        if sundry is not None:
            amount = given(word, use, use.unit, use.place)
            used = product(Said("step.used", what=word), amount, times, unit=use.unit)
            yield product(word, used, each_of(sundry, asked.money), unit=asked.money)


def _times(asked: Asked, use: Quantity, size: Size) -> Figure:
    like = asked.like
    if like is None or like.size is None or not use.unit:
        return given(Said("step.pieces"), 1)
    if use.unit == "g":
        return times_area(like, size)
    old = given(Said("step.width_of", piece=like.number), like.size.width, "cm", like.size.place)
    new = given(Said("step.width"), size.width, "cm", size.place)
    return quotient(Said("step.times_width", piece=like.number), new, old)
