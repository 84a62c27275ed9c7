"""Mordants and bath helps: any trade name finds the row; ranges, hazards, copperas and children."""

import tomllib
from decimal import Decimal
from pathlib import Path

import pytest

from provenance.language.phrases import british
from provenance.reference.dyes import dyes
from provenance.reference.loader import table
from provenance.reference.mordants import (
    family_of,
    find_mordant,
    general_cautions,
    holds_dye,
    mordants,
)
from provenance.reference.poisons import find_stuff, poisons

TRUTH = Path(__file__).parent.parent / "truth"
FAMILIES = ("alum", "tin", "iron", "copper", "chrome", "none")
KINDS = ("mordant", "assistant", "modifier", "vat help")


@pytest.mark.parametrize(
    ("asked", "name", "family"),
    [
        ("alum", "alum", "alum"),
        ("potash alum", "alum", "alum"),
        ("alum-2024", "alum", "alum"),
        ("aluminum sulfate", "aluminium sulphate", "alum"),
        ("aluminium acetate", "aluminium acetate", "alum"),
        ("symplocos", "symplocos", "alum"),
        ("CoT", "cream of tartar", "none"),
        ("argol", "cream of tartar", "none"),
        ("ferrous sulfate", "iron", "iron"),
        ("ferrous sulphate", "iron", "iron"),
        ("copperas", "iron", "iron"),
        ("green vitriol", "iron", "iron"),
        ("bluestone", "copper", "copper"),
        ("copper sulphate", "copper", "copper"),
        ("stannous chloride", "tin", "tin"),
        ("potassium dichromate", "chrome", "chrome"),
        ("chrome alum", "chrome alum", "chrome"),
        ("washing soda", "soda ash", "none"),
        ("white vinegar", "vinegar", "none"),
        ("hydros", "hydrosulphite", "none"),
        ("thiox", "thiourea dioxide", "none"),
        ("oak galls", "tannin", "none"),
    ],
)
def test_any_trade_name_finds_the_row(asked, name, family):
    assert find_mordant(asked).name == name
    assert family_of(asked) == family


@pytest.mark.parametrize("asked", ["", "moon dust", "weld", "alum and iron"])
def test_unknown_or_unclear_names_find_nothing(asked):
    assert find_mordant(asked) is None
    assert family_of(asked) == "none"


def test_no_name_means_two_and_rows_make_sense():
    for row in mordants():
        for name in (row.name, *row.other_names):
            assert find_mordant(name) == row, name
        assert row.kind in KINDS and row.family in FAMILIES, row.name
        for _, usual in row.usual:
            low, high = usual.low or Decimal(0), usual.high
            assert 0 <= low <= high <= 100, row.name


def test_usual_ranges_hold_the_recipes_of_the_handbooks():
    """Mairet 1916, Beech, Britannica 1911, as far as nothing newer says that more does harm:
    alum above 20 %, iron above 4 %, tin and copper above 2 % are remarked on on purpose."""
    printed = {
        "alum": [10, 20, 8, 6],
        "cream of tartar": [Decimal("6.25"), 7, 5, 2, 10],
        "tin": [],
        "copper": [2],
        "aluminium sulphate": [5, 10],
        "iron": [2, 4],
    }
    for name, shares in printed.items():
        usual = find_mordant(name).usual_on("wool")
        assert all(usual.holds(Decimal(share)) for share in shares), name
    too_much = {"iron": "4.1", "alum": "20.1", "tin": "4", "copper": "4"}
    for name, share in too_much.items():
        assert not find_mordant(name).usual_on("wool").holds(Decimal(share)), name
    assert not find_mordant("alum").usual_on("wool").holds(Decimal("5.9"))
    assert find_mordant("chrome").usual_on("wool") is None  # no amount of it is usual


def test_what_holds_a_dye():
    held = {name: holds_dye(name) for name in ("alum", "iron", "tannin", "cream of tartar", "lime")}
    assert held == {
        "alum": True,
        "iron": True,
        "tannin": True,
        "cream of tartar": False,
        "lime": False,
    }


def test_tin_chrome_and_copper_are_grave_and_chrome_is_not_to_be_used():
    assert {"tin", "chrome", "copper"} <= {row.name for row in mordants() if row.grave}
    assert british().say("hazard.chrome").startswith("not to be used")


def test_the_copperas_caution_is_the_published_dose():
    """McGuigan 1996, Royal Children's Hospital Melbourne, Bateman 2003: 20 mg of iron per kg may
    make ill, above 40 to hospital, 60 poisons the whole body; copperas is 20.1 % iron."""
    truth = tomllib.loads((TRUTH / "dosing.toml").read_text(encoding="utf-8"))["copperas"]
    words = british().tell(find_mordant("copperas").hazard.words)
    assert "at 10 kg" in words
    for row in truth["levels"]:
        iron = Decimal(row["milligrams_iron_per_kg"]) * truth["child_kg"]
        grams = iron / 1000 / Decimal(truth["iron_share"])
        assert round(grams, 1) == Decimal(row["grams"])
        assert f"{row['grams']} g" in words and f"{row['milligrams_iron_per_kg']} mg" in words


def test_general_cautions_name_powders_pots_heat_and_waste():
    told = [british().tell(caution.words).split(":")[0] for caution in general_cautions()]
    assert told == ["powders", "pots", "heat", "waste", "moth oils"]
    assert all(caution.source and caution.sure for caution in general_cautions())


@pytest.mark.parametrize(
    ("called", "name"),
    [
        ("Kalialaun", "alum"),
        ("Weinstein", "cream of tartar"),
        ("Eisenvitriol", "iron"),
        ("Kalkhydrat", "lime"),
        ("Krappwurzel, gemahlen", "madder"),
        ("Reseda", "weld"),
        ("Walnussschalen", "walnut"),
        ("Zwiebelschalen", "onion skins"),
        ("Eisenhut", "monkshood"),  # a poison, and no iron
        ("Maiglöckchen", "lily of the valley"),
    ],
)
def test_makers_who_write_german_find_their_stuffs(called, name):
    assert find_stuff(called).name == name


def test_every_german_name_is_of_a_row_and_of_one_alone():
    found = {"dye": dyes(), "mordant": mordants(), "poison": poisons()}
    german = table("german")
    for kind, rows in found.items():
        assert german[kind].keys() <= {row.name for row in rows}
        for name, called in german[kind].items():
            for word in called:
                assert find_stuff(word).name == name, word
