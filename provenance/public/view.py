"""The studio seen in one language, for its markets: what public facts are worded from.

In: the worked-out studio, a language, markets. Out: a view that only this room uses; what leaves
it are frozen facts.
"""

from dataclasses import replace

from provenance.language.phrases import Phrases, phrases_of
from provenance.language.shipped import Catalogue
from provenance.records.book import Book
from provenance.studio import Studio


def studio_markets(studio: Studio) -> tuple[str, ...]:
    """Whose fibre labels the studio prints."""
    return tuple(map(str, studio.file.labels_for))


class View:
    """The studio with its own phrases and markets, or with those of an outlet."""

    def __init__(
        self, studio: Studio, language: str = "", markets: tuple[str, ...] | None = None
    ) -> None:
        """Raises Slip for the first changed phrase that can't be used."""
        self.studio, self.book, self.flow = studio, studio.book, studio.flow
        self.markets = studio_markets(studio) if markets is None else markets
        self.phrases = _titled(studio.book, phrases_of(studio.book, language))


def _titled(book: Book, phrases: Phrases) -> Phrases:
    """Phrases in which dyestuffs and mordants go by the titles of their lots, where they have
    one."""
    dyes = {f"dye.{name}": lot.title for name, lot in book.dyestuffs.items() if lot.title}
    helps = {f"mordant.{name}": lot.title for name, lot in book.mordants.items() if lot.title}
    titles = {name: phrases.inside(str(title)) for name, title in (dyes | helps).items()}
    return replace(phrases, words=Catalogue(titles, phrases.words)) if titles else phrases
