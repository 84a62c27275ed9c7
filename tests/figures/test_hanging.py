"""Sums of hanging, to the millimetre, against examples that were worked out by hand.

The examples: heights and gaps as guides for installers give them (art-pronet.com 2018,
thepracticalartworld 2011, the formula read in four pages), computed from those.
"""

from __future__ import annotations

from fractions import Fraction

import pytest

from provenance.figures.hanging import (
    Hanging,
    Work,
    each_fixing_holds,
    hang,
    highest_middle,
    lowest_middle,
    to_millimetre,
)

THREE = [Work(Fraction(100), Fraction(width)) for width in (90, 120, 60)]


def told(lengths: object) -> list[str]:
    return [str(to_millimetre(each)) for each in lengths]  # type: ignore[attr-defined]


def hung(width: object, works: list[Work], *gaps: object, centre: object = 148) -> Hanging:
    return hang(Fraction(width), works, Fraction(centre), [Fraction(gap) for gap in gaps])  # type: ignore[arg-type]


def test_the_hook_is_the_centre_line_half_the_height_and_what_it_sits_above_the_edge():
    """148 + 60 - 3 = 205 cm for a piece of 120 cm with its batten 3 cm down."""
    work = Work(Fraction(120), Fraction(80), Fraction(-3))
    (placed,) = hung(300, [work], centre=148).works
    assert told([placed.hook, placed.top, placed.bottom]) == ["205.0", "208.0", "88.0"]


def test_gaps_are_equal_at_the_ends_too():
    """A wall of 600 with 90, 120, 60: (600 - 270) / 4 = 82.5."""
    found = hung(600, THREE)
    assert told(found.gaps) == ["82.5"] * 4
    assert told(each.left for each in found.works) == ["82.5", "255.0", "457.5"]
    assert found.missing == 0


def test_half_gaps_at_the_ends_are_what_the_makers_own_gap_leaves():
    """The same wall by the other rule: (600 - 270) / 3 = 110 between, 55 at the ends."""
    found = hung(600, THREE, 110)
    assert told(found.gaps) == ["55.0", "110.0", "110.0", "55.0"]


def test_gaps_of_the_makers_own_one_by_one():
    found = hung(600, THREE, 60, 80)
    assert told(found.gaps) == ["95.0", "60.0", "80.0", "95.0"]
    assert told(each.left for each in found.works) == ["95.0", "245.0", "445.0"]


@pytest.mark.parametrize(("gaps", "missing"), [((), "20.0"), ((60,), "140.0")])
def test_a_wall_that_is_too_full_lacks_so_many_centimetres(gaps, missing):
    assert told([hung(250, THREE, *gaps).missing]) == [missing]


def test_thirds_are_rounded_once_where_they_are_told():
    """(200 - 100) / 3 = 33.33..: the second work stands at 116.66.., which is 116.7, not 116.6."""
    works = [Work(Fraction(40), Fraction(50))] * 2
    found = hung(200, works)
    assert told(found.gaps) == ["33.3"] * 3
    assert told(each.left for each in found.works) == ["33.3", "116.7"]
    assert sum(found.gaps) == 100


def test_half_a_millimetre_goes_up():
    assert told([Fraction("97.45"), Fraction("97.449")]) == ["97.5", "97.4"]


def test_one_work_hangs_in_the_middle_whatever_gap_is_asked():
    (placed,) = hung(180, [Work(Fraction(96), Fraction(62))], 30, centre=140).works
    assert told([placed.left, placed.centre, placed.top]) == ["59.0", "140.0", "188.0"]


def test_an_empty_wall_is_one_gap():
    assert hung(400, []).gaps == (400,)


def test_the_middles_that_keep_a_work_on_its_wall():
    tall = Work(Fraction(240), Fraction(80), Fraction(4))
    assert lowest_middle(tall) == 150  # 30 cm above the floor
    assert highest_middle(Fraction(260), tall) == 136  # its hook at the top of the wall


def test_each_of_two_fixings_holds_four_times_half_the_weight():
    assert each_fixing_holds(Fraction(796)) == 1592
