"""The table of fibre names against the law it is taken from."""

from fractions import Fraction

import pytest

from provenance.reference.fibres import fibre_names, fibres, find_fibre
from provenance.reference.loader import rows


@pytest.mark.parametrize(
    ("written", "us", "eu"),
    [
        # Regulation (EU) No 1007/2011 Annex I; 15 USC 68(b); 16 CFR 303.6, 303.7
        ("rayon", "Rayon", "viscose"),
        ("viscose", "Rayon", "viscose"),
        ("spandex", "Spandex", "elastane"),
        ("hemp", "Hemp", "true hemp"),
        ("True-Hemp", "Hemp", "true hemp"),
        ("flax", "Linen", "linen"),
        ("angora", "Angora Rabbit Hair", "angora"),
        # Annex I no. 3, animal hair with the kind of animal: a rabbit that is no angora, bison
        ("rabbit", "Rabbit Hair", "rabbit hair"),
        ("bison down", "Bison Hair", "bison hair"),
        ("Angora goat", "Mohair", "mohair"),
        ("nylon", "Nylon", "polyamide"),
        ("recycled wool", "Recycled Wool", "wool"),
        ("recycled  Cashmere", "Recycled Cashmere", "cashmere"),
        ("bamboo", "Rayon", "viscose"),
        ("unknown fibers", "Unknown Fibers", "other fibres"),
    ],
)
def test_names_by_market(written, us, eu):
    fibre = find_fibre(written)
    assert fibre is not None
    assert (fibre.on_label("US"), fibre.on_label("EU")) == (us, eu)


@pytest.mark.parametrize("word", ["wol", "", "recycled", "recycled rags", "recycled recycled wool"])
def test_no_such_fibre(word):
    assert find_fibre(word) is None


@pytest.mark.parametrize(
    ("name", "regain", "combed"),
    [
        # Regulation (EU) No 1007/2011 Annex IX
        ("wool", "17.00", "18.25"),
        ("mohair", "17.00", "18.25"),
        ("silk", "11.00", "11.00"),
        ("cotton", "8.50", "8.50"),
        ("linen", "12.00", "12.00"),
        ("hemp", "12.00", "12.00"),
        ("jute", "17.00", "17.00"),
        ("ramie", "8.50", "8.50"),
        ("sisal", "14.00", "14.00"),
        ("viscose", "13.00", "13.00"),
        ("lyocell", "13.00", "13.00"),
        ("nylon", "5.75", "5.75"),
        ("polyester", "1.50", "1.50"),
        ("elastane", "1.50", "1.50"),
    ],
)
def test_agreed_allowances(name, regain, combed):
    fibre = find_fibre(name)
    assert fibre is not None
    assert (fibre.regain * 100, fibre.regain_combed * 100) == (Fraction(regain), Fraction(combed))


def test_wool_act_fibres():
    # 15 USC 68(b): sheep, Angora and Cashmere goat, camel, alpaca, llama, vicuna
    assert {fibre.name for fibre in fibres() if fibre.is_wool_act} == {
        "wool",
        "recycled wool",
        "mohair",
        "cashmere",
        "camel hair",
        "alpaca",
        "llama",
        "vicuna",
    }


def test_every_word_leads_to_one_fibre():
    words = [word for row in rows("fibres") for word in (row["name"], *row["also"])]
    assert len(words) == len(set(words)) == len(fibre_names())
    for row in rows("fibres"):
        for word in (row["name"], *row["also"]):
            fibre = find_fibre(word)
            assert fibre is not None
            assert fibre.name == row["name"]


def test_every_row_says_where_it_is_from():
    for row in rows("fibres"):
        assert row["source"], row["name"]
        assert {row["sure"], row["us_sure"], row["regain_sure"]} <= {"R", "M"}, row["name"]
        assert row["group"] in {"wool", "hair", "silk", "plant", "man-made", "other", "unknown"}


def test_animal_fibres():
    assert [find_fibre(name).is_animal for name in ("wool", "yak", "silk", "linen", "nylon")] == [
        True,
        True,
        True,
        False,
        False,
    ]
