"""`year` through the command line: told, filed as PDF and CSV, as JSON."""

import csv
import json

import pypdfium2
import pytest
from click.testing import CliRunner

from provenance.commands.main import main
from tests.figures.test_year import FILES, PIECE, SALES


@pytest.fixture
def run(write_studio, monkeypatch):
    monkeypatch.setenv("SOURCE_DATE_EPOCH", "1795608000")  # 2026-11-25

    def call(*words, more=None, columns=90):
        folder = write_studio({**FILES, **(more or {})})
        asked = ["--studio", str(folder), "year", *words]
        result = CliRunner().invoke(main, asked, env={"COLUMNS": str(columns)})
        assert result.exception is None or isinstance(result.exception, SystemExit)
        return result, folder

    return call


def words_of(path):
    document = pypdfium2.PdfDocument(path)
    return " ".join(" ".join(page.get_textpage().get_text_range().split()) for page in document)


def test_as_json_as_the_design_has_it(run):
    """The keys bind; 480 - 216 = 264, 100 - 1.95 = 98.05."""
    result, folder = run("2026", "--json", more=STUDIO_PAPERS)
    data = json.loads(result.stdout)
    assert list(data) == [
        "year", "from", "to", "currency", "sales", "totals", "owed", "deposits", "stock",
    ]  # fmt: skip
    assert (data["year"], data["from"], data["to"], data["currency"], data["stock"]) == (
        2026, "2026-04-06", "2027-04-05", "GBP", None,
    )  # fmt: skip
    assert data["sales"] == [
        {
            "number": "2026-002", "on": "2026-04-06", "at": "dale", "price": "100.00",
            "kept back": "1.95", "net": "98.05",
        },
        {
            "number": "2026-003", "on": "2026-10-05", "at": "quay", "price": "480.00",
            "kept back": "216.00", "net": "264.00",
        },
    ]  # fmt: skip
    totals = data["totals"]
    assert (totals["price"], totals["kept back"], totals["net"]) == ("580.00", "217.95", "362.05")
    assert data["owed"] == [
        {"number": "2026-003", "on": "2026-10-05", "at": "quay", "owed": "264.00"}
    ]
    assert not (folder / "papers").exists()


STUDIO_PAPERS = {
    "2026-003.yaml": PIECE.format(
        turn=3, kind="rug", hours=10, sale=SALES[2][2].replace("2027-04-05", "2026-10-05")
    )
}


def test_told_and_filed(run):
    result, folder = run(more=STUDIO_PAPERS)  # the year that 25 November 2026 is in
    said = " ".join(result.stdout.split())
    assert (
        "The year 2026/27: 2026-04-06 to 2027-04-05 Up to 2026-11-25: the year still runs." in said
    )
    assert "2 sales 580.00 217.95 362.05" in said
    assert "recovered in what was sold 26.00 really paid 39.00" in said
    assert "not recovered 13.00" in said
    assert "15 % would have covered it; you reckon with 10 %" in said
    assert "books: accruals" in said
    paper = words_of(folder / "papers" / "private" / "year-2026.pdf")
    assert "The year 2026/27: 6 April 2026 to 5 April 2027" in paper
    assert "To ask your accountant" in paper
    assert "(ICAEW), November 2025; Low Incomes Tax Reform Group" in paper
    text = (folder / "papers" / "private" / "year-2026.csv").read_text(encoding="utf-8-sig")
    rows = list(csv.DictReader(text.splitlines()))
    assert [(row["number"], row["net"], row["paid"]) for row in rows] == [
        ("2026-002", "98.05", ""), ("2026-003", "264.00", ""),
    ]  # fmt: skip


def test_only_told(run):
    result, folder = run("2026/27", "--only-tell")
    assert "2 sales" in result.stdout
    assert not (folder / "papers").exists()


def test_stock_only_where_the_books_count_it(run):
    """Bought for 100, before the year; four pieces hold 10 each, 5 are lost, 55 are left.

    Opening 100 less the one sold on 5 April 2026 = 90 - 5 lost; closing less the two sold.
    """
    more = {"studio/studio.yaml": FILES["studio/studio.yaml"] + "books: accruals\n"}
    data = json.loads(run("2026", "--json", more={**more, **STUDIO_PAPERS})[0].stdout)
    assert data["stock"] == {
        "opening": "85.00", "bought": "0.00", "closing": "65.00", "cost of goods sold": "20.00",
    }  # fmt: skip
    said = " ".join(run("2026", "--only-tell", more={**more, **STUDIO_PAPERS})[0].stdout.split())
    assert "cost of goods sold 20.00" in said
    assert "Stock is taken at cost, or at what it will bring where that is less" in said


def test_an_empty_year(run):
    result, _ = run("2019", "--only-tell")
    assert "Nothing was sold in this year." in result.stdout
    assert result.exit_code == 0


@pytest.mark.parametrize(
    ("currency", "asked", "not_asked"),
    [
        ("USD", "Internal Revenue Code 471(c)", "ICAEW"),
        ("EUR", "§ 4(3) EStG", "ICAEW"),
        ("GBP", "BIM33135", "EStG"),
        ("JPY", "no tax advice", "ICAEW"),
    ],
)
def test_what_to_ask_where_the_studio_is_taxed(run, currency, asked, not_asked):
    more = {"studio/studio.yaml": FILES["studio/studio.yaml"] + f"currency: {currency}\n"}
    said = " ".join(run("2026", "--only-tell", more=more)[0].stdout.split())
    assert asked in said
    assert not_asked not in said
    assert "To ask your accountant" in said


@pytest.mark.parametrize("word", ["26", "last"])
def test_a_year_that_is_none(run, word):
    result, _ = run(word)
    assert result.exit_code == 2
    assert f"'{word}' is no year: write 2026, or 2026/27" in result.stderr


def test_in_german(run):
    more = {"studio/studio.yaml": FILES["studio/studio.yaml"] + "language: de\ncurrency: EUR\n"}
    said = " ".join(run("2026", "--only-tell", more=more)[0].stdout.split())
    assert "Das Jahr 2026/27: 2026-04-06 bis 2027-04-05" in said
    assert "Für die Steuerberatung" in said
