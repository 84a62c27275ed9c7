"""How long `provenance check` takes for a studio of 300 pieces, beside the bare YAML library.

Run it by hand: `python tests/benchmarks/bench_check.py`. Both are measured as processes, start of
Python included; the bare one only composes the same files. Wanted: about a second on a plain
two-core machine.
"""

from __future__ import annotations

import statistics
import subprocess
import sys
import tempfile
import time
from pathlib import Path

from PIL import Image

PIECES, YARNS, BATHS = 300, 30, 60
RUNS = 5
BARE = """
import sys, yaml
from pathlib import Path
for path in sorted(Path(sys.argv[1]).rglob('*.yaml')):
    yaml.compose(path.read_text(encoding='utf-8'), yaml.CBaseLoader)
"""
PHOTO = Image.new("RGB", (40, 50), (111, 122, 56))
STORY = "  The marsh below the fold goes under twice a month in autumn, and comes up grey.\n" * 6


def write_studio(folder: Path) -> None:
    """A studio of 300 pieces that balances; everything a usual record holds is in it."""
    for sub in ("studio", "dyebook", "photos"):
        (folder / sub).mkdir(parents=True)
    studio = folder / "studio"
    (studio / "studio.yaml").write_text(
        "studio: Brackenfold\nmaker: Isla Wren\ncurrency: GBP\nlabels for: [UK, EU]\n"
        "pay: {any: 18.00, weaving: 22.00}\noverhead: 15 %\nprofit: 10 %\nheat: 0.45 per hour\n"
        "every piece takes: {swing tag: 1}\n"
    )
    (studio / "fleece.yaml").write_text(
        "".join(
            f"fleece-{i}: {{fibre: wool, breed: Gotland, weight: 400 kg, cost: 900.00, "
            "scoured: 55 %, carded: 92 %, spun: 97 %}\n"
            for i in range(10)
        )
    )
    (studio / "yarns.yaml").write_text(
        "".join(
            f"yarn-{i}:\n  fleece: {{fleece-{i % 10}: 100 kg}}\n  weight: 49 kg\n"
            "  length: 90 km\n  hours: {carding: 90, spinning: 260, plying: 60}\n"
            for i in range(YARNS)
        )
    )
    (studio / "dyestuffs.yaml").write_text(
        "weld: {species: Reseda luteola, weight: 900 kg, cost: 90}\n"
        "madder: {species: Rubia tinctorum, weight: 900 kg, cost: 58.00}\n"
    )
    (studio / "mordants.yaml").write_text("alum: {weight: 900 kg, cost: 9.50}\n")
    (studio / "sundries.yaml").write_text("swing tag: {each: 0.35}\nhanging bar: {each: 6.80}\n")
    (studio / "outlets.yaml").write_text("gallery: {kind: gallery, commission: 45 %}\n")
    for i in range(BATHS):
        (folder / "dyebook" / f"2026-{i:03}.yaml").write_text(
            f"date: 2026-03-12\ndyed:\n  - {{yarn: yarn-{i % YARNS}, weight: 20 kg, "
            f'becomes: lot-{i}, colour: "#6f7a38"}}\nsteps:\n  - mordants: {{alum: 12 %}}\n'
            "    heat: 85 C for 1 h\n  - dyes: {weld: 60 %}\n    heat: 70 C for 45 min\n"
            "hours: {mordanting: 0.75, dyeing: 2.5}\n"
        )
    for i in range(PIECES):
        log = "".join(f"    - {{on: 2026-08-{day:02}, for: 3 h 20 min}}\n" for day in range(1, 9))
        (folder / f"2026-{i:03}-piece.yaml").write_text(
            f"number: 2026-{i:03}\ntitle: Saltmarsh {i}\nkind: hanging\n"
            "structure: weft-faced plain weave\nfinished: 2026-09-14\nsize: 124 x 86 cm\n"
            "weight: 590 g\nyarns:\n"
            + "".join(
                f"  - {{use: weft, lot: lot-{(i + j) % BATHS}, weight: 152 g}}\n" for j in range(4)
            )
            + f"  - {{use: warp, lot: yarn-{i % YARNS}, weight: 180 g}}\n"
            "sundries: {hanging bar: 1}\nhours:\n  design: 6\n  warping: 4 h 30 min\n  weaving:\n"
            f"{log}  finishing: 5\nprice: 1450\nat: gallery\nstatus: available\n"
            "photos:\n"
            + "".join(
                f'  - {{file: {i}-{view}.jpg, view: {view}, alt: "Tall hanging"}}\n'
                for view in ("whole", "detail", "room")
            )
            + f"story: |\n{STORY}"
        )
        for view in ("whole", "detail", "room"):
            PHOTO.save(folder / "photos" / f"{i}-{view}.jpg")


def seconds(command: list[str]) -> float:
    """The middle of several runs; the command must end well."""
    taken = []
    for _ in range(RUNS):
        start = time.perf_counter()
        subprocess.run(command, check=True, stdout=subprocess.DEVNULL)
        taken.append(time.perf_counter() - start)
    return statistics.median(taken)


def main() -> None:
    """Print both times and their ratio."""
    with tempfile.TemporaryDirectory() as holder:
        folder = Path(holder, "pieces")
        write_studio(folder)
        program = [sys.executable, "-m", "provenance.commands.main"]
        ours = seconds([*program, "--studio", str(folder), "check"])
        bare = seconds([sys.executable, "-c", BARE, str(folder)])
        print(f"check, {PIECES} pieces:  {ours:.2f} s")
        print(f"bare YAML library:   {bare:.2f} s")
        print(f"ratio:               {ours / bare:.2f}")


if __name__ == "__main__":
    main()
