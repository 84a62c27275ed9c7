"""The edge as it was woven, the dated list, and the pictures that pages are passed on with."""

import re
from collections.abc import Callable, Mapping
from dataclasses import replace
from pathlib import Path

from PIL import Image

from provenance.press.file_names import without_digest
from provenance.site.pages import site_files
from provenance.site.shown import IN_AN_EDGE, age
from provenance.site.whole import Site

Files = Callable[[Mapping[str, str]], Mapping[str, bytes]]
PIECE = "2026-014-saltmarsh.yaml"
EDGE = re.compile(r'class="edge"[^>]*style="--down:([^;]+);')


def page_with(site_with: Files, small: Mapping[str, str], more: str) -> str:
    files = site_with({PIECE: small[PIECE] + more})
    return files["2026-014/index.html"].decode()


def test_the_edge_is_drawn_as_it_was_woven(
    site_with: Files, small_studio: Mapping[str, str]
) -> None:
    grams = EDGE.search(page_with(site_with, small_studio, ""))
    assert grams
    green, linen = re.findall(r"#\w{6}", grams[1])
    more = (
        "order: [{lot: marsh-green, for: 30 cm}, {lot: linen-warp, for: 10 cm},"
        " {lot: marsh-green, for: 40 cm}]\n"
    )
    woven = EDGE.search(page_with(site_with, small_studio, more))
    assert woven
    assert woven[1] == (
        f"linear-gradient(to bottom,{green} 0% 37.5%,{linen} 37.5% 50%,{green} 50% 100%)"
    )


def test_a_band_is_of_one_of_its_yarns(tmp_path: Path, small_studio: Mapping[str, str]) -> None:
    from provenance.records.book import read_book

    for name, text in small_studio.items():
        path = tmp_path / "pieces" / name
        path.parent.mkdir(parents=True, exist_ok=True)
        more = "order: [{lot: marsh-gren, for: 30 cm}]\n" if name == PIECE else ""
        path.write_text(text + more, encoding="utf-8")
    _, problems = read_book(tmp_path / "pieces")
    (one,) = [each for each in problems if not each.is_remark]
    assert str(one.place).endswith("2026-014-saltmarsh.yaml:11:15")
    assert one.what.key == "record.band_of_none"
    assert one.remedy.pairs == (("near", "marsh-green"),)


def test_where_it_has_been_is_a_dated_list(
    site_with: Files, small_studio: Mapping[str, str]
) -> None:
    more = """\
finished: 2026-09-14
history:
  - {on: 2026-11-02, event: Shown at the winter show}
  - {on: 2026-10-03, event: Shown at the autumn show}
  - {on: 2026-10-04, event: A moth looked at, public: no}
sale: {on: 2026-12-01, price: 400, to: A. Fell, consent: no}
"""
    page = page_with(site_with, small_studio, more)
    lines = re.findall(r'<li><span class="small">([^<]*)</span> ([^<]*)</li>', page)
    assert lines == [
        ("14 September 2026", "Made by Isla Wren"),
        ("3 October 2026", "Shown at the autumn show"),
        ("2 November 2026", "Shown at the winter show"),
        ("2026", "Private collection"),
    ]


def test_earlier_and_later_are_a_pair(demo_files: Mapping[str, bytes]) -> None:
    page = demo_files["2026-014/index.html"].decode()
    turn = re.search(r'<nav class="turn".*?</nav>', page, re.DOTALL)
    assert turn
    assert re.findall(r'class="small">(\w+)</span><br>(\S+)', turn[0]) == [
        ("Earlier", "2026-013"), ("Later", "2026-015"),
    ]  # fmt: skip


def test_buyers_are_given_no_list_of_file_formats(demo_files: Mapping[str, bytes]) -> None:
    page = demo_files["2026-014/index.html"].decode()
    page = re.sub(r"<script.*?</script>|<[^>]*>", " ", page, flags=re.DOTALL)
    for word in ("JSON", "PROV", "Linked Art", "file"):
        assert not re.search(rf"\b{word}\b", page), word


