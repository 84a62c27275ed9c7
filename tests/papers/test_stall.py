"""The stall in the pocket, opened from disk on a phone's width without a network: found, sold,
reserved, taken back, kept; and the whole circle: its code is photographed, `sell --from` brings the
day into the records, and one `undo` takes it out again."""

from __future__ import annotations

import io
import re
from datetime import date
from pathlib import Path
from typing import Any

import pytest
import zxingcpp
from click.testing import CliRunner
from PIL import Image

from provenance.build.counts import items_for
from provenance.build.opening import open_studio
from provenance.build.stall import stall_paper
from provenance.commands.main import main
from provenance.papers.sheets.frame import Display
from provenance.public.border import Border
from tests.in_chromium import skip_without_chromium
from tests.site.test_in_browser import findings

skip_without_chromium()

FAIR_DAY, NEXT_DAY = "2026-11-28T14:05:00", "1796000400"  # the phone's clock; 2026-11-30 at home
STUDIO = """\
studio: Brackenfold
maker: Isla Wren
site: https://brackenfold.example
pay: {any: 18.00}
contact: {phone: CANARYPHONE}
deposit: A third when it is begun.
prices: {round up to: 5}
"""
OUTLETS = """\
dale-fair: {kind: fair, place: Eskrigg hall, dates: 2026-11-28 to 2026-11-29, card fee: 1.75 %,
  fees: {table: 61.61}, notes: CANARYFAIR}
home: {kind: studio, language: de}
"""
WORK = """\
number: NUMBER
title: TITLE
kind: scarf
size: 180 x 28 cm
finished: 2026-10-01
yarns: [{use: weft, lot: grey-2ply, weight: 190 g}]
hours: {weaving: 6}
price: PRICE
at: dale-fair
notes: CANARYNOTES
photos: [{file: cloth.jpg, alt: A grey scarf}]
MORE"""
TITLES = {"2026-001": ("Ebb", "480", "status: reserved until 2026-12-05\n"),
          "2026-002": ("Fret", "300", ""), "2026-003": ("Hoar", "38.50", "makes: 6\n"),
          "2026-014": ("Saltmärsh", "1450", "kept: CANARYKEPT\n")}  # fmt: skip


@pytest.fixture(scope="module")
def folder(tmp_path_factory: Any, write_studio_in: Any) -> Path:
    texts = {
        "studio/studio.yaml": STUDIO,
        "studio/outlets.yaml": OUTLETS,
        "studio/yarns.yaml": "grey-2ply: {fibre: wool, weight: 4 kg, cost: 80.00}\n",
    }
    for number, (title, price, more) in TITLES.items():
        text = WORK.replace("NUMBER", number).replace("TITLE", title).replace("PRICE", price)
        texts[f"{number}.yaml"] = text.replace("MORE", more)
    home = write_studio_in(tmp_path_factory.mktemp("stall") / "pieces", texts)
    (home / "photos").mkdir()
    picture = Image.effect_noise((900, 1200), 60).convert("RGB")
    picture.save(home / "photos" / "cloth.jpg", comment=b"CANARYCOMMENT")
    return home


def made(home: Path, outlet: str = "dale-fair", day: date = date(2026, 11, 25)) -> Path:
    """The file alone, without the other papers of the outlet."""
    studio = open_studio(home, day)
    border = Border(studio).speaking(studio.outlet(outlet))
    worked = [studio.piece(number) for number in TITLES]
    items = {each.number: items_for(studio.book, each.record, studio.outlet(outlet))
             for each in worked}  # fmt: skip
    pieces = tuple(border.piece(number) for number in TITLES)
    display = Display(border.house, pieces, border.outlet(outlet), items)
    (paper,) = stall_paper(border, display, studio.outlet(outlet), worked)
    assert (paper.name, display.slips) == ("stall.html", [])
    path = home / paper.name
    path.write_bytes(paper.content)
    return path


