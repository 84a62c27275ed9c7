"""No sign of a record, a file's name or a wish commands the terminal or turns its lines round."""

from __future__ import annotations

import json
import os
import subprocess
import sys
from pathlib import Path

import pytest
from click.testing import CliRunner

from provenance.commands.main import main
from provenance.reference.signs import first_unseen

SIGNS = "\x1b]0;mine\x07\u202e\u2066\u009b\u200b"
DAY = "1795608000"


def run(folder: Path, *words: str, code: int, **env: str) -> str:
    """All that a command prints."""
    called = ["--studio", str(folder), *words]
    env = {"SOURCE_DATE_EPOCH": DAY, **env}
    done = CliRunner().invoke(main, called, env=env, catch_exceptions=False, prog_name="provenance")
    assert done.exit_code == code, done.output
    return done.stdout + done.stderr


def run_apart(folder: Path, *words: str, code: int) -> str:
    """The same by a process of its own, as a terminal gets it."""
    done = subprocess.run(
        [sys.executable, "-m", "provenance", "--studio", str(folder), *words],
        capture_output=True, check=False,
        env={**os.environ, "SOURCE_DATE_EPOCH": DAY},
    )  # fmt: skip
    said = (done.stdout + done.stderr).decode()
    assert done.returncode == code, said
    return said


PIECE = "number: 2026-001\ntitle: Ebb\nkind: scarf\nstatus: in progress\n"
PRINTED = '- {on: 2026-11-02, paper: tag, number: 2026-001, title: "Eb\u202e\u2066"}\n'


@pytest.fixture
def folder(write_studio):
    yarns = "grey: {fibre: wool, weight: 1 kg, cost: 9}\n"
    return write_studio({"studio/yarns.yaml": yarns, "2026-001.yaml": PIECE})


@pytest.mark.parametrize(
    ("words", "code"),
    [
        (("check",), 1), (("check", "--json"), 1), ((), 0), (("cost", f"2026{SIGNS}"), 1),
        ((f"che{SIGNS}",), 2), (("cost", f"--{SIGNS}"), 2), (("tags", "--size", SIGNS), 2),
        (("papers", SIGNS), 1), (("move", "2026-001", SIGNS, "--yes"), 1),
    ],
)  # fmt: skip
def test_nothing_that_is_said_commands_a_terminal(folder, words, code):
    (folder / f"2026-002-{SIGNS}.yaml").write_text("number: 2026-002\ntitle: Ebb\nkind: hat\n")
    (folder / "2026-003.yaml").write_text("number: 2026-003\ntitle: Ebb\u202e\n")
    (folder / "studio" / f"{SIGNS}.yaml").write_text("a: {}\n")
    said = run(folder, *words, code=code)
    if words in (("check",), (f"che{SIGNS}",)):  # the door and what stands before it, as they are
        assert run_apart(folder, *words, code=code) == said
    assert first_unseen(said) is None
    assert said.strip()


def test_a_sign_in_a_record_is_told_where_it_stands(folder):
    (folder / "2026-001.yaml").write_text(PIECE.replace("Ebb", "E\u202ebb"), encoding="utf-8")
    said = run(folder, "check", code=1)
    assert "2026-001.yaml:2:9: an invisible sign, ‹U+202E›\n    delete it and type" in said


def test_a_sign_written_as_an_escape_is_told_too(folder):
    (folder / "2026-001.yaml").write_text(PIECE.replace("Ebb", '"E\\u202ebb"'))
    assert (
        "2026-001.yaml:2:8: an invisible sign, ‹U+202E›\n    take the '\\' sign and it out"
        in run(folder, "check", code=1)
    )


def test_an_emoji_and_a_script_that_joins_are_no_mistakes(folder):
    named = PIECE.replace("Ebb", "Familie 👩‍👩‍👧 می‌خواهم")
    (folder / "2026-001.yaml").write_text(named, encoding="utf-8")
    assert "no mistakes" in run(folder, "check", code=0)


def test_what_was_printed_with_such_a_sign_is_still_read(folder):
    (folder / "studio" / "printed.yaml").write_text(PRINTED, "utf-8")
    said = run(folder, "check", code=0)
    assert "2026-001 was printed as 'Eb‹U+202E›‹U+2066›', and is called 'Ebb' now" in said


@pytest.mark.skipif(os.name == "nt", reason="names are text there")
def test_a_file_name_that_is_no_text_is_shown(folder):
    path = os.fsencode(folder) + b"/2026-004-\xff\xfe.yaml"
    Path(os.fsdecode(path)).write_text("number: 2026-004\ntitle: [\n")
    said = run_apart(folder, "check", code=1)
    assert "pieces/2026-004-\ufffd\ufffd.yaml" in said


def test_data_keeps_its_words_with_the_signs_escaped(folder):
    (folder / "studio" / "printed.yaml").write_text(PRINTED, "utf-8")
    said = run(folder, "check", "--json", code=0)
    assert "\\u202e" in said
    told = [each["what"] for each in json.loads(said)["problems"]]
    assert any("\u202e" in what for what in told)


@pytest.mark.parametrize("epoch", ["253402300800", "-1", "today", "9" * 40, "²", "1.5"])
def test_a_day_that_is_none_is_wrong_usage(folder, epoch):
    assert run(folder, "check", code=2, SOURCE_DATE_EPOCH=epoch) == (
        f"SOURCE_DATE_EPOCH={epoch} is no day\n"
        "    it is a number of seconds from 1970 on, up to the year 9999; "
        "unset it to work with today\n"
    )


def test_the_last_day_of_all_is_one(folder):
    run(folder, "check", code=0, SOURCE_DATE_EPOCH="253402300799")


def test_a_tab_in_a_word_of_a_record_moves_nothing(folder):
    show = 'title: Low water\nplace: Sandrigg\ndates: 2027-05-05\nwords: "a\\tb"\n'
    (folder / "shows").mkdir()
    (folder / "shows" / "low-water.yaml").write_text(show)
    said = run(folder, "check", code=1)
    assert "a‹U+0009›b" in said
    assert "\t" not in said
