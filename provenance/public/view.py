"""The studio seen in one language: what public facts are worded from.

In: the worked-out studio and a language. Out: a view that only this room uses; what leaves it are
frozen facts.
"""

from provenance.language.phrases import phrases_of
from provenance.studio import Studio


class View:
    """The studio with its own phrases, or with those of an outlet's language."""

    def __init__(self, studio: Studio, language: str = "") -> None:
        """Raises Slip for the first changed phrase that can't be used."""
        self.studio, self.book, self.flow = studio, studio.book, studio.flow
        self.phrases = phrases_of(studio.book, language)
