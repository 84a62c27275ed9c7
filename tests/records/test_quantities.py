"""Quantities: every way of writing them, against the unit library pint and by hand.

The inch (2.54 cm) and the pound (453.59237 g) are those of the international yard and pound
agreement of 1959; pint carries the same definitions and is asked here as an outside reader.
"""

from __future__ import annotations

import copy
import pickle
from fractions import Fraction

import pint
import pytest
from hypothesis import given
from hypothesis import strategies as st

from provenance.language.phrases import british
from provenance.problems import Place, Slip
from provenance.records.numbers import LENGTHS, WEIGHTS, Habits
from provenance.records.quantities import (
    AboveEdge,
    Celsius,
    Centimetres,
    Count,
    Duration,
    Grams,
    Hours,
    Money,
    PartShare,
    PerCentimetre,
    Rate,
    Share,
    YieldShare,
)

POINT = Habits()
COMMA = Habits(decimal_comma=True, currency="EUR")
DOLLAR = Habits(currency="USD")
UNITS = pint.UnitRegistry(non_int_type=Fraction)
FOR_PINT = {'"': "inch", "'": "foot", "yd": "yard", "yds": "yard", "lbs": "lb", "kgs": "kg",
            "″": "inch", "”": "inch", "′": "foot", "’": "foot",
            "kilo": "kg", "kilos": "kg"}  # fmt: skip

decimals = st.decimals(min_value=0, max_value=99_999, places=3, allow_nan=False)


@given(decimals, st.sampled_from(sorted(WEIGHTS)))
def test_weights_agree_with_pint(amount, unit):
    expected = UNITS.Quantity(Fraction(amount), FOR_PINT.get(unit, unit)).to("gram").magnitude
    assert Grams.read(f"{amount} {unit}", POINT) == expected
    assert Grams.read(f"{amount}{unit}", POINT) == expected


@given(decimals, st.sampled_from(sorted(LENGTHS)))
def test_lengths_agree_with_pint(amount, unit):
    expected = UNITS.Quantity(Fraction(amount), FOR_PINT.get(unit, unit)).to("cm").magnitude
    assert Centimetres.read(f"{amount} {unit}", POINT) == expected


@given(st.integers(0, 500), st.integers(0, 15), st.integers(1, 15))
def test_pounds_and_ounces_add_up(pounds, ounces, sixteenths):
    read = Grams.read(f"{pounds} lb {ounces} {sixteenths}/16 oz", POINT)
    assert read == (pounds * 16 + ounces + Fraction(sixteenths, 16)) * Fraction("28.349523125")


@given(st.integers(-100, 400))
def test_fahrenheit_agrees_with_pint(degrees):
    expected = UNITS.Quantity(Fraction(degrees), "degF").to("degC").magnitude
    assert abs(Celsius.read(f"{degrees} F", POINT) - Fraction(expected)) < Fraction(1, 10**9)


@given(st.integers(0, 999), st.integers(0, 59))
def test_every_way_to_write_a_time_is_the_same_time(hours, minutes):
    expected = Fraction(hours * 60 + minutes, 60)
    for written in (
        f"{hours}:{minutes:02}",
        f"{hours} h {minutes} min",
        f"{hours}h{minutes}min",
        f"{hours} hours {minutes} minutes",
        f"{hours * 60 + minutes} min",
        f"{hours} {minutes}/60",
    ):
        assert Hours.read(written, POINT) == expected


