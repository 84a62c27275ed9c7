"""The tables of light against what museums publish."""

import itertools
import tomllib
from pathlib import Path

import pytest

from provenance.reference.light import blue_wool, blue_wools, museum, yearly_limit
from provenance.reference.loader import table

TRUTH = tomllib.loads(
    (Path(__file__).parent.parent / "truth" / "light.toml").read_text(encoding="utf-8")
)


def test_doses_rise_and_ultraviolet_always_shortens_them():
    rows = blue_wools()
    assert [row.number for row in rows] == list(range(1, 9))
    assert all(row.uv < row.no_uv for row in rows)
    for first, second in itertools.pairwise(rows):
        assert first.no_uv < second.no_uv and first.uv < second.uv


def test_doses_lie_within_a_factor_of_two_of_michalski_1990():
    """CAMEO, Blue Wool Standard: class 1 about 0.4, class 8 about 900 million lux-hours, no UV."""
    for number, older in ((1, 400_000), (8, 900_000_000)):
        assert older / 2 <= blue_wool(number).no_uv <= older * 2


def test_classes_are_those_of_the_canadian_conservation_institute():
    """CCI: ISO 1 to 3 high, 4 to 6 medium, 7 and 8 low."""
    classes = [row.sensitivity for row in blue_wools()]
    assert classes == ["high"] * 3 + ["medium"] * 3 + ["low"] * 2


def test_yearly_limits_are_those_of_the_national_gallery():
    limits = {name: yearly_limit(name).lux_hours for name in ("high", "medium", "low")}
    assert limits == {"high": 15_000, "medium": 150_000, "low": 600_000}
    assert yearly_limit("high").most_lux == TRUTH["worst"]["most_lux"]


def test_there_is_no_blue_wool_nine():
    with pytest.raises(ValueError, match="no blue wool 9: they go from 1 to 8"):
        blue_wool(9)


def test_steps_of_showing_are_those_of_the_smithsonian():
    months = {row["step"]: row.get("months_in_five_years") for row in table("light")["step"]}
    printed = {step: TRUTH["steps"][step] for step in "ABCD"}
    assert months == {**printed, "E": None}


def test_a_gallery_wall_is_50_lux_for_8_hours():
    assert (museum("gallery wall")["lux"], museum("gallery wall")["hours"]) == (50, 8)
