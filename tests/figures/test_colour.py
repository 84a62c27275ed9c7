"""Colour against published tables and a colour-science library."""

from __future__ import annotations

import csv
import math
import os
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from provenance.figures.colour import shades as colour
from provenance.figures.colour.match import Match, colour_name, nearest
from provenance.figures.colour.photo import palette, swatch_colour
from provenance.figures.colour.space import (
    Lab,
    Lch,
    channels,
    delta_e,
    from_lch,
    hex_of,
    lab,
    lch,
)
from provenance.language.phrases import british
from provenance.problems import Slip
from provenance.reference.colour_names import centroids

TRUTH = Path(__file__).parents[1] / "truth"
HEX = st.integers(0, 0xFFFFFF).map("#{:06x}".format)


def pairs() -> list[dict[str, str]]:
    lines = (TRUTH / "ciede2000.csv").read_text(encoding="utf-8").splitlines()
    return list(csv.DictReader(line for line in lines if not line.startswith("#")))


@pytest.fixture(scope="module")
def library():
    """colour-science, told not to look for optional packages."""
    os.environ["COLOUR_SCIENCE__FILTER_USAGE_WARNINGS"] = "True"
    import warnings

    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        import colour as science
    return science


@pytest.mark.parametrize("row", pairs(), ids=lambda row: row["pair"])
def test_difference_of_the_34_published_pairs(row):
    """Sharma, Wu & Dalal 2005, table 1, both ways round."""
    one = Lab(*(float(row[key]) for key in ("L1", "a1", "b1")))
    other = Lab(*(float(row[key]) for key in ("L2", "a2", "b2")))
    assert delta_e(one, other) == pytest.approx(float(row["delta_e"]), abs=1e-4)
    assert delta_e(other, one) == pytest.approx(float(row["delta_e"]), abs=1e-4)


def test_there_are_34_pairs():
    assert [row["pair"] for row in pairs()] == [str(number) for number in range(1, 35)]


@pytest.mark.parametrize(
    ("code", "expected"),
    [
        # README of the colour package farver (thomasp85/farver)
        ("#ff0000", (53.24079, 80.09246, 67.20320)),
        ("#00ffff", (91.11322, -48.08753, -14.13119)),
        ("#ff9900", (72.26072, 30.16539, 77.22448)),
        ("#0066ff", (47.90478, 35.19678, -82.00610)),
        ("#ffffff", (100.0, 0.0, 0.0)),
        # colour-science 0.4.7
        ("#008000", (46.2288, -51.6986, 49.9020)),
        ("#be0032", (39.8777, 65.2623, 29.7186)),
        ("#c9ae5d", (71.8795, -0.3870, 44.7303)),
    ],
)
def test_lab_of_published_colours(code, expected):
    assert lab(code) == pytest.approx(expected, abs=0.03)


@pytest.mark.parametrize(
    ("code", "light", "chroma", "hue"),
    # lists of pure colours read beside the farver values
    [("#00ff00", 87.73472, 119.77587, 136.01595), ("#0000ff", 32.29701, 133.80761, 306.28494)],
)
def test_polar_form_of_published_colours(code, light, chroma, hue):
    assert lch(lab(code)) == pytest.approx((light, chroma, hue), abs=0.03)


def test_css_lab_is_another_white_and_must_not_come_out():
    """CSS Color 4 gives #008000 as lab(46.2775% -47.5621 48.5837): white D50, not ours."""
    assert abs(lab("#008000").a - -47.5621) > 4


@given(HEX)
@settings(max_examples=200, deadline=None)
def test_lab_agrees_with_colour_science(library, code):
    rgb = np.array(channels(code)) / 255
    theirs = library.XYZ_to_Lab(library.sRGB_to_XYZ(rgb), np.array([0.3127, 0.3290]))
    assert lab(code) == pytest.approx(theirs, abs=0.02)


@given(HEX, HEX)
@settings(max_examples=200, deadline=None)
def test_difference_agrees_with_colour_science(library, one, other):
    theirs = float(library.delta_E(np.array(lab(one)), np.array(lab(other)), method="CIE 2000"))
    assert delta_e(lab(one), lab(other)) == pytest.approx(theirs, abs=1e-6)


