"""The maker's own words for the site: pages/*.md (about, process, care and any other).

In: the record folder. Out: each page by the name of its address, and problems for pages that would
be lost without a word: under a name that another page or the site itself has, too long, not UTF-8,
leading elsewhere, with signs that nobody sees, with more Markdown than can be read. What other
systems drop beside files (`._about.md`) and hidden files are nobody's pages.
"""

import re
import unicodedata
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from pathlib import Path

from provenance.problems import Place, Problems, Said
from provenance.records.faults import as_text
from provenance.records.file_names import bad_name
from provenance.records.folder import leads_inside, printable
from provenance.reference.marks import too_much

MOST_LETTERS = 250_000
MOST_BYTES = 4 * MOST_LETTERS
ENDING = ".md"
# Addresses that the site has itself; `process` is the page at `making`.
OF_THE_SITE = frozenset(
    ["work", "dyes", "fleeces", "where", "shows", "checking", "making", "letters", "pictures", "ns"]
)
# Pages that the site's menu has a place for.
OF_THE_MENU = frozenset(["about", "process", "care"])
_OTHER_ENDINGS = (".markdown", ".txt", ".html", ".htm", ".docx", ".odt", ".rtf")


@dataclass(frozen=True, slots=True)
class Words:
    """One page: its title (the first `# ` line, else the file's name) and the rest as Markdown."""

    name: str
    title: str
    text: str


def read_pages(folder: Path, problems: Problems) -> Mapping[str, Words]:
    """Every page in pages/, by name; what can't become one is told."""
    found: dict[str, Words] = {}
    first: dict[str, str] = {}
    for path in _files(folder / "pages"):
        place = Place(f"{folder.name}/pages/{printable(path.name)}")
        stem = printable(path.stem)
        name = unicodedata.normalize("NFC", stem).lower()
        if path.suffix.lower() != ENDING:
            _tell_other_ending(path, place, problems)
        elif wrong := _wrong_name(path, name, first):
            problems.add(place, *wrong)
        elif (text := _text(path, place, problems)) is not None:
            first[name] = path.name
            found[name] = _words(stem, text)
    return found


def _files(pages: Path) -> Iterator[Path]:
    """What lies there under a name that is not hidden."""
    there = sorted(pages.iterdir()) if pages.is_dir() else []
    return (path for path in there if not path.name.startswith(".") and not path.is_dir())


def _tell_other_ending(path: Path, place: Place, problems: Problems) -> None:
    """`about.md.txt` is what some editors make of a page; a README is for whoever looks here."""
    name = path.name.lower()
    if (ENDING in name or name.endswith(_OTHER_ENDINGS)) and not name.startswith("readme"):
        problems.add(place, Said("page_file.ending"), Said("page_file.rename"), is_remark=True)


def _wrong_name(path: Path, name: str, first: Mapping[str, str]) -> tuple[Said, Said] | None:
    """Why a page can't have the address of its name, and what to do about it."""
    if not leads_inside(path, path.parent):
        return Said("file.leads_out"), Said("file.keep_pages")
    if name in first:
        return Said("page_file.twice", other=first[name], name=name), Said("file.rename_one")
    if name in OF_THE_SITE:
        return Said("page_file.of_the_site", name=name), Said(
            "page_file.call", name=f"our-{name}{ENDING}"
        )
    if re.fullmatch(r"[0-9]+(-[0-9]+)*", name):
        return Said("page_file.number", name=name), Said(
            "page_file.call", name=f"about-{name}{ENDING}"
        )
    if path.stem != printable(path.stem) or bad_name(path.stem):
        return Said("page_file.bad_name"), Said("page_file.call", name="our-loom.md")
    return None


def _text(path: Path, place: Place, problems: Problems) -> str | None:
    """The text of a page; None, with a problem, where it can't be taken whole."""
    try:
        size = path.stat().st_size
        text = as_text(path.read_bytes(), place.file, problems) if size <= MOST_BYTES else ""
    except OSError as error:
        why = (error.strerror or str(error)).lower()
        problems.add(place, Said("file.unopened", why=why), Said("file.may_read"))
        return None
    if size > MOST_BYTES or (text and len(text) > MOST_LETTERS):
        what = Said("page_file.too_long", size=f"{-(-size // 1000)}")
        problems.add(place, what, Said("page_file.at_most", most=f"{MOST_LETTERS // 1000}"))
        return None
    if text and (much := too_much(text)):
        line, column, what, remedy = much
        problems.add(Place(place.file, line, column), what, remedy)
        return None
    return text


def _words(stem: str, text: str) -> Words:
    name = unicodedata.normalize("NFC", stem).lower()
    first, _, rest = text.lstrip("\n").partition("\n")
    if first.startswith("# "):
        return Words(name, first[2:].strip(), rest.strip())
    return Words(name, stem.replace("-", " ").capitalize(), text.strip())
