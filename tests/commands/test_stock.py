"""`stock` through the command line; the worked example 1,200 + 900 - 1,450 = 650."""

import csv
import json
from decimal import Decimal
from pathlib import Path

import pytest
from click.testing import CliRunner

from provenance.commands.main import main

DEMO = Path(__file__).parents[2] / "pieces"
RECORDS = {
    "studio/studio.yaml": "studio: Brackenfold\nmaker: Isla Wren\npay: {any: 18.00}\n",
    "studio/fleece.yaml": "older: {bought: 2025-07-01, weight: 12 kg, cost: 1200}\n"
    "newer: {bought: 2026-07-01, weight: 9 kg, cost: 900}\n",
    "studio/yarns.yaml": "grey: {fleece: {older: 7.5 kg}, weight: 5 kg, spun: 2026-02-01}\n",
    "studio/outlets.yaml": "harbour: {kind: gallery, commission: 45 %}\n",
    "2026-001.yaml": """
number: 2026-001
title: Saltmarsh
kind: rug
finished: 2026-04-10
yarns: [{use: weft, lot: grey, weight: 4333333 mg}]
hours: {weaving: 10}
price: 1950
sale: {on: 2026-09-05, price: 1950, at: harbour}
""",
    "2026-002.yaml": """
number: 2026-002
title: "=Heft"
kind: rug
finished: 2026-05-10
yarns: [{use: weft, lot: grey, weight: 200 g}]
hours: {weaving: 10}
price: 300
at: harbour
photos: [{file: heft.jpg, alt: A rug}]
""",
}


@pytest.fixture
def run(write_studio, monkeypatch):
    monkeypatch.setenv("SOURCE_DATE_EPOCH", "1795608000")  # 2026-11-25
    folder = write_studio(RECORDS)

    def call(*words, columns=80, where=folder):
        asked = ["--studio", str(where), "stock", *words]
        result = CliRunner().invoke(main, asked, env={"COLUMNS": str(columns)})
        assert result.exception is None or isinstance(result.exception, SystemExit)
        return result

    return call


def test_as_json(run):
    assert json.loads(run("--since", "2026-01-01", "--json").stdout) == {
        "on": "2026-11-25",
        "currency": "GBP",
        "classes": [
            {"class": "raw materials", "place": "studio", "cost": "1350.00"},
            {"class": "yarn and dyed lots", "place": "studio", "cost": "70.00"},
            {"class": "finished at an outlet", "place": "harbour", "cost": "30.00"},
        ],
        "total": "1450.00",
        "pieces": [
            {
                "number": "2026-002",
                "place": "harbour",
                "cost": "30.00",
                "price": "300.00",
                "class": "finished at an outlet",
                "photo": "heft.jpg",
            }
        ],
        "to order": [],
        "no day noted": [],
        "goods sold": {
            "from": "2026-01-01",
            "to": "2026-11-25",
            "opening": "1200.00",
            "bought": "900.00",
            "closing": "1450.00",
            "cost": "650.00",
        },
    }


def test_in_words(run):
    said = run("--since", "2026-01-01", "--items").stdout
    assert said.startswith("Stock in the evening of 2026-11-25\n")
    lines = [" ".join(line.split()) for line in said.splitlines()]
    for line in (
        "At cost, without your own hours items GBP",
        "raw materials 2 1350.00",
        "yarn and dyed lots 1 70.00",
        "finished, at harbour 1 30.00",
        "stock 4 1450.00",
        "older 4500 g 450.00",
        "grey 466.7 g 70.00",
        "2026-002 =Heft 30.00",
        "stock in the morning of 2026-01-01 1200.00",
        "+ fleece 900.00",
        "- stock in the evening of 2026-11-25 1450.00",
        "cost of goods sold 650.00",
        "Finished work, for the insurer where price cost",
        "2026-002 =Heft harbour 300.00 30.00",
        "1 in all 300.00 30.00",
    ):
        assert line in lines, line


def test_an_earlier_day_says_that_places_are_todays(run):
    said = " ".join(run("--on", "2026-08-01").stdout.split())
    assert "Where a piece was on an earlier day is not noted: places are today's." in said
    found = json.loads(run("--on", "2026-08-01", "--json").stdout)
    assert [each["number"] for each in found["pieces"]] == ["2026-001", "2026-002"]


def test_a_day_that_is_none_is_wrong_usage(run):
    result = run("--on", "2026-02-30")
    assert result.exit_code == 2
    assert "there is no date 2026-02-30: February 2026 has 28 days" in result.stderr
    assert run("--on", "2026-01-01", "--since", "2026-02-01").exit_code == 2


