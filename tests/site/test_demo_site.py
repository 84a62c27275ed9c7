"""The demo's site, read by an independent HTML parser (html5lib) and followed link by link."""

from __future__ import annotations

import re
from collections.abc import Iterator
from itertools import pairwise
from pathlib import Path
from urllib.parse import unquote, urlsplit
from xml.etree.ElementTree import Element

import html5lib
import pytest

SITE = "https://brackenfold.example"
NS = "{http://www.w3.org/1999/xhtml}"


def pages(site: Path) -> list[Path]:
    return sorted(site.rglob("*.html"))


def tree_of(page: Path) -> Element:
    parser = html5lib.HTMLParser(strict=True)
    return parser.parse(page.read_text(encoding="utf-8"))


def addresses(tree: Element) -> Iterator[tuple[str, str]]:
    for element in tree.iter():
        for attribute in ("href", "src"):
            if attribute in element.attrib:
                yield element.tag.removeprefix(NS), element.attrib[attribute]
        for candidate in element.attrib.get("srcset", "").split(","):
            if candidate.strip():
                yield element.tag.removeprefix(NS), candidate.split()[0]


def test_there_are_pages_of_every_kind(demo_site: Path) -> None:
    for path in (
        "index.html", "work/index.html", "work/hanging/index.html", "work/for-sale/index.html",
        "work/in-blue/index.html", "work/with-indigo/index.html", "dyes/index.html",
        "dyes/indigo/index.html", "fleeces/index.html", "making/index.html", "about/index.html",
        "care/index.html", "where/index.html", "checking/index.html", "404.html",
        "2026-014/index.html", "feed.xml", "sitemap.xml", "robots.txt",
    ):  # fmt: skip
        assert (demo_site / path).is_file(), path


def test_every_page_parses_without_an_error(demo_site: Path) -> None:
    for page in pages(demo_site):
        tree_of(page)  # strict: html5lib raises at the first parse error


def test_every_link_and_picture_is_there(demo_site: Path) -> None:
    for page in pages(demo_site):
        for _, address in addresses(tree_of(page)):
            parts = urlsplit(address)
            if parts.scheme in ("mailto", "data") or address.startswith(SITE) or not parts.path:
                continue
            assert not parts.scheme, f"{page}: {address} leads elsewhere"
            found = (page.parent / unquote(parts.path)).resolve()
            assert found.is_file(), f"{page.relative_to(demo_site)}: {address}"
            assert found.is_relative_to(demo_site.resolve())


def test_addresses_of_the_own_site_are_built(demo_site: Path) -> None:
    for page in pages(demo_site):
        for address in re.findall(rf'{SITE}/([^"<\s\\]*)', page.read_text(encoding="utf-8")):
            path = demo_site / address.partition("#")[0]
            assert path.is_file() or (path / "index.html").is_file(), f"{page}: {address}"


def test_nothing_is_fetched_from_elsewhere(demo_site: Path) -> None:
    for page in pages(demo_site):
        for tag, address in addresses(tree_of(page)):
            if tag in ("img", "source", "script", "iframe"):
                assert not urlsplit(address).scheme, f"{page}: {address}"
    (style,) = demo_site.glob("site-*.css")
    css = style.read_text(encoding="utf-8")
    assert "http" not in css.replace("http://www.w3.org", "")


def test_pages_are_made_for_everyone(demo_site: Path) -> None:
    for page in pages(demo_site):
        tree = tree_of(page)
        assert tree.attrib["lang"] == "en-GB"
        headings = [int(e.tag[-1]) for e in tree.iter() if re.fullmatch(NS + "h[1-6]", e.tag)]
        assert headings.count(1) == 1, page
        assert all(b - a <= 1 for a, b in pairwise(headings)), page
        for image in tree.iter(f"{NS}img"):
            assert image.attrib["alt"].strip() and image.attrib["width"] and image.attrib["height"]


def test_the_largest_picture_comes_first_the_others_wait(demo_site: Path) -> None:
    for page in demo_site.glob("2*/index.html"):
        images = list(tree_of(page).iter(f"{NS}img"))
        eager = [image for image in images if image.attrib.get("loading") != "lazy"]
        assert len(eager) == 1 and eager[0] is images[0], page


def test_pieces_keep_their_number_as_address_and_drafts_stay_off(demo_site: Path) -> None:
    numbers = {path.parent.name for path in demo_site.glob("2*/index.html")}
    assert len(numbers) == 16
    assert "2026-016" not in numbers  # no photo yet
    assert "2026-017" not in numbers  # still on the loom


def test_sold_work_stays_and_shows_no_price(demo_site: Path) -> None:
    sold = [
        page
        for page in demo_site.glob("2*/index.html")
        if '<p class="standing">Sold</p>' in page.read_text(encoding="utf-8")
    ]
    assert len(sold) == 5
    assert all('<p class="price"></p>' in page.read_text(encoding="utf-8") for page in sold)


@pytest.mark.parametrize("name", ["2026-014", "2026-010"])
def test_the_lineage_and_the_selvedge_have_words(demo_site: Path, name: str) -> None:
    text = (demo_site / name / "index.html").read_text(encoding="utf-8")
    ribbons = text.partition('class="lineage wide"')[2]
    drawings = re.findall(r'<svg [^>]*role="img" aria-label="([^"]+)"', ribbons)
    assert len(drawings) == 2 and "in the grease" in drawings[0]
