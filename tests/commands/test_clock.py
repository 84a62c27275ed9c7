"""A clock that went backwards: nothing is dated before what it follows."""

from __future__ import annotations

import json

import pytest
from click.testing import CliRunner

from provenance.commands.main import main

LATE, EARLY = "1795608000", "1764072000"  # 25 November 2026 and 2025
FILES = {
    "studio/studio.yaml": "studio: Brackenfold\nmaker: Isla Wren\npay: {any: 18.00}\n",
    "studio/yarns.yaml": "grey: {fibre: wool, weight: 2 kg, cost: 80.00, length: 8 km}\n",
    "2024-001.yaml": "number: 2024-001\ntitle: Ebb\nkind: scarf\nsize: 180 x 28 cm\nprice: 90\n"
    "yarns: [{use: weft, lot: grey, weight: 190 g}]\nhours: {weaving: 6}\nfinished: 2024-10-01\n",
    "commissions/2026-C01.yaml": "number: 2026-C01\nclient: {name: Petra}\nkind: shawl\n"
    "sizes: [180 x 60 cm]\nsett: {ends: 6 per cm, picks: 6 per cm}\n"
    "yarn: {warp: grey, weft: grey}\n",
}


@pytest.fixture
def run(write_studio):
    folder = write_studio(FILES)

    def called(epoch: str, *words: str) -> str:
        result = CliRunner().invoke(
            main, ["--studio", str(folder), *words], env={"SOURCE_DATE_EPOCH": epoch},
            catch_exceptions=False,
        )  # fmt: skip
        assert result.exit_code == 0, result.output
        return result.output

    called.folder = folder
    return called


def days(folder, paper: str) -> list[str]:
    lines = (folder / "studio" / "printed.yaml").read_text().splitlines()
    return [line.split('on: "')[-1].split("on: ")[-1][:10] for line in lines if paper in line]


@pytest.mark.parametrize(
    ("words", "paper"), [(("tags",), "tag"), (("certificate", "2024-001"), "certificate")]
)
def test_a_printed_line_is_never_dated_before_the_last(run, words, paper):
    run(LATE, *words)
    path = run.folder / "2024-001.yaml"
    path.write_text(path.read_text().replace("Ebb", "Flood"))
    run(EARLY, *words)
    assert days(run.folder, paper) == ["2026-11-25", "2026-11-25"]


def test_a_quotation_sent_anew_is_never_dated_before_the_last(run):
    run(LATE, "quote", "2026-C01")
    run(EARLY, "quote", "2026-C01", "--anew")
    issued = sorted((run.folder / "studio" / "issued").iterdir())
    assert [json.loads(path.read_text())["on"] for path in issued] == ["2026-11-25"] * 2


def test_the_journal_goes_on_from_its_last_day(run):
    run(LATE, "reprice", "2024-001", "100", "--yes")
    run(EARLY, "reprice", "2024-001", "110", "--yes")
    assert "Takes back 'reprice 2024-001 110' of 2026-11-25" in run(EARLY, "undo", "--yes")
