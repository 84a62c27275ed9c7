"""Deeds reach the disk whole or not at all: races, faults at every step, links, modes."""

from __future__ import annotations

import errno
import os
from datetime import date
from pathlib import Path

import pytest

from provenance.build.opening import open_studio
from provenance.deeds import doing
from provenance.deeds.doing import do, take_back
from provenance.deeds.journal import undoing
from provenance.deeds.moving import move
from provenance.language.phrases import british
from provenance.problems import Slip

TODAY = date(2026, 11, 25)
NUMBERS = ("2026-001", "2026-002", "2026-003")


def going(folder, pieces=3):
    """Pieces on their way to the gallery, not yet written."""
    return move(open_studio(folder, TODAY), NUMBERS[:pieces], "harbour-gallery")


def told(slip):
    return british().tell(slip.what)


def test_a_file_changed_between_the_show_and_the_writing_stops_all(folder, here):
    deed = going(folder)
    path = folder / "2026-003-hoar.yaml"
    path.write_text(path.read_text() + "notes: from the editor\n")
    before = here()
    with pytest.raises(Slip) as caught:
        do(folder, deed, TODAY)
    assert told(caught.value) == (
        "pieces/2026-003-hoar.yaml has changed since it was shown; nothing was written"
    )
    assert here() == before
    assert not (folder / "studio" / "deeds.yaml").exists()


def test_a_file_changed_while_others_are_written_is_kept_and_those_are_put_back(
    folder, here, monkeypatch
):
    deed, before, path = going(folder), here(), folder / "2026-003-hoar.yaml"
    real = doing.write_beside

    def meanwhile(place, content, like):
        real(place, content, like)
        if place.name == "2026-002-fret.yaml" and b"harbour" in content:
            path.write_bytes(b"number: 2026-003\n")

    monkeypatch.setattr(doing, "write_beside", meanwhile)
    with pytest.raises(Slip):
        do(folder, deed, TODAY)
    assert here() == {**before, path.name: b"number: 2026-003\n"}


@pytest.mark.parametrize("mode", [0o444, 0o440])
def test_a_file_that_is_closed_to_writing_stops_all(folder, here, mode):
    deed, before = going(folder), here()
    path = folder / "2026-002-fret.yaml"
    path.chmod(mode)
    with pytest.raises(Slip) as caught:
        do(folder, deed, TODAY)
    assert told(caught.value) == f"{path} may not be written"
    assert here() == before
    assert path.stat().st_mode & 0o777 == mode


def test_mode_stays_and_a_link_is_followed(folder, tmp_path, here):
    path, real = folder / "2026-001-ebb.yaml", folder / "photos" / "ebb.txt"
    real.parent.mkdir()
    path.rename(real)
    path.symlink_to(real)
    real.chmod(0o640)
    do(folder, going(folder), TODAY)
    assert path.is_symlink()
    assert b"at: harbour-gallery" in real.read_bytes()
    assert real.stat().st_mode & 0o777 == 0o640


class Fault(Exception):
    """The machine stops."""


def steps_of(monkeypatch, fails_at, *, for_good):
    """Count every step on the disk; one of them fails, and with `for_good` all that follow."""
    count = 0

    def counted(real):
        def step(*given, **named):
            nonlocal count
            count += 1
            if count == fails_at or (for_good and count > fails_at):
                raise Fault if for_good else OSError(errno.EIO, "the disk is tired")
            return real(*given, **named)

        return step

    for home, name in ((Path, "write_bytes"), (Path, "chmod"), (Path, "replace"), (Path, "unlink"),
                       (os, "fsync"), (os, "chown")):  # fmt: skip
        monkeypatch.setattr(home, name, counted(getattr(home, name)))
    return lambda: count


def whole_count(folder, deed, monkeypatch):
    """How many steps the deed takes when all goes well; the deed is taken back again."""
    with monkeypatch.context() as patch:
        counted = steps_of(patch, 0, for_good=False)
        do(folder, deed, TODAY)
        steps = counted()
    back, kept = undoing(folder)
    take_back(folder, back, kept)
    return steps


def test_a_step_that_fails_leaves_everything_as_it_was(folder, here, monkeypatch):
    deed, before = going(folder, 2), here()
    steps = whole_count(folder, deed, monkeypatch)
    assert here() == before
    assert steps >= 3 * 5  # the journal and two records
    failed = 0
    for turn in range(1, steps + 1):
        with monkeypatch.context() as patch:
            steps_of(patch, turn, for_good=False)
            try:
                do(folder, deed, TODAY)
            except Slip:
                failed += 1
                assert here() == before, turn
                assert not list(folder.rglob("*.new"))
                with pytest.raises(Slip):
                    undoing(folder)
            else:  # a step that a write can do without, such as giving a file its owner
                back, kept = undoing(folder)
                take_back(folder, back, kept)
    assert here() == before
    assert failed > steps * 2 // 3


def test_a_machine_that_stops_leaves_whole_records_and_a_way_back(folder, here, monkeypatch):
    deed, before = going(folder, 2), here()
    steps = whole_count(folder, deed, monkeypatch)
    after = {**before}
    for change in deed.changes:
        after[change.path.name] = change.after
    for turn in range(1, steps + 1):
        with monkeypatch.context() as patch:
            steps_of(patch, turn, for_good=True)
            with pytest.raises(Fault):
                do(folder, deed, TODAY)
        now = here()
        assert all(now[name] in (before[name], after[name]) for name in before), turn
        if now != before:
            back, kept = undoing(folder)
            take_back(folder, back, kept)
        assert here() == before
    do(folder, deed, TODAY)  # and it can be done all the same
    assert here() == after


def test_an_undo_that_stops_can_be_given_again(folder, here, monkeypatch):
    deed, before = going(folder, 2), here()
    steps = whole_count(folder, deed, monkeypatch)
    for turn in range(1, steps + 1):
        do(folder, deed, TODAY)
        back, kept = undoing(folder)
        with monkeypatch.context() as patch:
            steps_of(patch, turn, for_good=True)
            with pytest.raises(Fault):
                take_back(folder, back, kept)
        try:
            back, kept = undoing(folder)
        except Slip:
            assert here() == before
        else:
            take_back(folder, back, kept)
        assert here() == before, turn
