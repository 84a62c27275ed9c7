"""What a cold build costs beside the bare libraries that make the same outputs, in one run.

    .venv/bin/python tests/benchmarks/bench_whole.py [pieces]

The demo's pieces and plain ones until there are so many (60: 167 photos). "Bare" is what nobody can
do without: Pillow for the sizes of each photo and the picture each page is passed on with,
WeasyPrint on the finished HTML of each certificate and each paper of tags, fontTools for the site's
letters, qrcode for the codes of tags, Jinja2 on the templates of each page (timed in a build, with
what they call). Nothing is worked out, read back or written. Seconds of the processors beside those
of the clock; other work on the machine spoils only the second. The templates' part of the clock is
theirs on one core, shared among all. The ratio is told without letters, codes and pictures for
passing on as well: less of what the build makes.
"""

from __future__ import annotations

import json
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
from io import BytesIO
from pathlib import Path
from statistics import median
from types import SimpleNamespace
from typing import Any

from bench_site import copies, timed
from bench_tags import bare_library


def record(home: Path) -> None:
    """A build that writes down the HTML of every paper, and how long templates took."""
    import provenance.press.codes.qr as qr
    import provenance.site.pages as pages
    from provenance.commands.main import run
    from provenance.press.codes.qr import Code
    from provenance.press.pdf.render import Laid

    code_of = qr.code_of
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

    def noted_code(address: str, most: int = 0) -> Code:
        code = code_of(address, most)
        codes[code] = None
        return code

    codes: dict[Code, None] = {}
    (home / "papers").mkdir()
    qr.code_of = noted_code  # type: ignore[assignment]
    pages.render = slow  # rows are written inside pages
    Laid.pdf = noted  # type: ignore[method-assign, assignment]
    sys.argv[1:] = ["--studio", str(home / "pieces"), "build"]
    try:
        run()
    finally:
        (home / "templates").write_text(str(taken[0]))
        told = [(each.address, each.version, each.level) for each in codes]
        (home / "codes").write_text(json.dumps(told))


def bare_paper(path: Path) -> None:
    html, assets, archival = pickle.loads(path.read_bytes())
    _library(archival)([SimpleNamespace(html=html, assets=assets)])


@cache
def _library(archival: bool) -> Any:
    return bare_library(archival=archival)


def bare_papers(home: Path) -> None:
    with ProcessPoolExecutor(os.cpu_count()) as pool:
        list(pool.map(bare_paper, sorted((home / "papers").iterdir())))


def bare_letter(name: str) -> bytes:
    """One of the site's font files, as fontTools cuts it."""
    from fontTools import subset

    from provenance.press.letters import fonts
    from provenance.press.letters.faces import face_path

    face, signs = fonts._SITE_FILES[name]
    options = subset.Options(
        flavor="woff2", hinting=False, layout_features=fonts._FEATURES, name_IDs=[0, 13, 14],
        notdef_outline=True,
    )  # fmt: skip
    cutter, into = subset.Subsetter(options), BytesIO()
    cutter.populate(unicodes=signs)
    with subset.load_font(face_path(face), options) as font:
        cutter.subset(font)
        subset.save_font(font, into, options)
    return into.getvalue()


def bare_letters(home: Path) -> None:
    from provenance.press.letters.fonts import site_font_names

    with ProcessPoolExecutor(os.cpu_count()) as pool:
        list(pool.map(bare_letter, site_font_names()))


def bare_codes(home: Path) -> None:
    import qrcode

    for address, version, level in json.loads((home / "codes").read_text()):
        correction = getattr(qrcode.constants, f"ERROR_CORRECT_{level}")
        made = qrcode.QRCode(version, correction)
        made.add_data(address)
        made.make()


def bare_share(path: Path) -> int:
    """A picture of a work on a sheet, as Pillow makes it; no words."""
    from PIL import Image

    sheet, into = Image.new("RGB", (1200, 630), "white"), BytesIO()
    with Image.open(path) as work:
        work.draft("RGB", (640, 630))
        share = min(640 / work.width, 630 / work.height)
        box = round(work.width * share), round(work.height * share)
        sheet.paste(work.resize(box, Image.Resampling.BICUBIC, reducing_gap=2.0), (36, 0))
    sheet.save(into, "JPEG", quality=82)
    return into.tell()


