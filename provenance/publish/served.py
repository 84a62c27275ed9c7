"""Every printed address, opened as a visitor would, and held against what was printed.

In: the border, the site folder, the address under test. Out: for each address what came of it
(answers, redirected, other facts, not there, elsewhere, silent, tls) and what differs; and remarks
on how the server hands things out. Only the studio's own addresses are asked, some at once.

What is held against each other: number and title in the page's structured data, and the facts
beside it (`piece.json`), against the paper printed last; the price on the last tag, where the page
shows one; each issue's statement against the one that is kept; and all of it against the bytes in
the site folder.
"""

import json
import re
from collections.abc import Iterator, Mapping, Sequence
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any
from urllib.parse import urljoin

from provenance.build.secret_keys import STATEMENTS
from provenance.build.seen import FACTS
from provenance.problems import Said, WrongWish
from provenance.publish.printed_addresses import Address
from provenance.publish.web import LASTING, NO_HOST, Answer, ask, host_of
from provenance.records.book import Book
from provenance.seal.statement import issue_name

WELL = ("answers", "redirected")
AT_ONCE = 8
MOST_AGE = 3600  # seconds that a page may be kept unasked: a sale shows within the hour
LEAST_PACKED = 1400  # bytes; what fits a packet gains nothing (RFC 9293: 1460 on Ethernet, less)
_DATA = re.compile(rb"<script[^>]*ld\+json[^>]*>(.*?)</script", re.DOTALL)
_FAULTS = {"tls": "tls", "elsewhere": "elsewhere", "loop": "elsewhere"}


@dataclass(frozen=True, slots=True)
class Differs:
    """A fact that is served otherwise than it was printed, or than the site folder has it."""

    word: str
    printed: str
    served: str


@dataclass(frozen=True, slots=True)
class Opened:
    """One address and what came of it; `number` is '' for the home page. `remarks` are keys."""

    number: str
    address: str
    opened: str
    verdict: str
    led_to: str = ""
    why: str = ""
    differs: tuple[Differs, ...] = ()
    remarks: tuple[str, ...] = ()

    @property
    def is_well(self) -> bool:
        """Whether who holds the paper gets what it says."""
        return self.verdict in WELL


@dataclass(frozen=True, slots=True)
class Served:
    """All that was opened."""

    site: str
    at: str
    opened: tuple[Opened, ...]

    @property
    def is_well(self) -> bool:
        """Whether nothing is wrong."""
        return all(each.is_well for each in self.opened)


@dataclass(frozen=True)
class Asking:
    """What is asked where: the site as it should be, and the address that takes its place."""

    book: Book
    folder: Path
    at: str = ""
    _kept: dict[str, str] = field(default_factory=dict)

    @property
    def site(self) -> str:
        """The address of the site, as the record has it."""
        return str(self.book.studio.site or "")

    def to_open(self, address: Address) -> str:
        """The address itself, or the same page under the address under test."""
        return f"{self.at}/{address.number}/" if self.at else address.text

    def hosts(self, address: Address) -> frozenset[str]:
        """Where a redirect may lead: the studio's own site, old or new, or the one under test."""
        own = {host_of(each) for each in (self.at, self.site, address.site) if each} - {NO_HOST}
        return frozenset(own | {_twin(each) for each in own})

    def content(self, name: str) -> bytes | None:
        """A file of the site folder; None where there is none."""
        path = self.folder / name
        return path.read_bytes() if path.is_file() else None


def _twin(host: str) -> str:
    """With and without www: the same studio."""
    return host.removeprefix("www.") if host.startswith("www.") else f"www.{host}"


def open_all(book: Book, printed: Sequence[Address], site: Path, at: str = "") -> Served:
    """Open the home page and every printed address. `at` is a base address, without slash."""
    asking = Asking(book, site, at.rstrip("/"))
    home = Address("", f"{asking.site}/", ())
    with ThreadPoolExecutor(AT_ONCE) as pool:
        pages = [home, *printed] if asking.at or asking.site else [*printed]
        opened = pool.map(lambda address: _open(asking, address), pages)
        return Served(asking.site, asking.at, tuple(opened))


def refuse_address(at: str) -> None:
    """What takes the place of the site's address is one: WrongWish for anything else."""
    is_one = re.fullmatch(r"https?://[^\s/?#@]+(/[^\s?#]*)?", at) and host_of(at) != NO_HOST
    if at and not is_one:
        raise WrongWish(Said("served.odd_at", at=at), Said("served.write_at"))


def _open(asking: Asking, address: Address) -> Opened:
    opens = asking.to_open(address) if address.number else f"{asking.at or asking.site}/"
    answer = ask(opens, asking.hosts(address))
    told: dict[str, Any] = {
        "number": address.number,
        "address": address.text,
        "opened": opens,
        "led_to": answer.final if answer.hops else "",
    }
    if answer.fault:
        verdict = _FAULTS.get(answer.fault, "silent")
        return Opened(**told, verdict=verdict, why=answer.why or answer.fault)
    if answer.status != 200:
        return Opened(**told, verdict="not there", why=str(answer.status))
    beside = _Beside(asking, address, answer)
    differs = tuple(dict.fromkeys(beside.differing()))
    verdict = "other facts" if differs else "redirected" if answer.hops else "answers"
    return Opened(**told, verdict=verdict, differs=differs, remarks=tuple(beside.remarks()))


