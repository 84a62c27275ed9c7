"""`match`: the recipes in the dye book nearest to a colour or a photo, scaled to a weight of fibre.

In: a colour (`#8a2f2a`, the name of a lot, an ISCC-NBS name) or a photo, a fibre. Out: the nearest
recipes side by side with it, with amounts and what the shelf lacks; or JSON.
"""

from functools import partial

import click

from provenance.commands.door import read_as, typed
from provenance.commands.here import Here
from provenance.commands.told import Told
from provenance.commands.writing import write_out
from provenance.figures.dyes.recipes import BASE
from provenance.problems import Said, Slip, did_you_mean
from provenance.reference.fibres import dyes_as, fibre_names
from provenance.reports.match import match_report, weight_to_dye


def _as_it_dyes(text: str) -> str:
    if kind := dyes_as(text):
        return kind
    raise Slip(Said("match.no_fibre", asked=text), did_you_mean(text, fibre_names()))


@click.command("match", cls=Told)
@click.argument("colour", metavar="COLOUR-or-PHOTO")
@click.option("--weight", metavar="W")
@click.option("--on", callback=read_as(_as_it_dyes), metavar="FIBRE")
@click.option("--most", type=click.IntRange(1, 50), default=5)
@click.option("--json", "is_json", is_flag=True)
@click.pass_obj
def command(
    here: Here, *, colour: str, weight: str | None, on: str | None, most: int, is_json: bool
) -> None:
    """Find the recipes, and show them as asked."""
    grams = typed(partial(weight_to_dye, here.studio), weight, "--weight")
    report = match_report(here.studio, colour, grams or BASE, most, on=on or "")
    write_out(here, [report], is_json=is_json)
