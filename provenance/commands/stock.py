"""`stock`: what lies where on a day, at cost without the maker's own hours.

In: a day, by default today; with `--since`, what the goods sold since then had cost. Out: tables,
JSON, a CSV file for a spreadsheet, or a paper for the books.
"""

from datetime import date
from pathlib import Path

import click

from provenance.commands.door import read_as
from provenance.commands.here import Here
from provenance.commands.told import Told
from provenance.commands.writing import file_list, file_papers, write_out
from provenance.output import write_file
from provenance.problems import Said, WrongWish
from provenance.records.fields import day
from provenance.reports.count_sheet import count_sheet
from provenance.reports.stock import stock_report
from provenance.reports.writers.data import as_csv


@click.command("stock", cls=Told)
@click.option("--on", metavar="DATE", callback=read_as(day))
@click.option("--since", metavar="DATE", callback=read_as(day))
@click.option("--items", is_flag=True)
@click.option("--count-sheet", is_flag=True)
@click.option("--explain", is_flag=True)
@click.option("--csv", "csv_file", type=click.Path(path_type=Path))
@click.option("--pdf", "is_pdf", is_flag=True)
@click.option("--json", "is_json", is_flag=True)
@click.pass_obj
def command(
    here: Here, /, on: date | None, since: date | None, csv_file: Path | None, **how: bool
) -> None:
    """Work the stock out, and write it as asked."""
    until = on or here.studio.today
    if since and since > until:
        raise WrongWish(Said("stock.since_after", since=str(since), on=str(until)))
    report = stock_report(here.studio, until, since, with_items=how["items"])
    if csv_file and report.rows:
        write_file(csv_file.absolute(), as_csv(report.rows(), here.phrases))
        here.say(Said("stock.written", path=str(csv_file)), err=True)
    if how["count_sheet"]:
        file_list(here, count_sheet(here.studio, until), f"count-{until}", "stock.count_written")
    if how["is_pdf"]:
        file_papers(here, [report])
    write_out(here, [report], is_json=how["is_json"], explain=how["explain"])
