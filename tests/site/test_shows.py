"""The page of an exhibition: before, during and after it, and what else of the site tells of it."""

from __future__ import annotations

import json
import re
import xml.etree.ElementTree as ET
from collections.abc import Callable, Mapping
from dataclasses import replace
from datetime import date, datetime
from itertools import pairwise
from typing import Any

import feedparser
import html5lib
import pytest
from schema_org import registry

from provenance.press.markup import shortened
from provenance.public.show import PublicShow
from provenance.site.moved import moved_pages
from provenance.site.pages import site_files, site_pages
from provenance.site.whole import Site
from tests.site.test_structured import json_ld, misfits

Parts = Callable[[Mapping[str, str]], Site]
SITE = "https://brackenfold.example"
PAGE = "shows/low-water/index.html"
BEFORE, FIRST, LAST, AFTER = (
    date(2027, 3, 4), date(2027, 3, 5), date(2027, 4, 11), date(2027, 4, 12),
)  # fmt: skip
SHOW = """\
title: Low water
place: Harbour gallery, Sandrigg
address: 4 The Quay, Sandrigg
hours: Wednesday to Saturday, 10 to 5
web: www.harbour-gallery.example
dates: 2027-03-05 to 2027-04-11
opening: 2027-03-04 18:00
words: low-water.md
walls:
  - {name: north, width: 300 cm, works: [2026-014]}
"""
WORDS = "# Low water\n\nAt low water you can see *what* has arrived.\n"


@pytest.fixture
def parts(parts_with: Parts) -> Site:
    return parts_with({"shows/low-water.yaml": SHOW, "pages/low-water.md": WORDS})


def on(site: Site, day: date) -> Site:
    """The same records, built on another day."""
    own = {"studio": replace(site.studio, today=day)}
    return replace(site, **own)


def said(page: bytes) -> str:
    """The words of a page's content."""
    tree = html5lib.parse(page.decode(), namespaceHTMLElements=False)
    main = tree.find(".//main")
    return " ".join(" ".join(main.itertext()).split())


@pytest.mark.parametrize(
    ("day", "words"),
    [
        (BEFORE, "On view: 5 March to 11 April 2027"),
        (FIRST, "On view until 11 April 2027; it began on 5 March 2027"),
        (LAST, "On view until 11 April 2027; it began on 5 March 2027"),
        (AFTER, "Past exhibition: 5 March to 11 April 2027"),
    ],
)
def test_a_page_tells_its_days_by_the_day_it_was_made(parts: Site, day: date, words: str) -> None:
    told = said(site_files(on(parts, day))[PAGE])
    assert f"Low water {words} Harbour gallery, Sandrigg" in told
    assert "Address 4 The Quay, Sandrigg" in told
    assert ("Opening 4 March 2027, 18:00" in told) == (day != AFTER)
    assert ("Hours Wednesday to Saturday, 10 to 5" in told) == (day != AFTER)
    assert not re.search(r"\b(now|today|currently|soon|tomorrow)\b", told)


def test_it_shows_its_room_text_walls_and_works(parts: Site) -> None:
    page = site_files(parts)[PAGE].decode()
    assert "<p>At low water you can see <em>what</em> has arrived.</p>" in page
    assert '<a class="more" href="https://www.harbour-gallery.example">' in page
    told = (
        "North, 300 cm wide, drawn to scale beside a person 165 cm tall. "
        "From the left: Saltmarsh (2026-014)."
    )
    assert f'role="img" aria-label="{told}"' in page
    # 86 cm of cloth in the middle of 300 cm, its middle 152 cm above the floor; the person's room
    # before the wall is 44 cm and a step of 20 cm on each side
    assert 'transform="translate(191.000 -214.000)"' in page
    assert '<a href="../../2026-014/index.html">' in page
    assert "low-water/index.html" not in site_files(parts)  # its words have no other page


def test_a_show_of_which_little_is_settled_has_a_page_all_the_same(parts_with: Parts) -> None:
    files = site_files(parts_with({"shows/Spring Tide.yaml": "title: Spring tide\n"}))
    page = files["shows/spring-tide/index.html"]
    told = said(page)
    assert "Spring tide The days are not settled yet" in told
    assert "What will hang here is not settled yet." in told
    assert b"ld+json" not in page
    assert len(feedparser.parse(files["feed.xml"]).entries) == 0


def test_a_work_with_no_place_in_the_lists_is_in_no_show(parts_with: Parts) -> None:
    draft = "number: 2026-015\ntitle: Draft\nsize: 40 x 40 cm\nkind: hanging\n"
    show = SHOW.replace("[2026-014]", "[2026-014, 2026-015]")
    given = {"shows/low-water.yaml": show, "pages/low-water.md": WORDS, "2026-015.yaml": draft}
    page = site_files(parts_with(given))[PAGE].decode()
    assert "Draft" not in page and "2026-015" not in page