@dataclass(frozen=True)
class _Beside:
    """A page that was served, beside what was printed and what the site folder has."""

    asking: Asking
    address: Address
    page: Answer
    _answers: dict[str, Answer] = field(default_factory=dict)

    def _beside(self, name: str) -> Answer:
        """A file that lies beside the page."""
        if name not in self._answers:
            page = self.page.final.partition("#")[0].partition("?")[0]
            folder = page if page.endswith(("/", ".html", ".htm")) else f"{page}/"
            self._answers[name] = ask(urljoin(folder, name), self.asking.hosts(self.address))
        return self._answers[name]

    def differing(self) -> Iterator[Differs]:
        """What is not as it was printed, or as the site folder has it."""
        if self.address.number:
            yield from self._against_paper("page", _of_page(self.page.content))
            if (here := self.asking.content(f"{self.address.number}/{FACTS}")) is not None:
                yield from self._facts(here)
            yield from self._statements()

    def _facts(self, here: bytes) -> Iterator[Differs]:
        answer = self._beside(FACTS)
        if answer.status != 200 or answer.fault:
            yield Differs(FACTS, "200", answer.why or str(answer.status))
            return
        served, own = _read(answer.content), _read(here)
        yield from self._against_paper(FACTS, served)
        for word in dict.fromkeys((*own, *served)):
            if served.get(word) != own.get(word):
                yield Differs(word, _told(own.get(word)), _told(served.get(word)))

    def _against_paper(self, where: str, served: Mapping[str, Any]) -> Iterator[Differs]:
        """Number, title and price as printed last; what isn't served there can't differ, but for
        the number."""
        if (number := _told(served.get("number"))) != self.address.number:
            yield Differs(f"number ({where})", self.address.number, number)
        last = {str(line.paper): line for line in self.address.lines}
        for line in last.values():
            title, price = _told(served.get("title")), _told(served.get("price"))
            if line.title and title and str(line.title) != title:
                yield Differs(f"title ({line.paper})", str(line.title), title)
            if line.price and price and _sum(str(line.price)) != _sum(price):
                yield Differs(f"price ({line.paper})", str(line.price), price)

    def _statements(self) -> Iterator[Differs]:
        """The statement of each issue that is kept, byte by byte: it was signed once for all."""
        number = self.address.number
        issues = {str(line.issue) for line in self.address.lines if line.issue}
        for issue in sorted(filter(str.isdecimal, issues), key=int):
            kept = self.asking.book.folder / STATEMENTS / f"{number}-{issue}.json"
            if kept.is_file():
                answer = self._beside(issue_name(int(issue)))
                if answer.status != 200 or answer.content != kept.read_bytes():
                    word = f"statement {issue}"
                    yield Differs(word, kept.name, answer.why or str(answer.status))

    def remarks(self) -> Iterator[str]:
        """What may be mended on the server, by key."""
        kinds = {"page": ("text/html",), FACTS: ("application/json", "text/json")}
        for name, answer in (("page", self.page), *self._answers.items()):
            kind = answer.headers.get("content-type", "").lower()
            if answer.status == 200 and name in kinds and kind.split(";")[0] not in kinds[name]:
                yield f"kind_{'page' if name == 'page' else 'facts'}"
        kind = self.page.headers.get("content-type", "").lower()
        if "charset=" in kind and "charset=utf-8" not in kind.replace('"', ""):
            yield "letters"
        if kept_for(self.page.headers.get("cache-control", "").lower()) > MOST_AGE:
            yield "kept"
        if len(self.page.content) > LEAST_PACKED and "content-encoding" not in self.page.headers:
            yield "unpacked"
        if any(status not in LASTING for status, _ in self.page.hops):
            yield "passing"
        here = self.asking.content(f"{self.address.number}/index.html".lstrip("/"))
        if here is not None and here != self.page.content:
            yield "other_bytes"


def kept_for(control: str) -> int:
    """Seconds that a browser or a network between keeps a page without asking (RFC 9111, 5.2.2)."""
    if any(word in control for word in ("no-store", "no-cache")):
        return 0
    ages = [int(age) for age in re.findall(r"(?:s-maxage|max-age)\s*=\s*\"?([0-9]{1,12})", control)]
    return max(ages, default=0)


def _of_page(content: bytes) -> dict[str, Any]:
    """Number and title of a page, from its structured data; one of a withdrawn piece, or with a
    template of the maker's own, tells them in its words."""
    for data in _DATA.findall(content):
        found = _read(data)
        if "identifier" in found:
            return {"number": found["identifier"], "title": found.get("name")}
    title = re.search(rb"<title>\s*([0-9-]+)[\s<]", content)
    return {"number": title[1].decode() if title else ""}


def _read(content: bytes) -> dict[str, Any]:
    try:
        found = json.loads(content)
    except (ValueError, RecursionError):
        return {}
    return found if isinstance(found, dict) else {}


def _told(value: Any) -> str:
    text = "; ".join(map(str, value)) if isinstance(value, list) else str(value or "")
    return text if len(text) <= 60 else f"{text[:57].rstrip()}..."


def _sum(text: str) -> str:
    """An amount however it is written: £1,450 and 1.450,00 £ are the same."""
    return re.sub(r"\D", "", re.sub(r"[.,]00(?!\d)", "", text))
