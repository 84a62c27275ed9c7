"""From records to the flow: doses, grease weight, yields that are assumed, sundries, losses.

Doses are shares of the dry weight of fibre: 106 g at alum 10 % and cream of tartar 5 % take 10.6 g
and 5.3 g (common practice); 450 g at madder 50 % and cochineal 6 % take 225 g and 27 g.
"""

from __future__ import annotations

from fractions import Fraction

import pytest

from provenance.figures.flow.flow import LOST, Key
from provenance.figures.flow.gather import exhaust_source, is_in_place, studio_flow, yield_of
from provenance.figures.flow.makeup import composition
from provenance.figures.flow.own_workings import yields_of
from provenance.language.phrases import british
from provenance.language.telling import told
from provenance.records.book import read_book

STUDIO = {
    "studio/studio.yaml": "studio: Brackenfold\nmaker: Isla Wren\nheat: 0.45 per hour\n",
    "studio/fleece.yaml": "grey: {breed: Gotland, weight: 3 kg, cost: 66}\n"
    "white: {fibre: silk, weight: 1 kg, cost: 90, scoured: 100 %, carded: 98 %, spun: 96 %}\n",
    "studio/yarns.yaml": "two-ply: {fleece: {grey: 2 kg}, weight: 960 g}\n",
    "studio/dyestuffs.yaml": "madder: {weight: 1 kg, cost: 58}\n"
    "cochineal: {weight: 50 g, cost: 14}\n",
    "studio/mordants.yaml": "alum: {weight: 1 kg, cost: 9.50}\n"
    "cream of tartar: {weight: 500 g, cost: 8}\n",
    "studio/sundries.yaml": "lining: {fibre: cotton, length: 5 m, cost: 42}\n"
    "bar: {each: 6.80, length: 90 cm}\nribbon: {number: 20, cost: 5}\n",
}


@pytest.fixture
def opened(tmp_path):
    def read(changes):
        for name, text in {**STUDIO, **changes}.items():
            path = tmp_path / "pieces" / name
            path.parent.mkdir(parents=True, exist_ok=True)
            path.write_text(text, encoding="utf-8")
        book, problems = read_book(tmp_path / "pieces")
        assert [told(problem, british()) for problem in problems] == []
        return book, studio_flow(book)

    return read


def bath(grams: int, steps: str, more: str = "") -> str:
    return f"dyed:\n  - {{yarn: two-ply, weight: {grams} g, becomes: red}}\nsteps:\n{steps}{more}"


def drawn(flow, kind, name):
    return flow.drawn(Key(kind, name))


def test_doses_are_shares_of_the_dry_fibre(opened):
    steps = "  - mordants: {alum: 10 %, cream of tartar: 5 %}\n"
    _, flow = opened({"dyebook/b.yaml": bath(106, steps)})
    assert drawn(flow, "mordant", "alum") == Fraction("10.6")
    assert drawn(flow, "mordant", "cream of tartar") == Fraction("5.3")
    steps = "  - dyes: {madder: 50 %}\n  - dyes: {cochineal: 6 %, madder: 10 g}\n"
    _, flow = opened({"dyebook/b.yaml": bath(450, steps)})
    assert drawn(flow, "dyestuff", "madder") == 225 + 10
    assert drawn(flow, "dyestuff", "cochineal") == 27


def test_several_yarns_share_a_bath_by_weight(opened):
    record = (
        "dyed:\n  - {yarn: two-ply, weight: 300 g, becomes: red}\n"
        "  - {yarn: two-ply, weight: 100 g, becomes: pink}\n"
        "steps:\n  - {dyes: {madder: 50 %}, heat: 70 C for 2 h}\nhours: {dyeing: 4}\n"
    )
    _, flow = opened({"dyebook/b.yaml": record})
    red, pink = (flow.loads[Key("dyed", name)] for name in ("red", "pink"))
    assert (red.hours["dyeing"], pink.hours["dyeing"]) == (3, 1)
    assert red.money[Key("heat", "heat")] == Fraction("0.675")
    assert red.grams[Key("dyestuff", "madder")] == 150
    assert pink.money[Key("dyestuff", "madder")] == Fraction(58 * 50, 1000)


def test_a_lost_sample_is_lost_and_not_left(opened):
    steps = "  - dyes: {madder: 50 %}\n"
    _, flow = opened({"dyebook/b.yaml": bath(420, steps, "fibre also lost: 5 g\n")})
    assert flow.left(Key("dyed", "red")) == 415
    assert flow.loads[LOST].grams[Key("dyestuff", "madder")] == Fraction(5, 2)


def test_an_exhaust_bath_is_found_by_its_file_or_its_lot_and_costs_no_dyestuff(opened):
    first = bath(400, "  - dyes: {madder: 50 %}\n")
    again = "exhaust of: {}\ndyed: [{{yarn: two-ply, weight: 100 g, becomes: pale}}]\n"
    for name in ("first", "red"):
        book, flow = opened({"dyebook/first.yaml": first, "dyebook/x.yaml": again.format(name)})
        assert exhaust_source(book, book.baths["x"]) is book.baths["first"]
        assert Key("dyestuff", "madder") not in flow.loads[Key("dyed", "pale")].money


