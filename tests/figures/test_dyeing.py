"""Doses, bath remarks, cautions and scaled recipes against handbooks (tests/truth/dosing.toml)."""

import tomllib
from decimal import Decimal
from fractions import Fraction
from pathlib import Path

import pytest
from hypothesis import given as property_of
from hypothesis import strategies as st

from provenance.figures.dyes import dosing, guard
from provenance.figures.dyes.dosing import hazards, scale_recipe
from provenance.figures.dyes.dye_day import kinds_of
from provenance.figures.flow.gather import dose_grams
from provenance.language.phrases import british
from provenance.records.quantities import Share

TRUTH = tomllib.loads(
    (Path(__file__).parent.parent / "truth" / "dosing.toml").read_text(encoding="utf-8")
)


def told(said):
    return None if said is None else british().tell(said)


def share_remark(name, percent, fibre="wool"):
    return told(guard.share_remark(name, percent, kinds_of({fibre: 1})))


def heat_remark(names, celsius, fibre="wool"):
    return told(guard.heat_remark({name: name for name in names}, celsius, kinds_of({fibre: 1})))


def missing_mordant(names, *, has_mordant):
    names = {name: name for name in names}
    return told(guard.missing_mordant(names, has_mordant=has_mordant))


def mordant_remark(name):
    return told(guard.grave_remark(name, name))


def chain_words(baths):
    return told(dosing.chain_words(baths))


def dose(percent, fibre):
    return dose_grams(Share(Fraction(percent) / 100), Fraction(fibre))


@pytest.mark.parametrize("row", TRUTH["dose"], ids=lambda row: f"{row['what']} on {row['fibre']}")
def test_doses_of_handbooks_and_teachers(row):
    assert dose(row["share"], row["fibre"]) == Fraction(row["grams"])


@pytest.mark.parametrize("row", TRUTH["share"], ids=lambda row: row["what"])
def test_shares_of_mairet(row):
    assert dose(row["percent"], row["fibre"]) == Fraction(row["amount"])


@pytest.mark.parametrize(
    ("name", "percent", "remark"),
    [
        (
            "alum",
            "30",
            "alum at 30 % of the fibre is above the usual 6 to 20 %: too much makes wool sticky"
            " (Mairet, A Book on Vegetable Dyes (6 to 8); earthues.com; maiwa.com (8 to 20);"
            " Mairet, Vegetable Dyes (25))",
        ),
        (
            "cream of tartar",
            "1.5",
            "cream of tartar at 1.5 % of the fibre is below the usual 2 to 10 % (Beech, The Dyeing"
            " of Woollen Fabrics (1.5 to 2.5); Mairet, A Book on Vegetable Dyes"
            " (5 to 7; 10 with iron))",
        ),
        (
            "copperas",
            "5.5",
            "copperas at 5.5 % of the fibre is above 4 %, the most advised on wool: hardens wool,"
            " and weakens any fibre with time (maiwa.com; naturaldyes.ca/osage (2–4); Mairet,"
            " Vegetable Dyes (5–8))",
        ),
    ],
)
def test_shares_outside_the_usual_range_are_remarked_on(name, percent, remark):
    assert share_remark(name, Decimal(percent)) == remark


@pytest.mark.parametrize(
    ("name", "percents"),
    [
        ("alum", ["6", "12", "20"]),
        ("potash alum", ["8"]),
        ("cream of tartar", ["2", "6.25", "10"]),
        ("iron", ["0.5", "4"]),
        ("vinegar", ["300"]),
        ("moon dust", ["1"]),
    ],
)
def test_shares_within_the_range_or_without_one_pass(name, percents):
    assert [share_remark(name, Decimal(percent)) for percent in percents] == [None] * len(percents)


def test_madder_above_72_browns():
    assert heat_remark(["madder"], Decimal(72)) is None
    assert heat_remark(["madder"], Decimal("72.5")) == (
        "madder above 72 °C: reds turn brown and dull; the handbooks do go to 80 °C, or boil"
        " briefly at the end (bzdesign.biz)"
    )


def test_weld_above_90_dulls():
    assert heat_remark(["weld"], Decimal(90)) is None
    assert heat_remark(["weld"], Decimal(91)) == (
        "weld above 90 °C: the yellow dulls (Mairet, A Book on Vegetable Dyes, weld;"
        " what happens above is from memory)"
    )


def test_an_indigo_vat_above_60_is_too_hot_for_wool_and_hair_only():
    assert heat_remark(["indigo"], Decimal(60)) is None
    for fibre in ("wool", "virgin wool", "mohair"):
        assert heat_remark(["indigo"], Decimal(65), fibre).startswith("indigo above 60 °C:")
    assert heat_remark(["indigo", "woad"], Decimal(65), "cotton") is None


