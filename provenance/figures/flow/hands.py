"""In which units a maker weighs a thing: those its record was written in.

In: the book, a node of the flow. Out: whether it is told in pounds, ounces and yards. Figures are
kept in grams and centimetres; this only says how they are to be shown. Where one record has both,
grams hold.
"""

from collections.abc import Iterator

from provenance.figures.flow.flow import Key
from provenance.records.book import Book
from provenance.records.quantities import Quantity


def in_pounds(book: Book, key: Key) -> bool:
    """Whether all weights (lengths of what is only measured) of its record are customary ones."""
    found = [each for each in _written(book, key) if each is not None and each.written]
    return bool(found) and all(each.is_customary for each in found)


def _written(book: Book, key: Key) -> Iterator[Quantity | None]:
    kind, name = key
    if kind in ("fleece", "dyestuff", "mordant"):
        lots = {"fleece": book.fleece, "dyestuff": book.dyestuffs, "mordant": book.mordants}
        yield lots[kind][name].weight  # type: ignore[attr-defined]
    elif kind in ("yarn", "sundry"):
        lot = book.yarns[name] if kind == "yarn" else book.sundries[name]
        yield lot.length if lot.weight is None else lot.weight
    elif kind == "dyed":
        yield book.dyed[name].entry.weight
    elif kind == "bath":
        yield from (entry.weight for entry in book.baths[name].dyed)
    elif kind in ("piece", "in place"):
        piece = book.pieces[name.partition(" ")[0]]
        yield from (piece.weight, *(yarn.weight for yarn in piece.yarns))
