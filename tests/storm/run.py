"""`make storm`: every accident there is, and ten thousand spoilt records; a table of what held.

`python tests/storm/run.py [--mutants N] [--only KIND] [--most N] [--seed N]`: KIND is one of kills,
refusals, disks, places, mutants; at MOST so many accidents for each command. Faults are told as
they are found, with how to repeat them; exit code 1 when there was one.
"""

from __future__ import annotations

import argparse
import os
import sys
import tempfile
from collections.abc import Iterable, Iterator
from concurrent.futures import ProcessPoolExecutor, as_completed
from dataclasses import dataclass, field
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[2]))

from kills import kills, some
from places import FOLDERS, MISSING, missing_faults, read_only_faults
from reading import Found, read_all
from refusals import ROOM, SmallDisk, refusals, small_disk_faults
from runs import Accident, Runner
from trials import COMMANDS, Command, Homes, Trial

ROW = 50  # mutants that a core reads one after another
Row = tuple[str, str, list[str]]  # the kind, the command, the faults of one trial


@dataclass
class Table:
    """What was tried and what failed: kind -> command -> trials, faulty trials."""

    counts: dict[tuple[str, str], list[int]] = field(default_factory=dict)
    notes: list[str] = field(default_factory=list)

    def told(self, kind: str, what: str, faults: list[str], tried: int = 1) -> None:
        """Count a trial; tell its faults at once."""
        count = self.counts.setdefault((kind, what), [0, 0])
        count[0] += tried
        count[1] += len(faults) if tried > 1 else bool(faults)
        for fault in faults:
            print(f"FAULT  {fault}", flush=True)

    def __str__(self) -> str:
        lines = [f"{'fault':10} {'command or record':52} {'tried':>6} {'failed':>6}"]
        for (kind, what), (tried, failed) in self.counts.items():
            lines.append(f"{kind:10} {what:52} {tried:6} {failed:6}")
        for kind in dict.fromkeys(kind for kind, _ in self.counts):
            rows = [count for (other, _), count in self.counts.items() if other == kind]
            lines.append(f"{kind:10} {'in all':52} {sum(r[0] for r in rows):6} "
                         f"{sum(r[1] for r in rows):6}")  # fmt: skip
        return "\n".join([*lines, *self.notes])

    @property
    def failed(self) -> int:
        return sum(failed for _, failed in self.counts.values())


def base_in(folder: Path) -> Path:
    """The studio of all trials, made once."""
    with Runner() as runner:
        return Homes(runner, folder).base


def storm_of(command: Command, base: Path, kinds: tuple[str, ...], most: int) -> list[Row]:
    """Every accident of one command; in a process of its own."""
    with tempfile.TemporaryDirectory(prefix="storm-") as name, Runner() as runner:
        homes = Homes(runner, Path(name))
        homes.base = base
        trial = Trial(homes, command)
        return [(kind, str(command), faults) for kind in kinds
                for faults in KINDS[kind](trial, most)]  # fmt: skip


def _accidents(trial: Trial, every: Iterable[Accident], most: int) -> Iterator[list[str]]:
    found = list(every)
    return map(trial.faults, some(iter(found), most or len(found)))


def _disks(trial: Trial, most: int) -> Iterator[list[str]]:
    with SmallDisk(trial.homes.folder / "disk") as disk:
        yield from (small_disk_faults(trial, disk, pages) for pages in ROOM[: most or None])


def _places(trial: Trial, most: int) -> Iterator[list[str]]:
    yield from (read_only_faults(trial, place) for place in FOLDERS[: most or None])
    yield from (missing_faults(trial, each) for each in MISSING[: most or None])


KINDS = {
    "kills": lambda trial, most: _accidents(trial, kills(trial), most),
    "refusals": lambda trial, most: _accidents(trial, refusals(trial), most),
    "disks": _disks,
    "places": _places,
}


def read_row(first: int, end: int) -> Found:
    """A row of mutants; in a process of its own."""
    with tempfile.TemporaryDirectory(prefix="storm-") as name:
        return read_all(range(first, end), Path(name) / "pieces")


def _mutants(table: Table, pool: ProcessPoolExecutor, first: int, count: int) -> None:
    rows = range(first, first + count, ROW)
    ends = [min(each + ROW, first + count) for each in rows]
    accepted = 0
    for found in pool.map(read_row, rows, ends):
        table.told("mutants", "records of the demo", found.faults, found.tried)
        accepted += found.accepted
    table.notes.append(f"{accepted} of the mutants were accepted, and reckoned with")


def _can_mount(table: Table) -> bool:
    try:
        with tempfile.TemporaryDirectory() as name, SmallDisk(Path(name)):
            return True
    except PermissionError as error:
        table.notes.append(f"no small disks: {error}")
        return False


def main() -> int:
    """Try it all; 1 when something failed."""
    wishes = argparse.ArgumentParser(description=__doc__)
    wishes.add_argument("--mutants", type=int, default=10_000)
    wishes.add_argument("--most", type=int, default=0)
    wishes.add_argument("--seed", type=int, default=0, help="the number of the first mutant")
    wishes.add_argument("--only", choices=[*KINDS, "mutants"])
    wish, table = wishes.parse_args(), Table()
    kinds = tuple(each for each in KINDS if wish.only in (None, each))
    if "disks" in kinds and not _can_mount(table):
        kinds = tuple(each for each in kinds if each != "disks")
    with (
        tempfile.TemporaryDirectory(prefix="storm-") as name,
        ProcessPoolExecutor(os.cpu_count()) as pool,
    ):
        if kinds:
            base = base_in(Path(name))
            at_work = [pool.submit(storm_of, each, base, kinds, wish.most) for each in COMMANDS]
            for each in as_completed(at_work):
                for kind, command, faults in each.result():
                    table.told(kind, command, faults)
                print(f"{len(each.result())} trials of {each.result()[0][1]}", flush=True)
        if wish.only in (None, "mutants"):
            _mutants(table, pool, wish.seed, wish.mutants)
    print(table)
    return 1 if table.failed else 0


if __name__ == "__main__":
    sys.exit(main())
