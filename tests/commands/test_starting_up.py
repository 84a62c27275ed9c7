"""The start is light: `--help` and `check` load what they need, and readings are kept with care."""

from __future__ import annotations

import json
import os
import shutil
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path

import pytest

from provenance.build.readings import Readings, _packed, _unpacked
from provenance.records.book import read_book

DEMO = Path(__file__).parents[2] / "pieces"
HEAVY = {
    "PIL", "babel", "fontTools", "jinja2", "markdown", "nh3", "numpy", "openpyxl", "pi_heif",
    "pikepdf", "pypdfium2", "qrcode", "rich", "weasyprint", "zxingcpp",
}  # fmt: skip
OF_RECORDS = {"pydantic", "yaml", "filelock", "platformdirs", "concurrent", "multiprocessing"}
LOADED = """
import atexit, json, sys
atexit.register(lambda: print(json.dumps(sorted(sys.modules)), file=sys.stderr))
from provenance.commands.main import run
sys.argv = ["provenance", *sys.argv[1:]]
run()
"""


def loaded(cache: Path, *words: str) -> set[str]:
    """The libraries that a command loads, each in a process of its own."""
    done = subprocess.run(
        [sys.executable, "-c", LOADED, *words],
        capture_output=True, text=True, env={**os.environ, "XDG_CACHE_HOME": str(cache)},
    )  # fmt: skip
    return {name.split(".")[0] for name in json.loads(done.stderr.splitlines()[-1])}


def test_help_loads_neither_records_nor_papers(tmp_path: Path) -> None:
    found = loaded(tmp_path, "--help")
    assert "click" in found
    assert found & {*HEAVY, *OF_RECORDS} == set()


def test_check_loads_no_papers(tmp_path: Path) -> None:
    folder = tmp_path / "pieces"
    shutil.copytree(DEMO, folder, ignore=shutil.ignore_patterns("papers", "photos"))
    found = loaded(tmp_path, "--studio", str(folder), "check")
    assert "pydantic" in found
    assert found & (HEAVY - {"babel"}) == set()


@pytest.fixture
def studio(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path / "cache"))
    folder = tmp_path / "pieces"
    shutil.copytree(DEMO, folder, ignore=shutil.ignore_patterns("papers", "photos"))
    return folder


def known(folder: Path) -> int:
    """How many records were known before they were read."""
    readings = Readings(folder)
    book, _ = read_book(folder, readings.records)
    readings.keep()
    assert book == read_book(folder)[0]
    return len(readings.records.before)


def test_the_next_reading_knows_the_records(studio: Path) -> None:
    assert known(studio) == 0
    assert known(studio) > 30


@pytest.mark.parametrize(
    "harm",
    [
        lambda raw: b"",
        lambda raw: raw[:20],
        lambda raw: raw[:-1],
        lambda raw: raw[:500] + b"x" + raw[501:],
        lambda raw: b"garbage",
        lambda raw: raw + b" ",
    ],
)
def test_a_damaged_file_is_as_good_as_none(studio: Path, harm: Callable[[bytes], bytes]) -> None:
    known(studio)
    (kept,) = (studio.parent / "cache" / "provenance" / "readings").iterdir()
    kept.write_bytes(harm(kept.read_bytes()))
    assert known(studio) == 0


def test_another_program_reads_anew(studio: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    known(studio)
    monkeypatch.setattr("provenance.build.readings.program", lambda *_: "another")
    readings = Readings(studio)
    read_book(studio, readings.records)
    assert not readings.records.before.keys() & readings.records.now.keys()


def test_a_place_that_cannot_be_written_is_no_fault(
    studio: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    (studio.parent / "file").touch()
    monkeypatch.setenv("XDG_CACHE_HOME", str(studio.parent / "file"))
    assert (known(studio), known(studio)) == (0, 0)


def test_packed_and_unpacked() -> None:
    parts = {"a": b"one\ntwo", "b": b"", "c": b"\0\n"}
    assert _unpacked(_packed(parts)) == parts
