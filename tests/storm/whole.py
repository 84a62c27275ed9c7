"""What must hold of a home after any accident: site, ledger, records, papers, nothing half-done.

In: a home as it was, as an undisturbed run leaves it, as it is now. Out: faults, in words.
"""

from __future__ import annotations

import fcntl
import hashlib
import time
from collections.abc import Iterator, Mapping
from pathlib import Path

import yaml

LIST, LOCK = ".provenance-files", ".provenance.lock"
LISTING = "site/.printed"  # what the site knows of the ledger; no part of what was built
NOTHING_YET = b"# nothing was printed yet\n"
LEDGER, JOURNAL = "pieces/studio/printed.yaml", "pieces/studio/deeds.yaml"
NOT_THE_HOMES = (".cache", ".tmp")  # of the system: the maker's cache, the place for passing files
Files = Mapping[str, bytes]


def files_of(home: Path, *, is_hidden: bool = False) -> dict[str, bytes]:
    """Every file that the maker sees, by name; or every one that is hidden from her. What lies
    within the site belongs to it whatever it is called."""
    found = {}
    for path in sorted(home.rglob("*")):
        name = path.relative_to(home)
        outer = name.parts[:1] if name.parts[0] == "site" else name.parts
        if name.parts[0] in NOT_THE_HOMES or path.is_dir():
            continue
        if any(part.startswith(".") for part in outer) == is_hidden:
            found[name.as_posix()] = path.read_bytes()
    return found


def site_of(files: Files) -> dict[str, bytes]:
    """What was built: the site without what is put beside it afterwards."""
    inside = {name: content for name, content in files.items() if name.startswith("site/")}
    return {name: content for name, content in inside.items() if name != LISTING}


def ledger_of(files: Files) -> list[str]:
    """What was printed, a text a line; ValueError where it can't be read."""
    try:
        lines = yaml.safe_load(files.get(LEDGER, b"") or b"[]") or []
    except yaml.YAMLError as error:
        raise ValueError(str(error)) from error
    if not isinstance(lines, list) or not all(isinstance(line, dict) for line in lines):
        raise ValueError("no list of lines")
    return ["|".join(str(line.get(w)) for w in ("on", "paper", "number", "title", "price"))
            for line in lines]  # fmt: skip


def site_faults(files: Files) -> Iterator[str]:
    """The site against its own list."""
    site = {name.removeprefix("site/"): content for name, content in site_of(files).items()}
    listed = dict(
        reversed(line.split("  ", 1)) for line in site.pop(LIST, b"").decode().splitlines()
    )
    site.pop("README.md", None)
    for name in sorted(listed.keys() | site.keys()):
        if name not in site:
            yield f"site/{name} is on the list and not there"
        elif listed.get(name) != hashlib.sha256(site[name]).hexdigest():
            yield f"site/{name} is not as the list has it"


def faults_after(before: Files, after: Files, now: Files) -> Iterator[str]:
    """What is wrong right after an accident: everything is as it was or as it was to be."""
    yield from site_faults(now)
    sites = (site_of(before), site_of(after))
    if site_of(now) not in sites:
        yield "the site is neither the old one nor the new one"
    try:
        lost = [line for line in ledger_of(before) if line not in ledger_of(now)]
        yield from (f"the ledger has lost {line}" for line in lost)
    except ValueError as error:
        yield f"the ledger can't be read: {error}"
    for name in sorted({*before, *after, *now} - {LEDGER, JOURNAL} - {*sites[0], *sites[1]}):
        either = [each[name] for each in (before, after) if name in each]
        if name in now and name not in before and name not in after:
            yield f"{name} is a stray"
        elif name not in now and len(either) == 2:
            yield f"{name} is gone"
        elif name in now and now[name] not in either:
            yield f"{name} is neither as it was nor as it was to be"


def copy_faults(home: Path) -> Iterator[str]:
    """The last copy of the ledger says what the ledger begins with: it is written after it."""
    copies = sorted((home / "pieces" / ".printed").glob("2*.yaml"))
    ledger = home / LEDGER
    if copies and ledger.exists():
        said = copies[-1].read_bytes()
        if said != NOTHING_YET and not ledger.read_bytes().startswith(said):
            yield f"{copies[-1].name}, the copy, is not what the ledger goes on from"


def differences(wanted: Files, now: Files) -> Iterator[str]:
    """Where a home is not as an undisturbed run leaves it. The journal may tell of a deed twice:
    what it is good for is seen by `undo`."""
    for name in sorted({*wanted, *now} - {JOURNAL}):
        if wanted.get(name) != now.get(name):
            how = "missing" if name not in now else "too many" if name not in wanted else "other"
            yield f"{name} at the end: {how}"


def is_free(home: Path, wait: float = 2.0) -> bool:
    """Whether the records are nobody's turn; workers have a moment to see their parent gone."""
    until = time.monotonic() + wait
    path = home / "pieces" / LOCK
    while path.exists():
        with path.open("rb") as file:
            try:
                fcntl.flock(file, fcntl.LOCK_EX | fcntl.LOCK_NB)
                return True
            except OSError:
                if time.monotonic() > until:
                    return False
        time.sleep(0.02)
    return True
