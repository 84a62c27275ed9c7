"""How long sheets of tags take, against the bare PDF library on the same pages.

Run by hand: `python tests/benchmarks/bench_tags.py`. Everything is measured in one run, in turns,
because machines differ and are busy: what must hold are the ratios. On one core the time is the
processor's, which other work on the machine disturbs least; on all cores it is the clock's. "Bare"
is WeasyPrint alone, given the finished HTML, pictures and fonts of the same sheets: nothing worked
out, nothing checked. "Ours" goes from words to the finished file: fitting, imposing, rendering,
reading every code back. What the words cost (`facts`) is told apart: page and tag share them.
"""

from __future__ import annotations

import os
import sys
import tempfile
import time
from datetime import date
from pathlib import Path

LIMIT_60 = 1.3
TIMES = {60: 7, 500: 2}

STUDIO = """studio: Brackenfold
maker: Isla Wren
place: Eskrigg Dale
site: https://brackenfold.example
labels for: [UK]
origin: Made in England
pay: {any: 20}
"""
PIECE = """number: 2026-{number:03d}
title: {title}
kind: shawl
size: 190 x 60 cm
price: {price}
hours: {{weaving: 20}}
yarns:
  - {{use: weft, fleece: gotland, weight: 90 g, dyes: {{weld: 20 %}}, colour: "#c3a23c"}}
  - {{use: weft, fleece: gotland, weight: 60 g, dyes: {{madder: 20 %}}, colour: "#a4523a"}}
  - {{use: weft, fleece: shetland, weight: 50 g, colour: "#6d4e39"}}
  - {{use: warp, fleece: shetland, weight: 40 g, colour: "#ece3cf"}}
"""
TITLES = ("Ebb", "Owl Light", "Lambing Snow", "The Long Evening Above the Intake", "Fold Wall")


def studio(folder: Path, count: int):
    from provenance.figures.flow.gather import studio_flow
    from provenance.public.border import Border
    from provenance.records.book import read_book
    from provenance.studio import Studio

    (folder / "studio").mkdir(parents=True)
    lot = "{weight: 900 kg, cost: 90, breed: "
    texts = {
        "studio": STUDIO,
        "fleece": f"gotland: {lot}Gotland}}\nshetland: {lot}Shetland}}\n",
        "dyestuffs": "weld: {weight: 90 kg, cost: 1}\nmadder: {weight: 90 kg, cost: 1}\n",
    }
    for name, text in texts.items():
        (folder / "studio" / f"{name}.yaml").write_text(text)
    for number in range(1, count + 1):
        text = PIECE.format(number=number, title=TITLES[number % 5], price=100 + number)
        (folder / f"2026-{number:03d}.yaml").write_text(text)
    book, _ = read_book(folder)
    return Border(Studio(book, studio_flow(book), {}, date(2026, 11, 25)))


def fastest(times, clock, *works) -> list[float]:
    """The least time of each work; they are done in turns."""
    taken = [[] for _ in works]
    for _ in range(times):
        for seconds, work in zip(taken, works, strict=True):
            began = clock()
            work()
            seconds.append(clock() - began)
    return [min(seconds) for seconds in taken]


def bare_library(*, archival=False):
    """WeasyPrint alone, its fonts loaded once."""
    from weasyprint import CSS, HTML
    from weasyprint.text.fonts import FontConfiguration
    from weasyprint.urls import URLFetcher, URLFetcherResponse

    from provenance.press.letters.faces import FACES, face_file
    from provenance.press.letters.fonts import paper_css

    kinds = {"css": "text/css", "svg": "image/svg+xml", "png": "image/png", "ttf": "font/ttf",
             "jpg": "image/jpeg"}  # fmt: skip
    faces = {f"fonts/{face.name}.ttf": face_file(face) for face in FACES}
    config = FontConfiguration()

    class Given(URLFetcher):
        assets = {}  # noqa: RUF012

        def fetch(self, url, headers=None):
            asset = (self.assets or faces)[url.removeprefix("https://bare.invalid/")]
            kind = {"Content-Type": kinds[url.rsplit(".")[-1]]}
            return URLFetcherResponse(url, body=getattr(asset, "png", asset), headers=kind)

    def base(fetcher):
        return {"base_url": "https://bare.invalid/", "url_fetcher": fetcher}

    styles = CSS(string=paper_css("fonts"), font_config=config, **base(Given()))

    def write(papers):
        for paper in papers:
            fetcher = Given()
            fetcher.assets = paper.assets
            page = HTML(string=paper.html, **base(fetcher))
            kind = "pdf/a-3a" if archival else None
            page.write_pdf(stylesheets=[styles], font_config=config, pdf_variant=kind)

    return write


