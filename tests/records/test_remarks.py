"""Slips of the pen in days, hours, places and titles; each said where it stands, the rest quiet.

Today is 2026-11-20.
"""

import re
from datetime import date

import pytest

from provenance.build.opening import open_studio
from provenance.language.phrases import british
from provenance.language.telling import told
from provenance.records.checks_hours import ACTIVITIES

STUDIO = "studio: Brackenfold\nmaker: Isla Wren\nsite: https://new.example\npay: {any: 20}\n"


def piece(turn=1, more="", hours="{weaving: 30, finishing: 2}", size="100 x 50 cm", kind="scarf"):
    return {
        f"2026-00{turn}.yaml": f"number: 2026-00{turn}\ntitle: Ebb {turn}\nkind: {kind}\n"
        f"size: {size}\nhours: {hours}\nyarns: [{{use: weft, lot: plain, weight: 9 g}}]\n{more}"
    }


@pytest.fixture
def said(write_studio):
    """What is said of a studio with these records."""

    def say(*files, studio=STUDIO):
        shelf = {
            "studio/studio.yaml": studio,
            "studio/yarns.yaml": "plain: {fibre: wool, weight: 1 kg, cost: 100}\n",
            "studio/outlets.yaml": "dale: {kind: fair, dates: 2026-11-14 to 2026-11-15}\n"
            "moot: {kind: fair, dates: 2026-11-20 to 2026-11-21}\n",
        }
        for each in files:
            shelf |= each
        problems = open_studio(write_studio(shelf), date(2026, 11, 20)).problems
        return "\n".join(told(each, british()) for each in problems)

    return say


@pytest.mark.parametrize(
    ("more", "line", "words"),
    [
        (
            "finished: 2027-09-14\n",
            1,
            "2026-001 is finished on 2027-09-14, a day to come today is 2026-11-20: "
            "look at the year",
        ),
        (
            "sale: {on: 2027-01-02, price: 30}\n",
            7,
            "2026-001 is sold on 2027-01-02, a day to come",
        ),
        (
            "status: sold\n",
            7,
            "2026-001 is sold, and nothing says when and for how much "
            "add 'sale: {on: 2026-11-28, price: 480}'",
        ),
        (
            "at: dale\n",
            7,
            "'dale' was over on 2026-11-15, and by the records these are still there: 2026-001 "
            "where are they now? 'provenance move --from dale studio' brings home what did not ",
        ),
    ],
)
def test_days_and_places(said, more, line, words):
    found = " ".join(said(piece(more=more)).split())
    assert words in found
    assert re.search(rf"2026-001\.yaml:{line}:\d+: ", found)


@pytest.mark.parametrize(
    "more",
    [
        "finished: 2026-11-20\n",
        "sale: {on: 2026-11-20, price: 30}\nat: dale\n",
        "status: sold\nsale: {on: 2026-11-14, price: 30, at: dale}\n",
        "at: moot\n",
        "at: dale\nstatus: withdrawn\n",
    ],
)
def test_what_is_as_it_should_be(said, more):
    assert said(piece(more=more)) == ""


def test_all_pieces_left_at_a_fair_are_one_remark(said):
    found = said(*(piece(turn, "at: dale\n") for turn in (1, 2, 3)))
    assert found.count("was over on") == 1
    assert "2026-001, 2026-002, 2026-003" in " ".join(found.split())


@pytest.mark.parametrize(
    ("typed", "near"),
    [
        ("weavng", "weaving"),
        ("waeving", "weaving"),
        ("finshing", "finishing"),
        ("desgin", "design"),
    ],
)
def test_a_misspelt_activity(said, typed, near):
    found = " ".join(said(piece(hours=f"{{{typed}: 3, fringe: 2}}")).split())
    assert f"'{typed}' is done nowhere else did you mean '{near}'?" in found
    assert "2026-001.yaml:5:9: " in found


@pytest.mark.parametrize(
    "typed", ["felting", "binding", "pressing", "knitting", "weben", "nalbinding"]
)
def test_an_own_activity_is_no_slip(said, typed):
    assert said(piece(hours=f"{{{typed}: 3, fringe: 2}}")) == ""


