"""Pass-phrases and keys as they are typed: unseen, twice where they are new."""

import os
import sys

import click

from provenance.build.secret_keys import PASS_PHRASE
from provenance.commands.here import Here
from provenance.problems import Said, Slip


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


def of_copies(here: Here, *, is_new: bool) -> str:
    """What locks the copies of a studio; Slip where nobody can be asked."""
    if given := os.environ.get(PASS_PHRASE, ""):
        return given
    if not sys.stdin.isatty():
        raise Slip(Said("second_place.asks"), Said("key.unlock", name=PASS_PHRASE))
    word = "second_place.new_pass_phrase" if is_new else "second_place.pass_phrase"
    return ask(here, word, twice=is_new)
