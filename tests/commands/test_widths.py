"""Sentences fit a terminal of any width; in a pipe each stays on its line."""

from __future__ import annotations

from pathlib import Path

import pytest
from click.testing import CliRunner

from provenance.commands import fitting
from provenance.commands.check import _parts
from provenance.commands.fitting import fits, fitted
from provenance.commands.main import main
from provenance.language.phrases import british
from provenance.problems import Place, Problem

DEMO = Path(__file__).parents[2] / "pieces"


@pytest.fixture
def terminal(monkeypatch) -> None:
    """Somebody reads along."""
    monkeypatch.setattr(fitting, "is_terminal", lambda **_: True)


def said(*words: str, columns: str) -> list[str]:
    asked = ["--studio", str(DEMO), *words]
    env = {"COLUMNS": columns, "SOURCE_DATE_EPOCH": "1795608000"}
    return CliRunner().invoke(main, asked, env=env).stdout.splitlines()


@pytest.mark.usefixtures("terminal")
@pytest.mark.parametrize("columns", [40, 60])
@pytest.mark.parametrize("words", [(), ("cost", "2026-014"), ("cost",), ("stock",)])
def test_nothing_is_wider_than_the_terminal(words: tuple[str, ...], columns: int) -> None:
    lines = said(*words, columns=str(columns))
    assert len(lines) > 5
    wide = [line for line in lines if len(line) > columns]
    assert [line for line in wide if "->  provenance" not in line] == []  # copied whole


@pytest.mark.usefixtures("terminal")
def test_a_narrow_list_puts_each_figure_under_its_name() -> None:
    lines = [" ".join(line.split()) for line in said("cost", columns="40")]
    first = lines.index("2026-014")
    assert lines[first + 1 : first + 6] == [
        "title Saltmarsh", "hours 119.7", "cost 2824.56", "price 1450.00", "an hour 3.10",
    ]  # fmt: skip


@pytest.mark.usefixtures("terminal")
def test_words_go_on_below_their_beginning_and_no_path_is_broken(monkeypatch) -> None:
    monkeypatch.setenv("COLUMNS", "24")
    text = "  written: pieces/papers/private/cost-2026-014.pdf, and kept there"
    assert fitted(text) == (
        "  written:\n    pieces/papers/private/cost-2026-014.pdf,\n    and kept there"
    )
    assert fits("short") and not fits(text)


def test_a_pipe_gets_each_sentence_on_one_line(monkeypatch) -> None:
    monkeypatch.setenv("COLUMNS", "24")  # some libraries set it for all that run below them
    text = "a long sentence " * 20
    assert fitted(text) == text and fits(text)
    assert fitted(text, err=True) == text  # errors are looked for in logs


@pytest.mark.usefixtures("terminal")
def test_a_place_with_spaces_is_neither_broken_nor_told_twice(monkeypatch) -> None:
    monkeypatch.setenv("COLUMNS", "40")
    place = Place("wool from the hill/2026 014 tall hanging.yaml", 12, 3)
    bold, line = _parts(Problem(place, "a piece weighs more than its yarns"), british())
    assert str(place) in bold
    assert " ".join(line.split()) == ": a piece weighs more than its yarns"
    assert "hill" not in line
