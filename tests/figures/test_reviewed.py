"""Which records are looked through again after an edit: those that what was edited is behind."""

from __future__ import annotations

import shutil
from collections.abc import Callable
from pathlib import Path

import pytest

from provenance.figures.reviewed import Looked, Reviewed
from provenance.problems import Problem
from provenance.records.book import read_book
from provenance.records.kept import Kept

DEMO = Path(__file__).parents[2] / "pieces"


@pytest.fixture
def looked_at(tmp_path: Path) -> Callable[[], set[str]]:
    """The files of pieces and baths that are looked at, each look finding nothing."""
    folder = tmp_path / "pieces"
    shutil.copytree(DEMO, folder, ignore=shutil.ignore_patterns("papers", "photos"))
    known = frozenset[str]()

    def look() -> set[str]:
        nonlocal known
        kept = Kept({}, "reader")
        book, _ = read_book(folder, kept)
        reviewed, looked = Reviewed(known, "program", kept.marks), set[str]()
        looks = reviewed.of(book)

        def seen(record: Looked) -> tuple[Problem, ...]:
            looked.add(record.record_place.file.removeprefix("pieces/"))
            return ()

        assert list(looks.at_each([*book.baths.values(), *book.pieces.values()], seen)) == []
        known = frozenset(reviewed.now)
        return looked

    assert len(look()) == len([*folder.glob("20*.yaml"), *folder.glob("dyebook/*.yaml")])
    assert look() == set()
    return look


def edit(folder: Path, name: str, old: str, new: str) -> None:
    path = folder / "pieces" / name
    text = path.read_text(encoding="utf-8")
    assert old in text
    path.write_text(text.replace(old, new), encoding="utf-8")


def test_a_piece_is_alone(looked_at: Callable[[], set[str]], tmp_path: Path) -> None:
    edit(tmp_path, "2026-010-fret.yaml", "price: 640", "price: 650")
    assert looked_at() == {"2026-010-fret.yaml"}


def test_a_bath_is_behind_all_that_came_out_of_it(
    looked_at: Callable[[], set[str]], tmp_path: Path
) -> None:
    edit(tmp_path, "dyebook/2026-06-vat.yaml", "hours: {dyeing: 6}", "hours: {dyeing: 7}")
    found = looked_at()
    assert {"dyebook/2026-06-vat.yaml", "2026-014-saltmarsh.yaml", "2026-010-fret.yaml"} <= found
    assert "2026-017-hoar.yaml" not in found


def test_stock_and_studio_are_behind_everything(
    looked_at: Callable[[], set[str]], tmp_path: Path
) -> None:
    edit(tmp_path, "studio/fleece.yaml", "5.6 kg", "5.7 kg")
    assert len(looked_at()) > 30


def test_what_was_found_is_found_again(tmp_path: Path) -> None:
    kept = Kept({}, "reader")
    book, _ = read_book(DEMO, kept)
    reviewed, piece = Reviewed(marks=kept.marks), book.pieces["2026-014"]
    problem = object()
    assert list(reviewed.of(book).at_each([piece], lambda _: [problem])) == [problem]
    assert reviewed.now == set()
