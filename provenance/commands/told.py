"""Commands whose help is told from the language, by key.

In: a command's name, or a key where names below a group may be used twice, and its options. Out:
their help in British English: `[help_KEY] about` for the command, a line for each option by its
name, `[help]` for options that many commands share.
"""

from typing import Any

import click

from provenance.language.phrases import british


class Told(click.Command):
    """A command with its help."""

    def __init__(self, name: str, *, key: str = "", **given: Any) -> None:
        super().__init__(name, **given)
        words, self.help_group = british().words, f"help_{key or name}"
        self.help = words.get(f"{self.help_group}.about", self.help)
        for option in self.params:
            if isinstance(option, click.Option) and option.help is None:
                own, shared = f"{self.help_group}.{option.name}", f"help.{option.name}"
                option.help = words.get(own) or words.get(shared)


class ToldGroup(Told, click.Group):
    """A command with commands below it."""
