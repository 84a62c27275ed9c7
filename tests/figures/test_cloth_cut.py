"""Where the cloth lies in a photo, held against the drawing that made the photos of the demo."""

from __future__ import annotations

from datetime import date
from functools import cache
from pathlib import Path

import numpy as np
import pytest
from PIL import Image

from provenance.figures.colour.cloth import Photo
from provenance.figures.colour.cut import Box, cloth_box
from provenance.figures.colour.photo import pixels_of
from provenance.figures.flow.gather import studio_flow
from provenance.press.pictures.photos import open_photo, pixels
from provenance.press.pictures.threads import cloth_of
from provenance.public.border import Border
from provenance.records.book import read_book
from provenance.studio import Studio

ROOT = Path(__file__).parents[2]
HANGINGS = ("2025-019", "2026-006", "2026-012", "2026-014")
FLAT = ("2025-021", "2026-003", "2026-015")  # rugs and a sampler, laid down or hung whole
FOLDED = ("2025-023", "2025-024", "2026-001", "2026-002", "2026-009", "2026-010", "2026-013")


@cache
def border() -> Border:
    book, _ = read_book(ROOT / "pieces")
    assert book is not None
    return Border(Studio(book, studio_flow(book), {}, date(2026, 11, 25)))


def found(number: str) -> Box | None:
    piece = border().piece(number)
    assert piece.measures is not None
    photo = open_photo(ROOT / "pieces", f"photos/{number}-whole.jpg")
    cloth = cloth_of(piece.yarns, "whole")
    small = Photo(pixels_of(*pixels(photo, 320)), filled=False)
    wide = float(piece.measures.width / piece.measures.height)
    return cloth_box(small, cloth.yarns, cloth.under, wide)


def truth(number: str) -> Box:
    drawn = np.array(Image.open(ROOT / "tests" / "demo" / "truth" / f"{number}-whole.png"))
    there = drawn[..., 0] > 0  # red: the yarn there is most of, 0 where there is no cloth
    high, wide = there.shape
    edges = [
        np.flatnonzero(there.sum(axis=axis) > 0.3 * there.sum(axis=axis).max()) for axis in (0, 1)
    ]
    (left, right), (top, lower) = ((each[0], each[-1] + 1) for each in edges)
    return float(left / wide), float(top / high), float(right / wide), float(lower / high)


@pytest.mark.parametrize("number", HANGINGS)
def test_a_hanging_is_cut_at_its_edge(number):
    box = found(number)
    assert box is not None
    assert max(abs(a - b) for a, b in zip(box, truth(number), strict=True)) < 0.006


@pytest.mark.parametrize("number", FLAT)
def test_cloth_that_lies_flat_is_cut_near_its_edge(number):
    """Within 3.5 % of the photo: fringes and a rug's ends are cloth or not, as one sees it."""
    box = found(number)
    assert box is not None
    assert max(abs(a - b) for a, b in zip(box, truth(number), strict=True)) < 0.035


@pytest.mark.parametrize("number", FOLDED)
def test_cloth_that_is_folded_or_hangs_double_is_not_cut(number):
    assert found(number) is None


def test_no_cloth_is_found_on_a_bare_wall():
    plain = np.full((200, 160, 3), 220, np.uint8)
    assert cloth_box(Photo(plain, filled=False), [], [], 0.8) is None
