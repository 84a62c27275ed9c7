"""The studio seen in one language, for its markets: what public facts are worded from.

In: the worked-out studio, a language, markets. Out: a view that only this room uses; what leaves
it are frozen facts.
"""

from provenance.language.phrases import phrases_of
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
        self.phrases = phrases_of(studio.book, language)
