"""Runs killed at some of their operations on files; `make storm` kills them at every one."""

from __future__ import annotations

import pytest
from kills import kills, some
from runs import Accident

WORDS = ("tags", "recover --yes")
ACCEPT = "quote 2026-C01 --accept --size 1 --yes"


@pytest.mark.parametrize("words", WORDS)
def test_a_killed_run_leaves_all_whole_and_the_next_one_ends_as_ever(trial_of, words):
    trial = trial_of(words)
    assert len(trial.operations) > 8
    (chosen,) = some(kills(trial), 1)
    assert trial.faults(chosen) == []


def test_a_certificate_that_was_noted_and_not_filed_is_filed_by_the_next_build(trial_of):
    trial = trial_of("build")
    noted = [
        turn for turn, each in enumerate(trial.operations, 1)
        if each.startswith("os.rename") and each.endswith("studio/printed.yaml")
    ]  # fmt: skip
    assert trial.faults(Accident("parent", noted[-1] + 1)) == []


def test_a_deed_killed_between_its_files_is_done_whole_and_taken_back_whole(trial_of):
    trial = trial_of(ACCEPT)
    records = [
        turn for turn, each in enumerate(trial.operations, 1)
        if each.startswith("os.rename") and "studio/" not in each
    ]  # fmt: skip
    assert len(records) == 2
    for at in records:  # the first is written beside its place; the first is there, the second not
        assert trial.faults(Accident("group", at)) == []


def test_every_kind_of_killing_kills(homes, trial_of):
    """The suite itself: an accident that does not happen would be a test that can't fail."""
    trial = trial_of("sell 2026-002 330 --yes")
    for accident in (Accident("parent", 5), Accident("group", 9), Accident("cut", 5, size=40)):
        home = homes.copy(trial.home)
        assert homes.runner.run(home, *trial.command.words, accident=accident).is_killed
