"""The light dossier against studies (tests/truth/light_studies.toml): depth, fibre, window."""

import tomllib
from datetime import date, timedelta
from fractions import Fraction
from functools import cache
from itertools import product
from pathlib import Path

import pytest

from provenance.figures.light.dossier import dossier
from provenance.figures.light.guidance import exposure, guidance
from provenance.figures.light.rating import DyeInPiece, rating
from provenance.figures.light.window import WindowTest
from provenance.figures.light.words import light_words, short_light
from provenance.language.phrases import british, phrases_for
from provenance.reference.dyes import dyes
from provenance.reference.loader import rows

TRUTH = tomllib.loads(
    (Path(__file__).parent.parent / "truth" / "light_studies.toml").read_text(encoding="utf-8")
)
ALUM = frozenset({"alum"})
METALS = ("alum", "tin", "iron", "copper", "chrome")
SALTS = tuple(frozenset({metal}) for metal in METALS)


def window(beside, changed, days=123, dye=""):
    first = date(2026, 5, 1)
    return WindowTest("furze", "window", first, first + timedelta(days), beside, dye, changed)


@cache
def speaking(language):
    return phrases_for(language, "GBP", {}, None)


def told(words, language="en-GB"):
    phrases = speaking(language)
    return [phrases.tell(each) for each in words]


@pytest.mark.parametrize("row", TRUTH["study"], ids=lambda row: f"{row['dye']}: {row['how']}")
def test_ranges_are_those_of_the_studies(row):
    dye = DyeInPiece(
        row["dye"], mordants=frozenset(row["mordants"]), fibre=row.get("fibre", "wool"),
        paler=row.get("paler", 0),
    )  # fmt: skip
    found = rating(dye)
    assert list(found.blue_wool) == row["blue_wool"], row["how"]
    assert found.basis == "rated" and found.source


def test_all_but_the_vat_blues_reach_down_to_class_high_on_alum():
    """Guérin, Tse and Dignard 2023: all fourteen natural dyes on wool are equivalent to class 3;
    higher only where a row was read that says so (indigo: Taylor 1986, CCI)."""
    low = {dye.name: rating(DyeInPiece(dye.name, mordants=ALUM)).blue_wool[0] for dye in dyes()}
    tannins = {dye.name for dye in dyes() if dye.light_family == "tannin"}
    assert {name for name in low if low[name] > 3} - tannins == {"indigo", "woad"}
    assert {low[name] for name in tannins} == {2}


def test_a_mordant_moves_a_dye_by_less_than_a_class():
    """Guérin, Tse and Dignard 2023: 0.07 to 0.70 class; no range moves whole."""
    own = {dye.name for dye in dyes() if any(family in METALS for family, _ in dye.light)}
    for dye, metal in product(dyes(), METALS):
        if dye.name in own:
            continue
        plain = rating(DyeInPiece(dye.name)).blue_wool
        low, high = rating(DyeInPiece(dye.name, mordants=frozenset({metal}))).blue_wool
        assert abs(low - plain[0]) + abs(high - plain[1]) <= 1, (dye.name, metal)


def test_no_metal_lifts_a_dye_above_four():
    """Padfield and Landi 1966: nearly all natural dyes below 5, most below 4."""
    for dye in dyes():
        plain = rating(DyeInPiece(dye.name)).blue_wool[1]
        lifted = rating(DyeInPiece(dye.name, mordants=frozenset({"copper"}))).blue_wool[1]
        assert lifted <= max(plain, 4), dye.name


def test_wool_holds_longest_then_silk_then_cotton():
    """Elnagar, Tera and Mohamed."""
    for dye in dyes():
        sums = [
            sum(rating(DyeInPiece(dye.name, fibre=fibre)).blue_wool)
            for fibre in ("wool", "silk", "cellulose")
        ]
        assert sums == sorted(sums, reverse=True), dye.name


def test_each_further_exhaust_bath_is_lower_and_never_below_one():
    for dye in dyes():
        ends = [rating(DyeInPiece(dye.name, paler=paler)).blue_wool for paler in range(8)]
        assert ends == sorted(ends, reverse=True) and ends[-1] == (1, 1), dye.name


def test_a_short_dip_of_indigo_is_two_classes_under_the_deep_blue_on_any_fibre():
    for fibre in ("wool", "silk", "cellulose"):
        found = rating(DyeInPiece("indigo", fibre=fibre, paler=1))
        assert found.blue_wool == (3, 5) and found.basis == "expected" and found.source == ""
    assert rating(DyeInPiece("indigo", fibre="cellulose")).blue_wool == (3, 5)


