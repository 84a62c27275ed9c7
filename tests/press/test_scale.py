"""Works drawn to scale: the drawing's own geometry is measured, its words are worked out again."""

import re
from fractions import Fraction
from itertools import pairwise
from xml.etree import ElementTree

import pytest

from provenance.language.phrases import Phrases, phrases_for
from provenance.press.drawings.scale import Drawing, ToScale, scale_drawing
from provenance.press.drawings.scale.compared import share_word
from provenance.press.drawings.scale.placing import thing_for
from provenance.public.edge import stripes_of
from provenance.reference.beside import beside

STRIPES = stripes_of((("#2b3a4f", Fraction(152)), ("#c9a227", Fraction(84))))
SVG = "{http://www.w3.org/2000/svg}"
KINDS = (
    ("hanging", 124, 86), ("hanging", 70, 150), ("rug", 145, 88), ("scarf", 180, 28),
    ("blanket", 190, 140), ("runner", 140, 36), ("cushion", 45, 45), ("cloth", 400, 90),
    ("other", 11, 11),
)  # fmt: skip


@pytest.fixture(scope="module")
def phrases() -> Phrases:
    return phrases_for("en-GB", "GBP", {}, None)


def drawn(phrases: Phrases, kind: str, *sizes: tuple[float, float], **more: bool) -> Drawing:
    works = [ToScale(Fraction(high), Fraction(wide), STRIPES) for high, wide in sizes]
    return scale_drawing(works, kind, phrases, **more)


def boxes(drawing: Drawing) -> list[tuple[float, float, float, float]]:
    """Upper left corner and sides of each work, in the drawing's own units."""
    root = ElementTree.fromstring(drawing.svg)
    found = []
    for work in root.iterfind(f".//{SVG}g[@class='work']"):
        x, y = re.findall(r"-?[\d.]+", work.attrib["transform"])
        outline = work.find(f"{SVG}rect[@class='outline']")
        assert outline is not None
        sides = outline.attrib["width"], outline.attrib["height"]
        found.append(tuple(map(float, (x, y, *sides))))
    return found


@pytest.mark.parametrize(("kind", "high", "wide"), KINDS)
def test_a_unit_of_the_drawing_is_a_centimetre_of_the_work(phrases, kind, high, wide) -> None:
    drawing = drawn(phrases, kind, (high, wide))
    ((_, _, across, down),) = boxes(drawing)
    assert sorted((across, down)) == pytest.approx(sorted((wide, high)), rel=1e-3)
    root = ElementTree.fromstring(drawing.svg)
    view = [float(side) for side in root.attrib["viewBox"].split()]
    sides = float(root.attrib["width"]), float(root.attrib["height"])
    assert sides == pytest.approx(view[2:]), "one scale both ways"
    assert root.attrib["aria-label"] == drawing.words


@pytest.mark.parametrize(("kind", "high", "wide"), KINDS)
def test_the_thing_beside_it_has_its_own_measures(phrases, kind, high, wide) -> None:
    root = ElementTree.fromstring(drawn(phrases, kind, (high, wide)).svg)
    thing = beside(thing_for(kind, [(wide, high)]), "en-GB")
    group = root.find(f".//{SVG}g[@class='thing']")
    assert group is not None
    if thing.name in ("door", "table_from_above"):
        leaf = group.findall(f"{SVG}rect")[-1]
        sides = float(leaf.attrib["width"]), float(leaf.attrib["height"])
        assert sides == pytest.approx((float(thing.width), float(thing.height)), rel=1e-3)
    x, y = (float(each) for each in re.findall(r"-?[\d.]+", group.attrib["transform"]))
    if thing.name in ("door", "figure", "sofa"):
        assert y == pytest.approx(-float(thing.height), rel=1e-3), "it stands on the floor"
    work = boxes(drawn(phrases, kind, (high, wide)))[0]
    if thing.name not in ("sofa", "table_from_above", "sofa_from_above"):
        assert work[0] + work[2] < x, "the work and the thing don't touch"


def test_a_work_hangs_with_its_middle_at_eye_level(phrases) -> None:
    ((_, top, _, high),) = boxes(drawn(phrases, "hanging", (124, 86)))
    assert top + high / 2 == pytest.approx(-150)


def test_the_sizes_of_a_choice_stand_side_by_side_in_their_order(phrases) -> None:
    sizes = [(90, 60), (124, 86), (160, 110)]
    found = boxes(drawn(phrases, "hanging", *sizes))
    assert [(high, wide) for _, _, wide, high in found] == sizes
    assert all(left[0] + left[2] < right[0] for left, right in pairwise(found))


def test_the_stripes_fill_the_work_and_black_ink_hatches_them(phrases) -> None:
    root = ElementTree.fromstring(drawn(phrases, "hanging", (124, 86)).svg)
    stripes = [r for r in root.iter(f"{SVG}rect") if r.attrib.get("fill", "").startswith("#")]
    assert sum(float(stripe.attrib["height"]) for stripe in stripes) == pytest.approx(124, rel=1e-3)
    assert {float(stripe.attrib["width"]) for stripe in stripes} == {86}
    black = drawn(phrases, "hanging", (124, 86), black=True).svg
    assert "#c9a227" not in black
    assert "pattern" in black


def test_lines_and_words_take_the_colour_of_the_text(phrases) -> None:
    root = ElementTree.fromstring(drawn(phrases, "hanging", (124, 86)).svg)
    assert root.attrib["stroke"] == "currentColor"
    assert {text.attrib["fill"] for text in root.iter(f"{SVG}text")} == {"currentColor"}


def test_what_it_shows_is_said_in_words(phrases) -> None:
    assert drawn(phrases, "hanging", (124, 86)).words == (
        "Hung beside a door of 198.1 cm by 76.2 cm. Its height of 124 cm is 63 % of the height of "
        "the door and its width of 86 cm is a little more than the width of the door."
    )
    german = phrases_for("de", "EUR", {}, None)
    assert drawn(german, "hanging", (70, 150)).words == (
        "An der Wand über einem Sofa von 200 cm Länge. Die Höhe ist 70 cm und die Breite von "
        "150 cm ist etwa drei Viertel der Länge des Sofas."
    )
    american = phrases_for("en-US", "USD", {}, None)
    assert drawn(american, "scarf", (180, 28)).words == (
        "Held out flat beside a person 65 in tall. Its height of 70 7/8 in is a little more than "
        "the height of the person and it is 11 in wide."
    )


@pytest.mark.parametrize(
    ("share", "word"),
    [("1/4", "quarter"), ("0.34", "third"), ("0.66", "two_thirds"), ("0.99", "as_much"),
     ("0.9", "little_less"), ("1.1", "little_more"), ("0.6", "so_much"), ("2.5", "so_many_times"),
     ("1.45", "once_and_half"), ("2", "twice")],
)  # fmt: skip
def test_the_word_for_a_share(share, word) -> None:
    assert share_word(Fraction(share)) == word
