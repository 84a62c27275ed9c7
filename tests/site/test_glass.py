"""Cloth under glass, in a real browser, from disk: a photo opens large, and what is under the
pointer or the mark is named; what the drawing of the photo knows is held against it."""

from __future__ import annotations

import base64
import json
import re
import zlib
from pathlib import Path
from typing import Any

import pytest

from provenance.site.style import SCRIPTS, script
from tests.in_chromium import skip_without_chromium
from tests.site.test_in_browser import findings

skip_without_chromium()


class Sat:
    """A piece's page opened from disk in a browser of its own."""

    def __init__(self, context: Any, page: Path):
        self.said: list[str] = []
        self.context, self.page = context, context.new_page()
        self.page.on("console", lambda message: self.said.append(message.text))
        self.page.on("pageerror", lambda error: self.said.append(str(error)))
        self.page.goto(page.as_uri(), wait_until="load")

    def opened(self, place: int = 0) -> Any:
        """Open a photo; its stage when yarns can be named."""
        self.page.locator("a.glass").nth(place).click()
        stage = self.page.locator(".under-glass .stage")
        self.page.wait_for_selector(".under-glass .stage[data-ready=named]")
        return stage

    def names(self) -> list[str]:
        self.page.wait_for_timeout(250)  # names are said once the hand rests
        return self.page.locator(".under-glass .names strong").all_inner_texts()

    def point(self, across: float, down: float) -> tuple[float, float]:
        box = self.page.locator(".under-glass .sheet").bounding_box()
        return box["x"] + across * box["width"], box["y"] + down * box["height"]


@pytest.fixture(scope="module")
def context(browser: Any) -> Any:
    return browser.new_context(viewport={"width": 1000, "height": 900}, has_touch=True)


@pytest.fixture(scope="module")
def saltmarsh(demo_site: Path, context: Any) -> Sat:
    return Sat(context, demo_site / "2026-014" / "index.html")


def test_without_script_a_photo_is_a_link_to_its_largest_file(demo_site: Path) -> None:
    page = (demo_site / "2026-014" / "index.html").read_text(encoding="utf-8")
    links = re.findall(r'<a class="glass" href="\.\./([^"]+)"', page)
    widest = [
        max(demo_site.glob(f"pictures/2026-014-{n}-*.jpg"), key=lambda it: it.stat().st_size)
        for n in (1, 2, 3)
    ]
    assert [demo_site / each for each in links] == widest


def test_what_is_under_the_pointer_is_named(saltmarsh: Sat) -> None:
    """Storm blue lies at the top of the hanging, rust at its foot, a wall beside it."""
    saltmarsh.opened()
    for (across, down), wanted in {
        (0.5, 0.2): ["Storm blue"],
        (0.35, 0.8): ["Rust"],
        (0.05, 0.5): [],
    }.items():
        saltmarsh.page.mouse.move(*saltmarsh.point(across, down))
        assert saltmarsh.names() == wanted
    saltmarsh.page.mouse.move(*saltmarsh.point(0.5, 0.2))
    assert saltmarsh.names() == ["Storm blue"]
    said = saltmarsh.page.locator(".under-glass [role=status]").inner_text()
    assert said == "Storm blue, Indigo, Gotland fleece"
    lit = saltmarsh.page.locator(".under-glass .stripes .on")
    assert lit.evaluate_all("all => all.map(each => each.style.background)") == ["rgb(46, 66, 87)"]
    saltmarsh.page.keyboard.press("Escape")


def test_by_keyboard_alone(saltmarsh: Sat) -> None:
    page = saltmarsh.page
    page.locator("a.glass").first.focus()
    page.keyboard.press("Enter")
    page.wait_for_selector(".under-glass .stage[data-ready=named]")
    dialog, stage = page.locator("dialog.under-glass"), page.locator(".under-glass .stage")
    assert dialog.evaluate("it => it.open && it.matches(':modal')")
    assert page.evaluate("document.activeElement.className") == "stage"
    page.keyboard.press("ArrowUp")
    for _ in range(8):
        page.keyboard.press("ArrowUp")
    assert saltmarsh.names() == ["Storm blue"]
    page.keyboard.press("+")
    page.keyboard.press("+")
    assert float(stage.get_attribute("data-scale")) == pytest.approx(2.56)
    assert saltmarsh.names() == ["Storm blue"]
    page.keyboard.press("-")
    page.keyboard.press("0")
    assert stage.get_attribute("data-scale") == "1.00"
    page.keyboard.press("Escape")
    assert not dialog.evaluate("it => it.open")
    assert page.evaluate("document.activeElement.className") == "glass"


def test_wheel_double_tap_and_pinch_come_closer(saltmarsh: Sat) -> None:
    stage, page = saltmarsh.opened(), saltmarsh.page
    middle = saltmarsh.point(0.5, 0.2)
    page.mouse.move(*middle)
    page.mouse.wheel(0, -120)
    page.wait_for_function("document.querySelector('.stage').dataset.scale > 1.2")
    assert saltmarsh.names() == ["Storm blue"]  # what was under the pointer stays there
    page.keyboard.press("0")
    page.mouse.dblclick(*middle)
    assert stage.get_attribute("data-scale") == "3.00"
    page.mouse.dblclick(*middle)
    assert stage.get_attribute("data-scale") == "1.00"
    page.evaluate("""() => {
        const stage = document.querySelector(".stage"), room = stage.getBoundingClientRect();
        stage.setPointerCapture = () => {};
        const finger = (kind, id, x) => stage.dispatchEvent(new PointerEvent(kind, {
            pointerId: id, pointerType: "touch", bubbles: true,
            clientX: room.left + x, clientY: room.top + 100}));
        finger("pointerdown", 11, 200); finger("pointerdown", 12, 300);
        finger("pointermove", 12, 400);
        finger("pointerup", 11, 200); finger("pointerup", 12, 400);
    }""")
    assert stage.get_attribute("data-scale") == "2.00"
    page.keyboard.press("Escape")


