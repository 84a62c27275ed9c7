"""What a cold build costs beside the bare libraries that make the same outputs, in one run.

    .venv/bin/python tests/benchmarks/bench_whole.py [pieces]

The demo's pieces and plain ones until there are so many (60: 167 photos). "Bare" is what nobody can
do without: Pillow for the sizes of each photo, WeasyPrint on the finished HTML of each certificate
and each paper of tags, Jinja2 on the templates of each page (timed in a build, with what they
call). Nothing is worked out, read back or written. Seconds of the processors beside those of the
clock; other work on the machine spoils only the second. The templates' part of the clock is theirs
on one core, shared among all.
"""

from __future__ import annotations

import os
import pickle
import re
import shutil
import sys
import tempfile
import time
from concurrent.futures import ProcessPoolExecutor
from dataclasses import replace
from functools import cache
from pathlib import Path
from statistics import median
from types import SimpleNamespace
from typing import Any

from bench_site import copies, timed
from bench_tags import bare_library


def record(home: Path) -> None:
    """A build that writes down the HTML of every paper, and how long templates took."""
    import provenance.site.pages as pages
    from provenance.commands.main import run
    from provenance.press.pdf.render import Laid

    taken, (render, to_pdf) = [0.0], (pages.render, Laid.pdf)

    def slow(*words: Any) -> str:
        began = time.process_time()
        try:
            return render(*words)
        finally:
            taken[0] += time.process_time() - began

    def noted(laid: Laid, **how: Any) -> bytes:
        name = f"{os.getpid()}-{time.perf_counter_ns()}"
        paper = (laid.html, dict(laid.assets), how["archival"])
        (home / "papers" / name).write_bytes(pickle.dumps(paper))
        return to_pdf(replace(laid), **how)

    (home / "papers").mkdir()
    pages.render = slow  # rows are written inside pages
    Laid.pdf = noted  # type: ignore[method-assign, assignment]
    sys.argv[1:] = ["--studio", str(home / "pieces"), "build"]
    try:
        run()
    finally:
        (home / "templates").write_text(str(taken[0]))


def bare_paper(path: Path) -> None:
    html, assets, archival = pickle.loads(path.read_bytes())
    _library(archival)([SimpleNamespace(html=html, assets=assets)])


@cache
def _library(archival: bool) -> Any:
    return bare_library(archival=archival)


def bare_papers(home: Path) -> None:
    with ProcessPoolExecutor(os.cpu_count()) as pool:
        list(pool.map(bare_paper, sorted((home / "papers").iterdir())))


def edited(build: list[str], home: Path, turn: int) -> list[str]:
    """A new price, and the build after it."""
    piece = home / "pieces" / "2026-014-saltmarsh.yaml"
    text = re.sub(r"(?m)^price: .*", f"price: {1400 + turn}", piece.read_text(encoding="utf-8"))
    piece.write_text(text, encoding="utf-8")
    return [*build, f"{home}/pieces", "build"]


def main() -> None:
    if sys.argv[1:2] == ["--part"]:
        {"record": record, "papers": bare_papers}[sys.argv[2]](Path(sys.argv[3]))
        return
    count = int(sys.argv[1]) if len(sys.argv) > 1 else 60
    with tempfile.TemporaryDirectory() as place:
        home = Path(place)
        copies(home / "pieces", count)
        env = os.environ | {"XDG_CACHE_HOME": f"{home}/cache", "SOURCE_DATE_EPOCH": "1795608000"}
        me, site = [sys.executable, __file__, "--part"], Path(__file__).with_name("bench_site.py")
        build = [sys.executable, "-m", "provenance.commands.main", "--studio"]
        timed([*me, "record", place], env)
        for name in ("cache", "site", ".site.kept", "pieces/papers", "pieces/.printed"):
            shutil.rmtree(home / name, ignore_errors=True)
        (home / "pieces" / "studio" / "printed.yaml").unlink(missing_ok=True)
        templates = float((home / "templates").read_text())
        bare = {
            "bare pictures": timed(
                [sys.executable, str(site), "--pictures", "bare", f"{home}/pieces"], env
            ),
            "bare papers": timed([*me, "papers", place], env),
            "templates of pages": (templates / (os.cpu_count() or 1), templates),
        }
        cold = timed([*build, f"{home}/pieces", "build"], env)
        edits = [timed(edited(build, home, turn), env) for turn in range(5)]
        papers = len(list((home / "papers").iterdir()))
        print(f"{count} pieces, {papers} papers; seconds by the clock, worked")
        for name, (clock, worked) in {**bare, "cold build": cold}.items():
            print(f"  {name:20} {clock:7.2f} {worked:7.2f}")
        clock, worked = (sum(each[turn] for each in bare.values()) for turn in (0, 1))
        print(f"  {'ratio':20} {cold[0] / clock:7.2f} {cold[1] / worked:7.2f}")
        clock, worked = (median(each[turn] for each in edits) for turn in (0, 1))
        print(f"  {'one edit, of five':20} {clock:7.2f} {worked:7.2f}")


if __name__ == "__main__":
    main()
