"""Sets, sales one by one, places and editions: what is read, what is refused, what is remarked."""

from __future__ import annotations

import copy
import pickle

import pytest

from provenance.language.phrases import british
from provenance.language.telling import told
from provenance.problems import Place
from provenance.records.book import read_book
from provenance.records.checks import review
from provenance.records.new_records import like_text
from provenance.records.sets import Places, Whole

NAPKINS = """number: 2026-020
title: Six napkins
kind: cloth
size: 42 x 42 cm
finished: 2026-10-01
yarns: [{use: warp, lot: linen, weight: 500 g}]
hours: {weaving: 9}
price: 38
"""


@pytest.fixture
def read(write_studio):
    def opened(words):
        folder = write_studio(
            {
                "studio/yarns.yaml": "linen: {fibre: linen, weight: 2 kg, cost: 80}\n",
                "studio/outlets.yaml": "quay: {kind: gallery}\ndale-fair: {kind: fair}\n"
                "studio: {kind: studio}\n",
                "2026-020.yaml": NAPKINS + words,
            }
        )
        book, problems = read_book(folder)
        said = [told(each, british()) for each in (*problems, *review(book))]
        return book.pieces.get("2026-020"), [line for line in said if "2026-020.yaml" in line]

    return opened


@pytest.mark.parametrize(
    ("words", "state", "left", "standing"),
    [
        ("makes: 6\n", "available", 6, {"": 6}),
        ("makes: 6\nat: quay\n", "available", 6, {"quay": 6}),
        ("makes: 1\n", "available", 1, {"": 1}),
        ("makes: 6\nsales: [{on: 2026-11-01, price: 38}]\n", "available", 5, {"": 5}),
        (
            "makes: 6\nsales: [{on: 2026-11-01, items: 2}, {on: 2026-11-02, items: 4}]\n",
            "sold", 0, {},
        ),
        ("sales: [{on: 2026-11-01, price: 38}]\n", "sold", 0, {}),
        ("sale: {on: 2026-11-01, price: 38}\n", "sold", 0, {}),
        ("makes: 6\nsale: {on: 2026-11-01, price: 38, items: 6}\n", "sold", 0, {}),
        ("makes: 6\nstatus: sold\n", "sold", 0, {}),
        ("makes: 6\nat: {quay: 4, studio: 2}\n", "available", 6, {"quay": 4, "studio": 2}),
        # What is left where, as it stands now ...
        (
            "makes: 6\nat: {quay: 2, studio: 2}\n"
            "sales: [{on: 2026-11-01, at: dale-fair, items: 2}]\n",
            "available", 4, {"quay": 2, "studio": 2},
        ),
        # ... or what was put there, less what was sold there since.
        (
            "makes: 6\nat: {quay: 2, studio: 4}\nsales: [{on: 2026-11-01, at: quay, items: 2}]\n",
            "available", 4, {"studio": 4},
        ),
    ],
)  # fmt: skip
def test_what_is_sold_and_left_and_where(read, words, state, left, standing):
    piece, said = read(words)
    assert said == []
    assert (piece.state, piece.left, piece.standing) == (state, left, standing)


@pytest.mark.parametrize(
    ("words", "told_so"),
    [
        ("makes: 0\n", "9:8: makes: '0' is not a whole number of things"),
        ("makes: 2.5\n", "9:8: makes: '2.5' is not a whole number of things"),
        ("makes: 10000\n", "9:8: makes: '10000' is not a whole number of things"),
        ("makes: six\n", "9:8: makes: 'six' is not a whole number of things"),
        ("makes: -2\n", "9:8: makes: '-2': a whole number of things can't be negative"),
        (
            "makes: 6\nsales:\n- {on: 2026-11-01, items: 4}\n- {on: 2026-11-02, items: 3}\n",
            "12:27: 7 sold, of 6 that were made",
        ),
        ("sales: [{on: 2026-11-01}, {on: 2026-11-02}]\n", "9:27: 2 sold, of 1 that were made"),
        ("sale: {on: 2026-11-01, items: 2}\n", "9:31: 2 sold, of 1 that were made"),
        (
            "makes: 6\nsale: {on: 2026-11-01}\nsales: [{on: 2026-11-02}]\n",
            "a piece has either 'sale' or 'sales'",
        ),
        ("edition: sechs\n", "did you mean 'makes: 6'"),
        ("edition: 6\n", "9:10: edition: '6' is a number, and no edition"),
        ("edition: set of six\n", "did you mean 'makes: 6'"),
        ("edition: a dozen\n", "did you mean 'makes: 12'"),
        ("edition: 1\n", "write 'edition: one of a kind'"),
        ("edition: 9 of 8\n", "9:10: edition: there is no 9 of 8"),
        ("edition: 0/8\n", "9:10: edition: there is no 0/8"),
        ("at: {}\n", "no place is named"),
        ("at: {quay: none}\n", "'none' is not a whole number of things"),
    ],
)
def test_what_is_refused(read, words, told_so):
    piece, said = read(words)
    assert piece is None
    assert told_so in said[0]


@pytest.mark.parametrize(
    ("words", "told_so"),
    [
        ("makes: 1000\n", "9:8: 2026-020 would be 1000 like things"),
        ("makes: 6\nsale: {on: 2026-11-01}\n", "10:7: 2026-020 is a set of 6, and its sale says"),
        (
            "makes: 6\nstatus: sold\nsales: [{on: 2026-11-01, items: 2}]\n",
            "10:9: 2026-020 is 'sold', and 2 of 6 have a sale",
        ),
        (
            "makes: 6\nat: {quay: 2, studio: 2}\n",
            "10:6: the places in 2026-020 hold 4, and 6 are left",
        ),
        ("makes: 6\nat: {quay: 2, kwai: 4}\n", "10:15: no outlet called 'kwai'"),
        ("sales: [{on: 2026-09-01}]\n", "9:9: 2026-020 was sold before it was finished"),
        ("edition: limited\n", "9:10: 'limited' is printed as an edition"),
        ("status: available\nsales: [{on: 2026-11-01}]\n", "it counts as sold"),
    ],
)
def test_what_is_remarked(read, words, told_so):
    piece, said = read(words)
    assert piece is not None
    assert len(said) == 1
    assert told_so in said[0].replace(" remark:", "")


@pytest.mark.parametrize(
    "edition",
    ["one of a kind", "3 of 8", "3/8", "3 von 8", "Unikat", "open edition", "offene Auflage",
     "edition of 8", "A.P. 1/2"],
)  # fmt: skip
def test_what_is_an_edition(read, edition):
    piece, said = read(f"edition: {edition}\n")
    assert (piece.edition, said) == (edition, [])


def test_places_can_be_sent_to_another_process():
    places = Places("quay", Place("a.yaml", 3, 5), {"quay": Whole(2)})
    for same in (pickle.loads(pickle.dumps(places)), copy.deepcopy(places)):
        assert (same, same.place, same.standing(2, {})) == ("quay", places.place, {"quay": 2})


def test_a_piece_like_a_set_starts_without_its_sales(write_studio):
    folder = write_studio(
        {"2026-020.yaml": NAPKINS + "makes: 6\nsales:\n  - {on: 2026-11-01}\nsigned: wren\n"}
    )
    lines = like_text(folder / "2026-020.yaml", "2026-021", "Mats").splitlines()
    assert "# makes: 6" in lines
    assert lines[-1] == "signed: wren"
    assert not [line for line in lines if "sales" in line or "2026-11-01" in line]
