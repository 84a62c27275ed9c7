"""Deeds at the desk: the same bytes as at the terminal, and a mark that holds only while nothing
has changed."""

from __future__ import annotations

import shutil

import pytest
from click.testing import CliRunner
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from provenance.commands.main import main
from provenance.desk.links import is_stale, refusal
from provenance.language.phrases import british
from provenance.problems import Slip, WrongWish
from tests.desk.conftest import all_of, hands_on, told

NUMBERS = ("2026-001", "2026-002", "2026-003", "2026-009")
OUTLETS = ("dale-fair", "harbour-gallery", "studio", "nowhere")
numbers, outlets = st.sampled_from(NUMBERS), st.sampled_from(OUTLETS)
DEEDS = st.one_of(
    st.tuples(st.just("sell"), numbers, st.sampled_from(["480", "38.50", "much", "0"])),
    st.tuples(st.just("sell"), numbers, st.just("300"), st.just("--at"), outlets),
    st.tuples(st.just("sell"), numbers, st.just("300"), st.just("--on"),
              st.sampled_from(["2026-11-21", "2027-01-01", "today"])),
    st.tuples(st.just("sell"), numbers, st.just("120"), st.just("--to=A. Reader")),
    st.tuples(st.just("move"), numbers, outlets),
    st.tuples(st.just("move"), st.just("--from"), outlets, outlets),
    st.tuples(st.just("reprice"), numbers, numbers, st.sampled_from(["350", "+8%", "-5%", "8%"])),
    st.tuples(st.just("count"), st.sampled_from(["grey-2ply", "black-2ply", "gold"]),
              st.sampled_from(["150 g", "1.2 kg", "9 kg", "some"])),
    st.tuples(st.just("quote"), st.just("2026-C01"), st.just("--accept")),
    st.tuples(st.just("undo")),
    st.tuples(st.just("sell"), numbers),
    st.tuples(st.just("move"), numbers, st.just("studio"), st.just("--fast")),
)  # fmt: skip


def at_the_desk(hands, words):
    """A deed as the page does it; whether anything came of it."""
    try:
        if words[0] == "undo":
            shown = hands.do("/undo", {})
        else:
            shown = hands.do("/deed", {"words": [*words]})
        if shown["mark"]:
            hands.do("/deed/do", {"mark": shown["mark"]})
    except Slip:
        return False
    return True


def at_a_terminal(folder, words):
    said = CliRunner().invoke(
        main, ["--studio", str(folder), *words, "--yes"], catch_exceptions=False
    )
    return said.exit_code == 0


@settings(max_examples=12, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(st.lists(DEEDS, min_size=3, max_size=6))
def test_any_row_of_deeds_leaves_the_bytes_that_the_commands_leave(folder, deeds):
    aside = folder.parent / "terminal" / folder.name
    ours = folder.parent / "desk" / folder.name
    for each in (aside, ours):
        shutil.rmtree(each, ignore_errors=True)
        shutil.copytree(folder, each)
    hands = hands_on(ours)
    for words in deeds:
        assert at_the_desk(hands, words) == at_a_terminal(aside, words), words
        assert all_of(ours) == all_of(aside), words


def test_a_deed_is_shown_with_its_lines_before_it_is_done(folder, hands):
    before = all_of(folder)
    shown = hands.do("/deed", {"words": ["reprice", "2026-001", "500"]})
    assert shown["told"] == ["2026-001 Ebb: £480 becomes £500"]
    assert shown["changes"] == [
        {
            "place": "pieces/2026-001-ebb.yaml:8",
            "href": "/at/2026-001-ebb.yaml?line=8",
            "gone": ["price: 480        # settled with the gallery"],
            "new": ["price: 500        # settled with the gallery"],
        }
    ]
    assert all_of(folder) == before
    done = hands.do("/deed/do", {"mark": shown["mark"]})
    assert done == {"told": ["Written. ‘Take back the last deed’ undoes it."],
                    "paths": ["2026-001-ebb.yaml"]}  # fmt: skip
    assert b"price: 500  " in (folder / "2026-001-ebb.yaml").read_bytes()


def test_a_mark_holds_once_and_for_no_other(folder, hands):
    mark = hands.do("/deed", {"words": ["sell", "2026-001", "480"]})["mark"]
    hands.do("/deed/do", {"mark": mark})
    before = all_of(folder)
    for wrong in (mark, "", "made-up"):
        with pytest.raises(Slip) as refused:
            hands.do("/deed/do", {"mark": wrong})
        assert told(refused.value) == (
            "What was shown no longer holds",
            "have it shown again",
        )
        assert is_stale(refused.value)
    assert all_of(folder) == before


@pytest.mark.parametrize("name", ["2026-001-ebb.yaml", "studio/outlets.yaml"])
def test_a_mark_ends_when_a_file_that_it_rests_on_changes(folder, hands, name):
    mark = hands.do("/deed", {"words": ["sell", "2026-001", "480"]})["mark"]
    path = folder / name
    path.write_bytes(path.read_bytes() + b"# typed since\n")
    before = all_of(folder)
    with pytest.raises(Slip) as refused:
        hands.do("/deed/do", {"mark": mark})
    assert is_stale(refused.value)
    assert told(refused.value)[0] == (
        f"pieces/{name} has changed since it was shown; nothing was written"
    )
    assert all_of(folder) == before


def test_undo_is_shown_too(folder, hands):
    before = all_of(folder)
    assert at_the_desk(hands, ("move", "2026-001", "harbour-gallery"))
    shown = hands.do("/undo", {})
    assert shown["changes"][0]["new"] == ["at: dale-fair"]
    hands.do("/deed/do", {"mark": shown["mark"]})
    assert all_of(folder) == before


@pytest.mark.parametrize(
    ("words", "what", "remedy"),
    [
        (["sel", "2026-001"], "'sel' is nothing that the desk can do", "did you mean 'sell'?"),
        (["sell", "2026-001"], "'sell' wants other words",
         "as in: sell 2026-014 480 --at dale-fair --on 2026-11-28"),
        (["sell", "2026-001", "480", "--items", "-1"], "'-1' is no number of things",
         "as in: sell 2026-014 480 --at dale-fair --on 2026-11-28"),
        (["sell", "2026-001", "480", "--at"], "nothing is said after '--at'",
         "as in: sell 2026-014 480 --at dale-fair --on 2026-11-28"),
        (["count", "grey-2ply", "1 kg", "--yes"], "'count' knows no '--yes'",
         "as in: count grey-2ply 840 g"),
        ([], "'' is nothing that the desk can do",
         "sell, move, reprice, count or quote --accept"),
    ],
)  # fmt: skip
def test_wrong_wishes_are_told_in_words(hands, words, what, remedy):
    with pytest.raises(WrongWish) as refused:
        hands.do("/deed", {"words": words})
    assert told(refused.value) == (what, remedy)
    assert refusal(refused.value, british())["href"] == ""


def test_a_desk_to_look_at_does_nothing(folder):
    hands, before = hands_on(folder, only_look=True), all_of(folder)
    asked = {"words": ["sell", "2026-001", "480"], "what": "piece", "mark": "x"}
    for address in ("/begin", "/photos", "/alt", "/deed", "/deed/do", "/undo"):
        with pytest.raises(WrongWish, match="only_look"):
            hands.do(address, asked)
    with pytest.raises(WrongWish, match="only_look"):
        hands.run({"what": "build"})
    assert all_of(folder) == before
    assert hands.seen("/pieces", {})["of"] == 3
