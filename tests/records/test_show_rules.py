"""Rules of shows and terms of outlets: what can be written, and the exact word for each slip."""

from fractions import Fraction

import pytest

from provenance.language.phrases import british
from provenance.language.telling import told
from provenance.records.book import read_book
from provenance.records.terms import Discount, Loss, Pixels, View, WordCount


@pytest.fixture
def outlet(write_studio):
    def read(line):
        text = f"jury:\n  kind: show\n  {line}\n"
        book, problems = read_book(write_studio({"studio/outlets.yaml": text}))
        assert [told(each, british()) for each in problems] == []
        return book.outlets["jury"]

    return read


@pytest.fixture
def slip(write_studio):
    def read(line):
        text = f"jury:\n  kind: show\n  {line}\n"
        _, problems = read_book(write_studio({"studio/outlets.yaml": text}))
        (problem,) = problems
        return british().tell(problem.what), british().tell(problem.remedy)

    return read


@pytest.mark.parametrize(
    ("words", "meant"),
    [
        ("1500 px", Pixels(1500, 1500)),
        ("at most 1,500 px", Pixels(None, 1500)),
        ("at least 1800 pixels", Pixels(1800, None)),
        ("1200 to 2000 px", Pixels(1200, 2000)),
        ("at least 1200 px, best 1600 to 2000 px", Pixels(1200, None, (1600, 2000))),
    ],
)
def test_sides_in_pixels(outlet, words, meant):
    assert outlet(f"rules: {{longer side: '{words}'}}").rules.longer_side == meant


def test_the_rest_of_the_rules(outlet):
    rules = outlet(
        "rules: {file size: at most 2.5 MB, resolution: 300 dpi, statement: 50 to 150 words, "
        "pictures: one whole and two details, largest area: 100 sq in, fields: [title, price]}"
    ).rules
    assert rules.file_size == 2_500_000 and rules.resolution == 300
    assert rules.statement == WordCount(50, 150)
    assert rules.pictures == (View("whole", 1), View("detail", 2))
    assert rules.largest_area == 100 * Fraction("2.54") ** 2
    assert rules.fields == ("title", "price")


@pytest.mark.parametrize(
    ("line", "what", "remedy"),
    [
        ("rules: {longest side: 1500 px}", "unknown word 'longest side'",
         "did you mean 'longer side'?"),
        ("rules: {longer side: big}", "longer side: 'big' is not understood here",
         "write it like 'at least 1200 px, best 1600 to 2000 px'"),
        ("rules: {longer side: 2000 to 1200 px}",
         "longer side: '2000 to 1200 px' is not understood here",
         "write it like 'at least 1200 px, best 1600 to 2000 px'"),
        ("rules: {file size: 2 GB}", "file size: '2 GB' is not understood here",
         "write it like 'at most 2 MB'"),
        ("rules: {pictures: one hole and one detail}",
         "pictures: 'one hole and one detail': what is 'one hole'?", "did you mean 'whole'?"),
        ("rules: {file names: '{nn} {frist}'}", "file names: a file name has no '{frist}'",
         "did you mean 'first'?"),
        ("rules: {file names: '../{nn}'}",
         "file names: '../{nn}' can't be the name of a file",
         "letters, digits, spaces and -_./"),
        ("rules: {file names: entry}", "file names: 'entry' is no pattern for file names",
         "write it like '{nn} {first}_{last}'"),
        ("rules: {format: GIF}", "format: 'GIF' is not known here",
         "known here: JPEG, baseline JPEG, PNG"),
        ("rules: {largest area: 100 in}", "largest area: '100 in' is not an area",
         "write it like '100 sq in'"),
        ("rules: {statement: short}", "statement: 'short' is not understood here",
         "write it like '50 to 150 words'"),
        ("rules: {largest work: 36 x 36}", "largest work: '36 x 36' is a size without a unit",
         "write for example '36 x 36 cm'"),
        ("terms: {paymnet: 30 days}", "terms: unknown word 'paymnet'", "did you mean 'payment'?"),
        ("terms: {discount: 10 %}", "discount: '10 %': who bears it?",
         "write '10 %, borne by the gallery', 'borne by the maker' or 'shared'"),
        ("terms: {loss: a third}", "loss: 'a third' is no payment for a loss",
         "write 'price less commission', or add ', half the price over 200'"),
    ],
)  # fmt: skip
def test_slips(slip, line, what, remedy):
    assert slip(line) == (what, remedy)


def test_a_misspelt_term_is_told_where_it_stands(write_studio):
    text = "jury:\n  kind: show\n  terms: {term: a year, paymnet: 30 days}\n"
    _, problems = read_book(write_studio({"studio/outlets.yaml": text}))
    assert [told(problem, british()) for problem in problems] == [
        "pieces/studio/outlets.yaml:3:25: terms: unknown word 'paymnet'\n"
        "    did you mean 'payment'?"
    ]


def test_terms_that_carry_a_sum(outlet):
    terms = outlet(
        "terms: {discount: '10 %, borne by the gallery', "
        "loss: 'price less commission under 200, half the price over 200'}"
    ).terms
    assert terms.discount == Discount(Fraction(1, 10), "gallery", "10 %, borne by the gallery")
    german = outlet("terms: {discount: '10 %, trägt die Galerie'}").terms.discount
    assert (german.share, german.bearer) == (Fraction(1, 10), "gallery")
    assert terms.loss == Loss(
        Fraction(1, 2), Fraction(200), False,
        "price less commission under 200, half the price over 200",
    )  # fmt: skip


def test_no_discount_in_words(outlet):
    assert outlet("terms: {discount: none without consent}").terms.discount == Discount(
        Fraction(0), "", "none without consent"
    )
