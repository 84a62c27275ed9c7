"""The doors: exit codes, our own faults, help told from the language, a fast start."""

from __future__ import annotations

import errno
import os
import subprocess
import sys
from pathlib import Path

import click
import pytest
from click.testing import CliRunner

from provenance import __version__
from provenance.commands.door import read_as, slips_told
from provenance.commands.faults import faults_told
from provenance.commands.main import COMMANDS, main
from provenance.commands.told import Told
from provenance.language.phrases import british
from provenance.problems import Said, Slip, WrongWish

STUDIO = "studio: Brackenfold\nmaker: Isla Wren\n"


def every_command() -> list[click.Command]:
    found: list[click.Command] = [main]
    for name in COMMANDS:
        command = main.get_command(click.Context(main), name)
        assert command is not None
        found += [command, *getattr(command, "commands", {}).values()]
    return found


@pytest.mark.parametrize("command", every_command(), ids=lambda each: str(each.name))
def test_every_command_and_option_has_its_help(command):
    said = " ".join(CliRunner().invoke(command, ["--help"]).output.split())
    assert command.help
    assert " ".join(command.help.split()) in said
    options = [each for each in command.params if isinstance(each, click.Option)]
    assert [each.name for each in options if not each.help] == []


def test_every_line_of_help_belongs_to_a_command_or_option():
    used = {"help.commands"}
    for command in every_command():
        assert isinstance(command, Told)
        names = [str(each.name) for each in command.params]
        used |= {f"{command.help_group}.{name}" for name in ("about", *names)}
        used |= {f"help.{name}" for name in names}
    lines = {name for name in british().words if name.startswith("help")}
    assert sorted(lines - used) == []


def run_door(slip: Exception) -> tuple[int, str]:
    @click.command("door")
    @click.pass_context
    def command(ctx: click.Context) -> None:
        with slips_told(ctx):
            raise slip

    result = CliRunner().invoke(command)
    return result.exit_code, result.stderr


def test_a_slip_ends_with_1_and_its_remedy_under_it():
    assert run_door(Slip("no such lot", "name another")) == (1, "no such lot\n    name another\n")


def test_after_a_full_stop_the_remedy_stands_beside_it():
    slip = Slip(Said("find.no_piece", number="2026-9"), "did you mean '2026-009'?")
    assert run_door(slip) == (1, "there is no piece 2026-9. did you mean '2026-009'?\n")


def test_a_wish_that_cannot_be_meant_ends_with_2():
    assert run_door(WrongWish("no such cell")) == (2, "no such cell\n")


def test_an_option_is_read_before_anything_is_done():
    def read(text: str) -> int:
        if not text.isdigit():
            raise Slip("no number", "such as 12")
        return int(text)

    option = click.Option(["--most"])
    assert read_as(read)(None, option, "12") == 12
    assert read_as(read)(None, option, None) is None
    with pytest.raises(click.BadParameter, match="no number: such as 12"):
        read_as(read)(None, option, "twelve")


def fault(error: Exception, capsys: pytest.CaptureFixture[str]) -> tuple[object, str]:
    with pytest.raises(SystemExit) as ended, faults_told():
        raise error
    return ended.value.code, capsys.readouterr().err


def test_our_own_fault_ends_with_3_and_a_log(capsys):
    code, said = fault(KeyError("weft"), capsys)
    assert code == 3
    first, second = said.splitlines()
    assert first == "Something went wrong that is our fault, not yours: KeyError."
    log = Path(second.removeprefix("Nothing of yours was changed. Please send us this log: "))
    text = log.read_text(encoding="utf-8")
    log.unlink()
    assert text.startswith(f"provenance {__version__}, Python ")
    assert "KeyError: 'weft'" in text


@pytest.mark.parametrize("number", [errno.EROFS, errno.EDQUOT, errno.EACCES, errno.EFBIG])
def test_our_own_fault_is_told_where_no_log_can_be_written(capsys, monkeypatch, number):
    why = os.strerror(number)

    def refuse(*_given, **_named):
        raise OSError(number, why)

    monkeypatch.setattr("tempfile.NamedTemporaryFile", refuse)
    monkeypatch.setattr(sys, "stdout", sys.stdout)
    code, said = fault(KeyError("weft"), capsys)
    assert code == 3
    first, second = said.splitlines()
    start = "Something went wrong that is our fault, not yours: KeyError in test_door.py:"
    assert first.removeprefix(start).removesuffix(".").isdigit()
    assert second == f"No log could be written ({why}). Please send us these lines."


def test_a_full_disk_is_nobodys_fault(capsys, monkeypatch):
    monkeypatch.setattr(sys, "stdout", sys.stdout)
    code, said = fault(OSError(errno.ENOSPC, "No space left on device"), capsys)
    assert (code, said) == (
        1,
        "The system could not take what was to be written: No space left on device.\n",
    )


HEAVY = ("weasyprint", "PIL", "numpy", "rich", "jinja2", "cryptography", "fontTools", "pikepdf")
CHECK = """
import sys
from contextlib import suppress
from provenance.commands.main import main
with suppress(SystemExit):
    main(["--studio", sys.argv[1], "check"], standalone_mode=False)
print("loaded:", *[each for each in sys.argv[2:] if each in sys.modules])
"""


def test_check_starts_without_heavy_libraries(write_studio):
    folder = str(write_studio({"studio/studio.yaml": STUDIO}))
    said = subprocess.run(
        [sys.executable, "-c", CHECK, folder, *HEAVY], capture_output=True, text=True, check=True
    )
    assert said.stdout.splitlines()[-1].strip() == "loaded:"


def test_it_runs_as_a_module(write_studio):
    folder = str(write_studio({"studio/studio.yaml": STUDIO}))
    called = [sys.executable, "-m", "provenance", "--studio", folder, "check"]
    said = subprocess.run(called, capture_output=True, text=True, check=False)
    assert (said.returncode, said.stdout) == (
        0,
        "no pieces ready, no drafts; no mistakes, no remarks.\n",
    )
