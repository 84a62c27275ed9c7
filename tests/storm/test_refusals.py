"""Disks that are full, that fail, that may not be written: told in words, nothing half-done."""

from __future__ import annotations

import errno

import pytest
from refusals import SmallDisk, small_disk_faults
from runs import Accident

SELL = "sell 2026-002 330 --yes"
COUNT = "count grey-2ply 2 kg --yes"


@pytest.mark.parametrize(("words", "at"), [(SELL, 5), (SELL, 11), ("tags", 18)])
def test_a_disk_that_is_full_from_some_operation_on(trial_of, words, at):
    assert trial_of(words).faults(Accident("refuse", at)) == []


@pytest.mark.parametrize(
    "number", [errno.EDQUOT, errno.EROFS, errno.EACCES, errno.EIO, errno.EFBIG]
)
def test_a_disk_that_fails(trial_of, number):
    assert trial_of(COUNT).faults(Accident("refuse", 8, number, full=False)) == []


@pytest.mark.parametrize(("words", "pages"), [(SELL, 1), (SELL, 3), ("tags", 8)])
def test_a_disk_with_some_pages_left(trial_of, tmp_path, words, pages):
    try:
        with SmallDisk(tmp_path / "disk") as disk:
            assert small_disk_faults(trial_of(words), disk, pages) == []
    except PermissionError as error:
        pytest.skip(f"a disk of memory can't be mounted here: {error}")