def provenance(home: Path, clock: str, *words: str, code: int = 0) -> str:
    with pytest.MonkeyPatch.context() as patch:
        patch.setenv("SOURCE_DATE_EPOCH", clock)
        result = CliRunner().invoke(main, ["--studio", str(home), *words], catch_exceptions=False)
    assert result.exit_code == code, result.output
    return result.output


@pytest.fixture(scope="module")
def stall(folder: Path) -> Path:
    return made(folder)


class Phone:
    """One browser, its network cut, with a page on it that was opened from disk."""

    def __init__(self, context: Any, page: Path):
        self.said: list[str] = []
        self.asked: list[str] = []
        self.page = context.new_page()
        self.page.clock.set_fixed_time(FAIR_DAY)
        self.page.on("console", lambda message: self.said.append(message.text))
        self.page.on("pageerror", lambda error: self.said.append(str(error)))
        self.page.on("request", lambda request: self.asked.append(request.url))
        self.page.goto(page.as_uri())

    def open(self, number: str) -> None:
        self.page.locator(f"#n{number} button.row").click()

    def sold(self, number: str, way: str, price: str = "", items: str = "") -> None:
        self.open(number)
        if price:
            self.page.fill("#price", price)
        if items:
            self.page.select_option("#items", items)
        self.page.click(f"[data-way={way}]")

    def standing(self) -> list[str]:
        return self.page.locator("li[data-number] .standing").all_inner_texts()

    def part(self, name: str) -> None:
        self.page.click(f"nav [data-part={name}]")

    def table(self) -> list[str]:
        return self.page.locator("#sums table").first.inner_text().replace("\t", " ").split("\n")

    def codes(self) -> list[str]:
        """What a camera reads of each code on the screen."""
        found = []
        for each in self.page.locator("#codes svg").all():
            with Image.open(io.BytesIO(each.screenshot())) as seen:
                found.append(zxingcpp.read_barcode(seen).text)
        return found


@pytest.fixture(scope="module")
def context(browser: Any) -> Any:
    phone = {"width": 360, "height": 640}
    return browser.new_context(viewport=phone, offline=True, has_touch=True)


def fresh(context: Any, stall: Path) -> Phone:
    phone = Phone(context, stall)
    phone.page.evaluate("localStorage.clear()")
    phone.page.reload()
    return phone


