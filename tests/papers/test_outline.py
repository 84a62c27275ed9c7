"""The outline of a work on paper: read back from the PDF and measured, sheet by sheet."""

import io
from collections.abc import Iterator
from dataclasses import replace
from datetime import date
from fractions import Fraction
from pathlib import Path

import pikepdf
import pypdfium2
import pytest

from provenance.figures.flow.gather import studio_flow
from provenance.papers.format import Format
from provenance.papers.walls.outline import FOOT, MARGIN, has_outline, outline_pdf, sheets_of
from provenance.papers.walls.tiles import OVERLAP, Tile, Wall, tiles_of
from provenance.public.border import Border
from provenance.public.piece import PublicPiece
from provenance.records.book import read_book
from provenance.studio import Studio

POINTS = 72 / 25.4
THICK = 0.6 * POINTS  # the pen of the outline
Line = tuple[float, float, float, float]  # mm from the upper left corner of the sheet


@pytest.fixture(scope="module")
def border() -> Border:
    book, _ = read_book(Path(__file__).parents[2] / "pieces")
    assert book is not None
    return Border(Studio(book, studio_flow(book), {}, date(2026, 11, 26)))


@pytest.fixture(scope="module")
def saltmarsh(border) -> PublicPiece:
    return border.piece("2026-014")


def sized(facts: PublicPiece, high: float, wide: float, hook: str | None = None) -> PublicPiece:
    size = replace(facts.measures, height=Fraction(high), width=Fraction(wide))  # type: ignore[type-var]
    return replace(facts, measures=size, hook=None if hook is None else Fraction(hook))


def lines_on(page: pikepdf.Page, pen: float, *, dashed: bool = False) -> Iterator[Line]:
    """Straight lines that are drawn with a pen of so many points."""
    high, wide, dashes, start = float(page.MediaBox[3]), 0.0, 0, (0.0, 0.0)
    for operands, operator in pikepdf.parse_content_stream(page):
        match str(operator):
            case "w":
                wide = float(operands[0])
            case "d":
                dashes = len(operands[0])
            case "m":
                start = float(operands[0]), float(operands[1])
            case "l":
                end = float(operands[0]), float(operands[1])
                if abs(wide - pen) < 0.01 and bool(dashes) == dashed:
                    yield (start[0] / POINTS, (high - start[1]) / POINTS,
                           end[0] / POINTS, (high - end[1]) / POINTS)  # fmt: skip
                start = end


def on_the_wall(content: bytes, wall: Wall, sheet: Format) -> list[Line]:
    """Every outline line of every sheet, put back where it belongs on the wall, in mm."""
    wide, high = sheet.size_mm
    tiles = tiles_of(wall, wide - 2 * MARGIN, high - 2 * MARGIN - FOOT)
    found = []
    with pikepdf.open(io.BytesIO(content)) as pdf:
        assert len(pdf.pages) == len(tiles)
        for page, tile in zip(pdf.pages, tiles, strict=True):
            x, y = tile.x - MARGIN, tile.y - MARGIN
            found += [(a + x, b + y, c + x, d + y) for a, b, c, d in lines_on(page, THICK)]
    return found


def covered(lines: list[Line], upright: bool, at: float) -> float:
    """How much of an edge the lines on it cover together, in mm."""
    across, along = (0, 1) if upright else (1, 0)
    spans = sorted(
        sorted((line[along], line[along + 2]))
        for line in lines
        if abs(line[across] - at) < 0.05 and abs(line[across + 2] - at) < 0.05
    )
    whole, reached = 0.0, float("-inf")
    for start, end in spans:
        whole += max(0.0, end - max(start, reached))
        reached = max(reached, end)
    return whole


@pytest.mark.parametrize("sheet", [Format("A4"), Format("Letter")], ids=lambda each: each.name)
def test_sheets_that_are_glued_carry_the_whole_outline_to_a_tenth_of_a_mm(
    border, saltmarsh, sheet
) -> None:
    facts = sized(saltmarsh, 31.7, 24.3, "4")
    content = outline_pdf(border.house, facts, sheet)
    lines = on_the_wall(content, Wall(243, 317, 40), sheet)
    for upright, at, long in ((False, 0, 243), (False, 317, 243), (True, 0, 317), (True, 243, 317)):
        assert covered(lines, upright, at) == pytest.approx(long, abs=0.1)


@pytest.mark.parametrize("sheet", [Format("A4"), Format("Letter")], ids=lambda each: each.name)
def test_the_corners_of_a_large_work_are_where_its_size_puts_them(border, saltmarsh, sheet) -> None:
    content = outline_pdf(border.house, sized(saltmarsh, 124, 86, "4"), sheet)
    lines = on_the_wall(content, Wall(860, 1240, 40), sheet)
    xs = [x for line in lines for x in (line[0], line[2])]
    ys = [y for line in lines for y in (line[1], line[3])]
    assert (min(xs), max(xs)) == pytest.approx((0, 860), abs=0.1)
    assert (min(ys), max(ys)) == pytest.approx((0, 1240), abs=0.1)
    assert sheets_of(sized(saltmarsh, 124, 86, "4"), sheet) == 5
    with pypdfium2.PdfDocument(content) as pdf:
        told = [page.get_textpage().get_text_range() for page in pdf]
    assert "43 cm (16 7/8 in) left of the centre line\r\nlevel with the top edge" in told[1]
    assert "43 cm (16 7/8 in) right of the centre line\r\n124 cm (48 7/8 in) below" in told[4]


