"""`bring`: earlier work from a spreadsheet, proposed; `--write` writes the records, as a deed.

In: a CSV file or a workbook, what the maker says of columns. Out: what each column means, the
records it makes, the rows that are refused by their numbers; or JSON. 1 when rows are refused.
"""

import sys
from pathlib import Path

import click

from provenance.build.bringing import Brought, bring
from provenance.commands.here import Here
from provenance.commands.told import Told
from provenance.commands.writing import write_out
from provenance.deeds.bringing import write_brought
from provenance.problems import Said, Slip
from provenance.reports.bring import bring_report


@click.command("bring", cls=Told)
@click.argument("file", type=click.Path(path_type=Path))
@click.option("--as", "meant", multiple=True, metavar='"COLUMN=WORD"')
@click.option("--sheet", default="", metavar="NAME")
@click.option("--write", is_flag=True)
@click.option("--yes", is_flag=True)
@click.option("--json", "is_json", is_flag=True)
@click.pass_obj
def command(
    here: Here, /, file: Path, meant: tuple[str, ...], sheet: str, *, is_json: bool, **how: bool
) -> None:
    """Propose, and write what is wished."""
    with here.turn("bring"):
        found = bring(here.studio, file, sheet, meant, here.phrases)
        made, texts = found.proposal, found.files()
        report = bring_report(found.table, found.columns, made, found.photos, texts)
        write_out(here, [report], is_json=is_json)
        if how["write"] and texts:
            _write(here, found, is_wished=how["yes"])
        elif texts and not is_json:
            here.say(Said("bring.not_yet"))
    sys.exit(1 if made.refused or made.questions else 0)


def _write(here: Here, found: Brought, *, is_wished: bool) -> None:
    """Write the records, when the maker says so."""
    count = len(found.proposal.new)
    if not is_wished:
        if not sys.stdin.isatty():
            raise Slip(Said("bring.no_terminal"), Said("bring.say_yes"))
        if not click.confirm(here.phrases.tell(Said("bring.shall", number=count)), err=True):
            here.say(Said("bring.nothing_written"), err=True)
            return
    files = write_brought(here.folder, found, here.studio.today)
    here.say(Said("bring.written", number=len(files)), err=True)
