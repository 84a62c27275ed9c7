"""`trace` through the command line: a small studio whose grams were worked out by hand."""

import json
import re

from click.testing import CliRunner

from provenance.commands.main import main

RECORDS = {
    "studio/studio.yaml": "studio: Brackenfold\nmaker: Isla Wren\npay: {any: 18.00}\n",
    "studio/fleece.yaml": "gotland: {breed: Gotland, from: Low Eskrigg Farm, shorn: 2025-06-18, "
    "weight: 2 kg, cost: 44.00}\n",
    "studio/yarns.yaml": "gotland-2ply: {fleece: {gotland: 2 kg}, weight: 1 kg}\n",
    "studio/dyestuffs.yaml": "madder: {species: Rubia tinctorum, part: ground root, "
    "weight: 500 g, cost: 29.00}\n",
    "studio/mordants.yaml": "alum: {weight: 1 kg, cost: 9.50}\n",
    "studio/sundries.yaml": "swing tag: {each: 0.35}\n",
    "dyebook/2026-04-rust.yaml": """
date: 2026-04-18
dyed:
  - {yarn: gotland-2ply, weight: 200 g, becomes: rust}
steps:
  - mordants: {alum: 10 %}
  - dyes: {madder: 50 %}
""",
    "dyebook/2026-05-dusk.yaml": """
date: 2026-05-02
exhaust of: 2026-04-rust
dyed:
  - {yarn: gotland-2ply, weight: 100 g, becomes: dusk}
fibre also lost: 5 g
""",
    "2026-001.yaml": """
number: 2026-001
title: Saltmarsh
kind: hanging
weight: 140 g
yarns: [{use: weft, lot: rust, weight: 150 g}]
sundries: {swing tag: 1}
hours: {weaving: 8}
""",
}


def run(tmp_path, *words, columns=100):
    for name, text in RECORDS.items():
        path = tmp_path / "pieces" / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(text, encoding="utf-8")
    asked = ["--studio", str(tmp_path / "pieces"), "trace", *words]
    return CliRunner().invoke(main, asked, env={"COLUMNS": str(columns)})


def test_a_piece_back_to_fleece_and_dyestuff(tmp_path):
    assert run(tmp_path, "2026-001").stdout == (
        "2026-001 Saltmarsh, hanging\n"
        "150 g of yarn, 140 g finished, 10 g loom waste\n"
        "in the cloth: rust 140 g\n"
        "\n"
        "Made of\n"
        "├ weft: 150 g rust, dyed\n"
        "│ ├ 150 g gotland-2ply, yarn spun here\n"
        "│ │ └ 300 g gotland, Gotland from Low Eskrigg Farm, shorn 2025-06-18, in the grease\n"
        "│ └ dyed in bath 2026-04-rust on 2026-04-18\n"
        "│   ├ 15 g alum\n"
        "│   └ 75 g madder, ground root, Rubia tinctorum\n"
        "└ 1 swing tag\n"
    )


def test_a_lot_forward_to_every_piece(tmp_path):
    said = run(tmp_path, "madder").stdout
    assert said.startswith(
        "madder, ground root, Rubia tinctorum\n"
        "500 g in all, 400 g left\n"
        "\n"
        "Went into\n"
        "└ 100 g into bath 2026-04-rust on 2026-04-18\n"
        "  ├ 200 g into rust, dyed: 100 g of madder (50 g of rust left)\n"
        "  │ └ 150 g into 2026-001 Saltmarsh, hanging, as weft: 75 g of madder\n"
    )
    # what the exhaust bath took is traced on, though it weighs and costs nothing
    assert "  └ on into bath 2026-05-dusk on 2026-05-02, the exhaust of 2026-04-rust" in said
    assert not re.search(r"(?<![0-9])0 g", said)
    assert "100 g into dusk, dyed (95 g of dusk left)" in said


def test_an_exhaust_bath_says_whose_and_losses_are_shown(tmp_path):
    said = run(tmp_path, "dusk").stdout
    assert (
        "└ dyed in bath 2026-05-dusk on 2026-05-02, the exhaust of 2026-04-rust (madder)\n" in said
    )
    assert said.endswith("Went into\n└ 5 g lost\n")
    assert "\n100 g in all, 95 g left\n" in said


def test_it_wraps_under_its_own_branch_on_a_narrow_terminal(tmp_path):
    said = run(tmp_path, "2026-001", columns=60).stdout
    assert "│ │ └ 300 g gotland, Gotland from Low Eskrigg Farm, shorn\n│ │     2025-06-18," in said
    assert max(len(line) for line in said.splitlines()) <= 60


def test_as_json_the_chain_is_nested(tmp_path):
    assert json.loads(run(tmp_path, "rust", "--json").stdout) == {
        "name": "rust",
        "kind": "dyed lot",
        "from": [
            {
                "name": "gotland-2ply",
                "kind": "yarn",
                "grams": "200",
                "from": [{"name": "gotland", "kind": "fleece", "grams": "400", "from": []}],
            },
            {
                "name": "2026-04-rust",
                "kind": "bath",
                "grams": "200",
                "from": [
                    {"name": "alum", "kind": "mordant", "grams": "20", "from": []},
                    {"name": "madder", "kind": "dyestuff", "grams": "100", "from": []},
                ],
            },
        ],
        "to": [
            {
                "name": "2026-001",
                "kind": "piece",
                "grams": "150",
                "of it grams": "150",
                "left grams": None,
                "to": [],
            }
        ],
        "left grams": "50",
    }


def test_the_working_ends_in_the_records(tmp_path):
    said = run(tmp_path, "rust", "--explain").stdout
    assert "gotland with gotland-2ply into rust: 400 g = 2000 g × 0.2\n" in said
    assert "└ madder in all: 500 g  (pieces/studio/dyestuffs.yaml:1)\n" in said
    assert "left of rust: 50 g = 200 g - 150 g\n" in said


def test_an_unknown_name_is_refused_with_the_nearest(tmp_path):
    result = run(tmp_path, "madderr")
    assert result.exit_code == 1
    assert result.stderr == "nothing is called 'madderr'. did you mean 'madder'?\n"
