"""What the site shows: pieces with their pictures, dyes, fleeces, outlets, each by allow-list.

In: public facts and renditions. Out: frozen views for the templates. An address on the site
is a path from its root; templates put the way back to the root before it.
"""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction
from functools import cached_property

from provenance.digest import digest_of
from provenance.press.drawings.lineage import draw_narrow, draw_wide
from provenance.press.drawings.selvedge import gradient
from provenance.press.file_names import named_by_digest
from provenance.public.card import Card, card_of
from provenance.public.edge import stripes_of
from provenance.public.piece import PhotoFacts, PublicPiece

IN_AN_EDGE = 24
WIDE_EM = 74.0
NARROW_EM = 23.0
_ENDINGS = {"jpeg": "jpg", "yarns": "js"}  # a page opened from disk may read a script alone


@dataclass(frozen=True, slots=True)
class Rendered:
    """One public picture file: its path on the site, size and format."""

    path: str
    width: int
    height: int
    format: str


@dataclass(frozen=True, slots=True)
class Picture:
    """One photo in all its sizes."""

    alt: str
    view: str
    files: tuple[Rendered, ...]
    credit: str = ""
    across: Fraction | None = None  # cm of cloth, where that was measured

    def of(self, kind: str) -> tuple[Rendered, ...]:
        """The files of one format, smallest first."""
        return tuple(file for file in self.files if file.format == kind)

    @property
    def largest(self) -> Rendered:
        """The largest JPEG: what a reader without newer formats gets."""
        return self.of("jpeg")[-1]

    @property
    def for_sharing(self) -> Rendered:
        """The JPEG that the picture for passing on is made from: hardly enlarged, no larger."""
        fit = [file for file in self.of("jpeg") if file.width >= 580 or file.height >= 580]
        return fit[0] if fit else self.largest

    @property
    def threads(self) -> Rendered | None:
        """The file that says which yarn lies where in it."""
        return next(iter(self.of("yarns")), None)


@dataclass(frozen=True, eq=False)
class ShownPiece:
    """A piece on the site: its card at hand, the rest of its facts when a page asks for them.

    `key` is the same as long as all that its facts come from is the same.
    """

    card: Card
    pictures: tuple[Picture, ...]
    load: Callable[[], PublicPiece]
    key: str
    share: str = ""  # where the picture lies that its page is passed on with

    @property
    def facts(self) -> PublicPiece:
        """Everything that may be said of it."""
        return self.load()

    @cached_property
    def stamp(self) -> str:
        """What all that is shown of it comes from: its facts and its pictures."""
        return digest_of(self.key, self.pictures, self.share)

    @property
    def is_listed(self) -> bool:
        """Drafts whose address is out have a page and no place in lists."""
        return not self.card.is_draft

    @property
    def path(self) -> str:
        """The permanent address."""
        return f"{self.card.number}/"

    @property
    def lead(self) -> Picture | None:
        """The picture that stands for the piece: the whole view, else the first."""
        whole = [picture for picture in self.pictures if picture.view == "whole"]
        return (whole or list(self.pictures) or [None])[0]  # type: ignore[list-item]

    @property
    def is_for_sale(self) -> bool:
        """Whether it can be bought now."""
        return self.card.state == "available"

    @property
    def edge_across(self) -> str:
        """The selvedge as CSS, left to right."""
        return gradient(self.card.stripes, "to right")

    def shades_of(self, dye: str) -> str:
        """What one dye gave in this piece, as CSS, left to right."""
        return gradient(dict(self.facts.shades).get(dye, ()), "to right")

    @property
    def lineage_wide(self) -> str:
        """The lineage for wide screens."""
        return draw_wide(self.facts.tree, WIDE_EM)

    @property
    def lineage_narrow(self) -> str:
        """The lineage for phones."""
        return draw_narrow(self.facts.tree, NARROW_EM)


def shown_piece(facts: PublicPiece, renditions: Mapping[str, Sequence[Rendered]]) -> ShownPiece:
    """A piece whose facts are worked out already."""
    card = card_of(facts)
    return ShownPiece(card, pictures_of(card, renditions), lambda: facts, digest_of(facts))


def pictures_of(card: Card, renditions: Mapping[str, Sequence[Rendered]]) -> tuple[Picture, ...]:
    """Those of a piece's photos that could be made into pictures."""
    return tuple(
        Picture(photo.alt, photo.view, tuple(renditions[photo.file]), photo.credit, photo.across)
        for photo in card.photos
        if renditions.get(photo.file)
    )


def picture_path(card: Card, photo: PhotoFacts, width: int, kind: str, digest: str) -> str:
    """Where a public picture with this SHA-256 lies; the maker's own file name is never told."""
    position = card.photos.index(photo) + 1
    ending = _ENDINGS.get(kind, kind)
    return named_by_digest(f"pictures/{card.number}-{position}-{width}.{ending}", digest)


def share_path(number: str, digest: str) -> str:
    """Where the picture with this SHA-256 lies that the page of a piece is passed on with."""
    return named_by_digest(f"pictures/{number}-share.jpg", digest)


def edge_style(pieces: Sequence[ShownPiece]) -> str:
    """The page's edge as CSS: the selvedge of each of the newest pieces in turn, in equal parts.

    More than a few dozen would be too fine to see.
    """
    shown = pieces[:IN_AN_EDGE]
    stripes = stripes_of((s.colour, s.share) for piece in shown for s in piece.card.stripes)
    return f"--down:{gradient(stripes, 'to bottom')};--across:{gradient(stripes, 'to right')}"


def age(piece: ShownPiece) -> tuple[str, str]:
    """What pieces are put in order by: the day they were finished, then their number."""
    return piece.card.dated, piece.card.number
