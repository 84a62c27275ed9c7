"""Traces keep to the law of the flow: back, every gram the piece carries; forward, nothing lost."""

from fractions import Fraction
from pathlib import Path

import pytest

from provenance.figures.flow.flow import LOST, Draw, Key, Load, Node, work_out
from provenance.figures.flow.gather import studio_flow
from provenance.figures.flow.trace import named, names, trace, workings
from provenance.language.phrases import british
from provenance.problems import Place
from provenance.records.book import read_book

HERE = Place("a.yaml", 1, 1)
FLEECE, YARN, DYED = Key("fleece", "gotland"), Key("yarn", "2ply"), Key("dyed", "rust")
BATH, MADDER, PIECE = Key("bath", "pot"), Key("dyestuff", "madder"), Key("piece", "2026-001")


def small():
    """2 kg of fleece -> 1 kg of yarn; 200 g of it dyed with 100 g of madder; 150 g woven."""
    grams = {FLEECE: Fraction(2000)}
    nodes = [
        Node(FLEECE, HERE, Load(grams), Fraction(2000)),
        Node(YARN, HERE, holds=Fraction(1000)),
        Node(MADDER, HERE, Load({MADDER: Fraction(500)}), Fraction(500)),
        Node(BATH, HERE, holds=Fraction(200)),
        Node(DYED, HERE, holds=Fraction(200)),
        Node(PIECE, HERE),
    ]
    ways = [
        (FLEECE, YARN, 2000, ""),
        (MADDER, BATH, 100, ""),
        (YARN, DYED, 200, ""),
        (BATH, DYED, 200, ""),
        (DYED, PIECE, 100, "weft"),
        (DYED, PIECE, 50, "warp"),
    ]
    draws = [Draw(a, b, Fraction(grams), HERE, use) for a, b, grams, use in ways]
    return work_out({node.key: node for node in nodes}, draws)


def test_back_from_a_piece_only_its_own_part_is_followed():
    found = trace(small(), PIECE)
    weft, warp = found.back
    assert (weft.key, weft.use, weft.amount) == (DYED, "weft", 100)
    assert (warp.use, warp.amount) == ("warp", 50)
    yarn, bath = weft.steps
    assert (yarn.key, yarn.amount) == (YARN, 100)
    assert [(step.key, step.amount) for step in yarn.steps] == [(FLEECE, 200)]
    assert [(step.key, step.amount) for step in bath.steps] == [(MADDER, 50)]
    assert (found.whole, found.left, found.forward) == (None, None, ())


def test_forward_from_a_lot_its_grams_go_along():
    found = trace(small(), MADDER)
    assert (found.whole, found.left) == (500, 400)
    (bath,) = found.forward
    (dyed,) = bath.steps
    assert (bath.amount, dyed.amount, dyed.of_it, dyed.left) == (100, 200, 100, 50)
    assert [(step.use, step.amount, step.of_it) for step in dyed.steps] == [
        ("weft", 100, 50),
        ("warp", 50, 25),
    ]


def test_a_circle_is_not_followed_for_ever():
    one, other = Key("dyed", "a"), Key("dyed", "b")
    nodes = {key: Node(key, HERE, holds=Fraction(10)) for key in (one, other)}
    draws = [Draw(one, other, Fraction(5), HERE), Draw(other, one, Fraction(5), HERE)]
    found = trace(work_out(nodes, draws), one)
    assert len(found.back) + len(found.forward) == 1


def leaves(steps):
    for step in steps:
        if step.steps:
            yield from leaves(step.steps)
        else:
            yield step


@pytest.fixture(scope="module")
def demo():
    book, _ = read_book(Path(__file__).parents[2] / "pieces")
    return studio_flow(book)


def test_back_every_gram_of_the_demo_is_found_again(demo):
    for key in demo.nodes:
        if key.kind == "piece":
            found = {}
            for step in leaves(trace(demo, key).back):
                found[step.key] = found.get(step.key, 0) + step.amount
            carried = demo.loads[key].grams
            assert {origin: found[origin] for origin in carried} == carried


def reached(demo, steps):
    """What went into pieces or was lost, and what is left on the way."""
    for step in steps:
        if step.key.kind in ("piece", "lost"):
            yield step.of_it
        else:
            whole = demo.whole(step.key)
            yield step.of_it * step.left / whole if whole else step.of_it
            yield from reached(demo, step.steps)


def test_forward_the_whole_lot_is_accounted_for(demo):
    for key in demo.nodes:
        if key.kind in ("fleece", "yarn", "dyed", "dyestuff", "mordant"):
            found = trace(demo, key)
            assert sum(reached(demo, found.forward), found.left) == found.whole, key


def test_the_working_of_the_grams_gives_the_grams(demo):
    key = Key("piece", "2026-014")
    found = {figure.value for figure in workings(demo, key)}
    assert found == set(demo.loads[key].grams.values())
    lot = Key("dyed", "marsh-green")
    assert workings(demo, lot)[-1].value == demo.left(lot)


def test_two_draws_for_the_same_use_are_one_step():
    draws = [Draw(DYED, PIECE, Fraction(grams), HERE, "weft") for grams in (30, 50, 7)]
    nodes = [Node(DYED, HERE, holds=Fraction(100)), Node(PIECE, HERE)]
    found = trace(work_out({node.key: node for node in nodes}, draws), PIECE)
    assert [(step.key, step.use, step.amount) for step in found.back] == [(DYED, "weft", 87)]


def test_what_is_left_is_the_whole_less_every_use_and_what_was_lost():
    nodes = [Node(YARN, HERE, holds=Fraction(100)), Node(DYED, HERE), Node(LOST, HERE)]
    draws = [Draw(YARN, DYED, Fraction(60), HERE), Draw(YARN, LOST, Fraction(5), HERE)]
    left = workings(work_out({node.key: node for node in nodes}, draws), YARN)[-1]
    tell = british().tell
    assert (tell(left.what), left.how, left.value) == ("left of 2ply", "difference", 35)
    assert [(tell(each.what), each.value) for each in left.terms] == [
        ("2ply in all", 100), ("into rust", 60), ("into waste", 5),
    ]  # fmt: skip


def test_names_are_found_by_what_they_are():
    flow = small()
    assert named(flow, "rust") == (DYED,)
    assert named(flow, "lost") == ()
    assert "pot" in names(flow)
