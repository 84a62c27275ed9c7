"""The yarns of a piece as its photos may name them: what the lineage says of each, nothing more.

In: the view and a worked-out piece. Out: its yarns with names, dye baths and fleeces in public
words, and what may be seen of them at one point of a photo (`figures.colour.sights`).
"""

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction

from provenance.figures.colour.sights import Yarn, sights
from provenance.figures.dyes.stages import dyes_before, history_words
from provenance.figures.flow import strands
from provenance.figures.flow.strands import Strand
from provenance.public.names import called, capital, fleece_name
from provenance.public.view import View
from provenance.records.pieces import Piece, YarnUse
from provenance.studio import Worked

_COVERED = ("weft-faced", "pile")  # cloth whose warp and ground lie under what is seen
_UNDER = {"warp", "ground"}


@dataclass(frozen=True, slots=True)
class PublicYarn:
    """A yarn of a piece: name, dye baths, fleeces in words; colour, share of the whole; how it runs
    (`Yarn.use`), and whether it lies where it can be seen."""

    name: str
    pot: str
    fleeces: str
    colour: str
    share: Fraction
    runs: str
    is_seen: bool


@dataclass(frozen=True, slots=True)
class PublicSight:
    """Places of yarns that may be named together: all are there, crossing, or else one of them."""

    yarns: tuple[int, ...]
    is_crossing: bool


def yarns_of(view: View, worked: Worked) -> tuple[PublicYarn, ...]:
    """The yarns in the record's order."""
    piece = worked.record
    shown = [strand for strand in worked.strands if strand.grams]
    whole = sum((strand.grams for strand in shown), Fraction(0))
    uses: dict[tuple[object, ...], list[YarnUse]] = {}
    for use, yarn in zip(
        piece.yarns, strands.yarns_of(view.book, piece, view.studio.swatches), strict=True
    ):
        uses.setdefault(yarn.same, []).append(use)
    return tuple(_yarn(view, piece, (strand, uses[strand.same]), whole) for strand in shown)


def _yarn(
    view: View, piece: Piece, used: tuple[Strand, list[YarnUse]], whole: Fraction
) -> PublicYarn:
    """A strand and where it is used."""
    strand, uses = used
    named = next((str(use.name) for use in uses if use.name), "")
    places = {str(use.use) for use in uses}
    dyed = view.phrases.tell(history_words(strand.stages, dyes_before(view.book, strand)))
    fleeces = [fleece_name(view.phrases, view.book.fleece[each.fleece]) for each in strand.fleeces]
    is_under = any(word in str(piece.structure or "") for word in _COVERED)
    return PublicYarn(
        name=called(view.book, named or strand.lot),
        pot=capital(dyed or view.phrases.say("label.undyed")),
        fleeces=view.phrases.listed(fleeces) if fleeces else "",
        colour=strand.colour,
        share=strand.grams / whole,
        runs=" ".join(word for word in ("warp", "weft") if word in places),
        is_seen=not (is_under and places <= _UNDER),
    )


def in_sight(yarns: Sequence[PublicYarn]) -> list[PublicYarn]:
    """Those that lie where they can be seen."""
    return [yarn for yarn in yarns if yarn.is_seen]


def sights_of(yarns: Sequence[PublicYarn]) -> tuple[PublicSight, ...]:
    """What may be named, by number from 1; places are among all yarns."""
    places = [place for place, yarn in enumerate(yarns) if yarn.is_seen]
    found = sights([Yarn(yarn.colour, yarn.runs) for yarn in in_sight(yarns)])
    return tuple(
        PublicSight(tuple(places[n] for n in each.yarns), each.is_crossing) for each in found
    )
