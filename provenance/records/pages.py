"""The maker's own words for the site: pages/*.md (about, process, care and any other).

In: the record folder. Out: each page's title and Markdown, by file name; a file that is not UTF-8
is a problem with its place.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path

from provenance.problems import Place, Problems

MOST_BYTES = 500_000


@dataclass(frozen=True, slots=True)
class Words:
    """One page: its title (the first `# ` line, else the file's name) and the rest as Markdown."""

    name: str
    title: str
    text: str
    place: Place


def read_pages(folder: Path, problems: Problems) -> Mapping[str, Words]:
    """Every page in pages/, by name; files that lead out of the folder are refused."""
    found: dict[str, Words] = {}
    pages = folder / "pages"
    for path in sorted(pages.glob("*.md")) if pages.is_dir() else ():
        place = Place(f"{folder.name}/pages/{path.name}", 1, 1)
        if not path.resolve().is_relative_to(pages.resolve()):
            problems.add(place, "this file leads out of the record folder", "keep pages in it")
            continue
        raw = path.read_bytes()
        try:
            text = raw[:MOST_BYTES].decode("utf-8-sig").replace("\r\n", "\n")
        except UnicodeDecodeError:
            problems.add(place, "this is not UTF-8 text", "save the file as UTF-8 in your editor")
            continue
        found[path.stem.lower()] = _words(path.stem, text, place)
    return found


def _words(stem: str, text: str, place: Place) -> Words:
    lines = text.lstrip("\n").split("\n")
    if lines and lines[0].startswith("# "):
        return Words(stem.lower(), lines[0][2:].strip(), "\n".join(lines[1:]).strip(), place)
    return Words(stem.lower(), stem.replace("-", " ").capitalize(), text.strip(), place)
