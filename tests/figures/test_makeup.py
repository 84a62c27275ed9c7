"""What a yarn is made of and what was done to it, in the order it was done."""

from __future__ import annotations

from fractions import Fraction

import pytest

from provenance.figures.fibre.of_piece import fibre_parts
from provenance.figures.flow.flow import Key
from provenance.figures.flow.gather import studio_flow
from provenance.figures.flow.makeup import (
    UNDYED,
    base_yarn,
    bath_stages,
    colour_of,
    composition,
    stages_of,
)
from provenance.figures.flow.strands import strands_of, yarns_of
from provenance.figures.review import review_figures
from provenance.language.phrases import british
from provenance.records.book import read_book

STUDIO = {
    "studio/studio.yaml": "studio: Brackenfold\nmaker: Isla Wren\n",
    "studio/fleece.yaml": 'grey: {breed: Gotland, weight: 3 kg, cost: 66, colour: "#8f8e8a"}\n'
    "old: {weight: 1 kg, cost: 5, recycled: yes}\n",
    "studio/yarns.yaml": "two-ply: {fleece: grey, weight: 960 g}\n"
    "bought: {fibre: {wool: 60 %, silk: 40 %}, weight: 1 kg, cost: 80}\n"
    "again: {fleece: old, weight: 400 g}\n",
    "studio/dyestuffs.yaml": "weld: {weight: 1 kg, cost: 0}\nindigo: {weight: 100 g, cost: 24}\n",
    "studio/mordants.yaml": "alum: {weight: 1 kg, cost: 9}\niron: {weight: 100 g, cost: 4}\n",
    "dyebook/yellow.yaml": "dyed: [{yarn: two-ply, weight: 500 g, becomes: gold}]\n"
    "steps: [{mordants: {alum: 12 %}}, {dyes: {weld: 60 %}}]\ncolour: '#d2b23c'\n",
    "dyebook/green.yaml": "dyed:\n"
    "  - {yarn: gold, weight: 200 g, becomes: green, colour: '#6f7a38'}\n"
    "  - {yarn: bought, weight: 100 g, becomes: blue, swatch: blue.jpg}\n"
    "steps: [{dyes: {indigo: 4 %}}, {after: {iron: 1 %}}]\n",
    "dyebook/rest.yaml": "exhaust of: yellow\n"
    "dyed: [{yarn: two-ply, weight: 100 g, becomes: pale}]\n"
    "steps: [{mordants: {alum: 6 %}}]\n",
    "2026-001.yaml": "number: 2026-001\ntitle: Ebb\nyarns:\n"
    "  - {use: weft, lot: green, weight: 150 g}\n  - {use: warp, lot: bought, weight: 100 g}\n"
    "  - {use: pile, fleece: grey, weight: 50 g, mordants: {alum: 10 %}, dyes: {weld: 40 %}}\n",
}


@pytest.fixture
def opened(tmp_path):
    def read(changes):
        for name, text in {**STUDIO, **changes}.items():
            path = tmp_path / "pieces" / name
            path.parent.mkdir(parents=True, exist_ok=True)
            path.write_text(text, encoding="utf-8")
        book, _ = read_book(tmp_path / "pieces")
        return book

    return read


def fleece_masses(flow, piece):
    """Fleece lot -> grams of it, in the grease, that the piece carries."""
    grams = flow.loads[Key("piece", str(piece.number))].grams
    return {key.name: value for key, value in grams.items() if key.kind == "fleece"}


def summary(stages):
    return [(stage.mordants, stage.dyes, stage.after, stage.is_exhaust) for stage in stages]


def test_over_dyeing_keeps_the_whole_history(opened):
    book = opened({})
    assert base_yarn(book, "green") == "two-ply"
    assert summary(stages_of(book, "green")) == [
        (("alum",), ("weld",), (), False),
        ((), ("indigo",), ("iron",), False),
    ]
    assert stages_of(book, "bought") == ()


