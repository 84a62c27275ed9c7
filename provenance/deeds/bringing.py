"""`bring --write`: the records of earlier work are new files, and can be taken back as one deed.

In: the record folder, what was brought; the lock is the caller's. Out: a file for each new record,
noted for `undo`; never one over what is there.
"""

from datetime import date
from pathlib import Path

from provenance.build.bringing import Brought
from provenance.build.starting import write_new
from provenance.deeds.deed import Change, Deed
from provenance.deeds.doing import do
from provenance.problems import Said, Slip


def write_brought(folder: Path, brought: Brought, today: date) -> tuple[str, ...]:
    """Write each new record; the names of their files. Raises Slip while something is asked."""
    if brought.proposal.questions:
        raise Slip(Said("bring.answer_first"))
    files = brought.files()
    for name in files:
        if (folder / name).exists():
            raise Slip(Said("start.there", file=name), Said("start.not_over"))
    write_new(folder, {})  # the schemas that the records name; they stay when a deed is undone
    changes = tuple(
        Change(folder / name, f"{folder.name}/{name}", None, text.encode())
        for name, text in files.items()
    )
    do(folder, Deed(f"bring {brought.table.file}", changes), today)
    return tuple(files)
