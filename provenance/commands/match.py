"""`match`: the recipes in the dye book nearest to a colour or a photo, scaled to a weight of fibre.

In: a colour (`#8a2f2a`, the name of a lot, an ISCC-NBS name) or a photo. Out: the nearest recipes
side by side with it, with amounts and what the shelf lacks; or JSON.
"""

from fractions import Fraction

import click

from provenance.commands.door import read_as
from provenance.commands.here import Here
from provenance.commands.told import Told
from provenance.commands.writing import write_out
from provenance.figures.dyes.recipes import BASE
from provenance.problems import Said, Slip
from provenance.records.quantities import Grams, Habits
from provenance.reports.match import match_report


def _fibre(text: str) -> Fraction:
    if grams := Grams.read(text, Habits()):
        return grams
    raise Slip(Said("match.nothing_to_dye"), Said("match.write_grams"))


@click.command("match", cls=Told)
@click.argument("colour", metavar="COLOUR-or-PHOTO")
@click.option("--weight", "grams", callback=read_as(_fibre), metavar="W")
@click.option("--most", type=click.IntRange(1, 50), default=5)
@click.option("--json", "is_json", is_flag=True)
@click.pass_obj
def command(here: Here, *, colour: str, grams: Fraction | None, most: int, is_json: bool) -> None:
    """Find the recipes, and show them as asked."""
    report = match_report(here.studio, colour, grams or BASE, most)
    write_out(here, [report], is_json=is_json)