def test_an_exhaust_bath_holds_the_dyes_of_the_first(opened):
    book = opened({})
    assert summary(stages_of(book, "pale")) == [(("alum",), ("weld",), (), True)]


def test_rounds_among_baths_end(opened):
    book = opened(
        {
            "dyebook/yellow.yaml": "exhaust of: rest\n" + STUDIO["dyebook/yellow.yaml"],
            "dyebook/green.yaml": "dyed: [{yarn: blue, weight: 1 g, becomes: blue}]\n",
        }
    )
    assert bath_stages(book, book.baths["yellow"])
    assert base_yarn(book, "blue") == "blue"
    assert stages_of(book, "blue") == ()
    assert review_figures(book, studio_flow(book)) is not None


def test_colours_by_the_nearest_record(opened):
    book = opened({})
    assert colour_of(book, "green", {}) == "#6f7a38"
    assert colour_of(book, "gold", {}) == "#d2b23c"
    assert colour_of(book, "blue", {"blue.jpg": "#22335c"}) == "#22335c"
    assert colour_of(book, "two-ply", {}) == "#8f8e8a"
    assert colour_of(book, "bought", {}) == ""
    assert colour_of(book, "nothing", {}) == ""


def test_the_yarns_of_a_piece(opened):
    book = opened({})
    yarns = strands_of(book, studio_flow(book), book.pieces["2026-001"], {}, (150, 100, 50))
    tell = british().tell
    assert [(tell(yarn.use), yarn.lot, yarn.grams, yarn.colour) for yarn in yarns] == [
        ("weft", "green", 150, "#6f7a38"),
        ("warp", "bought", 100, UNDYED),
        ("pile", "grey", 50, "#8f8e8a"),
    ]
    fleeces = [tuple(part.fleece for part in yarn.fleeces) for yarn in yarns]
    assert fleeces == [("grey",), (), ("grey",)]
    assert [yarn.yarn if yarn.is_bought else "" for yarn in yarns] == ["", "bought", ""]
    assert [len(yarn.stages) for yarn in yarns] == [2, 0, 1]


def test_fibres_by_weight(opened):
    book = opened({})
    parts = [
        (part.fibre, part.grams)
        for part in fibre_parts(book, book.pieces["2026-001"], (150, 100, 50))
    ]
    assert parts == [("wool", 150), ("wool", 60), ("silk", 40), ("wool", 50)]
    assert composition(book, "nothing") == {}


def test_recycled_fleece_stays_recycled(opened):
    piece = "number: 2026-002\ntitle: Ebb\nyarns: [{lot: again, weight: 100 g}]\n"
    book = opened({"2026-002.yaml": piece})
    assert [part.is_recycled for part in fibre_parts(book, book.pieces["2026-002"], (100,))] == [
        True
    ]


def test_a_blend_is_recycled_only_where_all_of_it_is(opened):
    yarns = (
        STUDIO["studio/yarns.yaml"] + "half: {fleece: {old: 100 g, grey: 100 g}, weight: 150 g}\n"
    )
    piece = "number: 2026-002\ntitle: Ebb\nyarns: [{lot: half, weight: 100 g}]\n"
    book = opened({"studio/yarns.yaml": yarns, "2026-002.yaml": piece})
    assert [part.is_recycled for part in fibre_parts(book, book.pieces["2026-002"], (100,))] == [
        False
    ]


def test_grams_of_fleece_in_a_piece(opened):
    book = opened({})
    masses = fleece_masses(studio_flow(book), book.pieces["2026-001"])
    assert set(masses) == {"grey"}
    in_lot = Fraction(150, 960)
    assert masses["grey"] > in_lot * 960


def test_a_piece_without_yarns_is_made_of_nothing(opened):
    book = opened({"2026-002.yaml": "number: 2026-002\ntitle: Ebb\n"})
    piece = book.pieces["2026-002"]
    assert (yarns_of(book, piece, {}), fibre_parts(book, piece, ())) == ((), ())
    assert fleece_masses(studio_flow(book), piece) == {}
