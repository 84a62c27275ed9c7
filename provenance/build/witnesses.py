"""What else knows of printed numbers: certificates and tags that lie in papers/, and the site.

In: the record folder. Out: numbers and lines of the list as each of them tells. A paper carries its
own lines (`press.pdf.noted`); one of an earlier version tells by its name and by its codes. The
site keeps a small file that nobody sees, and a copy of it lies with the former sites: how many
lines of the list carry an address, a digest of their numbers in turn, and each of these numbers
with its address. Nothing private is among them.
"""

import hashlib
import json
import os
import re
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field
from functools import cached_property
from pathlib import Path

from provenance.build.filing import KEPT
from provenance.build.ledger import read_list
from provenance.build.seen import FACTS
from provenance.output import disk_told, write_beside
from provenance.output.generations import beside, generations
from provenance.records.book import Book
from provenance.records.printed import Printed, lines_alone

LISTING = ".printed"
_NUMBER = r"[0-9]+(?:-[0-9]+)*"
_CERTIFICATE = re.compile(rf"certificate-({_NUMBER})\.pdf")
_PAGE = re.compile(_NUMBER)
DUE = "tags-due.pdf"  # made anew by every build, and printed by nobody


@dataclass(frozen=True)
class Papers:
    """The certificates and tags of a record folder."""

    folder: Path

    @cached_property
    def _all(self) -> tuple[Path, ...]:
        place = self.folder / "papers"
        found = (Path(top, name) for top, _, names in os.walk(place) for name in names)
        papers = (each for each in found if each.name.endswith(".pdf") and not each.is_symlink())
        return tuple(sorted(papers))

    @property
    def tags(self) -> tuple[Path, ...]:
        """Sheets of tags that were printed."""
        return tuple(p for p in self._all if p.name.startswith("tags") and p.name != DUE)

    def certificates(self, known: Iterable[str] = ()) -> Iterator[tuple[str, Path]]:
        """Number and file of every certificate; `known` numbers tell 2026-014-2 from the second
        paper of 2026-014 that was kept of a day."""
        numbers = frozenset(known)
        for path in self._all:
            if found := _CERTIFICATE.fullmatch(path.name):
                yield _number(path, found[1], numbers), path

    def lines_on(self, path: Path) -> tuple[Printed, ...]:
        """What a paper carries of the list."""
        from provenance.press.pdf.noted import note_in

        try:
            return tuple(lines_alone(note_in(path.read_bytes()).encode()))
        except OSError:
            return ()

    def addresses_on(self, path: Path) -> tuple[str, ...]:
        """What the codes of a paper say, for one that carries nothing."""
        from provenance.press.pdf.codes import addresses_on

        try:
            return tuple(sorted(set(addresses_on(path.read_bytes()))))
        except (OSError, RuntimeError, ValueError):  # no PDF, or one that can't be drawn
            return ()

    def tag_numbers(self) -> Iterator[str]:
        """Numbers of the tags that carry their lines: quickly read, no code is looked for."""
        for path in self.tags:
            yield from (str(line.number) for line in self.lines_on(path))

    def named(self, path: Path) -> str:
        """A paper as it is named in messages."""
        return f"{self.folder.name}/{path.relative_to(self.folder).as_posix()}"


def tells_more(book: Book, path: Path) -> bool:
    """Whether a paper has a number that no line tells of: it was handed out once."""
    known = {str(line.number) for line in book.printed}
    return any(str(line.number) not in known for line in Papers(book.folder).lines_on(path))


def _number(path: Path, said: str, known: frozenset[str]) -> str:
    """The number of a certificate: of two kept of a day the second is `certificate-NUMBER-2`."""
    less = said.rpartition("-")[0]
    if path.parent.parent.name != KEPT or not less or said in known:
        return said
    has_first = path.with_name(f"certificate-{less}.pdf").is_file()
    return less if has_first or less in known else said


def number_in(address: str) -> str:
    """The number at the end of an address; nothing where it is no address of a piece."""
    found = re.search(rf"/({_NUMBER})/?$", address)
    return found[1] if found else ""


