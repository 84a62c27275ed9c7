"""What the public will see differently: every file of the site that is new, changed or gone.

In: the tree of a site in the making and its files. Out: changes, in order of their paths; for a
piece also the words of its facts that differ.
"""

import json
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from pathlib import Path

from provenance.output import Tree

_FACTS = "piece.json"
_UNSEEN = (".studio", ".nojekyll")
_BRIEF = 60


@dataclass(frozen=True, slots=True)
class Change:
    """A file that differs: how (new, changed, gone), a new piece's title, the facts that differ
    (word, old, new)."""

    file: str
    how: str
    title: str = ""
    fields: tuple[tuple[str, str, str], ...] = ()

    @property
    def page(self) -> str:
        """The address of a page; else the file."""
        return self.file.removesuffix("index.html")

    @property
    def is_page(self) -> bool:
        """Whether it is a page that people read."""
        return self.file.endswith(".html")


def changes_in(tree: Tree, files: Mapping[str, bytes]) -> Iterator[Change]:
    """Every public file that differs from the site before."""
    for name, how in tree.changes():
        if name in _UNSEEN:
            continue
        facts = f"{name.removesuffix('index.html')}{_FACTS}"
        if not name.endswith("/index.html") or facts not in files:
            yield Change(name, how)
            continue
        new = json.loads(files[facts])
        if how == "new":
            yield Change(name, how, str(new.get("title", "")))
        else:
            yield Change(name, how, fields=tuple(_differing(_old(tree.target / facts), new)))


def _differing(
    old: Mapping[str, object], new: Mapping[str, object]
) -> Iterator[tuple[str, str, str]]:
    for word in {**old, **new}:
        if old.get(word) != new.get(word):
            yield word, _brief(old.get(word)), _brief(new.get(word))


def _old(path: Path) -> dict[str, object]:
    try:
        found = json.loads(path.read_text(encoding="utf-8"))
    except (OSError, ValueError):
        return {}
    return found if isinstance(found, dict) else {}


def _brief(value: object) -> str:
    text = "; ".join(map(str, value)) if isinstance(value, list) else str(value or "")
    return text if len(text) <= _BRIEF else text[: _BRIEF - 3].rstrip() + "..."
