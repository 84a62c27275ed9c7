"""What one piece is, in the words every paper shares: fibres, labels, dyes, light.

In: the book and a piece. Out: its fibre shares and labels, the dyes really in it with their
mordants, their order in words, and its light guidance. Tag, page, certificate and cost sheet all
ask here, so that they cannot disagree.
"""

from __future__ import annotations

from collections.abc import Iterable

from provenance.figures.dyeing import chain_words
from provenance.figures.fibres import FibreLabel, FibreShare, Piecework, label, shares
from provenance.figures.light import DyeInPiece, Light, guidance
from provenance.figures.makeup import DyeStage, fibre_parts, yarns_of
from provenance.problems import Slip
from provenance.records.book import Book
from provenance.records.pieces import Piece
from provenance.reference.mordants import holds_dye


def piece_fibres(book: Book, piece: Piece) -> tuple[FibreShare, ...]:
    """The plain composition of a piece, sewing left out; none while a fibre is unknown."""
    try:
        return shares(tuple(part for part in fibre_parts(book, piece) if part.grams))
    except Slip:
        return ()


def piecework(book: Book, piece: Piece) -> Piecework:
    """The piece as the label rules see it."""
    used = (book.sundries.get(name) for name in piece.sundries)
    return Piecework(
        tuple(part for part in fibre_parts(book, piece) if part.grams),
        str(piece.kind or "other"),
        str(piece.structure or ""),
        has_animal_parts=any(sundry.animal for sundry in used if sundry),
    )


def piece_labels(book: Book, piece: Piece) -> dict[str, FibreLabel]:
    """The fibre label for each market the studio sells to; none while a fibre is unknown."""
    work = piecework(book, piece)
    try:
        return {str(market): label(work, str(market)) for market in book.studio.labels_for}
    except Slip:
        return {}


def stages_in(book: Book, piece: Piece) -> tuple[tuple[DyeStage, ...], ...]:
    """The dye stages of every yarn, heaviest yarn first, each way of dyeing once."""
    yarns = sorted(yarns_of(book, piece, {}), key=lambda yarn: -yarn.grams)
    return tuple(dict.fromkeys(yarn.stages for yarn in yarns if dyes_of(yarn.stages)))


def dyes_of(stages: Iterable[DyeStage]) -> tuple[str, ...]:
    """The dyestuffs of a yarn, in order, each once."""
    return tuple(dict.fromkeys(dye for stage in stages for dye in stage.dyes))


def helps_of(stages: Iterable[DyeStage]) -> tuple[str, ...]:
    """The mordants and after-baths of a yarn, in order, each once."""
    named = (name for stage in stages for name in stage.mordants + stage.after)
    return tuple(dict.fromkeys(named))


def piece_dyes(book: Book, piece: Piece) -> tuple[DyeInPiece, ...]:
    """Every dye in the piece with the mordants it lies on; a dye on two mordants counts twice."""
    found: dict[DyeInPiece, None] = {}
    for stages in stages_in(book, piece):
        mordants = frozenset(name for name in helps_of(stages) if holds_dye(name))
        for dye in dyes_of(stages):
            lot = book.dyestuffs.get(dye)
            species = str(lot.species) if lot and lot.species else ""
            found[DyeInPiece(dye, species, mordants)] = None
    return tuple(found)


def dye_chains(book: Book, piece: Piece) -> tuple[str, ...]:
    """How each yarn was dyed, in words: ('weld, then indigo', 'madder')."""
    said = (dye_words(stages) for stages in stages_in(book, piece))
    return tuple(dict.fromkeys(said))


def dye_words(stages: Iterable[DyeStage]) -> str:
    """One yarn's dyeing in words, '' when it was not dyed; a darkening iron bath is named."""
    groups: list[tuple[str, ...]] = []
    for stage in stages:
        if stage.dyes:
            groups.append(stage.dyes)
        if stage.after:
            groups.append(stage.after)
    return chain_words(groups) if groups else ""


def piece_light(book: Book, piece: Piece) -> Light:
    """Light guidance for the piece on the studio's home wall."""
    wall = book.studio.light
    return guidance(piece_dyes(book, piece), wall.lux, wall.hours_a_day, place=wall.lux.place)