@dataclass(frozen=True, slots=True)
class Listing:
    """What a site knows: numbers with their addresses, how many lines, their digest; in which
    folder that lies."""

    place: Path = Path()
    count: int = 0
    digest: str = ""
    addresses: Mapping[str, str] = field(default_factory=dict)

    def is_of(self, printed: Iterable[Printed]) -> bool:
        """Whether a list is the one the site was built from, or goes on from it."""
        return self.digest in ("", *(digest for _, digest in _digests(printed)))


def tell_site(site: Path, book: Book) -> None:
    """Write what the site knows, once its build has printed all that was due; for former sites too.

    It is put beside the pages and is none of them: what was built stays as it is. Until it is whole
    it lies outside, so that a killed run leaves nothing strange in the site.
    """
    now = read_list(book.folder)
    is_longer = now.count > len(book.printed)
    printed = tuple(lines_alone(now.raw)) if is_longer else book.printed
    listing = listing_of(printed)
    for place in (site / LISTING, *(each.parent / LISTING for each in generations(site)[:1])):
        with disk_told(place):
            if place.is_symlink() or not place.is_file() or place.read_bytes() != listing:
                write_beside(place, listing, via=site.with_name(f".{site.name}{LISTING}"))


def listing_of(printed: Iterable[Printed]) -> bytes:
    """The small file of the site."""
    lines = [line for line in printed if line.address]
    (count, digest) = list(_digests(lines))[-1]
    addresses = {str(line.number): str(line.address) for line in lines}
    return "".join(
        [f"{count} {digest}\n", *(f"{number} {addresses[number]}\n" for number in addresses)]
    ).encode()


def _digests(printed: Iterable[Printed]) -> Iterator[tuple[int, str]]:
    """After every line with an address: how many there were, and a digest of their numbers."""
    digest, count = hashlib.sha256(), 0
    yield 0, digest.hexdigest()[:32]
    for line in printed:
        if line.address:
            digest.update(f"{line.number}\n".encode())
            count += 1
            yield count, digest.hexdigest()[:32]


@dataclass(frozen=True)
class OldSite:
    """The site where it lies by default, and those before it, as far as they are this studio's."""

    folder: Path
    name: str
    site: str

    @cached_property
    def _ours(self) -> tuple[Path, ...]:
        """The site, then the former ones, the newest first."""
        trees = (self.folder, *reversed(generations(self.folder)))
        return tuple(each for each in trees if self._is_ours(each))

    def _is_ours(self, tree: Path) -> bool:
        words = _text(tree / ".studio").splitlines()
        return len(words) == 2 and (words[0] == self.name or (words[1] == self.site != ""))

    @cached_property
    def listing(self) -> Listing:
        """What they know: of the site and the former ones the longer list."""
        kept = beside(self.folder, "kept")
        places = dict.fromkeys(kept if each.parent == kept else each for each in self._ours)
        return max(map(_listing, places), key=lambda each: each.count, default=Listing())

    def page_numbers(self) -> Iterator[str]:
        """Numbers that have a page."""
        for tree in self._ours:
            yield from (p.name for p in tree.iterdir() if _PAGE.fullmatch(p.name))

    def title_of(self, number: str) -> str | None:
        """The title on the page of a number, where it has one."""
        return next(filter(None, (_title_on(tree / number / FACTS) for tree in self._ours)), None)


def _listing(place: Path) -> Listing:
    """What lies there; nothing where an earlier version built it."""
    first, *rest = _text(place / LISTING).splitlines() or [""]
    count, _, digest = first.partition(" ")
    if not (count.isdecimal() and len(count) < 9 and re.fullmatch("[0-9a-f]+", digest)):
        return Listing()
    pairs = (line.partition(" ") for line in rest)
    found = {number: address for number, _, address in pairs if _PAGE.fullmatch(number)}
    return Listing(place, int(count), digest, found)


def _title_on(path: Path) -> str | None:
    try:
        facts = json.loads(_text(path) or "{}")
    except ValueError:
        return None
    title = facts.get("title") if isinstance(facts, dict) else None
    return title if isinstance(title, str) and title.strip() else None


def old_site(folder: Path, name: str, site: str, lies: Path | None = None) -> OldSite:
    """The site beside a record folder, or where it `lies`."""
    return OldSite(lies or folder.parent / "site", name, site)


def _text(path: Path) -> str:
    try:
        return path.read_text(encoding="utf-8") if path.is_file() else ""
    except (OSError, UnicodeDecodeError):
        return ""
