"""Fibres of animals that the law protects (vicuña, guanaco), where a maker has or uses them.

In: the book, or a piece of it. Out: remarks with places, or what is to be said, each once; papers
noted as `permit` keep them quiet. Laws and days are in `tables/fibres.toml`.
"""

from collections.abc import Iterable, Iterator

from provenance.figures.dyes.guard import protection_words
from provenance.figures.flow.makeup import base_yarn, fleeces_of
from provenance.problems import Problem, Said
from provenance.records.book import Book
from provenance.records.lots import Fleece, Yarn
from provenance.records.pieces import Piece
from provenance.reference.fibres import Fibre, find_fibre


def check_protected(book: Book) -> Iterator[Problem]:
    """Every protected fibre of the studio, at the first lot of it without papers."""
    said: set[Said] = set()
    lots: tuple[Fleece | Yarn, ...] = (*book.fleece.values(), *book.yarns.values())
    for lot in lots:
        for words in _of_lot(lot):
            if words not in said:
                remedy = Said("review.protected_fibre")
                yield Problem(lot.record_place, words, remedy, is_remark=True)
            said.add(words)


def protected_in(book: Book, piece: Piece) -> tuple[Said, ...]:
    """What is to be said of the fibres of a piece, each once."""
    found: list[Said] = []
    for use in piece.yarns:
        yarn = book.yarns.get(base_yarn(book, str(use.lot))) if use.lot else None
        own = book.fleece.get(str(use.fleece)) if use.fleece else None
        lots: Iterable[Fleece | Yarn] = (own,) if own else ()
        if yarn:
            lots = (yarn, *fleeces_of(book, yarn))
        found += (words for lot in lots for words in _of_lot(lot))
    return tuple(dict.fromkeys(found))


def protected_fibres(names: Iterable[str]) -> tuple[Fibre, ...]:
    """Those of these fibres that something guards, each once."""
    rows = dict.fromkeys(filter(None, map(find_fibre, names)))
    return tuple(row for row in rows if row.protected)


def _of_lot(lot: Fleece | Yarn) -> Iterator[Said]:
    fibres = () if lot.permit else protected_fibres(lot.fibre or ())
    told = (protection_words(row.protected, Said("form.fibre", name=row.name)) for row in fibres)
    return filter(None, told)
