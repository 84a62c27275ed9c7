"""From records to the flow: doses, grease weight, yields that are assumed, sundries, losses.

Doses are shares of the dry weight of fibre: 106 g at alum 10 % and cream of tartar 5 % take 10.6 g
and 5.3 g (common practice); 450 g at madder 50 % and cochineal 6 % take 225 g and 27 g.
"""

from __future__ import annotations

from fractions import Fraction

import pytest

from provenance.figures.flow.flow import HEAT, LOST, Key
from provenance.figures.flow.gather import (
    exhaust_source,
    expected_yarn,
    studio_flow,
    yield_of,
)
from provenance.figures.flow.makeup import composition
from provenance.figures.flow.own_workings import grease_working, yields_of
from provenance.figures.flow.sundries import each_of
from provenance.language.phrases import british
from provenance.language.telling import told
from provenance.problems import Place
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
    assert Key("piece", "2026-001") not in flow.into
    assert [draw.source.name for draw in flow.into[Key("piece", "2026-002")]] == ["ribbon"]


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
    assert use.is_in_place
    assert drawn(flow, "mordant", "alum") == 2
    assert flow.loads[Key("piece", "2026-001")].grams[Key("mordant", "alum")] == 2


def test_a_bath_that_calls_itself_its_exhaust_is_drawn_from_no_bath(opened):
    record = "exhaust of: b\n" + bath(100, "  - dyes: {madder: 50 %}\n")
    book, flow = opened({"dyebook/b.yaml": record})
    assert exhaust_source(book, book.baths["b"]) is book.baths["b"]
    assert [draw.source.kind for draw in flow.into[Key("bath", "b")]] == ["dyestuff"]
    assert drawn(flow, "dyestuff", "madder") == 50


# One studio in which everything is used once, line by line: 40 % of grey is left as yarn.
WHOLE = {
    "studio/fleece.yaml": """
grey:
  breed: Gotland
  weight: 3 kg
  cost: 66
  scoured: 50 %
  carded: 80 %
  spun: 100 %
  lost: 100 g
  hours: {skirting: 2}
""",
    "studio/yarns.yaml": """
two-ply:
  fleece: {grey: 1 kg}
  weight: 360 g
  cost: 12
  lost: 10 g
  hours: {spinning: 9}
reckoned:
  fleece: grey
  weight: 40 g
expected:
  fleece: {grey: 200 g}
""",
    "studio/dyestuffs.yaml": """
madder: {weight: 1 kg, cost: 58}
marigold:
  cost: 3
  hours: {gathering: 1}
""",
    "dyebook/first.yaml": """
dyed:
  - {yarn: two-ply, weight: 100 g, becomes: red}
  - {yarn: reckoned, weight: 20 g, becomes: pink}
steps:
  - {mordants: {alum: 10 %}, dyes: {madder: 50 %}, heat: 80 C for 2 h}
  - {dyes: {marigold: 30 g}, after: {madder: 1 g}, heat: 60 C for 30 min}
hours: {dyeing: 3}
fibre also lost: 6 g
""",
    "dyebook/rest.yaml": """
exhaust of: red
dyed: [{yarn: two-ply, weight: 50 g, becomes: pale}]
""",
    "2026-001.yaml": """
number: 2026-001
title: Ebb
yarns:
  - {use: weft, lot: red, weight: 50 g}
  - {use: warp, fleece: grey, weight: 20 g, dyes: {madder: 10 %}, heat: 90 C for 1 h}
  - {use: pile, lot: pale, weight: 10 g, after: {alum: 5 g}}
hours:
  weaving:
    - {on: 2026-08-03, for: 3 h}
    - {on: 2026-08-04, for: 2 h}
  hemming: 1
sundries: {bar: 2, lining: 50 cm}
""",
}
DRAWS = """
fleece grey -> lost : 100 fleece.yaml:9
fleece grey -> yarn two-ply: 1000 yarns.yaml:3
fleece grey -> yarn reckoned: 100 yarns.yaml:8 = 40 / 1/2 / 4/5 / 1
fleece grey -> yarn expected: 200 yarns.yaml:12
fleece grey -> in place 2026-001 warp: 50 2026-001.yaml:6 = 20 / 1/2 / 4/5 / 1
yarn two-ply -> lost : 10 yarns.yaml:6
yarn two-ply -> dyed red: 100 first.yaml:3
yarn two-ply -> dyed pale: 50 rest.yaml:3
yarn reckoned -> dyed pink: 20 first.yaml:4
dyestuff madder -> bath first: 60 first.yaml:6 = 1/2 * 120
dyestuff madder -> bath first: 1 first.yaml:7
dyestuff madder -> in place 2026-001 warp: 2 2026-001.yaml:6 = 1/10 * 20
dyestuff marigold -> bath first: 30 first.yaml:7
mordant alum -> bath first: 12 first.yaml:6 = 1/10 * 120
mordant alum -> in place 2026-001 pile: 5 2026-001.yaml:7
bath first -> dyed red: 100 first.yaml:3
bath first -> dyed pink: 20 first.yaml:4
bath first -> bath rest: 0 rest.yaml:2 (exhaust)
bath rest -> dyed pale: 50 rest.yaml:3
dyed red -> lost : 5 first.yaml:3
dyed red -> piece 2026-001: 50 2026-001.yaml:5 (weft)
dyed pink -> lost : 1 first.yaml:4
dyed pale -> in place 2026-001 pile: 10 2026-001.yaml:7
in place 2026-001 warp -> piece 2026-001: 20 2026-001.yaml:6 (warp)
in place 2026-001 pile -> piece 2026-001: 10 2026-001.yaml:7 (pile)
sundry bar -> piece 2026-001: 2 2026-001.yaml:13
sundry lining -> piece 2026-001: 50 2026-001.yaml:13
"""


