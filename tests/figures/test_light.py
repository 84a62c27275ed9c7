"""Light guidance against published doses, limits and hand sums (tests/truth/light.toml)."""

import tomllib
from decimal import Decimal
from fractions import Fraction
from pathlib import Path

import pytest
from hypothesis import given as property_of
from hypothesis import strategies as st

from provenance.figures.light import words
from provenance.figures.light.guidance import (
    days_within,
    dose_of,
    exposure,
    guidance,
    years_to_change,
)
from provenance.figures.light.rating import DyeInPiece, rating
from provenance.figures.working import half_up
from provenance.language.phrases import british
from provenance.problems import Place, Slip
from provenance.reference.dyes import dyes
from provenance.reference.light import blue_wools

TRUTH = tomllib.loads(
    (Path(__file__).parent.parent / "truth" / "light.toml").read_text(encoding="utf-8")
)
ALUM = frozenset({"alum", "cream of tartar"})


def light_words(light):
    return tuple(map(british().tell, words.light_words(light)))


def short_light(light):
    return british().tell(words.short_light(light))


def about_years(years):
    return british().tell(words.about_years(years))


def _places(written: str) -> int:
    return len(written.partition(".")[2])


def test_light_of_the_home_wall_in_a_year():
    wall = TRUTH["home_wall"]
    found = exposure(wall["lux"], wall["hours"], wall["days"])
    assert found.value == Fraction(wall["million_lux_hours"]) and found.unit == "Mlx·h"


@pytest.mark.parametrize("row", TRUTH["years"], ids=lambda row: row["case"])
def test_years_to_a_just_noticeable_change(row):
    a_year = exposure(row["lux"], row["hours"], row["days"])
    for key, uv in (("no_uv", False), ("uv", True)):
        years = years_to_change(row["blue_wool"], a_year, uv=uv).value
        assert half_up(years, _places(row[key])) == Decimal(row[key])


@pytest.mark.parametrize("row", TRUTH["cci_years"], ids=lambda row: row["class"])
def test_years_at_50_lux_agree_with_the_conservation_institute(row):
    """Printed to one figure: within a fifth is agreement."""
    a_year = exposure(50, 8, 375)
    numbers = [wool.number for wool in blue_wools() if wool.sensitivity == row["class"]]
    low = years_to_change(min(numbers), a_year, uv=True).value
    high = years_to_change(max(numbers), a_year, uv=False).value
    for ours, printed in ((low, row["low"]), (high, row["high"])):
        assert abs(ours / Fraction(printed) - 1) <= Fraction(1, 5)


@pytest.mark.parametrize("row", TRUTH["days"], ids=lambda row: row["case"])
def test_days_a_year_within_the_museum_limit(row):
    assert days_within(row["class"], row["lux"], row["hours"]).value == Fraction(row["days"])


def test_an_outdoor_fair_uses_up_most_of_a_sensitive_dye():
    row = TRUTH["outdoor_fair"]
    show = exposure(row["lux"], row["hours"], row["days"]).value
    assert show == Fraction(row["million_lux_hours"])
    assert show / dose_of(3, uv=True).value == Fraction(row["share_of_blue_wool_3_uv"])
    share = show / dose_of(1, uv=True).value
    assert half_up(share, 1) == Decimal(row["share_of_blue_wool_1_uv"])


def test_dim_and_long_equals_bright_and_short():
    """Reciprocity, erco.com."""
    row = TRUTH["reciprocity"]
    assert exposure(*row["one"]).value == exposure(*row["other"]).value


def test_the_worst_dye_rules_the_piece():
    """Smithsonian: the most sensitive component; blue wool 3 beside 5 and 7 is class high."""
    light = guidance(
        [
            DyeInPiece("madder", "Rubia tinctorum", ALUM),
            DyeInPiece("cochineal", "Dactylopius coccus", ALUM),
            DyeInPiece("indigo"),
        ]
    )
    row = TRUTH["worst"]
    assert light.sensitivity == row["class"]
    assert light.limit.value == row["lux_hours"] and light.most_lux == row["most_lux"]
    assert light.most_sensitive.dye == "cochineal"
    assert light.days_gallery.value == Fraction("37.5")
    at_three = years_to_change(3, exposure(150, 10), uv=False)
    assert light.years[1].value == at_three.value and light.blue_wool == (2, 3)


