"""Statements of a studio that has a key: which there are, signed, kept and put on the site.

In: the border, the secret key (None where it isn't here), which issues are due. Out: for each piece
its statement as of now and the chain of its certificates' statements; pages of the site; what
travels in a certificate. An issue's statement is kept for good in `studio/certificates/`, before
the issue is noted: it is never made anew. Studios without a site or without a key have none of
this, and nothing of theirs changes.
"""

import json
import sys
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from functools import cache, cached_property, partial
from getpass import getpass
from pathlib import Path

from provenance.build.chain_words import superseded
from provenance.build.secret_keys import STATEMENTS, find_secret
from provenance.build.wanted import Pictures, digests_of, shown_of
from provenance.output import Tree, disk_told, write_file
from provenance.papers.certificates.certificate import PAPER, Issue
from provenance.papers.certificates.page import Seal
from provenance.press.pdf.render import Attached
from provenance.problems import Place, Said, Slip
from provenance.public.border import Border
from provenance.public.studio import PublicStudio
from provenance.seal import checking, context
from provenance.seal.did import Listed, did_document, did_of, did_path
from provenance.seal.keys import PublicKey, SecretKey
from provenance.seal.proof import options_for, signed
from provenance.seal.reading import read_document
from provenance.seal.statement import (
    LIVING,
    Document,
    OfIssue,
    Pictured,
    issue_name,
    statement,
)
from provenance.site.checking import Trusted, TrustedKey
from provenance.site.guide import Guide, guide
from provenance.site.pages import Page
from provenance.site.sealed import IssueShown, Sealed
from provenance.site.shown import ShownPiece

ATTACHMENT = "statement.json"
Due = Callable[[], Mapping[str, Issue]]


@dataclass(frozen=True, slots=True)
class Link:
    """One issue of a certificate: its number and day, its statement (empty where it had none)."""

    number: int
    on: date | None
    content: bytes

    @property
    def name(self) -> str:
        """The file beside the page of its piece; '' where there is none."""
        return issue_name(self.number) if self.content else ""

    @property
    def document(self) -> Document:
        """Its statement, read."""
        found: Document = json.loads(self.content) if self.content else {}
        return found


