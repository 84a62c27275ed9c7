"""What a build made, and what the public sees differently by it, in lines for the maker.

In: a tree beside the old one, the facts of pieces that were made anew. Out: `Change`s, and a
`Built` with lines that tell it.
"""

import json
from collections import Counter
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path

from provenance.output import Tree
from provenance.press.file_names import without_digest
from provenance.problems import Problem, Said, Words

FACTS = "piece.json"
SHOWN = 40
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


@dataclass(frozen=True, slots=True)
class Built:
    """What a build did and what it could not do; `lines` tell the maker of it."""

    folder: Path
    pages: int
    pieces: int
    changes: tuple[Change, ...]
    problems: tuple[Problem, ...]
    lines: tuple[Words, ...] = ()

    @property
    def data(self) -> dict[str, list[dict[str, str]]]:
        """Every public file that differs, for JSON."""
        return {"pages": [{"page": each.file, "how": each.how} for each in self.changes]}


def changes_in(tree: Tree, told: Mapping[str, bytes]) -> Iterator[Change]:
    """Every public file that differs from the site before; `told` has the facts of pieces."""
    for name, how in _differ(tree):
        if name in _UNSEEN:
            continue
        facts = f"{name.removesuffix('index.html')}{FACTS}"
        if not name.endswith("/index.html") or facts not in told:
            yield Change(name, how)
            continue
        new = json.loads(told[facts])
        if how == "new":
            yield Change(name, how, str(new.get("title", "")))
        else:
            yield Change(name, how, fields=tuple(_differing(_old(tree.target / facts), new)))


def _differ(tree: Tree) -> Iterator[tuple[str, str]]:
    """How files differ: one that is gone while another came that has its name but for the digest
    in it is one that changed."""
    found = list(tree.changes())
    came, went = (
        {without_digest(name) for name, how in found if how == of} for of in ("new", "gone")
    )
    both = came & went
    for name, how in found:
        if without_digest(name) not in both:
            yield name, how
        elif how == "new":
            yield name, "changed"


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


def site_lines(site: Built, *, only_tell: bool) -> Iterator[Words]:
    """What the public sees differently, and where the site lies."""
    yield from seen_lines(site.changes, only_tell=only_tell)
    yield ""
    if only_tell:
        yield Said("build.not_changed")
        return
    pieces = Said("build.pieces", number=site.pieces)
    index = str(site.folder / "index.html")
    yield Said("build.done", pieces=pieces, pages=str(site.pages), index=index)


def due_tag_lines(count: int, path: Path) -> Iterator[Words]:
    """How many tags are due, and where they lie."""
    if count:
        yield Said("build.tags_due", tags=Said("build.tags", number=count), path=str(path))
        yield Said("build.tags_print")


def seen_lines(changes: Sequence[Change], *, only_tell: bool) -> Iterator[Words]:
    """What the public sees differently: pages one by one, other files in a line."""
    pages = [each for each in changes if each.is_page]
    others = [each for each in changes if not each.is_page]
    key = "build.would_see" if only_tell else "build.sees"
    yield Said(key, count=Said("build.pages", number=len(pages)))
    for change in pages[:SHOWN]:
        yield from _change_lines(change)
    if len(pages) > SHOWN:
        yield Said("build.more", count=str(len(pages) - SHOWN))
    if others:
        yield Said(
            "build.others", number=len(others), files=endings_of(each.file for each in others)
        )


def _change_lines(change: Change) -> Iterator[Words]:
    if change.how == "new" and change.title:
        yield Said("build.new", page=change.page, title=change.title)
    else:
        key = "build.is_new" if change.how == "new" else f"build.{change.how}"
        yield Said(key, page=change.page or "index.html")
    for word, old, new in change.fields:
        nothing = Said("build.nothing")
        yield Said("build.field", word=word, old=old or nothing, new=new or nothing)


def endings_of(files: Iterable[str]) -> str:
    """How many files of which ending: 3 .json, 1 .xml."""
    found = Counter(f".{file.rsplit('.', 1)[-1]}" for file in files)
    return ", ".join(f"{count} {ending}" for ending, count in found.items())
