"""Cloth calculation against handbooks, guild pages and sums worked twice."""

from __future__ import annotations

import tomllib
from fractions import Fraction
from pathlib import Path

import pytest
from hypothesis import given as trying
from hypothesis import strategies as st

from provenance.figures.cloth.weaving import (
    Allowed,
    Sett,
    WarpPlan,
    ends_for,
    lengthened,
    metres,
    on_loom,
    plan_cloth,
)
from provenance.figures.cloth.yarn import parse_count
from provenance.figures.working import Figure, given, half_up, product, quotient, redo, total
from provenance.language.phrases import british
from provenance.problems import Slip

TAYLOR = tomllib.loads(
    (Path(__file__).parents[1] / "truth" / "taylor_1909.toml").read_text(encoding="utf-8")
)
INCH = Fraction("2.54")
POUND_G, YARD_M = Fraction("453.59237"), Fraction("0.9144")
tell = british().tell


def weighed(what: str, length: Figure, tex: Fraction) -> Figure:
    """Grams of a length of yarn: tex is grams in 1,000 m."""
    return quotient(what, product(what, length, given("tex", tex)), given("metres", 1000))


def shrinkage(before, after) -> Figure:
    """What a sample lost, as a share of its size before: 10 to 8.5 is 15 %."""
    lost = Fraction(before) - Fraction(after)
    return given("shrinkage", lost / Fraction(before))


def inches(value) -> Figure:
    return given("width", Fraction(value) * INCH, "cm")


def yards(value) -> Figure:
    return given("length", Fraction(value) * YARD_M * 100, "cm")


def per_inch(value) -> Figure:
    return given("sett", Fraction(value) / INCH, "per cm")


def in_yards(figure: Figure) -> Fraction:
    return figure.value / YARD_M


def in_pounds(figure: Figure) -> Fraction:
    return figure.value / POUND_G


def recomputed(figure: Figure) -> Fraction:
    """The figure's value from its working alone, down to what was given."""
    if figure.how == "given":
        return figure.value
    return redo(figure.how, [recomputed(term) for term in figure.terms])


# ------------------------------------------------------------------------- a piece to the loom

COMMISSION = {
    "finished_length": Fraction(180),
    "finished_width": Fraction(60),
    "ends_per_cm": Fraction(6),
    "picks_per_cm": Fraction(6),
    "take_up": Fraction(5, 100),
    "shrink_width": Fraction(12, 100),
    "shrink_length": Fraction(10, 100),
    "loom_waste": Fraction(70),
    "spare": Fraction(15, 100),
}
CM = ("finished_length", "finished_width", "loom_waste")


def planned(**numbers: Fraction) -> WarpPlan:
    """The plan of the commission, with some of its numbers changed."""
    said = {
        word: given(word.replace("_", " "), number, "cm" if word in CM else "")
        for word, number in {**COMMISSION, **numbers}.items()
    }
    length, width, ends, picks = (said.pop(word) for word in list(COMMISSION)[:4])
    return plan_cloth(length, width, Sett(ends, picks), Allowed(**said))


def test_a_commission_of_60_by_180():
    """Worked for this project and recomputed twice: 410 ends, 1,148 + 859.1 m, 2,308.2 m."""
    plan = planned()
    assert str(half_up(plan.loom_width.value, 2)) == "68.18"
    assert plan.loom_length.value == 200
    assert plan.ends.value == 410
    assert plan.end_length.value == 280
    assert plan.warp.value == 1148
    assert plan.picks.value == 1200
    assert str(half_up(plan.weft.value, 1)) == "859.1"
    assert str(half_up(plan.yarn.value, 1)) == "2007.1"
    assert str(half_up(plan.yarn_with_spare.value, 1)) == "2308.2"


def test_the_plan_shows_its_working():
    plan = planned()
    for name in WarpPlan.__dataclass_fields__:
        figure = getattr(plan, name)
        assert recomputed(figure) == figure.value
    assert [tell(term.what) for term in plan.loom_width.terms] == [
        "finished width",
        "left after shrinking",
    ]
    assert (plan.warp.unit, plan.ends.unit, plan.loom_width.unit) == ("m", "ends", "cm")


SHARES = st.fractions(min_value=0, max_value=Fraction(9, 10))