class Sealing:
    """The statements of one run; `why` says why new ones are not signed."""

    def __init__(self, border: Border, key: SecretKey | None, why: Slip | None = None) -> None:
        self.border, self.why = border, why
        self._key, self._house = key, border.house
        self._pictures: dict[str, tuple[Pictured, ...]] = {}
        self._due: Due = dict
        self.link_of = cache(self._link_of)
        self._kept = cache(self._read)

    def expects(self, due: Due) -> None:
        """Which issues this run will make; asked for when the first is wanted."""
        self._due = due

    @property
    def signs(self) -> bool:
        """Whether new statements are made, which name the pictures of their piece."""
        return self._key is not None

    def look_at(self, pictures: Pictures, tree: Tree) -> None:
        """Know the pictures of a build, once they are placed."""
        for number, found in pictures.items():
            self._pictures[number] = tuple(
                Pictured(each.path, tree.digest(each.path)) for each in shown_of(found)
            )

    @cached_property
    def listed(self) -> tuple[Listed, ...]:
        """Every key of the studio."""
        return own_keys(self._house)

    @property
    def fingerprint(self) -> str:
        """Of the key that signs, or would."""
        return PublicKey.read(self.listed[0].key).fingerprint

    @property
    def trusted(self) -> Trusted:
        """What the checking page believes."""
        keys = tuple(
            TrustedKey(
                k.key, PublicKey.read(k.key).fingerprint, k.since, k.until, k.withdrawn, k.did
            )
            for k in self.listed
        )
        terms = tuple(context.context_of(self._house.site))
        return Trusted(did_of(self._house.site), terms, keys, LIVING)

    def living(self, number: str) -> bytes:
        """The statement of a piece as of now."""
        facts, pictures = self.border.piece(number), self._pictures_of(number)
        return self._sealed(statement(self._house, facts, pictures))

    def links(self, number: str) -> tuple[Link, ...]:
        """Every issue of its certificate, the first one first, with that which is due now."""
        lines = self.border.studio.printed(PAPER, number)
        told = {int(line.issue or turn): line.on for turn, line in enumerate(lines, 1)}
        before = [Link(each, on, self._kept(number, each)) for each, on in sorted(told.items())]
        due = self._due().get(number)
        return (*before, self.link_of(number, due)) if due and due.is_new else tuple(before)

    def _link_of(self, number: str, issue: Issue) -> Link:
        """The statement of an issue: as it is kept, or made now for a new one."""
        if not issue.is_new or self._key is None:
            kept = b"" if issue.is_new else self._kept(number, issue.number)
            return Link(issue.number, issue.on, kept)
        facts, pictures = self.border.piece(number), self._pictures_of(number)
        lines = self.border.studio.printed(PAPER, number)
        last = max((int(line.issue or turn) for turn, line in enumerate(lines, 1)), default=0)
        first = statement(self._house, facts, pictures, OfIssue(issue.number, issue.on))
        before = None
        if last:
            kept = self._kept(number, last)
            before = superseded(last, kept, first, self.border.phrases)
        whole = statement(self._house, facts, pictures, OfIssue(issue.number, issue.on, before))
        return Link(issue.number, issue.on, self._sealed(whole, issue.on))

    def seal_of(self, number: str, issue: Issue) -> Seal | None:
        """What travels in a certificate, and the line on its paper; None for one without."""
        link = self.link_of(number, issue)
        if not link.content:
            return None
        say = self.border.phrases.say
        key = link.document["proof"]["verificationMethod"].partition("#")[2]
        line = say("seal.on_paper", key=PublicKey.read(key).fingerprint)
        about = say("seal.attachment", number=number)
        return Seal(line, Attached(ATTACHMENT, link.content, about))

    def keep(self, number: str, issue: Issue) -> None:
        """Keep the statement of a new issue for good; before the issue is noted. Of one without,
        nothing may lie there: a run that was killed may have left one that no paper carries."""
        path = self._folder / f"{number}-{issue.number}.json"
        if content := self.link_of(number, issue).content:
            write_file(path, content)
        elif issue.is_new and path.is_file():
            with disk_told(path):
                path.unlink()

    def pages(self, pieces: Sequence[ShownPiece]) -> Iterator[Page]:
        """The files of the site: statements, keys, terms."""
        document = did_document(self._house.site, self.listed)
        own = {
            did_path(self._house.site): _text(document),
            context.PATH: context.content(),
        }
        for name, content in own.items():
            yield Page(name, (content,), partial(bytes, content))
        for piece in pieces:
            number = piece.card.number
            about = (piece.stamp, self._pictures_of(number), self._key and self._key.public)
            yield Page(piece.path + LIVING, about, partial(self.living, number))
            for link in self.links(number):
                if link.name:
                    name = piece.path + link.name
                    yield Page(name, (link.content,), partial(bytes, link.content))

    def shown(self, pieces: Sequence[ShownPiece]) -> Sealed:
        """What pages tell of it."""
        chains = {each.card.number: self.links(each.card.number) for each in pieces}
        told = {number: tuple(map(self._shown, links)) for number, links in chains.items() if links}
        return Sealed(self.fingerprint, LIVING, bool(self._key), self._guide(pieces, told), told)

    def _guide(
        self, pieces: Sequence[ShownPiece], told: Mapping[str, Sequence[IssueShown]]
    ) -> Guide:
        """How to check them all."""
        house, files = self._house, {}
        for piece in pieces:
            issues = told.get(piece.card.number, ())
            names = (LIVING, *(each.name for each in issues if each.name))
            name = f"{piece.card.number} {piece.card.title}"
            files[name] = [f"{piece.path}{each}" for each in names]
        lie = {"keys": did_path(house.site), "terms": context.PATH}
        named = {"studio": house.name, "site": house.site, **lie}
        return guide(self.border.phrases, named, self.trusted.keys, files)

    def _shown(self, link: Link) -> IssueShown:
        day = self.border.phrases.day(link.on) if link.on else ""
        reason = link.document.get("issue", {}).get("reason", "")
        return IssueShown(str(link.number), day, link.name, str(reason))

    def _sealed(self, document: Document, on: date | None = None) -> bytes:
        if self._key:
            method = f"{did_of(self._house.site)}#{self._key.public.text}"
            created = f"{on}T00:00:00Z" if on else ""
            document = signed(document, options_for(document, method, created), self._key)
        return _text(document)

    def _pictures_of(self, number: str) -> tuple[Pictured, ...]:
        if number not in self._pictures:
            found = digests_of(self.border, number)
            self._pictures[number] = tuple(Pictured(path, digest) for path, digest in found)
        return self._pictures[number]

    @property
    def _folder(self) -> Path:
        return self.border.studio.book.folder / STATEMENTS

    @cached_property
    def _names(self) -> frozenset[str]:
        folder = self._folder
        return frozenset(each.name for each in folder.iterdir()) if folder.is_dir() else frozenset()

    def _read(self, number: str, issue: int) -> bytes:
        name = f"{number}-{issue}.json"
        return self._whole(name) if name in self._names else b""

    def _whole(self, name: str) -> bytes:
        """A kept statement, just as it was signed. Slip for any other: it would go to others."""
        path = self._folder / name
        with disk_told(path):
            content = path.read_bytes()
        wrong = Said("seal.kept_broken")
        try:
            document = read_document(content)
        except Slip:
            document = {}
        keys = [Listed(each.key) for each in self.listed]  # whatever came of them since
        if checking.verdict(document, checking.Trusted(keys)).word != checking.GENUINE:
            place = Place((STATEMENTS / name).as_posix())
            raise Slip(wrong, Said("seal.kept_again"), place)
        return content


