"""Disks that are full, that fail, that may not be written: told in words, nothing half-done."""

from __future__ import annotations

import errno

import pytest
from refusals import SmallDisk, small_disk_faults
from runs import Accident

SELL = "sell 2026-002 330 --yes"


@pytest.mark.parametrize(("words", "at"), [(SELL, 2), (SELL, 11)])
def test_a_disk_that_is_full_from_some_operation_on(trial_of, words, at):
    assert trial_of(words).faults(Accident("refuse", at)) == []


@pytest.mark.parametrize("number", [errno.EDQUOT, errno.EACCES])
def test_a_disk_that_fails(trial_of, number):
    assert trial_of(SELL).faults(Accident("refuse", 8, number, full=False)) == []


@pytest.mark.parametrize(("words", "pages"), [(SELL, 1)])
def test_a_disk_with_some_pages_left(trial_of, tmp_path, words, pages):
    try:
        with SmallDisk(tmp_path / "disk") as disk:
            assert small_disk_faults(trial_of(words), disk, pages) == []
    except PermissionError as error:
        pytest.skip(f"a disk of memory can't be mounted here: {error}")
