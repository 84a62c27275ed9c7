"""The demo's site in a real browser, opened from disk (Chromium, axe-core).

Accessibility, no scroll to the side, no console line, no request that leaves the folder, and
everything there without script.
"""

from __future__ import annotations

import re
from itertools import pairwise
from pathlib import Path
from typing import Any

import pytest

from tests.in_chromium import skip_without_chromium

KINDS = (
    "index.html", "work/index.html", "work/in-blue/index.html", "2026-014/index.html",
    "2026-003/index.html", "dyes/index.html", "dyes/indigo/index.html", "fleeces/index.html",
    "making/index.html", "where/index.html", "shows/low-water/index.html", "checking/index.html",
    "404.html",
)  # fmt: skip

WIDTHS = (320, 768, 1280)
LOOKED_AT = {"light": 1280, "dark": 320}  # by axe, which takes longer than all else
PARTS = 3

skip_without_chromium()


class Visit:
    """A tab, with everything that its pages said and asked for."""

    def __init__(self, browser: Any, width: int = 1280, scheme: str = "light", script: bool = True):
        self.said: list[str] = []
        self.asked: list[str] = []
        self.context = browser.new_context(
            viewport={"width": width, "height": 800},
            color_scheme=scheme,
            java_script_enabled=script,
            reduced_motion="reduce",
        )
        self.page = self.context.new_page()
        self.page.on("console", lambda message: self.said.append(message.text))
        self.page.on("pageerror", lambda error: self.said.append(str(error)))
        self.page.on("request", lambda request: self.asked.append(request.url))

    def go(self, page: Path) -> Visit:
        """A page opened from disk; what was said and asked for before is forgotten."""
        self.page.goto("about:blank")  # nothing that the page before it was still about to say
        self.said.clear()
        self.asked.clear()
        self.page.goto(page.as_uri(), wait_until="load")
        return self

    def __enter__(self) -> Visit:
        return self

    def __exit__(self, *_: object) -> None:
        self.context.close()


def findings(visit: Visit) -> list[str]:
    from axe_playwright_python.sync_playwright import Axe

    found = Axe().run(visit.page).response["violations"]
    return [f"{each['id']}: {each['nodes'][0]['html'][:120]}" for each in found]


def is_wide(visit: Visit, width: int) -> None:
    visit.page.set_viewport_size({"width": width, "height": 800})


def is_sound(visit: Visit, width: int, inside: str) -> bool:
    """Nothing to the side, nothing said, nothing asked of anybody else."""
    seen = visit.page.evaluate("[innerWidth, document.documentElement.scrollWidth]")
    assert seen[0] == width
    assert seen[1] <= width
    assert visit.said == []
    return all(url.startswith((inside, "data:", "about:")) for url in visit.asked)


@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_each_kind_of_page(demo_site: Path, browser: Any, scheme: str) -> None:
    """At each width; axe looks at the colours of each scheme once, and so at either extreme, where
    the page is opened: to the other widths its window is drawn."""
    inside = demo_site.resolve().as_uri()
    first = LOOKED_AT[scheme]
    with Visit(browser, first, scheme) as visit:
        for path in KINDS:
            is_wide(visit, first)
            visit.go(demo_site / path)
            assert is_sound(visit, first, inside), path
            assert findings(visit) == [], path
            visit.said.clear()  # axe says things of its own
            for width in {*WIDTHS} - {first}:
                is_wide(visit, width)
                assert is_sound(visit, width, inside), (path, width)


def one_of_each(names: list[str]) -> list[str]:
    """One page of each kind, by its address: a list by colour, by dye, a dye; pieces differ more,
    and every third of them is among these."""
    pieces = [name for name in names if re.match(r"\d{4}-", name)]
    others = [name for name in names if name not in pieces]
    kinds = {re.sub(r"(?<=[/-])[^/-]+/index\.html$", "", name): name for name in others}
    own = [name for name in names if re.fullmatch(r"[a-z-]+(/index)?\.html", name)]
    return sorted({*pieces[::3], *kinds.values(), *own})


@pytest.mark.parametrize("part", range(PARTS))
def test_other_pages_are_accessible(demo_site: Path, browser: Any, part: int) -> None:
    """One of each kind, in parts, which workers share; the commonest were looked at above."""
    every = {page.relative_to(demo_site).as_posix() for page in demo_site.rglob("*.html")}
    assert every > {*KINDS}
    with Visit(browser) as visit:
        for name in one_of_each(sorted(every - {*KINDS}))[part::PARTS]:
            visit.go(demo_site / name)
            assert visit.said == [], name  # before axe, which says things of its own
            assert findings(visit) == [], name


