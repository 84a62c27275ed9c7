"""The desk as a maker meets it, in Chromium: a mistake at its line and the last good page, saving
here and elsewhere, both texts where two wrote, words completed, photos dropped, deeds shown before
they are done; keyboard alone, accessible in both schemes, nothing asked of anybody else."""

from __future__ import annotations

import shutil
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

from tests.conftest import ROOT
from tests.desk.at_the_desk import Sitting, desk_of
from tests.in_chromium import skip_without_chromium

skip_without_chromium()

RECORD = "2026-014-saltmarsh.yaml"
ROOMS = ("/", "/pieces", "/dyebook", "/shelf", "/commissions", "/shows", "/studio", f"/at/{RECORD}")
WIDTHS = (320, 360, 768, 1280)
_NOT_PAPERS = shutil.ignore_patterns("papers", ".printed", "printed.yaml", "certificates")


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory, kept_cache: Path) -> Path:
    home = tmp_path_factory.mktemp("desk") / "pieces"
    shutil.copytree(ROOT / "pieces", home, ignore=_NOT_PAPERS)
    return home


@pytest.fixture(scope="module")
def key(folder: Path) -> Iterator[str]:
    with desk_of(folder) as address:
        yield address


@pytest.fixture(autouse=True)
def as_it_was(folder: Path) -> Iterator[None]:
    before = {path: path.read_bytes() for path in folder.rglob("*.yaml")}
    yield
    for path in folder.rglob("*.yaml"):
        if path not in before:
            path.unlink()
        elif path.read_bytes() != before[path]:
            path.write_bytes(before[path])


def findings(page: Any) -> list[str]:
    from axe_playwright_python.sync_playwright import Axe

    found = Axe().run(page).response["violations"]
    return [f"{each['id']}: {each['nodes'][0]['html'][:160]}" for each in found]


def replace_word(page: Any, line: str, old: str, new: str) -> None:
    """As a maker would: click behind the word, take it back letter by letter, type."""
    row = page.locator(".cm-line", has_text=line)
    row.click()
    page.keyboard.press("End")
    steps = len(row.inner_text()) - row.inner_text().index(old) - len(old)
    for _ in range(steps):
        page.keyboard.press("ArrowLeft")
    for _ in old:
        page.keyboard.press("Backspace")
    page.keyboard.type(new)
    page.keyboard.press("Escape")


@pytest.mark.parametrize("scheme, opened", [("light", 1280), ("dark", 320)])
def test_every_room_is_accessible_uncut_and_asks_nobody(
    browser: Any, key: str, scheme: str, opened: int
) -> None:
    """Opened narrow and wide, nothing is cut off at the side there and when the window is drawn to
    other widths."""
    with Sitting(browser, key, scheme=scheme) as sitting:
        sitting.page.goto(key)  # as a maker comes in
        for path in ROOMS:
            sitting.is_wide(opened)
            page = sitting.go(path)
            page.locator("h1").wait_for()
            for width in (opened, *sorted({*WIDTHS} - {opened})):  # 1280 is the last in the dark
                sitting.is_wide(width)
                seen = page.evaluate("[innerWidth, document.documentElement.scrollWidth]")
                assert seen[0] == width
                assert seen[1] <= width, path
                if width == 1280:
                    assert sitting.wrong == [], path
                    assert findings(page) == [], path
                    sitting.said.clear()  # axe says things of its own
            assert sitting.wrong == [], path
        assert sitting.foreign == []


def test_a_mistake_stands_at_its_line_and_the_last_good_page_stays(
    browser: Any, key: str, folder: Path
) -> None:
    with Sitting(browser, key) as sitting:
        page = sitting.go(f"/at/{RECORD}")
        seen = page.frame_locator("#panel-page iframe:not(.coming)")
        seen.locator("h1").wait_for(timeout=90_000)  # its pictures are made for the first time
        replace_word(page, "lot: marsh-green", "marsh-green", "marsh-gren")
        assert page.locator("#seen-line").inner_text() == "Not saved yet"
        page.keyboard.press("Control+s")
        problem = page.locator(".cm-mistake")
        problem.wait_for()
        assert problem.locator(".cm-what").inner_text() == "no lot called 'marsh-gren'"
        line = page.locator(".cm-line", has_text="marsh-gren").bounding_box()
        assert line and problem.bounding_box()["y"] >= line["y"] + line["height"] - 1
        page.locator("#last-good").wait_for()
        assert seen.locator("h1").inner_text().split() == ["2026-014", "Saltmarsh"]
        page.locator("#heard", has_text="no lot called 'marsh-gren'").wait_for()
        page.get_by_role("button", name="Put ‘marsh-green’").click()
        page.keyboard.press("Control+s")
        problem.wait_for(state="detached")
        page.locator("#last-good").wait_for(state="hidden")
        assert (folder / RECORD).read_bytes() == (ROOT / "pieces" / RECORD).read_bytes()
        assert sitting.wrong == []


