"""The four writers of a report: the same report in each, told in the language it is handed."""

from __future__ import annotations

import json
from dataclasses import replace
from datetime import date
from fractions import Fraction

import pypdfium2
import pytest

from provenance.build.opening import open_studio
from provenance.figures.working import difference, given, product, rounded, total
from provenance.language.phrases import british, phrases_for
from provenance.problems import Place, Said
from provenance.public.border import Border
from provenance.reports.report import (
    ON_PAPER,
    Cell,
    Column,
    Filed,
    Note,
    Report,
    Step,
    Table,
    Tree,
    amount,
    money,
    numbers,
    rows,
    sum_row,
)
from provenance.reports.writers import terminal
from provenance.reports.writers.data import as_csv, as_json
from provenance.reports.writers.paper import as_paper
from provenance.reports.writers.ready import ready
from provenance.reports.writers.workings import workings

DAY = date(2026, 11, 25)
TABLE = Table(
    (
        Column("What"),
        Column("seen in a wide one", least=100),
        Column("on paper alone", least=ON_PAPER),
        *numbers("GBP"),
    ),
    (
        *rows((Cell("storm-blue", "dyed", "name"), "wide", "paper", "12.50")),
        *rows(("low", "", "", "-2.00"), depth=1),
        sum_row("all", "", "", "10.50"),
    ),
    (Note(Said("stock.opening", day=DAY), "dim"),),
)
TREE = Tree("Made of", (Step("skein", (Step("fleece"),)), Step("sky")))


def lines_of(capsys, report, columns, monkeypatch, *, explain=False):
    monkeypatch.setenv("COLUMNS", str(columns))
    terminal.write([report], british(), explain=explain)
    return [line.rstrip() for line in capsys.readouterr().out.splitlines()]


def test_the_terminal_writes_tables_sums_notes_and_trees(capsys, monkeypatch):
    report = Report((TABLE, TREE), "2026-001", "Ebb")
    assert lines_of(capsys, report, 60, monkeypatch) == [
        "2026-001  Ebb",
        "",
        "  What                                                   GBP",
        "  storm-blue (dyed)                                    12.50",
        "    low                                                -2.00",
        "                                                    ────────",
        "  all                                                  10.50",
        "  stock in the morning of 2026-11-25",
        "",
        "Made of",
        "├ skein",
        "│ └ fleece",
        "└ sky",
    ]


def test_a_wide_terminal_shows_more_columns_but_never_those_of_paper(capsys, monkeypatch):
    said = "\n".join(lines_of(capsys, Report((TABLE,)), 120, monkeypatch))
    assert "seen in a wide one" in said
    assert "on paper alone" not in said


def test_a_terminal_without_fine_lines_gets_plain_ones(capsys, monkeypatch):
    monkeypatch.setattr("rich.console.ConsoleOptions.ascii_only", True)
    said = lines_of(capsys, Report((TABLE, TREE)), 60, monkeypatch)
    assert "| ` fleece" in said
    assert any(line.endswith(" --------") for line in said)


PRICE = rounded(
    product(
        "worked out",
        given("grams", 3, "g", Place("pieces/a.yaml", 4)),
        given("a gram", Fraction("1.115")),
    ),
    2,
)


def test_workings_can_be_done_again_and_are_not_repeated(capsys, monkeypatch):
    report = Report((), figures={"Price": [PRICE, difference("left", PRICE, given("fee", 1))]})
    assert lines_of(capsys, report, 100, monkeypatch, explain=True) == [
        "Price",
        "worked out: 3.35 = 3.345 rounded to 0.01",
        "└ worked out: 3.345 = 3 g × 1.115",
        "  ├ grams: 3 g  (pieces/a.yaml:4)",
        "  └ a gram: 1.115",
        "left: 2.35 = 3.35 - 1",
        "├ worked out: 3.35 (worked out above)",
        "└ fee: 1",
        "",
        "A number that does not end is shown to six decimals, a share to nine.",
    ]


def test_a_long_sum_names_its_lines_and_a_rounding_that_changes_nothing_is_left_out():
    terms = [given(f"lot {turn}", turn, "g") for turn in range(9)]
    report = Report((), figures={"": [rounded(total("all", terms, "g"), 0, "all")]})
    (tree,) = workings(report, british())
    assert tree.steps[0].words == "all: 36 g = the 9 lines below added"
    assert [step.words for step in tree.steps[0].steps][:2] == ["lot 0: 0 g", "lot 1: 1 g"]