@trying(
    st.fixed_dictionaries(
        {
            "finished_length": st.fractions(min_value=1, max_value=500),
            "finished_width": st.fractions(min_value=1, max_value=500),
            "ends_per_cm": st.fractions(min_value=Fraction(1, 2), max_value=60),
            "picks_per_cm": st.fractions(min_value=Fraction(1, 2), max_value=60),
            "take_up": SHARES,
            "shrink_width": SHARES,
            "shrink_length": SHARES,
            "loom_waste": st.fractions(min_value=0, max_value=150),
            "spare": st.fractions(min_value=0, max_value=1),
        }
    )
)
def test_a_woven_plan_shrinks_to_the_size_that_was_asked_for(cloth):
    plan = planned(**cloth)
    assert plan.loom_width.value * (1 - cloth["shrink_width"]) == cloth["finished_width"]
    assert plan.loom_length.value * (1 - cloth["shrink_length"]) == cloth["finished_length"]
    assert 0 <= plan.ends.value - plan.loom_width.value * cloth["ends_per_cm"] < 1
    assert plan.ends.value.denominator == 1
    assert plan.yarn_with_spare.value == (plan.warp.value + plan.weft.value) * (1 + cloth["spare"])


@pytest.mark.parametrize(
    ("change", "what"),
    [
        ({"finished_length": Fraction(0)}, "a cloth has a length and a width"),
        ({"finished_width": Fraction(-5)}, "a cloth has a length and a width"),
        ({"ends_per_cm": Fraction(0)}, "a cloth has ends and picks"),
        (
            {"shrink_width": Fraction(1)},
            "shrinkage is a share of what was on the loom, below 100 %",
        ),
        (
            {"shrink_length": Fraction(-1, 10)},
            "shrinkage is a share of what was on the loom, below 100 %",
        ),
        ({"spare": Fraction(-1)}, "take-up, loom waste and spare are never below nothing"),
    ],
)
def test_a_plan_no_cloth_can_have(change, what):
    with pytest.raises(Slip) as caught:
        planned(**change)
    assert tell(caught.value.what) == what
    assert tell(caught.value.remedy)


# -------------------------------------------------------------------------------- shrinkage


def test_shrinkage_is_divided_out():
    """cnch.org/?p=13821 (Northern California guilds, read): 10 in at 20 % is woven 12.5 in."""
    woven = on_loom("width", given("finished", 10, "in"), shrinkage(10, 8))
    assert woven.value == Fraction("12.5")
    assert woven.value != 12  # what adding 20 % gives ...
    assert 12 * (1 - Fraction(20, 100)) == Fraction("9.6")  # ... and what it shrinks to
    assert shrinkage(10, 8).value == Fraction(20, 100)


def test_shrinkage_from_a_washed_sample():
    """gistyarn.com and peggyosterkamp.com (trade pages): 10 in to 8.5 in is 15 %."""
    rate = shrinkage(10, Fraction("8.5"))
    assert rate.value == Fraction(15, 100)
    for wanted, printed in ((10, 11.76), (15, 17.64)):
        woven = on_loom("width", given("finished", wanted, "in"), rate)
        assert float(woven.value) == pytest.approx(printed, abs=0.01)


def test_a_scarf_relaxed_off_the_loom():
    """therogueweaver.com 2025 (trade page): woven 75 in, relaxed 65 in, 13.3 %."""
    assert float(shrinkage(75, 65).value) == pytest.approx(0.133, abs=5e-4)


# --------------------------------------------------------------------- warp and weft, measured


def test_a_warp_and_weft_that_are_reckoned_by_adding():
    """creative-threads.co.uk (read): 440 ends of 2.30 m, 1,760 picks of 55 cm."""
    width = total("width", [given("finished", 50, "cm"), given("allowance", 5, "cm")])
    ends = ends_for(width, given("sett", 8))
    length = total("end", [given("part", part, "cm") for part in (150, 15, 10, 5, 50)])
    assert (ends.value, length.value) == (440, 230)
    assert metres("warp", ends, length).value == 1012
    picks = product("picks", given("woven", 220, "cm"), given("sett", 8))
    assert (picks.value, metres("weft", picks, width).value) == (1760, 968)


