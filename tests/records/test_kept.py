"""Reading with what was kept gives the very book, problems and places of a fresh reading."""

from __future__ import annotations

import os
import pickle
import random
import shutil
import threading
from collections.abc import Callable, Mapping
from dataclasses import fields, is_dataclass
from datetime import date
from fractions import Fraction
from pathlib import Path
from typing import Any

import pytest

import provenance.figures.reviewed as reviewed_module
from provenance.figures.flow.gather import studio_flow
from provenance.figures.review import review_figures
from provenance.figures.reviewed import Reviewed
from provenance.problems import Place
from provenance.records import read_files
from provenance.records.book import LOT_FILES, read_book
from provenance.records.kept import Kept
from provenance.records.numbers import Quantity
from provenance.records.reading import Record
from provenance.records.text import Written

DEMO = Path(__file__).parents[2] / "pieces"
PIECE, OTHER = "2026-014-saltmarsh.yaml", "2026-010-fret.yaml"
PLAIN = frozenset({str, int, bool, Fraction, date, type(None)})  # without parts or a place
Edit = Callable[[Path, random.Random], object]


def deep(value: Any) -> Any:
    """A value with its type, all that is in it, and every place."""
    if type(value) in PLAIN:  # most of them: not asked what else they could be
        return type(value).__name__, value
    kind, place = type(value).__name__, str(getattr(value, "place", ""))
    if isinstance(value, Written):
        return kind, str(value), place, value.quoted, value.block
    if isinstance(value, Quantity):
        return kind, value.numerator, value.denominator, place, value.written
    if isinstance(value, Record):
        inside = {name: getattr(value, name) for name in type(value).model_fields}
        return kind, deep(inside), sorted(value.model_fields_set)
    if isinstance(value, Mapping):
        return kind, [(deep(key), deep(each)) for key, each in value.items()], place
    if isinstance(value, Place):
        return str(value)
    if is_dataclass(value):
        return kind, [deep(getattr(value, each.name)) for each in fields(value)]
    if isinstance(value, (tuple, list)):
        return kind, [deep(each) for each in value]
    return kind, sorted(value) if isinstance(value, frozenset) else value


@pytest.fixture
def studio(tmp_path: Path) -> Path:
    """The demo's records without their photos, so that it is small."""
    folder = tmp_path / "pieces"
    shutil.copytree(DEMO, folder, ignore=shutil.ignore_patterns("papers", "photos"))
    return folder


def reading(folder: Path, before: Mapping[str, bytes] | None = None) -> tuple[Any, ...]:
    """The book, what is wrong, and what is kept."""
    kept = None if before is None else Kept(before, "reader")
    book, problems = read_book(folder, kept)
    return book, problems, kept


def some_file(folder: Path, chance: random.Random) -> Path:
    return chance.choice(sorted(folder.rglob("*.yaml")))


def takes_a_line(folder: Path, chance: random.Random) -> None:
    path = some_file(folder, chance)
    lines = path.read_text(encoding="utf-8").splitlines(keepends=True)
    lines.pop(chance.randrange(len(lines)))
    path.write_text("".join(lines), encoding="utf-8")


def changes_a_number(folder: Path, chance: random.Random) -> None:
    path = some_file(folder, chance)
    text = path.read_text(encoding="utf-8")
    digits = [turn for turn, sign in enumerate(text) if sign.isdigit()]
    turn = chance.choice(digits or [0])
    path.write_text(f"{text[:turn]}{chance.randrange(10)}{text[turn + 1 :]}", encoding="utf-8")


def puts_in_a_sign(folder: Path, chance: random.Random) -> None:
    path = some_file(folder, chance)
    text = path.read_text(encoding="utf-8")
    turn = chance.randrange(len(text))
    path.write_text(text[:turn] + chance.choice("\n{:#é ,x") + text[turn:], encoding="utf-8")


def swaps_two(folder: Path, chance: random.Random) -> None:
    one, other = some_file(folder, chance), some_file(folder, chance)
    first, second = one.read_bytes(), other.read_bytes()
    one.write_bytes(second)
    other.write_bytes(first)


def renames(folder: Path, chance: random.Random) -> None:
    path = some_file(folder, chance)
    path.rename(path.with_name(f"x{path.name}"))


def copies(folder: Path, chance: random.Random) -> None:
    path = some_file(folder, chance)
    shutil.copy(path, path.with_name(f"{path.stem}-again.yaml"))


def writes_commas(folder: Path, _chance: random.Random) -> None:
    with (folder / "studio" / "studio.yaml").open("a", encoding="utf-8") as file:
        file.write("decimal comma: yes\n")


EDITS: tuple[Edit, ...] = (
    takes_a_line, changes_a_number, changes_a_number, puts_in_a_sign, swaps_two, renames, copies,
    writes_commas,
)  # fmt: skip


