"""Places that may not be written, or are not there: told in words, nothing half-done."""

from __future__ import annotations

import pytest
from places import FOLDERS, MISSING, missing_faults, read_only_faults

SELL = "sell 2026-002 330 --yes"
SOME = (".", "pieces/studio", ".cache")


@pytest.mark.parametrize("place", SOME)
def test_a_folder_that_may_not_be_written(trial_of, place):
    assert read_only_faults(trial_of(SELL), place) == []


@pytest.mark.parametrize("surroundings", [MISSING[4]], ids=str)
def test_surroundings_that_are_missing(trial_of, surroundings):
    assert missing_faults(trial_of(SELL), surroundings) == []


def test_these_are_some_of_all_that_are_tried():
    assert set(SOME) < set(FOLDERS)


def test_runs_are_bound_by_modes_even_for_root(homes, trial_of):
    """The suite itself: where nothing is refused, the tests above could not fail."""
    trial = trial_of(SELL)
    home = homes.copy(trial.home)
    path = home / "pieces" / "studio"
    path.chmod(0o555)
    ended = homes.runner.run(home, *trial.command.words, is_bound=True)
    path.chmod(0o755)
    assert (ended.code, "may not be written" in ended.said) == (1, True), ended.said
