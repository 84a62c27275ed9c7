"""`quote --accept` is a deed: it shows both records, asks, and can be taken back."""

from __future__ import annotations

import contextlib
import json
import os
import re
import signal
import sys

import pytest
from click.testing import CliRunner

from provenance.commands import consent
from provenance.commands.main import main

COMMISSION = """\
number: 2026-C01
client: {name: Petra}
asked: 2026-11-20
kind: shawl
sizes: [180 x 60 cm]
sett: {ends: 6 per cm, picks: 6 per cm}
yarn: {warp: grey-2ply, weft: grey-2ply}
status: quoted     # by post
"""
ACCEPT = ("quote", "2026-C01", "--accept")


@pytest.fixture
def asked_for(folder):
    (folder / "commissions").mkdir()
    (folder / "commissions" / "2026-C01.yaml").write_text(COMMISSION)
    yarns = folder / "studio" / "yarns.yaml"
    yarns.write_text(yarns.read_text().replace("weight: 2 kg", "weight: 2 kg, length: 8 km"))
    return folder


def test_it_shows_both_records_and_asks(asked_for, say, here):
    before = here()
    said = say(*ACCEPT, yes=False, code=2)
    lines = said.stdout.splitlines()
    assert "pieces/2026-004-commission-2026-c01.yaml:1" in lines
    assert "  + number: 2026-004" in lines
    at = lines.index("pieces/commissions/2026-C01.yaml:8")
    assert lines[at + 1 : at + 3] == [
        "  - status: quoted     # by post",
        "  + status: accepted     # by post",
    ]
    assert lines[at + 3].startswith("  + accepted: {on: 2026-11-25, size: 180 x 60 cm, price: ")
    assert said.stderr.startswith("there is no terminal to ask at; nothing was changed\n")
    assert here() == before


def test_undo_takes_the_new_record_away(asked_for, say, here):
    before = here()
    say(*ACCEPT)
    assert len(here()) == len(before) + 1
    said = say("undo").stdout
    assert "Takes back 'quote 2026-C01 --accept' of 2026-11-25\n" in said
    assert here() == before


def test_a_record_that_was_begun_on_is_not_taken_away(asked_for, say, here):
    say(*ACCEPT)
    path = asked_for / "2026-004-commission-2026-c01.yaml"
    path.write_text(path.read_text() + "hours: {weaving: 3}\n")
    before = here()
    assert say("undo", code=1).stderr.startswith(
        "pieces/2026-004-commission-2026-c01.yaml:1: changed since 'quote 2026-C01 --accept'"
    )
    assert here() == before


def test_a_number_given_away_while_the_maker_was_asked_is_not_given_twice(
    asked_for, here, monkeypatch
):
    """Another window starts a piece between the question and the answer."""

    def answered(*_given, **_named):
        (asked_for / "2026-004-other.yaml").write_text("number: 2026-004\ntitle: Other\n")
        return "y"

    monkeypatch.setattr(consent, "is_terminal", lambda: True)
    monkeypatch.setattr(consent.click, "prompt", answered)
    before = here()
    said = CliRunner().invoke(main, ["--studio", str(asked_for), *ACCEPT])
    assert said.exit_code == 1
    assert said.stderr.startswith(
        "2026-004 was given to another piece meanwhile; nothing was written\n"
    )
    assert here() == {**before, "2026-004-other.yaml": b"number: 2026-004\ntitle: Other\n"}


def test_the_piece_is_begun_as_its_maker_writes_numbers(asked_for, say):
    studio = asked_for / "studio" / "studio.yaml"
    studio.write_text(studio.read_text() + "decimal comma: yes\n")
    record = asked_for / "commissions" / "2026-C01.yaml"
    record.write_text(COMMISSION.replace("6 per cm, picks", "6,125 per cm, picks"))
    say(*ACCEPT)
    begun = (asked_for / "2026-004-commission-2026-c01.yaml").read_text()
    assert "sett: {ends: 6,125 per cm on the loom, picks: 6 per cm on the loom}\n" in begun
    assert not re.search(r"[0-9]\.[0-9]", begun.replace("# From commission 2026-C01, agreed", ""))
    told = json.loads(say("check", "--json", yes=False).stdout)
    assert not [each for each in told["problems"] if each["weight"] == "mistake"]


def test_the_piece_is_begun_in_inches_and_ounces(asked_for, say):
    record = asked_for / "commissions" / "2026-C01.yaml"
    record.write_text(
        COMMISSION.replace("180 x 60 cm", "72 x 24 in").replace("6 per cm", "15 epi", 1)
    )
    yarns = asked_for / "studio" / "yarns.yaml"
    yarns.write_text(yarns.read_text().replace("weight: 2 kg", "weight: 4 lb"))
    say(*ACCEPT)
    begun = (asked_for / "2026-004-commission-2026-c01.yaml").read_text()
    assert "sett: {ends: 15 epi on the loom, picks: 15.24 ppi on the loom}\n" in begun
    assert re.search(r"# On the loom: [0-9.]+ in x [0-9.]+ in, [0-9]+ ends; warp [0-9]+ yd", begun)
    assert re.search(r"use: warp, lot: grey-2ply, weight: [0-9.]+ oz}", begun)
    assert " cm" not in begun and not re.search(r"[0-9] g\b", begun)


def killed_at(turn, folder):
    """Whether a run of `--accept` was killed before its n-th change to the disk (`kill -9`)."""
    if child := os.fork():
        _, status = os.waitpid(child, 0)
        return os.WIFSIGNALED(status)
    left = turn

    def count(event, given):
        nonlocal left
        writes = event == "open" and isinstance(given[2], int) and given[2] & WRITES
        if (writes or event in CHANGES) and str(folder) in str(given[0]):
            left -= 1
            if left < 0:
                os.kill(os.getpid(), signal.SIGKILL)

    sys.addaudithook(count)
    with contextlib.suppress(BaseException):
        CliRunner().invoke(main, ["--studio", str(folder), *ACCEPT, "--yes"])
    os._exit(0)


WRITES = os.O_WRONLY | os.O_RDWR | os.O_CREAT
CHANGES = ("os.rename", "os.remove", "os.mkdir", "os.rmdir", "os.link", "os.truncate", "os.chmod")


@pytest.mark.skipif(not hasattr(os, "fork"), reason="needs fork")
def test_a_run_killed_at_any_point_is_finished_by_the_next_and_begins_no_second_piece(
    asked_for, say, here
):
    say(*ACCEPT)
    whole, turn, seen = here(), 0, set()
    say("undo")
    before = here()
    while killed_at(turn, asked_for):
        seen.add(tuple(here()) == tuple(before))
        if "accepted:" not in here()["commissions/2026-C01.yaml"].decode():
            say(*ACCEPT)
        assert here() == whole, turn
        while here() != before:
            say("undo")
        turn += 1
    assert turn > 5
    assert seen == {True, False}  # some before the piece was begun, some after