def measure(count: int) -> dict[str, float]:
    from provenance.build import tags, tags_due
    from provenance.papers.tags import finishing as tag_sheets
    from provenance.public.border import Border

    with tempfile.TemporaryDirectory() as folder:
        setting = studio(Path(folder, "pieces"), count)
        began = time.process_time()
        words = {
            number: tags_due.words_for(setting, piece, None)
            for number, piece in setting.studio.book.pieces.items()
        }
        found = {"facts": time.process_time() - began}
        known = lambda border, piece, outlet: words[str(piece.number)]  # noqa: E731
        tags.words_for = tags_due.words_for = known

        def ours():
            tags.print_tags(Border(setting.studio), tags.Wishes())  # nothing is kept from before

        papers, bare = [], bare_library()
        render, many = tag_sheets.render_paper, tag_sheets.MANY
        tag_sheets.render_paper = lambda paper: (papers.append(paper), render(paper))[1]
        tag_sheets.MANY = 10**9
        ours()
        tag_sheets.render_paper = render
        whole = [_all_in_one(papers)]
        found["ours"], found["bare"], found["bare, all sheets at once"] = fastest(
            TIMES[count], time.process_time, ours, lambda: bare(papers), lambda: bare(whole)
        )
        (found["ours, by the clock"],) = fastest(TIMES[count], time.perf_counter, ours)
        tag_sheets.MANY = many
        (found["ours, by the clock, all cores"],) = fastest(TIMES[count], time.perf_counter, ours)
        return found


def _all_in_one(papers):
    """One page for all sheets, as somebody would write it who had not measured."""
    from dataclasses import replace

    assets, bodies = {}, []
    for number, paper in enumerate(papers):
        renamed = {
            f"{number}-{name}" if "ground" in name or name == "places.css" else name: content
            for name, content in paper.assets.items()
        }
        html = paper.html.replace("ground-", f"{number}-ground-")
        assets |= renamed
        bodies.append(html.split("<body>")[1].split("</body>")[0])
    css = papers[0].assets["places.css"]
    page = papers[0].html.split("<body>")[0] + "<body>" + "".join(bodies) + "</body></html>"
    return replace(papers[0], html=page, assets={**assets, "places.css": css})


def main() -> int:
    print(f"{os.cpu_count()} cores, load {os.getloadavg()[0]:.1f}")
    found = {}
    for count in (60, 500):
        found[count] = measure(count)
        for what, seconds in found[count].items():
            print(f"{count} tags, {what}: {seconds:.2f} s, {1000 * seconds / count:.1f} ms a tag")
    sixty, many = found[60], found[500]
    ratio = sixty["ours"] / sixty["bare, all sheets at once"]
    growth = (many["ours"] / 500) / (sixty["ours"] / 60)
    cores = many["ours, by the clock, all cores"] / many["ours, by the clock"]
    print(f"60 tags: {ratio:.2f} times the bare library (at most {LIMIT_60})")
    print(f"500 tags: {many['ours'] / many['bare, all sheets at once']:.2f} times the bare library")
    print(f"a tag among 500 takes {growth:.2f} times the work of one among 60")
    print(f"500 tags on all cores take {cores:.2f} of the time on one")
    return 0 if ratio <= LIMIT_60 else 1


if __name__ == "__main__":
    sys.exit(main())
