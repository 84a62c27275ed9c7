"""Papers for the maker's binder, written to papers/private/.

In: reports that are filed. Out: PDF files, never among what the public sees.
"""

from __future__ import annotations

from collections.abc import Iterable

from provenance.commands.here import Here
from provenance.commands.place import shown_path
from provenance.output import write_file
from provenance.problems import Said
from provenance.reports.report import Report
from provenance.reports.writers.paper import as_paper


def file_papers(here: Here, reports: Iterable[Report]) -> None:
    """Write each report that is filed, and say where it lies."""
    with here.turn("papers"):
        for report in reports:
            if filed := report.filed:
                path = here.folder / "papers" / "private" / f"{filed.name}.pdf"
                write_file(path, as_paper(report, filed, here.border))
                said = Said("paper.written", about=filed.about, path=shown_path(path))
                here.say(said, err=True)
