"""What public pictures are made from, and which of them stands for a photo.

In: the public studio, the card of a piece, one of its photos. Out: the picture that is wanted:
what it says of itself, the cloth that is to be found in it; and the digests of those that are
published.
"""

from collections.abc import Iterator

from provenance.build.pictures import Wanted, pictures_of
from provenance.press.pictures.credit import credit_of
from provenance.press.pictures.threads import cloth_of
from provenance.public.border import Border
from provenance.public.card import Card, card_of
from provenance.public.piece import PhotoFacts
from provenance.public.studio import PublicStudio
from provenance.site.shown import Rendered, picture_path

Found = dict[str, list[Rendered]]  # by the file of the photo
Pictures = dict[str, Found]  # by the number of the piece


def shown_of(found: Found) -> Iterator[Rendered]:
    """The picture that stands for each photo: its largest JPEG."""
    for files in found.values():
        jpegs = [each for each in files if each.format == "jpeg"]
        if jpegs:
            yield max(jpegs, key=lambda each: each.width)


def digests_of(border: Border, number: str) -> Iterator[tuple[str, str]]:
    """Where the picture that stands for each photo of a piece lies on the site, and its SHA-256:
    from the cache, else made. Slip where a photo can't be read."""
    card = card_of(border.piece(number))
    wanted = [wanted_of(border.house, card, photo) for photo in card.photos]
    made = {each.wanted: each for each in pictures_of(wanted).results(lambda *_: None)}
    for photo, each in zip(card.photos, (made[one] for one in wanted), strict=True):
        if each.slip:
            raise each.slip
        largest = max((r for r in each.renditions if r.format == "jpeg"), key=lambda r: r.width)
        yield picture_path(card, photo, largest.width, "jpeg", largest.digest), largest.digest


def wanted_of(house: PublicStudio, piece: Card, photo: PhotoFacts) -> Wanted:
    """The picture of one photo."""
    credit, cloth = credit_of(house, piece, photo), cloth_of(piece.yarns, photo.view)
    return Wanted(house.folder, photo.path, credit, cloth)
