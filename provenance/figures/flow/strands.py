"""The way of one piece's material: fleece to yarn to dye lot to piece, in grams.

In: the book, its flow, a piece. Out: strands, one for each lot in the piece, each with the yarn it
was and the fleeces that yarn came from. Bands are drawn by grams of yarn; words give true grams.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction

from provenance.figures.flow.flow import Flow, Key
from provenance.figures.flow.gather import yield_of
from provenance.figures.flow.makeup import DyeStage, YarnInPiece, base_yarn, source_key, yarns_of
from provenance.records.book import Book
from provenance.records.pieces import Piece


@dataclass(frozen=True, slots=True)
class FromFleece:
    """What one fleece gave to a strand: grams in the grease, and as yarn in the piece."""

    fleece: str
    grease: Fraction
    yarn: Fraction


@dataclass(frozen=True, slots=True)
class Strand:
    """One lot in a piece. `yarn` is '' when the yarn was spun in place."""

    lot: str
    use: str
    grams: Fraction
    colour: str
    stages: tuple[DyeStage, ...]
    yarn: str
    is_bought: bool
    fleeces: tuple[FromFleece, ...]


def strands_of(
    book: Book, flow: Flow, piece: Piece, swatches: Mapping[str, str]
) -> tuple[Strand, ...]:
    """The strands of a piece in the record's order; a lot used twice is one strand."""
    found: dict[tuple[str, str, str], Strand] = {}
    for index, yarn in enumerate(yarns_of(book, piece, swatches)):
        strand = _strand(book, flow, piece, index, yarn)
        key = (strand.lot, strand.yarn, strand.colour)
        found[key] = _joined(found[key], strand) if key in found else strand
    return tuple(found.values())


def _strand(book: Book, flow: Flow, piece: Piece, index: int, yarn: YarnInPiece) -> Strand:
    use = piece.yarns[index]
    base = base_yarn(book, str(use.lot)) if use.lot else ""
    return Strand(
        yarn.lot, yarn.use, yarn.grams, yarn.colour, yarn.stages, base, bool(yarn.bought),
        _from_fleeces(book, flow, piece, index, yarn.grams),
    )  # fmt: skip


def _from_fleeces(
    book: Book, flow: Flow, piece: Piece, index: int, grams: Fraction
) -> tuple[FromFleece, ...]:
    key = source_key(book, piece, index)
    if key is None or key not in flow.loads:
        return ()
    whole = flow.whole(key)
    share = grams / whole if whole else Fraction(0)
    grease = {
        origin.name: amount * share
        for origin, amount in flow.loads[key].grams.items()
        if origin.kind == "fleece" and origin.name in book.fleece
    }
    clean = {name: amount * yield_of(book.fleece[name])[0] for name, amount in grease.items()}
    total = sum(clean.values(), Fraction(0))
    return tuple(
        FromFleece(name, amount, grams * clean[name] / total if total else Fraction(0))
        for name, amount in grease.items()
    )


def _joined(one: Strand, other: Strand) -> Strand:
    """Two uses of the same lot as one strand."""
    fleeces: dict[str, FromFleece] = {}
    for part in (*one.fleeces, *other.fleeces):
        old = fleeces.get(part.fleece, FromFleece(part.fleece, Fraction(0), Fraction(0)))
        fleeces[part.fleece] = FromFleece(
            part.fleece, old.grease + part.grease, old.yarn + part.yarn
        )
    return Strand(
        one.lot, one.use if one.use == other.use else f"{one.use} and {other.use}",
        one.grams + other.grams, one.colour, one.stages, one.yarn, one.is_bought,
        tuple(fleeces.values()),
    )  # fmt: skip


def key_of(piece: Piece) -> Key:
    """The node of a piece."""
    return Key("piece", str(piece.number))