def test_the_dialog_is_labelled_and_accessible(saltmarsh: Sat) -> None:
    saltmarsh.opened(1)
    dialog = saltmarsh.page.get_by_role("dialog", name="2026-014 Saltmarsh")
    assert dialog.is_visible()
    saltmarsh.page.mouse.move(*saltmarsh.point(0.5, 0.5))
    assert saltmarsh.names() != []
    assert saltmarsh.said == []  # before axe, which says things of its own
    assert findings(saltmarsh) == []  # type: ignore[arg-type]
    saltmarsh.page.get_by_role("button", name="Close").click()
    assert saltmarsh.page.get_by_role("dialog").count() == 0


def test_what_the_script_reads_is_on_the_page_already(demo_site: Path) -> None:
    """Names, baths and fleeces are those that the lineage says."""
    page = (demo_site / "2026-014" / "index.html").read_text(encoding="utf-8")
    block = re.search(r'<script type="application/json" id="glass">(.*?)</script>', page)
    assert block
    rest = page.replace(block[0], "")
    for yarn in json.loads(block[1])["yarns"]:
        assert yarn["of"]
        for words in (yarn["name"], *yarn["of"]):
            assert words.split(" and ")[0] in rest, words


PHOTOS = {"rust": 1, "sky": 2}  # each all of one yarn
HELD = """() => {
    const real = Response.prototype.arrayBuffer;
    Response.prototype.arrayBuffer = async function () {
        Response.prototype.arrayBuffer = real;
        await new Promise(go => { window.letGo = go; });
        if (window.fails) throw new Error("a file that can't be read");
        return real.call(this);
    };
}"""


@pytest.fixture
def two(tmp_path: Path, context: Any) -> Sat:
    """A page with two photos; the first file of yarns asked for comes when it is let go."""
    told = {
        "title": "2026-014", "words": {"close": "Close", "how": "How"},
        "yarns": [{"name": name, "of": [], "colour": "#123456", "share": 0.5} for name in PHOTOS],
        "sights": [[[0], 0], [[1], 0]],
    }  # fmt: skip
    links = ""
    for name, number in PHOTOS.items():
        packed = base64.b64encode(zlib.compress(bytes([number]))).decode()
        (tmp_path / f"{name}.js").write_text(f"window.underGlass = [1, 1, '{packed}'];")
        links += f'<a class="glass" href="{name}.jpg" data-threads="{name}.js"><picture>'
        links += f'<img alt="{name}" width="60" height="80"></picture></a>\n'
    (tmp_path / "site.js").write_bytes(script(None))
    page = tmp_path / "index.html"
    page.write_text(
        f'<!doctype html><script src="site.js" defer></script>{links}'
        "<style>.stage {position: relative; width: 300px; height: 400px}"
        " .sheet {position: absolute; left: 50%; top: 50%}</style>"
        f'<script type="application/json" id="glass">{json.dumps(told)}</script>'
    )
    sat = Sat(context, page)
    sat.page.evaluate(HELD)
    sat.page.locator("a.glass").first.click()
    sat.page.wait_for_function("!!window.letGo", timeout=9000)
    return sat


def let_go(sat: Sat) -> list[str]:
    """What is named in the middle once the file that was held has come."""
    sat.page.evaluate("letGo()")
    sat.page.wait_for_timeout(50)
    sat.page.mouse.move(*sat.point(0.5, 0.5))
    sat.page.mouse.move(*sat.point(0.4, 0.5))
    return sat.names()


@pytest.mark.parametrize("is_closed", [True, False])
def test_the_photo_opened_last_is_named_though_the_first_ones_file_comes_later(
    two: Sat, is_closed: bool
) -> None:
    if is_closed:
        two.page.keyboard.press("Escape")
    two.page.evaluate("document.querySelectorAll('a.glass')[1].click()")
    two.page.wait_for_selector(".under-glass .stage[data-ready=named]")
    assert let_go(two) == ["sky"]
    assert two.said == []


def test_a_photo_opened_again_stays_named_though_its_first_file_fails(two: Sat) -> None:
    two.page.keyboard.press("Escape")
    two.page.locator("a.glass").first.click()
    two.page.wait_for_selector(".under-glass .stage[data-ready=named]")
    two.page.evaluate("window.fails = true")
    assert let_go(two) == ["rust"]
    assert two.page.locator(".stage").get_attribute("data-ready") == "named"


def test_each_script_is_strict_for_itself_alone() -> None:
    """They are joined in one file, where the first line of one would bind the other."""
    joined = script(None).decode()
    inside = re.findall(r'\(\(\) => \{\s*"use strict";', joined)
    assert len(inside) == joined.count('"use strict"') == len(SCRIPTS)
