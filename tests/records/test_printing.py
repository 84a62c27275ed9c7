"""Sheets, sizes, shifts and tag fields as they are written.

Sheet sizes: ISO 216 by its own rule (each is the one before halved, rounded down, from a sheet of a
square metre); Letter and Legal 8 1/2 x 11 and 8 1/2 x 14 in, Tabloid 11 x 17 in (common knowledge).
"""

from fractions import Fraction

import pytest

from provenance.language.phrases import british
from provenance.language.telling import told
from provenance.problems import Slip
from provenance.records.book import read_book
from provenance.records.printing import (
    SHEETS,
    check_printing,
    sheet_of,
    shift_of,
    size_of,
    tag_field,
)

INCH = Fraction("25.4")


def test_sheets_of_the_a_series_are_halved_each_time():
    high, wide = 1189, 841
    for number in range(7):
        if number >= 3:
            sheet = sheet_of(f"a{number}")
            assert (sheet.width, sheet.height, sheet.may_turn) == (wide, high, True)
        high, wide = wide, high // 2


@pytest.mark.parametrize(
    ("name", "inches"), [("Letter", ("8.5", 11)), ("Legal", ("8.5", 14)), ("Tabloid", (11, 17))]
)
def test_sheets_of_north_america(name, inches):
    sheet = sheet_of(name)
    assert (sheet.width, sheet.height) == tuple(Fraction(side) * INCH for side in inches)
    assert sheet_of(f"{inches[0]} x {inches[1]} in").may_turn is False
    assert name in SHEETS


@pytest.mark.parametrize(
    ("text", "size"),
    [
        ("55 x 90 mm", (55, 90)),
        ("5.5x9 cm", (55, 90)),
        ("2 × 3.5 in", (2 * INCH, Fraction("3.5") * INCH)),
        ("2 1/4 by 3 1/2 in", (Fraction("2.25") * INCH, Fraction("3.5") * INCH)),
        ("2 in x 90 mm", (2 * INCH, 90)),
    ],
)
def test_sizes(text, size):
    assert size_of(text) == size


@pytest.mark.parametrize(
    ("text", "what"),
    [
        ("55 x 90", "'55 x 90' is not a size"),
        ("55 mm", "'55 mm' is not a size"),
        ("1 x 2 x 3 mm", "'1 x 2 x 3 mm' is not a size"),
        ("0 x 90 mm", "'0 x 90 mm' has a side of nothing, or next to nothing"),
    ],
)
def test_what_is_no_size(text, what):
    with pytest.raises(Slip) as caught:
        size_of(text)
    assert british().tell(caught.value.what) == what


def test_shifts():
    assert shift_of("1.5 mm right, 0.5 mm down") == (Fraction("1.5"), Fraction("0.5"))
    assert shift_of("1/16 in left and 2 mm up") == (-INCH / 16, -2)
    for text, what in (
        ("1.5 mm", "'1.5 mm' is no shift"),
        ("2 cm up", "a shift of more than 10 mm"),
    ):
        with pytest.raises(Slip) as caught:
            shift_of(text)
        assert british().tell(caught.value.what) == what


def test_words_of_a_guild():
    assert [tag_field(word) for word in ("Fibre", "fiber", "name", "care")] == [
        "fibres", "fibres", "title", "care",
    ]  # fmt: skip
    with pytest.raises(Slip) as caught:
        tag_field("pricee")
    assert (british().tell(caught.value.what), british().tell(caught.value.remedy)) == (
        "'pricee' is nothing a tag can say", "did you mean 'price'?",
    )  # fmt: skip


def test_the_records_are_held_against_it(tmp_path):
    studio = tmp_path / "pieces" / "studio"
    studio.mkdir(parents=True)
    (studio / "studio.yaml").write_text(
        "studio: Brackenfold\nmaker: Isla Wren\n"
        "tags: {tag size: 55 x 90, sheet: A44, shift right: 3 cm}\n"
    )
    (studio / "outlets.yaml").write_text(
        "guild-shop: {kind: guild, tag fields: [number, pryce], tag size: 2 x 3}\n"
    )
    book, _ = read_book(tmp_path / "pieces")
    assert [told(problem, british()).splitlines()[0] for problem in check_printing(book)] == [
        "pieces/studio/studio.yaml:3:18: '55 x 90' is not a size",
        "pieces/studio/studio.yaml:3:34: 'A44' is no sheet of paper",
        "pieces/studio/studio.yaml:3:52: a shift of more than 10 mm",
        "pieces/studio/outlets.yaml:1:66: '2 x 3' is not a size",
        "pieces/studio/outlets.yaml:1:48: 'pryce' is nothing a tag can say",
    ]
