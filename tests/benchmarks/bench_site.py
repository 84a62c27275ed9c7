"""How heavy pages are, and what a build costs beside the bare picture library, in one run.

    .venv/bin/python tests/benchmarks/bench_site.py [pieces]

Copies the demo's pieces until there are so many, then measures: the bare library (Pillow: open,
shrink, save the same sizes and formats, on as many workers), a cold build, a build after one edit;
and, from the built site, the weight and requests of the first view of each kind of page (HTML,
style, letters, the eager picture at 960 px).
"""

from __future__ import annotations

import os
import re
import shutil
import subprocess
import sys
import tempfile
import time
from concurrent.futures import ProcessPoolExecutor
from io import BytesIO
from pathlib import Path

ROOT = Path(__file__).parent.parent.parent
WIDTHS = (480, 960, 1600)


def copies(folder: Path, count: int) -> None:
    """The demo's records, and plain pieces with photos of its own until there are so many."""
    shutil.copytree(
        ROOT / "pieces", folder, ignore=shutil.ignore_patterns("papers", "printed.yaml", ".printed")
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
    """What the pictures of one photo cost without us."""
    from PIL import Image

    weight = 0
    with Image.open(path) as image:
        image.load()
        for width in WIDTHS:
            if width > image.width:
                continue
            small = image.resize(
                (width, round(image.height * width / image.width)), Image.Resampling.LANCZOS
            )
            for kind, settings in (
                ("AVIF", {"quality": 55, "speed": 9}),
                ("JPEG", {"quality": 80}),
            ):
                into = BytesIO()
                small.save(into, kind, **settings)
                weight += into.tell()
    return weight


def timed(words: list[str], env: dict[str, str]) -> float:
    began = time.perf_counter()
    subprocess.run(words, env=env, check=True, capture_output=True)
    return time.perf_counter() - began


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
    wanted += [letters / f"{name}-near.woff2" for name in (
        "studio-sans-300", "studio-sans-400", "studio-sans-600", "studio-serif-400")]  # fmt: skip
    return sum(path.stat().st_size for path in wanted), len(wanted)


def main() -> None:
    count = int(sys.argv[1]) if len(sys.argv) > 1 else 60
    with tempfile.TemporaryDirectory() as home:
        folder = Path(home) / "pieces"
        copies(folder, count)
        photos = sorted((folder / "photos").glob("*.jpg"))
        env = os.environ | {"XDG_CACHE_HOME": f"{home}/cache", "SOURCE_DATE_EPOCH": "1795608000"}
        began = time.perf_counter()
        with ProcessPoolExecutor(os.cpu_count()) as pool:
            list(pool.map(bare, photos))
        alone = time.perf_counter() - began
        build = [sys.executable, "-m", "provenance.commands.main", "--studio", str(folder), "build"]
        cold = timed(build, env)
        piece = next(folder.glob("1000-*.yaml"))
        piece.write_text(piece.read_text().replace("title: ", "title: New "), encoding="utf-8")
        again = timed(build, env)
        print(f"{count} pieces, {len(photos)} photos, {os.cpu_count()} cores")
        print(f"  bare picture library   {alone:7.2f} s")
        print(f"  cold build             {cold:7.2f} s   ratio {cold / alone:.2f}")
        print(f"  after one edit         {again:7.2f} s")
        site = Path(home) / "site"
        for name in ("index.html", "work/index.html", "2026-014/index.html", "dyes/index.html"):
            weight, requests = first_view(site / name)
            print(f"  {name:24}{weight / 1000:7.0f} KB first view, {requests} requests")


if __name__ == "__main__":
    main()
