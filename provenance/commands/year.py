"""`year`: the book of a year: sales, what is owed and held, overhead, what an hour brought.

In: the name of a year, by default the one that today is in. Out: told, and written as PDF and CSV
to papers/private/; or JSON alone.
"""

import click

from provenance.commands.door import read_as
from provenance.commands.here import Here
from provenance.commands.told import Told
from provenance.commands.writing import file_list, file_papers, write_out
from provenance.records.tax_year import read_year
from provenance.reports.year import year_report


@click.command("year", cls=Told)
@click.argument("year", required=False, callback=read_as(read_year))
@click.option("--only-tell", is_flag=True)
@click.option("--explain", is_flag=True)
@click.option("--json", "is_json", is_flag=True)
@click.pass_obj
def command(here: Here, *, year: int | None, only_tell: bool, explain: bool, is_json: bool) -> None:
    """Work the year out, tell it, and file it."""
    studio = here.studio
    report = year_report(studio, year or studio.file.tax_year.of(studio.today))
    write_out(here, [report], is_json=is_json, explain=explain)
    if not is_json and not only_tell and report.filed and report.rows:
        file_papers(here, [report])
        file_list(here, report.rows(), report.filed.name, "year.list_written")
