"""The way of one piece's material: fleece to yarn to dye lot to piece, in grams.

In: the book, its flow, a piece. Out: its yarns one by one, and strands, one for each lot in the
piece, each with the yarn it was and the fleeces that yarn came from. Bands are drawn by grams of
yarn; words give true grams.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction

from provenance.figures.flow.flow import Flow, Key
from provenance.figures.flow.gather import source_key, yield_of
from provenance.figures.flow.makeup import (
    UNDYED,
    DyeStage,
    base_yarn,
    colour_of,
    stages_in_place,
    stages_of,
)
from provenance.problems import Said, Words, named
from provenance.records.book import Book
from provenance.records.pieces import Piece, YarnUse


@dataclass(frozen=True, slots=True)
class FromFleece:
    """What one fleece gave to a strand: grams in the grease, and as yarn in the piece."""

    fleece: str
    grease: Fraction
    yarn: Fraction


@dataclass(frozen=True, slots=True)
class Strand:
    """One lot in a piece: `yarn` is what it was before its first bath, '' when spun in place."""

    lot: str
    use: Words
    grams: Fraction
    colour: str
    stages: tuple[DyeStage, ...]
    yarn: str
    is_bought: bool
    fleeces: tuple[FromFleece, ...] = ()

    @property
    def same(self) -> tuple[object, ...]:
        """What two yarns of a piece have in common that are one strand."""
        return self.lot, self.yarn, self.colour, self.stages


def yarns_of(book: Book, piece: Piece, swatches: Mapping[str, str]) -> tuple[Strand, ...]:
    """Each yarn of a piece in the record's order, its fleeces left out.

    `swatches` are colours measured from photos.
    """
    return tuple(_yarn(book, use, swatches) for use in piece.yarns)


def _yarn(book: Book, use: YarnUse, swatches: Mapping[str, str]) -> Strand:
    lot = str(use.lot or "")
    base = base_yarn(book, lot) if lot else ""
    spun, fleece = book.yarns.get(base), book.fleece.get(str(use.fleece))
    colour = use.colour or colour_of(book, lot, swatches) or (fleece and fleece.colour) or UNDYED
    stages = (stages_of(book, lot) if lot else ()) + stages_in_place(book, use)
    is_bought = spun is not None and not spun.fleece
    return Strand(
        lot or str(use.fleece), str(use.use), Fraction(use.weight), str(colour), stages, base,
        is_bought,
    )  # fmt: skip


def strands_of(
    book: Book, flow: Flow, piece: Piece, swatches: Mapping[str, str], cloth: Sequence[Fraction]
) -> tuple[Strand, ...]:
    """The strands of a piece in the record's order; a lot used twice is one strand.

    `cloth` is how many grams of each yarn are in it: what was left over is in no strand.
    """
    found: dict[tuple[object, ...], Strand] = {}
    for index, yarn in enumerate(yarns_of(book, piece, swatches)):
        grams = cloth[index]
        fleeces = _from_fleeces(book, flow, source_key(book, piece, index), grams)
        strand = replace(yarn, use=named("use", str(yarn.use)), grams=grams, fleeces=fleeces)
        key = strand.same
        found[key] = _joined(found[key], strand) if key in found else strand
    return tuple(found.values())


def edge_of(
    book: Book, piece: Piece, swatches: Mapping[str, str], strands: Sequence[Strand]
) -> tuple[tuple[str, Fraction], ...]:
    """The colours of its edge with their amounts: the bands as woven, where they are written
    down, by length; else its strands by grams."""
    if not piece.order:
        return tuple((strand.colour, strand.grams) for strand in strands)
    yarns = yarns_of(book, piece, swatches)
    places = piece.yarn_places
    return tuple((yarns[places[str(band.lot)]].colour, Fraction(band.for_)) for band in piece.order)


def _from_fleeces(
    book: Book, flow: Flow, key: Key | None, grams: Fraction
) -> tuple[FromFleece, ...]:
    if key is None or key not in flow.loads:
        return ()
    whole = flow.whole(key)
    share = grams / whole if whole else Fraction(0)
    grease = {
        origin.name: amount * share
        for origin, amount in flow.loads[key].grams.items()
        if origin.kind == "fleece" and origin.name in book.fleece
    }
    clean = {name: amount * yield_of(book.fleece[name]) for name, amount in grease.items()}
    total = sum(clean.values(), Fraction(0))
    return tuple(
        FromFleece(name, amount, grams * clean[name] / total if total else Fraction(0))
        for name, amount in grease.items()
    )


def _joined(one: Strand, other: Strand) -> Strand:
    """Two uses of the same lot as one strand."""
    fleeces: dict[str, FromFleece] = {}
    for part in (*one.fleeces, *other.fleeces):
        old = fleeces.get(part.fleece)
        fleeces[part.fleece] = part if old is None else FromFleece(
            part.fleece, old.grease + part.grease, old.yarn + part.yarn
        )  # fmt: skip
    use = one.use if one.use == other.use else Said("flow.both_uses", one=one.use, other=other.use)
    return replace(one, use=use, grams=one.grams + other.grams, fleeces=tuple(fleeces.values()))


def key_of(piece: Piece) -> Key:
    """The node of a piece."""
    return Key("piece", str(piece.number))
