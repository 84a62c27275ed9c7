"""Lists in words: the newest first, what can be bought, filters that part the work, places with
their days, lots by their titles and never by the keys of the records."""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace
from datetime import date
from pathlib import Path
from types import SimpleNamespace

import pytest

from provenance.language.phrases import phrases_for
from provenance.public.names import called, inside, spoken
from provenance.public.shapes import PublicWords
from provenance.records.book import read_book
from provenance.site.front import front, opening, who
from provenance.site.places import whereabouts
from provenance.site.shown import Picture, Rendered, ShownPiece
from provenance.site.wall import hung
from provenance.site.whole import Site

PIECES = Path(__file__).parents[2] / "pieces"
Made = Callable[[Mapping[str, str]], Mapping[str, bytes]]


def text_of(files: Mapping[str, bytes], name: str) -> str:
    return files[name].decode()


def words_of(page: bytes) -> str:
    """What is read on a page: no markup, no addresses, no programs' data."""
    text = re.sub(r"<(script|style)\b.*?</\1>", " ", page.decode(), flags=re.DOTALL)
    return re.sub(r"<[^>]+>", " ", text)


@pytest.mark.parametrize(
    ("name", "said"),
    [
        ("bfl-silk", "BFL silk"), ("gotland-2ply", "Gotland 2-ply"), ("dry_run", "Dry run"),
        ("harbour-gallery", "Harbour gallery"), ("3ply-sock", "3-ply sock"),
    ],
)  # fmt: skip
def test_a_name_of_the_records_is_told_as_words(name: str, said: str) -> None:
    assert spoken(name) == said


def test_a_title_goes_before_the_name() -> None:
    book, _ = read_book(PIECES)
    assert book
    phrases = phrases_for("en-GB", "GBP", {}, None)
    assert called(book, "gotland-mohair") == "Gotland with kid mohair"
    assert called(book, "storm-blue") == "Storm blue"  # no title: its name as words
    assert inside(phrases, book, "linen-warp") == "linen warp"
    assert inside(phrases, book, "bfl-silk") == "BFL silk"


def test_no_key_of_a_record_is_read_on_any_page(demo_files: Mapping[str, bytes]) -> None:
    book, _ = read_book(PIECES)
    assert book
    kinds = (book.yarns, book.dyed, book.fleece, book.outlets, book.dyestuffs, book.baths)
    keys = {str(name) for kind in kinds for name in kind if re.search(r"[-_]|[0-9]", str(name))}
    assert len(keys) > 30
    for page, content in demo_files.items():
        if page.endswith(".html"):
            said = words_of(content)
            found = (key for key in keys if re.search(rf"(?<![\w-]){key}(?![\w-]|\.example)", said))
            assert list(found) == [], page


@pytest.mark.parametrize(
    ("language", "first", "last", "said"),
    [
        ("en-GB", (2026, 11, 28), (2026, 11, 29), "28 to 29 November 2026"),
        ("en-GB", (2027, 3, 5), (2027, 4, 11), "5 March to 11 April 2027"),
        ("en-GB", (2026, 11, 21), (2027, 1, 9), "21 November 2026 to 9 January 2027"),
        ("en-GB", (2026, 6, 6), (2026, 6, 6), "6 June 2026"),
        ("en-US", (2026, 11, 28), (2026, 11, 29), "November 28 to 29, 2026"),
        ("en-US", (2027, 3, 5), (2027, 4, 11), "March 5 to April 11, 2027"),
        ("de", (2026, 11, 28), (2026, 11, 29), "28. bis 29. November 2026"),
        ("de", (2027, 3, 5), (2027, 4, 11), "5. März bis 11. April 2027"),
    ],
)  # fmt: skip
def test_days_are_told_as_people_write_them(
    language: str, first: tuple[int, int, int], last: tuple[int, int, int], said: str
) -> None:
    phrases = phrases_for(language, "GBP", {}, None)
    assert phrases.days(date(*first), date(*last)) == said