def test_the_ruler_is_a_hundred_millimetres_on_every_sheet(border, saltmarsh) -> None:
    with pikepdf.open(io.BytesIO(outline_pdf(border.house, saltmarsh, Format()))) as pdf:
        for page in pdf.pages:
            foot = 297 - MARGIN - 4
            ruler = [line for line in lines_on(page, 0.3 * POINTS) if abs(line[1] - foot) < 0.01
                     and abs(line[3] - foot) < 0.01]  # fmt: skip
            assert [line[2] - line[0] for line in ruler] == pytest.approx([100], abs=0.01)


def test_the_hook_sits_where_it_was_recorded(border, saltmarsh) -> None:
    """Its cross is as far over the top edge as the record says, on the centre line."""
    content = outline_pdf(border.house, sized(saltmarsh, 124, 86, "4"), Format())
    with pikepdf.open(io.BytesIO(content)) as pdf:
        page = pdf.pages[0]
        (top,) = {round(line[1], 2) for line in lines_on(page, THICK)}
        (centre,) = {round(line[0], 2) for line in lines_on(page, 0.2 * POINTS, dashed=True)}
        cross = [line for line in lines_on(page, 0.3 * POINTS) if line[1] < 297 - MARGIN - FOOT]
    level, upright = cross
    assert top - level[1] == pytest.approx(40, abs=0.1)
    assert upright[0] == pytest.approx(centre, abs=0.1)


def test_what_is_not_recorded_of_the_hook_is_said(border, saltmarsh) -> None:
    with pypdfium2.PdfDocument(outline_pdf(border.house, saltmarsh, Format())) as pdf:
        said = " ".join(pdf[0].get_textpage().get_text_range().split())
    assert "Where its hook sits is not recorded: measure it on the work." in said
    assert "2026-014 Saltmarsh" in said
    assert "Sheet 1 of 5: middle of the top edge" in said
    assert "Print at 100 % (actual size): this line must be 100 mm long." in said


def test_it_is_tagged_named_and_the_same_each_time(border, saltmarsh) -> None:
    content = outline_pdf(border.house, saltmarsh, Format())
    assert content == outline_pdf(border.house, saltmarsh, Format())
    with pikepdf.open(io.BytesIO(content)) as pdf:
        assert pdf.check_pdf_syntax() == []
        assert pdf.Root.MarkInfo.Marked
        assert pdf.Root.Lang == "en-GB"
        assert pdf.docinfo.Title == "2026-014 Saltmarsh: outline for the wall"
        told = list(pdf.Root.StructTreeRoot.K.K)
        figures = [each for each in told if each.S == "/Figure"]
        assert len(figures) == 2 * len(pdf.pages)
        assert all(str(figure.Alt) for figure in figures)
        marked = sum(
            str(operator) == "BDC"
            for page in pdf.pages
            for _, operator in pikepdf.parse_content_stream(page)
        )
        assert marked == len(told)
        program = pdf.pages[0].Resources.Font.F.DescendantFonts[0].FontDescriptor.FontFile2
        assert program.read_bytes()[:4] == b"\0\1\0\0"


def test_a_title_in_other_letters_is_set_too(border, saltmarsh) -> None:
    facts = replace(saltmarsh, title="Źdźbło")
    with pypdfium2.PdfDocument(outline_pdf(border.house, facts, Format())) as pdf:
        assert "Źdźbło" in pdf[0].get_textpage().get_text_range()


def test_only_what_hangs_and_has_a_size_has_an_outline(border, saltmarsh) -> None:
    assert has_outline(saltmarsh)
    assert not has_outline(replace(saltmarsh, measures=None))
    assert not has_outline(border.piece("2026-002"))
    assert has_outline(replace(border.piece("2026-002"), hook=Fraction(0)))


@pytest.mark.parametrize("hook", [None, 40.0, -20.0, 0.0])
def test_sheets_that_are_glued_lap_over_each_other(hook) -> None:
    tiles = tiles_of(Wall(300, 200, hook), 190, 243)
    by_place = {(tile.row, tile.column): tile for tile in tiles}
    for (row, column), tile in by_place.items():
        if right := by_place.get((row, column + 1)):
            assert tile.x + tile.width - right.x == pytest.approx(OVERLAP)
        if below := by_place.get((row + 1, column)):
            assert tile.y + tile.height - below.y == pytest.approx(OVERLAP)
    assert any(tile.holds(((150, -(hook or 0)), (150, -(hook or 0)))) for tile in tiles)


def test_a_tile_holds_only_what_lies_on_it() -> None:
    tile = Tile(0, 0, 100, 100, "")
    assert tile.holds(((-50, 40), (150, 40))) == ((0, 40), (100, 40))
    assert tile.holds(((-50, 140), (150, 140))) is None
