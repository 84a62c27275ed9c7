"""`sell`: a piece was sold, or all that was ticked at a stall; records say when, where, how much.

With `--from`, lines that a phone brings home (`stall.html`): as a file, typed, or as a photo of
their code; `-` is standard input.
"""

import sys
from pathlib import Path
from typing import Any

import click

from provenance.commands.asking import carry_out
from provenance.commands.door import read_as
from provenance.commands.here import Here
from provenance.commands.told import Told
from provenance.deeds.selling import Wished, sell
from provenance.deeds.selling_from import bring_home
from provenance.deeds.stall_files import by_name, text_of
from provenance.deeds.stall_lines import read_lines
from provenance.problems import Said, WrongWish
from provenance.records.fields import day


@click.command("sell", cls=Told)
@click.argument("number", required=False)
@click.argument("price", required=False)
@click.option("--at", metavar="OUTLET")
@click.option("--on", metavar="DATE", callback=read_as(day))
@click.option("--to", metavar="WORDS")
@click.option("--items", type=click.IntRange(1), metavar="N")
@click.option("--from", "files", multiple=True, type=click.Path(path_type=Path), metavar="FILE")
@click.option("--anyway", is_flag=True)
@click.option("--yes", is_flag=True)
@click.pass_obj
def command(here: Here, /, number: str | None, price: str | None, *, files: tuple[Path, ...],
            anyway: bool, yes: bool, **told: Any) -> None:  # fmt: skip
    """Write the sale into the record."""
    is_one = number is not None and price is not None
    if is_one == bool(files) or (files and (number or told["on"] or told["to"] or told["items"])):
        raise WrongWish(Said("sell_from.what"), Said("sell_from.such_wish"))
    if number is not None and price is not None:
        carry_out(here, sell(here.studio, number, Wished(price, **told)), yes=yes)
    else:
        _bring(here, files, told["at"] or "", anyway=anyway, yes=yes)


def _bring(here: Here, files: tuple[Path, ...], at: str, *, anyway: bool, yes: bool) -> None:
    read = [read_lines(text_of(path), name, at) for path, name in by_name(files).items()]
    home = bring_home(here.studio, [lines for lines, _ in read])
    wrong = sorted([*(each for _, problems in read for each in problems), *home.mistakes])
    doubts = [] if anyway else sorted(home.doubts)
    if wrong or doubts:
        here.tell([*wrong, *doubts])
        here.say(Said("sell_from.mend" if wrong else "sell_from.if_meant"), err=True)
        sys.exit(1)
    deed = home.deed(" ".join(["sell --from", *(path.name for path in files)]))
    if not carry_out(here, deed, yes=yes):
        here.say(Said("deed.left"))