def test_the_csv_adds_up_and_starts_no_sum(run, tmp_path):
    result = run("--csv", str(tmp_path / "stock.csv"))
    assert "stock.csv is written.\n" in result.stderr
    with (tmp_path / "stock.csv").open(encoding="utf-8-sig", newline="") as file:
        rows = list(csv.DictReader(file))
    assert sum(Decimal(row["cost"]) for row in rows) == Decimal(1450)
    assert rows[-1] == {
        "class": "finished at an outlet",
        "place": "harbour",
        "name": "2026-002",
        "title": "'=Heft",
        "amount": "",
        "unit": "",
        "cost": "30.00",
        "price": "300.00",
        "photo": "heft.jpg",
    }


def test_the_working_ends_in_the_records(run):
    said = run("--explain", columns=120).stdout
    assert "stock: 1450.00 = 1350.00 + 70.00 + 30.00\n" in said
    assert "cost of older: 1200.00  (pieces/studio/fleece.yaml:1)\n" in said


@pytest.mark.parametrize("columns", [60, 80, 140])
def test_the_demo_fits_the_terminal_and_adds_up(run, columns):
    said = run("--since", "2026-01-01", "--items", columns=columns, where=DEMO).stdout
    assert max(len(line) for line in said.splitlines()) <= columns
    found = json.loads(run("--json", where=DEMO).stdout)
    assert sum(Decimal(each["cost"]) for each in found["classes"]) == Decimal(found["total"])
    finished = [each for each in found["classes"] if each["class"].startswith("finished")]
    begun = [each for each in found["classes"] if each["class"] == "in progress"]
    assert sum(Decimal(each["cost"]) for each in found["pieces"]) == sum(
        Decimal(each["cost"]) for each in (*finished, *begun)
    )


REMIND = RECORDS["studio/studio.yaml"] + "remind: {older: 5 kg, newer: 9 kg, grey: 1 kg, tag: 20}\n"


@pytest.fixture
def reminded(write_studio, monkeypatch):
    """12 kg less 7.5 leave 4.5 of the older fleece; all 9 of the newer; grey 5 - 4.533 = 466.667 g.

    Of the tags nobody wrote how many there are.
    """
    monkeypatch.setenv("SOURCE_DATE_EPOCH", "1795608000")
    shelf = {"studio/studio.yaml": REMIND, "studio/sundries.yaml": "tag: {each: 0.35}\n"}
    folder = write_studio({**RECORDS, **shelf})

    def call(*words):
        return CliRunner().invoke(main, ["--studio", str(folder), *words]), folder

    return call


def test_what_to_order_again(reminded):
    data = json.loads(reminded("stock", "--json")[0].stdout)
    assert data["to order"] == [
        {"name": "older", "left": "4500 g", "keep": "5000 g"},
        {"name": "grey", "left": "466.7 g", "keep": "1000 g"},
        {"name": "tag", "left": None, "keep": "20"},
    ]
    said = " ".join(reminded("stock")[0].stdout.split())
    assert (
        "To order again left to keep older 4500 g 5000 g grey 466.7 g 1000 g tag unknown 20" in said
    )
    assert "3 lots to order again: older, grey, tag" in reminded()[0].stdout


def test_a_count_sheet(reminded):
    """Two raw lots, the tag that is counted nowhere, the yarn; the column `counted` is empty."""
    result, folder = reminded("stock", "--count-sheet")
    assert "count-2026-11-25.csv" in result.stderr
    path = folder / "papers" / "private" / "count-2026-11-25.csv"
    rows = list(csv.DictReader(path.read_text(encoding="utf-8-sig").splitlines()))
    assert [(row["lot"], row["reckoned"], row["counted"]) for row in rows] == [
        ("older", "4500 g", ""), ("newer", "9000 g", ""), ("grey", "466.7 g", ""),
    ]  # fmt: skip


@pytest.mark.parametrize(
    ("remind", "said"),
    [
        ("{oldr: 5 kg}", "no lot called 'oldr'"),
        ("{tag: 20 g}", "'tag' is counted by number"),
        ("{older: 5}", "'older' is weighed"),
    ],
)
def test_a_reminder_of_what_is_not_there(write_studio, remind, said):
    file = RECORDS["studio/studio.yaml"] + f"remind: {remind}\n"
    folder = write_studio(
        {**RECORDS, "studio/studio.yaml": file, "studio/sundries.yaml": "tag: {each: 0.35}\n"}
    )
    result = CliRunner().invoke(main, ["--studio", str(folder), "check"])
    assert result.exit_code == 1
    assert said in result.stdout
