"""The printer page measured on the finished file, rendered by PDFium at 600 dpi.

Rulers 100.0 mm, corner marks 5 mm from the edges, cross in the middle: within 0.1 mm; the studio's
shift moves all of it; codes are read by zxing-cpp.
"""

from datetime import date

import pypdfium2
import pytest
import zxingcpp
from PIL import Image

from provenance.figures.flow.gather import studio_flow
from provenance.papers.sheets.calibration import LEVEL_AT, MODULES_MM, UPRIGHT_AT, calibration
from provenance.public.border import Border
from provenance.records.book import read_book
from provenance.records.printing import own_shift
from provenance.studio import Studio

DPI = 600
PX = DPI / 25.4


@pytest.fixture
def page(write_studio):
    def make(tags=""):
        text = f"studio: Test\nmaker: Ann Tester\n{tags}"
        book, problems = read_book(write_studio({"studio/studio.yaml": text}))
        assert problems == ()
        border = Border(Studio(book, studio_flow(book), {}, date(2026, 11, 20)))
        with pypdfium2.PdfDocument(
            calibration(border.house, own_shift(book.studio.tags)).content
        ) as pdf:
            assert len(pdf) == 1
            words = " ".join(pdf[0].get_textpage().get_text_range().split())
            return pdf[0].render(scale=DPI / 72).to_pil().convert("L"), words

    return make


def across(image, y_mm, from_mm, to_mm):
    """First and last dark place along a row, in millimetres."""
    row = image.crop((int(from_mm * PX), round(y_mm * PX), int(to_mm * PX), round(y_mm * PX) + 1))
    dark = [x for x, value in enumerate(row.tobytes()) if value < 160]
    return from_mm + dark[0] / PX, from_mm + (dark[-1] + 1) / PX


def down(image, x_mm, from_mm, to_mm):
    """The same along a column."""
    return across(image.transpose(Image.Transpose.TRANSPOSE), x_mm, from_mm, to_mm)


def near(value):
    return pytest.approx(value, abs=0.1)


def test_both_rulers_are_a_hundred_millimetres(page):
    image, _ = page()
    left, right = across(image, LEVEL_AT[1], 10, 125)
    assert (left, right - left) == (near(LEVEL_AT[0]), near(100))
    top, bottom = down(image, UPRIGHT_AT[0], 60, 172)
    assert (top, bottom - top) == (near(UPRIGHT_AT[1]), near(100))


def test_corner_marks_and_cross(page):
    image, _ = page()
    assert across(image, 5, 0, 20) == (near(5), near(13))
    assert across(image, 297 - 5, 190, 209.9) == (near(197), near(205))
    left, right = across(image, 148.5, 85, 124)
    assert (left + right) / 2 == near(105)
    top, bottom = down(image, 105, 130, 168)
    assert (top + bottom) / 2 == near(148.5)


def test_the_studios_shift_moves_all_of_it(page):
    image, words = page("tags: {shift right: 1.5 mm, shift up: 1 mm}\n")
    left, right = across(image, LEVEL_AT[1] - 1, 10, 125)
    assert (left, right - left) == (near(LEVEL_AT[0] + 1.5), near(100))
    assert across(image, 5 - 1, 0, 20)[0] == near(6.5)
    assert "This page was printed with: 1.5 mm right, 1 mm up." in words


def test_letter_paper_has_its_own_middle(page):
    image, words = page("tags: {sheet: Letter}\n")
    left, right = across(image, 279.4 / 2, 88, 127)
    assert (left + right) / 2 == near(215.9 / 2)
    assert "107.95 mm to the left and to the right, 139.7 mm up and down" in words


def test_it_says_what_to_write(page):
    _, words = page()
    assert "tags: {shift right: 1.5 mm}" in words and "studio/studio.yaml" in words
    assert "Print at 100 %" in words
    assert "no shift" in words


def test_every_code_reads(page):
    image, _ = page()
    found = {code.text for code in zxingcpp.read_barcodes(image)}
    assert found == {f"MODULE {module} MM" for module in MODULES_MM}


def test_codes_have_the_module_they_name(page):
    image, _ = page()
    for code in zxingcpp.read_barcodes(image):
        module = float(code.text.split()[1])
        width = (code.position.top_right.x - code.position.top_left.x) / PX
        assert width == pytest.approx(21 * module, abs=0.35), code.text
