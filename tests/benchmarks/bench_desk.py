"""From save to sight at the desk: a record is saved, its page is seen again.

Run it by hand: `python tests/benchmarks/bench_desk.py RECORDS NUMBER`, on a copy of a record folder:
the price of the piece NUMBER is typed anew twenty times. Measured: `/save` and the page at
`/see/site/NUMBER/` together, in one process. Wanted, as medians: 1 s at 60 pieces, 2 s at 1,000.
"""

from __future__ import annotations

import re
import statistics
import sys
import time
from pathlib import Path

from tests.desk.open_desk import open_desk

RUNS = 20


def main(folder: Path, number: str) -> None:
    """Print the median, the least and the most."""
    path = next(each for each in folder.glob("*.yaml") if each.name.startswith(number))
    with open_desk(folder, site=folder.parent / "site") as asker:
        asker.get(f"/see/site/{number}/")
        took = []
        for turn in range(RUNS):
            read = asker.read(path.name)
            text = re.sub(r"(?m)^price: .*$", f"price: {1400 + turn}", read["text"])
            begun = time.perf_counter()
            sent = {"path": path.name, "text": text, "digest": read["digest"]}
            assert asker.post("/save", sent)[0] == 200
            status, told, content = asker.get(f"/see/site/{number}/")
            took.append(time.perf_counter() - begun)
            assert status == 200
            assert "x-seen" not in told
            assert f"{1400 + turn:,}".encode() in content
    print(f"{statistics.median(took):.2f} s ({min(took):.2f} to {max(took):.2f})")


if __name__ == "__main__":
    main(Path(sys.argv[1]).resolve(), sys.argv[2])
