"""What the home page shows, and who this is in a sentence.

In: public facts of the studio, the pieces of the lists, newest first, the maker's pages. Out: the
pieces in their three parts, and words.
"""

from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from provenance.language.phrases import Phrases
from provenance.press.markup import to_plain
from provenance.public.shapes import PublicWords
from provenance.public.studio import PublicStudio
from provenance.site.shown import ShownPiece

IN_A_ROW = 4  # on a wide page; two rows of two on a phone
MOST_KINDS = 4


@dataclass(frozen=True, slots=True)
class Front:
    """The newest piece, some that can be bought, some of the rest; how many there are in all."""

    newest: ShownPiece | None
    for_sale: tuple[ShownPiece, ...]
    others: tuple[ShownPiece, ...]
    works: int
    works_for_sale: int

    @property
    def shown(self) -> tuple[ShownPiece, ...]:
        """All of them."""
        return (*([self.newest] if self.newest else ()), *self.for_sale, *self.others)


def front(listed: Sequence[ShownPiece]) -> Front:
    """The front of a studio: the newest piece that has a picture opens it, if any has one."""
    newest = next((piece for piece in listed if piece.lead), next(iter(listed), None))
    rest = [piece for piece in listed if piece is not newest]
    for_sale = [piece for piece in rest if piece.is_for_sale][:IN_A_ROW]
    others = [piece for piece in rest if not piece.is_for_sale][:IN_A_ROW]
    can_be_bought = sum(piece.is_for_sale for piece in listed)
    return Front(newest, tuple(for_sale), tuple(others), len(listed), can_be_bought)


def who(studio: PublicStudio, listed: Sequence[ShownPiece]) -> str:
    """Who this is, in a sentence: the maker's own words, else what the records say of it."""
    if studio.about or not studio.maker:
        return studio.about
    made = studio.phrases.listed(kinds_made(studio.phrases, listed))
    if not made:
        return ", ".join(filter(None, (studio.maker, studio.place)))
    told = "page.who_in" if studio.place else "page.who"
    return studio.phrases.say(told, maker=studio.maker, kinds=made, place=studio.place)


def kinds_made(phrases: Phrases, pieces: Sequence[ShownPiece]) -> list[str]:
    """The kinds of work there are, most made first, as inside a sentence: hangings, rugs."""
    count = Counter(piece.card.kind for piece in pieces if piece.card.kind != "other")
    kinds = count.most_common(MOST_KINDS)
    return [phrases.inside(phrases.say(f"kinds.{kind}")) for kind, _ in kinds]


def opening(studio: PublicStudio, pages: Mapping[str, PublicWords]) -> str:
    """The first paragraph of the page about the maker, where nothing else says who this is."""
    about = None if studio.about else pages.get("about")
    paragraphs = map(to_plain, about.text.split("\n\n") if about else ())
    return next(filter(None, paragraphs), "")
