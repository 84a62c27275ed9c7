"""The dyes that are really in a piece: by yarn, as chains, with the mordants they stand on.

In: the book and a piece, or stages as `makeup` gives them. Out: each dye with the mordants its yarn
carries, its fibre, how pale it lies, the maker's own test of it; names in order, each once; "weld,
then iron" to be told. A yarn that was dyed over keeps its whole history; an iron after-bath counts
for every dye of its yarn.
"""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import replace

from provenance.figures.dyes.dosing import chain_words
from provenance.figures.dyes.mill import dyed_before
from provenance.figures.flow.makeup import DyeStage, use_composition
from provenance.figures.flow.strands import Strand, yarns_of
from provenance.figures.light.rating import DyeInPiece
from provenance.figures.light.window import window_tests
from provenance.problems import Said, chained
from provenance.records.book import Book
from provenance.records.pieces import Piece
from provenance.reference.fibres import find_fibre
from provenance.reference.mordants import holds_dye

_SPUN_CELLULOSE = frozenset({"viscose", "modal", "lyocell", "cupro"})


def dyes_of(stages: Iterable[DyeStage]) -> tuple[str, ...]:
    """The dyestuffs, in order, each once."""
    return tuple(dict.fromkeys(dye for stage in stages for dye in stage.dyes))


def helps_of(stages: Iterable[DyeStage]) -> tuple[str, ...]:
    """The mordants, assistants and after-baths, in order, each once."""
    return tuple(dict.fromkeys(name for stage in stages for name in stage.mordants + stage.after))


def helps_in(book: Book, piece: Piece) -> tuple[str, ...]:
    """The same for a whole piece, heaviest yarn first."""
    yarns = sorted(yarns_of(book, piece, {}), key=lambda yarn: -yarn.grams)
    return helps_of(stage for yarn in yarns for stage in yarn.stages)


def stuffs_in(book: Book, piece: Piece) -> tuple[str, ...]:
    """All that the yarns of a piece were dyed and treated with here, each once."""
    yarns = yarns_of(book, piece, {})
    names = ((*dyes_of(yarn.stages), *helps_of(yarn.stages)) for yarn in yarns)
    return tuple(dict.fromkeys(name for each in names for name in each))


def history_words(stages: Iterable[DyeStage], before: Iterable[Sequence[str]] = ()) -> Said:
    """One yarn's way through its baths, those `before` it was bought first; silence when it had
    none; an after-bath is named."""
    here = (group for stage in stages for group in (stage.dyes, stage.after))
    return chain_words((*before, *here))


def piece_dyes(book: Book, piece: Piece) -> tuple[DyeInPiece, ...]:
    """Every dye of the piece as it is on its yarn, each once, yarn by yarn."""
    tests, found = window_tests(book), dict[DyeInPiece, None]()
    for use, yarn in zip(piece.yarns, yarns_of(book, piece, {}), strict=True):
        fibre, own = weakest_fibre(use_composition(book, use)), tests.get(yarn.lot)
        found |= {replace(dye, fibre=fibre, own=own): None for dye in _dyes_of(book, yarn)}
    return tuple(found)


def weakest_fibre(fibres: Iterable[str]) -> str:
    """Of a yarn's fibres the one on which dyes fade first: cellulose, silk, else wool."""
    found = [fibre for fibre in map(find_fibre, fibres) if fibre]
    if any(fibre.group == "plant" or fibre.name in _SPUN_CELLULOSE for fibre in found):
        return "cellulose"
    return "silk" if any(fibre.group == "silk" for fibre in found) else "wool"


def dye_words(book: Book, piece: Piece) -> Said:
    """The dyes of each yarn in the order they were used: "weld, then indigo; madder"."""
    baths = [
        [*dyes_before(book, yarn), *(_dyes_in(book, stage) for stage in yarn.stages)]
        for yarn in yarns_of(book, piece, {})
    ]
    return chained("dyeing.beside", filter(None, dict.fromkeys(map(chain_words, baths))))


def _dyes_of(book: Book, yarn: Strand) -> Iterator[DyeInPiece]:
    mordants = frozenset(filter(holds_dye, helps_of(yarn.stages)))
    for bought in dyes_before(book, yarn):
        yield from (DyeInPiece(name) for name in bought)
    for stage in yarn.stages:
        for name in _dyes_in(book, stage):
            lot = book.dyestuffs.get(name)
            species, paler = str(lot.species or "") if lot else "", stage.exhausts
            yield DyeInPiece(name, species, mordants, paler=paler + (name in stage.pale))


def _dyes_in(book: Book, stage: DyeStage) -> list[str]:
    """The dyes of one bath; an after-bath may hold a dyestuff too."""
    after = [name for name in stage.after if name in book.dyestuffs and name not in book.mordants]
    return [*stage.dyes, *after]


def dyes_before(book: Book, yarn: Strand) -> list[list[str]]:
    """What bought yarn was dyed with before it came, as far as its record says."""
    return dyed_before(book.yarns.get(yarn.yarn) if yarn.is_bought else None)
