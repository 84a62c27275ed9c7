"""The dye stages of a yarn, read three ways: its dyes, its bath helps, its history.

In: stages as `makeup` gives them. Out: names in order, each once; "weld, then iron" to be told.
"""

from collections.abc import Iterable

from provenance.figures.dyes.dosing import chain_words
from provenance.figures.flow.makeup import DyeStage, yarns_of
from provenance.problems import Said
from provenance.records.book import Book
from provenance.records.pieces import Piece


def stages_in(book: Book, piece: Piece) -> tuple[tuple[DyeStage, ...], ...]:
    """The stages of every yarn of a piece, heaviest yarn first, each way of dyeing once."""
    yarns = sorted(yarns_of(book, piece, {}), key=lambda yarn: -yarn.grams)
    return tuple(dict.fromkeys(yarn.stages for yarn in yarns if yarn.stages))


def dyes_of(stages: Iterable[DyeStage]) -> tuple[str, ...]:
    """The dyestuffs, in order, each once."""
    return tuple(dict.fromkeys(dye for stage in stages for dye in stage.dyes))


def helps_of(stages: Iterable[DyeStage]) -> tuple[str, ...]:
    """The mordants, assistants and after-baths, in order, each once."""
    return tuple(dict.fromkeys(name for stage in stages for name in stage.mordants + stage.after))


def history_words(stages: Iterable[DyeStage]) -> Said:
    """One yarn's way through its baths, silence when it had none; an after-bath is named."""
    return chain_words(group for stage in stages for group in (stage.dyes, stage.after))
