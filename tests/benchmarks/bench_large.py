"""A large studio: what a build costs after nothing and after one edit, and how much room it takes.

    .venv/bin/python tests/benchmarks/bench_large.py [pieces ...]

For each number of plain pieces (100 and 1,000 unless given), with one small photo each and every
tag due: a cold build, one with nothing changed, one after a price changed, `check`; seconds by the
clock and the most memory of the process. Figures of one run on one machine: compare them with
each other.
"""

from __future__ import annotations

import os
import subprocess
import sys
import tempfile
import time
from pathlib import Path

from PIL import Image

ROOT = Path(__file__).parents[2]
STUDIO = """\
studio: Brackenfold
maker: Isla Wren
place: Eskrigg Dale
site: https://brackenfold.example
labels for: [UK, EU]
pay: {any: 18.00}
overhead: 15 %
profit: 10 %
"""
KINDS = ("cloth", "shawl", "rug")


def write_studio(folder: Path, count: int) -> None:
    """So many finished pieces of two yarns each, all for sale at a fair."""
    (folder / "studio").mkdir(parents=True)
    (folder / "photos").mkdir()
    yarn = "yarn-{0}: {{fibre: wool, weight: 900 kg, cost: 9000, colour: '#6f{1:02x}38'}}\n"
    yarns = "".join(yarn.format(turn, turn * 30) for turn in range(8))
    fair = "quay: {kind: fair, title: Quay fair, place: Sandrigg, dates: 2027-05-05}\n"
    texts = {"studio": STUDIO, "yarns": yarns, "outlets": fair}
    for name, text in texts.items():
        (folder / "studio" / f"{name}.yaml").write_text(text, encoding="utf-8")
    for turn in range(count):
        number = f"{2000 + turn // 200}-{turn % 200 + 1:03d}"
        shade = (turn % 256, turn * 7 % 256, turn * 13 % 256)
        Image.new("RGB", (1000, 1250), shade).save(folder / "photos" / f"{number}.jpg", quality=60)
        lines = [
            f"number: {number}", f"title: Piece {turn}", f"kind: {KINDS[turn % 3]}",
            "structure: plain weave", "size: 60 x 45 cm",
            f"finished: {number[:4]}-09-{turn % 28 + 1:02d}",
            f"yarns: [{{use: weft, lot: yarn-{turn % 8}, weight: 200 g}}, "
            f"{{use: warp, lot: yarn-{(turn + 3) % 8}, weight: 150 g}}]",
            "hours: {weaving: 6, finishing: 1}", "price: 100", "at: quay", "status: available",
            f"photos: [{{file: {number}.jpg, view: whole, alt: Cloth over a rail}}]",
        ]  # fmt: skip
        (folder / f"{number}.yaml").write_text("\n".join(lines) + "\n", encoding="utf-8")


def timed(home: Path, *words: str) -> tuple[float, int]:
    """Seconds by the clock and the most memory (MB) of a command."""
    env = os.environ | {"XDG_CACHE_HOME": f"{home}/cache", "SOURCE_DATE_EPOCH": "1795608000"}
    command = [sys.executable, "-m", "provenance", "--studio", f"{home}/pieces", *words]
    began = time.perf_counter()
    with subprocess.Popen(command, env=env, stdout=subprocess.DEVNULL, cwd=ROOT) as process:
        _, status, used = os.wait4(process.pid, 0)
        process.returncode = os.waitstatus_to_exitcode(status)
    assert process.returncode == 0, words
    return time.perf_counter() - began, used.ru_maxrss // 1024


def measured(home: Path, count: int) -> dict[str, tuple[float, int]]:
    """Each of the four, the last of three where something is warm."""
    write_studio(home / "pieces", count)
    found = {"cold build": timed(home, "build")}
    found["nothing changed"] = [timed(home, "build") for _ in range(3)][-1]
    for price in (110, 120, 130):
        piece = next((home / "pieces").glob("2000-05*.yaml"))
        text = piece.read_text(encoding="utf-8").split("price: ")
        text[1] = f"{price}\n" + text[1].partition("\n")[2]
        piece.write_text("price: ".join(text), encoding="utf-8")
        found["one edit"] = timed(home, "build")
    found["check"] = [timed(home, "check") for _ in range(2)][-1]
    return found


def main() -> None:
    """Print a table."""
    print("pieces  work              seconds     MB")
    for count in [int(word) for word in sys.argv[1:]] or [100, 1000]:
        with tempfile.TemporaryDirectory() as home:
            for work, (seconds, memory) in measured(Path(home), count).items():
                print(f"{count:>6}  {work:<16} {seconds:>8.2f} {memory:>6}", flush=True)


if __name__ == "__main__":
    main()