def test_the_newest_is_the_last_finished_then_the_higher_number(demo_parts: Site) -> None:
    known = [(each.card.dated, each.card.number) for each in demo_parts.listed]
    assert known == sorted(known, reverse=True)
    shown = front(demo_parts.listed)
    assert shown.newest is demo_parts.listed[0]
    assert not shown.newest.is_for_sale  # newest is newest, whether it can be bought or not
    assert all(each.is_for_sale for each in shown.for_sale)
    assert not any(each.is_for_sale for each in shown.others)
    assert len(set(shown.shown)) == len(shown.shown) == 9


def test_who_this_is_comes_from_facts_where_the_maker_is_silent(demo_parts: Site) -> None:
    own = demo_parts.studio
    assert who(own, demo_parts.listed) == own.about
    silent = replace(own, about="")
    assert who(silent, demo_parts.listed) == (
        "Isla Wren makes hangings, scarves, shawls and blankets in Eskrigg Dale."
    )
    assert who(silent, []) == "Isla Wren, Eskrigg Dale"


def test_filters_are_folded_and_say_how_many(demo_files: Mapping[str, bytes]) -> None:
    page = text_of(demo_files, "work/index.html")
    ways = page[page.index('<nav class="ways"') :]
    ways = ways[: ways.index("</nav>")]
    before, folded = ways.split("<details>")
    counts = [int(each) for each in re.findall(r'class="count">([0-9]+)<', folded)]
    assert counts and all(0 < count < 16 for count in counts)
    assert re.findall(r'class="count">([0-9]+)<', before) == ["16", "9"]


def test_a_place_has_street_hours_link_days_and_an_anchor(
    demo_files: Mapping[str, bytes],
) -> None:
    page = text_of(demo_files, "where/index.html")
    place = page[page.index('id="harbour-gallery"') :]
    place = place[: place.index("</section>")]
    for said in (
        "4 The Quay, Sandrigg", "Wednesday to Saturday, 10 to 5", "2 pieces here now",
        '<a class="more" href="https://harbour-gallery.example">harbour-gallery.example</a>',
    ):  # fmt: skip
        assert said in place
    assert "21 November 2026 to 9 January 2027" in page
    piece = text_of(demo_files, "2026-014/index.html")
    link = '<a href="../where/index.html#harbour-gallery">the Harbour gallery</a>'
    assert f'<p class="standing">Available, at {link}</p>' in piece


def test_a_piece_whose_place_is_not_told_leads_nowhere(site_with: Made) -> None:
    """A fair that is over is no longer among the places; nor is an address that isn't public."""
    small = {
        "studio/outlets.yaml": "dale-fair: {kind: fair, dates: 2026-05-01 to 2026-05-02,\n"
        "  address: 9 Hidden Lane, web: 'javascript:alert(1)'}\n"
    }
    files = site_with({**small, "2026-020-rug.yaml": RUG})
    assert "at the Dale fair" in text_of(files, "2026-020/index.html")
    assert "where/index.html#" not in text_of(files, "2026-020/index.html")
    assert not any(b"Hidden Lane" in content for content in files.values())


RUG = """\
number: 2026-020
title: Rug
kind: rug
finished: 2026-04-20
size: 100 x 60 cm
yarns: [{use: weft, lot: linen-warp, weight: 300 g}]
hours: {weaving: 9}
price: 400
at: dale-fair
photos: [{file: rug.jpg, alt: A pale rug}]
"""


def test_a_fleece_has_one_row_with_its_farm_and_what_became_of_it(
    demo_files: Mapping[str, bytes],
) -> None:
    page = text_of(demo_files, "fleeces/index.html")
    assert page.count("<li id=") == 8
    row = page[page.index('<li id="shetland-2025"') :].split("</div>\n</li>")[0]
    for said in ("Nettle How", "Shorn 12 July 2025.", "1.4 kg", "Became Shetland moorit."):
        assert said in row
    assert re.findall(r'href="\.\./([0-9-]+)/', row) == ["2026-002", "2026-001", "2025-024"]


