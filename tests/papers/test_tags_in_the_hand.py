"""Tags as they are met: sizes of letters in the file, codes on a worn print, stubs at a fair.

Sizes are read from the finished PDF by PDFium, codes by zxing-cpp from its picture at 150 dots an
inch. What is asked of them: a title of 20 pt, a number of 11, the maker's name in 9, plain words of
8 to 9, of one size on a sheet; codes read blurred and under a blot.
"""

import random
from collections.abc import Iterator
from ctypes import byref, c_float, c_uint
from datetime import date
from itertools import pairwise

import pypdfium2
import pypdfium2.raw as pdfium
import pytest
import zxingcpp
from PIL import Image, ImageDraw, ImageFilter

from provenance.build.tags import TagRun, Wishes, print_tags
from provenance.figures.flow.gather import studio_flow
from provenance.public.border import Border
from provenance.records.book import read_book
from provenance.records.printing import size_of
from provenance.studio import Studio

MM = 25.4 / 72
STUDIO = """studio: Brackenfold
maker: Isla Wren
place: Eskrigg Dale
site: {site}
labels for: [UK]
origin: Made in England
pay: {{any: 20}}
prices: {{shown on site: yes}}
{more}"""
OUTLETS = """dale-fair: {kind: fair, place: Eskrigg hall, dates: 2026-11-28 to 2026-11-29}
quay: {kind: gallery}
guild-shop: {kind: guild, tag fields: [number, title, kind, fibres, care, price]}
"""
TITLES = ("Ebb", "Owl Light", "Lambing Snow", "Saltmarsh", "Peat Hag")
PIECE = """number: 2026-{number:03d}
title: {title}
kind: {kind}
size: 190 x 60 cm
price: {price}
hours: {{weaving: 20}}
at: {at}
yarns:
  - {{use: weft, fleece: gotland, weight: 90 g, dyes: {{weld: 20 %}}, colour: "#c3a23c"}}
  - {{use: weft, fleece: gotland, weight: 60 g, dyes: {{madder: 20 %}}, colour: "#a4523a"}}
  - {{use: warp, fleece: shetland, weight: 40 g, colour: "#ece3cf"}}
"""
SITES = {
    "short": "https://wren.example",
    "usual": "https://brackenfold.example",
    "long": "https://www.isla-wren-handweaving.example",
    "folder": "https://makers.example/isla",
}


@pytest.fixture
def setting(tmp_path):
    """Ten pieces of a studio at a site; all hang at one outlet."""

    def make(site="usual", at="studio", more="", kinds=("shawl",)):
        folder = tmp_path / "pieces"
        (folder / "studio").mkdir(parents=True, exist_ok=True)
        lot = "{weight: 40 kg, cost: 90, breed: "
        texts = {
            "studio": STUDIO.format(site=SITES[site], more=more),
            "outlets": OUTLETS + "studio: {kind: studio}\n",
            "fleece": f"gotland: {lot}Gotland}}\nshetland: {lot}Shetland}}\n",
            "dyestuffs": "weld: {weight: 2 kg, cost: 20}\nmadder: {weight: 2 kg, cost: 20}\n",
        }
        for name, text in texts.items():
            (folder / "studio" / f"{name}.yaml").write_text(text, encoding="utf-8")
        for number in range(1, 11):
            title, kind = TITLES[number % 5], kinds[number % len(kinds)]
            text = PIECE.format(number=number, title=title, kind=kind, price=100 * number, at=at)
            (folder / f"2026-{number:03d}.yaml").write_text(text, encoding="utf-8")
        book, problems = read_book(folder)
        assert not [str(each) for each in problems if not each.is_remark]
        return Border(Studio(book, studio_flow(book), {}, date(2026, 11, 25)))

    return make


def sizes(run: TagRun, page: int = 0) -> Iterator[tuple[str, float, tuple[int, ...]]]:
    """Each run of letters on a page of tags: what it says, its size in points, its colour."""
    sheet = pypdfium2.PdfDocument(run.content)[page]
    words = sheet.get_textpage()
    for thing in sheet.get_objects(filter=[pdfium.FPDF_PAGEOBJ_TEXT], max_depth=5):
        size = c_float()
        pdfium.FPDFTextObj_GetFontSize(thing, byref(size))
        matrix, holder = thing.get_matrix(), thing.container
        while holder:
            matrix, holder = matrix.multiply(holder.get_matrix()), holder.container
        ink = [c_uint() for _ in range(4)]
        pdfium.FPDFPageObj_GetFillColor(thing, *map(byref, ink))
        left, bottom, right, top = thing.get_bounds()
        said = words.get_text_bounded(left - 0.5, bottom - 0.5, right + 0.5, top + 0.5).strip()
        points = size.value * abs(matrix.d or matrix.b)
        yield said, round(points, 2), tuple(part.value for part in ink[:3])


def test_letters_on_a_normal_tag_have_the_sizes_of_the_hand(setting):
    found = list(sizes(print_tags(setting(), Wishes())))
    by_words: dict[str, set[float]] = {}
    for said, points, _ in found:
        by_words.setdefault(said, set()).add(points)
    assert by_words["Owl Light"] == by_words["Saltmarsh"] == {20.0}
    assert by_words["2026-001"] == {11.0}
    assert by_words["Isla Wren"] == {9.0}
    assert by_words["£300"] == {21.0}
    assert len(by_words["100 % wool"]) == 1  # one size for the whole sheet
    assert 8 <= min(by_words["100 % wool"]) <= 9
    tags = [each for each in found if not each[0].startswith(("Brackenfold, hang", "100 mm."))]
    assert min(points for _, points, _ in tags) >= 7
    assert {ink for _, _, ink in tags} == {(0, 0, 0)}


