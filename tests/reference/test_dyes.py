"""The table of dyes: found by Latin or plain name, ranges that make sense, published ratings."""

import tomllib
from decimal import Decimal
from pathlib import Path

import pytest

from provenance.language.phrases import british
from provenance.reference import sourced
from provenance.reference.dyes import dyes, find_dye
from provenance.reference.loader import rows

TRUTH = Path(__file__).parent.parent / "truth"
FAMILIES = ("alum", "tin", "iron", "copper", "chrome", "none")


@pytest.mark.parametrize(
    ("asked", "name"),
    [
        ("Reseda luteola", "weld"),
        ("reseda luteola L.", "weld"),
        ("weld", "weld"),
        ("Weld tops, 2025", "weld"),
        ("madder root", "madder"),
        ("Rubia cordifolia", "madder"),
        ("Coccus cacti", "cochineal"),
        ("Caesalpinia echinata", "brazilwood"),
        ("Caesalpinia sappan", "sappanwood"),
        ("Isatis tinctoria", "woad"),
        ("Persicaria tinctoria", "indigo"),
        ("indigo extract", "Saxon blue"),
        ("Maclura pomifera", "osage orange"),
        ("Chlorophora tinctoria", "old fustic"),
        ("Anthemis tinctoria", "dyer's chamomile"),
        ("dyers’ broom", "dyer's broom"),
        ("St. John's Wort", "St John's wort"),
        ("pot marigold", "pot marigold"),
        ("marigolds", "marigold"),
        ("onion", "onion skins"),
        ("black walnut hulls", "walnut"),
        ("Solidago", "goldenrod"),
        ("Solidago nemoralis", "goldenrod"),
        ("Rubia sp.", "madder"),
    ],
)
def test_a_dye_is_found_by_any_of_its_names(asked, name):
    found = find_dye(asked)
    assert found is not None and found.name == name


@pytest.mark.parametrize(
    "asked",
    [
        "Maclura",  # fustic or osage orange
        "Quercus",  # quercitron or oak gall
        "Caesalpinia",  # three dyes
        "Persicaria bistorta",  # kin of Japanese indigo without indigo
        "Allium sativum",
        "weld and indigo",
        "lichen",
        "blue",
        "2025",
        "",
    ],
)
def test_what_is_unclear_or_unknown_is_not_guessed(asked):
    assert find_dye(asked) is None


def test_there_are_at_least_28_dyes_and_no_name_means_two():
    assert len(dyes()) >= 28
    for dye in dyes():
        for name in (dye.name, *dye.other_names, *dye.species):
            assert find_dye(name) == dye, name


def test_ranges_make_sense():
    for row in rows("dyes"):
        for usual in (sourced.span(row, "share"), sourced.span(row, "share_extract")):
            if usual:
                assert 0 < usual.low <= usual.high <= 600, row["name"]
    for dye in dyes():
        for family, span in dye.light:
            assert family in ("any", "pale", "cellulose", *FAMILIES), dye.name
            assert 1 <= span.low <= span.high <= 8, dye.name
            assert span.low == int(span.low) and span.high == int(span.high), dye.name
        assert dye.on_wool in ("mordant", "vat", "substantive", "tannin"), dye.name
        assert dye.mordant in ("needed", "not needed", "either"), dye.name
        assert (dye.on_wool == "mordant") == (dye.mordant != "not needed"), dye.name
        assert dye.heat is None or Decimal(40) <= dye.heat.celsius <= 100, dye.name


def test_vats_walnut_and_cochineal_as_the_trade_has_them():
    """Indigo and walnut need no mordant (Mairet 1916); cochineal is recorded either way."""
    assert [find_dye(name).mordant for name in ("indigo", "woad", "walnut", "cochineal")] == [
        "not needed",
        "not needed",
        "not needed",
        "either",
    ]


@pytest.mark.parametrize(
    "published",
    tomllib.loads((TRUTH / "light.toml").read_text(encoding="utf-8"))["published"],
    ids=lambda row: row["dye"],
)
def test_blue_wool_ranges_hold_what_was_published(published):
    """Taylor 1986 and CCI: our range meets theirs, and starts no higher."""
    spans = dict(find_dye(published["dye"]).light)
    ours = spans.get(published["mordant"]) or spans["any"]
    low, high = published["blue_wool"]
    assert ours.low <= low
    assert ours.high >= (low if "contradicted" in published else high)


def test_what_nobody_rated_is_marked_as_only_expected_or_has_no_range():
    expected = ("walnut", "kermes", "quercitron", "safflower", "Saxon blue", "birch leaves")
    for name in (*expected, "henna", "dock", "annatto", "saffron", "sawwort", "avocado"):
        assert {span.sure for _, span in find_dye(name).light} == {"memory"}, name
    yellows = ("goldenrod", "tansy", "coreopsis", "cosmos", "dahlia", "pot marigold")
    for name in (*yellows, "young fustic"):
        assert find_dye(name).light == () and find_dye(name).light_family == "yellow", name
    assert [name for name, _ in find_dye("oak gall").light] == ["iron"]


def test_where_sources_lie_two_classes_apart_that_is_marked():
    """Rule: both ends are given, and said to disagree."""
    marked = {dye.name: dye.disagree for dye in dyes() if dye.disagree}
    assert marked == {
        "madder": ("any",), "logwood": ("chrome",), "cutch": ("any",), "crottle": ("any",)
    }  # fmt: skip
    for name, families in marked.items():
        for family in families:
            span = dict(find_dye(name).light)[family]
            assert span.high - span.low >= 2


def test_the_reds_stand_in_the_published_order():
    """Kirby and Saunders 2025: on wool madder is steadier than cochineal, that than brazilwood."""
    reds = [dict(find_dye(name).light)["any"] for name in ("madder", "cochineal", "brazilwood")]
    ends = [(span.low, span.high) for span in reds]
    assert ends == sorted(ends, reverse=True) and len(set(ends)) == 3


def test_protected_dyes_carry_the_date_they_were_looked_up():
    guarded = {row["name"]: row["protected"] for row in rows("dyes") if row.get("protected")}
    assert {"brazilwood", "red sandalwood", "crottle", "orchil", "woad"} <= set(guarded)
    assert all(found["checked_on"] for found in guarded.values())
    assert "sappanwood" not in guarded
    assert guarded["brazilwood"]["about"] == "sale abroad"
    assert guarded["brazilwood"]["checked_on"] == "2025-12-15"
    assert british().say("protected.brazilwood").startswith("CITES Appendix II")


def test_insects_are_marked_as_animal():
    animal = {row["name"] for row in rows("dyes") if row.get("animal")}
    assert animal == {"cochineal", "lac", "kermes"}
