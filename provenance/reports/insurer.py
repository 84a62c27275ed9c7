"""The list for the insurer: what is finished and not sold, where it is, what it would sell for.

In: what is insured, as `figures.stock` worked it out. Out: a table on a page of its own.
"""

from collections.abc import Callable, Iterator, Sequence
from fractions import Fraction

from provenance.figures.stock.stock import STUDIO, Insured
from provenance.figures.working import Figure
from provenance.problems import Said, Words
from provenance.reports.report import ON_PAPER, Cell, Column, Table, notes, numbers, rows, sum_row
from provenance.studio import Studio


def insurer_list(
    studio: Studio, insured: Sequence[Insured], money: Callable[[Fraction | Figure], str]
) -> Iterator[Table]:
    """Every finished piece that is insured, with its photo, at what it sells for; none of none."""
    if not insured:
        return
    columns = (
        Column(Said("stock.for_the_insurer")),
        Column(Said("stock.size"), least=ON_PAPER),
        Column(Said("stock.where")),
        Column(Said("stock.photo"), least=81),
        *numbers(Said("stock.price"), Said("stock.cost")),
    )
    lines = [
        (
            _so_many(each),
            _size(studio, each),
            Cell(place_words(each.place), kind="name"),
            Cell(each.photo or Said("stock.no_photo"), kind="photo" if each.photo else "words"),
            money(each.price),
            money(each.cost),
        )
        for each in insured
    ]
    prices = sum((each.price.value for each in insured), Fraction(0))
    costs = sum((each.cost.value for each in insured), Fraction(0))
    count = Said("stock.in_all", number=sum(each.items for each in insured))
    whole = sum_row(count, "", "", "", money(prices), money(costs))
    words = notes(Said("stock.insurance_words"), style="dim")
    yield Table(columns, (*rows(*lines), whole), words, on_new_page=True)


def _so_many(insured: Insured) -> Words:
    said = f"{insured.number} {insured.title}"
    if insured.items == 1:
        return said
    return Said("stock.so_many", items=insured.items, what=said)


def _size(studio: Studio, insured: Insured) -> Words:
    size = studio.book.pieces[insured.number].size
    return Said("form.size", size=size) if size else ""


def place_words(name: str) -> Words:
    """A place by the name of its outlet; the studio in words."""
    return Said("stock.studio") if name == STUDIO else name