@pytest.mark.parametrize("size", ["50 x 66 mm", "85 x 55 mm", "2 x 3.5 in"])
def test_no_letter_is_under_seven_points_on_small_tags(setting, size):
    run = print_tags(setting(), Wishes(size=size_of(size)))
    assert not run.problems
    assert min(points for _, points, _ in sizes(run)) >= 7


def test_a_tag_without_code_fills_its_space(setting):
    """No gap between two lines is a third of the tag, and plain words are 9 pt at least."""
    run = print_tags(setting(at="guild-shop"), Wishes(outlet="guild-shop"))
    found = list(sizes(run))
    assert min(points for said, points, _ in found if said == "100 % wool") >= 9
    for tag in run.tags:
        lines = sorted(
            float(block.baseline + turn * block.leading)
            for block in tag.blocks
            for turn in range(len(block.lines))
        )
        gaps = [after - before for before, after in pairwise(lines)]
        assert max(gaps) < 30 / 2 and lines[-1] > 80


def prints(run: TagRun, dpi: int = 150) -> list[Image.Image]:
    """Each code of a run, cut out of the drawn sheet with a little of its surroundings."""
    cut = []
    for sheet in pypdfium2.PdfDocument(run.content):
        scale = dpi / 72
        drawn = sheet.render(scale=scale, grayscale=True).to_pil()
        for thing in sheet.get_objects(filter=[pdfium.FPDF_PAGEOBJ_IMAGE], max_depth=5):
            left, bottom, right, top = thing.get_bounds()
            if right - left < 30 / MM and thing.get_px_size()[0] < 100:
                high = sheet.get_height()
                box = (left * scale, (high - top) * scale, right * scale, (high - bottom) * scale)
                cut.append(drawn.crop(tuple(map(round, box))))
    return cut


def read(pictures: list[Image.Image]) -> int:
    found = (zxingcpp.read_barcodes(picture) for picture in pictures)
    return len({codes[0].text for codes in found if codes})


PRINTS = [(site, False, "55 x 90 mm") for site in SITES]
PRINTS += [
    ("usual", True, "55 x 90 mm"),
    ("usual", True, "50 x 66 mm"),
    ("usual", False, "85 x 55 mm"),
]


@pytest.mark.parametrize(("site", "black", "size"), PRINTS)
def test_ten_of_ten_codes_are_read_from_a_worn_print(setting, site, black, size):
    """At 150 dots an inch under a blur of 1.2 dots; under blots, eight of ten.

    A normal tag: a fifth of the area gone at the free corner, and a round blot of an eighth of it
    anywhere but on the eyes. Small tags have room for less correction: a blot a quarter as wide as
    the code.
    """
    run = print_tags(setting(site), Wishes(black=black, size=size_of(size), stub=False))
    whole = prints(run)
    assert len(whole) == 10
    assert read([each.filter(ImageFilter.GaussianBlur(1.2)) for each in whole]) == 10
    chance, large = random.Random(7), prints(run, 300)
    modules = next(iter(run.codes.values())).modules
    if size == "55 x 90 mm":
        assert {code.level for code in run.codes.values()} == {"H"}
        assert read([cornered(each, modules, 0.2) for each in large]) >= 8
        assert read([blotted(each, modules, 0.4, chance) for each in large]) >= 8
    else:
        assert read([blotted(each, modules, 0.25, chance) for each in large]) >= 8


def cornered(picture: Image.Image, modules: int, share: float) -> Image.Image:
    """A smudge over that share of the symbol, at its corner without an eye."""
    marred, module = picture.copy(), picture.width / (modules + 8)
    side, end = modules * share**0.5 * module, (modules + 4) * module
    ImageDraw.Draw(marred).rectangle((end - side, end - side, end, end), fill=90)
    return marred


def blotted(picture: Image.Image, modules: int, width: float, chance: random.Random) -> Image.Image:
    """A round blot of that share of the symbol's width, clear of its three eyes."""
    marred, module, radius = picture.copy(), picture.width / (modules + 8), modules * width / 2
    while True:
        x, y = (chance.uniform(radius, modules - radius) for _ in range(2))
        eyes = ((0, 0), (modules - 8, 0), (0, modules - 8))
        apart = (max(a - x, 0, x - a - 8) ** 2 + max(b - y, 0, y - b - 8) ** 2 for a, b in eyes)
        if min(apart) > radius**2:
            break
    box = tuple((each + 4) * module for each in (x - radius, y - radius, x + radius, y + radius))
    ImageDraw.Draw(marred).ellipse(box, fill=90)
    return marred


@pytest.mark.parametrize(("site", "version"), [("short", 4), ("usual", 4), ("long", 5)])
def test_the_code_of_a_normal_tag_is_seventeen_millimetres(setting, site, version):
    """33 modules on 17 mm; 37 take half a millimetre each, 18.5 mm."""
    run = print_tags(setting(site), Wishes(numbers=("2026-001",)))
    (form,), (code,) = {tag.form for tag in run.tags}, run.codes.values()
    assert code.version == version
    assert float(form.module * code.modules) == pytest.approx(18.5 if version == 5 else 17)


def test_tags_for_a_fair_have_a_stub_and_others_none(setting):
    border = setting(at="dale-fair")
    assert all(tag.form.has_stub for tag in print_tags(border, Wishes()).tags)
    assert not any(tag.form.has_stub for tag in print_tags(border, Wishes(stub=False)).tags)
    assert not any(tag.form.has_stub for tag in print_tags(setting(), Wishes()).tags)
    border = setting(at="dale-fair", more="tags: {stub: no}\n")
    assert not any(tag.form.has_stub for tag in print_tags(border, Wishes()).tags)
