"""Tags on file: printed into papers/, and noted.

In: the border and what is wished for. Out: the run, and where its sheets lie. The file is written
first: a run that is killed between the two leaves the tags due.
"""

from collections.abc import Callable
from pathlib import Path

from provenance.build.tags import TagRun, Wishes, print_tags
from provenance.build.tags_due import note_lines
from provenance.output import append_text, write_file
from provenance.public.border import Border


def file_tags(
    border: Border, wishes: Wishes, tell: Callable[[int, int], None]
) -> tuple[TagRun, Path]:
    """Print, write and note; nothing is written where there is nothing to print."""
    run, folder = print_tags(border, wishes, tell), border.house.folder
    path = folder / "papers" / (f"tags-{wishes.outlet}.pdf" if wishes.outlet else "tags.pdf")
    if run.content:
        write_file(path, run.content)
        if lines := note_lines(border.studio, run.notes):
            append_text(folder / "studio" / "printed.yaml", lines)
    return run, path