def test_a_day_at_the_fair_comes_home(context: Any, stall: Path, folder: Path, tmp_path: Path):
    phone = fresh(context, stall)
    page = phone.page
    assert phone.standing() == ["Reserved until 5 December 2026", "", "6 left", ""]
    phone.sold("2026-014", "card")
    phone.sold("2026-003", "cash", items="2")
    phone.sold("2026-003", "card", price="35")
    phone.sold("2026-001", "cash", price="450")
    phone.open("2026-002")
    page.fill("#until", "2026-12-12")
    page.click("#keep")
    assert phone.standing() == ["Sold", "Reserved until 12 December 2026", "3 left", "Sold"]
    page.click("#said button")  # taken back at once
    assert phone.standing()[1] == ""
    page.reload()
    assert phone.standing() == ["Sold", "", "3 left", "Sold"]
    phone.part("takings")
    assert phone.table() == [
        "Today, 28 November 2026", "Card £1,485", "Cash £527", "5 sold, in all £2,012",
    ]  # fmt: skip
    page.get_by_role("button", name="Take back: 2026-001 Ebb: sold for £450, cash").click()
    assert phone.table()[2:] == ["Cash £77", "4 sold, in all £1,562"]
    page.get_by_role("button", name="Put back: 2026-001 Ebb: sold for £450, cash").click()
    page.get_by_role("button", name="Put back: 2026-002 Fret: Reserved").click()
    phone.part("home")
    lines = page.input_value("#lines")
    assert [re.sub(" #..$", "", line) for line in lines.splitlines()] == [
        "stall dale-fair", "2026-014 sold 1450 card 2026-11-28",
        "2026-003 sold 2 x 38.50 cash 2026-11-28", "2026-003 sold 35 card 2026-11-28",
        "2026-001 sold 450 cash 2026-11-28", "2026-002 reserved 2026-12-12",
    ]  # fmt: skip
    assert phone.codes() == [lines.rstrip()]
    with page.expect_download() as download:
        page.click("#save")
    assert Path(download.value.path()).read_text() == lines
    assert download.value.suggested_filename == "stall-dale-fair-2026-11-28.txt"
    assert (phone.said, set(phone.asked) - {stall.as_uri()}) == ([], set(page_data(phone)))
    photo = tmp_path / "photo.png"
    page.locator("#codes").screenshot(path=photo)
    page.close()

    before = {path: path.read_text() for path in folder.glob("*.yaml")}
    said = provenance(folder, NEXT_DAY, "sell", "--from", str(photo), "--yes", code=1)
    assert "photo.png:4:1: 2026-003 is £38.50 by its record, and was sold for £35\n" in said
    provenance(folder, NEXT_DAY, "sell", "--from", str(photo), "--anyway", "--yes")
    sale = "{on: 2026-11-28, price: PRICE, at: dale-fair, kept back: KEPT}"
    added = {
        "2026-001": ("status: reserved until 2026-12-05\n",
                     "status: sold\nsale: " + sale.replace("PRICE", "450").replace("KEPT", "0")),
        "2026-002": ("at: dale-fair\n", "at: dale-fair\nstatus: reserved until 2026-12-12"),
        "2026-003": ("at: dale-fair\n", "at: dale-fair\nsales:\n"
                     "  - {on: 2026-11-28, price: 38.50, at: dale-fair, items: 2, kept back: 0}\n"
                     "  - " + sale.replace("PRICE", "35").replace("KEPT", "0.61")),
        "2026-014": ("at: dale-fair\n", "at: dale-fair\nsale: "
                     + sale.replace("PRICE", "1450").replace("KEPT", "25.38")),
    }  # fmt: skip
    for path, text in before.items():
        old, new = added[path.stem]
        assert path.read_text() == text.replace(old, f"{new}\n"), path
    provenance(folder, NEXT_DAY, "undo", "--yes")
    assert {path: path.read_text() for path in before} == before


def page_data(phone: Phone) -> list[str]:
    """Addresses that hold what they lead to, and the file that was saved."""
    return [url for url in phone.asked if url.startswith(("data:", "blob:"))]


def test_it_is_found_by_number_and_by_word(context: Any, stall: Path):
    phone = fresh(context, stall)
    rows = phone.page.locator("li[data-number]:visible .number")
    for asked, found in {
        "14": ["2026-014"], "2026-003": ["2026-003"], "saltmarsh": ["2026-014"],
        "scarf hoar": ["2026-003"], "wool": list(TITLES), "velvet": [],
    }.items():  # fmt: skip
        phone.page.fill("#find", asked)
        assert rows.all_inner_texts() == found, asked
    assert phone.page.locator("#none").inner_text() == "Nothing here is called so."
    phone.page.close()


def test_many_sales_are_several_codes(context: Any, stall: Path):
    phone = fresh(context, stall)
    for _ in range(6):
        phone.sold("2026-003", "card", price="38.50")
    assert phone.standing()[2] == "Sold"
    phone.part("home")
    (line,) = phone.page.input_value("#lines").splitlines()[1:]
    assert line.startswith("2026-003 sold 6 x 38.50 card 2026-11-28 #")  # alike ones are one line
    phone.part("pieces")
    for turn in range(2):  # reserved again and again: only the last counts
        phone.open("2026-002")
        phone.page.fill("#until", f"2026-12-0{turn + 1}")
        phone.page.click("#keep")
    phone.page.evaluate(
        "Array.from({length: 12}, (_, n) => note({number: `2026-1${n + 10}`, title: 'Gone', "
        "did: 'sold', price: 9900, items: 1, way: 'other'})); show()"
    )
    phone.part("home")
    lines = phone.page.input_value("#lines").splitlines()
    found = [code.splitlines() for code in phone.codes()]
    assert len(found) == 2
    assert {code[0] for code in found} == {lines[0]}
    assert [line for code in found for line in code[1:]] == lines[1:]
    assert [line[:28] for line in lines if "reserved" in line] == ["2026-002 reserved 2026-12-02"]
    phone.page.close()


