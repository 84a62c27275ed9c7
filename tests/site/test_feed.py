"""Feed, sitemap, robots and what a shared link shows, read by feedparser, html5lib and the standard
library's own readers."""

from __future__ import annotations

import re
import urllib.robotparser
import xml.etree.ElementTree as ET
from collections.abc import Callable, Mapping
from datetime import date

import feedparser
import html5lib
import pytest

from provenance.site.whole import Site as Parts

Site = Callable[[Mapping[str, str]], Mapping[str, bytes]]
SITE = "https://brackenfold.example"
NAME = "2026-014-saltmarsh.yaml"
SITEMAP = "{http://www.sitemaps.org/schemas/sitemap/0.9}"


def test_the_feed_is_well_formed_and_newest_first(
    demo_parts: Parts, demo_files: Mapping[str, bytes]
) -> None:
    read = feedparser.parse(demo_files["feed.xml"])
    assert read.bozo == 0
    assert (read.version, read.feed.title, read.feed.author) == (
        "atom10", "Brackenfold", "Isla Wren",
    )  # fmt: skip
    assert len(read.entries) == len(demo_parts.listed) + len(demo_parts.shows)
    days = [entry.updated for entry in read.entries]
    assert days == sorted(days, reverse=True)
    assert read.feed.updated == days[0]
    assert len({entry.id for entry in read.entries}) == len(read.entries)


def test_an_entry_is_named_by_the_address_of_its_piece(demo_files: Mapping[str, bytes]) -> None:
    for entry in feedparser.parse(demo_files["feed.xml"]).entries:
        assert entry.id == entry.link
        assert re.fullmatch(rf"{SITE}/([0-9-]+|shows/[a-z-]+)/", entry.id)
        assert f"{entry.id.removeprefix(f'{SITE}/')}index.html" in demo_files
        assert entry.summary
        picture = html5lib.parseFragment(entry.content[0].value, namespaceHTMLElements=False)
        assert picture.find(".//img").get("src").startswith(f"{SITE}/pictures/")
        assert picture.find(".//img").get("alt")


def test_the_feed_has_what_rfc_4287_asks(demo_files: Mapping[str, bytes]) -> None:
    # RFC 4287, 4.1.1 and 4.1.2: id, title, updated once in feed and entry; an author; a self link;
    # an entry without content needs an alternate link.
    atom = "{http://www.w3.org/2005/Atom}"
    root = ET.fromstring(demo_files["feed.xml"])
    for each in (root, *root.iter(f"{atom}entry")):
        for word in ("id", "title", "updated"):
            assert len(each.findall(f"{atom}{word}")) == 1
    assert root.find(f"{atom}author/{atom}name") is not None
    links = {each.get("rel"): each.get("href") for each in root.findall(f"{atom}link")}
    assert links == {None: f"{SITE}/", "self": f"{SITE}/feed.xml"}


def test_signs_of_markup_in_a_title_stay_text(
    site_with: Site, small_studio: Mapping[str, str]
) -> None:
    record = small_studio[NAME].replace("title: Saltmarsh", "title: '<b>Salt</b> & \"marsh\"'")
    record += "finished: 2026-09-14\nstory: '5 < 6 <script>x</script> & so on'\n"
    read = feedparser.parse(site_with({NAME: record})["feed.xml"])
    assert read.bozo == 0
    assert read.entries[0].title == '2026-014 <b>Salt</b> & "marsh"'
    assert read.entries[0].title_detail.type == "text/plain"
    assert read.entries[0].content[0].value.endswith("5 &lt; 6 &amp; so on</p>")


def test_a_feed_without_work_and_without_a_site_is_still_a_feed(
    site_with: Site, small_studio: Mapping[str, str]
) -> None:
    studio = small_studio["studio/studio.yaml"].replace(f"site: {SITE}\n", "")
    files = site_with({"studio/studio.yaml": studio})
    read = feedparser.parse(files["feed.xml"])
    assert (read.bozo, read.entries) == (0, [])
    assert b"<url>" not in files["sitemap.xml"]
    assert files["robots.txt"] == b"User-agent: *\nAllow: /\n"


def places(files: Mapping[str, bytes]) -> dict[str, str | None]:
    root = ET.fromstring(files["sitemap.xml"])
    return {
        each.findtext(f"{SITEMAP}loc", ""): each.findtext(f"{SITEMAP}lastmod")
        for each in root.iter(f"{SITEMAP}url")
    }


