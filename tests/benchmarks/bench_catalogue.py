"""How long a catalogue of sixty plates takes, and how much memory, against the bare PDF library.

Run by hand: `python tests/benchmarks/bench_catalogue.py [PLATES]`. Everything is measured in one
run, each way in a process of its own, so that its most memory is its own. "Bare" is WeasyPrint
alone, given the finished HTML, pictures and fonts of the same pages, tagged as ours are: nothing is
worked out, no picture is made, one file comes out. "Ours" goes from records to the files for
printer, screen and booklet, first with every picture to be made, then with pictures kept from
before. `book` is the part that bare does too: from public facts to the one PDF, pictures and all.
Photos are 1819 x 2551 pixels: A5 with bleed at 300 an inch. Times are those of the clock and of the
processor, workers' too; memory is that of the largest process.
"""

from __future__ import annotations

import json
import os
import random
import resource
import subprocess
import sys
import tempfile
import time
from pathlib import Path

PLATES, PIXELS = 60, (1819, 2551)
RATIO, MEMORY_MB = 1.3, 250
SELF, CHILDREN = resource.RUSAGE_SELF, resource.RUSAGE_CHILDREN
STUDIO = """studio: Brackenfold
maker: Isla Wren
place: Eskrigg Dale
site: https://brackenfold.example
labels for: [UK]
pay: {any: 20}
"""
PIECE = """number: 2026-{number:03d}
title: Plate {number}
kind: hanging
size: 120 x 86 cm
finished: 2026-0{month}-10
hours: {{weaving: 20}}
structure: weft-faced plain weave
story: Woven from the top down, the way the water comes.
photos: [{{file: {number:03d}.jpg, view: whole, alt: "A hanging of three bands"}}]
yarns:
  - {{use: weft, fleece: gotland, weight: 90 g, colour: "#c3a23c"}}
  - {{use: weft, fleece: shetland, weight: 60 g, colour: "#a4523a"}}
"""


def studio(folder: Path, plates: int) -> None:
    """Records of so many works, each with a photo that compresses as cloth does."""
    from PIL import Image

    (folder / "studio").mkdir(parents=True)
    (folder / "photos").mkdir()
    (folder / "studio" / "studio.yaml").write_text(STUDIO)
    lot = "{weight: 900 kg, cost: 90, breed: "
    lots = f"gotland: {lot}Gotland}}\nshetland: {lot}Shetland}}\n"
    (folder / "studio" / "fleece.yaml").write_text(lots)
    chance = random.Random(7)
    wide, high = PIXELS[0] // 3, PIXELS[1] // 3
    grain = Image.frombytes("L", (wide, high), chance.randbytes(wide * high)).resize(PIXELS)
    for number in range(1, plates + 1):
        tone = Image.new("RGB", PIXELS, (90 + number, 120, 150 - number))
        picture = Image.blend(tone, Image.merge("RGB", (grain, grain, grain)), 0.2)
        picture.save(folder / "photos" / f"{number:03d}.jpg", quality=90)
        text = PIECE.format(number=number, month=1 + number % 9)
        (folder / f"2026-{number:03d}.yaml").write_text(text)


def opened(folder: Path):
    from datetime import date

    from provenance.figures.flow.gather import studio_flow
    from provenance.public.border import Border
    from provenance.records.book import read_book
    from provenance.studio import Studio

    book, problems = read_book(folder)
    for problem in problems:
        print(problem, file=sys.stderr)
    return Border(Studio(book, studio_flow(book), {}, date(2026, 11, 25)))


def spent() -> tuple[float, float]:
    """By the clock and by the processor, its own and that of the workers that have ended."""
    return time.monotonic(), sum(sum(resource.getrusage(who)[:2]) for who in (SELF, CHILDREN))


def since(then: tuple[float, float]) -> dict[str, float]:
    (clock, processor), (now, used) = then, spent()
    return {"clock": now - clock, "processor": used - processor}


def ours(folder: Path, aside: Path) -> dict[str, object]:
    """The catalogue as the command makes it; kept pictures are those of an earlier run."""
    from provenance.build import catalogue
    from provenance.papers.catalogue.pictures import Pictures

    set_book, make, taken = catalogue.set_book, Pictures.make, dict[str, object]()

    def timed(name, work):
        def done(*given, **named):
            start = spent()
            try:
                return work(*given, **named)
            finally:
                taken[name] = since(start)

        return done

    began = spent()
    catalogue.set_book, Pictures.make = timed("book", set_book), timed("pictures", make)
    made = catalogue.make_catalogue(opened(folder), catalogue.Wishes())
    taken |= {"all": since(began), "pages": made.book.pages}
    taken["megabytes"] = made.files["printer"].waiting.path.stat().st_size / 1e6
    return taken


