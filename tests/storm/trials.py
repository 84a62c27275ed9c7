"""Commands that meet an accident: whole after it, and as ever after the next run.

In: a runner, a place for homes. Out: for each command how many operations on files it has; for each
accident what did not hold, in words, with how to repeat it.
"""

from __future__ import annotations

import shutil
from collections.abc import Iterator
from dataclasses import dataclass, field
from functools import cached_property
from pathlib import Path

from runs import Accident, Ended, Runner
from small_studio import edit, write_studio
from whole import LEDGER, copy_faults, differences, faults_after, files_of, is_free


@dataclass(frozen=True, slots=True)
class Command:
    """What a maker calls, after what, and with which file `lost`; `deed`s are taken back by `undo`
    afterwards, a command that `turns` takes itself back when it is called twice."""

    words: tuple[str, ...]
    first: tuple[tuple[str, ...], ...] = ()
    is_deed: bool = False
    turns: bool = False
    lost: str = ""

    def __str__(self) -> str:
        after = " after ".join(" ".join(each) for each in self.first)
        lost = f" without {self.lost}" if self.lost else ""
        return " ".join(self.words) + (f" after {after}" if after else "") + lost


def _deed(*words: str, first: tuple[tuple[str, ...], ...] = ()) -> Command:
    return Command((*words, "--yes"), first, is_deed=True)


_REPRICED = ("reprice", "2026-002", "2026-004", "360", "--yes")
COMMANDS = (
    Command(("build",)),
    Command(("build",), (("build",),)),
    Command(("build", "--back"), (("build",), _REPRICED, ("build",)), turns=True),
    Command(("tags",)),
    Command(("certificate", "2026-001")),
    Command(("papers", "harbour-gallery")),
    Command(("quote", "2026-C01")),
    _deed("quote", "2026-C01", "--accept", "--size", "1", first=(("quote", "2026-C01"),)),
    _deed("sell", "2026-002", "330"),
    _deed("move", "2026-002", "2026-004", "studio"),
    _deed("reprice", "2026-002", "2026-004", "360"),
    _deed("count", "grey-2ply", "2 kg"),
    Command(("bring", "before.csv", "--write", "--yes")),
    Command(("undo", "--yes"), (_REPRICED,)),
    Command(("recover", "--yes"), lost=LEDGER),
    Command(("recover", "--yes"), (("build",), ("tags",)), lost=LEDGER),
)


@dataclass
class Homes:
    """Homes as they are before a command, and what it does when nothing disturbs it; each is made
    once. The first is a studio that was built and printed, and worked on since."""

    runner: Runner
    folder: Path
    letters: Path | None = None  # a cache that has them
    _turn: int = 0
    _made: dict[object, Path] = field(default_factory=dict)

    @cached_property
    def base(self) -> Path:
        """Where the first lies; made here unless it was handed over."""
        home = self.folder / "base"
        home.mkdir()
        self.make_base(home)
        return home

    def make_base(self, home: Path) -> None:
        """Write the first into an empty folder."""
        write_studio(home)
        if self.letters:
            # Nothing else of that cache, which by then may hold much of other tests: every copy of
            # this home would have it too.
            letters = Path("provenance", "letters")
            shutil.copytree(self.letters / letters, home / ".cache" / letters)
        self.well(home, "build")
        self.well(home, "tags")
        edit(home)

    def before(self, command: Command) -> Path:
        """The home that a command finds."""
        home = self.base
        if command.first or command.lost:
            key = ("before", command)
            if key not in self._made:
                self._made[key] = self.copy(self.base)
                for words in command.first:
                    self.well(self._made[key], *words)
                if command.lost:
                    (self._made[key] / command.lost).unlink()
            home = self._made[key]
        return home

    def copy(self, home: Path) -> Path:
        self._turn += 1
        return Path(shutil.copytree(home, self.folder / str(self._turn), symlinks=True))

    def well(self, home: Path, *words: str) -> Ended:
        """A run that must go well."""
        ended = self.runner.run(home, *words)
        assert ended.code == 0, (words, ended.said)
        return ended


@dataclass
class Trial:
    """One command, whose undisturbed run is known, and what becomes of it in an accident."""

    homes: Homes
    command: Command

    def __post_init__(self) -> None:
        self.home = self.homes.before(self.command)
        self.before = files_of(self.home)
        after = self.homes.copy(self.home)
        self.check = self.homes.runner.run(after, "check").code
        ended = self.homes.well(after, *self.command.words)
        self.operations, self.after = ended.did, files_of(after)
        self.hidden = set(files_of(after, is_hidden=True))
        shutil.rmtree(after)

    def faults(self, accident: Accident) -> list[str]:
        """Run it into an accident, look at what is left, run it again, look again."""
        home = self.homes.copy(self.home)
        try:
            ended = self.homes.runner.run(home, *self.command.words, accident=accident)
            faults = [*self.faults_of(ended, accident, home), *self.again(home)]
            ended.clear()
            return [f"{self.command}, {accident}: {each}" for each in faults]
        finally:
            shutil.rmtree(home, ignore_errors=True)

    def faults_of(self, ended: Ended, accident: Accident, home: Path) -> Iterator[str]:
        """How it ended, and the home as it was left."""
        now = files_of(home)
        if ended.hangs:
            yield "hangs"
        if accident.is_killing and not ended.is_killed and accident.how != "cut":
            yield f"was not killed: {ended.code}"
        if not accident.is_killing:
            if ended.code not in (0, 1):
                yield f"ends with {ended.code}: {ended.said[-400:]}"
            if not ended.said.strip() or "Traceback" in ended.said:
                yield f"has no words for it: {ended.said[-400:]}"
            if ended.code == 0:
                yield from differences(self.after, now)
        yield from faults_after(self.before, self.after, now)
        yield from copy_faults(home)

    def again(self, home: Path) -> Iterator[str]:
        """The same command once more, undisturbed: it goes well at once and ends as ever."""
        run = self.homes.runner.run
        if not is_free(home):
            yield "the records are locked by what is gone"
        if (check := run(home, "check")).code not in (0, self.check):
            yield f"check ends with {check.code}: {check.said[-400:]}"
        was_done = not list(differences(self.after, files_of(home)))
        if was_done and self.command.turns:
            run(home, *self.command.words)
        again = run(home, *self.command.words)
        if again.code not in ((0, 1) if was_done else (0,)):
            yield f"the next run ends with {again.code}: {again.said[-400:]}"
        yield from differences(self.after, files_of(home))
        left = set(files_of(home, is_hidden=True)) - self.hidden
        yield from (f"{name} is left over" for name in sorted(left))
        yield from copy_faults(home)
        if self.command.is_deed:
            yield from self._undone(home)

    def _undone(self, home: Path) -> Iterator[str]:
        undo = self.homes.runner.run(home, "undo", "--yes")
        if undo.code:
            yield f"undo ends with {undo.code}: {undo.said[-400:]}"
        yield from (f"undone, {each}" for each in differences(self.before, files_of(home)))