def test_everything_is_there_without_script(demo_site: Path, browser: Any) -> None:
    with Visit(browser, script=False) as visit:
        visit.go(demo_site / "2026-014/index.html")
        assert visit.page.locator("h1").inner_text().split() == ["2026-014", "Saltmarsh"]
        assert visit.page.locator(".lineage.wide svg").is_visible()
        assert visit.page.locator("a.ask").get_attribute("href") == (
            "mailto:hello@brackenfold.example?subject=2026-014%20Saltmarsh"
        )


def test_the_first_view_is_light(demo_site: Path, browser: Any) -> None:
    """At most 300 KB for the first view of a piece on a phone and on a desk."""
    for width in (390, 1280):
        with Visit(browser, width) as visit:
            visit.go(demo_site / "2026-014/index.html")
            visit.page.wait_for_timeout(200)
            names = {url.split("#")[0] for url in visit.asked if url.startswith("file:")}
            sizes = [Path(name.removeprefix("file://")).stat().st_size for name in names]
            above = [
                url for url in names
                if not url.endswith((".avif", ".jpg")) or "-1-" in url
            ]  # fmt: skip
            weight = sum(Path(url.removeprefix("file://")).stat().st_size for url in above)
            assert weight <= 300_000, (width, sorted(zip(sizes, names, strict=True)))


def test_the_keyboard_reaches_the_content_first(demo_site: Path, browser: Any) -> None:
    with Visit(browser) as visit:
        visit.go(demo_site / "work/index.html")
        visit.page.keyboard.press("Tab")
        skip = visit.page.locator(":focus")
        assert skip.get_attribute("href") == "#content"
        assert skip.bounding_box()["y"] >= 0
        outline = skip.evaluate("e => getComputedStyle(e).outlineStyle")
        assert outline == "solid"


_ROWS = """() => {
  const rows = {};
  for (const hung of document.querySelectorAll('.wall .hung')) {
    const box = hung.querySelector('img').getBoundingClientRect();
    (rows[Math.round(hung.getBoundingClientRect().top)] ??= []).push(
      [box.left, box.right, box.top, box.bottom]);
  }
  const gap = parseFloat(getComputedStyle(document.querySelector('.wall')).columnGap);
  return [Object.values(rows), gap];
}"""
_CUT = """() => [...document.querySelectorAll('main img')].filter(image => {
  const box = image.getBoundingClientRect();
  const whole = image.getAttribute('width') / image.getAttribute('height');
  return Math.abs(box.width / box.height / whole - 1) > 0.02;
}).map(image => image.src)"""
_HERO = """() => {
  const box = document.querySelector('.front .shown img').getBoundingClientRect();
  return [box.top, box.bottom, box.left, box.right, document.documentElement.scrollHeight];
}"""


def test_works_hang_whole_and_without_holes(demo_site: Path, browser: Any) -> None:
    for width in (360, 1280, 1920):
        with Visit(browser, width) as visit:
            visit.go(demo_site / "work/index.html")
            assert visit.page.evaluate(_CUT) == []
            rows, gap = visit.page.evaluate(_ROWS)
        right = max(box[1] for row in rows for box in row)
        assert len(rows) > 2
        for row in rows[:-1]:  # the last may end early
            assert max(box[3] for box in row) - min(box[3] for box in row) < 2, width
            assert all(b[0] - a[1] < gap + 1.5 for a, b in pairwise(row)), width
            assert right - row[-1][1] < gap + 1.5, width
        if width == 360:
            assert all(len(row) == 2 for row in rows)


def test_the_newest_work_is_whole_and_the_home_page_short(demo_site: Path, browser: Any) -> None:
    with Visit(browser) as visit:  # 800 high
        visit.go(demo_site / "index.html")
        assert visit.page.evaluate(_CUT) == []
        top, bottom, left, right, _ = visit.page.evaluate(_HERO)
        assert top >= 0 and bottom <= 800 and left >= 0 and right <= 1280
        assert bottom - top > 560
    with Visit(browser, 390) as visit:
        visit.go(demo_site / "index.html")
        assert visit.page.evaluate(_CUT) == []
        assert visit.page.evaluate(_HERO)[4] <= 3500