def bare_shares(home: Path) -> None:
    pictures = home / "shares"
    with ProcessPoolExecutor(os.cpu_count()) as pool:
        list(pool.map(bare_share, sorted(pictures.iterdir())))


def keep_shares(home: Path) -> None:
    """A public picture of each piece that has one to be passed on with."""
    pictures, aside = home / "site" / "pictures", home / "shares"
    aside.mkdir()
    for share in pictures.glob("*-share-*.jpg"):
        number = share.name.split("-share-")[0]
        sizes = [each for each in pictures.glob(f"{number}-*-960-*.jpg") if each != share]
        shutil.copy(min(sizes or [share]), aside)


def edited(build: list[str], home: Path, turn: int) -> list[str]:
    """A new price, and the build after it."""
    piece = home / "pieces" / "2026-014-saltmarsh.yaml"
    text = re.sub(r"(?m)^price: .*", f"price: {1400 + turn}", piece.read_text(encoding="utf-8"))
    piece.write_text(text, encoding="utf-8")
    return [*build, f"{home}/pieces", "build"]


PARTS = {"record": record, "papers": bare_papers, "letters": bare_letters, "codes": bare_codes,
         "shares": bare_shares}  # fmt: skip
LESS = ("letters", "codes", "passing on")


def main() -> None:
    if sys.argv[1:2] == ["--part"]:
        PARTS[sys.argv[2]](Path(sys.argv[3]))
        return
    count = int(sys.argv[1]) if len(sys.argv) > 1 else 60
    with tempfile.TemporaryDirectory() as place:
        home = Path(place)
        copies(home / "pieces", count)
        env = os.environ | {"XDG_CACHE_HOME": f"{home}/cache", "SOURCE_DATE_EPOCH": "1795608000"}
        me, site = [sys.executable, __file__, "--part"], Path(__file__).with_name("bench_site.py")
        build = [sys.executable, "-m", "provenance.commands.main", "--studio"]
        timed([*me, "record", place], env)
        keep_shares(home)
        for name in ("cache", "site", ".site.kept", "pieces/papers", "pieces/.printed"):
            shutil.rmtree(home / name, ignore_errors=True)
        (home / "pieces" / "studio" / "printed.yaml").unlink(missing_ok=True)
        templates = float((home / "templates").read_text())
        bare = {
            "bare pictures": timed(
                [sys.executable, str(site), "--pictures", "bare", f"{home}/pieces"], env
            ),
            "bare papers": timed([*me, "papers", place], env),
            "bare letters": timed([*me, "letters", place], env),
            "bare codes": timed([*me, "codes", place], env),
            "bare passing on": timed([*me, "shares", place], env),
            "templates of pages": (templates / (os.cpu_count() or 1), templates),
        }
        cold = timed([*build, f"{home}/pieces", "build"], env)
        edits = [timed(edited(build, home, turn), env) for turn in range(5)]
        papers = len(list((home / "papers").iterdir()))
        print(f"{count} pieces, {papers} papers; seconds by the clock, worked")
        for name, (clock, worked) in {**bare, "cold build": cold}.items():
            print(f"  {name:20} {clock:7.2f} {worked:7.2f}")
        less = {name: each for name, each in bare.items() if not name.endswith(LESS)}
        for name, parts in (("ratio", bare), ("without these three", less)):
            clock, worked = (sum(each[turn] for each in parts.values()) for turn in (0, 1))
            print(f"  {name:20} {cold[0] / clock:7.2f} {cold[1] / worked:7.2f}")
        clock, worked = (median(each[turn] for each in edits) for turn in (0, 1))
        print(f"  {'one edit, of five':20} {clock:7.2f} {worked:7.2f}")


if __name__ == "__main__":
    main()
