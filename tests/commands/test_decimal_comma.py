"""A maker who writes 3,5 does so to every command, and gets spreadsheets that open right."""

from __future__ import annotations

import csv
import json

import pytest
from click.testing import CliRunner

from provenance.commands.main import main
from provenance.papers.sheets.spreadsheet import csv_file
from provenance.problems import Slip
from provenance.records.printing import shift_of, size_of

STUDIO = "studio: Brackenfold\nmaker: Isla Wren\npay: {any: 18}\noverhead: 10 %\n"
COMMA = "decimal comma: yes\n"
YARNS = "wool: {fibre: wool, weight: 1 kg, cost: 40, colour: '#8a2f2a'}\n"
BATH = "dyed: [{yarn: wool, weight: 100 g, becomes: red, colour: '#8a2f2a'}]\n"
BATH += "steps: [{dyes: {madder: 40 g}}]\n"
PIECE = (
    "number: 2026-001\ntitle: Ebb\nkind: scarf\nfinished: 2026-02-01\nsize: 180 x 30 cm\n"
    "weight: 190 g\nyarns: [{use: warp and weft, lot: wool, weight: 195 g}]\nhours: {weaving: 9}\n"
)


@pytest.fixture
def run(tmp_path):
    folder = tmp_path / "pieces"
    for name, text in {
        "studio/yarns": YARNS, "dyebook/red": BATH, "2026-001": PIECE,
        "studio/dyestuffs": "madder: {species: Rubia tinctorum, weight: 1 kg, cost: 30}\n",
    }.items():  # fmt: skip
        path = folder / f"{name}.yaml"
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(text)

    def go(studio: str, *words: str) -> tuple[int, str]:
        (folder / "studio" / "studio.yaml").write_text(studio)
        done = CliRunner().invoke(main, ["--studio", str(folder), *words], catch_exceptions=False)
        return done.exit_code, done.output

    return go


def test_a_size_asked_for(run):
    asked = ("quote", "--like", "2026-001", "--json", "--size")
    code, said = run(STUDIO + COMMA, *asked, "1,8 m x 60,5 cm")
    assert code == 0
    [comma] = json.loads(said)["options"]
    [point] = json.loads(run(STUDIO, *asked, "1.8 m x 60.5 cm")[1])["options"]
    assert {**comma, "size": ""} == {**point, "size": ""}
    code, said = run(STUDIO, *asked, "1,8 m x 60 cm")
    assert code == 1 and "1.8 m" in said


def test_a_weight_to_dye(run):
    code, said = run(STUDIO + COMMA, "match", "#8a2f2a", "--weight", "0,25 kg")
    assert code == 0 and "250 g" in said
    assert run(STUDIO, "match", "#8a2f2a", "--weight", "0,25 kg")[0] == 2
    code, said = run(STUDIO + COMMA, "match", "#8a2f2a", "--weight", "0 g")
    assert code == 2 and "Invalid value for '--weight'" in said


@pytest.mark.parametrize("studio", [STUDIO + COMMA, STUDIO + "language: de\n"])
def test_the_spreadsheet_of_the_stock(run, tmp_path, studio):
    path = tmp_path / "stock.csv"
    run(studio, "stock", "--csv", str(path))
    rows = list(csv.reader(path.read_text(encoding="utf-8-sig").splitlines(), delimiter=";"))
    wool = next(row for row in rows if row[2] == "wool")
    assert wool[4:7] == ["705", "g", "28,20"]


def test_the_spreadsheet_elsewhere(run, tmp_path):
    path = tmp_path / "stock.csv"
    run(STUDIO, "stock", "--csv", str(path))
    assert ",wool,,705,g,28.20," in path.read_text(encoding="utf-8-sig")


def test_numbers_alone_get_a_comma():
    rows = [["12.50", "-0.5", "2026-014", "v1.2.3", "=1.5", "a;b", "Maße 1.5 m"]]
    assert csv_file(["a"], rows, comma=True).decode("utf-8-sig").splitlines()[1] == (
        '12,50;-0,5;2026-014;v1.2.3;\'=1.5;"a;b";Maße 1.5 m'
    )


def test_sizes_and_shifts_of_paper_with_either_sign():
    assert size_of("55,5 x 90 mm") == size_of("55.5 x 90 mm")
    assert shift_of("1,5 mm right, 0,5 mm down") == shift_of("1.5 mm right,0.5 mm down")
    with pytest.raises(Slip):
        shift_of("1,5 right")