def test_a_farm_without_consent_has_no_name(site_with: Made) -> None:
    fleece = "gotland-2025: {breed: Gotland, from: Low Eskrigg Farm, weight: 3 kg}\n"
    files = site_with({"studio/fleece.yaml": fleece})
    assert "Gotland" in text_of(files, "fleeces/index.html")
    assert "Low Eskrigg" not in text_of(files, "fleeces/index.html")


def test_a_dye_on_a_piece_shows_the_shades_of_that_piece(demo_parts: Site) -> None:
    saltmarsh = next(each for each in demo_parts.pieces if each.card.number == "2026-014")
    assert saltmarsh.shades_of("madder") == "#9a4b2c"
    assert re.findall("#[0-9a-f]{6}", saltmarsh.shades_of("indigo")) == [
        "#2e4257", "#566f83", "#6f7a38",
    ]  # fmt: skip
    assert [name for name, _ in saltmarsh.facts.shades] == list(saltmarsh.card.dye_names)


def pictured(piece: ShownPiece, width: int, height: int) -> ShownPiece:
    return replace(
        piece, pictures=(Picture("alt", "whole", (Rendered("a", width, height, "jpeg"),)),)
    )


def test_two_hang_in_a_row_on_a_phone_at_one_height(demo_parts: Site) -> None:
    first = demo_parts.listed[0]
    sizes = [(800, 1000), (1270, 1000), (3000, 1000), (670, 1000)]
    walls = hung([pictured(first, *size) for size in sizes])
    assert walls[0].two + walls[1].two == pytest.approx(1, abs=1e-3)
    assert walls[0].two / walls[0].wide == pytest.approx(walls[1].two / walls[1].wide, rel=1e-3)
    assert walls[2].two == 1  # too wide for a neighbour
    assert walls[3].two < 0.6  # the last alone takes no more than its place


def test_a_page_of_words_shows_the_photo_its_text_names(site_with: Made) -> None:
    files = site_with({"pages/about.md": "# About\n\n![me](rug.jpg)\n\nI weave.\n",
                       "2026-020-rug.yaml": RUG.replace("at: dale-fair\n", "")})  # fmt: skip
    page = text_of(files, "about/index.html")
    assert 'alt="A pale rug"' in page and "rug.jpg" not in page


@dataclass
class Standing:
    """What `whereabouts` reads of a piece."""

    availability: str
    seen_at: tuple[tuple[str, str], ...]


@pytest.mark.parametrize("turn", [1, -1])
def test_an_outlet_whose_name_lies_within_anothers_is_linked_once(turn: int) -> None:
    barns = (("barn", "The Barn"), ("index", "index"), ("gallery", "The Barn Gallery"))[::turn]
    words = "One at The Barn Gallery, one at The Barn, one at index"
    for there in (("barn", "gallery", "index"), ("barn", "index")):
        told = str(whereabouts(Standing(words, barns), there, "../"))  # type: ignore[arg-type]
        links = re.findall(r'<a href="\.\./where/index\.html#(\w+)">([^<]+)</a>', told)
        assert links == [(name, called) for name, called in
                         (("gallery", "The Barn Gallery"), ("barn", "The Barn"), ("index", "index"))
                         if name in there]  # fmt: skip
        assert re.sub("<[^>]+>", "", told) == words


def test_the_home_page_opens_with_the_first_words_of_the_page_about_the_maker() -> None:
    page = PublicWords(
        "about", "About", "![The loom](loom.jpg)\n\n<!-- -->\n\nI weave by the beck."
    )
    studio = SimpleNamespace(about="")
    assert opening(studio, {"about": page}) == "I weave by the beck."  # type: ignore[arg-type]
    empty = replace(page, text="")
    assert opening(studio, {"about": empty}) == ""  # type: ignore[arg-type]
