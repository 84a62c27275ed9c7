"""The studio seen in one language: what public facts are worded from.

In: the worked-out studio and a language. Out: a view that only this room uses; what leaves it are
frozen facts.
"""

from dataclasses import dataclass

from provenance.figures.flow.flow import Flow
from provenance.language.phrases import Phrases, phrases_for, phrases_of, templates_of
from provenance.records.book import Book
from provenance.studio import Studio


@dataclass(frozen=True, eq=False)
class View:
    """The studio and the phrases of a language."""

    studio: Studio
    phrases: Phrases

    @property
    def book(self) -> Book:
        """The records."""
        return self.studio.book

    @property
    def flow(self) -> Flow:
        """The material flow."""
        return self.studio.flow


def view_of(studio: Studio, language: str = "") -> View:
    """The studio in its own language with its own phrases, or in that of an outlet."""
    book = studio.book
    if not language:
        return View(studio, phrases_of(book))
    return View(studio, phrases_for(language, book.studio.currency, {}, templates_of(book)))
