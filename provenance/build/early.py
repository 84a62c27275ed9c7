"""What can be known of a build before anything is read, by times alone; loads next to nothing.

In: the record folder. Out: a guess whether there is something to make, and where the memo lies.
"""

import hashlib
import os
from contextlib import suppress
from pathlib import Path

from provenance.build.cache import cache_path
from provenance.records.places import OF_RECORDS


def memo_file(folder: Path) -> Path:
    """Where the memo of a studio lies, written by builds and by whatever else asks for facts."""
    place = hashlib.sha256(os.fsencode(folder.resolve())).hexdigest()[:32]
    return cache_path(f"studios/{place}.sqlite")


def note_built(folder: Path) -> None:
    """Note that a build has just ended, where there is a place for it."""
    with suppress(OSError):
        _built(folder).touch()


def has_new_records(folder: Path) -> bool:
    """A guess: whether a record was written since the last build, or there was none, so that there
    is something to make."""
    try:
        note = _built(folder)
        built = note.stat().st_mtime if note.exists() else 0.0
        places = [folder, *(folder / each for each in OF_RECORDS if (folder / each).is_dir())]
        files = (path for place in places for path in place.iterdir() if path.is_file())
        return any(path.stat().st_mtime > built for path in files)
    except OSError:
        return False


def _built(folder: Path) -> Path:
    return memo_file(folder).with_suffix(".built")
