"""Slips in single values: the message, its place and its remedy, word for word.

Each slip is one change to the small studio of `conftest.py`: words for other words in a
file, a whole file, or a file left out.
"""

# Messages are whole lines, as they are printed.
# ruff: noqa: E501

from __future__ import annotations

import pytest

PIECE = "2026-014-saltmarsh.yaml"
STUDIO = "studio/studio.yaml"
FLEECE = "studio/fleece.yaml"
YARNS = "studio/yarns.yaml"
BATH = "dyebook/marsh.yaml"
DYESTUFFS = "studio/dyestuffs.yaml"
SUNDRIES = "studio/sundries.yaml"
OUTLETS = "studio/outlets.yaml"

SLIPS = [
    (
        "31 February",
        PIECE,
        ("size:", "finished: 2026-02-31\nsize:"),
        "pieces/2026-014-saltmarsh.yaml:4:11: finished: there is no date 2026-02-31\n"
        "    February 2026 has 28 days",
    ),
    (
        "month 13",
        PIECE,
        ("size:", "finished: 2026-13-01\nsize:"),
        "pieces/2026-014-saltmarsh.yaml:4:11: finished: there is no date 2026-13-01\n"
        "    months run from 01 to 12: year-month-day",
    ),
    (
        "date the other way",
        PIECE,
        ("size:", "finished: 14.09.2026\nsize:"),
        "pieces/2026-014-saltmarsh.yaml:4:11: finished: '14.09.2026' is not a date\n"
        "    write year-month-day, such as 2026-09-14",
    ),
    (
        "clock as a weight",
        PIECE,
        ("weight: 412 g", "weight: 12:30"),
        "pieces/2026-014-saltmarsh.yaml:6:43: weight: '12:30' is a weight without a unit\n"
        "    write for example 412 g, 1.2 kg or 3 lb 4 oz",
    ),
    (
        "no as a price",
        PIECE,
        ("size:", "price: no\nsize:"),
        "pieces/2026-014-saltmarsh.yaml:4:8: price: 'no' is not an amount of money\n"
        "    write for example 36.00, or 12.50 EUR at 0.86",
    ),
    (
        "010 as a weight",
        PIECE,
        ("weight: 412 g", "weight: 010"),
        "pieces/2026-014-saltmarsh.yaml:6:43: weight: '010' is a weight without a unit\n"
        "    write for example 412 g, 1.2 kg or 3 lb 4 oz",
    ),
    (
        "decimal comma",
        PIECE,
        ("size:", "weight: 0,55 kg\nsize:"),
        "pieces/2026-014-saltmarsh.yaml:4:9: weight: '0,55 kg' has a comma in its number\n"
        "    write '0.55 kg' with a point, or say 'decimal comma: yes' in the studio file",
    ),
    (
        "decimal comma in braces",
        SUNDRIES,
        ("6.80", "6,80"),
        "pieces/studio/sundries.yaml:1:21: each: '6,80' has a comma in its number\n"
        "    write '6.80' with a point, or say 'decimal comma: yes' in the studio file",
    ),
    (
        "a year without its day",
        PIECE,
        ("size:", "sale: {on: April 2026}\nsize:"),
        "pieces/2026-014-saltmarsh.yaml:4:12: on: 'April 2026' does not say the day\n"
        "    write year-month-day, such as 2026-09-14; "
        "where you don't remember the day, about right will do",
    ),
    (
        "a share of one",
        OUTLETS,
        ("45 %", "0.45"),
        "pieces/studio/outlets.yaml:1:46: commission: '0.45' is a share without its sign\n"
        "    does 0.45 mean 45 %? write '45 %'",
    ),
    (
        "thousands",
        PIECE,
        ("size:", "price: 1,450\nsize:"),
        "pieces/2026-014-saltmarsh.yaml:4:8: price: '1,450' has a comma in its number\n"
        "    write '1450', or with a point if it is a decimal comma "
        "('decimal comma: yes' in the studio file lets you write commas)",
    ),
    (
        "comma in braces",
        STUDIO,
        (
            "{email: hello@brackenfold.example}",
            "{email: hello@brackenfold.example, post: 1 Wren Lane, Eskrigg Dale}",
        ),
        "pieces/studio/studio.yaml:4:64: 'Eskrigg Dale' stands here without a value\n"
        "    inside braces a comma starts the next word: put text that holds a comma in quotes",
    ),
    (
        "colour unquoted",
        BATH,
        ("date:", "colour: #6f7a38\ndate:"),
        "pieces/dyebook/marsh.yaml:1:8: colour: no colour is written here\n"
        "    '#' starts a note unless quoted: \"#6f7a38\"",
    ),
    (
        "colour unquoted in braces",
        BATH,
        ("becomes: marsh-green}", "becomes: marsh-green, colour: #6f7a38}"),
        "pieces/dyebook/marsh.yaml:3:71: '#' starts a note unless quoted\n"
        '    write the colour as "#6f7a38"',
    ),
    (
        "colour in words",
        BATH,
        ("date:", "colour: olive\ndate:"),
        "pieces/dyebook/marsh.yaml:1:9: colour: 'olive' is not a colour\n"
        '    write it in quotes, such as "#6f7a38"',
    ),
    (
        "wrong status",
        PIECE,
        ("hours:", "status: availible\nhours:"),
        "pieces/2026-014-saltmarsh.yaml:8:9: status: 'availible' is no status\n"
        "    did you mean 'available'?",
    ),
    (
        "wrong kind",
        PIECE,
        ("kind: hanging", "kind: tapestry"),
        "pieces/2026-014-saltmarsh.yaml:3:7: kind: 'tapestry' is not known here\n"
        "    known here: hanging, rug, blanket, throw, shawl, scarf, runner, cushion, cloth, garment, bag, other",
    ),
    (
        "negative weight",
        PIECE,
        ("weight: 412 g", "weight: -412 g"),
        "pieces/2026-014-saltmarsh.yaml:6:43: weight: '-412 g': a weight can't be negative\n"
        "    for example 412 g, 1.2 kg or 3 lb 4 oz",
    ),
    (
        "weight without unit",
        PIECE,
        ("weight: 412 g", "weight: 412"),
        "pieces/2026-014-saltmarsh.yaml:6:43: weight: '412' is a weight without a unit\n"
        "    write for example 412 g, 1.2 kg or 3 lb 4 oz",
    ),
    (
        "grains",
        PIECE,
        ("weight: 412 g", "weight: 412 gr"),
        "pieces/2026-014-saltmarsh.yaml:6:43: weight: 'gr' is not a unit of weight\n"
        "    did you mean 'g'? write for example 412 g, 1.2 kg or 3 lb 4 oz",
    ),
    (
        "length for a weight",
        PIECE,
        ("weight: 412 g", "weight: 412 cm"),
        "pieces/2026-014-saltmarsh.yaml:6:43: weight: 'cm' is not a unit of weight\n"
        "    write for example 412 g, 1.2 kg or 3 lb 4 oz",
    ),
    (
        "size without unit",
        PIECE,
        ("124 x 86 cm", "124 x 86"),
        "pieces/2026-014-saltmarsh.yaml:4:7: size: '124 x 86' is a size without a unit\n"
        "    write for example '124 x 86 cm'",
    ),
    (
        "size of one side",
        PIECE,
        ("124 x 86 cm", "124 cm"),
        "pieces/2026-014-saltmarsh.yaml:4:7: size: '124 cm' is not a size\n"
        "    write height x width, such as 124 x 86 cm",
    ),
    (
        "size of nothing",
        PIECE,
        ("124 x 86 cm", "0 x 86 cm"),
        "pieces/2026-014-saltmarsh.yaml:4:7: size: '0 x 86 cm' has a side of nothing, or next to "
        "nothing\n    height x width, such as 124 x 86 cm",
    ),
    (
        "size of next to nothing",
        PIECE,
        ("124 x 86 cm", "124 x 0.0000001 cm"),
        "pieces/2026-014-saltmarsh.yaml:4:7: size: '124 x 0.0000001 cm' has a side of nothing, or "
        "next to nothing\n    height x width, such as 124 x 86 cm",
    ),
    (
        "foreign money",
        FLEECE,
        ("66.00", "66.00 EUR"),
        "pieces/studio/fleece.yaml:4:9: cost: '66.00 EUR' is in EUR, the studio counts in GBP\n"
        "    write the rate with it: '66.00 EUR at 0.86'",
    ),
    (
        "dollar sign",
        FLEECE,
        ("66.00", "$66.00"),
        "pieces/studio/fleece.yaml:4:9: cost: '$66.00' is in USD, the studio counts in GBP\n"
        "    write the rate with it: '66.00 USD at 0.86'",
    ),
    (
        "share without sign",
        OUTLETS,
        ("45 %", "45"),
        "pieces/studio/outlets.yaml:1:46: commission: '45' is a share without its sign\n"
        "    write '45 %'",
    ),
    (
        "share of more than all",
        OUTLETS,
        ("45 %", "145 %"),
        "pieces/studio/outlets.yaml:1:46: commission: '145 %' is more than the whole\n"
        "    a share of 100 % at most",
    ),
    (
        "scoured to nothing",
        FLEECE,
        ("fibre: wool", "scoured: 0 %"),
        "pieces/studio/fleece.yaml:2:12: scoured: '0 %' would leave nothing\n"
        "    write what is left, such as 55 %",
    ),
    (
        "dose without unit",
        BATH,
        ("alum: 12 %", "alum: 12"),
        "pieces/dyebook/marsh.yaml:5:22: alum: '12' is an amount without a unit\n"
        "    write '12 %' or '12 g'",
    ),
    (
        "dose left open",
        BATH,
        ("alum: 12 %", "alum: "),
        "pieces/dyebook/marsh.yaml:5:22: alum: an amount is wanted here\n"
        "    such as '12 %' or '124 g'",
    ),
    (
        "time in days",
        PIECE,
        ("weaving: 61", "weaving: 3 days"),
        "pieces/2026-014-saltmarsh.yaml:8:18: weaving: '3 days': how many hours is that?\n"
        "    hands-on hours are wanted, such as 12 h",
    ),
    (
        "61 minutes past",
        PIECE,
        ("weaving: 61", "weaving: 4:75"),
        "pieces/2026-014-saltmarsh.yaml:8:18: weaving: '4:75' has more than 59 minutes\n"
        "    write for example 4:30",
    ),
    (
        "log without a day",
        PIECE,
        (
            "hours: {weaving: 61}",
            "hours:\n  weaving:\n    - {on: 2026-08-03, for: 3 h}\n    - {for: 5 h}",
        ),
        "pieces/2026-014-saltmarsh.yaml:11:7: weaving: a log line wants a day and a time\n"
        "    write '- {on: 2026-08-03, for: 3 h}'",
    ),
    (
        "log on no day",
        PIECE,
        (
            "hours: {weaving: 61}",
            "hours:\n  weaving:\n    - {on: 2026-08-03, for: 3 h}\n    - {on: 2026-08-32, for: 5 h}",
        ),
        "pieces/2026-014-saltmarsh.yaml:11:12: weaving: there is no date 2026-08-32\n"
        "    August 2026 has 31 days",
    ),
    (
        "sundry by length",
        PIECE,
        ("hours:", "sundries: {hanging bar: 86 cm}\nhours:"),
        "pieces/2026-014-saltmarsh.yaml:8:25: 'hanging bar' is counted by number (pieces/studio/sundries.yaml:1)\n"
        "    write a number, such as 1",
    ),
    (
        "sundry by number",
        PIECE,
        ("hours:", "sundries: {lining: 1}\nhours:"),
        "pieces/2026-014-saltmarsh.yaml:8:20: 'lining' is measured by length (pieces/studio/sundries.yaml:2)\n"
        "    write a length, such as 50 cm",
    ),
    (
        "yarn from two places",
        PIECE,
        ("lot: marsh-green", "lot: marsh-green, fleece: gotland-2025"),
        "pieces/2026-014-saltmarsh.yaml:6:5: a yarn comes from one 'lot' or one 'fleece'\n"
        "    write 'lot: NAME'",
    ),
    (
        "yarn as text",
        PIECE,
        ("{use: weft, lot: marsh-green, weight: 412 g}", "marsh-green 412 g"),
        "pieces/2026-014-saltmarsh.yaml:6:5: words with values are wanted here\n"
        "    such as {use: weft, lot: marsh-green, weight: 412 g}",
    ),
    (
        "yarns as words",
        PIECE,
        (
            "  - {use: weft, lot: marsh-green, weight: 412 g}\n  - {use: warp, lot: linen-warp, weight: 180 g, waste: 0 g}",
            "  weft: marsh-green",
        ),
        "pieces/2026-014-saltmarsh.yaml:5:1: 'yarns' wants a list\n"
        "    each on its own line after '- ', such as {use: weft, lot: marsh-green, weight: 412 g}",
    ),
    (
        "no number",
        PIECE,
        ("number: 2026-014\n", ""),
        "pieces/2026-014-saltmarsh.yaml:1:1: no 'number' is given\n    add a line 'number: ...'",
    ),
    (
        "number with letters",
        PIECE,
        ("number: 2026-014", "number: 2026-A14"),
        "pieces/2026-014-saltmarsh.yaml:1:9: number: '2026-A14' can't be a piece's number\n"
        "    digits and hyphens only, such as 2026-014: it is the permanent address",
    ),
    (
        "name with a sign",
        DYESTUFFS,
        ("weld:", "St John's wort: {weight: 1 kg, cost: 0}\nweld:"),
        "pieces/studio/dyestuffs.yaml:1:1: 'St John's wort' can't be a name\n"
        "    letters, digits, spaces, '-', '_' and '.' make a name; such as 'St Johns wort'",
    ),
    (
        "lot left open",
        DYESTUFFS,
        "weld:\n",
        "pieces/studio/dyestuffs.yaml:1:1: nothing is said of 'weld'\n"
        "    write 'weld: {weight: 1 kg, ...}'",
    ),
    (
        "lots as a list",
        DYESTUFFS,
        "- weld\n",
        "pieces/studio/dyestuffs.yaml:1:1: every lot in dyestuffs.yaml stands under its name\n"
        "    write 'gotland-2025: {weight: 3 kg, ...}'",
    ),
    (
        "blend without weights",
        YARNS,
        ("{gotland-2025: 2.0 kg}", "[gotland-2025, gotland-2025]"),
        "pieces/studio/yarns.yaml:2:3: fleece: how much of each went in?\n"
        "    write '{gotland-2025: 1 kg, ANOTHER: 500 g}'",
    ),
    (
        "blend with one weight",
        YARNS,
        ("{gotland-2025: 2.0 kg}", "{gotland-2025: 2.0 kg, other: }"),
        "pieces/studio/yarns.yaml:2:34: fleece: how much 'other' went in?\n"
        "    write 'other: 500 g'",
    ),
    (
        "yarn without a fibre",
        YARNS,
        ("fibre: linen, ", ""),
        "pieces/studio/yarns.yaml:5:1: what is 'linen-warp' made of?\n"
        "    add a line 'fibre: linen'",
    ),
    (
        "fibres to 90 %",
        YARNS,
        ("fibre: linen", "fibre: {linen: 50 %, cotton: 40 %}"),
        "pieces/studio/yarns.yaml:5:14: fibre: the fibres add up to 90 %\n"
        "    shares of fibre must add up to 100 %",
    ),
    (
        "event on no day",
        PIECE,
        ("title: Saltmarsh", 'title: Saltmarsh\nhistory: [{on: last spring, event: "Shown"}]'),
        "pieces/2026-014-saltmarsh.yaml:3:16: on: 'last spring' is not a date\n"
        "    write year-month-day, such as 2026-09-14",
    ),
    (
        "more yarn than fleece",
        YARNS,
        ("weight: 960 g", "weight: 2960 g"),
        "pieces/studio/yarns.yaml:3:11: 2960 g of yarn from 2000 g of fleece\n"
        "    the fleece is weighed in the grease, before scouring: look at both weights",
    ),
]


@pytest.mark.parametrize(
    ("file", "change", "said"), [pytest.param(*row[1:], id=row[0]) for row in SLIPS]
)
def test_slip_is_told_with_place_and_remedy(
    file, change, said, small_studio, studio_with, all_said
):
    if isinstance(change, tuple):
        assert change[0] in small_studio[file]
        change = small_studio[file].replace(*change, 1)
    assert all_said(studio_with({file: change})) == said
