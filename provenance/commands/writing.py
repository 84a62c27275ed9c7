"""Reports written where they are asked for: to the terminal, as JSON, or on paper for the binder.

In: reports. Out: printed, with one line about mistakes in the records before them, but for JSON;
or PDF and CSV files in papers/private/, never among what the public sees.
"""

from collections.abc import Iterable, Sequence

from provenance.build.filing import file_paper
from provenance.commands.here import Here
from provenance.commands.place import shown_path
from provenance.commands.voice import show
from provenance.problems import Said
from provenance.reports.report import Report, Table
from provenance.reports.writers import terminal
from provenance.reports.writers.data import as_csv, as_json


def write_out(
    here: Here, reports: Sequence[Report], *, is_json: bool, explain: bool = False,
    warns: bool = True,
) -> None:  # fmt: skip
    """The data of several as a list, that of one by itself."""
    if is_json:
        found = [report.data() for report in reports]
        show(as_json(found if len(found) > 1 else found[0], here.phrases))
        return
    if warns:
        here.warn_of_mistakes()
    terminal.write(reports, here.phrases, explain=explain)


def file_papers(here: Here, reports: Iterable[Report]) -> None:
    """Write each report that is filed, and say where it lies."""
    from provenance.reports.writers.paper import as_paper

    with here.turn("papers"):
        for report in reports:
            if filed := report.filed:
                path = here.folder / "papers" / "private" / f"{filed.name}.pdf"
                file_paper(path, as_paper(report, filed, here.border), here.studio.today)
                said = Said("paper.written", about=filed.about, path=shown_path(path))
                here.say(said, err=True)


def file_list(here: Here, table: Table, name: str, said: str) -> None:
    """Write a list for a spreadsheet beside the private papers, and say where it lies."""
    path = here.folder / "papers" / "private" / f"{name}.csv"
    with here.turn("papers"):
        file_paper(path, as_csv(table, here.phrases), here.studio.today)
    here.say(Said(said, path=shown_path(path)), err=True)
