"""What a yarn is made of and what was done to it, in the order it was done."""

from __future__ import annotations

from fractions import Fraction

import pytest

from provenance.figures.fibre.of_piece import fibre_parts
from provenance.figures.flow.flow import Key
from provenance.figures.flow.gather import source_key, studio_flow
from provenance.figures.flow.makeup import (
    UNDYED,
    base_yarn,
    bath_stages,
    colour_of,
    composition,
    stages_of,
    true_mordants,
)
from provenance.figures.flow.strands import strands_of, yarns_of
from provenance.figures.review import review_figures
from provenance.language.phrases import british
from provenance.records.baths import Bath
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


def test_a_round_of_baths_is_gone_without_comparing_records(opened, monkeypatch):
    """Four hundred baths in a round were compared field by field, for over a minute."""
    rounds = {
        f"dyebook/e{turn}.yaml": f"exhaust of: e{turn % 40 + 1}\n"
        f"dyed: [{{yarn: two-ply, weight: 1 g, becomes: l{turn}}}]\n"
        for turn in range(1, 41)
    }
    book = opened(rounds)
    monkeypatch.setattr(Bath, "__eq__", None)
    assert bath_stages(book, book.baths["e1"])[0].exhausts == 39


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


def bath_of(steps, more=""):
    return f"dyed: [{{yarn: two-ply, weight: 10 g, becomes: lot}}]\nsteps: [{steps}]\n{more}"


@pytest.mark.parametrize(
    ("steps", "stages"),
    [
        ("{mordants: {alum: 9 %}}", [(("alum",), (), (), False)]),
        (
            "{mordants: {alum: 9 %}}, {dyes: {weld: 9 %}}, {after: {iron: 1 %}}, "
            "{mordants: {alum: 9 %}}, {dyes: {indigo: 4 %}}",
            [(("alum",), ("weld",), ("iron",), False), (("alum",), ("indigo",), (), False)],
        ),
        (
            "{dyes: {weld: 9 %}}, {mordants: {alum: 9 %}}, {after: {iron: 1 %}}, "
            "{dyes: {indigo: 4 %}}",
            [((), ("weld",), ("iron",), False), (("alum",), ("indigo",), (), False)],
        ),
        (
            "{mordants: {alum: 9 %}}, {after: {iron: 1 %}}, {dyes: {weld: 9 %}}",
            [(("alum",), (), ("iron",), False), ((), ("weld",), (), False)],
        ),
        (
            "{dyes: {weld: 9 %}}, {after: {iron: 1 %}}, {after: {alum: 1 %}}",
            [((), ("weld",), ("iron", "alum"), False)],
        ),
        (
            "{mordants: {alum: 9 %}, dyes: {weld: 9 %, indigo: 1 %}, after: {iron: 1 %}}",
            [(("alum",), ("weld", "indigo"), ("iron",), False)],
        ),
    ],
)
def test_mordants_belong_to_the_dyes_that_follow_and_afters_to_those_before(opened, steps, stages):
    book = opened({"dyebook/b.yaml": bath_of(steps)})
    assert summary(bath_stages(book, book.baths["b"])) == stages
    assert summary(stages_of(book, "lot")) == stages


def test_an_exhaust_bath_with_dyes_of_its_own_is_two_stages(opened):
    record = "exhaust of: yellow\n" + bath_of("{mordants: {alum: 6 %}, dyes: {indigo: 1 %}}")
    book = opened({"dyebook/b.yaml": record})
    assert summary(stages_of(book, "lot")) == [
        ((), ("weld",), (), True),
        (("alum",), ("indigo",), (), False),
    ]


def test_an_exhaust_of_an_exhaust_holds_what_was_in_both(opened):
    middle = "exhaust of: yellow\n" + bath_of("{dyes: {indigo: 1 %}}").replace("lot", "middle")
    last = "exhaust of: middle\ndyed: [{yarn: two-ply, weight: 10 g, becomes: last}]\n"
    book = opened({"dyebook/b.yaml": middle, "dyebook/c.yaml": last})
    assert summary(stages_of(book, "last")) == [((), ("weld", "indigo"), (), True)]


