"""`certificate`: gallery certificates, one PDF for each piece, in papers/.

In: numbers of pieces, the sheet. Out: `papers/certificate-NUMBER.pdf`, and a line in
studio/printed.yaml for every new issue.
"""

import sys

import click

from provenance.build.certificates import issue_certificates
from provenance.build.sealing import open_sealing
from provenance.build.told import certificate_lines
from provenance.commands.here import Here
from provenance.commands.place import shown_path
from provenance.commands.told import Told
from provenance.papers.format import SIZES_MM, format_for
from provenance.problems import Said


@click.command("certificate", cls=Told)
@click.argument("numbers", nargs=-1, required=True, metavar="NUMBER...")
@click.option("--sheet", type=click.Choice(tuple(SIZES_MM), case_sensitive=False))
@click.option("--black", is_flag=True)
@click.pass_obj
def command(here: Here, numbers: tuple[str, ...], sheet: str | None, *, black: bool) -> None:
    """Make certificates."""
    with here.turn("certificate"):
        border = here.border
        wanted = [each.number for each in here.studio.pieces(dict.fromkeys(numbers))]
        here.warn_of_mistakes()
        on = format_for(border.house, sheet or "", black=black)
        seals = open_sealing(border)
        with here.progress("certificates") as progress:
            made = issue_certificates(
                border, wanted, on, progress.tell, sealing=seals, is_strict=True
            )
            issued = list(made)
    if seals and seals.why:
        here.say(Said("seal.goes_unsigned", what=seals.why.what), err=True)
    for each in sorted(issued, key=lambda one: one.slip is not None):
        for line in certificate_lines(each, here.studio, shown_path):
            here.say(line, err=each.slip is not None)
    sys.exit(1 if any(each.slip for each in issued) else 0)
