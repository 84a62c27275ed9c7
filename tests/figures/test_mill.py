"""Yarn that came dyed is never called undyed, nor its dye one that cannot fade."""

from datetime import date

import pytest

from provenance.build.opening import open_studio
from provenance.figures.dyes.mill import is_natural
from provenance.public.border import Border

# As fibre grows: white, greys, black, moorit, camel, flax, tussah; and dyed: navy, red, sage,
# mustard, rust, pink, teal. Named by eye from shade cards of undyed and dyed yarn.
NATURAL = "#efe7d6 #8f8e8a #2b2a29 #6b4a34 #b5915f #c8b48c #c9a66b #4a3b30"
DYED = "#1f2a4d #a03a2a #7f9a72 #c9a227 #8a4b2a #e8b8b8 #1f6f70"


@pytest.mark.parametrize("colour", NATURAL.split())
def test_colours_that_fibre_has_by_nature(colour):
    assert is_natural(colour)


@pytest.mark.parametrize("colour", DYED.split())
def test_colours_that_it_has_not(colour):
    assert not is_natural(colour)


PIECE = """
number: 2026-001
title: Ebb
kind: shawl
size: 190 x 60 cm
hours: {weaving: 4}
price: 90
yarns: [{use: warp and weft, lot: blue, weight: 200 g}]
"""


@pytest.fixture
def told(write_studio):
    """A piece of bought yarn with these words, as others see it."""

    def of(words):
        folder = write_studio({
            "studio/studio.yaml": "studio: Brackenfold\nmaker: Isla Wren\n",
            "studio/yarns.yaml": f"blue: {{fibre: wool, weight: 1 kg, cost: 40, {words}}}\n",
            "2026-001.yaml": PIECE,
        })  # fmt: skip
        return Border(open_studio(folder, date(2026, 11, 25))).piece("2026-001")

    return of


BY_MILL = "Dyed by the mill: how its dye stands light is not known. Keep it out of direct sun."
UNDYED = "No dye to fade. Undyed yarn yellows slowly in strong light; keep it out of direct sun."


@pytest.mark.parametrize(
    ("words", "dyes", "light"),
    [
        ("colour: '#1f2a4d'", "The mill's own dye", BY_MILL),
        ("dyed: by the mill", "The mill's own dye", BY_MILL),
        ("colour: '#1f2a4d', dyed: no", "", UNDYED),
        ("colour: '#8f8e8a'", "", UNDYED),
        ("colour: '#1f2a4d', dyes: undyed", "", UNDYED),
    ],
)
def test_what_is_told_of_bought_yarn(told, words, dyes, light):
    piece = told(words)
    assert piece.dyes == dyes
    assert piece.light[0] == light
    assert [twig.label.name for twig in piece.tree.twigs] == [dyes or "Undyed"]
    if "#1f2a4d" in words:
        assert [twig.colour for twig in piece.tree.twigs] == ["#1f2a4d"]


@pytest.mark.parametrize(("markets", "name"), [("EU", "polyamide"), ("UK", "nylon")])
def test_a_fibre_is_called_on_pages_what_the_label_calls_it(write_studio, markets, name):
    folder = write_studio({
        "studio/studio.yaml": f"studio: Brackenfold\nmaker: Isla Wren\nlabels for: {markets}\n",
        "studio/yarns.yaml": "blue: {fibre: {wool: 80 %, nylon: 20 %}, weight: 1 kg, cost: 40}\n",
        "2026-001.yaml": PIECE,
    })  # fmt: skip
    piece = Border(open_studio(folder, date(2026, 11, 25))).piece("2026-001")
    assert f"20 % {name}" in piece.fibres
    assert name in str(piece.content)


def test_a_dye_that_was_named_is_rated_as_before(told):
    assert "blue wool" in told("colour: '#1f2a4d', dyes: indigo").light_range[0]
