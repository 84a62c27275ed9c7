"""What is seen at the desk is what would be published and printed; words are completed."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest
from tests.desk.open_desk import STUDIO, open_desk

from provenance.desk.words import spot_of, words_at
from provenance.language.phrases import british
from provenance.records.book import read_book

PNG = b"\x89PNG"


def test_the_page_is_that_of_the_site_byte_for_byte(demo_site: Path, tmp_path: Path) -> None:
    folder = tmp_path / "pieces"
    shutil.copytree(demo_site.parent / "pieces", folder)
    with open_desk(folder, site=demo_site) as asker:
        for number in ("2026-014", "2025-019"):
            _, told, content = asker.get(f"/see/site/{number}/")
            assert content == (demo_site / number / "index.html").read_bytes()
            assert "sandbox allow-same-origin" in told["content-security-policy"]
            assert "frame-ancestors 'self'" in told["content-security-policy"]
        assert asker.get("/see/page/2026-014/")[1]["location"] == "/see/site/2026-014/"
        for name in ("site.css", "pictures/2026-014-1-640.jpg", "index.html"):
            if (demo_site / name).is_file():
                assert asker.get(f"/see/site/{name}")[2] == (demo_site / name).read_bytes()
        assert asker.get("/see/site/.studio")[0] == 404
        assert not {*folder.rglob("*.new")}


def test_tag_and_certificate_are_pictures_of_the_papers(
    tmp_path: Path, write_studio_in, kept_cache: Path  # type: ignore[no-untyped-def]
) -> None:
    folder = write_studio_in(tmp_path / "pieces", STUDIO)
    with open_desk(folder) as asker:
        for path in ("/see/tag/2026-001.png", "/see/certificate/2026-001-1.png"):
            status, told, content = asker.get(path)
            assert (status, told["content-type"], content[:4]) == (200, "image/png", PNG), path
        assert asker.get("/see/certificate/2026-001-9.png")[0] == 404
        assert asker.get("/see/tag/2026-999.png")[0] == 404
        assert not (folder / "papers").exists()
        assert not (folder / "studio" / "printed.yaml").exists()


@pytest.mark.parametrize(
    ("line", "inside", "wanted"),
    [
        ("ti", "", ("title", "title: ", 1)),
        ("  - {use: warp, lo", "yarns", ("lot", "lot: ", 17)),
        ("  - {use: warp, lot: gr", "yarns", ("grey", "grey", 22)),
        ("    lot: ", "yarns", ("grey", "grey", 10)),
        ("hours: {wea", "", ("weaving", "weaving: ", 9)),
        ("kind: sca", "", ("scarf", "scarf", 7)),
    ],
)
def test_words_come_from_the_schema_and_the_book(
    tmp_path: Path, write_studio_in, line: str, inside: str, wanted: tuple[str, str, int]  # type: ignore[no-untyped-def]
) -> None:
    book, _ = read_book(write_studio_in(tmp_path / "pieces", STUDIO))
    assert book is not None
    spot = spot_of(line, len(line) + 1, inside)
    found = words_at(book, british(), "2026-001-ebb.yaml", spot)
    assert (found[0]["word"], found[0]["insert"], found[0]["from"]) == wanted


def test_a_key_says_what_it_means(tmp_path: Path, write_studio_in) -> None:  # type: ignore[no-untyped-def]
    book, _ = read_book(write_studio_in(tmp_path / "pieces", STUDIO))
    assert book is not None
    (found,) = words_at(book, british(), "2026-001-ebb.yaml", spot_of("kin", 4, ""))
    assert found["note"].startswith("hanging, rug, blanket")
    assert words_at(book, british(), "pages/about.md", spot_of("kin", 4, "")) == []