def test_the_class_of_a_family_is_assumed_where_nothing_is_known():
    """Padfield and Landi 1966 and Crews 1982 on yellows as a class; Guérin 2023 on all."""
    goldenrod = rating(DyeInPiece("goldenrod", mordants=frozenset({"iron"})))
    assert goldenrod.blue_wool == (1, 4) and goldenrod.basis == "assumed"
    gall = rating(DyeInPiece("oak gall"))
    assert gall.blue_wool == (2, 4) and gall.basis == "assumed" and gall.source == ""
    moss = rating(DyeInPiece("moss", mordants=frozenset({"copper"})))
    assert moss.blue_wool == (1, 3) and "Guérin" in moss.source


# The maker's own window


@pytest.mark.parametrize("row", TRUTH["window"], ids=lambda row: str(row["days"]))
def test_how_far_a_window_reaches(row):
    assert exposure(5000, 8, row["days"]).value == Fraction(row["million_lux_hours"])
    assert window(3, "same", row["days"]).reach == row["reach"]


@pytest.mark.parametrize(
    ("beside", "changed", "bounds"),
    [
        (3, "same", (3, 3)),
        (3, "more", (1, 2)),
        (3, "less", (4, 8)),
        (1, "more", (1, 1)),
        (1, "same", (1, 1)),
        (5, "less", (4, 8)),  # a window never tells class 5
        (5, "same", (4, 8)),
    ],
)
def test_what_a_test_leaves_open(beside, changed, bounds):
    """Two months tell 1, 2, 3 and "above 3", no more."""
    assert window(beside, changed).bounds == bounds


def test_a_strip_that_could_not_change_yet_tells_little():
    assert window(3, "less", days=30).bounds == (3, 8)
    assert window(3, "same", days=4).bounds == (1, 8)
    assert window(5, "more", days=60, dye="indigo").bounds == (1, 3)


def test_the_makers_own_test_goes_before_what_was_published():
    weld = DyeInPiece("weld", mordants=ALUM)
    for changed, ends in (("same", (3, 3)), ("more", (2, 2)), ("less", (4, 4))):
        found = rating(DyeInPiece("weld", mordants=ALUM, own=window(3, changed)))
        assert found.blue_wool == ends and found.basis == "own"
    assert rating(weld).blue_wool == (2, 4)


def test_the_dossier_names_sources_and_the_makers_own_tests():
    light = guidance(
        [
            DyeInPiece("weld", "Reseda luteola", ALUM, own=window(3, "less")),
            DyeInPiece("madder", "Rubia tinctorum", ALUM, fibre="cellulose"),
            DyeInPiece("walnut", paler=1),
        ]
    )
    assert told(dossier(light)) == [
        "Madder on alum, plant fibre: blue wool 2 to 4 (tests disagree). Drawn from: Guérin, Tse"
        " and Dignard 2023; Taylor 1986, after Duff, Sinclair and Stirling; Canadian Conservation"
        " Institute, sensitivity of coloured materials; Cristea and Vilarem 2006;"
        " fibre2fabric.blogspot.com 2007/08; fromsilkroad 2011.",
        "Walnut, a pale dyeing: not rated in what could be read, expected at blue wool 2 to 4.",
        "Weld on alum: blue wool 4. The maker's own test: furze, half covered in the window from 1"
        " May 2026 to 1 September 2026, changed less than blue wool 3.",
        "A pale dyeing and plant fibre are each taken one class lower, silk half a class: a deep"
        " dyeing holds longest, and wool before silk before cotton (Elnagar, Tera and Mohamed).",
    ]
    assert dossier(guidance([])) == ()


@pytest.fixture(scope="module")
def sentences():
    """All that can be said of any dye, on any mordant and fibre, deep or pale."""
    found = {}
    for dye, salts in product((*(row.name for row in dyes()), "moss"), (frozenset(), *SALTS)):
        for fibre, paler in (("wool", 0), ("silk", 1), ("cellulose", 2)):
            own = window(3, "same") if paler else None
            light = guidance([DyeInPiece(dye, "", salts, fibre, paler, own)])
            found |= dict.fromkeys((*light_words(light), *dossier(light), short_light(light)))
    return tuple(found)


@pytest.mark.parametrize("language", ["en-GB", "en-US", "de"])
def test_public_words_never_speak_of_memory(sentences, language):
    assert len(sentences) > 200
    for sentence in told(sentences, language):
        assert "memor" not in sentence.lower() and "edächtnis" not in sentence, sentence


def test_a_range_from_no_source_has_memory_in_the_table_and_none_in_words():
    expected = [row for row in rows("dyes") for span in row.get("light", {}).values()
                if span["sure"] == "memory"]  # fmt: skip
    assert len(expected) >= 10
    for row in rows("dyes"):
        for span in row.get("light", {}).values():
            assert (span["sure"] == "memory") == (span["source"] == "from memory"), row["name"]
    assert "memory" not in " ".join(
        text for name, text in british().words.items()
        if name.startswith(("light.", "light_known.", "dossier.", "light_note."))
    )  # fmt: skip