def test_works_that_hang_over_each_other_are_not_drawn(parts_with: Parts) -> None:
    show = SHOW.replace("300 cm", "80 cm")
    given = {"shows/low-water.yaml": show, "pages/low-water.md": WORDS}
    page = site_files(parts_with(given))[PAGE].decode()
    assert "to-scale" not in page
    assert "2026-014/index.html" in page


def test_places_list_it_and_home_tells_it_while_it_can_be_seen(parts: Site) -> None:
    for day, is_ahead in ((BEFORE, True), (LAST, True), (AFTER, False)):
        files = site_files(on(parts, day))
        where, home = files["where/index.html"].decode(), files["index.html"].decode()
        link = 'href="../shows/low-water/index.html"'
        assert where.count(link) == 1
        assert (where.find(link) > where.find("Earlier exhibitions") > 0) == (not is_ahead)
        line = "Exhibition, Harbour gallery, Sandrigg, 5 March to 11 April 2027"
        assert (line in home) == is_ahead


def test_the_list_of_a_piece_tells_it(demo_files: Mapping[str, bytes]) -> None:
    page = demo_files["2025-024/index.html"].decode()
    event = "In the exhibition ‘Before the grass’, Tithe Barn Gallery, Thornbeck"
    day = '<span class="small">21 February to 22 March 2026</span>'
    link = f'<a href="../shows/before-the-grass/index.html">{event}</a>'
    assert f"<li>{day} <span>{link}</span></li>" in page


def event(files: Mapping[str, bytes]) -> dict[str, Any]:
    return json_ld(files[PAGE])


def test_structured_data_is_schema_orgs_exhibition_event(
    parts: Site, demo_files: Mapping[str, bytes]
) -> None:
    for told in (event(site_files(parts)), event(demo_files)):
        assert misfits(told) == []
    told = event(site_files(parts))
    assert told["@type"] == "ExhibitionEvent"
    assert told["@id"] == told["url"] == f"{SITE}/shows/low-water/"
    assert (told["startDate"], told["endDate"]) == ("2027-03-05", "2027-04-11")
    assert told["location"] == {
        "@type": "Place",
        "name": "Harbour gallery, Sandrigg",
        "address": "4 The Quay, Sandrigg",
        "url": "https://www.harbour-gallery.example",
    }
    assert told["organizer"]["@id"] == f"{SITE}/#studio"
    assert [each["@id"] for each in told["workFeatured"]] == [f"{SITE}/2026-014/"]
    opening = told["subEvent"]
    assert datetime.fromisoformat(opening["startDate"]) == datetime(2027, 3, 4, 18)
    for each in (told, opening):
        for word, kind in (
            ("eventStatus", "EventStatusType"),
            ("eventAttendanceMode", "EventAttendanceModeEnumeration"),
        ):
            member = each[word].removeprefix("https://schema.org/")
            assert member in registry.ENUM_MEMBERS[kind]


def test_it_is_news_when_it_is_announced_and_when_it_opens(
    parts_with: Parts, small_studio: Mapping[str, str]
) -> None:
    piece = small_studio["2026-014-saltmarsh.yaml"] + "finished: 2026-09-14\n"
    given = {"shows/low-water.yaml": SHOW, "pages/low-water.md": WORDS}
    site = parts_with({**given, "2026-014-saltmarsh.yaml": piece})
    updated = []
    for day in (BEFORE, FIRST, AFTER):
        read = feedparser.parse(site_files(on(site, day))["feed.xml"])
        assert read.bozo == 0
        (entry,) = (each for each in read.entries if "/shows/" in each.id)
        assert entry.id == entry.link == f"{SITE}/shows/low-water/"
        assert entry.title == "Exhibition: Low water"
        assert entry.published == "2026-09-14T12:00:00Z"
        assert entry.summary.startswith(
            "Harbour gallery, Sandrigg. On view: 5 March to 11 April 2027. "
            "Opening: 4 March 2027, 18:00. At low water"
        )
        updated.append(entry.updated[:10])
        assert read.feed.updated == read.entries[0].updated
    assert updated == ["2026-09-14", "2027-03-05", "2027-03-05"]


def test_the_sitemap_has_it(parts: Site) -> None:
    found = ET.fromstring(site_files(parts)["sitemap.xml"]).itertext()
    assert f"{SITE}/shows/low-water/" in found


def made_of(site: Site) -> dict[str, Any]:
    return {page.name: (page.comes_from, page.make) for page in site_pages(site)}


def test_pages_that_differ_by_the_day_alone_come_from_something_else(parts: Site) -> None:
    """Whatever differs between two days says so; of all else the old page is kept."""
    days = [on(parts, day) for day in (BEFORE, FIRST, AFTER)]
    for before, after in pairwise(days):
        old, new = made_of(before), made_of(after)
        differ = {name for name in new if old[name][1]() != new[name][1]()}
        assert {PAGE, "where/index.html", "feed.xml"} - differ <= {"feed.xml"}
        for name in differ:
            assert old[name][0] != new[name][0], name
        assert "2026-014/index.html" not in differ


