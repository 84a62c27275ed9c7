"""Deeds on a set: some of six napkins are sold, or go elsewhere; the record still adds up."""

from __future__ import annotations

import pytest

from provenance.records.book import read_book

NAME = "2026-004-napkins.yaml"
SET = """\
number: 2026-004
title: Napkins
kind: cloth
size: 40 x 40 cm
finished: 2026-10-01
yarns: [{use: weft, lot: grey-2ply, weight: 300 g}]
hours: {weaving: 6}
makes: 6
price: 38         # each
at: dale-fair
status: available
"""
ONE_SOLD = "sales:\n  - {on: 2026-11-01, price: 38, at: dale-fair}   # the first\n"
SOLD_THERE = ONE_SOLD.replace("dale-fair", "harbour-gallery")
COUNTED = "at: {harbour-gallery: 2, studio: 4}"


@pytest.fixture
def set_of_six(folder):
    def write(**changed):
        text = SET
        for old, new in changed.items():
            text = text.replace({"at": "at: dale-fair", "status": "status: available\n"}[old], new)
        (folder / NAME).write_text(text)
        return text

    return write


@pytest.fixture
def piece(folder):
    def read():
        book, problems = read_book(folder)
        assert not problems
        return book.pieces["2026-004"]

    return read


def test_two_of_six_are_sold_and_the_set_stays_for_sale(say, here, set_of_six, piece):
    """2 x 38 = 76; a card fee of 1.75 % of it is 1.33."""
    text = set_of_six()
    said = say("sell", "2026-004", "38", "--items", "2", "--to", "Ann of Leeds").stdout
    line = (
        "  - {on: 2026-11-25, price: 38, at: dale-fair, items: 2, to: Ann of Leeds, "
        "kept back: 1.33}"
    )
    assert said == (
        "2026-004 Napkins: 2 of 6 sold at dale-fair for £76; £1.33 kept back there, £74.67 is "
        "yours; 4 left\n"
        "pieces/2026-004-napkins.yaml:12\n"
        "  + sales:\n"
        f"  + {line}\n"
        "Written. 'provenance undo' takes it back.\n"
    )
    assert here()[NAME].decode() == f"{text}sales:\n{line}\n"
    assert (piece().left, piece().state, piece().standing) == (4, "available", {"dale-fair": 4})


def test_the_last_ones_make_it_sold_and_undo_takes_that_back(say, here, set_of_six, piece):
    """Five at 38 are 190; 45 % of that is 85.50."""
    text = set_of_six(status=f"status: available\n{ONE_SOLD}")
    say("sell", "2026-004", "38", "--items", "5", "--at", "harbour-gallery")
    line = "  - {on: 2026-11-25, price: 38, at: harbour-gallery, items: 5, kept back: 85.50}\n"
    sold = text.replace("status: available", "status: sold")
    assert here()[NAME].decode() == sold + line
    assert (piece().left, piece().state) == (0, "sold")
    refused = say("sell", "2026-004", "38", code=1)
    assert refused.stderr.startswith(
        "2026-004 was sold on 2026-11-25 (pieces/2026-004-napkins.yaml:14)\n"
    )
    say("undo")
    assert here()[NAME].decode() == text


def test_no_status_is_written_where_none_stands(say, here, set_of_six, piece):
    set_of_six(status="")
    say("sell", "2026-004", "38", "--items", "6")
    assert "status" not in here()[NAME].decode()
    assert piece().state == "sold"


def test_a_list_in_brackets_goes_on_in_its_line(say, here, set_of_six):
    text = set_of_six(status="sales: [{on: 2026-11-01, price: 38}]   # so far\n")
    say("sell", "2026-004", "40.50")
    added = ", {on: 2026-11-25, price: 40.50, at: dale-fair, kept back: 0.71}]"
    assert here()[NAME].decode() == text.replace("]   # so far", f"{added}   # so far")


@pytest.mark.parametrize(
    ("changed", "words", "code", "said"),
    [
        ({"status": ONE_SOLD}, ("--items", "6"), 1,
         "only 5 of 2026-004 left, of 6\n    say fewer, or mend the sales in "
         "pieces/2026-004-napkins.yaml:12\n"),
        ({"status": "sale: {on: 2026-11-01, items: 2}\n"}, (), 1,
         "the sales of a set are lines under 'sales:'; 2026-004 has one under 'sale:' "
         "(pieces/2026-004-napkins.yaml:11)\n    put the one sale into the list: 'sales: "
         "[{on: 2026-11-02, price: 38, items: 2}]'\n"),
        ({"status": "sales: []\n"}, ("--at", "studio"), 1,
         "pieces/2026-004-napkins.yaml:11:8: 'sales' has no list of items\n    write by hand, as "
         "the last line under 'sales': - {on: 2026-11-25, price: 38, at: studio, "
         "kept back: 0.67}\n"),
        ({"at": COUNTED}, (), 1,
         "2026-004 stands at harbour-gallery (2) and studio (4)\n    say where these were sold: "
         "--at harbour-gallery\n"),
    ],
)  # fmt: skip
def test_a_sale_of_a_set_that_is_not_sure_is_refused(
    say, here, set_of_six, changed, words, code, said
):
    set_of_six(**changed)
    before = here()
    assert say("sell", "2026-004", "38", *words, code=code).stderr == said
    assert here() == before


