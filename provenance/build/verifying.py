"""A certificate, a statement or a built page is checked: without a network, with what lies here.

In: a file that anyone may have made; keys or fingerprints that are trusted, else the studio's own
for what is said in its name, else those of the folder that the file lies in. Out: `Checked`: the
verdict, whose keys were believed, the pictures and later issues that lie beside it.
"""

import re
from collections.abc import Mapping, Sequence
from contextlib import suppress
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any

from provenance.output import disk_told
from provenance.press.pdf.inside import attachments_in
from provenance.press.pdf.noted import note_in
from provenance.problems import Said, Slip, Words
from provenance.records.printed import lines_alone
from provenance.seal.checking import CHANGED, GENUINE, NOT_OURS, Trusted, Verdict, compared, verdict
from provenance.seal.did import Listed, address_of, keys_in
from provenance.seal.multibase import digest_of_bytes
from provenance.seal.reading import read_document
from provenance.seal.statement import LIVING, issue_name

DID_FILES = (".well-known/did.json", "did.json")
_UP = 4  # folders from a file to the root of its site
_MOST_ISSUES = 999
_NUMBER = re.compile("[0-9-]{1,20}")
OWN, GIVEN, BESIDE, PINNED = "own", "given", "beside", "pinned"  # whose keys were believed


@dataclass(frozen=True, slots=True)
class Checked:
    """The verdict on a file; `by` says whose keys were believed, `keys` in one word ('' where none
    was asked for); `later` is the newest issue that lies beside, '' where this is the newest;
    `is_page` that the statement beside a page was checked, and not the page."""

    verdict: Verdict
    by: Words
    keys: str = ""
    later: str = ""
    is_page: bool = False

    @property
    def is_sure(self) -> bool:
        """Genuine by keys that somebody else than the maker of the folder vouches for."""
        return self.verdict.word == GENUINE and self.keys != BESIDE

    @property
    def subject(self) -> Mapping[str, Any]:
        """What the statement is about."""
        return _part(self.verdict.document, "credentialSubject")

    @property
    def issue(self) -> str:
        """The issue of the certificate; '' for a statement of none."""
        return str(_part(self.verdict.document, "issue").get("issueNumber", ""))


def trusted_from(keys: Path | None, fingerprints: Sequence[str]) -> Trusted | None:
    """What was asked for; None where nothing was. Slip for a file that lists no keys."""
    if keys is None:
        return Trusted(fingerprints=fingerprints) if fingerprints else None
    found = keys_in(read_document(_bytes(keys)))
    if not found:
        raise Slip(Said("verify.no_keys", file=str(keys)))
    return Trusted(found, fingerprints)


def check(path: Path, asked: Trusted | None, own: Sequence[Listed]) -> Checked:
    """The verdict on a file; `own` are the studio's keys, under its name. Slip where the file can't
    be opened."""
    if not path.exists():
        raise Slip(Said("verify.no_file", file=str(path)))
    root = _root_of(path)
    is_page = _is_page(path)
    try:
        content, paper = _statement_of(path)
        document = read_document(content)
    except Slip as slip:
        return Checked(Verdict(NOT_OURS, _said(slip)), Said("verify.by_nobody"), is_page=is_page)
    trusted, keys, by = _believed(document, asked, own, root)
    found = verdict(document, trusted)
    if keys == PINNED and found.word == GENUINE and not trusted.known_by(found.fingerprint):
        by = Said("verify.by_pinned")
    found = _beside(_of_paper(found, paper), root)
    checked = Checked(found, by, keys if found.fingerprint else "", is_page=is_page)
    return replace(checked, later=_later(checked, root))


def _believed(
    document: Mapping[str, Any], asked: Trusted | None, own: Sequence[Listed], root: Path | None
) -> tuple[Trusted, str, Words]:
    """Whose keys count: those asked for; the studio's own for a statement in its name; else those
    that lie in the folder, which whoever made the folder put there."""
    beside = _keys_of(root) if root else ()
    if asked is not None:
        known = (*asked.known, *own, *beside)
        word = GIVEN if asked.keys else PINNED
        return replace(asked, known=known), word, Said("verify.by_asked")
    issuer = _part(document, "issuer").get("id")
    if own and (not beside or any(each.did == issuer for each in own)):
        return Trusted(own), OWN, Said("verify.by_studio")
    if beside:
        return Trusted(beside), BESIDE, Said("verify.by_site", folder=str(root))
    return Trusted(), "", Said("verify.by_nobody")