def test_an_odd_word_that_stands_twice_or_is_paid_is_an_own_activity(said):
    twice = piece(1, hours="{weavng: 3, fringe: 1}"), piece(2, hours="{weavng: 3, fringe: 1}")
    assert said(*twice) == ""
    paid = STUDIO.replace("{any: 20}", "{any: 20, weavng: 22}")
    assert said(piece(hours="{weavng: 3, fringe: 1}"), studio=paid) == ""


def test_a_slip_near_an_own_word(said):
    own = [piece(turn, hours="{nalbinding: 9, fringe: 1}") for turn in (1, 2)]
    found = " ".join(said(*own, piece(3, hours="{nalbindng: 9, fringe: 1}")).split())
    assert "'nalbindng' is done nowhere else did you mean 'nalbinding'?" in found


def test_known_activities_are_those_with_words():
    named = {name.partition(".")[2] for name in british().words if name.startswith("activity.")}
    assert set(ACTIVITIES) == named


def test_a_point_that_slipped(said):
    """Three scarves of half a square metre took 30 h at most: 725 is 24 times that."""
    others = [piece(turn) for turn in (2, 3, 4)]
    found = " ".join(said(*others, piece(hours="{weaving: 725, finishing: 2}")).split())
    assert "725 hours of weaving in 2026-001: far more than a scarf of its size takes" in found
    assert "2026-001.yaml:5:18: " in found
    kept = piece(hours="{weaving: 725, finishing: 2}", more="known: [725 hours of weaving]\n")
    assert said(*others, kept) == ""


def test_with_nothing_to_hold_it_against(said):
    """725 h on half a square metre is 1,450 for one; on 4 m2 a large tapestry takes it."""
    found = said(piece(hours="{weaving: 725, finishing: 2}"))
    assert "725 hours of weaving" in found
    assert said(piece(hours="{weaving: 725, finishing: 2}", size="2 x 2 m", kind="hanging")) == ""


@pytest.mark.parametrize("hours", [40, 170, 180])
def test_a_slow_piece_is_no_slip(said, hours):
    """Six times what the slowest other took is still believed: 180 h against 30."""
    others = [piece(turn) for turn in (2, 3, 4)]
    assert said(*others, piece(hours=f"{{weaving: {hours}, finishing: 2}}")) == ""


def test_a_day_of_more_than_sixteen_hours(said):
    log = "{weaving: [{on: 2026-08-03, for: 9}, {on: 2026-08-03, for: 7.5}], finishing: 1}"
    found = said(piece(hours=log))
    assert "2026-001 has more than sixteen hours on 2026-08-03" in found
    assert said(piece(hours=log.replace("7.5", "7"))) == ""


PRINTED = (
    "- {{on: 2026-0{month}-01, paper: tag, number: 2026-001, title: {title}, address: {address}}}\n"
)


def printed(title="Ebb 1", site="HTTPS://NEW.EXAMPLE"):
    told_ = {"title": title, "address": f"{site}/2026-001/"}
    return {"studio/printed.yaml": "".join(PRINTED.format(month=each, **told_) for each in "56")}


def test_a_site_that_moved_after_its_address_was_printed(said):
    found = " ".join(said(piece(), printed(site="HTTPS://OLD.EXAMPLE/WORK")).split())
    assert (
        "studio/studio.yaml:3:7: remark: 2 printed papers carry https://old.example/work, "
        "and the site is now https://new.example" in found
    )
    assert "let https://old.example/work go on answering, or lead to the new one" in found
    assert said(piece(), printed()) == ""
    kept = STUDIO + "known: [printed papers carry]\n"
    assert said(piece(), printed(site="HTTPS://OLD.EXAMPLE/WORK"), studio=kept) == ""


def test_another_title_under_a_printed_number(said):
    found = " ".join(said(piece(), printed(title="Flood")).split())
    assert (
        "2026-001.yaml:2:8: remark: 2026-001 was printed as 'Flood', and is called 'Ebb 1' now"
        in found
    )
    again = printed(title="Flood")["studio/printed.yaml"]
    again += "- {on: 2026-07-01, paper: tag, number: 2026-001, title: ebb  1}\n"
    assert said(piece(), {"studio/printed.yaml": again}) == ""