def test_later_stages_of_an_exhaust_bath_stay(opened):
    record = "exhaust of: yellow\n" + bath_of("{mordants: {alum: 6 %}}, {after: {iron: 1 %}}, "
                                              "{dyes: {indigo: 1 %}}")  # fmt: skip
    book = opened({"dyebook/b.yaml": record})
    assert summary(stages_of(book, "lot")) == [
        (("alum",), ("weld",), ("iron",), True),
        ((), ("indigo",), (), False),
    ]


@pytest.mark.parametrize(
    ("entry", "more", "colour"),
    [
        (", colour: '#111111', swatch: a.jpg", "colour: '#333333'\nswatch: b.jpg\n", "#111111"),
        (", swatch: a.jpg", "colour: '#333333'\nswatch: b.jpg\n", "#aaaaaa"),
        (", swatch: c.jpg", "colour: '#333333'\nswatch: b.jpg\n", "#333333"),
        ("", "swatch: b.jpg\n", "#bbbbbb"),
        ("", "swatch: c.jpg\n", ""),
        ("", "", ""),
    ],
)
def test_the_colour_of_a_dyed_lot_by_what_is_nearest_to_it(opened, entry, more, colour):
    record = bath_of("{dyes: {weld: 9 %}}", more).replace("becomes: lot", f"becomes: lot{entry}")
    swatches = {"a.jpg": "#aaaaaa", "b.jpg": "#bbbbbb"}
    assert colour_of(opened({"dyebook/b.yaml": record}), "lot", swatches) == colour


def test_the_colour_of_a_yarn_goes_before_that_of_its_fleece(opened):
    yarns = STUDIO["studio/yarns.yaml"] + "own: {fleece: grey, weight: 9 g, colour: '#123456'}\n"
    book = opened({"studio/yarns.yaml": yarns})
    assert (colour_of(book, "own", {}), colour_of(book, "two-ply", {})) == ("#123456", "#8f8e8a")
    assert colour_of(book, "again", {}) == ""


def piece_of(*yarns):
    lines = "".join(f"  - {{{yarn}}}\n" for yarn in yarns)
    return {"2026-002.yaml": f"number: 2026-002\ntitle: Ebb\nyarns:\n{lines}"}


def test_the_colour_of_a_yarn_in_a_piece(opened):
    book = opened(piece_of(
        "lot: green, weight: 1 g, colour: '#654321'", "lot: green, weight: 1 g",
        "fleece: grey, weight: 1 g", "fleece: old, weight: 1 g", "lot: nothing, weight: 1 g",
    ))  # fmt: skip
    yarns = yarns_of(book, book.pieces["2026-002"], {})
    assert [yarn.colour for yarn in yarns] == ["#654321", "#6f7a38", "#8f8e8a", UNDYED, UNDYED]
    assert [yarn.lot for yarn in yarns] == ["green", "green", "grey", "old", "nothing"]
    assert [yarn.yarn for yarn in yarns] == ["two-ply", "two-ply", "", "", "nothing"]


@pytest.mark.parametrize("written", ["dyes: {weld: 40 %}", "mordants: {alum: 9 %}",
                                     "after: {iron: 1 %}", "hours: {spinning: 2}", ""])  # fmt: skip
def test_what_is_done_in_place_is_a_stage_and_a_node_of_its_own(opened, written):
    """Hours alone are work on the yarn, and no bath."""
    book = opened(piece_of(f"lot: bought, weight: 10 g, {written}"))
    piece = book.pieces["2026-002"]
    (yarn,) = yarns_of(book, piece, {})
    assert len(yarn.stages) == (written.partition(":")[0] in ("dyes", "mordants", "after"))
    assert source_key(book, piece, 0) == (
        Key("in place", "2026-002 yarn 1") if written else Key("yarn", "bought")
    )


