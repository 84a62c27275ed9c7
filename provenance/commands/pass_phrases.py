"""Pass-phrases and keys as they are typed: unseen, twice where they are new."""

import os
import sys

import click

from provenance.build.secret_keys import PASS_PHRASE
from provenance.commands.here import Here
from provenance.problems import Said


def pass_phrase(here: Here, *, is_wanted: bool) -> str:
    """The one given by the machine, else a new one where that is wanted."""
    given = os.environ.get(PASS_PHRASE, "")
    return ask(here, "key.new_pass_phrase", twice=True) if is_wanted and not given else given


def to_open(here: Here, file: str) -> str:
    """What opens a key; nothing where nobody can be asked."""
    if not sys.stdin.isatty():
        return ""
    told = here.phrases.tell(Said("key.pass_phrase", file=file))
    return str(click.prompt(told, hide_input=True, err=True))


def ask(here: Here, words: str, *, twice: bool = False) -> str:
    """What nobody else should see, typed unseen."""
    text = here.phrases.say(words)
    return str(click.prompt(text, hide_input=True, confirmation_prompt=twice, err=True))