def test_what_is_saved_is_seen(browser: Any, key: str, folder: Path) -> None:
    with Sitting(browser, key) as sitting:
        page = sitting.go(f"/at/{RECORD}")
        seen = page.frame_locator("#panel-page iframe:not(.coming)")
        seen.locator("h1", has_text="Saltmarsh").wait_for()
        replace_word(page, "title: Saltmarsh", "Saltmarsh", "Spring Tide")
        page.get_by_role("button", name="Save").click()
        seen.locator("h1", has_text="Spring Tide").wait_for()
        before = (ROOT / "pieces" / RECORD).read_text(encoding="utf-8")
        after = before.replace("title: Saltmarsh", "title: Spring Tide")
        assert (folder / RECORD).read_text(encoding="utf-8") == after


def test_what_another_editor_saves_appears_unless_something_is_typed(
    browser: Any, key: str, folder: Path
) -> None:
    path = folder / RECORD
    text = path.read_text(encoding="utf-8")
    with Sitting(browser, key) as sitting:
        page = sitting.go(f"/at/{RECORD}")
        page.locator(".cm-line", has_text="price: 1450").wait_for()
        path.write_text(text.replace("price: 1450", "price: 1500"), encoding="utf-8")
        page.locator(".cm-line", has_text="price: 1500").wait_for()
        replace_word(page, "title: Saltmarsh", "Saltmarsh", "Mine")
        path.write_text(text.replace("price: 1450", "price: 1600"), encoding="utf-8")
        both = page.locator("#conflict")
        both.wait_for()
        assert "title: Mine" in both.inner_text() and "price: 1600" in both.inner_text()
        page.get_by_role("button", name="Take what lies there").click()
        page.locator(".cm-line", has_text="price: 1600").wait_for()
        assert page.locator(".cm-line", has_text="title: Saltmarsh").count() == 1
        assert "price: 1600" in path.read_text(encoding="utf-8")


def test_words_are_completed_by_keyboard(browser: Any, key: str) -> None:
    with Sitting(browser, key) as sitting:
        page = sitting.go(f"/at/{RECORD}")
        replace_word(page, "lot: rust", "rust", "storm")
        page.keyboard.press("Control+Space")
        page.get_by_role("option", name="storm-blue").wait_for()
        page.wait_for_timeout(100)  # who types on into a list that just opened doesn't mean it
        page.keyboard.press("Enter")
        assert page.locator(".cm-line", has_text="lot: storm-blue, weight: 130 g").count() == 1


def test_tab_leaves_the_text_and_indents_only_who_indents(browser: Any, key: str) -> None:
    with Sitting(browser, key) as sitting:
        page = sitting.go(f"/at/{RECORD}")
        page.locator(".cm-content").focus()
        page.keyboard.press("Tab")
        assert not page.evaluate("document.activeElement.classList.contains('cm-content')")
        page.locator(".cm-line", has_text="hours:").click()
        page.keyboard.press("Home")
        page.keyboard.press("Tab")
        assert page.locator(".cm-line", has_text="hours:").inner_text() == "  hours:"
        page.keyboard.press("Escape")
        page.keyboard.press("Tab")
        assert not page.evaluate("document.activeElement.classList.contains('cm-content')")


def test_who_leaves_with_unsaved_text_is_asked(browser: Any, key: str) -> None:
    with Sitting(browser, key) as sitting:
        page, asked = sitting.go(f"/at/{RECORD}"), []
        page.on("dialog", lambda dialog: (asked.append(dialog.type), dialog.dismiss()))
        replace_word(page, "title: Saltmarsh", "Saltmarsh", "Mine")
        page.get_by_role("link", name="Shelf", exact=True).click(no_wait_after=True)
        page.wait_for_function("document.body.classList.contains('unsaved')")
        assert asked == ["beforeunload"]


def test_a_photo_is_dropped_and_asked_what_it_shows(
    browser: Any, key: str, folder: Path, tmp_path: Path
) -> None:
    from PIL import Image

    photo = tmp_path / "IMG 2041.jpg"
    Image.new("RGB", (900, 600), "#6f7a38").save(photo)
    with Sitting(browser, key) as sitting:
        page = sitting.go(f"/at/{RECORD}")
        page.locator("#photo-files").set_input_files(photo)
        words = page.get_by_label("What it shows")
        words.wait_for()
        assert page.locator("#photo-list canvas").count() == 1
        words.fill("The selvedge, close")
        page.get_by_role("button", name="Write it into the record").click()
        page.locator(".cm-line", has_text="The selvedge, close").wait_for()
        assert sitting.wrong == []