def line_of(place):
    return place.short.rpartition("/")[2]


def drawn_line(draw):
    signs = {"product": " * ", "quotient": " / "}
    use, working = british().tell(draw.use) if draw.use else "", draw.working
    worked = working and signs[working.how].join(str(each.value) for each in working.terms)
    return (
        f"{' '.join(draw.source)} -> {' '.join(draw.target)}: {draw.amount} {line_of(draw.place)}"
        + (f" = {worked}" if working else "") + (f" ({use})" if use else "")
    )  # fmt: skip


def test_every_use_is_a_draw_with_its_amount_its_line_and_its_working(opened):
    _, flow = opened(WHOLE)
    found = {drawn_line(draw) for draws in flow.into.values() for draw in draws}
    assert found == set(DRAWS.strip().splitlines())
    assert all(
        draw.working.value == draw.amount
        for draws in flow.into.values()
        for draw in draws
        if draw.working
    )


def own(flow, kind, name):
    """What a node brings in itself: grams, money by where it went, hours."""
    load = flow.nodes[Key(kind, name)].own
    return (
        {key.name: grams for key, grams in load.grams.items()},
        {key.name: money for key, money in load.money.items()},
        dict(load.hours),
    )


@pytest.mark.parametrize(
    ("kind", "name", "grams", "money", "hours"),
    [
        ("fleece", "grey", {"grey": 3000}, {"grey": 66}, {"skirting": 2}),
        ("dyestuff", "madder", {"madder": 1000}, {"madder": 58}, {}),
        ("dyestuff", "marigold", {"marigold": 30}, {"marigold": 3}, {"gathering": 1}),
        ("yarn", "two-ply", {}, {"two-ply": 12}, {"spinning": 9}),
        ("yarn", "reckoned", {}, {}, {}),
        ("bath", "first", {}, {"heat": Fraction("1.125")}, {"dyeing": 3}),  # 2.5 h at 0.45
        ("bath", "rest", {}, {}, {}),
        ("dyed", "red", {}, {}, {}),
        ("in place", "2026-001 warp", {}, {"heat": Fraction("0.45")}, {}),
        ("in place", "2026-001 pile", {}, {}, {}),
        ("piece", "2026-001", {}, {}, {"weaving": 5, "hemming": 1}),
        ("sundry", "bar", {}, {"bar": Fraction("13.60")}, {}),
        ("sundry", "lining", {}, {"lining": 42}, {}),
    ],
)
def test_what_each_node_brings_in_itself(opened, kind, name, grams, money, hours):
    _, flow = opened(WHOLE)
    assert own(flow, kind, name) == (grams, money, hours)


@pytest.mark.parametrize(
    ("kind", "name", "holds", "unit"),
    [
        ("fleece", "grey", 3000, "g"), ("dyestuff", "marigold", None, "g"),
        ("yarn", "two-ply", 360, "g"), ("yarn", "expected", 80, "g"), ("bath", "first", 120, "g"),
        ("dyed", "red", 100, "g"), ("in place", "2026-001 warp", 20, "g"),
        ("piece", "2026-001", None, "g"), ("sundry", "bar", None, ""),
        ("sundry", "lining", 500, "cm"), ("sundry", "ribbon", 20, ""),
    ],
)  # fmt: skip
def test_what_each_node_holds(opened, kind, name, holds, unit):
    _, flow = opened(WHOLE)
    node = flow.nodes[Key(kind, name)]
    assert (node.holds, node.unit) == (holds, unit)


