"""Files that may be seen and written at the desk: records and pages, nothing else.

In: a path as it stands in an address. Out: the file, inside the record folder; Slip for any other:
one that leads out (also by a link), hidden ones. Of what the program keeps itself
(`KEPT_BY_US`; of keys the public halves alone) the files may be seen, and are not saved here.
"""

import re
from pathlib import Path

from provenance.problems import Said, Slip
from provenance.records.folder import leads_inside
from provenance.records.places import ENDINGS, OF_RECORDS

_NAME = re.compile(r"[^./\\\x00-\x1f\x7f:][^/\\\x00-\x1f\x7f:]*")
_FOLDERS: dict[str, tuple[str, ...]] = {
    "": ENDINGS,
    **dict.fromkeys(OF_RECORDS, ENDINGS),
    "pages": (".md",),
}
KEPT_BY_US = ("studio/printed.yaml", "studio/deeds.yaml", "studio/keys.yaml")


def record_path(folder: Path, name: str) -> Path:
    """The file of a record or page. Slip for what is none, or isn't there."""
    *above, last = name.split("/")
    endings = _FOLDERS.get("/".join(above), ()) if len(above) <= 1 else ()
    is_ours = _NAME.fullmatch(last) and last.lower().endswith(endings or "/")
    path = folder.joinpath(*above, last) if is_ours else folder
    if not is_ours or not leads_inside(path, folder) or not path.is_file():
        raise Slip(Said("desk.no_record", name=name), Said("desk.records_alone"))
    return path


def path_of(folder: Path, file: str) -> str:
    """The path from the record folder on of a file as places name it."""
    return file.removeprefix(f"{folder.name}/")


def place_of(folder: Path, name: str) -> str:
    """A path from the record folder on as places name it."""
    return f"{folder.name}/{name}"