def test_two_runners():
    """allfiberarts.com, runners (read): 128 in, 390 ends, 1,365 yd."""
    each = product("both", given("runners", 2), inches(46))
    assert total("warp", [each, inches(36)]).value == 128 * INCH
    ends = ends_for(inches("19.5"), per_inch(20))
    assert ends.value == 390
    assert in_yards(metres("warp", ends, yards("3.5"))) == 1365


def test_sums_the_runner_page_prints_wrongly():
    """The same page prints 18 x 19.5 = 390 (it is 351) and 36 + 2 = 40 (it is 38)."""
    assert ends_for(inches("19.5"), per_inch(18)).value == 351
    assert total("length", [inches(36), inches(2)]).value == 38 * INCH


def test_three_mohair_throws():
    """allfiberarts.com/2011/aa091197.htm (read): 270 ends, 3,240 yd, 1.446 lb, 57.86.

    The page rounds the pounds first and prints 58.00. The weft is worked from the same data.
    """
    yarn = parse_count("2240 yd/lb")
    ends = ends_for(inches(45), per_inch(6))
    warp = metres("warp", ends, yards(12))
    assert (ends.value, in_yards(warp)) == (270, 3240)
    warp_pounds = in_pounds(weighed("warp", warp, yarn))
    assert str(half_up(warp_pounds, 3)) == "1.446"
    assert str(half_up(warp_pounds * 40, 2)) == "57.86"
    picks = product("picks", inches(432 - 27), per_inch(6))
    weft = metres("weft", picks, inches(45))
    assert (picks.value, in_yards(weft)) == (2430, Fraction("3037.5"))
    weft_pounds = in_pounds(weighed("weft", weft, yarn))
    assert str(half_up(weft_pounds, 3)) == "1.356"
    assert str(half_up(weft_pounds * 40, 2)) == "54.24"
    assert str(half_up((warp_pounds + weft_pounds) * 40 / 3, 2)) == "37.37"


def test_a_shot_of_weft_is_longer_than_the_cloth_is_wide():
    """comfortclothweaving.com (read): width on the loom and 10 % take-up."""
    shot = lengthened(
        "shot", given("width on the loom", 50, "cm"), given("take-up", Fraction(1, 10))
    )
    assert shot.value == 55


def test_a_wool_rug():
    """LynneSS/lynness.github.io 2017-04-23 (trade page): 77 cm, 249 ends, 304.5 cm, 7,491.75 cm."""
    assert total("width", [given("part", part, "cm") for part in (69, 4, 4)]).value == 77
    assert total("ends", [given("part", part) for part in (26 * 9, 7, 4, 4)]).value == 249
    parts = (155, 10, 32, 16, Fraction("91.5"))
    assert total("end", [given("part", part, "cm") for part in parts]).value == Fraction("304.5")
    weft = metres("weft", given("picks", Fraction("87.5")), given("shot", Fraction("85.62"), "cm"))
    assert weft.value * 100 == Fraction("7491.75")


def test_silk_warps_and_filling():
    """Wolfensberger, Theory of Silk Weaving, 2nd ed. 1921, pp. 76-81 (read)."""
    for ends, length, drams, pounds in ((4032, 110, "1.47", 2.65), (3864, 54, "1.30", 1.10)):
        warp = metres("warp", given("ends", ends), yards(length))
        silk = weighed("warp", warp, parse_count(f"{drams} drams"))
        waste = lengthened("with waste", silk, given("waste", Fraction(4, 100)))
        assert float(in_pounds(waste)) == pytest.approx(pounds, abs=5e-3)
    picks = product("picks", yards(50), per_inch(120))
    filling = weighed("filling", metres("filling", picks, inches(24)), parse_count("120/2 cotton"))
    waste = lengthened("with waste", filling, given("waste", Fraction(10, 100)))
    assert float(in_pounds(waste)) == pytest.approx(3.14, abs=5e-3)


# ----------------------------------------------------------------------------- Taylor 1909


def taylor_threads(case) -> tuple[Figure, Figure, Figure]:
    """Ends, and metres of warp and weft, of one of Taylor's cloths (weft at reed width)."""
    width = inches(case["reed_inches"])
    ends = ends_for(width, per_inch(case["warp_ends_per_inch"]))
    picks = product("picks", yards(case["cloth_yards"]), per_inch(case["picks_per_inch"]))
    return ends, metres("warp", ends, yards(case["warp_yards"])), metres("weft", picks, width)


