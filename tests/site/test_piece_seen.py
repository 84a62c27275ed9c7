"""A piece's page as it is met: on a phone at a fair, on a wide screen, in a contrast theme, on
paper. One browser (Chromium), the demo's site opened from disk."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import Any

import pypdfium2
import pytest
from PIL import ImageOps

from tests.in_chromium import skip_without_chromium

ALL = ["2026-014", "2026-003", "2026-015", "2025-019", "2025-021"]  # for sale, and sold
Seen = Callable[..., Any]

skip_without_chromium()


@pytest.fixture(scope="module")
def seen(demo_site: Path, browser: Any) -> Seen:
    """`seen(width, height, forced_colors=...)`: a page to open addresses of the site in."""

    def opened(width: int, height: int, **more: Any) -> Callable[[str], Any]:
        size = {"width": width, "height": height}
        page = browser.new_context(viewport=size, reduced_motion="reduce", **more).new_page()

        def go(address: str) -> Any:
            page.goto((demo_site / address / "index.html").as_uri())
            return page

        return go

    return opened


def box(page: Any, what: str) -> dict[str, float]:
    found = page.locator(what).first.bounding_box()
    assert found, f"{page.url}: no {what}"
    return {**found, "foot": found["y"] + found["height"]}


@pytest.mark.parametrize(("width", "height", "fold"), [(390, 844, 844), (360, 640, 844)])
def test_on_a_phone_title_price_and_ask_come_first(
    seen: Seen, width: int, height: int, fold: int
) -> None:
    go = seen(width, height)
    for number in ALL:
        page = go(number)
        assert box(page, ".head")["height"] <= 57
        assert box(page, ".whole img")["height"] <= 0.55 * height + 1
        feet = [box(page, what)["foot"] for what in (".whole", "h1", ".standing", ".ask")]
        assert feet == sorted(feet)
        assert box(page, ".plate .small")["foot"] <= fold, number
        assert box(page, ".plate .small")["foot"] <= box(page, ".photos")["y"]
        assert page.locator(".plate .small").inner_text() == "hello@brackenfold.example"


def test_the_menu_unfolds_without_script(seen: Seen) -> None:
    page = seen(390, 844, java_script_enabled=False)("2026-014")
    dyes = page.locator("nav details a", has_text="Dyes")
    assert not dyes.is_visible()
    page.locator("nav summary").click()
    assert dyes.is_visible()
    dyes.click()
    assert page.url.endswith("/dyes/index.html")


def test_a_sold_piece_offers_one_like_it(seen: Seen) -> None:
    ask = seen(390, 844)("2025-019").locator(".ask")
    assert ask.inner_text() == "Ask for one like it"
    assert ask.get_attribute("href") == (
        "mailto:hello@brackenfold.example?subject=One%20like%202025-019%20Ebb"
    )


def test_a_wide_screen_is_used_and_the_facts_stay_in_view(seen: Seen) -> None:
    page = seen(1920, 1080)("2026-014")
    main = box(page, "main")
    assert main["width"] >= 0.9 * 1920
    assert box(page, ".whole")["width"] == pytest.approx(0.6 * main["width"], abs=2)
    assert box(page, ".whole img")["foot"] <= 1080
    detail = page.locator(".photos img").first
    shown, own = (
        detail.evaluate(f"e => e.{wide} / e.{high}")
        for wide, high in (("clientWidth", "clientHeight"), ("naturalWidth", "naturalHeight"))
    )
    assert shown == pytest.approx(own, rel=0.01)
    assert box(page, ".photos img")["width"] > 480
    assert box(page, ".story")["x"] > box(page, ".photos")["x"] + box(page, ".photos")["width"]
    page.locator(".story").evaluate("e => e.scrollIntoView({behavior: 'instant'})")
    assert box(page, ".facts")["y"] >= 0
    assert box(page, ".facts")["foot"] <= 1080


def test_in_a_contrast_theme_cloth_keeps_its_colours(seen: Seen) -> None:
    go = seen(1280, 800, forced_colors="active")
    page = go("2026-014")
    style = "e => [getComputedStyle(e).{0}, getComputedStyle(e).borderTopWidth]"
    drawn, border = page.locator(".edge").evaluate(style.format("backgroundImage"))
    assert drawn.count("rgb(") == 16
    assert border == "1px"
    page = go("dyes/indigo")
    swatch = page.locator(".swatch").first
    said = swatch.get_attribute("style").partition("#")[2].strip(";")
    colour, border = swatch.evaluate(style.format("backgroundColor"))
    assert colour == f"rgb({', '.join(str(part) for part in bytes.fromhex(said))})"
    assert border == "1px"


def test_on_paper_it_keeps_its_margins_and_takes_four_pages_at_most(seen: Seen) -> None:
    made = seen(1280, 800)("2026-014").pdf(
        format="A4", prefer_css_page_size=True, print_background=True
    )
    paper = pypdfium2.PdfDocument(made)
    assert len(paper) <= 4
    words = [page.get_textpage().get_text_bounded() for page in paper]
    assert "Saltmarsh" in words[0]
    assert "£1,450" in words[0]
    assert "https://brackenfold.example/2026-014/" in words[-1]
    assert "Menu" not in "".join(words)
    for page in paper:
        inked = ImageOps.invert(page.render(scale=1).to_pil().convert("L"))
        left, top, right, foot = inked.point(lambda tone: 255 if tone > 24 else 0).getbbox()
        assert min(left, inked.width - right) >= 14 / 25.4 * 72, "the sides"
        assert min(top, inked.height - foot) >= 15 / 25.4 * 72, "top and foot"
