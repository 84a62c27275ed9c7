"""Runs killed at some of their operations on files; `make storm` kills them at every one."""

from __future__ import annotations

import pytest
from kills import kills, some
from runs import Accident
from trials import COMMANDS

WORDS = (" ".join(each.words) for each in COMMANDS if each.words[0] != "papers")
BETWEEN = (
    "move 2026-002 2026-004 studio --yes",
    "reprice 2026-002 2026-004 360 --yes",
    "quote 2026-C01 --accept --size 1 --yes",
)


@pytest.mark.parametrize("words", list(dict.fromkeys(WORDS)))
def test_a_killed_run_leaves_all_whole_and_the_next_one_ends_as_ever(trial_of, words):
    trial = trial_of(words)
    assert len(trial.operations) > 10
    (chosen,) = some(kills(trial), 1)
    assert trial.faults(chosen) == []


@pytest.mark.parametrize("words", BETWEEN)
def test_a_deed_killed_between_its_files_is_done_whole_and_taken_back_whole(trial_of, words):
    trial = trial_of(words)
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
