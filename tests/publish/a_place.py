"""A small site as a build leaves it, what visitors see of one, and places to send it to."""

from __future__ import annotations

import hashlib
import re
from pathlib import Path

from provenance.publish.going_out import Proposal, proposal
from provenance.publish.manifest import NAME
from provenance.publish.place import Place
from provenance.publish.sending import Tell
from provenance.records.publishing import Host
from tests.publish.servers import Sshd

ADDRESS = "https://brackenfold.example"
_LIST = ".provenance-files"


def write_site(folder: Path, files: dict[str, bytes]) -> Path:
    """A site that holds just these files, listed as a build lists them."""
    for name, content in files.items():
        path = folder / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_bytes(content)
    known = dict(line.split("  ", 1)[::-1] for line in _lines(folder))
    for name in known.keys() - files.keys():
        (folder / name).unlink()
    listed = (f"{hashlib.sha256(each).hexdigest()}  {name}\n" for name, each in files.items())
    (folder / _LIST).write_text("".join(sorted(listed)), encoding="utf-8")
    return folder


def _lines(folder: Path) -> list[str]:
    path = folder / _LIST
    return path.read_text(encoding="utf-8").splitlines() if path.exists() else []


def pages(pieces: int, mark: str, own: str = "") -> dict[str, bytes]:
    """Pages that each need a style and a picture whose names change with what they hold."""
    style, found = f"style/{mark}.css", {".studio": b"Brackenfold\n", ".nojekyll": b""}
    found[style] = mark.encode() * 3_000
    links = ""
    for turn in range(pieces):
        number, sign = f"2026-{turn:03}", own if turn == 0 and own else mark
        picture = f"pictures/{number}/{sign}.jpg"
        found[picture] = sign.encode() * 4_000
        found[f"{number}/index.html"] = _page(number, style, picture).encode()
        links += f'<a href="{number}/">{number}</a>'
    found["index.html"] = f'<link rel="stylesheet" href="/{style}">{links}'.encode()
    found["about/Größe & Maß.txt"] = mark.encode()
    found["feed.xml"] = f"<feed>{mark}</feed>".encode()
    return found


def _page(number: str, style: str, picture: str) -> str:
    filler = f"<p>{number}</p>" * 200
    return f'<link rel="stylesheet" href="/{style}"><img src="/{picture}">{filler}<!-- whole -->'


def lacking(served: Path) -> list[str]:
    """What pages of a served folder need and the folder lacks, as a visitor meets it now: first
    the page, then its parts; also pages that are not whole."""
    found = []
    for page in served.glob("*/index.html"):
        try:
            text = page.read_text(encoding="utf-8")
        except FileNotFoundError:
            continue
        parts = re.findall(r'(?:href|src)="/((?:style|pictures)/[^"]+)"', text)
        missing = [part for part in parts if not (served / part).is_file()]
        if not text.endswith("<!-- whole -->"):
            found.append(f"{page.parent.name} is cut off")
        if missing and page.exists() and page.read_text(encoding="utf-8") == text:
            found += missing
    return found


def held(folder: Path) -> dict[str, bytes]:
    """Every file below a folder but the manifest."""
    files = (path for path in folder.rglob("*") if path.is_file() and path.name != NAME)
    return {path.relative_to(folder).as_posix(): path.read_bytes() for path in files}


def served(files: dict[str, bytes]) -> dict[str, bytes]:
    """Those files of a site that go out."""
    return {name: each for name, each in files.items() if name != ".studio"}


def host_of(sshd: Sshd, folder: Path, **other: object) -> Host:
    """What publish.yaml would say of a folder behind an sshd."""
    told = {"host": "127.0.0.1", "port": str(sshd.port), "user": sshd.user, "folder": str(folder),
            "key": str(sshd.key), "known hosts": str(sshd.known_hosts)}  # fmt: skip
    return Host.model_validate({**told, **{word: str(value) for word, value in other.items()}})


def publish(place: Place, site: Path, tell: Tell = lambda *_: None) -> Proposal:
    """Send a site to a place, as the command does once it may."""
    found = proposal(place, "there", site, ADDRESS)
    found.carry_out(tell)
    return found
