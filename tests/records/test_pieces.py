"""Where a piece stands, and what its record still lacks."""

import pytest

from provenance.records.book import read_book

WHOLE = """\
number: 2026-001
title: Ebb
kind: shawl
size: 190 x 60 cm
yarns: [{use: weft, lot: plain, weight: 100 g}]
hours: {weaving: 3}
photos: [{file: ebb.jpg, alt: A shawl}]
"""
SALE = "sale: {on: 2026-11-01}\n"


@pytest.fixture
def piece(write_studio):
    def write(text):
        book, problems = read_book(write_studio({"2026-001.yaml": text}))
        assert not [each for each in problems if not each.is_remark]
        return book.pieces["2026-001"]

    return write


@pytest.mark.parametrize(
    ("stated", "alone", "with_sale"),
    [
        ("", "available", "sold"),
        ("available", "available", "sold"),
        ("reserved until 2026-12-24", "reserved", "sold"),
        ("sold", "sold", "sold"),
        ("withdrawn", "withdrawn", "withdrawn"),
        ("not for sale", "not for sale", "not for sale"),
        ("in progress", "in progress", "in progress"),
        ("commission 2026-C01", "commission", "commission"),
    ],
)
def test_a_line_about_a_sale_is_enough_but_takes_back_no_other_word(
    piece, stated, alone, with_sale
):
    status = f"status: {stated}\n" if stated else ""
    assert piece(WHOLE + status).state == alone
    assert piece(WHOLE + status + SALE).state == with_sale


def test_a_piece_that_lacks_nothing(piece):
    found = piece(WHOLE)
    assert (found.missing, found.is_draft, found.can_be_costed) == ((), False, True)


@pytest.mark.parametrize("word", ["kind", "size", "yarns", "hours"])
def test_what_a_draft_lacks_stops_its_costing(piece, word):
    text = "".join(line for line in WHOLE.splitlines(keepends=True) if not line.startswith(word))
    found = piece(text)
    assert (len(found.missing), found.is_draft, found.can_be_costed) == (1, True, False)


def test_a_photo_may_come_later(piece):
    found = piece(WHOLE.partition("photos")[0])
    assert (len(found.missing), found.is_draft, found.can_be_costed) == (1, True, True)


def test_what_is_still_being_made_cannot_be_costed(piece):
    found = piece(WHOLE + "status: in progress\n")
    assert (len(found.missing), found.is_draft, found.can_be_costed) == (1, True, False)


@pytest.mark.parametrize(
    "hours", ["shared: {with: [2026-002], by: number, hours: {warping: 2}}\n", ""]
)
def test_hours_may_be_shared_or_stand_with_a_yarn(piece, hours):
    text = WHOLE.replace("hours: {weaving: 3}\n", hours)
    if not hours:
        text = text.replace(
            "{use: weft, lot: plain", "{use: weft, hours: {spinning: 2}, fleece: plain"
        )
    assert piece(text).missing == ()


def test_the_year_is_the_year_it_was_finished_else_of_its_number(piece):
    assert piece(WHOLE).year == "2026"
    assert piece(WHOLE + "finished: 2027-01-03\n").year == "2027"