@pytest.mark.parametrize(
    ("old", "new"),
    [
        ("title: Low water", "title: Ebb tide"),
        ("Harbour gallery, Sandrigg", "Town hall, Sandrigg"),
        ("10 to 5", "9 to 4"),
        ("18:00", "19:00"),
        ("2027-04-11", "2027-04-18"),
        ("300 cm", "320 cm"),
        ("4 The Quay", "5 The Quay"),
    ],
)
def test_whatever_shows_another_record_comes_from_something_else(
    parts_with: Parts, old: str, new: str
) -> None:
    words = {"pages/low-water.md": WORDS}
    first = made_of(parts_with({**words, "shows/low-water.yaml": SHOW}))
    assert old in SHOW
    second = made_of(parts_with({**words, "shows/low-water.yaml": SHOW.replace(old, new)}))
    differ = {name for name in second if first[name][1]() != second[name][1]()}
    assert PAGE in differ
    for name in differ:
        assert first[name][0] != second[name][0], name


def test_an_address_that_went_leads_to_the_places(parts_with: Parts) -> None:
    site = parts_with({})
    names = site_files(site).keys()
    ((name, page),) = moved_pages(site, [PAGE], names)
    assert name == PAGE
    assert b'content="0; url=../../where/index.html"' in page


@pytest.mark.parametrize(
    ("name", "path"),
    [
        ("low-water", "shows/low-water/"),
        ("Low Water", "shows/low-water/"),
        ("Größe 2", "shows/grosse-2/"),
        ("..", "shows/show/"),
    ],
)
def test_an_address_holds_only_what_addresses_may(name: str, path: str, parts: Site) -> None:
    show: PublicShow = replace(parts.shows[0], name=name)
    assert show.path == path


def test_what_ends_a_script_in_a_room_text_stays_text(parts_with: Parts) -> None:
    words = "# Low water\n\n5 < 6 </script><script>x</script> & so on\n"
    page = site_files(parts_with({"shows/low-water.yaml": SHOW, "pages/low-water.md": words}))[PAGE]
    assert json.loads(json.dumps(json_ld(page)))["description"].startswith("5 < 6")
    assert b"<script>x" not in page


def test_words_beside_the_works_are_whole(demo_files: Mapping[str, bytes]) -> None:
    """What was once "any" and "weft, in part: 2-ply"."""
    assert "<td>any mordant, or none</td>" in demo_files["dyes/weld/index.html"].decode()
    dyes = [page.decode() for name, page in demo_files.items() if name.startswith("dyes/")]
    assert not any("<td>any</td>" in page or "<td>any," in page for page in dyes)
    assert '<span class="small">weft partly 2-ply; warp: 3-ply</span>' in (
        demo_files["2026-008/index.html"].decode()
    )


def test_shows_of_one_name_each_have_their_own_link(parts_with: Parts) -> None:
    def record(place: str, year: int) -> str:
        days = f"dates: {year}-03-05 to {year}-04-11"
        return f"title: Weft\nplace: {place}\n{days}\nworks: [2026-014]\n"

    given = {"shows/a.yaml": record("Sandrigg", 2024), "shows/b.yaml": record("Sandrigg", 2025),
             "shows/c.yaml": record("Sandrigg Hall", 2023)}  # fmt: skip
    page = site_files(parts_with(given))["2026-014/index.html"].decode()
    told = "In the exhibition ‘Weft’, Sandrigg"
    for name, more in (("a", ""), ("b", ""), ("c", " Hall")):
        assert page.count(f'<a href="../shows/{name}/index.html">{told}{more}</a>') == 1, name


def test_a_short_description_keeps_its_last_word(parts_with: Parts) -> None:
    words = {"shows/low-water.yaml": SHOW, "pages/low-water.md": "# Low water\n\nSix hangings.\n"}
    page = site_files(parts_with(words))[PAGE].decode()
    (told,) = re.findall('<meta name="description" content="([^"]*)"', page)
    assert told.endswith("April 2027. Six hangings.")
    assert shortened("a " * 200) == ("a " * 150).strip()
    assert shortened("b" * 300) == "b" * 300


def test_a_show_without_works_has_the_edge_of_the_newest_and_says_so(
    parts_with: Parts, small_studio: Mapping[str, str]
) -> None:
    show = SHOW.partition("walls:")[0]
    given = {"shows/low-water.yaml": show, "pages/low-water.md": WORDS}
    site = parts_with(given)
    old = made_of(site)[PAGE]
    assert site.edge and old[0][-1] == site.edge
    cloth = small_studio["2026-014-saltmarsh.yaml"]
    other = cloth.replace("2026-014", "2026-013").replace("Saltmarsh", "Moss")
    new = made_of(parts_with({**given, "2026-013-moss.yaml": other}))[PAGE]
    assert old[0] != new[0]
