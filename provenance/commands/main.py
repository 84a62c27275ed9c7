"""The way in: `provenance [--studio FOLDER] COMMAND ...`."""

from __future__ import annotations

import importlib
import io
import sys
from pathlib import Path
from typing import Any

import click

from provenance import __version__
from provenance.commands.door import faults_told, slips_told
from provenance.commands.here import Here
from provenance.commands.told import ToldGroup
from provenance.language.phrases import british
from provenance.problems import Said, did_you_mean

COMMANDS = (
    "check", "start", "cost", "trace", "stock", "match", "tags", "certificate", "papers", "quote",
    "build",
)  # fmt: skip


class _ByName(ToldGroup):
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
        if args[0] not in COMMANDS and not args[0].startswith("-"):
            hint = did_you_mean(args[0], COMMANDS)
            raise click.UsageError(british().tell(Said("door.no_command", name=args[0], hint=hint)))
        return super().resolve_command(ctx, args)

    def format_commands(self, ctx: click.Context, formatter: click.HelpFormatter) -> None:
        say = british().say
        with formatter.section(say("help.commands")):
            formatter.write_dl([(name, say(f"commands.{name}")) for name in COMMANDS])

    def invoke(self, ctx: click.Context) -> Any:
        with slips_told(ctx):
            return super().invoke(ctx)


@click.group("main", cls=_ByName, invoke_without_command=True,
             context_settings={"max_content_width": 96})  # fmt: skip
@click.option("--studio", "folder", type=click.Path(path_type=Path))
@click.version_option(__version__, prog_name="provenance")
@click.pass_context
def main(ctx: click.Context, folder: Path | None) -> None:
    """Without a command: what to do next."""
    ctx.obj = Here(folder)
    if ctx.invoked_subcommand is None:
        from provenance.commands.today import show_today

        show_today(ctx.obj)


def run() -> None:
    """Run a command on a terminal that may lack some signs: it shows '?' for them."""
    for stream in (sys.stdout, sys.stderr):
        if isinstance(stream, io.TextIOWrapper):
            stream.reconfigure(errors="replace")
    with faults_told():
        main(standalone_mode=True, prog_name="provenance")


if __name__ == "__main__":
    run()