def _part(document: Mapping[str, Any], word: str) -> Mapping[str, Any]:
    """An object in a document; an empty one where something else stands there."""
    found = document.get(word)
    return found if isinstance(found, dict) else {}


def _is_page(path: Path) -> bool:
    return path.is_dir() or path.suffix.lower() in (".html", ".htm")


def _said(slip: Slip) -> Said:
    return slip.what if isinstance(slip.what, Said) else Said("seal.no_json")


def _statement_of(path: Path) -> tuple[bytes, bytes]:
    """The statement, and the paper that it lay in, if any."""
    if _is_page(path):
        folder = path if path.is_dir() else path.parent
        if not (folder / LIVING).is_file():
            raise Slip(Said("seal.none_beside"))
        return _bytes(folder / LIVING), b""
    content = _bytes(path)
    if not content.startswith(b"%PDF-"):
        return content, b""
    inside = [each for _, each in attachments_in(content)]
    if len(inside) != 1:
        raise Slip(Said("seal.two_inside" if inside else "seal.none_inside"))
    return inside[0], content


def _bytes(path: Path) -> bytes:
    if not path.is_file():
        raise Slip(Said("verify.no_file", file=str(path)))
    with disk_told(path):
        return path.read_bytes()


def _of_paper(found: Verdict, paper: bytes) -> Verdict:
    """A statement that lies in the paper of another piece, or of another issue, was put there."""
    lines = [*lines_alone(note_in(paper).encode())] if paper else []
    if found.word != GENUINE or not paper:
        return found
    about, issue = _part(found.document, "credentialSubject"), _part(found.document, "issue")
    told = (about.get("identifier"), issue.get("issueNumber"))
    if [(str(line.number), str(line.issue)) for line in lines] == [told]:
        return found
    return replace(found, word=CHANGED, why=Said("seal.other_paper"))


def _root_of(path: Path) -> Path | None:
    """The root of the site, or of the copy, that a file lies in."""
    above = path.resolve().parents if path.is_file() else (path.resolve(), *path.resolve().parents)
    return next(
        (each for each in above[:_UP] if any((each / f).is_file() for f in DID_FILES)), None
    )


def _keys_of(root: Path) -> tuple[Listed, ...]:
    """What the list that lies there tells; nothing where it can't be read."""
    name = next(each for each in DID_FILES if (root / each).is_file())
    with suppress(Slip):
        return keys_in(read_document(_bytes(root / name)))
    return ()


def _place(document: Mapping[str, Any], address: Any, root: Path) -> Path | None:
    """Where something that a statement names lies below a root; None for what isn't there."""
    site = address_of(str(_part(document, "issuer").get("id")))
    name = str(address).removeprefix(f"{site}/") if site else ""
    with suppress(OSError, ValueError, RuntimeError):
        path = (root / name).resolve()
        return path if name and path.is_relative_to(root.resolve()) and path.is_file() else None
    return None


def _beside(found: Verdict, root: Path | None) -> Verdict:
    """The verdict once pictures and the original that lie there are looked at too."""
    if root is None or not found.document:
        return found
    if found.word == CHANGED:
        original = _place(found.document, found.document.get("id"), root)
        with suppress(Slip):  # what lies there may be anything
            return compared(found, read_document(_bytes(original))) if original else found
    wrong = tuple(_wrong_files(found.document, root)) if found.word == GENUINE else ()
    if not wrong:
        return found
    return replace(found, word=CHANGED, why=Said("seal.other_pictures"), differs=wrong)


def _wrong_files(document: Mapping[str, Any], root: Path) -> list[str]:
    """Files that a statement of now ties in and that are there, but others; an issued one names
    the pictures of its day, which may have been replaced since."""
    told = document.get("relatedResource") if "issue" not in document else ()
    named = [each for each in told if isinstance(each, dict)] if isinstance(told, list) else []
    lie = ((each, _place(document, each.get("id"), root)) for each in named)
    return [
        str(each["id"])
        for each, path in lie
        if path and digest_of_bytes(_bytes(path)) != each.get("digestMultibase")
    ]


def _later(checked: Checked, root: Path | None) -> str:
    """The newest issue beside an issue, where it is another."""
    if root is None or not re.fullmatch("[0-9]{1,3}", checked.issue):
        return ""
    number = str(checked.subject.get("identifier"))
    folder = root / number if _NUMBER.fullmatch(number) else root
    turn = last = int(checked.issue)
    while turn < _MOST_ISSUES and (folder / issue_name(turn + 1)).is_file():
        turn += 1
    return str(turn) if turn != last else ""
