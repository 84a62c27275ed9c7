"""The studio seen in one language: what public facts are worded from.

In: the worked-out studio and a language. Out: a view that only this room uses; what leaves it are
frozen facts.
"""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

from provenance.figures.flow.flow import Flow
from provenance.language.phrases import Phrases, phrases_for
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


def templates_of(studio: Studio) -> Path | None:
    """The studio's own templates/ folder beside the records, which comes before ours."""
    own = studio.book.folder / "templates"
    return own if own.is_dir() else None


def phrases_of(studio: Studio, language: str = "") -> Phrases:
    """The phrases of a studio, in its own language or another; its own phrases on top."""
    own = {str(name): str(text) for name, text in studio.file.phrases.items()}
    spoken = language or studio.file.language
    return phrases_for(spoken, studio.file.currency, {} if language else own, templates_of(studio))


def view_of(studio: Studio, language: str = "") -> View:
    """The studio in its own language, or in that of an outlet."""
    return View(studio, phrases_of(studio, language))
