"""Breaks the heart of the program line by line, and counts the breaks that the tests notice.

`python tests/mutants/run.py [--most N] [--seed S] [--jobs J] [--only PART]`: every mutant (or N
of them, chosen by the seed) of the modules below, in a copy of the tree, before the tests that
reach it (see `trial`). Prints each with its place; exits 1 when fewer than FLOOR of a part were
noticed.
"""

from __future__ import annotations

import argparse
import os
import random
import shutil
import sys
import tempfile
from collections.abc import Iterator
from pathlib import Path

import pytest
from mutate import mutants_of
from trial import WORDS, Break, Trial

ROOT = Path(__file__).parents[2]
FLOOR = 0.90
HEART = (
    "provenance/records/printed.py", "provenance/figures/fibre/shares.py",
    "provenance/figures/money/*.py", "provenance/figures/flow/*.py", "provenance/output/*.py",
)  # fmt: skip
TESTS = (
    "tests/figures/test_balance.py", "tests/figures/test_claims.py",
    "tests/figures/test_consignment.py",
    "tests/figures/test_cost.py", "tests/figures/test_fair.py", "tests/figures/test_fibres.py",
    "tests/figures/test_flow.py", "tests/figures/test_gather.py", "tests/figures/test_makeup.py",
    "tests/figures/test_own_sales.py", "tests/figures/test_price.py",
    "tests/figures/test_stock.py", "tests/figures/test_strands.py",
    "tests/figures/test_trace.py",
    "tests/records/test_printed.py", "tests/test_output.py", "tests/test_generations.py",
)  # fmt: skip
COPIED = ("provenance", "templates", "tests", "pieces", "pyproject.toml")
NOT_COPIED = shutil.ignore_patterns("__pycache__")


def copied(folder: Path) -> Path:
    """A copy of the tree, so that nothing that is broken can harm the tree itself."""
    for name in COPIED:
        source, target = ROOT / name, folder / name
        if source.is_dir():
            shutil.copytree(source, target, ignore=NOT_COPIED)
        else:
            shutil.copy(source, target)
    return folder


def breaks(tree: Path, pattern: str) -> Iterator[Break]:
    """Every break of every module of a part."""
    for path in sorted(tree.glob(pattern)):
        source = path.read_text(encoding="utf-8")
        for mutant in mutants_of(source):
            yield Break(str(path), source, mutant)


class Counts:
    """What became of each break, told as it comes."""

    def __init__(self, tree: Path) -> None:
        self.tree = tree
        self.survived: dict[Break, bool] = {}
        self.out = os.fdopen(os.dup(1), "w", encoding="utf-8")

    def told(self, each: Break, survived: bool) -> None:
        self.survived[each] = survived
        name = Path(each.path).relative_to(self.tree).as_posix()
        self.say(f"{'SURVIVED' if survived else 'killed  '}  {name}:{each.mutant}")

    def say(self, line: str) -> None:
        print(line, file=self.out, flush=True)

    def is_enough(self, part: str, found: list[Break]) -> bool:
        """Tells a part's share; whether it reaches the floor."""
        survived = [self.survived[each] for each in found if each in self.survived]
        count, noticed = len(survived), survived.count(False)
        share = noticed / count if count else 1.0
        less = "" if share >= FLOOR else f"; at least {FLOOR:.0%} must be"
        self.say(
            f"{part}: {count} of {len(found)} breaks tried, {noticed} noticed: {share:.1%}{less}"
        )
        return share >= FLOOR


def main() -> int:
    """Try them, tell, and say 1 when too many of a part survived."""
    reader = argparse.ArgumentParser(description="Breaks lines and counts what tests notice.")
    reader.add_argument("--most", type=int, default=0, help="how many breaks (0: all)")
    reader.add_argument("--seed", type=int, default=1)
    reader.add_argument("--jobs", type=int, default=os.cpu_count() or 1)
    reader.add_argument("--only", default="", help="a part of a module's path")
    asked = reader.parse_args()
    with tempfile.TemporaryDirectory(prefix="mutants-") as folder:
        tree = copied(Path(folder, "tree"))
        os.chdir(tree)
        os.environ["PYTHONPATH"] = str(tree)
        sys.path.insert(0, str(tree))
        parts = {
            pattern: [each for each in breaks(tree, pattern) if asked.only in each.path]
            for pattern in HEART
        }
        chosen = [each for found in parts.values() for each in found]
        if asked.most:
            chosen = random.Random(asked.seed).sample(chosen, min(asked.most, len(chosen)))
        counts = Counts(tree)
        os.dup2(2, 1)  # what pytest says by the way
        if pytest.main([*WORDS, *TESTS], [Trial(chosen, Path(folder), asked.jobs, counts.told)]):
            return 1
        enough = [counts.is_enough(part, found) for part, found in parts.items() if found]
        return int(not all(enough))


if __name__ == "__main__":
    sys.exit(main())
