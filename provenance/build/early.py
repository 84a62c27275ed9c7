"""What can be known of a build before anything is read, by times alone; loads next to nothing.

In: the record folder. Out: a guess whether there is something to make, and where the memo lies.
"""

import hashlib
import os
from pathlib import Path

from provenance.build.cache import cache_path
from provenance.records.places import OF_RECORDS


def memo_file(folder: Path) -> Path:
    """Where the memo of a studio lies, written by builds and by whatever else asks for facts."""
    place = hashlib.sha256(os.fsencode(folder.resolve())).hexdigest()[:32]
    return cache_path(f"studios/{place}.sqlite")


def has_new_records(folder: Path) -> bool:
    """A guess: whether a record was written since facts were last kept, so that there is something
    to make."""
    try:
        built = memo_file(folder).stat().st_mtime
        places = [folder, *(folder / each for each in OF_RECORDS if (folder / each).is_dir())]
        files = (path for place in places for path in place.iterdir() if path.is_file())
        return any(path.stat().st_mtime > built for path in files)
    except OSError:
        return False
