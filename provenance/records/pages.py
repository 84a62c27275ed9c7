"""The maker's own words for the site: pages/*.md (about, process, care and any other).

In: the record folder. Out: each page's title and Markdown, by file name; a file that is not UTF-8
is a problem with its place.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path

from provenance.problems import Place, Problems, Said
from provenance.records.folder import leads_inside

MOST_LETTERS = 500_000


@dataclass(frozen=True, slots=True)
class Words:
    """One page: its title (the first `# ` line, else the file's name) and the rest as Markdown."""

    name: str
    title: str
    text: str


def read_pages(folder: Path, problems: Problems) -> Mapping[str, Words]:
    """Every page in pages/, by name; files that lead out of the folder are refused."""
    found: dict[str, Words] = {}
    pages = folder / "pages"
    for path in sorted(pages.glob("*.md")) if pages.is_dir() else ():
        place = Place(f"{folder.name}/pages/{path.name}", 1, 1)
        if not leads_inside(path, pages):
            problems.add(place, Said("file.leads_out"), Said("file.keep_pages"))
            continue
        try:
            text = path.read_bytes().decode("utf-8-sig").replace("\r\n", "\n")
            found[path.stem.lower()] = _words(path.stem, text[:MOST_LETTERS])
        except UnicodeDecodeError:
            problems.add(place, Said("file.not_utf8"), Said("file.as_utf8"))
    return found


def _words(stem: str, text: str) -> Words:
    first, _, rest = text.lstrip("\n").partition("\n")
    if first.startswith("# "):
        return Words(stem.lower(), first[2:].strip(), rest.strip())
    return Words(stem.lower(), stem.replace("-", " ").capitalize(), text.strip())