def test_the_node_a_yarn_was_drawn_from(opened):
    book = opened(piece_of(
        "lot: bought, weight: 9 g", "lot: gold, weight: 9 g", "fleece: grey, weight: 9 g",
    ))  # fmt: skip
    found = [source_key(book, book.pieces["2026-002"], index) for index in range(3)]
    assert found == [
        Key("yarn", "bought"), Key("dyed", "gold"), Key("in place", "2026-002 yarn 3"),
    ]  # fmt: skip
    assert set(found) <= set(studio_flow(book).nodes)


@pytest.mark.parametrize(
    ("yarn", "recycled"),
    [
        ("fleece: old", True), ("fleece: grey", False), ("fleece: gone", None),
        ("lot: again", True), ("lot: two-ply", False), ("lot: rags", True), ("lot: bought", False),
    ],
)  # fmt: skip
def test_what_is_recycled(opened, yarn, recycled):
    """A yarn that says so, or whose fleece does; of a fleece that is not on record nothing is."""
    yarns = STUDIO["studio/yarns.yaml"] + "rags: {fibre: cotton, weight: 9 kg, recycled: yes}\n"
    book = opened({"studio/yarns.yaml": yarns, **piece_of(f"{yarn}, weight: 9 g")})
    found = {part.is_recycled for part in fibre_parts(book, book.pieces["2026-002"], (9,))}
    assert found == ({recycled} if recycled is not None else set())


def test_only_what_binds_dye_is_a_mordant():
    assert true_mordants(["alum", "cream of tartar", "weld", "tin"]) == {"alum", "tin"}


def test_a_blend_counts_by_what_it_cleaned_to_and_only_what_is_on_record(opened):
    """100 g at 50 % x 80 % and 80 g at 50 % are 40 g each."""
    fleece = """
wool: {breed: Gotland, weight: 1 kg, scoured: 50 %, carded: 80 %, spun: 100 %}
silk: {fibre: silk, weight: 1 kg, scoured: 50 %, carded: 100 %, spun: 100 %}
"""
    for more in ("", ", gone: 500 g"):
        yarns = f"blend: {{fleece: {{wool: 100 g, silk: 80 g{more}}}, weight: 80 g}}\n"
        book = opened({"studio/fleece.yaml": fleece, "studio/yarns.yaml": yarns})
        assert composition(book, "blend") == {"wool": Fraction(1, 2), "silk": Fraction(1, 2)}


def test_fleeces_of_the_same_fibre_add_up_in_a_blend(opened):
    """100 g at 40 % of three parts wool and one silk, 50 g at 80 % of wool: 70 wool, 10 silk."""
    fleece = """
mixed: {fibre: {wool: 75 %, silk: 25 %}, weight: 1 kg, scoured: 50 %, carded: 80 %, spun: 100 %}
wool: {breed: Gotland, weight: 1 kg, scoured: 80 %, carded: 100 %, spun: 100 %}
"""
    yarns = "blend: {fleece: {mixed: 100 g, wool: 50 g}, weight: 80 g}\n"
    book = opened({"studio/fleece.yaml": fleece, "studio/yarns.yaml": yarns})
    assert composition(book, "blend") == {"wool": Fraction(7, 8), "silk": Fraction(1, 8)}


def test_a_fleece_that_is_not_on_record_gives_nothing(opened):
    """The record wants mending, and the rest of the flow is worked out: 100 g at 40 % are 40 g."""
    fleece = "wool: {breed: Gotland, weight: 1 kg, scoured: 50 %, carded: 80 %, spun: 100 %}\n"
    yarns = "some: {fleece: {wool: 100 g, gone: 500 g}}\n"
    flow = studio_flow(opened({"studio/fleece.yaml": fleece, "studio/yarns.yaml": yarns}))
    assert flow.nodes[Key("yarn", "some")].holds == 40
    assert [draw.source.name for draw in flow.into[Key("yarn", "some")]] == ["wool"]