def test_a_page_is_passed_on_with_a_landscape_of_work_and_edge(demo_site: Path) -> None:
    page = (demo_site / "2026-014" / "index.html").read_text(encoding="utf-8")
    address = re.search(r'property="og:image" content="https://brackenfold.example/([^"]+)"', page)
    assert address
    assert without_digest(address[1]) == "pictures/2026-014-share.jpg"
    edge = EDGE.search(page)
    assert edge
    with Image.open(demo_site / address[1]) as picture:
        assert picture.size == (1200, 630)
        for colour, start, end in re.findall(r"#(\w{6}) ([\d.]+)% ([\d.]+)%", edge[1]):
            middle = (float(start) + float(end)) / 200 * 630
            seen = picture.getpixel((14, round(middle)))
            assert max(abs(a - b) for a, b in zip(seen, bytes.fromhex(colour), strict=True)) < 12
        assert picture.getpixel((1190, 620)) == (255, 255, 255)
    shares = {path.name for path in (demo_site / "pictures").glob("*-share-*.jpg")}
    assert len(shares) == 16


def test_every_page_has_the_mark_and_lost_readers_find_menu_and_edge(demo_site: Path) -> None:
    for page in demo_site.rglob("*.html"):
        text = page.read_text(encoding="utf-8")
        assert re.search(r'rel="icon" href="((\.\./)*mark\.svg|data:image/svg)', text), page
        assert 'class="edge"' in text, page
    with Image.open(demo_site / "mark.png") as mark:
        assert mark.size == (180, 180)
    lost = (demo_site / "404.html").read_text(encoding="utf-8")
    assert 'href="https://brackenfold.example/dyes/index.html"' in lost
    assert lost.count("data:font/woff2;base64,") == 3
    assert 'rel="stylesheet"' not in lost and "site-" not in lost


def test_yarns_dyed_in_place_from_one_lot_keep_their_own_names(
    parts_with: Callable[[Mapping[str, str]], Site], small_studio: Mapping[str, str]
) -> None:
    lines = (
        "yarns:\n  - {use: warp, lot: linen-warp, weight: 180 g}\n"
        "  - {use: ground, name: sky, lot: gotland-2ply, weight: 40 g, dyes: {weld: 4 %},"
        ' colour: "#5a86b0"}\n'
        "  - {use: pile, name: rust, lot: gotland-2ply, weight: 60 g, dyes: {weld: 9 %},"
        ' colour: "#9a4b2c"}\n'
        "  - {use: weft, lot: gotland-2ply, weight: 70 g, dyes: {weld: 30 %},"
        ' colour: "#c9b037"}\n'
    )
    record = re.sub(r"yarns:\n(  - .*\n)+", lines, small_studio[PIECE])
    record = record.replace("kind: hanging", "kind: hanging\nstructure: knotted pile")
    (shown,) = parts_with({PIECE: record}).pieces
    told = [(yarn.name, yarn.runs, yarn.is_seen) for yarn in shown.facts.yarns]
    assert told == [
        ("Linen warp", "warp", False),
        ("Sky", "", False),
        ("Rust", "", True),
        ("Gotland 2-ply", "weft", True),
    ]


def shared(files: Mapping[str, bytes], name: str) -> list[str]:
    return re.findall(r'property="og:image" content="[^"]+/([^"/]+)"', files[name].decode())


def test_pages_are_passed_on_with_the_newest_picture_there_is_and_no_piece_with_anothers(
    parts_with: Callable[[Mapping[str, str]], Site], small_studio: Mapping[str, str]
) -> None:
    newer = small_studio[PIECE].replace("2026-014", "2026-015").replace("412 g", "4 g")
    site = parts_with({"2026-015.yaml": newer, "pages/process.md": "# Making\n\nBy the beck.\n"})
    older, newest = sorted(site.pieces, key=age)
    unseen = replace(newest, pictures=(), share="")  # its photo can't be read
    files = site_files(replace(site, pieces=(older, unseen)))
    for name in ("index.html", "work/index.html", "making/index.html", "2026-014/index.html"):
        assert shared(files, name) == ["2026-014-share-5a5a5a5a.jpg"], name
    assert shared(files, "2026-015/index.html") == []


def test_a_page_about_no_piece_comes_from_the_picture_it_is_passed_on_with(
    parts_with: Callable[[Mapping[str, str]], Site],
) -> None:
    site = parts_with({})
    (shown,) = site.pieces
    bare = [replace(shown, pictures=(), share="", key=f"bare {n}") for n in range(IN_AN_EDGE)]
    assert replace(site, pieces=(*bare, shown)).edge[-1] == shown.stamp
