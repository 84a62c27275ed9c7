"""How large works are, on the site: to scale, at the size of the cloth, all on one page."""

import re
from collections.abc import Callable, Mapping

import pytest

Made = Callable[[Mapping[str, str]], Mapping[str, bytes]]


@pytest.fixture
def piece(small_studio) -> tuple[str, str]:
    """The small studio's piece: its file and its text."""
    return next((name, text) for name, text in small_studio.items() if "kind: hanging" in text)


def test_a_piece_is_drawn_to_scale_on_its_page(demo_files) -> None:
    page = demo_files["2026-014/index.html"].decode()
    assert 'aria-label="Hung beside a door of 198.1 cm by 76.2 cm. Its height of 124 cm is' in page
    assert '<rect class="outline" width="86" height="124"/>' in page
    assert '"outline.pdf">Its outline on paper, to try on your wall (PDF, 5 sheets of A4)' in page
    assert demo_files["2026-014/outline.pdf"].startswith(b"%PDF-1.7")
    assert "2026-002/outline.pdf" not in demo_files, "a scarf hangs on no wall"


def test_a_photo_whose_cloth_was_measured_is_shown_at_its_size(site_with, piece) -> None:
    name, text = piece
    measured = text.replace("{file: front.jpg,", "{file: front.jpg, across: 12.5 cm,")
    page = site_with({name: measured})["2026-014/index.html"].decode()
    assert 'loading="lazy" style="--shown:125.0">' in page
    assert "whole-outline" not in page


def test_without_a_measure_the_outline_is_shown_and_no_photo(site_with, piece) -> None:
    page = site_with({})["2026-014/index.html"].decode()
    assert "No photo of this piece says how much cloth it shows." in page
    assert 'class="whole-outline" style="--wide:860.0;--high:1240.0"' in page
    assert "--shown" not in page


def test_a_piece_of_unknown_size_shows_nothing(site_with, piece) -> None:
    name, text = piece
    files = site_with({name: text.replace("size: 124 x 86 cm\n", "finished: 2012\nearlier: yes\n")})
    page = files["2026-014/index.html"].decode()
    assert "to-scale" not in page
    assert "scale.js" not in page
    assert "2026-014/outline.pdf" not in files
    assert (
        "One work is not here: its size is not recorded."
        in files["work/to-scale/index.html"].decode()
    )


def test_all_works_stand_on_one_page_by_kind(demo_files, demo_parts) -> None:
    page = demo_files["work/to-scale/index.html"].decode()
    sides = re.findall(r'<li style="--w:([\d.]+);--h:([\d.]+)"><a href="../../([^/]+)/', page)
    recorded = {
        each.card.number: (float(each.card.measures.width), float(each.card.measures.height))
        for each in demo_parts.listed
        if each.card.measures
    }
    assert {number: (float(w), float(h)) for w, h, number in sides} == recorded
    assert page.count('class="measure"') == len({p.card.kind for p in demo_parts.listed})
    assert 'href="../work/to-scale/index.html"' in demo_files["work/index.html"].decode()


def test_its_style_and_script_come_with_the_site(demo_files, demo_parts) -> None:
    assert b".to-scale svg" in demo_files[demo_parts.look.style]
    script = demo_files[demo_parts.look.script].decode()
    assert "http" not in script
    assert script.count("localStorage") == 2 == script.count("try {")
