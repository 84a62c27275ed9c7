"""The way in: `provenance [--studio FOLDER] COMMAND ...`."""

from __future__ import annotations

import errno
import importlib
import io
import sys
import tempfile
import traceback
from contextlib import suppress
from pathlib import Path
from typing import Any

import click

from provenance import __version__
from provenance.commands.studio import Here

COMMANDS = {
    "check": "read every record, report every mistake and remark",
    "start": "write a new record: studio, piece, bath, commission",
    "cost": "what pieces cost, and what their prices bring",
    "trace": "a piece back to fleece and dyestuff, a lot forward to pieces",
    "stock": "stock by class and place on a day, cost of goods sold, insurance list",
    "match": "the recipes in the dye book nearest to a colour or a photo",
    "tags": "hang-tag sheets",
    "certificate": "gallery certificates",
    "papers": "everything a fair, gallery, guild or show needs",
    "quote": "a quotation for a client, the private sheet behind it, a card for the stand",
    "build": "the public site, and all tags and certificates that are due",
}


class _ByName(click.Group):
    """Loads a command's file only when it is called, so that `check` starts fast."""

    def list_commands(self, ctx: click.Context) -> list[str]:
        return list(COMMANDS)

    def get_command(self, ctx: click.Context, cmd_name: str) -> click.Command | None:
        if cmd_name not in COMMANDS:
            return None
        module = importlib.import_module(f"provenance.commands.{cmd_name}")
        command: click.Command = module.command
        return command

    def resolve_command(
        self, ctx: click.Context, args: list[str]
    ) -> tuple[str | None, click.Command | None, list[str]]:
        try:
            return super().resolve_command(ctx, args)
        except click.UsageError as error:
            from provenance.language.phrases import british
            from provenance.problems import did_you_mean

            hint = british().tell(did_you_mean(args[0], COMMANDS))
            raise click.UsageError(f"no command '{args[0]}'. {hint}", ctx) from error

    def format_commands(self, ctx: click.Context, formatter: click.HelpFormatter) -> None:
        with formatter.section("Commands"):
            formatter.write_dl(list(COMMANDS.items()))


@click.group(cls=_ByName, invoke_without_command=True, context_settings={"max_content_width": 96})
@click.option(
    "--studio",
    "folder",
    type=click.Path(path_type=Path),
    help="The folder of records; by default pieces/ here or in a parent folder.",
)
@click.version_option(__version__, prog_name="provenance")
@click.pass_context
def main(ctx: click.Context, folder: Path | None) -> None:
    """From plain records of a fibre studio to tags, pages, papers and quotations."""
    ctx.obj = Here(folder)
    if ctx.invoked_subcommand is None:
        from provenance.commands.today import show_today

        show_today(ctx.obj)


def run() -> None:
    """Run a command; what nobody foresaw becomes a log and exit code 3, never a traceback."""
    for stream in (sys.stdout, sys.stderr):
        if isinstance(stream, io.TextIOWrapper):
            stream.reconfigure(errors="replace")  # a terminal that lacks a sign shows '?'
    try:
        main(standalone_mode=True, prog_name="provenance")
    except OSError as error:
        if error.errno not in (errno.ENOSPC, errno.EPIPE, errno.EIO):
            _own_fault(error)
        _say_last(f"The system could not take what was to be written: {error.strerror}.")
        sys.exit(1)
    except Exception as error:
        _own_fault(error)


def _say_last(words: str) -> None:
    """A last word, if anyone still listens; what is left unsaid on stdout is dropped."""
    sys.stdout = io.TextIOWrapper(io.BytesIO())
    with suppress(OSError):
        click.echo(words, err=True)


def _own_fault(error: BaseException) -> Any:
    lines = "".join(traceback.format_exception(error))
    with tempfile.NamedTemporaryFile(
        "w", prefix="provenance-", suffix=".log", delete=False, encoding="utf-8"
    ) as log:
        log.write(f"provenance {__version__}, Python {sys.version}\n{lines}")
    click.echo(
        f"Something went wrong that is our fault, not yours: {type(error).__name__}.\n"
        f"Nothing of yours was changed. Please send us this log: {log.name}",
        err=True,
    )
    sys.exit(3)


if __name__ == "__main__":
    run()
