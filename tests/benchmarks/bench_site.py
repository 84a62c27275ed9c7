"""How heavy pages are, and what a build costs beside the bare picture library, in one run.

    .venv/bin/python tests/benchmarks/bench_site.py [pieces]

Copies the demo's pieces until there are so many, then measures: the bare library (Pillow: decode
once at the smallest scale, the sizes one from the other, one file each at a fixed quality, on as
many workers: the least that the same pictures can cost), our pictures alone, a cold build, a build
after one edit; and, from the built site, the weight and requests of the first view of each kind of
page (HTML, style, letters, the eager picture at 960 px). The time of the processors is told beside
that of the clock: other work on the machine spoils only the second.
"""

from __future__ import annotations

import os
import re
import resource
import shutil
import subprocess
import sys
import tempfile
import time
from concurrent.futures import ProcessPoolExecutor
from io import BytesIO
from pathlib import Path
from typing import Any

ROOT = Path(__file__).parent.parent.parent
WIDTHS = (480, 960, 1600)
SETTINGS: dict[str, dict[str, Any]] = {
    "AVIF": {"quality": 55, "speed": 9, "max_threads": 1},
    "JPEG": {"quality": 80, "optimize": True, "progressive": True},
}


def copies(folder: Path, count: int) -> None:
    """The demo's records, and plain pieces with photos of its own until there are so many."""
    shutil.copytree(
        ROOT / "pieces",
        folder,
        ignore=shutil.ignore_patterns("papers", "printed.yaml", ".printed", "certificates"),
    )
    with (folder / "studio" / "yarns.yaml").open("a", encoding="utf-8") as yarns:
        yarns.write("bench-yarn: {fibre: wool, weight: 900 kg, cost: 9000, colour: '#6f7a38'}\n")
    photos = sorted((folder / "photos").glob("*.jpg"))
    for index in range(count - len(list(folder.glob("20*.yaml")))):
        number = f"1000-{index:03d}"
        lines = [
            f"number: {number}", f"title: Piece {index}", "kind: cloth", "size: 60 x 45 cm",
            "yarns: [{use: warp and weft, lot: bench-yarn, weight: 200 g}]",
            "hours: {weaving: 6, finishing: 1}", "price: 100", "photos:",
        ]  # fmt: skip
        for view in range(3):
            photo = photos[(3 * index + view) % len(photos)]
            fresh = f"{number}-{view}.jpg"
            # a comment segment makes each copy a picture of its own for the cache
            raw = photo.read_bytes()
            note = b"\xff\xfe" + (len(fresh) + 2).to_bytes(2, "big") + fresh.encode()
            (folder / "photos" / fresh).write_bytes(raw[:2] + note + raw[2:])
            lines.append(f"  - {{file: {fresh}, view: whole, alt: Cloth}}")
        (folder / f"{number}.yaml").write_text("\n".join(lines) + "\n", encoding="utf-8")


def bare(path: Path) -> int:
    """What the pictures of one photo cost without us: the least."""
    from PIL import Image

    weight = 0
    with Image.open(path) as image:
        top = min(image.width, max(WIDTHS))
        widths = [*(width for width in WIDTHS if width < top), top]
        shape = image.height / image.width
        image.draft(None, (top, round(top * shape)))
        image.load()
        small: Image.Image = image
        for width in reversed(widths):
            box = (width, round(width * shape))
            if small.size != box:
                small = small.resize(box, Image.Resampling.LANCZOS, reducing_gap=2.0)
            for kind, settings in SETTINGS.items():
                into = BytesIO()
                small.save(into, kind, **settings)
                weight += into.tell()
    return weight


def bare_pictures(folder: Path) -> None:
    photos = sorted((folder / "photos").glob("*.jpg"), key=lambda path: -path.stat().st_size)
    with ProcessPoolExecutor(os.cpu_count()) as pool:
        list(pool.map(bare, photos))