def head(page: bytes) -> dict[str, str]:
    tree = html5lib.parse(page.decode(), namespaceHTMLElements=False)
    told = {e.get("property") or e.get("name"): e.get("content") for e in tree.iter("meta")}
    links = {e.get("rel"): e.get("href") for e in tree.iter("link")}
    return {**told, "canonical": links.get("canonical")}


def test_the_sitemap_lists_just_the_pages_for_everybody(demo_files: Mapping[str, bytes]) -> None:
    found = places(demo_files)
    wanted = set()
    for path, content in demo_files.items():
        if path.endswith(".html"):
            told = head(content)
            if told.get("robots") != "noindex":
                wanted.add(told["canonical"])
    assert found.keys() == wanted
    assert f"{SITE}/404.html" not in found
    assert {f"{SITE}/", f"{SITE}/2026-014/", f"{SITE}/dyes/indigo/"} <= found.keys()


def test_lastmod_is_the_day_of_the_piece(
    demo_parts: Parts, demo_files: Mapping[str, bytes]
) -> None:
    found = places(demo_files)
    days = {f"{SITE}/{each.path}": each.facts.day for each in demo_parts.listed}
    assert all(found[address] == day.isoformat() for address, day in days.items() if day)
    newest = max(day for day in days.values() if day)
    assert found[f"{SITE}/"] == found[f"{SITE}/work/"] == newest.isoformat()
    assert found[f"{SITE}/about/"] is None
    assert all(date.fromisoformat(day) for day in found.values() if day)


def test_drafts_and_what_is_gone_are_not_in_the_sitemap(
    site_with: Site, small_studio: Mapping[str, str]
) -> None:
    printed = "".join(
        f"- {{on: 2026-10-01, paper: tag, number: {number}, title: x, address: HTTPS://X/{number}}}\n"
        for number in ("2026-015", "2026-016")
    )
    files = site_with(
        {
            "2026-015-draft.yaml": "number: 2026-015\ntitle: Draft\n",
            "2026-016-gone.yaml": "number: 2026-016\ntitle: Gone\nstatus: withdrawn\n",
            "studio/printed.yaml": printed,
        }
    )
    assert {"2026-015/index.html", "2026-016/index.html"} <= files.keys()
    assert head(files["2026-015/index.html"])["robots"] == "noindex"
    of_pieces = {each for each in places(files) if re.search(r"/[0-9-]+/$", each)}
    assert of_pieces == {f"{SITE}/2026-014/"}


def test_robots_may_read_everything(demo_files: Mapping[str, bytes]) -> None:
    # RFC 9309, read by the standard library.
    rules = urllib.robotparser.RobotFileParser()
    rules.parse(demo_files["robots.txt"].decode().splitlines())
    assert rules.can_fetch("Anybody", f"{SITE}/2026-014/")
    assert rules.site_maps() == [f"{SITE}/sitemap.xml"]


def test_every_page_can_be_shared(demo_files: Mapping[str, bytes]) -> None:
    # ogp.me: og:title, og:type, og:image and og:url are required; og:image:alt goes with an image.
    pages = [path for path in demo_files if path.endswith(".html") and path != "404.html"]
    assert len(pages) > 40
    for path in pages:
        told = head(demo_files[path])
        for word in ("title", "type", "image", "image:alt", "url", "description"):
            assert told.get(f"og:{word}"), (path, word)
        assert told["og:url"] == told["canonical"]
        assert told["og:image"].removeprefix(f"{SITE}/").startswith("pictures/")


@pytest.mark.parametrize("photos", ["photos: []\n", ""])
def test_a_piece_without_a_picture_of_its_own_is_passed_on_with_no_others(
    site_with: Site, small_studio: Mapping[str, str], photos: str
) -> None:
    draft = f"number: 2026-015\ntitle: Draft\n{photos}"
    printed = (
        "- {on: 2026-10-01, paper: tag, number: 2026-015, title: x, address: HTTPS://X/2026-015}\n"
    )
    files = site_with({"2026-015-draft.yaml": draft, "studio/printed.yaml": printed})
    told = head(files["2026-015/index.html"])
    assert told["og:title"]
    assert told.get("og:image") is None and told.get("og:image:alt") is None
    home = head(files["index.html"])
    assert home["og:image"] == f"{SITE}/pictures/2026-014-share-5a5a5a5a.jpg"
    assert home["og:image:alt"] == "Tall hanging in olive bands"
