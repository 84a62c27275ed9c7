"""The hanging plan read back: measures in its words, pictures and lines where they belong."""

from __future__ import annotations

import io
from collections.abc import Sequence
from dataclasses import replace
from datetime import date
from fractions import Fraction
from pathlib import Path

import page as page_validation
import pikepdf
import pypdfium2
import pytest

from provenance.figures.flow.gather import studio_flow
from provenance.papers.shows.plan import hanging_plan
from provenance.papers.shows.plan_drawing import drawings
from provenance.public.border import Border
from provenance.public.piece import PublicPiece
from provenance.public.show import Hung, PublicShow, PublicWall
from provenance.records.book import read_book
from provenance.studio import Studio
from tests.papers.letters_on import palest, smallest

POINTS = 72 / 25.4


@pytest.fixture(scope="module")
def border() -> Border:
    book, _ = read_book(Path(__file__).parents[2] / "pieces")
    assert book is not None
    return Border(Studio(book, studio_flow(book), {}, date(2026, 11, 25)))


@pytest.fixture(scope="module")
def show(border: Border) -> PublicShow:
    return border.show("low-water")


def pieces_of(border: Border, show: PublicShow) -> tuple[PublicPiece, ...]:
    return tuple(map(border.piece, show.numbers))


@pytest.fixture(scope="module")
def plan(border: Border, show: PublicShow) -> bytes:
    (paper,) = hanging_plan(border.house, show, pieces_of(border, show), [])
    assert paper.name == "hanging-plan.pdf"
    return paper.content


def words_on(content: bytes) -> list[str]:
    with pypdfium2.PdfDocument(content) as document:
        texts = [page.get_textpage().get_text_range() for page in document]
    return [" ".join(text.split()) for text in texts]


def pictures_on(content: bytes, page: int) -> list[tuple[float, float]]:
    """Width and height of each photo on a page, in mm."""
    with pypdfium2.PdfDocument(content) as document:
        found = [each.get_bounds() for each in document[page].get_objects(
            filter=[pypdfium2.raw.FPDF_PAGEOBJ_IMAGE])]  # fmt: skip
    return [((right - left) / POINTS, (top - low) / POINTS) for left, low, right, top in found]


def test_every_measure_is_on_the_drawing_and_in_the_list(plan):
    north, alcove, hang_by = words_on(plan)
    assert "620 cm wide, drawn 1 : 24. Middle of each work at 152 cm. Gaps equal, 97.5 cm." in north
    assert "180 cm wide, drawn 1 : 20. Middle of each work at 140 cm. Gaps equal, 59 cm." in alcove
    for told in ("hook 214.0", "214.0", "90.0", "281.0", "452.5", "140.5", "middle 152.0"):
        assert told in north
    assert "50 lux at most, for 2026-014 Saltmarsh (sensitivity to light: high)" in north
    row = "2026-014 Saltmarsh 124.0 × 86.0 796 g 97.5 140.5 90.0 214.0 214.0 97.5 1.59 kg"
    assert row in hang_by
    assert "2025-019 Ebb 96.0 × 62.0 415 g 59.0 90.0 92.0 188.0 188.0 59.0 830 g" in hang_by
    assert "common practice, from memory" in hang_by


def test_works_are_as_large_as_the_scale_has_them(plan, show):
    """Cut to the cloth: 86 x 124 cm at 1 : 24 are 35.8 x 51.7 mm."""
    expected = [[(86, 124, 24), (74, 92, 24), (70, 110, 24)], [(62, 96, 20)]]
    for page, sizes in enumerate(expected):
        found = pictures_on(plan, page)
        assert len(found) == len(sizes)
        for (wide, high), (width, height, scale) in zip(found, sizes, strict=True):
            assert (wide, high) == pytest.approx((width * 10 / scale, height * 10 / scale), abs=0.1)


def test_it_is_black_and_large_enough(plan):
    assert palest(plan) == 0
    assert smallest(plan) >= 8


def test_it_can_be_read_aloud(plan, tmp_path):
    """Tagged, with a language, a title, and words for every picture (ISO 14289-1)."""
    with pikepdf.open(io.BytesIO(plan)) as document:
        assert document.Root.MarkInfo.Marked
        assert str(document.Root.Lang) == "en-GB"
        assert document.docinfo["/Title"] == "Hanging plan, Low water"
    path = tmp_path / "plan.pdf"
    path.write_bytes(plan)
    assert page_validation.validate_pdf(str(path), profile="ua1").is_compliant