def test_madder_and_indigo_on_the_home_wall():
    """The published sum, 54.8 years for blue wool 5, is the upper end of the range for 3 to 5."""
    light = guidance([DyeInPiece("madder", mordants=ALUM), DyeInPiece("indigo")])
    assert light.sensitivity == "high"
    assert light.blue_wool == (3, 5)
    a_year = Fraction("0.5475")
    assert [figure.value for figure in light.years] == [3 / a_year, 30 / a_year]
    assert [figure.value for figure in light.years_uv] == [Fraction("1.5") / a_year, 8 / a_year]
    assert half_up(light.years[1].value, 1) == Decimal("54.8")


def test_words_for_madder_and_indigo():
    light = guidance([DyeInPiece("madder", mordants=ALUM), DyeInPiece("indigo")])
    assert light_words(light) == (
        "Sensitivity to light: high, blue wool 3 to 5 on the scale from 1 (fades first) to 8."
        " Most sensitive dye: madder (tests disagree).",
        "On a wall of 150 lux for 10 hours a day a first visible change may come after about 5.5 to"
        " 55 years without ultraviolet, about 2.7 to 15 years in daylight through glass: a range,"
        " not a promise.",
        "Madder: most of the change comes early, then it slows.",
        "A museum allows this class 15,000 lux-hours a year, at most 50 lux: 37.5 days a year at 50"
        " lux for 8 hours a day.",
        "Keep it out of the sun.",
    )
    assert short_light(light) == "Keep it out of the sun."


def test_what_to_do_is_said_once_and_as_on_the_tag():
    """Two measures side by side (a year's light in 10 days, half the year of rest) are one too
    many."""
    for dyes_in_it in ([DyeInPiece("turmeric")], [DyeInPiece("indigo")], [DyeInPiece("moss")]):
        light = guidance(dyes_in_it)
        said = light_words(light)
        assert said[-1] == short_light(light)
        for word in ("half the year", "year's light", "rest"):
            assert not any(word in sentence for sentence in said[:-1])


def test_a_dye_of_which_nothing_is_known_is_assumed_and_that_is_said():
    light = guidance([DyeInPiece("madder", mordants=ALUM), DyeInPiece("moss from the wall")])
    assert light.sensitivity == "high" and light.blue_wool == (1, 3)
    assert light.not_rated == ("moss from the wall",)
    assert light_words(light)[0] == (
        "Sensitivity to light: high, blue wool 1 to 3 on the scale from 1 (fades first) to 8. Most"
        " sensitive dye: moss from the wall; it is not rated in what could be read, and this is"
        " assumed as for its kind."
    )


def test_a_dye_the_books_are_silent_of_is_only_expected():
    light = guidance([DyeInPiece("moss from the wall"), DyeInPiece("walnut")])
    assert light.not_rated == ("moss from the wall", "walnut")
    walnut = guidance([DyeInPiece("walnut")])
    assert light_words(walnut)[0].endswith(
        "Most sensitive dye: walnut; it is not rated in what could be read, and this is what to"
        " expect of it."
    )
    assert rating(DyeInPiece("walnut")).source == ""


def test_a_rated_dye_is_named_before_an_unrated_one():
    light = guidance([DyeInPiece("walnut"), DyeInPiece("cochineal", mordants=ALUM)])
    assert light.most_sensitive.dye == "cochineal"


def test_turmeric_fades_within_months():
    light = guidance([DyeInPiece("turmeric", "Curcuma longa")])
    assert half_up(light.years[0].value, 2) == Decimal("0.55")
    assert half_up(light.years_uv[0].value, 2) == Decimal("0.40")
    assert "about 3 months to 1.1 years without ultraviolet" in light_words(light)[1]


def test_an_undyed_piece_has_no_dye_to_fade():
    light = guidance([])
    assert light.sensitivity == "low"
    assert light.blue_wool is None and light.years is None and light.most_sensitive is None
    assert light_words(light) == (
        "No dye to fade. Undyed yarn yellows slowly in strong light; keep it out of direct sun.",
    )


