"""Papers of the demo that several tests read: set once for all workers."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from datetime import date
from pathlib import Path

import pytest

from provenance.build.outlets import choose, outlet_papers
from provenance.figures.flow.gather import studio_flow
from provenance.public.border import Border
from provenance.records.book import read_book
from provenance.studio import Studio

DEMO = Path(__file__).parents[2] / "pieces"
DAY = date(2026, 11, 25)


@pytest.fixture(scope="session")
def demo_border() -> Border:
    """The demo studio, on its day."""
    book, _ = read_book(DEMO)
    assert book is not None
    return Border(Studio(book, studio_flow(book), {}, DAY))


@pytest.fixture(scope="session")
def demo_papers(
    demo_border: Border, once: Callable[[str, Callable[[Path], None]], Path]
) -> Mapping[str, Mapping[str, bytes]]:
    """All papers of each outlet that has something, by their names."""

    def make(into: Path) -> None:
        for name, outlet in demo_border.book.outlets.items():
            if not choose(demo_border.studio, outlet).pieces:
                continue
            for paper in outlet_papers(demo_border, name).papers:
                path = into / name / paper.name
                path.parent.mkdir(parents=True, exist_ok=True)
                path.write_bytes(paper.content)

    folder = once("papers of the demo", make)
    return {
        outlet.name: {
            path.relative_to(outlet).as_posix(): path.read_bytes()
            for path in sorted(outlet.rglob("*"))
            if path.is_file()
        }
        for outlet in sorted(folder.iterdir())
    }
