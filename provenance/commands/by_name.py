"""Commands by their names: a command's file is loaded when it is called, so that `check` starts
fast.

In: names of commands; each is `command` in the module of its name. Out: a click group.
"""

import importlib
from collections.abc import Sequence
from typing import Any

import click

from provenance.commands.door import slips_told, typed_visible
from provenance.commands.told import ToldGroup
from provenance.language.phrases import british
from provenance.problems import Said, did_you_mean


class ByName(ToldGroup):
    """The group of all commands, and the door that every Slip comes through."""

    def __init__(self, name: str, *, names: Sequence[str], **given: Any) -> None:
        super().__init__(name, **given)
        self.names = names

    def list_commands(self, ctx: click.Context) -> list[str]:
        return list(self.names)

    def get_command(self, ctx: click.Context, cmd_name: str) -> click.Command | None:
        if cmd_name not in self.names:
            return None
        module = importlib.import_module(f"provenance.commands.{cmd_name}")
        command: click.Command = module.command
        return command

    def make_context(self, *given: Any, **more: Any) -> click.Context:
        with typed_visible():
            return super().make_context(*given, **more)

    def resolve_command(
        self, ctx: click.Context, args: list[str]
    ) -> tuple[str | None, click.Command | None, list[str]]:
        if args[0] not in self.names and not args[0].startswith("-"):
            hint = did_you_mean(args[0], self.names)
            what = british().tell(Said("door.no_command", name=args[0], hint=hint))
            raise click.UsageError(what, ctx)
        return super().resolve_command(ctx, args)

    def format_commands(self, ctx: click.Context, formatter: click.HelpFormatter) -> None:
        say = british().say
        with formatter.section(say("help.commands")):
            formatter.write_dl([(name, say(f"commands.{name}")) for name in self.names])

    def invoke(self, ctx: click.Context) -> Any:
        with slips_told(ctx), typed_visible():
            return super().invoke(ctx)
