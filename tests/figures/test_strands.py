"""The strands of a piece: each lot in it with its grams, its yarn and the fleeces behind it.

Worked by hand. Of grey fleece 50 % x 80 % x 100 % = 40 % becomes yarn, of white 50 %. Marl is spun
of 1000 g grey and 800 g white: 400 g of yarn each, 800 g in all. 200 g of marl carry a quarter:
250 g and 200 g of fleece, 100 g of yarn each.
"""

from fractions import Fraction

import pytest

from provenance.figures.flow.flow import Key
from provenance.figures.flow.gather import studio_flow
from provenance.figures.flow.strands import key_of, strands_of
from provenance.language.phrases import british
from provenance.records.book import read_book

STUDIO = {
    "studio/fleece.yaml": """
grey: {breed: Gotland, weight: 3 kg, scoured: 50 %, carded: 80 %, spun: 100 %, colour: "#8f8e8a"}
white: {fibre: silk, weight: 2 kg, scoured: 50 %, carded: 100 %, spun: 100 %}
""",
    "studio/yarns.yaml": """
marl: {fleece: {grey: 1000 g, white: 800 g}, weight: 800 g}
linen: {fibre: linen, weight: 1 kg, cost: 41, colour: "#e0d6c0"}
""",
    "studio/dyestuffs.yaml": "weld: {weight: 1 kg, cost: 0}\n",
    "dyebook/yellow.yaml": """
dyed: [{yarn: marl, weight: 100 g, becomes: gold}]
steps: [{dyes: {weld: 60 %}}]
colour: "#d2b23c"
""",
}
PIECE = "number: 2026-001\ntitle: Ebb\nkind: shawl\nyarns:\n"


@pytest.fixture
def strands(write_studio):
    def read(*yarns, cloth=None):
        piece = PIECE + "".join(f"  - {{{yarn}}}\n" for yarn in yarns)
        book, _ = read_book(write_studio({**STUDIO, "2026-001.yaml": piece}))
        made = book.pieces["2026-001"]
        grams = cloth or [Fraction(use.weight) for use in made.yarns]
        return strands_of(book, studio_flow(book), made, {}, grams)

    return read


def fleeces(strand):
    return [(each.fleece, each.grease, each.yarn) for each in strand.fleeces]


def test_a_blend_goes_back_to_both_fleeces_by_what_they_cleaned_to(strands):
    (strand,) = strands("use: warp, lot: marl, weight: 200 g")
    assert (strand.lot, strand.grams, strand.yarn) == ("marl", 200, "marl")
    assert british().tell(strand.use) == "warp"
    assert (strand.stages, strand.is_bought, strand.colour) == ((), False, "#8f8e8a")
    assert fleeces(strand) == [("grey", 250, 100), ("white", 200, 100)]


def test_a_lot_used_twice_is_one_strand(strands):
    (strand,) = strands(
        "use: warp, lot: marl, weight: 200 g", "use: weft, lot: marl, weight: 100 g"
    )
    assert (british().tell(strand.use), strand.grams) == ("warp and weft", 300)
    assert fleeces(strand) == [("grey", 375, 150), ("white", 300, 150)]
    (strand,) = strands("use: weft, lot: marl, weight: 200 g", "use: weft, lot: marl, weight: 8 g")
    assert (british().tell(strand.use), strand.grams) == ("weft", 208)


def test_what_was_left_over_is_in_no_strand(strands):
    """200 g were drawn and 100 g are in the cloth: half of everything."""
    (strand,) = strands("use: warp, lot: marl, weight: 200 g", cloth=[Fraction(100)])
    assert strand.grams == 100
    assert fleeces(strand) == [("grey", 125, 50), ("white", 100, 50)]


def test_strands_stand_in_the_order_of_the_record(strands):
    found = strands(
        "use: pile, lot: gold, weight: 50 g",
        "use: warp, lot: linen, weight: 100 g",
        "use: pile, lot: gold, weight: 25 g",
        "use: ground, fleece: grey, weight: 40 g",
    )
    assert [(each.lot, each.yarn, each.is_bought, each.grams) for each in found] == [
        ("gold", "marl", False, 75), ("linen", "linen", True, 100), ("grey", "", False, 40),
    ]  # fmt: skip
    gold, linen, grey = found
    assert [stage.dyes for stage in gold.stages] == [("weld",)]
    # 75 g of 100 g, which took 100 g of 800 g
    assert fleeces(gold) == [
        ("grey", Fraction("93.75"), Fraction("37.5")), ("white", 75, Fraction("37.5")),
    ]  # fmt: skip
    assert fleeces(linen) == []
    assert fleeces(grey) == [("grey", 100, 40)]


def test_a_yarn_that_is_not_on_record_comes_from_no_fleece(strands):
    found = strands("use: weft, lot: nothing, weight: 30 g")
    assert [(each.lot, each.grams, each.fleeces) for each in found] == [("nothing", 30, ())]


def test_one_lot_in_two_colours_is_two_strands(strands):
    found = strands(
        'use: warp, lot: marl, weight: 20 g, colour: "#111111"',
        'use: warp, lot: marl, weight: 30 g, colour: "#222222"',
    )
    assert [(each.colour, each.grams) for each in found] == [("#111111", 20), ("#222222", 30)]


def test_the_node_of_a_piece(write_studio):
    book, _ = read_book(write_studio({**STUDIO, "2026-001.yaml": PIECE.replace("yarns:\n", "")}))
    assert key_of(book.pieces["2026-001"]) == Key("piece", "2026-001")
    assert key_of(book.pieces["2026-001"]) in studio_flow(book).nodes