def record(folder: Path, aside: Path) -> dict[str, float]:
    """The pages and pictures of the same book, laid aside for the bare library."""
    from provenance.build import catalogue
    from provenance.papers.catalogue import book

    typeset = book.typeset

    def noted(html, assets, into, created):
        (aside / "page.html").write_text(html)
        for name in assets:
            (aside / name).write_bytes(assets[name])
        return typeset(html, assets, into, created)

    book.typeset = noted
    catalogue.make_catalogue(opened(folder), catalogue.Wishes())
    return {}


def bare(folder: Path, aside: Path) -> dict[str, float]:
    """WeasyPrint alone."""
    from weasyprint import CSS, HTML
    from weasyprint.text.fonts import FontConfiguration
    from weasyprint.urls import URLFetcher, URLFetcherResponse

    from provenance.press.letters.faces import FACES, face_file
    from provenance.press.letters.fonts import paper_css

    faces = {f"fonts/{face.name}.ttf": face_file(face) for face in FACES}
    kinds = {"css": "text/css", "svg": "image/svg+xml", "png": "image/png", "ttf": "font/ttf",
             "jpg": "image/jpeg"}  # fmt: skip
    began = spent()

    class Given(URLFetcher):
        def fetch(self, url, headers=None):
            name = url.removeprefix("https://bare.invalid/")
            body = faces[name] if name in faces else (aside / name).read_bytes()
            return URLFetcherResponse(
                url, body=body, headers={"Content-Type": kinds[name.rsplit(".")[-1]]}
            )

    base = {"base_url": "https://bare.invalid/", "url_fetcher": Given()}
    config = FontConfiguration()
    styles = CSS(string=paper_css("fonts"), font_config=config, **base)
    page = HTML(string=(aside / "page.html").read_text(), **base)
    made = page.write_pdf(stylesheets=[styles], font_config=config, pdf_variant="pdf/a-3a")
    return {"all": since(began), "megabytes": len(made) / 1e6}


WAYS = {"ours": ours, "record": record, "bare": bare}


def alone(way: str, folder: Path, aside: Path) -> dict:
    """One way in a process of its own, whose cache lies beside the records."""
    words = [sys.executable, __file__, way, str(folder), str(aside)]
    own = {**os.environ, "XDG_CACHE_HOME": str(folder.parent / f"cache-{way}")}
    done = subprocess.run(words, check=True, stdout=subprocess.PIPE, env=own)
    return json.loads(done.stdout.decode().splitlines()[-1])


def child(way: str, folder: str, aside: str) -> None:
    told = WAYS[way](Path(folder), Path(aside))
    for name, who in (("memory", SELF), ("memory of its largest worker", CHILDREN)):
        told[name] = resource.getrusage(who).ru_maxrss / 1024
    print(json.dumps(told))


def main(plates: int) -> int:
    with tempfile.TemporaryDirectory() as where:
        folder, aside = Path(where, "pieces"), Path(where, "aside")
        aside.mkdir()
        studio(folder, plates)
        alone("record", folder, aside)
        fresh, plain = alone("ours", folder, aside), alone("bare", folder, aside)
        kept = alone("ours", folder, aside)
    print(json.dumps({"plates": plates, "ours": fresh, "kept": kept, "bare": plain}, indent=2))
    for name, made in (("all pictures being made", fresh), ("pictures kept", kept)):
        for part in ("book", "all"):
            # A worker's time is known once it has ended, which may be after the book is there.
            ways = ("clock", "processor") if part == "all" else ("clock",)
            by = {how: made[part][how] / plain["all"][how] for how in ways}
            told = ", ".join(f"{ratio:.2f} by the {how}" for how, ratio in by.items())
            print(f"{part} / bare, {name}: {told} (goal {RATIO})")
    most = max(max(value for name, value in made.items() if name.startswith("memory"))
               for made in (fresh, kept))  # fmt: skip
    print(f"memory of the largest process: {most:.0f} MB (goal {MEMORY_MB}), "
          f"bare {plain['memory']:.0f} MB")  # fmt: skip
    ratio = fresh["book"]["clock"] / plain["all"]["clock"]
    return 0 if ratio <= RATIO and most <= MEMORY_MB else 1


if __name__ == "__main__":
    if sys.argv[1:2] and sys.argv[1] in WAYS:
        child(*sys.argv[1:])
    else:
        sys.exit(main(int(sys.argv[1]) if sys.argv[1:] else PLATES))