def test_warp_and_weft_of_a_cotton_cloth():
    case = TAYLOR["cloth"]
    ends, warp, weft = taylor_threads(case)
    assert ends.value == case["ends"]
    assert in_yards(warp) == case["warp_yards_in_all"]
    assert in_yards(warp) / 840 == Fraction(case["warp_hanks"])
    assert in_yards(weft) == case["weft_yards_in_all"]
    for length, key in ((warp, "warp"), (weft, "weft")):
        pounds = in_pounds(weighed(key, length, parse_count(case[f"{key}_count"])))
        assert str(half_up(pounds, 4)) == case[f"{key}_pounds"]


def test_price_of_a_cotton_cloth():
    case = TAYLOR["price"]
    _, warp, weft = taylor_threads(case)
    pence = Fraction(case["weaving_pence"]) + Fraction(case["expenses_pence"])
    for length, key in ((warp, "warp"), (weft, "weft")):
        pounds = in_pounds(weighed(key, length, parse_count(case[f"{key}_count"])))
        cost = pounds * Fraction(case[f"{key}_pence_per_pound"])
        assert float(cost) == pytest.approx(float(case[f"{key}_pence"]), abs=2e-3)
        pence += cost
    assert float(pence) == pytest.approx(float(case["pence"]), abs=2e-3)


def test_a_heavier_cloth():
    """The book's proof: 20 in by 102 yd takes 5 lb of the old twist and 7.5 lb of the new."""
    count, sett = TAYLOR["heavier"]["count"], TAYLOR["heavier"]["sett"]
    for number, threads, pounds in ((45, 93, 5), (count, sett, 7.5)):
        warp = metres("warp", ends_for(inches(20), per_inch(threads)), yards(102))
        worked = in_pounds(weighed("warp", warp, parse_count(f"{number}s cotton")))
        assert float(worked) == pytest.approx(pounds, abs=0.04)


def test_take_up_lengthens_a_satin_warp():
    """Page 328: 94 yd of five-end satin need 98 yd of warp."""
    taken_up = given("take-up", Fraction(TAYLOR["take_up"]["printed"]) / 100)
    assert round(in_yards(lengthened("warp", yards(94), taken_up)) / 100) == 98


# ---------------------------------------------------- plain sums from the trade, by the working


def test_hours_of_ten_towels():
    """actoncreative.net 2018-01-15 (read): 32 h 15 min, 3.225 h each."""
    stages = ("0:15", "1:15", "1:30", "1:20", "1:20", "23:30", "3:05")
    hours = [Fraction(text.split(":")[0]) + Fraction(int(text[-2:]), 60) for text in stages]
    whole = total("hours", [given("stage", hour, "h") for hour in hours])
    assert whole.value == Fraction("32.25")
    assert quotient("each", whole, given("towels", 10)).value == Fraction("3.225")


@pytest.mark.parametrize(
    ("feet_a_week", "hours"), [(5, "8.00"), (3, "13.33"), (2, "20.00"), (1, "40.00")]
)
def test_pace_of_tapestry(feet_a_week, hours):
    """joannesoroka.co.uk (read): 5, 3, 2, 1 square feet in a week of 40 hours; hours worked."""
    each = quotient("hours a square foot", given("week", 40, "h"), given("woven", feet_a_week))
    assert str(half_up(each.value, 2)) == hours


def test_price_of_a_fingerwoven_sash():
    """ropeworks.biz (data read, sum worked): 0.10 a wrap and a colour change; 193.60."""
    rate = given("rate", Fraction("0.10"))
    wraps = product("wraps", rate, given("wraps per inch", 14))
    changes = product("changes", rate, quotient("an inch", given("n", 8), inches_plain("3.75")))
    square_inch = total("a square inch", [wraps, changes])
    assert str(half_up(square_inch.value, 4)) == "1.6133"
    sash = product("sash", square_inch, inches_plain(32), inches_plain("3.75"))
    assert sash.money() == Fraction("193.60")


def inches_plain(value) -> Figure:
    return given("inches", Fraction(value))
