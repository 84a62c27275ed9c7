"""Mordants and bath helps: any trade name finds the row; ranges, hazards, copperas and children."""

import tomllib
from decimal import Decimal
from pathlib import Path

import pytest

from provenance.language.phrases import british
from provenance.reference.mordants import (
    family_of,
    find_mordant,
    general_cautions,
    holds_dye,
    mordants,
)

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
        ("chrome alum", "chrome", "chrome"),
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
        if row.usual:
            low, high = row.usual.low or Decimal(0), row.usual.high
            assert 0 <= low <= high <= 100, row.name


def test_usual_ranges_hold_the_recipes_of_the_handbooks():
    """Mairet 1916, Beech, Britannica 1911; iron is remarked on above 5 % on purpose."""
    printed = {
        "alum": [25, 10, 20, 8, 6],
        "cream of tartar": [Decimal("6.25"), 7, 5, 2, 10],
        "tin": [4, 6, 8],
        "chrome": [2, 3, 4],
        "copper": [2, 4, 6, 10],
        "aluminium sulphate": [5, 10],
        "iron": [2, 4, 5],
    }
    for name, shares in printed.items():
        assert all(find_mordant(name).usual.holds(Decimal(share)) for share in shares), name
    assert not find_mordant("iron").usual.holds(Decimal("5.1"))
    assert not find_mordant("alum").usual.holds(Decimal("25.1"))
    assert not find_mordant("alum").usual.holds(Decimal("5.9"))


def test_what_holds_a_dye():
    held = {name: holds_dye(name) for name in ("alum", "iron", "tannin", "cream of tartar", "lime")}
    assert held == {
        "alum": True,
        "iron": True,
        "tannin": True,
        "cream of tartar": False,
        "lime": False,
    }


def test_grave_ones_are_tin_chrome_and_copper_and_chrome_is_not_to_be_used():
    assert [row.name for row in mordants() if row.grave] == ["tin", "chrome", "copper"]
    assert british().say("grave.chrome").startswith("not to be used")


def test_the_copperas_caution_is_the_published_dose():
    """McGuigan 1996 and Bateman 2003: 60 mg of iron per kg; copperas is 20.1 % iron."""
    truth = tomllib.loads((TRUTH / "dosing.toml").read_text(encoding="utf-8"))["copperas"]
    iron = Decimal(truth["milligrams_iron_per_kg"]) * truth["child_kg"]
    grams = iron / 1000 / Decimal(truth["iron_share"])
    assert round(grams, 1) == Decimal(truth["grams"])
    words = british().tell(find_mordant("copperas").hazard.words)
    assert "3 g of copperas" in words and "600 mg of iron" in words and "10 kg" in words


def test_general_cautions_name_powders_pots_heat_and_waste():
    told = [british().tell(caution.words).split(":")[0] for caution in general_cautions()]
    assert told == ["powders", "pots", "heat", "waste", "moth oils"]
    assert all(caution.source and caution.sure for caution in general_cautions())
