"""Yarn counts against handbooks and a library of units."""

from __future__ import annotations

import tomllib
from fractions import Fraction
from pathlib import Path

import pint
import pytest
from hypothesis import given
from hypothesis import strategies as st

from provenance.figures.cloth.yarn import (
    hint_from_wraps,
    parse_count,
    systems,
    tex_of,
)
from provenance.language.phrases import british
from provenance.problems import Slip

TRUTH = Path(__file__).parents[1] / "truth"
ROWS = tomllib.loads((TRUTH / "yarn_counts.toml").read_text(encoding="utf-8"))["row"]
POUND_G, YARD_M = Fraction("453.59237"), Fraction("0.9144")
GRAIN_G = POUND_G / 7000  # 7,000 grains to the pound avoirdupois
KEYS = st.sampled_from(sorted(systems()))
NUMBERS = st.fractions(min_value=Fraction(1, 100), max_value=10_000)
tell = british().tell


def count_of(tex, key) -> Fraction:
    """The count in a system of a yarn in tex: the inverse of `tex_of`."""
    unit = tex_of(1, key)
    return Fraction(tex) / unit if systems()[key].direct else unit / Fraction(tex)


def yards_per_pound(tex: Fraction) -> Fraction:
    return count_of(tex, "yards per pound")


def measured(metres, grams) -> Fraction:
    """A length that was weighed, as it is written in a record; both as whole numbers."""
    length, weight = Fraction(metres), Fraction(grams)
    common = length.denominator * weight.denominator
    return parse_count(f"{length * common} m/{weight * common} g")


@pytest.mark.parametrize("row", ROWS, ids=lambda row: f"{row['said']} in {row['system']}")
def test_handbook_counts(row):
    value = count_of(parse_count(row["said"]), row["system"])
    assert abs(value - Fraction(row["expected"])) <= Fraction(row["within"])


def test_yards_per_pound_in_tex():
    """1 yd = 0.9144 m and 1 lb = 453.59237 g exactly, so tex = 496054.648 / (yd/lb)."""
    assert float(tex_of(1, "yards per pound")) == pytest.approx(496054.648, abs=5e-4)
    assert parse_count("2240 yd/lb") == Fraction("453592.37") / Fraction("0.9144") / 2240


def test_units_agree_with_pint():
    registry = pint.UnitRegistry()
    for key, pattern in {"metric": "m/g", "yards per pound": "yard/pound"}.items():
        theirs = (1 / registry.Quantity(1, pattern)).to("g/km").magnitude
        assert float(tex_of(1, key)) == pytest.approx(theirs, rel=1e-12)
    assert float(tex_of(1, "denier")) == pytest.approx(
        registry.Quantity(1, "denier").to("tex").magnitude, rel=1e-12
    )
    assert float(tex_of(1, "cotton")) == pytest.approx(
        1 / registry.Quantity(1, "number_english").to("km/g").magnitude, rel=1e-5
    )


@given(NUMBERS, KEYS)
def test_counts_turn_there_and_back_exactly(number, key):
    assert count_of(tex_of(number, key), key) == number


@given(NUMBERS, KEYS, KEYS)
def test_the_way_through_another_system_changes_nothing(number, key, other):
    tex = tex_of(number, key)
    assert tex_of(count_of(tex, other), other) == tex


@given(NUMBERS, st.fractions(min_value=1, max_value=100_000))
def test_length_and_weight_are_inverse(tex, grams):
    assert measured(grams * 1000 / tex, grams) == tex


def test_plied_counts():
    """Taylor 1909, p. 308: 60s and 40s give 24s, not 25; 10s, 20s and 60s give 6s.

    Strands twisted together weigh what they weigh, so their tex adds up.
    """
    two = sum(parse_count(said) for said in ("60s cotton", "40s cotton"))
    assert count_of(two, "cotton") == 24
    strands = [parse_count(f"{number}s cotton") for number in (10, 20, 60)]
    three = sum(strands)
    assert count_of(three, "cotton") == 6
    # ... and 100 lb of it takes 60, 30 and 10 lb of the strands
    assert [100 * strand / three for strand in strands] == [60, 30, 10]


def test_counts_from_a_weighed_length():
    """Taylor 1909, pp. 329-332 and Brooks: 120 yd of 20 and 25 grains, 34 yd of 8 grains."""
    for yards, grains, expected in ((120, 20, 50), (120, 25, 40)):
        assert count_of(measured(yards * YARD_M, grains * GRAIN_G), "cotton") == expected
    short = measured(34 * YARD_M, 8 * GRAIN_G)
    assert yards_per_pound(short) == 29_750
    assert float(count_of(short, "cotton")) == pytest.approx(35.417, abs=5e-4)
    warp = measured(2000 * 500 * YARD_M, 60 * POUND_G)
    assert float(count_of(warp, "cotton")) == pytest.approx(19.84, abs=5e-3)


def test_length_left_on_a_beam():
    """Taylor 1909, p. 332: 2,200 ends of 40s weighing 50 lb are 763.6 yd long."""
    length = 50 * POUND_G * 1000 / parse_count("40s cotton") / 2200 / YARD_M
    assert float(length) == pytest.approx(763.6, abs=0.05)


def test_count_of_a_piece_of_cloth():
    """Dooley 1914: 4 in square, 28 by 28 threads, 8.6 grains, is about No. 24 cotton (24.12)."""
    yarn = measured(Fraction(4 * 4 * 56, 36) * YARD_M, Fraction("8.6") * GRAIN_G)
    assert float(count_of(yarn, "cotton")) == pytest.approx(24.12, abs=5e-3)