def test_the_mordant_chooses_the_rating():
    """Logwood: on chrome Taylor 1986 has 6 to 7 and Cardon "very poor"; purple on alum is very
    poor; on iron with tannin very fast (Cardon). Of several mordants the least counts."""
    chrome = rating(DyeInPiece("logwood", mordants=frozenset({"chrome"})))
    assert chrome.blue_wool == (2, 7) and chrome.disagree
    iron = rating(DyeInPiece("logwood", mordants=frozenset({"copperas"})))
    assert iron.blue_wool == (4, 7) and iron.sure == "computed" and not iron.disagree
    assert rating(DyeInPiece("logwood", mordants=ALUM)).blue_wool == (1, 2)
    both = rating(DyeInPiece("logwood", mordants=frozenset({"iron", "potassium dichromate"})))
    assert both.blue_wool == (2, 7)


def test_the_species_goes_before_the_makers_name():
    assert rating(DyeInPiece("garden yellow", "Reseda luteola", ALUM)).blue_wool == (2, 4)
    assert rating(DyeInPiece("weld", "Unknown plant", ALUM)).blue_wool == (2, 4)


def test_figures_lead_back_to_the_line_of_the_wall():
    wall = Place("studio/studio.yaml", 18, 8)
    light = guidance([DyeInPiece("weld", mordants=ALUM)], 200, Decimal("7.5"), place=wall)
    dose, a_year = light.years[0].terms
    assert dose.terms[0].value == 1_000_000
    lux_hours = a_year.terms[0]
    assert [term.value for term in lux_hours.terms] == [200, Fraction(15, 2), 365]
    assert lux_hours.terms[0].place == wall and lux_hours.terms[1].place == wall


@pytest.mark.parametrize("wall", [(0, 10), (150, 0), (-5, 10)])
def test_a_wall_without_light_is_refused(wall):
    with pytest.raises(Slip) as slip:
        guidance([DyeInPiece("weld")], *wall)
    assert british().tell(slip.value.what) == "the home wall has no light"
    assert british().tell(slip.value.remedy) == "write light: {lux: 150, hours a day: 10}"


def test_years_in_words():
    low, high = (exposure(1, 1, 1),) * 2
    assert about_years((low, high)) == "about 1 to 1 months"
    five = exposure(1_000_000, 1, 5)
    assert about_years((five, five)) == "about 2.5 to 10 years"
    long = years_to_change(8, exposure(50, 8), uv=False)
    assert about_years((long, long)) == "more than 100 years"
    assert british().number(Fraction(1_234_567)) == "1,234,567"  # as money beside it has it


_NAMED = st.sampled_from([dye.name for dye in dyes()])
_SALTS = st.frozensets(st.sampled_from(["alum", "iron", "tin", "copper", "chrome"]))
_PIECES = st.lists(st.builds(DyeInPiece, name=_NAMED, mordants=_SALTS), min_size=1, max_size=5)


@property_of(piece=_PIECES, another=st.builds(DyeInPiece, name=_NAMED, mordants=_SALTS))
def test_another_dye_never_makes_a_piece_steadier(piece, another):
    before, after = guidance(piece), guidance([*piece, another])
    assert after.blue_wool[0] <= before.blue_wool[0]
    assert after.blue_wool[1] <= before.blue_wool[1]
    assert after.years[0].value <= before.years[0].value
    assert after.limit.value <= before.limit.value


@property_of(piece=_PIECES)
def test_ranges_are_in_order_and_ultraviolet_shortens_them(piece):
    light = guidance(piece)
    assert light.blue_wool[0] <= light.blue_wool[1]
    assert light.years[0].value <= light.years[1].value
    for dim, bright in zip(light.years, light.years_uv, strict=True):
        assert bright.value < dim.value


def test_doses_are_at_whole_blue_wools_only():
    assert dose_of(4, uv=False).value == 10 and dose_of(4, uv=True).value == Fraction("3.5")
    with pytest.raises(ValueError, match="no blue wool 0"):
        dose_of(0, uv=False)
