"""A centimetre of cloth as a centimetre of the screen: the script that fits it, in Chromium."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from tests.in_chromium import skip_without_chromium

MM = 96 / 25.4  # CSS pixels

skip_without_chromium()


def opened(context: Any, site: Path, path: str) -> Any:
    page = context.new_page()
    page.goto((site / path).as_uri(), wait_until="load")
    page.evaluate("document.querySelectorAll('.real').forEach(each => { each.open = true })")
    return page


def sides(page: Any, what: str) -> tuple[float, float]:
    """Width and height on the screen, in CSS millimetres."""
    box = page.locator(what).bounding_box()
    return box["width"] / MM, box["height"] / MM


def test_the_photo_grows_with_the_card_and_the_page_remembers_it(browser, demo_site) -> None:
    context = browser.new_context(viewport={"width": 1280, "height": 800})
    page = opened(context, demo_site, "2026-014/index.html")
    assert sides(page, ".real-card") == pytest.approx((85.6, 53.98), abs=0.3)
    assert sides(page, ".real-window img")[0] == pytest.approx(115, abs=0.3)
    assert not page.locator(".lies").is_visible()
    page.locator(".fits input").fill("150")
    assert sides(page, ".real-card") == pytest.approx((128.4, 80.97), abs=0.3)
    assert sides(page, ".real-window img")[0] == pytest.approx(172.5, abs=0.3)
    again = opened(context, demo_site, "2026-006/index.html")
    assert sides(again, ".real-window img")[0] == pytest.approx(142.5, abs=0.3)
    context.close()


def test_without_a_script_it_says_that_screens_lie(browser, demo_site) -> None:
    context = browser.new_context(java_script_enabled=False)
    page = context.new_page()
    page.goto((demo_site / "2026-014/index.html").as_uri(), wait_until="load")
    page.locator(".real summary").click()
    assert page.locator(".lies").is_visible()
    assert not page.locator(".fits").is_visible()
    assert sides(page, ".real-window img")[0] == pytest.approx(115, abs=0.3)
    context.close()


@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_both_pages_can_be_used_by_everyone(browser, demo_site, scheme) -> None:
    from axe_playwright_python.sync_playwright import Axe

    context = browser.new_context(viewport={"width": 320, "height": 800}, color_scheme=scheme)
    for path in ("2026-014/index.html", "work/to-scale/index.html"):
        page = opened(context, demo_site, path)
        found = Axe().run(page).response["violations"]
        assert [f"{each['id']}: {each['nodes'][0]['html'][:120]}" for each in found] == []
        assert page.evaluate("document.documentElement.scrollWidth") <= 320
    context.close()