def test_slips_of_the_hand_on_the_phone(context: Any, stall: Path):
    phone = fresh(context, stall)
    for price in ("", "0", "abc", "12.345", "-4"):
        phone.sold("2026-002", "card", price=price or " ")
        said = phone.page.locator("#wrong").inner_text()
        assert said == "Write the price as a number, such as 480 or 38.50."
        phone.page.click(".close")
    phone.sold("2026-002", "card", price="1 250,50")
    phone.part("takings")
    assert phone.table()[1] == "Card £1,250.50"
    phone.page.close()


def test_a_newer_file_of_the_same_fair_keeps_the_ticks(
    context: Any, stall: Path, folder: Path, tmp_path: Path
):
    """What the records have by then is not counted twice."""
    phone = fresh(context, stall)
    phone.sold("2026-003", "cash", items="2")
    phone.sold("2026-002", "card")
    phone.page.close()
    sets = folder / "2026-003.yaml"
    before = sets.read_text()
    sets.write_text(f"{before}sales: [{{on: 2026-11-28, price: 38.50, at: dale-fair, items: 2}}]\n")
    kept = stall.read_bytes()
    made(folder, day=date(2026, 11, 30))
    later = Phone(context, stall)
    assert later.standing() == ["Reserved until 5 December 2026", "Sold", "4 left", ""]
    later.page.close()
    sets.write_text(before)
    stall.write_bytes(kept)


def test_a_reservation_of_the_record_that_ends_at_the_stall_comes_home(context: Any, stall: Path):
    """One that only the phone knew of leaves no line."""
    phone = fresh(context, stall)
    phone.open("2026-002")
    phone.page.click("#keep")
    for number in ("2026-001", "2026-002"):
        phone.open(number)
        phone.page.click("#free")
    phone.part("home")
    lines = phone.page.input_value("#lines").splitlines()[1:]
    assert [re.sub(" #..$", "", line) for line in lines] == ["2026-001 freed"]
    phone.page.close()


def test_where_nothing_is_kept_it_is_said(context: Any, stall: Path):
    page = context.new_page()
    page.add_init_script(
        "Object.defineProperty(window, 'localStorage', {get() { throw new Error('shut'); }})"
    )
    page.goto(stall.as_uri())
    assert page.locator("#forgetful").is_visible()
    page.locator("#n2026-002 button.row").click()
    page.click("[data-way=card]")
    assert page.locator("#n2026-002 .standing").inner_text() == "Sold"
    page.close()


def test_notes_that_can_not_be_read_are_put_aside(context: Any, stall: Path):
    phone = fresh(context, stall)
    phone.page.evaluate("localStorage.setItem(KEY, '[{\"number\": 7')")
    phone.page.reload()
    assert phone.page.locator("#damaged").is_visible()
    aside = "Object.keys(localStorage).filter(key => key.includes('damaged')).length"
    assert phone.page.evaluate(aside) == 1
    phone.page.close()


def test_a_piece_can_be_shown_across_the_stall(context: Any, stall: Path):
    phone = fresh(context, stall)
    phone.open("2026-002")
    sheet = phone.page.locator("#sheet")
    shown = sheet.inner_text()
    for told in ("Fret", "2026-002", "£300", "100 % wool", "H 180 × W 28 cm",
                 "A third when it is begun."):  # fmt: skip
        assert told in shown
    photo = sheet.locator("img").bounding_box()
    assert photo["width"] >= 240 and photo["height"] >= 320
    # 300 by area: (135 x 21) / (180 x 28) = 0.5625 -> 168.75, up to 170; (225 x 35) -> 468.75
    rows = [row.inner_text().split("\t") for row in sheet.locator("tbody tr").all()]
    assert [row[1] for row in rows] == ["£170", "£300", "£470"]
    phone.page.close()