@pytest.mark.parametrize(
    ("at", "sales", "items", "then", "standing"),
    [
        # put there: six of six, two of them sold there
        (COUNTED, "", 2, COUNTED, {"studio": 4}),
        # those that are left: five of six, then four, then three
        ("at: {harbour-gallery: 2, studio: 3}", SOLD_THERE, 1,
         "at: {harbour-gallery: 1, studio: 3}", {"harbour-gallery": 1, "studio": 3}),
        ("at: {harbour-gallery: 2, studio: 3}", SOLD_THERE.replace("harbour-gallery", "studio"), 2,
         "at: {studio: 3}", {"studio": 3}),
        ("at:\n  harbour-gallery: 2   # by the door\n  studio: 3", SOLD_THERE, 1,
         "at:\n  harbour-gallery: 1   # by the door\n  studio: 3",
         {"harbour-gallery": 1, "studio": 3}),
    ],
)  # fmt: skip
def test_what_stands_where_still_adds_up(
    say, here, set_of_six, piece, at, sales, items, then, standing
):
    set_of_six(at=at, status=sales)
    say("sell", "2026-004", "38", "--at", "harbour-gallery", "--items", str(items))
    assert f"\n{then}\n" in here()[NAME].decode()
    assert piece().standing == standing
    assert sum(standing.values()) == piece().left


def test_sold_where_none_stood_the_maker_is_told(say, here, set_of_six):
    set_of_six(at=COUNTED)
    said = say("sell", "2026-004", "38", "--at", "dale-fair").stdout.splitlines()
    assert said[1] == (
        "'at:' then counts 6, and 5 are left: mend it in pieces/2026-004-napkins.yaml:10"
    )
    assert f"\n{COUNTED}\n" in here()[NAME].decode()


def test_a_set_at_one_place_goes_as_a_whole(say, here, set_of_six):
    text = set_of_six(status=ONE_SOLD)
    said = say("move", "2026-004", "harbour-gallery").stdout
    assert said.startswith("2026-004 Napkins: 5 from dale-fair to harbour-gallery\n")
    assert here()[NAME].decode() == text.replace("\nat: dale-fair", "\nat: harbour-gallery")


@pytest.mark.parametrize(
    ("at", "sales", "source", "to", "items", "then"),
    [
        (COUNTED, "", "harbour-gallery", "dale-fair", 2, "at: {studio: 4, dale-fair: 2}"),
        (COUNTED, "", "harbour-gallery", "studio", 2, "at: {studio: 6}"),
        # put there: three and three, of which one was sold at the fair; two come home
        ("at: {dale-fair: 3, studio: 3}", ONE_SOLD, "dale-fair", "studio", 2, "at: {studio: 5}"),
    ],
)
def test_those_at_one_place_go_and_the_others_stay(
    say, here, set_of_six, piece, at, sales, source, to, items, then
):
    text = set_of_six(at=at, status=sales)
    said = say("move", "2026-004", "--from", source, to).stdout
    assert said.startswith(f"2026-004 Napkins: {items} from {source} to {to}\n")
    assert here()[NAME].decode() == text.replace(at, then)
    assert sum(piece().standing.values()) == piece().left
    say("undo")
    assert here()[NAME].decode() == text


def test_home_from_the_fair_a_set_comes_with_the_others(say, here, set_of_six):
    set_of_six(at="at: {dale-fair: 2, studio: 4}")
    say("move", "--from", "dale-fair", "studio")
    assert "\nat: {studio: 6}\n" in here()[NAME].decode()
    assert "\nat: studio\n" in here()["2026-001-ebb.yaml"].decode()


@pytest.mark.parametrize(
    ("at", "words", "said"),
    [
        (COUNTED, ("dale-fair",),
         "2026-004 stands at harbour-gallery (2) and studio (4)\n    say which are to go: --from "
         "harbour-gallery\n"),
        (COUNTED, ("--from", "dale-fair", "studio"),
         "2026-004 is not at dale-fair but at harbour-gallery and studio\n    see "
         "pieces/2026-004-napkins.yaml:1\n"),
        ("at: {harbour-gallery: 2, studio: 3}", ("--from", "studio", "dale-fair"),
         "'at:' of 2026-004 counts 5, but 6 are left\n    mend it in "
         "pieces/2026-004-napkins.yaml:10, such as 'at: {dale-fair: 6}'\n"),
        ("at:\n  harbour-gallery: 2\n  studio: 4", ("--from", "studio", "dale-fair"),
         "pieces/2026-004-napkins.yaml:11:3: 'at' holds more than one text\n    write by hand: "
         "at: {harbour-gallery: 2, dale-fair: 4}\n"),
    ],
)  # fmt: skip
def test_a_move_of_a_set_that_is_not_sure_is_refused(say, here, set_of_six, at, words, said):
    set_of_six(at=at)
    before = here()
    assert say("move", "2026-004", *words, code=1).stderr == said
    assert here() == before


def test_a_set_gets_another_price_each_while_some_are_left(say, here, set_of_six):
    """38 and a tenth are 41.80, rounded up to fives: 45."""
    text = set_of_six(at=COUNTED, status=ONE_SOLD.replace("}", ", items: 2}"))
    assert say("reprice", "2026-004", "+10%").stdout.startswith("2026-004 Napkins: £38 becomes £45")
    assert here()[NAME].decode() == text.replace("price: 38   ", "price: 45   ")
    set_of_six(status=ONE_SOLD.replace("}", ", items: 6}"))
    assert say("reprice", "2026-004", "50", code=1).stderr.startswith(
        "2026-004 was sold on 2026-11-01"
    )