def own_keys(house: PublicStudio) -> tuple[Listed, ...]:
    """Every key of a studio, under the name of its site."""
    did = did_of(house.site) if house.site else ""
    return tuple(Listed(k.key, k.since, k.until, k.withdrawn, did) for k in house.keys)


def _text(document: Mapping[str, object]) -> bytes:
    return (json.dumps(document, ensure_ascii=False, indent=1) + "\n").encode()


def is_void(border: Border, number: str) -> bool:
    """Whether the last issue of a certificate was signed with a key that was withdrawn since."""
    gone = [each.key for each in border.house.keys if each.withdrawn]
    lines = border.studio.printed(PAPER, number) if gone else ()
    if not lines:
        return False
    path = border.studio.book.folder / STATEMENTS / f"{number}-{lines[-1].issue}.json"
    return path.is_file() and any(key.encode() in path.read_bytes() for key in gone)


def open_sealing(border: Border, *, asks: bool = True) -> Sealing | None:
    """The statements of a studio that has a site and a key; None for another. A pass-phrase is
    asked for where somebody sits at the terminal, unless nobody `asks`."""
    house = border.house
    if not house.site or not house.keys:
        return None
    used = next((each for each in house.keys if not each.until and not each.withdrawn), None)
    if used is None:
        return Sealing(border, None, Slip(Said("key.none_used")))
    try:
        asked = partial(_asked, border) if asks else lambda _: ""
        return Sealing(border, find_secret(used.key, asked))
    except Slip as slip:
        return Sealing(border, None, slip)


def _asked(border: Border, file: str) -> str:
    """Nothing where nobody can be asked."""
    if not sys.stdin.isatty():
        return ""
    return getpass(f"{border.phrases.tell(Said('key.pass_phrase', file=file))}: ")