@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_it_can_be_used_by_everybody(context: Any, stall: Path, scheme: str):
    """axe-core finds nothing in any part; every target is 44 px; nothing hangs over at 320 px."""
    phone = fresh(context, stall)
    page = phone.page
    page.emulate_media(color_scheme=scheme)
    page.set_viewport_size({"width": 320, "height": 640})
    phone.sold("2026-003", "card")
    places = ("pieces", "takings", "home", "sheet")
    for place in places:
        phone.open("2026-002") if place == "sheet" else phone.part(place)
        assert findings(phone) == [], place
        assert page.evaluate("document.documentElement.scrollWidth") <= 320
        small = page.evaluate(
            "[...document.querySelectorAll('button, input, select')].filter(each => "
            "each.checkVisibility()).map(each => [each.textContent, each.getBoundingClientRect()])"
            ".filter(([, box]) => box.width < 44 || box.height < 44).map(([name]) => name)"
        )
        assert small == [], place
        if place == "home":
            phone.part("pieces")
    page.close()


def test_its_policy_lets_nothing_in(context: Any, stall: Path):
    """A picture from elsewhere, a script and a style that are not its own."""
    phone = fresh(context, stall)
    stopped = phone.page.evaluate(
        """async () => {
        const found = [];
        document.addEventListener("securitypolicyviolation",
          each => found.push(each.effectiveDirective));
        new Image().src = "https://brackenfold.example/seen.png";
        document.head.append(make("script", {}, "window.strange = 1"), make("style", {}, "p{}"));
        await fetch("https://brackenfold.example/").catch(() => {});
        await new Promise(done => setTimeout(done, 200));
        return [window.strange ?? 0, ...found.sort()];
        }"""
    )
    assert stopped == [0, "connect-src", "img-src", "script-src-elem", "style-src-elem"]
    phone.page.close()


def test_without_script_it_can_be_read(context: Any, stall: Path):
    phone = context.browser.new_context(viewport={"width": 360, "height": 640},
                                        java_script_enabled=False)  # fmt: skip
    page = phone.new_page()
    page.goto(stall.as_uri())
    shown = page.locator("body").inner_text()
    for told in ("Here the list can only be read.", "Saltmärsh", "£1,450", "100 % wool"):
        assert told in shown
    assert page.locator("#find, nav, #takings, #home, #said").locator("visible=true").count() == 0
    phone.close()


def test_it_asks_for_nothing_and_tells_nothing_private(stall: Path):
    raw = stall.read_bytes()
    page = raw.decode()
    assert b"CANARY" not in raw
    for figure in ("61.61", "80.00", "1.75", "18.00"):
        assert figure not in re.sub(r"base64,[\w+/=]+", "", page)
    policy = re.search(r'Content-Security-Policy" content="([^"]+)"', page)
    assert policy is not None
    assert policy[1].startswith("default-src &#39;none&#39;; img-src data:; font-src data:; ")
    assert "unsafe" not in policy[1]
    assert not re.search(r'(?:src|href)="(?!data:)', page)
    assert "no costs, no buyers, no fees" in page


def test_sixty_pieces_weigh_less_than_five_million_bytes(stall: Path):
    """Photos of noise, which no cloth is as hard to write down as: each within its own bytes."""
    held = re.findall(r'src="data:image/webp;base64,([^"]+)"', stall.read_text())
    assert len(held) == len(TITLES)
    assert max(map(len, held)) * 60 < 4_300_000
    rest = len(stall.read_bytes()) - sum(map(len, held))
    assert rest < 250_000


def test_an_open_studio_in_german(folder: Path):
    """The words of the page are the outlet's."""
    for path in folder.glob("*.yaml"):
        path.write_text(path.read_text().replace("at: dale-fair", "at: home"))
    page = made(folder, "home").read_text()
    assert '<html lang="de">' in page
    for words in ("Suchen nach Nummer oder Wort", "Wer dieses Telefon in der Hand hat"):
        assert words in page
    assert "Find by" not in page
