"""The paper of a book: thickness from the table, and what follows from it. Worked figures are those
of a printer's rules (hps-ltd.org.uk) and of plain sums."""

from fractions import Fraction as F

import pytest

from provenance.figures import binding
from provenance.language.phrases import phrases_for
from provenance.papers.booklets import about_paper
from provenance.problems import Slip
from provenance.public.paper import paper_stock
from provenance.reference.paper import COATED, UNCOATED, thickness


@pytest.mark.parametrize(
    ("kind", "grams", "mm"),
    [
        (COATED, 115, "0.09"), (COATED, 130, "0.10"), (COATED, 150, "0.12"), (COATED, 350, "0.26"),
        (UNCOATED, 80, "0.11"), (UNCOATED, 90, "0.12"), (UNCOATED, 120, "0.15"),
        (UNCOATED, 400 - 50, "0.40"),
    ],
)  # fmt: skip
def test_listed(kind, grams, mm):
    found = thickness(kind, F(grams))
    assert found.mm == F(mm) and found.is_listed


def test_between_two_weights_it_is_interpolated():
    found = thickness(UNCOATED, F(115))  # between 100 g, 0.13 and 120 g, 0.15
    assert found.mm == F("0.145") and not found.is_listed


def test_beyond_the_list_it_goes_by_the_nearest():
    assert thickness(UNCOATED, F(40)).mm == F("0.11") / 2
    assert thickness(COATED, F(400)).mm == F("0.26") * F(400, 350)


@pytest.mark.parametrize(
    ("text", "grams", "coated", "said"),
    [
        ("115 g", 115, False, False), ("115 g coated", 115, True, True),
        ("90gsm uncoated", 90, False, True), ("82,5 g/m²", F("82.5"), False, False),
        ("130 g, coated", 130, True, True), ("115 g matt coated", 115, True, True),
        ("150 g silk", 150, True, True), ("gloss, 170 gsm", 170, True, True),
        ("120 g recycled", 120, False, False), ("115 g gestrichen", 115, True, True),
        ("90 g ungestrichen", 90, False, True), ("120 g/m² not coated", 120, False, True),
        ("115 g shiny", 115, False, False),
    ],
)  # fmt: skip
def test_as_it_is_written(text, grams, coated, said):
    stock = paper_stock(text)
    assert (stock.grams, stock.is_coated, stock.is_said) == (grams, coated, said)


@pytest.mark.parametrize(
    "text", ["", "thick", "115", "5 g", "900 g", "silk", "80 lb text", "115 g, cover 300 g"]
)
def test_what_is_no_paper(text):
    with pytest.raises(Slip) as slip:
        paper_stock(text)
    say = phrases_for("en-GB", "GBP", {}, None).tell
    assert say(slip.value.what) == f"'{text}' is no paper"
    assert say(slip.value.remedy) == (
        "write its grams per square metre and whether it is coated: 115 g, 115 g coated, "
        "90 g uncoated; 30 to 500 g"
    )


def test_creep():
    """64 pages on 130 g coated: 16 x 0.10 = 1.6 mm with the cover's fold; 8 sheets of 0.12: the
    innermost 0.84."""
    assert binding.room_for_creep(64, paper_stock("130 g coated").mm) == F("1.6")
    assert binding.room_for_creep(64, paper_stock("120 g uncoated").mm) == F("2.4")
    assert binding.creep(32, F("0.12")) == F("0.84")
    assert binding.creep(4, F("0.12")) == 0


def test_spine():
    """80 pages of 130 g coated in a cover of 300 g coated: 4.46 mm."""
    cover = thickness(COATED, F(300)).mm
    assert binding.spine(80, paper_stock("130 g coated").mm, cover) == F("4.46")


def test_weight_of_a_copy():
    """A5, 64 pages of 130 g in a cover of 300 g: 148 g."""
    trim = (F(148), F(210))
    assert round(binding.weight(64, trim, F(130), F(300))) == 148
    assert round(paper_stock("130 g").weight(64, (148.0, 210.0))) == 129


def test_margins():
    assert paper_stock("120 g uncoated").margins(64) == (F("17.4"), F("14.4"))


def test_what_the_maker_is_told():
    say = phrases_for("en-GB", "GBP", {}, None).tell
    told = [say(each) for each in about_paper((148, 210), 64, paper_stock("115 g"))]
    assert told == [
        "115 g uncoated paper is 0.15 mm thick, worked out from the weights beside it in a "
        "printer's list (hps-ltd.org.uk, thickness of papers for booklets; makers differ by 5 %)",
        "whether the paper is coated is not said; it counts as uncoated, which is thicker: write "
        "'115 g coated' where it is",
        "stapled, the innermost sheet sticks out by 2.18 mm: inner margin at least 17.3 mm, outer "
        "14.3 mm (common practice)",
        "glued, the spine is 4.6 mm without the cover",
        "a copy weighs 114 g without a heavier cover",
    ]
