"""Amounts as their maker weighs them; the pound of 1959 (453.59237 g) is the only measure."""

from __future__ import annotations

import json
from fractions import Fraction

import pytest
from click.testing import CliRunner

from provenance.commands.main import main
from provenance.language.measures import small_pounds, yards

STUDIO = "studio: Brackenfold\nmaker: Isla Wren\npay: {any: 18}\n"
FLEECE = "ranch-2025: {fibre: wool, weight: 3 lb 4 oz, cost: 32.50}\n"
YARNS = (
    "handspun: {fleece: {ranch-2025: 1 lb}, weight: 8 oz}\n"
    "mill: {fibre: wool, weight: 500 g, cost: 20.00}\n"
)
SUNDRIES = "tape: {length: 10 yd, cost: 9.00}\nbraid: {length: 4 m, cost: 8.00}\n"
PIECE = (
    "number: 2026-001\ntitle: Ebb\nkind: scarf\nfinished: 2026-02-01\nsize: 70 x 10 in\n"
    "weight: 5 oz\nyarns:\n  - {use: warp, lot: handspun, weight: 3 oz}\n"
    "  - {use: weft, lot: WEFT}\nsundries: {tape: 2 yd, braid: 50 cm}\nhours: {weaving: 5}\n"
)


@pytest.fixture
def told(tmp_path):
    """What a command says in a studio whose weft is written so."""

    def run(weft: str, *words: str) -> str:
        folder = tmp_path / "pieces"
        (folder / "studio").mkdir(parents=True, exist_ok=True)
        files = {"studio": STUDIO, "fleece": FLEECE, "yarns": YARNS, "sundries": SUNDRIES}
        for name, text in files.items():
            (folder / "studio" / f"{name}.yaml").write_text(text)
        (folder / "2026-001.yaml").write_text(PIECE.replace("WEFT", weft))
        result = CliRunner().invoke(main, ["--studio", str(folder), *words], catch_exceptions=False)
        assert result.exit_code == 0, result.output
        return result.output

    return run


def line(text: str, name: str) -> str:
    return next(
        " ".join(each.split()) for each in text.splitlines() if each.strip().startswith(name)
    )


def test_materials_are_told_as_their_lots_were_weighed(told):
    said = told("mill, weight: 57 g", "cost", "2026-001")
    # 3 oz of yarn are 3/8 of its 16 oz of fleece: 6 oz.
    assert line(said, "ranch-2025").endswith("6 oz 3.75")
    assert line(said, "mill").endswith("57 g 2.28")
    assert line(said, "tape").endswith("2 yd 1.80")
    assert line(said, "braid").endswith("50 cm 1.00")


def test_data_and_workings_stay_in_grams(told):
    data = json.loads(told("mill, weight: 57 g", "cost", "2026-001", "--json"))
    grams = {each["what"]: each["grams"] for each in data["materials lines"]}
    assert Fraction(grams["ranch-2025"]) == pytest.approx(Fraction("170.097"), abs=0.001)
    said = told("mill, weight: 57 g", "cost", "2026-001", "--explain")
    assert "85.048569 g" in said and " oz" not in said[said.index("├") :]


def test_stock_is_told_as_it_was_bought(told):
    said = told("mill, weight: 57 g", "stock", "--items")
    assert line(said, "ranch-2025").endswith("2 lb 4 oz 22.50")
    assert line(said, "handspun").endswith("5 oz 6.25")
    assert line(said, "mill").endswith("443 g 17.72")
    assert line(said, "tape").endswith("8 yd 7.20")
    assert line(said, "braid").endswith("3.5 m 7.00")


def test_a_trace_in_ounces_and_one_of_both_kinds_in_grams(told):
    said = told("handspun, weight: 2 1/4 oz", "trace", "2026-001")
    assert "5.25 oz of yarn, 5 oz finished, 0.25 oz loom waste" in said
    assert "3 oz handspun, yarn spun here" in said and "6 oz ranch-2025" in said
    said = told("mill, weight: 70 g", "trace", "2026-001")
    assert "155 g of yarn, 141.7 g finished" in said  # 85.05 + 70; 5 oz are 141.75 g
    assert "3 oz handspun" in said and "70 g mill" in said
    said = told("handspun, weight: 2 1/4 oz", "trace", "ranch-2025")
    assert "3 lb 4 oz in all, 2 lb 4 oz left" in said


@pytest.mark.parametrize(
    ("ounces", "said"),
    [
        ("0", "0 oz"),
        ("0.0496", "0.05 oz"),
        ("0.0481", "0.048 oz"),
        ("0.125", "0.13 oz"),
        ("15.996", "1 lb"),
        ("16", "1 lb"),
        ("19.54", "1 lb 3.5 oz"),
        ("31.96", "2 lb"),
    ],
)
def test_pounds_and_ounces(ounces, said):
    assert small_pounds(Fraction(ounces) * Fraction("28.349523125")) == said


def test_yards_and_inches():
    assert yards(Fraction("91.44") * 5) == "5 yd"
    assert yards(Fraction("91.44") * Fraction("1.256")) == "1.26 yd"
    assert yards(Fraction("91.44") * Fraction("536.6")) == "537 yd"
    assert yards(Fraction("2.54") * Fraction("9.5")) == "9.5 in"
