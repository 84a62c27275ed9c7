"""The edge of a piece: as woven or by grams, in colour or in black only."""

import re
from fractions import Fraction

from provenance.press.drawings.selvedge import FORMS, bar_svg, forms_of, gradient
from provenance.public.edge import stripes_of

COLOURS = ("#2e3f58", "#ded6c4", "#c09d3e", "#8b8a4c", "#6d7a35", "#994a2c", "#5b7188", "#d8cfb5")


def bands(*colours: str) -> str:
    stripes = stripes_of((colour, Fraction(1)) for colour in colours)
    return bar_svg(stripes, 5, 90, upright=True, black=True).decode()


def test_each_colour_has_a_form_of_its_own_and_keeps_it() -> None:
    forms = forms_of(stripes_of((colour, Fraction(1)) for colour in (*COLOURS, COLOURS[0])))
    assert sorted(forms.values()) == list(range(len(FORMS)))
    drawing = bands(*COLOURS, COLOURS[0])
    fills = re.findall(r'fill="(url\(#\w+\))"', drawing)
    assert len(fills) == 9
    assert fills[0] == fills[8]
    assert len(set(fills)) == 8
    strokes = re.findall(r'<path d="([^"]+)"', drawing)
    assert sorted(strokes) == sorted(FORMS)


def test_in_black_only_nothing_has_a_colour() -> None:
    drawn = re.findall(r'(?:fill|stroke)="([^"u]+)"', bands(*COLOURS))
    assert set(drawn) == {"#000", "#fff"} | ({"none"} & {*drawn})


def test_darker_colours_have_heavier_strokes() -> None:
    weight = re.compile(r'stroke-width="([\d.]+)" stroke-linecap')
    (dark,), (light,) = (weight.findall(bands(colour)) for colour in ("#1d1a16", "#f4efe6"))
    assert float(dark) > float(light)


def test_a_page_has_hard_stripes() -> None:
    stripes = stripes_of([("#000000", Fraction(3)), ("#ffffff", Fraction(1))])
    assert gradient(stripes, "to right") == (
        "linear-gradient(to right,#000000 0% 75%,#ffffff 75% 100%)"
    )
    assert gradient(stripes[:1], "to right") == "#000000"