@pytest.mark.parametrize(
    ("kind", "written", "value"),
    [
        (Grams, "412 g", "412"),
        (Grams, "1.2 kg", "1200"),
        (Grams, "3 lb 4 oz", "1474.1752025"),
        (Grams, "5 oz", "141.747615625"),
        (Grams, "½ lb", "226.796185"),
        (Grams, "1½ lb.", "680.388555"),
        (Grams, "2 Pounds", "907.18474"),
        (Centimetres, "124 cm", "124"),
        (Centimetres, "1.9 m", "190"),
        (Centimetres, "48 in", "121.92"),
        (Centimetres, '48"', "121.92"),
        (Centimetres, "4 ft 2 in", "127"),
        (Centimetres, "4'2\"", "127"),
        (Centimetres, "36 yd", "3291.84"),
        (Centimetres, "1 1/2 in", "3.81"),
        (Centimetres, "1-1/2 in", "3.81"),
        (Centimetres, "3 1/8 in", "7.9375"),
        (Centimetres, "1/2 in", "1.27"),
        (Hours, "61", "61"),
        (Hours, "4 h 30 min", "4.5"),
        (Hours, "45 min", "0.75"),
        (Hours, "4:30", "4.5"),
        (Hours, "12:30", "12.5"),
        (Hours, "0.25", "0.25"),
        (Hours, "1 ¾ h", "1.75"),
        (Hours, "010", "10"),
        (Duration, "3 days", "72"),
        (Celsius, "88 C", "88"),
        (Celsius, "-5 °C", "-5"),
        (Celsius, "212F", "100"),
        (Share, "10 %", "0.1"),
        (Share, "2½ %", "0.025"),
        (Share, "250%", "2.5"),
        (Share, "10 per cent", "0.1"),
        (PerCentimetre, "6 per cm", "6"),
        (PerCentimetre, "6/cm", "6"),
        (PerCentimetre, "6 per cm on the loom", "6"),
        (PerCentimetre, "12.7 epi in the reed", "5"),
        (PerCentimetre, "127 per in", "50"),
        (PerCentimetre, "12.7 epi", "5"),
        (AboveEdge, "4 cm above", "4"),
        (AboveEdge, "2 cm below the top edge", "-2"),
        (AboveEdge, "2 1/2 in above", "6.35"),
        (AboveEdge, "0 cm above edge", "0"),
        (Money, "36.00", "36"),
        (Money, "£36.50", "36.5"),
        (Money, "36 GBP", "36"),
        (Money, "12.50 EUR at 0.86", "10.75"),
        (Money, "€12.50 at 0.86", "10.75"),
        (Rate, "0.45 per hour", "0.45"),
        (Rate, "4.10/h", "4.1"),
        (Count, "2", "2"),
        (Count, "1 1/2", "1.5"),
    ],
)  # fmt: skip
def test_what_a_maker_writes_is_read(kind, written, value):
    assert kind.read(written, POINT) == Fraction(value)


@pytest.mark.parametrize(
    ("kind", "written", "what", "remedy"),
    [
        (Grams, "", "a weight is wanted here", "write for example 412 g, 1.2 kg or 3 lb 4 oz"),
        (Grams, "some", "'some' is not a weight", "write for example 412 g, 1.2 kg or 3 lb 4 oz"),
        (Grams, "12:30", "'12:30' is a weight without a unit",
         "write for example 412 g, 1.2 kg or 3 lb 4 oz"),
        (Grams, "3 lb 4", "'3 lb 4' is a weight without a unit",
         "write for example 412 g, 1.2 kg or 3 lb 4 oz"),
        (Grams, "2 gr", "'gr' is not a unit of weight",
         "did you mean 'g'? write for example 412 g, 1.2 kg or 3 lb 4 oz"),
        (Grams, "−2 g", "'-2 g': a weight can't be negative",
         "for example 412 g, 1.2 kg or 3 lb 4 oz"),
        (Grams, "- 2 g", "'- 2 g': a weight can't be negative",
         "for example 412 g, 1.2 kg or 3 lb 4 oz"),
        (Grams, "1/0 kg", "'1/0' divides by nothing", "the lower number can't be 0"),
        (Grams, "1.2.3 kg", "'1.2.3 kg' is a weight without a unit",
         "write for example 412 g, 1.2 kg or 3 lb 4 oz"),
        (Grams, "1e9 g", "'e' is not a unit of weight",
         "write for example 412 g, 1.2 kg or 3 lb 4 oz"),
        (Grams, "nan g", "'nan g' is not a weight", "write for example 412 g, 1.2 kg or 3 lb 4 oz"),
        (Grams, "٣ kg", "'٣ kg' is not a weight", "write for example 412 g, 1.2 kg or 3 lb 4 oz"),
        (Grams, "1234567890123 g", "a number of more than 12 digits",
         "no studio weighs or earns so much"),
        (Centimetres, "5 feets", "'feets' is not a unit of length",
         "did you mean 'feet'? write for example 124 cm, 1.9 m or 48 in"),
        (Hours, "4:75", "'4:75' has more than 59 minutes", "write for example 4:30"),
        (Hours, "2 days", "'2 days': how many hours is that?",
         "hands-on hours are wanted, such as 12 h"),
        (Hours, "no", "'no' is not a time", "write for example 61, 4 h 30 min, 45 min or 4:30"),
        (Celsius, "88", "'88' is a temperature without a unit", "write for example 88 C or 190 F"),
        (Celsius, "hot", "'hot' is not a temperature", "write for example 88 C or 190 F"),
        (Share, "10", "'10' is a share without its sign", "write '10 %'"),
        (Share, "0.125", "'0.125' is a share without its sign",
         "does 0.125 mean 12.5 %? write '12.5 %'"),
        (Share, "-10 %", "'-10 %': a share can't be negative", "for example 10 %"),
        (PartShare, "145 %", "'145 %' is more than the whole", "a share of 100 % at most"),
        (YieldShare, "0 %", "'0 %' would leave nothing", "write what is left, such as 55 %"),
        (PerCentimetre, "6", "'6' is a sett without a unit", "write '6 per cm'"),
        (AboveEdge, "4 cm", "'4 cm' is not a place above or below the top edge",
         "write for example 4 cm above or 2 cm below"),
        (AboveEdge, "4 above", "'4' is a length without a unit",
         "write for example 124 cm, 1.9 m or 48 in"),
        (Money, "12.50 EUR", "'12.50 EUR' is in EUR, the studio counts in GBP",
         "write the rate with it: '12.50 EUR at 0.86'"),
        (Money, "$12.50", "'$12.50' is in USD, the studio counts in GBP",
         "write the rate with it: '12.50 USD at 0.86'"),
        (Money, "12.50 at 0.86", "'12.50 at 0.86' has a rate, and is in GBP already",
         "write '12.50', or the currency it was paid in: '12.50 EUR at 0.86'"),
        (Money, "free", "'free' is not an amount of money",
         "write for example 36.00, or 12.50 EUR at 0.86"),
        (Rate, "4.10", "'4.10' is not an amount per hour", "write for example 0.45 per hour"),
        (Count, "2 kg", "'2 kg' is not a number", "write for example 2"),
        (Grams, "3,5 kg", "'3,5 kg' has a comma in its number",
         "write '3.5 kg' with a point, or say 'decimal comma: yes' in the studio file"),
        (Money, "1,450", "'1,450' has a comma in its number",
         "write '1450', or with a point if it is a decimal comma "
         "('decimal comma: yes' in the studio file lets you write commas)"),
        (Money, "1,450.00", "'1,450.00' has a comma in its number", "write '1450.00'"),
        (Money, "0,350", "'0,350' has a comma in its number",
         "write '0.350' with a point, or say 'decimal comma: yes' in the studio file"),
    ],
)  # fmt: skip
def test_what_cannot_be_meant_is_refused_in_words(kind, written, what, remedy):
    with pytest.raises(Slip) as slip:
        kind.read(written, POINT)
    tell = british().tell
    assert (tell(slip.value.what), tell(slip.value.remedy)) == (what, remedy)


