"""The card of a piece: the few public facts that lists, counts and pictures ask of every piece.

In: public facts. Out: `Card`, by allow-list, small enough to hold those of a large studio at once.
"""

from dataclasses import dataclass, fields
from datetime import date
from fractions import Fraction

from provenance.public.edge import Stripe
from provenance.public.glass import PublicYarn
from provenance.public.piece import PhotoFacts, PublicPiece
from provenance.public.shapes import Size
from provenance.records.pieces import FOR_SALE


@dataclass(frozen=True, slots=True)
class Card:
    """Number, title, kind, standing, whereabouts, colours, photos, size; as `PublicPiece` has
    them."""

    number: str
    title: str
    kind: str
    year: str
    dated: str
    by: date | None
    day: date | None
    state: str
    is_draft: bool
    outlets: tuple[str, ...]
    dye_names: tuple[str, ...]
    families: tuple[str, ...]
    from_fleeces: tuple[tuple[str, Fraction], ...]
    photos: tuple[PhotoFacts, ...]
    measures: Size | None
    hook: Fraction | None
    yarns: tuple[PublicYarn, ...]
    stripes: tuple[Stripe, ...]

    @property
    def for_sale(self) -> bool:
        """Whether it has a price for buyers."""
        return self.state in FOR_SALE


def card_of(facts: PublicPiece) -> Card:
    """The card of a piece."""
    return Card(**{each.name: getattr(facts, each.name) for each in fields(Card)})
