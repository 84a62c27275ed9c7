"""Sites made in memory, without opening a photo: every photo has two renditions that are said to
lie where the builder would put them."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import replace
from datetime import date
from pathlib import Path
from typing import Any

import pytest

from provenance.figures.flow.gather import studio_flow
from provenance.problems import Problems
from provenance.public.border import Border
from provenance.public.shelves import public_dye, public_fleece
from provenance.records.book import read_book
from provenance.records.pages import read_pages
from provenance.site.pages import site_files
from provenance.site.shown import Rendered, picture_path, share_path, shown_piece
from provenance.site.whole import Site
from provenance.studio import Studio
from tests.in_chromium import chromium

DAY = date(2026, 11, 20)
DIGEST = "5a" * 32  # of every picture, as their names say
DEMO = Path(__file__).parents[2] / "pieces"
SMALL = {
    "studio/studio.yaml": """\
studio: Brackenfold
maker: Isla Wren
currency: GBP
site: https://brackenfold.example
pay: {any: 18.00}
""",
    "studio/fleece.yaml": """\
gotland-2025: {breed: Gotland, from: Low Eskrigg Farm, public: yes,
  address: Far Lane, weight: 3 kg, cost: 66.00}
""",
    "studio/yarns.yaml": """\
gotland-2ply:
  fleece: {gotland-2025: 2.0 kg}
  weight: 960 g
  hours: {spinning: 26}
linen-warp: {fibre: linen, from: a mill in Co. Down, weight: 1 kg, cost: 41.00}
""",
    "studio/dyestuffs.yaml": "weld: {species: Reseda luteola, weight: 900 g, cost: 0}\n",
    "studio/mordants.yaml": "alum: {weight: 1 kg, cost: 9.50}\n",
    "dyebook/marsh.yaml": """\
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
  - {use: warp, lot: linen-warp, weight: 180 g}
hours: {weaving: 61}
photos:
  - {file: front.jpg, alt: "Tall hanging in olive bands"}
""",
}


def parts_of(folder: Path) -> Site:
    book, problems = read_book(folder)
    assert book is not None
    assert [each for each in problems if not each.is_remark] == []
    border = Border(Studio(book, studio_flow(book), {}, DAY))
    shown, withdrawn = [], []
    printed = {str(line.number) for line in book.printed if line.address}
    for number, piece in book.pieces.items():
        facts = border.piece(number)
        if facts.is_draft and number not in printed:
            continue
        if piece.state == "withdrawn":
            withdrawn.append(facts)
            continue
        files = {
            photo.file: [
                Rendered(picture_path(facts, photo, 480, kind, DIGEST), 480, 600, kind)
                for kind in ("avif", "jpeg")
            ]
            for photo in facts.photos
        }
        share = share_path(number, DIGEST) if files else ""
        shown.append(replace(shown_piece(facts, files), share=share))
    words = read_pages(folder, Problems())
    outlets = tuple(map(border.outlet, book.outlets))
    dyes = tuple(public_dye(border, lot) for lot in book.dyestuffs.values())
    fleeces = tuple(public_fleece(border, lot) for lot in book.fleece.values())
    own = (border.house, dyes, fleeces, outlets)
    words = {name: each for name, each in words.items() if name in book.own_pages}
    return Site(*own, tuple(shown), tuple(withdrawn), words, {}, shows=border.shows)


@pytest.fixture(scope="package")
def browser() -> Iterator[Any]:
    """Chromium, open for all modules of this folder, which open contexts of their own; not for
    longer: where it is open, nothing else of the same thread may run a loop of asyncio."""
    with chromium() as opened:
        yield opened


@pytest.fixture(scope="session")
def demo_parts() -> Site:
    """The demo studio."""
    return parts_of(DEMO)


@pytest.fixture(scope="session")
def demo_files(demo_parts: Site) -> Mapping[str, bytes]:
    """The demo's whole site but its pictures."""
    return site_files(demo_parts)


@pytest.fixture
def small_studio() -> Mapping[str, str]:
    """The records of a studio with one piece, by file name."""
    return SMALL


@pytest.fixture
def parts_with(tmp_path: Path) -> Callable[[Mapping[str, str]], Site]:
    """The small studio with some of its records changed or added, before its site is made."""

    def read(changes: Mapping[str, str]) -> Site:
        for name, text in {**SMALL, **changes}.items():
            path = tmp_path / "pieces" / name
            path.parent.mkdir(parents=True, exist_ok=True)
            path.write_text(text, encoding="utf-8")
        return parts_of(tmp_path / "pieces")

    return read


@pytest.fixture
def site_with(
    parts_with: Callable[[Mapping[str, str]], Site],
) -> Callable[[Mapping[str, str]], Mapping[str, bytes]]:
    """The site of the small studio with some of its records changed or added."""
    return lambda changes: site_files(parts_with(changes))