@pytest.mark.parametrize(
    ("kind", "written", "value"),
    [
        (Grams, "3,5 kg", "3500"),
        (Grams, "412,5g", "412.5"),
        (Hours, "1,25", "1.25"),
        (Share, "12,5 %", "0.125"),
        (Money, "36,50", "36.5"),
        (Money, "36.50", "36.5"),
        (Money, "12,50 GBP at 1,16", "14.5"),
        (Celsius, "37,5 C", "37.5"),
    ],
)
def test_a_studio_with_decimal_commas(kind, written, value):
    assert kind.read(written, COMMA) == Fraction(value)


def test_every_kind_has_its_words():
    for kind in (Celsius, Centimetres, Count, Duration, Grams, Hours, Money, PartShare,
                 PerCentimetre, Rate, Share, YieldShare):  # fmt: skip
        for word in (
            kind.kind,
            f"{kind.kind}_such",
            *([f"{kind.kind}_unit"] if kind.units else []),
        ):
            assert british().named("amount", word) != word


@pytest.mark.parametrize("written", ["1.450,00", "1.450", "12.450 g"])
def test_a_point_before_three_digits_is_no_guess(written):
    with pytest.raises(Slip) as slip:
        (Grams if "g" in written else Money).read(written, COMMA)
    assert "can be read in two ways" in british().tell(slip.value.what)


def test_a_dollar_is_the_studios_own():
    assert Money.read("$36.00", DOLLAR) == 36
    assert Money.read("$36.00", Habits(currency="CAD")) == 36


@given(st.text(max_size=30), st.sampled_from([POINT, COMMA]))
def test_any_text_is_read_or_refused(text, habits):
    for kind in (Grams, Centimetres, Hours, Duration, Celsius, Share, Money, Rate, Count,
                 PerCentimetre):  # fmt: skip
        try:
            value = kind.read(text, habits)
        except Slip as slip:
            assert british().tell(slip.what)
        else:
            assert kind is Celsius or value >= 0


def test_quantities_survive_copies_and_pickles():
    weight = Grams(Fraction(412), Place("a.yaml", 3, 4), "412 g")
    for again in (copy.copy(weight), copy.deepcopy(weight), pickle.loads(pickle.dumps(weight))):
        assert (again, again.place, again.written) == (weight, weight.place, "412 g")
    assert type(weight + 1) is Fraction
