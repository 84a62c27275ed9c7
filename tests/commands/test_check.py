"""`check`: what it prints, its JSON, its exit code; the way in to all commands."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from click.testing import CliRunner

from provenance.commands.main import COMMANDS, main

STUDIO = "studio: Brackenfold\nmaker: Isla Wren\npay: {any: 18}\n"
YARNS = "linen-warp: {fibre: linen, weight: 1 kg, cost: 41.00}\n"
PIECE = "number: 2026-001\ntitle: Ebb\nyarns: [{lot: linen-wrap, weight: 180 g}]\n"


@pytest.fixture
def pieces(tmp_path: Path) -> Path:
    folder = tmp_path / "pieces"
    (folder / "studio").mkdir(parents=True)
    (folder / "studio" / "studio.yaml").write_text(STUDIO)
    (folder / "studio" / "yarns.yaml").write_text(YARNS)
    (folder / "2026-001.yaml").write_text(PIECE)
    return folder


def run(*words: str) -> tuple[int, str]:
    result = CliRunner().invoke(main, list(words), catch_exceptions=False)
    return result.exit_code, result.output


def test_mistakes_are_printed_with_their_remedy_and_end_with_1(pieces):
    assert run("--studio", str(pieces), "check") == (
        1,
        "pieces/2026-001.yaml:3:15: no lot called 'linen-wrap'\n"
        "    did you mean 'linen-warp' (pieces/studio/yarns.yaml:1)?\n"
        "\n"
        "no pieces ready, 1 draft; 1 mistake, no remarks.\n"
        "  draft 2026-001 Ebb: still wants a kind, a size, hours and a photo\n",
    )


def test_a_slip_made_again_and_again_is_told_once_and_counted(pieces):
    for number in range(2, 12):
        text = f"number: 2026-{number:03}\ntitle: Ebb\nweight: {number},5 kg\n"
        (pieces / f"2026-{number:03}.yaml").write_text(text)
    code, said = run("--studio", str(pieces), "check")
    assert code == 1
    assert (
        "pieces/2026-002.yaml:3:9: weight: '2,5 kg' has a comma in its number\n"
        "    write '2.5 kg' with a point, or say 'decimal comma: yes' in the studio file\n"
        "    and 9 more like it: pieces/2026-003.yaml:3:9, pieces/2026-004.yaml:3:9, "
        "pieces/2026-005.yaml:3:9, pieces/2026-006.yaml:3:9, pieces/2026-007.yaml:3:9, "
        "pieces/2026-008.yaml:3:9, ...\n"
    ) in said
    assert said.count("has a comma") == 1
    assert "11 mistakes" in said
    _, data = run("--studio", str(pieces), "check", "--json")
    commas = [each for each in json.loads(data)["problems"] if "has a comma" in each["what"]]
    assert len(commas) == 10


def test_well_kept_records_end_with_0(pieces):
    (pieces / "2026-001.yaml").write_text(PIECE.replace("linen-wrap", "linen-warp"))
    code, said = run("--studio", str(pieces), "check")
    assert code == 0
    assert said.startswith("no pieces ready, 1 draft; no mistakes, no remarks.\n")


def test_remarks_alone_end_with_0(pieces):
    (pieces / "2026-001.yaml").write_text(PIECE.replace("linen-wrap, weight: 180 g", "linen-warp"))
    (pieces / "2026-001.yaml").unlink()
    (pieces / "dyebook").mkdir()
    (pieces / "dyebook" / "empty.yaml").write_text("date: 2026-03-01\n")
    code, said = run("--studio", str(pieces), "check")
    assert code == 0
    assert "remark: nothing is dyed in the bath 'empty' yet" in said


def test_as_json(pieces):
    (pieces / "2026-002.yaml").write_text("number: 2026-002\ntitle: [\n")
    code, said = run("--studio", str(pieces), "check", "--json")
    assert code == 1
    told = json.loads(said)
    assert told["pieces"] == {"ready": 0, "draft": 1}
    assert told["unreadable"] == ["2026-002"]
    assert told["problems"][0] == {
        "file": "pieces/2026-001.yaml",
        "line": 3,
        "column": 15,
        "what": "no lot called 'linen-wrap'",
        "remedy": "did you mean 'linen-warp' (pieces/studio/yarns.yaml:1)?",
        "weight": "problem",
    }


def test_the_folder_is_found_from_inside_it(pieces, monkeypatch):
    for place in (pieces.parent, pieces, pieces / "studio"):
        monkeypatch.chdir(place)
        assert run("check")[0] == 1


def test_no_folder_at_all(tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    code, said = run("check")
    assert code == 1
    assert "there is no such folder" in said
    assert "'provenance start studio' makes one" in said


def test_a_wrong_command_is_wrong_usage_with_a_hint():
    code, said = run("chek")
    assert code == 2
    assert "no command 'chek'. did you mean 'check'?" in said


@pytest.mark.parametrize("name", COMMANDS)
def test_every_command_that_is_listed_is_there(name):
    code, said = run(name, "--help")
    assert code == 0
    assert said.startswith("Usage:")