def test_a_photo_that_is_lost_leaves_the_edge_in_its_place(border, show):
    slips: list[tuple[str, str, object]] = []
    pieces = list(pieces_of(border, show))
    lost = tuple(replace(photo, file="gone.jpg") for photo in pieces[0].photos)
    pieces[0] = replace(pieces[0], photos=lost)
    (paper,) = hanging_plan(border.house, show, tuple(pieces), slips)  # type: ignore[arg-type]
    assert [(number, file) for number, file, _ in slips] == [("2026-014", "gone.jpg")]
    assert len(pictures_on(paper.content, 0)) == 2


def test_a_show_without_walls_has_no_plan(border):
    past = border.show("before-the-grass")
    assert hanging_plan(border.house, past, pieces_of(border, past), []) == ()


def wall(width: object, widths: Sequence[int], gap: object) -> PublicWall:
    left, works = Fraction(gap), []  # type: ignore[arg-type]
    for number, wide in enumerate(widths):
        size = Fraction(wide), Fraction(100)
        works.append(Hung(f"2026-{number}", left, *size, *map(Fraction, (150, 200, 204, 100))))
        left += wide + Fraction(gap)  # type: ignore[arg-type]
    gaps = (Fraction(gap),) * (len(widths) + 1)  # type: ignore[arg-type]
    return PublicWall("north", Fraction(width), tuple(works), gaps, 50, "2026-0", "high",  # type: ignore[arg-type]
                      Fraction(150), None, is_equal=True)  # fmt: skip


@pytest.mark.parametrize(
    ("room", "scale"), [((261.0, 111.0), 24), ((259.0, 111.0), 24), ((258.0, 111.0), 25),
                        ((261.0, 80.0), 30)]
)  # fmt: skip
def test_the_scale_is_a_round_one_that_fits(room, scale):
    (drawing,) = drawings(wall(620, (86, 74, 70), "97.5"), room)
    assert drawing.scale == scale
    assert drawing.width <= room[0]
    assert drawing.floor <= room[1]


def test_a_long_wall_is_cut_between_works_and_measured_from_its_left_end():
    parts = [*drawings(wall(1400, [100] * 8, 600 / Fraction(9)), (261.0, 111.0))]
    assert [len(part.works) for part in parts] == [4, 4]
    assert [part.goes_on for part in parts] == [(False, True), (True, False)]
    assert (parts[0].start, parts[0].end, parts[1].end) == (0, parts[1].start, 1400)
    numbers = [each.work.number for part in parts for each in part.works]
    assert numbers == [f"2026-{n}" for n in range(8)]
    for part in parts:
        for each in part.works:
            at = (each.work.left - part.start) * 10 / part.scale
            assert each.left == pytest.approx(float(at))
        assert all(0 <= left <= right <= part.width + 1e-9 for left, right, _ in part.gaps)
        assert len(part.gaps) == len(part.works) + 1


def test_names_that_would_lie_on_each_other_become_numbers():
    def names(works: list[int], gap: int, title: str = "The beck in April, out") -> str:
        width = sum(works) + gap * (len(works) + 1)
        (drawing,) = drawings(wall(width, works, gap), (261.0, 111.0))
        return drawing.names(dict.fromkeys((each.work.number for each in drawing.works), title))

    assert names([86, 74], 90) == "line"
    assert names([60, 60, 60], 40) == "line"
    assert names([40] * 5, 30) == "stacked"
    assert names([30] * 9, 12) == "number"
    assert names([40] * 5, 30, "Ebb") == "line"
    assert names([40] * 5, 30, "The beck in April, going out, with snow") == "number"


def test_no_height_lies_under_the_label_that_hangs_there():
    """The lower edge of a work 20 cm high, its middle at 152 cm, is at 142 cm; labels reach from
    133.5 to 140.5."""
    for high, middle in ((20, 152), (20, 140), (12, 137), (100, 152), (30, 152)):
        middle, half = Fraction(middle), Fraction(high, 2)
        hung = Hung("2026-0", Fraction(100), Fraction(60), Fraction(high), middle, middle + half,
                    middle + half, middle - half)  # fmt: skip
        gaps = (Fraction(100), Fraction(240))
        (drawing,) = drawings(
            PublicWall("north", Fraction(400), (hung,), gaps, 50, "2026-0", "high", middle, None,
                       is_equal=True), (261.0, 111.0))  # fmt: skip
        (drawn,) = drawing.works
        assert drawn.label and drawn.heights
        above, below = drawn.heights
        assert below - above >= 3.8 - 1e-9
        for line in drawn.heights:
            assert line + 3.8 <= drawn.label[1] + 1e-9 or line >= sum(drawn.label[1::2]) - 1e-9
