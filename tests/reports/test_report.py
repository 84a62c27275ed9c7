"""A report and its writers: what each of them shows, and in which words."""

from dataclasses import replace
from fractions import Fraction

import pytest

from provenance.language.phrases import british
from provenance.problems import Said
from provenance.reports.report import (
    Column,
    Note,
    Report,
    Row,
    Table,
    amount,
    either,
    numbers,
    rows,
    shown_by,
)
from provenance.reports.writers import terminal

COLUMNS = (Column("lot"), *numbers("grams"))


@pytest.fixture
def shown(monkeypatch, capsys):
    monkeypatch.setenv("COLUMNS", "40")

    def write(*parts, words=None):
        phrases = british()
        told = replace(phrases, words={**phrases.words, **(words or {})})
        terminal.write([Report(parts)], told)
        return [line.rstrip() for line in capsys.readouterr().out.splitlines()]

    return write


def test_each_writer_shows_its_own_rows_and_notes():
    notes = (Note("for both"), Note("small print", only="paper"))
    table = Table(COLUMNS, (Row(("rust", "5")), Row(("dusk", "7"), only="terminal")), notes)
    (printed,) = shown_by("paper", [table])
    assert [row.cells for row in printed.rows] == [("rust", "5")]
    assert printed.notes == notes
    (on_screen,) = shown_by("terminal", [table, Note("small print", only="paper")])
    assert [row.cells[0] for row in on_screen.rows] == ["rust", "dusk"]
    assert on_screen.notes == notes[:1]


def test_a_table_goes_with_its_last_row_but_a_heading_stays():
    gone = Table(COLUMNS, (Row(("rust", "5"), only="paper"),))
    heading = Table((Column("To bear in mind"),), (), (Note("a word"),))
    assert list(shown_by("terminal", [gone, heading])) == [heading]
    assert list(shown_by("paper", [gone, replace(heading, only="terminal")])) == [gone]


def test_the_terminal_says_the_short_phrase_and_the_bare_number(shown):
    words = {"t.yarn": "yarn, with the spare", "t.yarn_short": "all yarn, g", "t.n": "{n} skeins"}
    cell = either(Said("form.mass", grams=1248), "1248")
    table = Table(COLUMNS, rows((Said("t.yarn"), cell), (Said("t.n", n=2), "")))
    lines = shown(table, words=words)
    assert " ".join(lines[1].split()) == "all yarn, g 1248"
    assert lines[2].strip() == "2 skeins"
    full = replace(british(), words={**british().words, **words})
    assert (full.tell(Said("t.yarn")), full.tell(cell)) == ("yarn, with the spare", "1.25 kg")


def test_a_table_that_is_not_apart_follows_at_once(shown):
    table = Table(COLUMNS, rows(("rust", "5")))
    assert shown(Note("Bath 7"), table)[1] == ""
    close = shown(Note("Bath 7"), replace(table, is_apart=False))
    assert close[0].strip() == "Bath 7"
    assert close[1].split() == ["lot", "grams"]


def test_of_two_columns_that_grow_the_last_one_shown_does(shown):
    columns = (Column("lot"), Column("how", grows=True), Column("why", grows=True, least=60))
    table = Table((*columns, *numbers("g")), rows(("a", "near", "since", "1")))
    (heads, cells) = shown(table)
    assert "why" not in heads
    assert cells.index("1") > 30  # all the room went to 'how', not to the first column
    assert cells.index("near") < 10


@pytest.mark.parametrize(
    ("left", "words"),
    [("0.01", "under 0.1 g"), ("0", "nothing"), ("-0.01", "nothing"), ("-2", "-2 g")],
)
def test_what_is_left_is_under_a_tenth_only_where_something_is(left, words):
    assert british().tell(amount(Fraction(left), "g")) == words
