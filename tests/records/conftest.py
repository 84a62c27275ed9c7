"""A small studio on the disk, for tests that need one; a test changes what it is about."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from datetime import date
from pathlib import Path

import pytest

from provenance.figures.flow.gather import studio_flow
from provenance.figures.review import review_figures
from provenance.language.phrases import british
from provenance.language.telling import told
from provenance.records.book import read_book
from provenance.records.checks import review
from provenance.records.checks_days import of_today

SMALL_STUDIO: Mapping[str, str] = {
    "studio/studio.yaml": """\
studio: Brackenfold
maker: Isla Wren
currency: GBP
contact: {email: hello@brackenfold.example}
public contact: [email]
pay: {any: 18.00}
""",
    "studio/fleece.yaml": """\
gotland-2025:
  fibre: wool
  weight: 3.0 kg
  cost: 66.00
""",
    "studio/yarns.yaml": """\
gotland-2ply:
  fleece: {gotland-2025: 2.0 kg}
  weight: 960 g
  hours: {spinning: 26}
linen-warp: {fibre: linen, weight: 1 kg, cost: 41.00}
""",
    "studio/dyestuffs.yaml": """\
weld: {species: Reseda luteola, weight: 900 g, cost: 0}
""",
    "studio/mordants.yaml": """\
alum: {weight: 1 kg, cost: 9.50}
""",
    "studio/sundries.yaml": """\
hanging bar: {each: 6.80}
lining: {fibre: cotton, length: 5 m, cost: 42.00}
""",
    "studio/outlets.yaml": """\
harbour-gallery: {kind: gallery, commission: 45 %}
""",
    "dyebook/marsh.yaml": """\
date: 2026-03-12
dyed:
  - {yarn: gotland-2ply, weight: 420 g, becomes: marsh-green}
steps:
  - mordants: {alum: 12 %}
  - dyes: {weld: 60 %}
""",
    "2026-014-saltmarsh.yaml": """\
number: 2026-014
title: Saltmarsh
kind: hanging
size: 124 x 86 cm
yarns:
  - {use: weft, lot: marsh-green, weight: 412 g}
  - {use: warp, lot: linen-warp, weight: 180 g, waste: 0 g}
hours: {weaving: 61}
photos:
  - {file: front.jpg, alt: "Tall hanging in olive bands"}
""",
    "photos/front.jpg": "not opened by the checks",
}


@pytest.fixture
def small_studio() -> Mapping[str, str]:
    """The files of the small studio, by name."""
    return SMALL_STUDIO


@pytest.fixture
def studio_with(tmp_path: Path) -> Callable[[Mapping[str, str | bytes | None]], Path]:
    """Write the small studio with some files changed, added, or (None) left out."""

    def write(changes: Mapping[str, str | bytes | None]) -> Path:
        folder = tmp_path / "pieces"
        for name, content in {**SMALL_STUDIO, **changes}.items():
            path = folder / name
            if content is None:
                path.unlink(missing_ok=True)
                continue
            path.parent.mkdir(parents=True, exist_ok=True)
            path.write_bytes(content.encode() if isinstance(content, str) else content)
        return folder

    return write


@pytest.fixture
def all_said() -> Callable[[Path], str]:
    """Everything `provenance check` has to say of a studio on 20 November 2026."""

    def say(folder: Path) -> str:
        book, problems = read_book(folder)
        assert book is not None
        found = {*problems, *review(book), *review_figures(book, studio_flow(book))}
        found.update(of_today(book, date(2026, 11, 20)))
        return "\n".join(told(problem, british()) for problem in sorted(found))

    return say