@pytest.mark.parametrize(
    ("lot", "assumed"),
    [
        ("grey: {breed: Gotland, weight: 3 kg}", ("scoured", "carded", "spun")),
        ("grey: {breed: Gotland, weight: 3 kg, scoured: 55 %}", ("carded", "spun")),
        ("grey: {weight: 3 kg, scoured: 55 %, carded: 92 %, spun: 97 %}", ()),
    ],
)
def test_yields_that_are_not_written_are_assumed_and_that_is_said(opened, lot, assumed):
    book, _ = opened({"studio/fleece.yaml": lot, "studio/yarns.yaml": ""})
    told = [british().tell(figure.what) for figure in yields_of(book.fleece["grey"])]
    steps = ("scoured", "carded", "spun")
    notes = (" (assumed)" if step in assumed else "" for step in steps)
    assert told == [f"grey, {step}{note}" for step, note in zip(steps, notes, strict=True)]
    assert 0 < yield_of(book.fleece["grey"]) < 1


def test_measured_yarn_takes_the_measure_and_the_rest_of_the_fleece_stays(opened):
    _, flow = opened({})
    assert flow.nodes[Key("yarn", "two-ply")].holds == 960
    assert flow.left(Key("fleece", "grey")) == 1000
    assert flow.loads[Key("yarn", "two-ply")].money[Key("fleece", "grey")] == 44


def test_a_blend_is_made_of_what_it_cleaned_to(opened):
    yarns = "blend: {fleece: {grey: 1 kg, white: 200 g}, weight: 700 g}\n"
    book, flow = opened({"studio/yarns.yaml": yarns})
    wool = 1000 * yield_of(book.fleece["grey"])
    silk = 200 * yield_of(book.fleece["white"])
    assert composition(book, "blend") == {
        "wool": wool / (wool + silk),
        "silk": silk / (wool + silk),
    }
    assert flow.loads[Key("yarn", "blend")].grams[Key("fleece", "white")] == 200


def test_sundries_in_their_own_measure(opened):
    piece = (
        "number: 2026-001\ntitle: Ebb\nyarns: [{lot: two-ply, weight: 100 g}]\n"
        "sundries: {lining: 50 cm, bar: 1, ribbon: 2}\n"
    )
    _, flow = opened({"2026-001.yaml": piece})
    money = flow.loads[Key("piece", "2026-001")].money
    assert money[Key("sundry", "lining")] == Fraction("4.20")
    assert money[Key("sundry", "bar")] == Fraction("6.80")
    assert money[Key("sundry", "ribbon")] == Fraction("0.50")
    assert flow.left(Key("sundry", "lining")) == 450


def test_what_every_piece_takes_is_not_taken_by_a_piece_on_the_loom(opened):
    studio = STUDIO["studio/studio.yaml"] + "every piece takes: {ribbon: 1}\n"
    piece = "number: 2026-00{0}\ntitle: Ebb\nstatus: {1}\n"
    _, flow = opened(
        {
            "studio/studio.yaml": studio,
            "2026-001.yaml": piece.format(1, "in progress"),
            "2026-002.yaml": piece.format(2, "available"),
        }
    )
    assert drawn(flow, "sundry", "ribbon") == 1


def test_a_mordant_that_was_never_weighed_came_in_as_what_was_used(opened):
    mordants = STUDIO["studio/mordants.yaml"] + "iron: {cost: 4}\n"
    steps = "  - mordants: {iron: 3 g}\n"
    _, flow = opened({"studio/mordants.yaml": mordants, "dyebook/b.yaml": bath(100, steps)})
    iron, red = Key("mordant", "iron"), Key("dyed", "red")
    assert flow.nodes[iron].own.grams == {iron: 3}
    assert (flow.loads[red].grams[iron], flow.loads[red].money[iron]) == (3, 4)


def test_a_yarn_that_is_only_darkened_in_place_has_its_own_pot(opened):
    piece = (
        "number: 2026-001\ntitle: Ebb\nyarns: [{lot: two-ply, weight: 100 g, after: {alum: 2 %}}]\n"
    )
    book, flow = opened({"2026-001.yaml": piece})
    (use,) = book.pieces["2026-001"].yarns
    assert is_in_place(use)
    assert drawn(flow, "mordant", "alum") == 2
    assert flow.loads[Key("piece", "2026-001")].grams[Key("mordant", "alum")] == 2


def test_a_bath_that_calls_itself_its_exhaust_is_drawn_from_no_bath(opened):
    record = "exhaust of: b\n" + bath(100, "  - dyes: {madder: 50 %}\n")
    book, flow = opened({"dyebook/b.yaml": record})
    assert exhaust_source(book, book.baths["b"]) is book.baths["b"]
    assert [draw.source.kind for draw in flow.into[Key("bath", "b")]] == ["dyestuff"]
    assert drawn(flow, "dyestuff", "madder") == 50