def test_several_dyes_in_one_hot_bath_are_each_named():
    said = heat_remark(["weld", "madder", "cochineal"], Decimal(95))
    assert said.index("weld above 90 °C") < said.index("madder above 72 °C")
    assert "cochineal" not in said


def test_dyes_that_need_a_mordant_ask_for_it():
    assert missing_mordant(["weld"], has_mordant=False) == (
        "weld holds only on a mordant, and this yarn carries none"
    )
    assert missing_mordant(["weld", "madder", "walnut", "weld"], has_mordant=False) == (
        "weld and madder hold only on a mordant, and this yarn carries none"
    )
    assert missing_mordant(["weld"], has_mordant=True) is None


def test_indigo_walnut_cochineal_and_the_unknown_do_not_ask():
    names = ["indigo", "walnut", "cochineal", "cutch", "crottle", "moss from the wall"]
    assert missing_mordant(names, has_mordant=False) is None


def test_copper_tin_and_chrome_are_remarked_on():
    assert mordant_remark("potassium dichromate") == (
        "potassium dichromate: not to be used: it causes cancer, and EU law has barred it without"
        " authorisation since 21 September 2017 (REACH Annex XIV, after reach-service.de and RIVM;"
        " as of November 2026)"
    )
    assert mordant_remark("bluestone") == (
        "bluestone: harmful if swallowed, damages eyes, and very poisonous to water life: keep it"
        " out of drains; about 10 g may kill an adult, and 1 g has (International Chemical Safety"
        " Card, 1416; National Poisons Information Service, monograph 56 (inchem.org); as of"
        " November 2026)"
    )
    assert mordant_remark("tin").startswith("tin: corrosive and harmful")
    assert [mordant_remark(name) for name in ("alum", "iron")] == [None] * 2
    assert mordant_remark("moon dust") == "moon dust: not known here, not known to be safe"


def test_cautions_come_once_each_with_source_and_disposal():
    found = hazards(["alum", "potash alum", "copperas", "weld", "cochineal", "indigo"])
    assert [caution.name for caution in found] == ["alum", "iron", "cochineal", "indigo"]
    assert all(told(row.hazard.words) and row.hazard.source for row in found)
    assert told(found[0].disposal.words).startswith("use the bath up")


def test_the_chain_of_baths_in_words():
    assert chain_words([["weld"], ["indigo"]]) == "weld, then indigo"
    assert chain_words([["madder", "cochineal", "lac"], [], ["indigo"], ["indigo"]]) == (
        "madder, cochineal and lac, then indigo"
    )
    assert chain_words([]) == ""
    assert chain_words([["a lot of mine"], ["iron"]]) == "a lot of mine, then iron"


def test_a_recipe_of_mairet_scaled_to_a_pound():
    row = TRUTH["recipe"]
    amounts = [(what, Decimal(amount)) for what, amount in row["amounts"]]
    lines = scale_recipe(amounts, Decimal(row["from"]), Decimal(row["to"]), {})
    assert [line.grams.value for line in lines] == [Fraction(grams) for grams in row["scaled"]]
    assert [line.lacking for line in lines] == [line.grams.value for line in lines]


def test_what_the_shelf_lacks():
    lines = scale_recipe(
        [("alum", Decimal("50.4")), ("weld", 252), ("weld", 42)],
        420,
        310,
        {"alum": Decimal(1000), "weld": 200},
    )
    assert [(line.what, line.grams.value, line.on_shelf, line.lacking) for line in lines] == [
        ("alum", Fraction("37.2"), 1000, 0),
        ("weld", 186, 200, 0),
        ("weld", 31, 14, 17),
    ]


def test_a_recipe_for_no_fibre_is_refused():
    with pytest.raises(ValueError, match="a recipe needs the weight of fibre it was made for"):
        scale_recipe([("alum", 1)], 0, 100, {})


_GRAMS = st.decimals("0.1", "5000", places=1)


@property_of(amount=_GRAMS, base=_GRAMS, wanted=_GRAMS)
def test_scaling_keeps_the_share_to_a_twentieth_of_a_gram(amount, base, wanted):
    (line,) = scale_recipe([("alum", amount)], base, wanted, {})
    exact = Fraction(amount) * Fraction(wanted) / Fraction(base)
    assert abs(line.grams.value - exact) <= Fraction(1, 20)
    assert line.on_shelf + line.lacking >= line.grams.value


def test_what_counts_as_wool():
    assert [
        kinds_of({fibre: 1}) == ("wool",) for fibre in ("recycled wool", "Alpaca", "linen", "silk")
    ] == [True, True, False, False]
