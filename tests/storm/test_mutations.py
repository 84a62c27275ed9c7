"""Some of the spoilt records; `make storm` reads ten thousand."""

from __future__ import annotations

from dataclasses import replace

import pytest
import reading
from mutations import HOW, PATHS, mutant
from reading import read_all

ROWS, EACH = 2, 8


@pytest.mark.parametrize("row", range(ROWS))
def test_spoilt_records_are_told_or_taken(tmp_path, row):
    found = read_all(range(row * EACH, (row + 1) * EACH), tmp_path / "pieces")
    assert found.faults == []
    assert (found.tried, 0 < found.accepted < EACH) == (EACH, True)


@pytest.mark.parametrize("before, after", [
    (("commissions/2026-C02.yaml", "200 x 110 cm"), "200 x 0.02 cm"),
    (("studio/studio.yaml", "hours a day: 10"), "hours a day: 0"),
    (("studio/studio.yaml", "hours a day: 10"), "hours a day: 30"),
    (("studio/studio.yaml", "lux: 150"), "lux: 0"),
])  # fmt: skip
def test_what_ten_thousand_mutants_once_brought_down(tmp_path, monkeypatch, before, after):
    file, text = before
    content = PATHS[file].replace(text.encode(), after.encode())
    assert content != PATHS[file]
    spoilt = replace(mutant(0), file=file, content=content)
    monkeypatch.setattr(reading, "mutant", lambda _: spoilt)
    assert read_all(range(1), tmp_path / "pieces").faults == []


def test_mutants_reach_every_record_in_every_way_and_are_the_same_again():
    every = [mutant(number) for number in range(1_000)]
    assert every[::50] == [mutant(number) for number in range(0, 1_000, 50)]
    assert {each.file for each in every} == set(PATHS)
    ways = {how for each in every for how in each.how.split(", ")}
    assert ways == {how.__name__.strip("_") for how in HOW}
    spoilt = sum(each.content != PATHS[each.file] for each in every)
    assert spoilt > 850


@pytest.mark.parametrize("number", [2049, 2370])
def test_signs_that_turn_a_line_round_are_seen_where_they_reach_the_terminal(
    tmp_path, monkeypatch, number
):
    """The suite itself: with the record taken and the door open, the trial hears what goes
    through."""
    assert read_all(range(number, number + 1), tmp_path / "pieces").faults == []
    monkeypatch.setattr("provenance.records.faults.first_unseen", lambda _: None)
    assert read_all(range(number, number + 1), tmp_path / "pieces").faults == []
    monkeypatch.setattr("provenance.commands.voice.visible", lambda text: text)
    (fault,) = read_all(range(number, number + 1), tmp_path / "pieces").faults
    assert "U+202E reaches the terminal: " in fault
