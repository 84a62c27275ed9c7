"""What is seen at the desk is what would be published and printed; words are completed."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from provenance.desk.words import spot_of, words_at
from provenance.language.phrases import british
from provenance.records.book import read_book
from tests.conftest import DEMO_DAY, run_provenance
from tests.desk.conftest import picture
from tests.desk.open_desk import PIECE, STUDIO, open_desk

PNG = b"\x89PNG"


PHOTO = "photos:\n  - {file: photos/ebb.jpg, alt: A scarf, view: whole}\n"
SITE = "site: https://brackenfold.example\n"


def _built(folder: Path, cache: Path) -> Path:
    """The site of a studio, as the command makes it."""
    said = run_provenance(folder.parent, "--studio", str(folder), "build", cache=cache)
    assert said.returncode == 0, said.stdout + said.stderr
    return folder.parent / "site"


def test_the_page_is_that_of_the_site_byte_for_byte(
    tmp_path: Path, write_studio_in, kept_cache: Path, monkeypatch: pytest.MonkeyPatch
) -> None:  # type: ignore[no-untyped-def]
    """Also of one between two others, and of one that was changed since and is as it was again: the
    desk works out what it shows, and finds style, letters and pictures under their names."""
    monkeypatch.setenv("SOURCE_DATE_EPOCH", DEMO_DAY)
    pieces = {
        f"{number}.yaml": PIECE.replace("2026-001", number).replace("Ebb", title)
        + "finished: 2026-11-0" + number[-1] + "\n" + PHOTO
        for number, title in (("2026-001", "Ebb"), ("2026-002", "Spring tide"), ("2026-003", "Sl"))
    }  # fmt: skip
    studio = STUDIO | {"studio/studio.yaml": STUDIO["studio/studio.yaml"] + SITE}
    del studio["2026-001-ebb.yaml"]
    folder = write_studio_in(tmp_path / "pieces", studio | pieces)
    (folder / "photos").mkdir()
    (folder / "photos" / "ebb.jpg").write_bytes(picture())
    site = _built(folder, kept_cache)
    with open_desk(folder, site=site) as asker:
        for number in ("2026-002", "2026-001", "2026-003"):
            _, told, content = asker.get(f"/see/site/{number}/")
            assert content == (site / number / "index.html").read_bytes(), number
            assert "sandbox allow-same-origin" in told["content-security-policy"]
            assert "frame-ancestors 'self'" in told["content-security-policy"]
        page = (site / "2026-002" / "index.html").read_text()
        assert "2026-001/index.html" in page
        assert "-share-" in page
        assert asker.get("/see/page/2026-002/")[1]["location"] == "/see/site/2026-002/"
        names = [*_shown(page), *(f"letters/{each.name}" for each in (site / "letters").iterdir())]
        assert any(name.startswith("pictures/") for name in names)
        for name in (*names, "index.html"):
            assert asker.get(f"/see/site/{name}")[2] == (site / name).read_bytes(), name
        assert asker.get("/see/site/.studio")[0] == 404
        assert not {*folder.rglob("*.new")}


def _shown(page: str) -> set[str]:
    """What lies beside a page and is asked for with it."""
    return {*re.findall(r"(?:src|href)=\"\.\./((?:pictures|site)[^\"]*)\"", page)}


def test_pictures_of_a_page_that_was_shown_are_had_when_the_record_has_changed_twice(
    tmp_path: Path, write_studio_in, kept_cache: Path
) -> None:  # type: ignore[no-untyped-def]
    """A browser asks for them one after another, and records may be saved meanwhile."""
    studio = STUDIO | {"2026-001-ebb.yaml": PIECE + PHOTO}
    folder = write_studio_in(tmp_path / "pieces", studio)
    (folder / "photos").mkdir()
    (folder / "photos" / "ebb.jpg").write_bytes(picture())
    with open_desk(folder) as asker:
        page = asker.get("/see/site/2026-001/")[2].decode()
        for text in (PIECE, PIECE.replace("Ebb", "Slack water")):
            (folder / "2026-001-ebb.yaml").write_text(text)
            asker.desk.memory.look()
            assert "pictures/" not in asker.get("/see/site/2026-001/")[2].decode()
        shown = {each for each in _shown(page) if each.startswith("pictures/")}
        assert shown
        assert {asker.get(f"/see/site/{name}")[0] for name in shown} == {200}


def test_tag_and_certificate_are_pictures_of_the_papers(
    tmp_path: Path,
    write_studio_in,
    kept_cache: Path,  # type: ignore[no-untyped-def]
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
    tmp_path: Path,
    write_studio_in,
    line: str,
    inside: str,
    wanted: tuple[str, str, int],  # type: ignore[no-untyped-def]
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
