"""Papers in a folder that `once` shares among workers, in the order they were made."""

from __future__ import annotations

import json
from collections.abc import Mapping
from pathlib import Path

_ORDER = "order.json"


def keep(papers: Mapping[str, bytes], into: Path) -> None:
    """Write papers, by their names, to be read by `kept`."""
    for at, content in enumerate(papers.values()):
        (into / f"{at}.paper").write_bytes(content)
    (into / _ORDER).write_text(json.dumps(list(papers)))


def kept(folder: Path) -> dict[str, bytes]:
    """The papers that `keep` wrote."""
    names = json.loads((folder / _ORDER).read_text())
    return {name: (folder / f"{at}.paper").read_bytes() for at, name in enumerate(names)}