@pytest.mark.parametrize("seed", range(4))
def test_the_same_as_afresh_whatever_was_edited(
    studio: Path, seed: int, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Some seconds: the studio is read and reviewed thirty times, half of them in two processes."""
    if seed % 2:
        monkeypatch.setattr(read_files, "is_much", lambda _size, new, _files: new > 1)
        monkeypatch.setattr(reviewed_module, "is_much", lambda new, _looks: new > 1)
        monkeypatch.setattr(reviewed_module, "MANY", 1)
        monkeypatch.setattr(threading, "active_count", lambda: 1)  # those of pytest hold nothing
    chance, before, reviewed = random.Random(seed), {}, frozenset[str]()
    shutil.copytree(studio, studio.parent / "untouched" / "pieces")
    for turn in range(8):
        if turn % 4 == 0 and turn:  # a whole studio again: what was kept of it is two edits old
            shutil.rmtree(studio)
            shutil.copytree(studio.parent / "untouched" / "pieces", studio)
        book, problems, _ = reading(studio)
        same, told, kept = reading(studio, before)
        assert deep(same) == deep(book)
        assert told == problems
        looks = Reviewed(reviewed, "program", kept.marks)
        found = review_figures(book, studio_flow(book))
        assert review_figures(same, studio_flow(same), looks) == found
        before, reviewed = {**before, **kept.now}, reviewed | looks.now
        chance.choice(EDITS)(studio, chance)
    assert len(before) > 30
    assert len(reviewed) > 20


def test_what_did_not_change_is_not_read_again(
    studio: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    _, _, kept = reading(studio, {})
    path = studio / PIECE
    path.write_text(path.read_text(encoding="utf-8").replace("796 g", "797 g"), encoding="utf-8")
    read: list[str] = []
    from provenance.records import folder

    real = folder.read_text
    monkeypatch.setattr(folder, "read_text", lambda *a: (read.append(a[1]), real(*a))[1])
    book, _, again = reading(studio, kept.now)
    pieces = [name for name in read if "/studio/" not in name]
    assert pieces == [f"pieces/{PIECE}"]
    assert book.pieces["2026-014"].weight == 797
    assert len(again.now) == len(kept.now)


def test_the_time_of_writing_means_nothing(studio: Path) -> None:
    _, _, kept = reading(studio, {})
    path, state = studio / PIECE, (studio / PIECE).stat()
    path.write_text(path.read_text(encoding="utf-8").replace("796 g", "795 g"), encoding="utf-8")
    os.utime(path, ns=(state.st_atime_ns, state.st_mtime_ns))
    assert reading(studio, kept.now)[0].pieces["2026-014"].weight == 795


@pytest.mark.parametrize(
    "harm",
    [lambda raw: b"", lambda raw: raw[:-9], lambda raw: raw[9:], lambda raw: b"garbage" * 9,
     lambda raw: bytes([raw[0]]) + bytes(reversed(raw[1:]))],
)  # fmt: skip
def test_damaged_bytes_are_read_again(studio: Path, harm: Callable[[bytes], bytes]) -> None:
    book, problems, kept = reading(studio, {})
    harmed = {key: harm(raw) for key, raw in kept.now.items()}
    same, told, again = reading(studio, harmed)
    assert (deep(same), told, again.now) == (deep(book), problems, kept.now)


def test_another_kind_of_record_under_the_key_is_read_again(studio: Path) -> None:
    book, _, kept = reading(studio, {})
    turned = dict(zip(kept.now, reversed(kept.now.values()), strict=True))
    bath_for_piece = {
        key: raw for key, raw in turned.items() if type(pickle.loads(raw)) is not type(
            pickle.loads(kept.now[key]))
    }  # fmt: skip
    assert bath_for_piece
    assert deep(reading(studio, bath_for_piece)[0]) == deep(book)


class _Runs:
    def __reduce__(self) -> tuple[Any, ...]:
        return os.mkdir, ("harmed",)


@pytest.mark.parametrize("module", ["os", "provenance.records.folder", "builtins"])
def test_what_is_kept_can_run_nothing(
    studio: Path, monkeypatch: pytest.MonkeyPatch, module: str
) -> None:
    monkeypatch.chdir(studio.parent)
    book, problems, kept = reading(studio, {})
    raw = pickle.dumps(_Runs()).replace(b"posix", module.encode())
    if module == "provenance.records.folder":  # a way round by what our own module imports
        raw = b"c" + module.encode() + b"\nos.mkdir\n(Vharmed\ntR."
    if module == "builtins":
        raw = b"cbuiltins\nexec\n(Vimport os; os.mkdir('harmed')\ntR."
    same, told, _ = reading(studio, dict.fromkeys(kept.now, raw))
    assert not Path("harmed").exists()
    assert (deep(same), told) == (deep(book), problems)


def test_what_was_wrong_is_never_kept(studio: Path) -> None:
    path = studio / PIECE
    path.write_text(
        path.read_text(encoding="utf-8").replace("title: Saltmarsh", "title: Study #3"), "utf-8"
    )
    (studio / OTHER).write_text("number: 2026-010\nweight: wrong\n", encoding="utf-8")
    _, problems, kept = reading(studio, {})
    assert {problem.place.file for problem in problems} == {f"pieces/{PIECE}", f"pieces/{OTHER}"}
    _, told, again = reading(studio, kept.now)
    assert (told, again.now) == (problems, kept.now)
    lots = [each for each in studio.glob("studio/*.yaml") if each.stem in ("studio", *LOT_FILES)]
    assert len(kept.now) == len(lots + list(studio.glob("[2dc]*.yaml")) +
                                list(studio.glob("[dc]*/*.yaml")) +
                                list(studio.glob("shows/*.yaml"))) - 2  # fmt: skip
