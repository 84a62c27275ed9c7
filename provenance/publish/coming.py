"""Names on the way to a place: where a file is written before it takes its place, its folders.

In: names below the place. Out: names. A killed run leaves files under such names; the manifest
says which (a digest of ''), and the next run writes or takes away just these.
"""

import re
from collections.abc import Iterable

_LEADS_OUT = re.compile(r"(?:\A|/)\.{0,2}(?:/|\Z)|[\\\x00-\x1f]")


def leads_out(name: str) -> bool:
    """Whether a name from a list is no way below the place: upwards, from the top, an empty part, a
    sign that ends a line or that another system takes for a way."""
    return bool(_LEADS_OUT.search(name))


def coming(name: str) -> str:
    """The name beside a file's own, under which it is written."""
    folder, slash, last = name.rpartition("/")
    return f"{folder}{slash}.{last}.coming"


def folders_of(names: Iterable[str]) -> set[str]:
    """Every folder that has to be there for the names."""
    found: set[str] = set()
    for name in names:
        folder = name.rpartition("/")[0]
        while folder and folder not in found:
            found.add(folder)
            folder = folder.rpartition("/")[0]
    return found


def levels(folders: Iterable[str]) -> list[list[str]]:
    """Folders sorted by how deep they lie: each level can be made when those before are there."""
    found: dict[int, list[str]] = {}
    for folder in sorted(folders):
        found.setdefault(folder.count("/"), []).append(folder)
    return [found[depth] for depth in sorted(found)]