def test_a_deed_shows_its_lines_before_it_is_done(browser: Any, key: str, folder: Path) -> None:
    with Sitting(browser, key) as sitting:
        page = sitting.go(f"/at/{RECORD}")
        page.get_by_role("button", name="New price").click()
        page.get_by_label("New price, or +8%").fill("1600")
        page.get_by_role("button", name="Show what changes").click()
        page.locator(".change del").wait_for()
        assert page.locator(".change del").inner_text() == "price: 1450"
        assert page.locator(".change ins").inner_text() == "price: 1600"
        assert "price: 1450" in (folder / RECORD).read_text(encoding="utf-8")
        page.get_by_role("button", name="Do it").click()
        page.locator(".cm-line", has_text="price: 1600").wait_for()


def test_the_tabs_are_walked_by_arrows(browser: Any, key: str) -> None:
    with Sitting(browser, key) as sitting:
        page = sitting.go(f"/at/{RECORD}")
        page.get_by_role("tab", name="Page").focus()
        for name in ("Tag", "Certificate", "Cost"):
            page.keyboard.press("ArrowRight")
            assert page.evaluate("document.activeElement.textContent") == name
        page.locator("#panel-cost table").first.wait_for()
        assert page.locator("[role=tabpanel]:visible").count() == 1
        assert findings(page) == []


def test_on_a_phone_one_side_at_a_time(browser: Any, key: str) -> None:
    with Sitting(browser, key) as sitting:
        sitting.is_wide(360)
        page = sitting.go(f"/at/{RECORD}")
        assert page.locator(".cm-content").is_visible()
        assert not page.get_by_role("tab", name="Page").is_visible()
        page.get_by_role("button", name="What becomes of it").click()
        assert page.get_by_role("tab", name="Page").is_visible()
        assert not page.locator(".cm-content").is_visible()


def test_who_may_only_look_is_offered_nothing_else(
    browser: Any, folder: Path, tmp_path: Path
) -> None:
    other = tmp_path / "pieces"
    shutil.copytree(folder, other)
    with desk_of(other, "--only-look") as only, Sitting(browser, only) as sitting:
        for path in ROOMS:
            page = sitting.go(path)
            page.locator("h1").wait_for()
            told = page.locator("button:visible:not([role=tab])").all_inner_texts()
            assert [each for each in told if each not in ("Show",)] == [], path
        assert page.locator(".cm-content").get_attribute("aria-readonly") == "true"


def test_sell_and_move_offer_the_outlets(browser: Any, key: str) -> None:
    with Sitting(browser, key) as sitting:
        page = sitting.go(f"/at/{RECORD}")
        for deed in ("Sell", "Move"):
            page.get_by_role("button", name=deed, exact=True).click()
            box = page.get_by_label("Outlet", exact=True)
            box.wait_for()
            assert box.evaluate("each => each.list.options.length") > 0
        assert sitting.wrong == []


def test_what_another_saves_just_after_mine_opens_the_conflict(browser: Any, key: str) -> None:
    with Sitting(browser, key) as sitting:
        page = sitting.go(f"/at/{RECORD}")

        def meanwhile(route: Any) -> None:
            answer = route.fetch()
            sent = answer.json()
            sent["text"], sent["digest"] = sent["text"].replace("1450", "1600"), "theirs"
            route.fulfill(response=answer, json=sent)

        page.route("**/save", meanwhile)
        replace_word(page, "title: Saltmarsh", "Saltmarsh", "Mine")
        page.get_by_role("button", name="Save").click()
        page.locator("#conflict").wait_for()
        assert "price: 1600" in page.locator("#conflict").inner_text()
        assert page.locator(".cm-line", has_text="title: Mine").count() == 1


def test_a_conflict_leaves_the_focus_where_it_is(browser: Any, key: str, folder: Path) -> None:
    path = folder / RECORD
    with Sitting(browser, key) as sitting:
        page = sitting.go(f"/at/{RECORD}")
        replace_word(page, "title: Saltmarsh", "Saltmarsh", "Mine")
        path.write_text(path.read_text(encoding="utf-8").replace("1450", "1600"), encoding="utf-8")
        page.locator("#conflict").wait_for()
        assert page.evaluate("document.activeElement.classList.contains('cm-content')")
        assert page.locator("#conflict button").first.inner_text() == "Decide later"