@pytest.mark.parametrize(
    ("kind", "name", "stands", "paid"),
    [
        ("fleece", "grey", "fleece.yaml:2", "fleece.yaml:5"),
        ("dyestuff", "marigold", "dyestuffs.yaml:3", "dyestuffs.yaml:4"),
        ("yarn", "two-ply", "yarns.yaml:2", "yarns.yaml:5"),
        ("yarn", "reckoned", "yarns.yaml:8", "yarns.yaml:8"),
        ("sundry", "lining", "sundries.yaml:1", "sundries.yaml:1"),
        ("sundry", "bar", "sundries.yaml:2", "sundries.yaml:2"),
        ("dyed", "pink", "first.yaml:4", ""),
    ],
)
def test_where_each_node_stands_and_was_paid(opened, kind, name, stands, paid):
    _, flow = opened(WHOLE)
    node = flow.nodes[Key(kind, name)]
    assert (line_of(node.place), line_of(node.own_place)) == (stands, paid)


def test_a_log_is_added_day_by_day_and_one_day_stands_for_itself(opened):
    _, flow = opened(WHOLE)
    weaving = flow.nodes[Key("piece", "2026-001")].workings["weaving"]
    tell = british().tell
    assert (weaving.how, weaving.unit, tell(weaving.what)) == ("sum", "h", "weaving, 2026-001")
    assert [(tell(day.what), day.value, line_of(day.place)) for day in weaving.terms] == [
        ("weaving on 2026-08-03", 3, "2026-001.yaml:10"),
        ("weaving on 2026-08-04", 2, "2026-001.yaml:11"),
    ]
    one = WHOLE["2026-001.yaml"].replace("    - {on: 2026-08-04, for: 2 h}\n", "")
    _, flow = opened({**WHOLE, "2026-001.yaml": one})
    weaving = flow.nodes[Key("piece", "2026-001")].workings["weaving"]
    assert (weaving.how, weaving.value, weaving.terms) == ("given", 3, ())


def test_heat_is_its_hours_at_the_rate_of_the_studio_file(opened):
    """2 h and half an hour at 0.45."""
    _, flow = opened(WHOLE)
    heat = flow.nodes[Key("bath", "first")].workings[HEAT]
    hours, rate = heat.terms
    assert (heat.how, heat.value) == ("product", Fraction("1.125"))
    assert [(each.value, line_of(each.place)) for each in hours.terms] == [
        (2, "first.yaml:6"), (Fraction(1, 2), "first.yaml:7"),
    ]  # fmt: skip
    assert (rate.value, line_of(rate.place)) == (Fraction("0.45"), "studio.yaml:3")
    assert HEAT not in flow.nodes[Key("bath", "rest")].workings


def test_the_yarn_that_was_to_be_expected(opened):
    """40 % of 200 g; of a fleece without grams, and of one not on record, nothing is expected."""
    book, _ = opened(WHOLE)
    found = {name: expected_yarn(book, yarn) for name, yarn in book.yarns.items()}
    assert found == {"two-ply": 400, "reckoned": 0, "expected": 80}


def test_a_fleece_of_which_nothing_is_left_is_taken_gram_for_gram(opened):
    """A share of 0 % is refused on reading; a wrong record must not stop the others."""
    book, _ = opened(WHOLE)
    grey, place = book.fleece["grey"], Place("a.yaml", 1, 1)
    grease = grease_working(grey, Fraction(40), place)
    assert (grease.value, british().tell(grease.what)) == (100, "grey in the grease")
    nothing = type(grey.spun)(0)
    nothing.place = place
    found = grease_working(grey.model_copy(update={"spun": nothing}), Fraction(40), place)
    assert (found.value, found.how, found.place) == (40, "given", place)


@pytest.mark.parametrize(
    ("record", "lacking", "how", "value"),
    [
        ("bar: {each: 6.80}", [], "given", Fraction("6.80")),
        ("bar: {length: 5 m, cost: 42}", [], "quotient", Fraction("0.084")),
        ("bar: {length: 5 m, cost: 42}", ["cost"], "quotient", 0),
        ("bar: {each: 6.80}", ["each"], "given", 0),
    ],
)
def test_what_one_of_a_sundry_cost(opened, record, lacking, how, value):
    book, _ = opened({"studio/sundries.yaml": f"{record}\n"})
    bar = book.sundries["bar"].model_copy(update=dict.fromkeys(lacking))
    one = each_of(bar, "GBP")
    assert (one.how, one.value) == (how, value)
    assert british().tell(one.what) == "bar, each"
