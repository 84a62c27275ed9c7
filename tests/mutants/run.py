"""Breaks the heart of the program line by line, and counts the breaks that the tests notice.

`python tests/mutants/run.py [--most N] [--seed S] [--minutes M] [--only PART]`: every mutant (or N
of them, chosen by the seed) of the modules below, each in a copy of the tree, before the tests that
belong to it. Prints each with its place; exits 1 when fewer than FLOOR were noticed.
"""

from __future__ import annotations

import argparse
import compileall
import os
import queue
import random
import shutil
import subprocess
import sys
import tempfile
import time
from collections.abc import Iterator, Sequence
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass
from pathlib import Path

from mutate import Mutant, mutants_of

ROOT = Path(__file__).parents[2]
FLOOR = 0.90
# What is broken -> the tests that should notice, quickest first.
HEART = {
    "provenance/figures/flow/*.py": (
        "tests/figures/test_trace.py", "tests/figures/test_gather.py",
        "tests/figures/test_makeup.py", "tests/figures/test_cost.py", "tests/figures/test_flow.py",
    ),
    "provenance/figures/fibre/shares.py": (
        "tests/figures/test_makeup.py", "tests/figures/test_fibres.py",
    ),
    "provenance/figures/money/*.py": (
        "tests/figures/test_consignment.py", "tests/figures/test_price.py",
        "tests/figures/test_cost.py", "tests/reports/test_binder.py", "tests/figures/test_stock.py",
    ),
    "provenance/records/printed.py": ("tests/records/test_printed.py",),
    "provenance/output.py": ("tests/test_output.py",),
}  # fmt: skip
COPIED = ("provenance", "templates", "tests", "pieces", "pyproject.toml")
NOT_COPIED = shutil.ignore_patterns("__pycache__")


@dataclass(frozen=True)
class Break:
    """A mutant of a module, and the tests before which it is put."""

    module: str
    mutant: Mutant
    tests: tuple[str, ...]

    def __str__(self) -> str:
        return f"{self.module}:{self.mutant}"


def breaks(only: str) -> Iterator[Break]:
    """Every break of every module whose name holds `only`."""
    for pattern, tests in HEART.items():
        for path in sorted(ROOT.glob(pattern)):
            module = path.relative_to(ROOT).as_posix()
            if only in module:
                for mutant in mutants_of(path.read_text(encoding="utf-8")):
                    yield Break(module, mutant, tests)


class Bench:
    """A copy of the tree in which one break after another is tried."""

    def __init__(self, folder: Path) -> None:
        self.folder = folder
        for name in COPIED:
            source, target = ROOT / name, folder / name
            if source.is_dir():
                shutil.copytree(source, target, ignore=NOT_COPIED)
            else:
                shutil.copy(source, target)
        # Compiled once, by the dates of the originals: a broken module is newer, so it is read.
        compileall.compile_dir(folder / "provenance", quiet=1)

    def passes(self, tests: Sequence[str], limit: float) -> bool:
        """Whether the tests pass within so many seconds; a test that hangs has noticed."""
        env = os.environ | {"PYTHONPATH": f"{self.folder}{os.pathsep}{Path(__file__).parent}"}
        words = ["-m", "pytest", "-x", "-q", "-n", "0", "-p", "no:cacheprovider", "-p", "quick"]
        with subprocess.Popen(
            [sys.executable, *words, *tests],
            cwd=self.folder,
            env=env | {"PYTHONDONTWRITEBYTECODE": "1"},
            stdout=subprocess.PIPE,
            stderr=subprocess.STDOUT,
            start_new_session=True,
        ) as process:
            try:
                self.said = process.communicate(timeout=limit)[0].decode(errors="replace")
            except subprocess.TimeoutExpired:
                os.killpg(process.pid, 9)
                process.communicate()
                return False
        return process.returncode == 0

    def survives(self, each: Break, limit: float) -> bool:
        """Whether no test notices the break; the module is whole again afterwards."""
        path = self.folder / each.module
        whole = path.read_text(encoding="utf-8")
        path.write_text(each.mutant.apply(whole), encoding="utf-8")
        try:
            return self.passes(each.tests, limit)
        finally:
            path.write_text(whole, encoding="utf-8")


def limits(bench: Bench, chosen: Sequence[Break]) -> dict[tuple[str, ...], float]:
    """How long each set of tests may take: thrice what it takes unbroken, and a little."""
    found: dict[tuple[str, ...], float] = {}
    for tests in dict.fromkeys(each.tests for each in chosen):
        began = time.monotonic()
        if not bench.passes(tests, 3600):
            sys.exit(f"{bench.said}\nThese tests fail unbroken: mend them first.")
        found[tests] = 3 * (time.monotonic() - began) + 10
    return found


def tried(chosen: Sequence[Break], minutes: float, jobs: int) -> Iterator[tuple[Break, bool]]:
    """Each break with whether it survived, until time is up."""
    with tempfile.TemporaryDirectory(prefix="mutants-") as folder:
        benches: queue.SimpleQueue[Bench] = queue.SimpleQueue()
        for number in range(jobs):
            benches.put(Bench(Path(folder, str(number))))
        first = benches.get()
        allowed = limits(first, chosen)
        benches.put(first)
        end = time.monotonic() + minutes * 60

        def attempt(each: Break) -> tuple[Break, bool] | None:
            if time.monotonic() > end:
                return None
            bench = benches.get()
            try:
                return each, bench.survives(each, allowed[each.tests])
            finally:
                benches.put(bench)

        with ThreadPoolExecutor(jobs) as pool:
            yield from (done for done in pool.map(attempt, chosen) if done)


def choose(found: list[Break], most: int, seed: int) -> list[Break]:
    """In a random order that a seed repeats, so that what time allows is a fair sample."""
    random.Random(seed).shuffle(found)
    return found[:most] if most else found


def main() -> int:
    """Try them, tell, and say 1 when too many survived."""
    reader = argparse.ArgumentParser(description="Breaks lines and counts what tests notice.")
    reader.add_argument("--most", type=int, default=0, help="how many breaks (0: all)")
    reader.add_argument("--seed", type=int, default=1)
    reader.add_argument("--minutes", type=float, default=120, help="begin no break after so long")
    reader.add_argument("--jobs", type=int, default=os.cpu_count() or 1)
    reader.add_argument("--only", default="", help="a part of a module's path")
    asked = reader.parse_args()
    found = list(breaks(asked.only))
    chosen = choose(found, asked.most, asked.seed)
    survivors, count = 0, 0
    for each, survived in tried(chosen, asked.minutes, asked.jobs):
        count += 1
        survivors += survived
        print(f"{'SURVIVED' if survived else 'killed  '}  {each}", flush=True)
    share = (count - survivors) / count if count else 0.0
    print(f"\n{count} of {len(found)} breaks tried, {count - survivors} noticed: {share:.1%}")
    print(f"at least {FLOOR:.0%} must be" if share < FLOOR else "enough")
    return int(share < FLOOR)


if __name__ == "__main__":
    sys.exit(main())
