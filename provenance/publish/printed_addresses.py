"""Every address that was ever printed, and what was printed beside it.

In: the book, the site folder. Out: an `Address` for each number and form of address: from the list
of printed numbers, from certificates and tags that carry their lines, from what the site knows. An
address is SITE/NUMBER/, with the site as it was when the paper was printed.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path
from urllib.parse import urlsplit

from provenance.build.witnesses import Papers, old_site
from provenance.records.book import Book
from provenance.records.printed import Printed


@dataclass(frozen=True, slots=True)
class Address:
    """One address as it stands on papers, small letters where case does not matter, and the lines
    of the papers that carry it."""

    number: str
    text: str
    lines: tuple[Printed, ...]

    @property
    def site(self) -> str:
        """The site it belongs to, without the number."""
        return self.text.rstrip("/").removesuffix(f"/{self.number}")


def printed_addresses(book: Book, site: Path) -> tuple[Address, ...]:
    """Every printed address, by number and in the order they were printed."""
    found: dict[tuple[str, str], dict[Printed, None]] = {}
    for line in (*book.printed, *_on_papers(book)):
        if line.address:
            lines = found.setdefault((str(line.number), spelt(str(line.address))), {})
            lines[line.model_copy(update={"chain": None})] = None
    listing = old_site(book.folder, str(book.studio.studio), str(book.studio.site or ""), site)
    for number, text in listing.listing.addresses.items():
        found.setdefault((number, spelt(text)), {})
    return tuple(Address(*key, tuple(lines)) for key, lines in sorted(found.items()))


def _on_papers(book: Book) -> Iterator[Printed]:
    papers = Papers(book.folder)
    paths = [path for _, path in papers.certificates()]
    for path in (*paths, *papers.tags):
        yield from papers.lines_on(path)


def spelt(address: str) -> str:
    """An address in small letters up to its path, where case does not matter (RFC 3986, 6.2)."""
    parts = urlsplit(address)
    return parts._replace(scheme=parts.scheme.lower(), netloc=parts.netloc.lower()).geturl()


def former_sites(book: Book, printed: Sequence[Address]) -> dict[str, tuple[Address, ...]]:
    """Of the addresses printed those for another site than the one of now, by that site."""
    now = spelt(str(book.studio.site or ""))
    found: dict[str, list[Address]] = {}
    for address in printed:
        if now and address.site != now:
            found.setdefault(address.site, []).append(address)
    return {site: tuple(each) for site, each in found.items()}
