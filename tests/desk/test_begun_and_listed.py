"""Records begun at the desk, today's list and the others."""

from __future__ import annotations

from datetime import date

import pytest

from provenance.build.opening import open_studio
from provenance.desk.today import today
from provenance.language.phrases import british
from provenance.problems import Slip, WrongWish
from provenance.public.border import Border
from tests.desk.conftest import all_of, told


def things(found, name):
    return next((each["things"] for each in found["groups"] if each["name"] == name), [])


def test_like_an_old_piece_keeps_what_is_its_kind_and_opens_the_rest_anew(folder, hands):
    hands.do("/deed/do", hands.do("/deed", {"words": ["count", "grey-2ply", "100 g"]}))
    begun = hands.do("/begin", {"what": "piece", "like": "2026-001", "title": "Flood: second"})
    assert begun["path"] == "2026-004-flood-second.yaml"
    assert begun["href"] == "/at/2026-004-flood-second.yaml"
    assert begun["remarks"] == ["grey-2ply: 100 g are left, and that piece took 190 g"]
    assert (folder / begun["path"]).read_text() == (
        "# yaml-language-server: $schema=.schemas/piece.json\n"
        "number: 2026-004\n"
        'title: "Flood: second"\n'
        "kind: scarf\n"
        "status: in progress\n"
        "# size: 180 x 28 cm\n"
        "# finished: 2026-10-01\n"
        "# yarns: [{use: weft, lot: grey-2ply, weight: 190 g}]\n"
        "# hours: {weaving: 6}\n"
        "# price: 480        # settled with the gallery\n"
    )


@pytest.mark.parametrize(
    ("what", "title", "path"),
    [
        ("piece", "", "2026-004.yaml"),
        ("bath", "Peat, second", "dyebook/2026-11-peat-second.yaml"),
        ("commission", "", "commissions/2026-C02.yaml"),
        ("show", "Low water", "shows/low-water.yaml"),
    ],
)
def test_others_are_begun_as_start_begins_them(folder, hands, what, title, path):
    before = all_of(folder)
    begun = hands.do("/begin", {"what": what, "title": title})
    assert begun["path"] == path
    now = all_of(folder)
    assert {name: now[name] for name in before} == before
    assert set(now) - set(before) == {path}


@pytest.mark.parametrize("asked", [{"what": "sale"}, {"what": "show", "like": "2026-001"}])
def test_what_cannot_be_begun_is_told(hands, asked):
    with pytest.raises(WrongWish) as refused:
        hands.do("/begin", asked)
    assert told(refused.value)[1].startswith("a piece, a bath, a commission or a show;")


def test_like_a_piece_that_nobody_knows_writes_nothing(folder, hands):
    before = all_of(folder)
    with pytest.raises(Slip):
        hands.do("/begin", {"what": "piece", "like": "2026-099"})
    assert all_of(folder) == before


def test_today_has_what_is_over_what_is_wrong_and_what_has_no_price(folder, hands):
    (folder / "2026-005-wrong.yaml").write_text("number: 2026-005\ntitle: Wrong\nkind: hat\n")
    found = hands.seen("/", {})
    assert found["counts"]["mistakes"] == 1
    (mistake,) = (each for each in things(found, "mend") if not each["is_remark"])
    assert mistake["place"] == "pieces/2026-005-wrong.yaml:3"
    assert mistake["href"] == "/at/2026-005-wrong.yaml?line=3"
    (back,) = (each for each in things(found, "dates") if each["deed"])
    assert back["words"] == (
        "Dale fair is over, and the records still have 2 pieces there: 2026-001 and 2026-002"
    )
    assert back["deed"] == ["move", "--from", "dale-fair", "studio"]
    assert hands.do("/deed", {"words": back["deed"]})["mark"]
    prices = [each["deed"] for each in things(found, "sell") if each["deed"]]
    assert prices == [["reprice", "2026-003", ""]]


def test_today_tells_what_a_gallery_owes_and_which_shows_come(folder):
    (folder / "2026-002-fret.yaml").write_text(
        "number: 2026-002\ntitle: Fret\nsale: {on: 2026-11-02, price: 300, at: harbour-gallery,\n"
        "  kept back: 135}\n"
    )
    (folder / "shows").mkdir()
    (folder / "shows" / "low-water.yaml").write_text(
        "title: Low water\ndates: 2026-11-28 to 2026-12-20\nworks: [2026-001]\n"
    )
    found = today(Border(open_studio(folder, date(2026, 11, 25))), british())
    assert "Low water begins in 3 days – in the terminal:" in [
        each["words"] for each in things(found, "dates")
    ]
    owed = [each for each in things(found, "sell") if "owes" in each["words"]]
    assert [each["words"] for each in owed] == [
        "Harbour gallery owes £165 for 2026-002, sold on 2 November 2026; 'paid:' is not written"
    ]
    assert owed[0]["href"] == "/at/2026-002-fret.yaml?line=3"


def test_lists_are_filtered_and_searched(hands):
    found = hands.seen("/pieces", {"words": "EBB scarf"})
    assert [each["number"] for each in found["items"]] == ["2026-001"]
    assert (found["shown"], found["of"]) == (1, 3)
    every = hands.seen("/pieces", {"state": "available"})
    assert every["states"] == [
        {"name": "available", "title": "Available", "count": 3, "is_chosen": True}
    ]
    assert [each["number"] for each in every["items"]] == ["2026-003", "2026-002", "2026-001"]
    none = hands.seen("/pieces", {"words": "tapestry"})
    assert (none["items"], none["empty"]) == ([], "Nothing here is like that.")
    assert hands.seen("/dyebook", {})["empty"] == "Nothing is written here yet."


def test_the_shelf_tells_what_is_left(hands):
    grey, _ = hands.seen("/shelf", {})["items"]
    assert {name: grey[name] for name in ("name", "left", "whole", "share", "state_words")} == {
        "name": "grey-2ply", "left": "1600 g", "whole": "2000 g", "share": 80,
        "state_words": "Yarns",
    }  # fmt: skip
