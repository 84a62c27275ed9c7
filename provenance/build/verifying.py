"""A certificate, a statement or a built page is checked: without a network, with what lies here.

In: a file that anyone may have made; keys or fingerprints that are trusted, else those of the site
or the copy that the file lies in, else the studio's own. Out: `Checked`: the verdict, whose keys
were believed, the pictures and later issues that lie beside it.
"""

import json
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


@dataclass(frozen=True, slots=True)
class Checked:
    """The verdict on a file; `by` says whose keys were believed; `later` is the newest issue that
    lies beside, '' where this is the newest."""

    verdict: Verdict
    by: Words
    later: str = ""

    @property
    def subject(self) -> Mapping[str, Any]:
        """What the statement is about."""
        found = self.verdict.document.get("credentialSubject")
        return found if isinstance(found, dict) else {}

    @property
    def issue(self) -> str:
        """The issue of the certificate; '' for a statement of none."""
        found = self.verdict.document.get("issue")
        return str(found.get("issueNumber", "")) if isinstance(found, dict) else ""


def trusted_from(keys: Path | None, fingerprints: Sequence[str]) -> Trusted | None:
    """What was asked for; None where nothing was. Slip for a file that lists no keys."""
    if keys is None:
        return Trusted(fingerprints=fingerprints) if fingerprints else None
    found = keys_in(read_document(_bytes(keys)))
    if not found:
        raise Slip(Said("verify.no_keys", file=str(keys)))
    return Trusted(found, fingerprints)


def check(path: Path, asked: Trusted | None, own: Sequence[Listed]) -> Checked:
    """The verdict on a file. Slip where it can't be opened."""
    if not path.exists():
        raise Slip(Said("verify.no_file", file=str(path)))
    root = _root_of(path)
    trusted, by = asked, Said("verify.by_asked")
    if trusted is None and root:
        trusted, by = Trusted(_keys_of(root)), Said("verify.by_site", folder=str(root))
    elif trusted is None and own:
        trusted, by = Trusted(own), Said("verify.by_studio")
    elif trusted is None:
        trusted, by = Trusted(), Said("verify.by_nobody")
    try:
        content, paper = _statement_of(path)
        found = verdict(read_document(content), trusted)
    except Slip as slip:
        return Checked(Verdict(NOT_OURS, _said(slip)), by)
    checked = Checked(_beside(_of_paper(found, paper), root), by)
    return replace(checked, later=_later(checked, root))


def _said(slip: Slip) -> Said:
    return slip.what if isinstance(slip.what, Said) else Said("seal.no_json")


def _statement_of(path: Path) -> tuple[bytes, bytes]:
    """The statement, and the paper that it lay in, if any."""
    if path.is_dir() or path.suffix.lower() in (".html", ".htm"):
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
    about, issue = found.document.get("credentialSubject", {}), found.document.get("issue", {})
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
    name = next(each for each in DID_FILES if (root / each).is_file())
    return keys_in(read_document(_bytes(root / name)))


def _place(document: Mapping[str, Any], address: Any, root: Path) -> Path | None:
    """Where something that a statement names lies below a root; None for what isn't there."""
    issuer = document.get("issuer")
    site = address_of(str(issuer.get("id"))) if isinstance(issuer, dict) else ""
    name = str(address).removeprefix(f"{site}/") if site else ""
    with suppress(OSError, ValueError):
        path = (root / name).resolve()
        return path if name and path.is_relative_to(root.resolve()) and path.is_file() else None
    return None


def _beside(found: Verdict, root: Path | None) -> Verdict:
    """The verdict once pictures and the original that lie there are looked at too."""
    if root is None or not found.document:
        return found
    if found.word == CHANGED:
        original = _place(found.document, found.document.get("id"), root)
        return compared(found, json.loads(original.read_bytes())) if original else found
    wrong = tuple(_wrong_files(found.document, root)) if found.word == GENUINE else ()
    if not wrong:
        return found
    return replace(found, word=CHANGED, why=Said("seal.other_pictures"), differs=wrong)


def _wrong_files(document: Mapping[str, Any], root: Path) -> list[str]:
    """Files that a statement of now ties in and that are there, but others; an issued one names
    the pictures of its day, which may have been replaced since."""
    told = document.get("relatedResource", ()) if "issue" not in document else ()
    lie = ((each, _place(document, each["id"], root)) for each in told)
    return [
        str(each["id"])
        for each, path in lie
        if path and digest_of_bytes(path.read_bytes()) != each["digestMultibase"]
    ]


def _later(checked: Checked, root: Path | None) -> str:
    """The newest issue beside an issue, where it is another."""
    if root is None or not checked.issue.isdigit() or len(checked.issue) > 3:
        return ""
    number = str(checked.subject.get("identifier"))
    folder = root / number if number.replace("-", "").isdigit() else root
    turn = last = int(checked.issue)
    while turn < _MOST_ISSUES and (folder / issue_name(turn + 1)).is_file():
        turn += 1
    return str(turn) if turn != last else ""
