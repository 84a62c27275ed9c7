"""How long a catalogue of sixty plates takes, and how much memory, against the bare PDF library.

Run by hand: `python tests/benchmarks/bench_catalogue.py [PLATES]`. Everything is measured in one
run, each in a process of its own, so that its most memory is its own. "Bare" is WeasyPrint alone,
given the finished HTML, pictures and fonts of the same pages, tagged as ours are: nothing is worked
out, no picture is made, one file comes out. "Ours" goes from records to the files for printer,
screen and booklet. `book` is the part that bare does too, with all pictures made: from public facts
to the one PDF. Photos are 1819 x 2551 pixels: A5 with bleed at 300 an inch. Time is of the
processor.
"""

from __future__ import annotations

import json
import pickle
import random
import resource
import subprocess
import sys
import tempfile
import time
from pathlib import Path

PLATES, PIXELS = 60, (1819, 2551)
RATIO, MEMORY_MB = 1.3, 250
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


def ours(folder: Path, aside: Path) -> dict[str, float]:
    """The catalogue as the command makes it."""
    from provenance.build import catalogue
    from provenance.papers.catalogue import book, pictures

    set_book, began, taken = catalogue.set_book, time.process_time(), {}

    def timed(*given, **named):
        start = time.process_time()
        made = set_book(*given, **named)
        taken["book"] = time.process_time() - start
        taken["memory of book"] = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024
        return made

    catalogue.set_book = timed
    for door in ("for_print", "open_photo"):  # what bare is handed ready
        setattr(pictures, door, counted(getattr(pictures, door), taken))
    assert book.set_book is set_book
    made = catalogue.make_catalogue(opened(folder), catalogue.Wishes())
    taken["all"] = time.process_time() - began
    taken["pages"] = made.book.pages
    taken["megabytes"] = len(made.files["printer"].content) / 1e6
    return taken


def counted(work, taken):
    """The work, its time added up under "pictures"."""

    def done(*given, **named):
        start = time.process_time()
        try:
            return work(*given, **named)
        finally:
            taken["pictures"] = taken.get("pictures", 0) + time.process_time() - start

    return done


def record(folder: Path, aside: Path) -> dict[str, float]:
    """The pages and pictures of the same book, laid aside for the bare library."""
    from provenance.build import catalogue
    from provenance.papers.catalogue import book

    lay_out = book.lay_out

    def noted(html, assets, scratch=None):
        (aside / "page.html").write_text(html)
        for name in assets:
            asset = assets[name]
            (aside / name).write_bytes(getattr(asset, "png", asset))
        return lay_out(html, assets, scratch)

    book.lay_out = noted
    catalogue.make_catalogue(opened(folder), catalogue.Wishes())
    return {}


def bare(folder: Path, aside: Path) -> dict[str, float]:
    """WeasyPrint alone."""
    from weasyprint import CSS, HTML
    from weasyprint.text.fonts import FontConfiguration
    from weasyprint.urls import URLFetcher, URLFetcherResponse

    from provenance.press.letters import fonts

    faces = {f"fonts/{face.name}.ttf": fonts.face_file(face) for face in fonts.FACES}
    kinds = {"css": "text/css", "svg": "image/svg+xml", "png": "image/png", "ttf": "font/ttf",
             "jpg": "image/jpeg"}  # fmt: skip
    began = time.process_time()

    class Given(URLFetcher):
        def fetch(self, url, headers=None):
            name = url.removeprefix("https://bare.invalid/")
            body = faces[name] if name in faces else (aside / name).read_bytes()
            return URLFetcherResponse(
                url, body=body, headers={"Content-Type": kinds[name.rsplit(".")[-1]]}
            )

    base = {"base_url": "https://bare.invalid/", "url_fetcher": Given()}
    config = FontConfiguration()
    styles = CSS(string=fonts.paper_css("fonts"), font_config=config, **base)
    page = HTML(string=(aside / "page.html").read_text(), **base)
    made = page.write_pdf(stylesheets=[styles], font_config=config, pdf_variant="pdf/a-3a")
    return {"all": time.process_time() - began, "megabytes": len(made) / 1e6}


WAYS = {"ours": ours, "record": record, "bare": bare}


def alone(way: str, folder: Path, aside: Path) -> dict[str, float]:
    """One way in a process of its own."""
    words = [sys.executable, __file__, way, str(folder), str(aside)]
    done = subprocess.run(words, check=True, stdout=subprocess.PIPE)
    return pickle.loads(bytes.fromhex(done.stdout.decode().splitlines()[-1]))


def child(way: str, folder: str, aside: str) -> None:
    told = WAYS[way](Path(folder), Path(aside))
    told["memory"] = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024
    print(pickle.dumps(told).hex())


def main(plates: int) -> int:
    with tempfile.TemporaryDirectory() as where:
        folder, aside = Path(where, "pieces"), Path(where, "aside")
        aside.mkdir()
        studio(folder, plates)
        alone("record", folder, aside)
        made, plain = alone("ours", folder, aside), alone("bare", folder, aside)
    print(json.dumps({"plates": plates, "ours": made, "bare": plain}, indent=2))
    ratio = made["book"] / plain["all"]
    set_alone = (made["book"] - made["pictures"]) / plain["all"]
    print(f"book / bare: {ratio:.2f} (goal {RATIO}), without making pictures {set_alone:.2f}")
    print(f"all files / bare: {made['all'] / plain['all']:.2f}")
    most = f"{made['memory']:.0f} MB (goal {MEMORY_MB}), bare {plain['memory']:.0f} MB"
    print(f"memory: book {made['memory of book']:.0f} MB, all {most}")
    return 0 if ratio <= RATIO and made["memory"] <= MEMORY_MB else 1


if __name__ == "__main__":
    if sys.argv[1:2] and sys.argv[1] in WAYS:
        child(*sys.argv[1:])
    else:
        sys.exit(main(int(sys.argv[1]) if sys.argv[1:] else PLATES))