@given(HEX)
def test_hex_survives_lab_and_back(code):
    assert hex_of(lab(code)) == code
    assert hex_of(from_lch(lch(lab(code)))) == code


@given(st.integers(0, 255))
def test_greys_are_exactly_neutral(channel):
    grey = lab("#" + f"{channel:02x}" * 3)
    assert grey.a == pytest.approx(0, abs=1e-10)
    assert grey.b == pytest.approx(0, abs=1e-10)


def test_what_a_screen_cannot_show_is_clipped():
    assert hex_of(Lab(50, 150, 0))[1:3] == "ff"
    assert hex_of(Lab(120, 0, 0)) == "#ffffff"
    assert hex_of(Lab(-5, 0, 0)) == "#000000"


def test_a_colour_that_is_none_is_refused():
    with pytest.raises(Slip) as caught:
        lab("marsh green")
    assert british().tell(caught.value.what) == "'marsh green' is no colour"
    assert british().tell(caught.value.remedy) == 'write six hex digits in quotes: "#6f7a38"'
    assert lab("fff") == lab("#FFFFFF")
    for wrong in ("#12345", "#+12345", "", "#ggg"):
        with pytest.raises(Slip):
            lab(wrong)


def test_contrast_of_pairs_from_the_standard():
    """WCAG 2.2: white on black is 21:1; #767676 is widely cited as the lightest AA grey."""
    assert colour.contrast("#ffffff", "#000000") == pytest.approx(21)
    assert colour.contrast("#767676", "#ffffff") >= 4.5 > colour.contrast("#777777", "#ffffff")


@given(HEX, st.booleans())
def test_an_accent_can_be_read_and_keeps_its_hue(code, on_white):
    page = "#ffffff" if on_white else "#14110f"
    moved = colour.accent(code, on_white=on_white)
    assert colour.contrast(moved, page) >= 4.5
    if colour.contrast(code, page) >= 4.5:
        assert moved == code
        return
    before, after = lch(lab(code)), lch(lab(moved))
    assert colour.contrast(moved, page) < 4.8  # moved no further than needed
    assert after.chroma <= before.chroma + 1
    if after.chroma > 15:
        turn = abs(before.hue - after.hue)
        assert min(turn, 360 - turn) < 3


def test_every_centroid_answers_to_its_own_name():
    """ISCC-NBS, 267 centroids (NBS Circular 553)."""
    assert len(centroids()) == 267
    for name, code in centroids():
        assert colour_name(code) == (name, 0.0)


@pytest.mark.parametrize(
    ("code", "name", "off"),
    [  # worked with colour-science 0.4.7 on the same centroids
        ("b3362b", "Deep Reddish Orange", 4.20),
        ("8c2f39", "Deep Red", 3.99),
        ("e0b43c", "Strong Yellow", 2.54),
        ("1f3a5f", "Deep Blue", 5.25),
        ("6b4a2b", "Deep Yellowish Brown", 2.34),
        ("7a5ca3", "Strong Purple", 6.13),
    ],
)
def test_nearest_names(code, name, off):
    assert colour_name(code) == (name, pytest.approx(off, abs=0.01))


def words_for(name: str) -> set[str]:
    """The families that an ISCC-NBS name may be looked up under; its last word decides."""
    last = name.split()[-1]
    if name.endswith(("Orange Yellow", "Yellow Green")):
        return {word.lower() for word in name.split()[-2:]}
    if last == "Olive":
        return {"green", "brown", "yellow"}
    return {{"violet": "purple", "gray": "grey"}.get(last.lower(), last.lower())}


def test_families_agree_with_the_names_of_the_system():
    """Our family of each ISCC-NBS centroid is the head word of its name, for 92 in 100."""
    missed = [
        (name, colour.family(code))
        for name, code in centroids()
        if colour.family(code) not in words_for(name)
    ]
    assert len(missed) <= 0.08 * 267, missed
    vivid = [name for name, _ in missed if name.startswith(("Vivid", "Strong", "Brilliant"))]
    assert not vivid