def test_json_tells_sentences_and_refuses_what_has_no_form():
    data = {"what": Said("stock.in_all", number=2), "price": "12.50", "years": None}
    assert json.loads(as_json(data, british())) == {
        "what": "2 in all",
        "price": "12.50",
        "years": None,
    }
    with pytest.raises(TypeError, match="Fraction"):
        as_json({"price": Fraction(1, 2)}, british())


def test_csv_is_headed_in_the_language_and_starts_no_sum():
    columns = (Column(Said("stock.list_name")), Column("note"), *numbers("GBP"))
    lines = rows(
        ("=1+1", "@home", "-5"), ("-off", "\ttab", "-5.25"), ("+44 1", "- 5", "1e5"),
        (Cell("sky", "dyed", "name"), "5", ""),
    )  # fmt: skip
    assert as_csv(Table(columns, lines), british()).decode("utf-8-sig").split("\r\n") == [
        "name,note,GBP",
        "'=1+1,'@home,-5",
        "'-off,'\ttab,-5.25",
        "'+44 1,'- 5,1e5",
        "sky,5,",
        "",
    ]


def test_paper_speaks_names_and_shows_every_column(write_studio):
    files = {"studio/studio.yaml": "studio: Brackenfold\nmaker: Isla Wren\n"}
    border = Border(open_studio(write_studio(files), DAY))
    halves = [replace(TABLE, columns=(Column(word), *TABLE.columns[1:]), is_half=True)
              for word in ("one", "two")]  # fmt: skip
    report = Report((Note("a hanging", is_set_in=False), *halves, TREE), "2026-001", "Ebb",
                    figures={"Price": [PRICE]})  # fmt: skip
    content = as_paper(report, Filed("ebb", "Cost sheet"), border)
    with pypdfium2.PdfDocument(content) as pdf:
        pages = [" ".join(page.get_textpage().get_text_range().split()) for page in pdf]
    assert len(pages) == 2
    for said in (
        "Brackenfold For the maker's binder", "2026-001 Ebb a hanging", "One Seen in a wide one",
        "Storm blue dyed wide paper 12.50", "Low -2.00", "All 10.50", "On paper alone",
        "stock in the morning of 25 November 2026", "Made of skein fleece sky",
    ):  # fmt: skip
        assert said in pages[0], (said, pages[0])
    assert "worked out: 3.35 = 3.345 rounded to 0.01" in pages[1]
    without = as_paper(report, Filed("ebb", "Cost sheet", is_brief=True), border)
    with pypdfium2.PdfDocument(without) as pdf:
        assert len(pdf) == 1


def test_money_and_amounts_are_ready_text():
    assert money(Fraction(2901, 2), 2) == "1450.50"
    assert money(PRICE, 0) == "3"
    assert money(None, 2) == "-"
    assert (amount(Fraction(837, 2), "g"), amount(Fraction(12), ""), amount(None, "g")) == (
        "418.5 g", "12", "",
    )  # fmt: skip


@pytest.mark.parametrize(
    ("text", "german"),
    [
        ("1450.00", "1450,00"),
        ("-2.5", "-2,5"),
        ("418.5 g", "418,5 g"),
        ("1450", "1450"),
        ("2026-014", "2026-014"),
        ("85.5 C for 1 h", "85.5 C for 1 h"),
    ],
)
def test_ready_numbers_have_the_comma_of_the_language(text, german):
    assert ready(text, phrases_for("de", "EUR", {}, None)) == german
    assert ready(text, british()) == text


def test_a_german_terminal_and_its_workings_have_commas(capsys, monkeypatch):
    monkeypatch.setenv("COLUMNS", "100")
    left = difference("übrig", given("Preis", Fraction("12.5"), "EUR"), given("ab", 2, "EUR"))
    report = Report((TABLE,), figures={"Rest": (left,)})
    terminal.write([report], phrases_for("de", "EUR", {}, None), explain=True)
    out = capsys.readouterr().out
    assert "12,50" in out and "10,50" in out and "12.50" not in out
    assert "übrig: 10,50 = 12,50 - 2" in out