def our_pictures(folder: Path) -> None:
    from provenance.build.pictures import Wanted, pictures_of
    from provenance.press.pictures.credit import Credit
    from provenance.workers import workers

    names = sorted(path.name for path in (folder / "photos").glob("*.jpg"))
    wanted = [Wanted(folder / "photos", name, Credit("Isla Wren", "©")) for name in names]
    with workers() as pool:
        for made in pictures_of(wanted).start(pool).results(lambda *_: None):
            assert made.slip is None


def timed(words: list[str], env: dict[str, str]) -> tuple[float, float]:
    """Seconds by the clock, and of the processors."""
    began, before = time.perf_counter(), resource.getrusage(resource.RUSAGE_CHILDREN)
    subprocess.run(words, env=env, check=True, capture_output=True)
    after = resource.getrusage(resource.RUSAGE_CHILDREN)
    worked = after.ru_utime + after.ru_stime - before.ru_utime - before.ru_stime
    return time.perf_counter() - began, worked


def first_view(page: Path) -> tuple[int, int]:
    """Bytes and requests of what is fetched before anything is scrolled to."""
    text = page.read_text(encoding="utf-8")
    wanted = [page, page.parent / re.findall(r'stylesheet" href="([^"]+)"', text)[0]]
    eager = re.search(
        r'<source type="image/avif" srcset="([^"]+)"[^>]*>\s*<img[^>]*fetchpriority', text
    )
    if eager:
        sizes = dict(each.strip().split()[::-1] for each in eager[1].split(","))
        wanted.append(page.parent / sizes.get("960w", next(iter(sizes.values()))))
    letters = page.parent.joinpath(wanted[1]).parent / "letters"
    wanted += [next(letters.glob(f"{name}-near-*.woff2")) for name in (
        "studio-sans-300", "studio-sans-400", "studio-sans-600", "studio-serif-400")]  # fmt: skip
    return sum(path.stat().st_size for path in wanted), len(wanted)


def main() -> None:
    if sys.argv[1:2] == ["--pictures"]:
        {"bare": bare_pictures, "ours": our_pictures}[sys.argv[2]](Path(sys.argv[3]))
        return
    count = int(sys.argv[1]) if len(sys.argv) > 1 else 60
    with tempfile.TemporaryDirectory() as home:
        folder = Path(home) / "pieces"
        copies(folder, count)
        env = os.environ | {"XDG_CACHE_HOME": f"{home}/cache", "SOURCE_DATE_EPOCH": "1795608000"}
        pictures = [sys.executable, __file__, "--pictures"]
        alone = timed([*pictures, "bare", str(folder)], env)
        ours = timed([*pictures, "ours", str(folder)], env)
        warm = timed([*pictures, "ours", str(folder)], env)
        shutil.rmtree(f"{home}/cache")
        build = [sys.executable, "-m", "provenance.commands.main", "--studio", str(folder), "build"]
        cold = timed(build, env)
        piece = next(folder.glob("1000-*.yaml"))
        piece.write_text(piece.read_text().replace("title: ", "title: New "), encoding="utf-8")
        again = timed(build, env)
        photos = len(list((folder / "photos").glob("*.jpg")))
        print(
            f"{count} pieces, {photos} photos, {os.cpu_count()} cores; seconds by the clock, worked"
        )
        rows = {"bare picture library": alone, "our pictures alone": ours, "kept": warm,
                "cold build": cold, "after one edit": again}  # fmt: skip
        for name, (clock, worked) in rows.items():
            ratios = f"{clock / alone[0]:6.2f} {worked / alone[1]:6.2f}"
            print(f"  {name:22} {clock:7.2f} {worked:7.2f}   ratio {ratios}")
        site = Path(home) / "site"
        for name in ("index.html", "work/index.html", "2026-014/index.html", "dyes/index.html"):
            weight, requests = first_view(site / name)
            print(f"  {name:24}{weight / 1000:7.0f} KB first view, {requests} requests")


if __name__ == "__main__":
    main()
