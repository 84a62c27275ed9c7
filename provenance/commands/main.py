"""The way in: `provenance [--studio FOLDER] COMMAND ...`."""

import atexit
import gc
import io
import os
import sys
from pathlib import Path

import click

from provenance import __version__
from provenance.commands.by_name import ByName
from provenance.commands.faults import faults_told
from provenance.language.phrases import british

COMMANDS = (
    "check", "start", "bring", "cost", "trace", "stock", "year", "match", "sell", "move", "reprice",
    "count", "undo", "recover", "tags", "certificate", "papers", "show", "catalogue", "quote",
    "build", "publish", "desk", "verify",
)  # fmt: skip


@click.group("main", cls=ByName, names=COMMANDS, invoke_without_command=True,
             context_settings={"max_content_width": 96})  # fmt: skip
@click.option("--studio", "folder", type=click.Path(path_type=Path))
@click.option("--csv", "csv_file", type=click.Path(path_type=Path))
@click.version_option(__version__, prog_name="provenance")
@click.pass_context
def main(ctx: click.Context, folder: Path | None, csv_file: Path | None) -> None:
    """Without a command: what to do next, or the register as a file."""
    from provenance.commands.here import Here

    ctx.obj = Here(folder)
    if ctx.invoked_subcommand is None:
        from provenance.commands.today import show_today, write_register

        if csv_file:
            write_register(ctx.obj, csv_file)
        else:
            show_today(ctx.obj)
    elif csv_file:
        raise click.UsageError(british().say("door.register_alone"), ctx)


def run() -> None:
    """Run a command on a terminal that may lack some signs: it shows '?' for them."""
    os.environ.setdefault("PYDANTIC_DISABLE_PLUGINS", "__all__")  # looked for everywhere
    gc.set_threshold(500_000, 20, 20)  # a studio in hand is a million values that all stay
    atexit.register(gc.freeze)  # and need not be looked through once more at the end
    for stream in (sys.stdout, sys.stderr):
        if isinstance(stream, io.TextIOWrapper):
            stream.reconfigure(errors="replace")
    with faults_told():
        main(standalone_mode=True, prog_name="provenance")


if __name__ == "__main__":
    run()
