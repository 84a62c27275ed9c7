"""`start key`: the key that statements are signed with: made, put on paper, brought back, replaced.

In: what its maker wants. Out: the secret half outside the records, the public one in them; a paper.
"""

from pathlib import Path

import click

from provenance.build import own_key
from provenance.build.secret_keys import key_folder
from provenance.build.starting import refuse_without_records
from provenance.commands.here import Here
from provenance.commands.pass_phrases import ask, pass_phrase, to_open
from provenance.commands.place import shown_path
from provenance.commands.told import Told
from provenance.problems import Said


@click.command("key", cls=Told, key="start_key")
@click.option("--paper", type=click.Path(path_type=Path))
@click.option("--from-paper", is_flag=True)
@click.option("--replace", is_flag=True)
@click.option("--stolen", is_flag=False, flag_value="", default=None)
@click.option("--pass-phrase", "wants_pass_phrase", is_flag=True)
@click.pass_obj
def key(
    here: Here, /, paper: Path | None, *, from_paper: bool, replace: bool, stolen: str | None,
    wants_pass_phrase: bool,
) -> None:  # fmt: skip
    """Make the key, unless there is one."""
    refuse_without_records(here.folder)
    words = pass_phrase(here, is_wanted=wants_pass_phrase)
    with here.turn("start"):
        border, is_there = here.border, bool(own_key.used_key(here.studio.book))
        made = None
        if from_paper:
            made = own_key.key_from_paper(border, ask(here, "key.type_groups"), words)
        elif stolen is not None:
            made = own_key.withdraw(border, stolen, words)
        elif replace or not is_there:
            made = own_key.new_key(border, words)
    if made:
        here.say(Said("key.made", key=made.public.fingerprint, folder=str(key_folder())))
    for line in own_key.lines_of(Here(here.folder).studio.book):
        here.say(line)
    if paper:
        own_key.write_paper(
            Here(here.folder).border, paper, lambda file: words or to_open(here, file)
        )
        here.say(Said("key.on_paper", path=shown_path(paper.resolve())))
    elif made and not from_paper:
        here.say(Said("key.made_next"))
