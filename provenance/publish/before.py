"""What must be right before anything goes up.

In: the border, the site folder and the names of what is served of it, the address of the site that
lies at the place ("" for none).
Out: what is refused, because a visitor would meet something broken or a printed code would lead
nowhere; and what is asked, because it may be meant. Whether the site is of the records of now is
asked elsewhere: here it is looked at as it lies.
"""

import json
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cached_property
from pathlib import Path

from provenance.build.start_words import kept_from_others
from provenance.output.holding import files_in
from provenance.problems import Place, Problem, Said, row
from provenance.public.border import Border
from provenance.publish.printed_addresses import Address, former_sites, printed_addresses
from provenance.publish.private_words import private_words
from provenance.publish.redirects import is_same_place
from provenance.publish.site_files import is_served
from provenance.publish.site_links import Missing, missing_files
from provenance.publish.site_words import SiteWords
from provenance.records.book import Book
from provenance.seal.statement import LIVING

_MOVED = "sense.site_moved"
_SHOWN = 3


@dataclass(frozen=True, slots=True)
class Before:
    """Mistakes that keep everything at home, and remarks that `--yes` lets by."""

    refused: tuple[Problem, ...]
    asked: tuple[Problem, ...]


def before(
    border: Border, site: Path, there: str = "", names: tuple[str, ...] | None = None
) -> Before:
    """Look at a site before it goes up; nothing is written, nobody is asked here."""
    look = _Look(border, site, there, served_names(site) if names is None else names)
    refused = (*look.start_words(), *look.other_address(), *look.lost(), *look.broken())
    asked = (*look.moved(), *look.photos(), *look.dead_ends(), *look.private(), *look.unsigned())
    return Before(tuple(dict.fromkeys(refused)), tuple(dict.fromkeys(asked)))


def served_names(site: Path) -> tuple[str, ...]:
    """The files of a site folder that visitors are to see."""
    names = (name for name, entry in files_in(site) if not entry.is_symlink())
    return tuple(sorted(name for name in names if is_served(name)))


@dataclass(frozen=True)
class _Look:
    border: Border
    site: Path
    there: str
    names: tuple[str, ...]

    @property
    def _book(self) -> Book:
        return self.border.studio.book

    @cached_property
    def _pages(self) -> frozenset[str]:
        return frozenset(name for name in self.names if name.endswith("index.html"))

    @cached_property
    def _missing(self) -> tuple[Missing, ...]:
        return tuple(missing_files(self.site, self.names, self.border.house.site))

    @cached_property
    def _printed(self) -> tuple[Address, ...]:
        return printed_addresses(self._book, self.site)  # reads every certificate

    def _in_site(self, name: str) -> Place:
        return Place(f"{self.site.name}/{name}")

    def start_words(self) -> Iterator[Problem]:
        """What a start file says that nobody has made their own."""
        yield from kept_from_others(self.border.studio, "studio", "pages", "pieces", "shows")

    def other_address(self) -> Iterator[Problem]:
        """The pages name another address than the record does: they were built before that."""
        path, site = self.site / ".studio", self.border.house.site
        words = path.read_text("utf-8", "replace").splitlines() if path.is_file() else []
        if len(words) == 2 and words[1] != site:
            place = getattr(self._book.studio.site, "place", Place(path.name))
            said = Said("served.other_address", old=words[1] or "-", site=site or "-")
            yield Problem(place, said, Said("served.build"))

    def lost(self) -> Iterator[Problem]:
        """A printed code leads to a page, or it is no code."""
        for address in self._printed:
            if f"{address.number}/index.html" not in self._pages:
                line = next(iter(address.lines), None)
                place = line.record_place if line else self._in_site(".printed")
                said = Said("served.lost", number=address.number, address=address.text)
                yield Problem(place, said, Said("served.bring_back"))

    def broken(self) -> Iterator[Problem]:
        """Pictures, styles, scripts that a page shows or needs."""
        yield from self._links(is_part=True)

    def dead_ends(self) -> Iterator[Problem]:
        """Links that lead nowhere."""
        yield from self._links(is_part=False)

    def _links(self, *, is_part: bool) -> Iterator[Problem]:
        key = "part" if is_part else "link"
        for each in self._missing:
            if each.is_part == is_part:
                said = Said(f"served.no_{key}", name=each.name, number=each.count)
                remedy = Said(f"served.mend_{key}", name=each.name)
                yield Problem(self._in_site(each.page), said, remedy, is_remark=not is_part)

    def moved(self) -> Iterator[Problem]:
        """Papers, or the place, know the site under another address."""
        for each in self.border.studio.problems:
            if isinstance(each.what, Said) and each.what.key == _MOVED:
                yield Problem(each.place, each.what, self._lead_on(), is_remark=True)
        site = self.border.house.site
        if self.there and self.there != site:
            place = getattr(self._book.studio.site, "place", Place("studio/studio.yaml"))
            said = Said("served.other_there", there=self.there, site=site or "-")
            yield Problem(place, said, self._lead_on(self.there), is_remark=True)

    def _lead_on(self, old: str = "") -> Said:
        """How old addresses come to lead on: rules are written where there is a new address, and
        where it is another than the old one."""
        site = str(self._book.studio.site or "")
        former = [old] if old else [*former_sites(self._book, self._printed)]
        if not site:
            return Said("served.lead_on_later")
        is_same = bool(former) and all(is_same_place(each, site) for each in former)
        return Said("served.lead_on_yourself" if is_same else "served.lead_on")

    def photos(self) -> Iterator[Problem]:
        """Photos that records of shown pieces name and that are not there: the page goes on
        showing what it showed, or nothing."""
        pieces = self._book.pieces.items()
        shown = {
            piece.record_place.file
            for number, piece in pieces
            if f"{number}/index.html" in self._pages
        }
        for each in sorted(self.border.studio.of_photos):
            if each.place.file in shown and not each.is_remark:
                yield Problem(each.place, each.what, each.remedy, is_remark=True)

    def private(self) -> Iterator[Problem]:
        """What a record keeps private and the site says."""
        words = SiteWords(self.site, self.names)
        for each in private_words(self._book, words, self.border.phrases):
            files = row((*each.files[:_SHOWN], *(["..."] if each.files[_SHOWN:] else [])))
            said = Said("served.private", word=each.word, files=files)
            yield Problem(each.place, said, Said("served.take_off"), is_remark=True)

    def unsigned(self) -> Iterator[Problem]:
        """Statements without a signature, where the studio has a key that could sign."""
        if any(not key.until and not key.withdrawn for key in self.border.house.keys):
            names = [name for name in self.names if name.endswith(f"/{LIVING}")]
            bare = [name for name in names if not _is_signed(self.site / name)]
            if bare:
                said = Said("served.unsigned", number=len(bare))
                yield Problem(self._in_site(bare[0]), said, Said("served.sign"), is_remark=True)


def _is_signed(path: Path) -> bool:
    try:
        return "proof" in json.loads(path.read_bytes())
    except ValueError:
        return False