@pytest.mark.parametrize(
    ("code", "word"),
    [
        ("#b3362b", "red"),
        ("#6f7a38", "green"),
        ("#e0b43c", "yellow"),
        ("#1f3a5f", "blue"),
        ("#0000ff", "blue"),
        ("#6b4a2b", "brown"),
        ("#f0ead6", "white"),
        ("#8a8680", "grey"),
        ("#14110f", "black"),
        ("#000000", "black"),
        ("#ffffff", "white"),
        ("#de6fa1", "pink"),
        ("#7a5ca3", "purple"),
        ("#d9762b", "orange"),
    ],
)
def test_family_of_yarn_colours(code, word):
    assert colour.family(code) == word


def test_swatches_lie_in_order_of_hue():
    mixed = ["#8a8680", "#1f3a5f", "#b3362b", "#e0b43c", "#f0ead6", "#6f7a38", "#de6fa1"]
    wanted = ["#de6fa1", "#b3362b", "#f0ead6", "#e0b43c", "#6f7a38", "#1f3a5f", "#8a8680"]
    assert sorted(mixed, key=colour.hue_order) == wanted


def test_nearest_swatch_comes_first():
    found = nearest("#b3362b", [("weld", "#e0b43c"), ("madder", "#b3362b"), ("brick", "#aa381e")])
    assert [match.name for match in found] == ["madder", "brick", "weld"]
    assert found[0] == Match("madder", "#b3362b", 0.0)
    assert found[1].delta_e == pytest.approx(4.20, abs=0.01)
    assert nearest("#b3362b", []) == []


def photo(height: int, width: int, code: str) -> np.ndarray:
    return np.full((height, width, 3), channels(code), dtype=np.uint8)


def test_palette_sets_the_wall_aside():
    picture = photo(300, 240, "#f4f4f2")
    picture[60:240, 60:180] = channels("#6f7a38")
    picture[60:150, 60:100] = channels("#b3362b")
    found = palette(picture, 4)
    assert [code for code, _ in found] == ["#6f7a38", "#b3362b"]
    assert [share for _, share in found] == pytest.approx([5 / 6, 1 / 6], abs=0.02)
    assert sum(share for _, share in found) == pytest.approx(1)


def test_palette_keeps_a_white_stripe_inside_the_piece():
    picture = photo(200, 200, "#f4f4f2")
    picture[40:160, 40:160] = channels("#1f3a5f")
    picture[90:110, 50:150] = channels("#f4f4f2")
    assert [code for code, _ in palette(picture, 3)] == ["#1f3a5f", "#f4f4f2"]


def test_palette_of_cloth_that_fills_the_photo():
    assert palette(photo(90, 60, "#6f7a38"), 5) == [("#6f7a38", 1.0)]
    halves = photo(100, 100, "#6f7a38")
    halves[:, 50:] = channels("#b3362b")
    assert dict(palette(halves, 5)) == {"#6f7a38": 0.5, "#b3362b": 0.5}


def test_palette_of_noisy_yarn_is_steady():
    rng = np.random.default_rng(7)
    bands = ["#6f7a38", "#b3362b", "#e0b43c", "#1f3a5f"]
    picture = np.concatenate([photo(100, 400, code) for code in bands]).astype(float)
    noisy = np.clip(picture + rng.normal(0, 9, picture.shape), 0, 255).astype(np.uint8)
    found = palette(noisy, 4)
    assert found == palette(noisy, 4)
    for code in bands:
        assert min(delta_e(lab(code), lab(other)) for other, _ in found) < 2
    assert all(share == pytest.approx(0.25, abs=0.02) for _, share in found)


def test_swatch_colour_ignores_edge_and_glints():
    picture = photo(200, 300, "#ffffff")
    picture[30:170, 40:260] = channels("#6f7a38")
    picture[90:100, 100:200] = channels("#ffffff")
    assert swatch_colour(picture) == "#6f7a38"


@pytest.mark.parametrize(("height", "width"), [(1, 1), (1, 40), (3, 2), (1000, 1), (129, 130)])
def test_photos_of_any_shape(height, width):
    picture = photo(height, width, "#6f7a38")
    assert palette(picture, 3) == [("#6f7a38", pytest.approx(1.0))]
    assert swatch_colour(picture) == "#6f7a38"


def test_polar_form_is_plain_geometry():
    assert lch(Lab(50, 3, 4)) == pytest.approx((50, 5, math.degrees(math.atan2(4, 3))))
    assert from_lch(Lch(50, 5, 90)) == pytest.approx((50, 0, 5), abs=1e-12)
