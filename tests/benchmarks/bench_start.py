"""How fast the program starts and reads, beside the bare libraries, in one run.

    .venv/bin/python tests/benchmarks/bench_start.py [pieces ...]

`--help` beside Python importing click; `check` of the demo's full records under new numbers
(stories, photos, baths, hours) beside the bare YAML library loading the same files; and `check`
after one edit. Processes, start of Python included, the middle of several runs. `cold` reads with
an empty cache, `again` with nothing changed.
"""

from __future__ import annotations

import os
import re
import shutil
import statistics
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable
from pathlib import Path

ROOT = Path(__file__).parent.parent.parent
RUNS = 5
BARE = """
import sys, yaml
from pathlib import Path
for path in sorted(Path(sys.argv[1]).rglob('*.yaml')):
    yaml.load(path.read_text(encoding='utf-8'), Loader=yaml.CSafeLoader)
"""
STOCK = ("fleece", "dyestuffs", "mordants", "sundries", "yarns")


def full_copies(folder: Path, count: int) -> None:
    """The demo, its pieces and baths again and again under new names, and stock for all of them."""
    left = shutil.ignore_patterns("papers", "printed.yaml", ".printed")
    shutil.copytree(ROOT / "pieces", folder, ignore=left)
    pieces, baths = sorted(folder.glob("20*.yaml")), sorted((folder / "dyebook").glob("*.yaml"))
    rounds = -(-count // len(pieces))
    for name in STOCK:
        _multiply(folder / "studio" / f"{name}.yaml", rounds)
    lots = {lot for bath in baths for lot in re.findall(r"becomes: ([\w-]+)", bath.read_text())}
    for turn in range(1, rounds):
        for bath in baths:
            path = bath.with_name(f"{bath.stem}-{turn}.yaml")
            path.write_text(_renamed(bath.read_text(), lots, turn), encoding="utf-8")
        for piece in pieces[: count - turn * len(pieces)]:
            number = f"{1000 + turn}-{piece.name[:8].replace('-', '')}"
            text = _renamed(piece.read_text(), lots, turn).replace(piece.name[:8], number)
            (folder / f"{number}{piece.name[8:]}").write_text(text, encoding="utf-8")
            for photo in (folder / "photos").glob(f"{piece.name[:8]}-*"):
                os.link(photo, photo.with_name(number + photo.name[8:]))


def _multiply(path: Path, rounds: int) -> None:
    """So many times the weight and the money."""
    amount = r"((?:weight|cost|length|number|bought): )([\d.]+)"
    text = re.sub(amount, lambda m: f"{m[1]}{float(m[2]) * rounds:.2f}", path.read_text())
    path.write_text(text, encoding="utf-8")


def _renamed(text: str, lots: set[str], turn: int) -> str:
    """A record that draws from, or makes, lots of its own round."""
    return re.sub(
        r"((?:lot|becomes|from|yarn): )([\w-]+)",
        lambda m: m[0] + (f"-{turn}" if m[2] in lots else ""),
        text,
    )


def seconds(command: list[str], before: Callable[[], object] = lambda: None) -> float:
    """The middle of several runs."""
    taken = []
    for _ in range(RUNS):
        before()
        start = time.perf_counter()
        done = subprocess.run(command, stdout=subprocess.DEVNULL, stderr=subprocess.PIPE)
        taken.append(time.perf_counter() - start)
        assert done.returncode in (0, 1), done.stderr.decode()
    return statistics.median(taken)


def of_help() -> None:
    """The program's start beside click's."""
    ours = seconds([sys.executable, "-m", "provenance", "--help"])
    bare = seconds([sys.executable, "-c", "import click"])
    print(f"--help                {ours:5.2f} s   import click {bare:.3f} s   {ours / bare:.2f}")


def of_check(folder: Path, cache: Path, count: int) -> None:
    """Reading so many pieces beside the bare library."""
    program = [sys.executable, "-m", "provenance", "--studio", str(folder)]
    bare = seconds([sys.executable, "-c", BARE, str(folder)])
    ways: dict[str, tuple[str, Callable[[], object]]] = {
        "check, cold": ("check", lambda: shutil.rmtree(cache, ignore_errors=True)),
        "check, again": ("check", lambda: None),
        "check, one edit": ("check", lambda: _edit(folder)),
        "no command, one edit": ("", lambda: _edit(folder)),
    }
    print(f"{count} pieces; the bare YAML library {bare:.2f} s")
    for name, (command, before) in ways.items():
        ours = seconds([*program, *filter(None, [command])], before)
        print(f"  {name:20}{ours:5.2f} s   {ours / bare:.2f}")


def _edit(folder: Path) -> None:
    path = folder / "2026-014-saltmarsh.yaml"
    path.write_text(path.read_text(encoding="utf-8") + "\n", encoding="utf-8")


def main() -> None:
    """Print times and ratios."""
    of_help()
    for count in map(int, sys.argv[1:] or ("300", "1000")):
        with tempfile.TemporaryDirectory() as holder:
            folder, cache = Path(holder, "pieces"), Path(holder, "cache")
            os.environ["XDG_CACHE_HOME"] = str(cache)
            full_copies(folder, count)
            of_check(folder, cache, count)


if __name__ == "__main__":
    main()