@pytest.mark.parametrize(
    ("said", "yards"),
    [  # common practice of the trade, from memory, but for 8/2 cotton and 2/48 Nm
        ("8/2 cotton", 3360),
        ("2/8 cotton", 3360),
        ("3/2 cotton", 1260),
        ("5/2 cotton", 2100),
        ("8/4 cotton", 1680),
        ("2/40s cotton", 16800),
        ("12/6 cotton", 1680),
        ("12/9 cotton", 1120),
        ("8/2 lea", 1200),
        ("16/1 linen", 4800),
        ("1.5/1 lea", 450),
        ("20/2 worsted", 5600),
        ("2/20 worsted", 5600),
        ("NeL 16/2", 2400),
        ("Nw 2/20", 5600),
    ],
)
def test_which_number_is_the_plies(said, yards):
    assert yards_per_pound(parse_count(said)) == yards


def test_a_doubtful_fold_is_read_as_the_fewer_plies():
    assert yards_per_pound(parse_count("2/3 cotton")) == 1260


@pytest.mark.parametrize(
    ("said", "tex"),
    [
        ("167 tex", 167),
        ("20 tex x 2", 40),
        ("20 tex × 2", 40),
        ("R 40 tex/2", 40),
        ("R40 tex / 2", 40),
        ("90 denier", 10),
        ("420 m/100 g", Fraction(100_000, 420)),
        ("4.2 m/g", Fraction(100_000, 420)),
        ("4200 m per kg", Fraction(100_000, 420)),
        ("210 metres / 50 grams", Fraction(100_000, 420)),
        ("20's COTTON", tex_of(20, "cotton")),
        ("20s  cotton yarn", tex_of(20, "cotton")),
        ("1 yd/lb", tex_of(1, "yards per pound")),
        ("16 yd/oz", tex_of(256, "yards per pound")),
        ("2240 ypp", tex_of(2240, "yards per pound")),
    ],
)
def test_other_ways_to_write_a_count(said, tex):
    assert parse_count(said) == tex


EXAMPLES = "write for example 8/2 cotton, 2/48 Nm, 30s worsted, 167 tex, 2240 yd/lb or 420 m/100 g"


@pytest.mark.parametrize(
    ("said", "what", "remedy"),
    [
        ("thin", "'thin' is no yarn count", EXAMPLES),
        ("", "'' is no yarn count", EXAMPLES),
        ("-5 tex", "'-5 tex' is no yarn count", EXAMPLES),
        ("2/2/40s cotton", "'2/2/40s cotton' is no yarn count", EXAMPLES),
        ("3 1/0 run", "'3 1/0 run' is no yarn count", EXAMPLES),
        ("0 tex", "'0 tex' counts nothing", EXAMPLES),
        ("0/2 cotton", "'0/2 cotton' counts nothing", EXAMPLES),
        ("0 m/100 g", "a count needs a length and a weight above nothing", EXAMPLES),
        ("8.5/7.5 cotton", "'8.5/7.5 cotton' has no whole number of plies", EXAMPLES),
        (
            "8/2 coton",
            "'8/2 coton' names no count known here ('coton')",
            "did you mean 'cotton'?",
        ),
        (
            "8/2",
            "'8/2' does not say which count it is",
            "add the system: 8/2 cotton, 8/2 lea, 8/2 Nm or 8/2 worsted",
        ),
        (
            "2,240 yd/lb",
            "'2,240 yd/lb' has a comma",
            "write a point for decimals and nothing for thousands",
        ),
        (
            "20/22 denier",
            "'20/22 denier' may be a range or a plied yarn",
            "write the middle (21 denier) or the plies (20 denier x 2)",
        ),
        (
            "40 tex/2",
            "'40 tex/2' does not say whether the tex is of a strand or of the whole yarn",
            "write 40 tex x 2 for plied strands of 40, R 40 tex/2 for the whole",
        ),
        (
            "9 wpi",
            "'9 wpi' tells the class of a yarn, not its length",
            "weigh a measured length and write it so: 420 m/100 g "
            "(9 wraps per inch is roughly worsted weight, 200 to 250 yd in 100 g)",
        ),
    ],
)
def test_what_cannot_be_read_is_refused(said, what, remedy):
    with pytest.raises(Slip) as caught:
        parse_count(said)
    assert (tell(caught.value.what), tell(caught.value.remedy)) == (what, remedy)


@given(st.text(max_size=30))
def test_any_text_is_read_or_refused(text):
    try:
        assert parse_count(text) > 0
    except Slip as slip:
        assert slip.what
        assert slip.remedy


@pytest.mark.parametrize(
    ("wraps", "name"),
    [(20, "lace"), (14, "fingering"), (12, "sport"), (9, "worsted weight"), (3, "jumbo")],
)
def test_wraps_are_a_hint(wraps, name):
    """Trade pages; sources differ by one or two wraps."""
    assert f"roughly {name}," in tell(hint_from_wraps(wraps))


def test_printed_errors_do_not_come_out():
    """textilecalculation.blogspot prints Nm = 17 Ne and denier = 0.5315 / Ne; it is 1.69, 5315."""
    one = parse_count("1 Ne")
    assert float(count_of(one, "metric")) == pytest.approx(1.69, abs=0.005)
    assert float(count_of(one, "denier")) == pytest.approx(5315, abs=0.5)


def test_every_system_has_words_and_a_source():
    for system in systems().values():
        assert system.words
        assert system.source
        for word in system.words:
            assert parse_count(f"5 {word}") == tex_of(5, system.key)
