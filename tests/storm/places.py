"""Places that may not be written, or are not there.

In: a command whose undisturbed run is known. Out: what did not hold. Runs are bound by modes,
whoever gives them (see `child.bind`).
"""

from __future__ import annotations

import shutil
from pathlib import Path

from runs import UNDISTURBED
from trials import Trial

FOLDERS = ("pieces", "pieces/papers", "pieces/studio", "pieces/commissions", "site", ".cache", ".")
MISSING = (  # what is not there for a run, by the names of its surroundings
    {"HOME": ""},
    {"HOME": "", "XDG_CACHE_HOME": ""},
    {"HOME": "/nowhere", "XDG_CACHE_HOME": "/nowhere/cache"},
    {"TMPDIR": "/nowhere"},
    {"TMPDIR": "", "HOME": "", "XDG_CACHE_HOME": ""},
    {"PATH": "", "LC_ALL": "C"},
)


def read_only_faults(trial: Trial, place: str) -> list[str]:
    """A command where a folder may be read alone, and all in it; and again when it is open."""
    home = trial.homes.copy(trial.home)
    try:
        (home / ".tmp").mkdir(exist_ok=True)
        closed = _closed(home, home / place)
        ended = trial.homes.runner.run(home, *trial.command.words, is_bound=True)
        for path, mode in closed.items():
            path.chmod(mode)
        faults = [*trial.faults_of(ended, UNDISTURBED, home)]
        faults += trial.again(home)
        return [f"{trial.command}, {place}/ read-only: {each}" for each in faults]
    finally:
        shutil.rmtree(home, ignore_errors=True)


def missing_faults(trial: Trial, surroundings: dict[str, str]) -> list[str]:
    """A command in poor surroundings."""
    home = trial.homes.copy(trial.home)
    try:
        ended = trial.homes.runner.run(home, *trial.command.words, **surroundings)
        faults = [*trial.faults_of(ended, UNDISTURBED, home), *trial.again(home)]
        return [f"{trial.command}, {surroundings}: {each}" for each in faults]
    finally:
        shutil.rmtree(home, ignore_errors=True)


def _closed(home: Path, place: Path) -> dict[Path, int]:
    """Take the right to write from a folder and all in it (the home: from itself alone); what it
    was before."""
    found = [place] if place == home or not place.exists() else [place, *place.rglob("*")]
    modes = {path: path.stat().st_mode & 0o7777 for path in found if path.exists()}
    for path, mode in modes.items():
        path.chmod(mode & ~0o222)
    return modes
