"""Slips between records: names, numbers, balances, photos, papers; word for word.

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
COMMISSION = "commissions/2026-C03.yaml"

SLIPS = [
    (
        "unknown lot",
        PIECE,
        ("lot: marsh-green", "lot: marsh-gren"),
        "pieces/2026-014-saltmarsh.yaml:6:22: no lot called 'marsh-gren'\n"
        "    did you mean 'marsh-green' (pieces/dyebook/marsh.yaml:3)?",
    ),
    (
        "fleece as lot",
        PIECE,
        ("lot: marsh-green", "lot: gotland-2025"),
        "pieces/2026-014-saltmarsh.yaml:6:22: 'gotland-2025' is fleece, not yarn\n"
        "    write 'fleece: gotland-2025'",
    ),
    (
        "yarn as fleece",
        PIECE,
        ("lot: marsh-green", "fleece: gotland-2ply"),
        "pieces/2026-014-saltmarsh.yaml:6:25: 'gotland-2ply' is yarn, not fleece\n"
        "    write 'lot: gotland-2ply'",
    ),
    (
        "unknown fleece",
        YARNS,
        ("gotland-2025", "gotland-2052"),
        "pieces/studio/yarns.yaml:2:12: no fleece called 'gotland-2052'\n"
        "    did you mean 'gotland-2025' (pieces/studio/fleece.yaml:1)?",
    ),
    (
        "unknown dyestuff",
        BATH,
        ("weld: 60 %", "wled: 60 %"),
        "pieces/dyebook/marsh.yaml:6:12: no dyestuff called 'wled'\n"
        "    did you mean 'weld' (pieces/studio/dyestuffs.yaml:1)?",
    ),
    (
        "mordant among dyes",
        BATH,
        ("weld: 60 %", "alum: 6 %"),
        "pieces/dyebook/marsh.yaml:6:12: 'alum' stands among the mordants (pieces/studio/mordants.yaml:1)\n"
        "    write it under 'mordants' or 'after'",
    ),
    (
        "unknown mordant",
        BATH,
        ("alum: 12 %", "alun: 12 %"),
        "pieces/dyebook/marsh.yaml:3:50: remark: weld holds only on a mordant, and this yarn carries none\n"
        "    add the mordant of this bath, or note that there was none\n"
        "pieces/dyebook/marsh.yaml:5:16: no mordant called 'alun'\n"
        "    did you mean 'alum' (pieces/studio/mordants.yaml:1)?",
    ),
    (
        "unknown sundry",
        PIECE,
        ("hours:", "sundries: {hanging bra: 1}\nhours:"),
        "pieces/2026-014-saltmarsh.yaml:8:12: no sundry called 'hanging bra'\n"
        "    did you mean 'hanging bar' (pieces/studio/sundries.yaml:1)?",
    ),
    (
        "unknown outlet",
        PIECE,
        ("hours:", "at: harbor-gallery\nhours:"),
        "pieces/2026-014-saltmarsh.yaml:8:5: no outlet called 'harbor-gallery'\n"
        "    did you mean 'harbour-gallery' (pieces/studio/outlets.yaml:1)?",
    ),
    (
        "unknown fibre",
        FLEECE,
        ("fibre: wool", "fibre: wol"),
        "pieces/studio/fleece.yaml:2:10: fibre: 'wol' is not a fibre name\n"
        "    did you mean 'wool'?",
    ),
    (
        "unknown bath",
        BATH,
        ("date:", "exhaust of: autumn\ndate:"),
        "pieces/dyebook/marsh.yaml:1:13: no bath called 'autumn'\n"
        "    known here: marsh, gotland-2ply, linen-warp, marsh-green",
    ),
    (
        "unknown commission",
        PIECE,
        ("hours:", "status: commission 2026-C09\nhours:"),
        "pieces/2026-014-saltmarsh.yaml:8:9: no commission called '2026-C09'\n"
        "    no commission is written down yet",
    ),
    (
        "unknown like",
        COMMISSION,
        "number: 2026-C03\nlike: 2026-041\n",
        "pieces/commissions/2026-C03.yaml:2:7: no piece called '2026-041'\n"
        "    did you mean '2026-014' (pieces/2026-014-saltmarsh.yaml:1)?",
    ),
    (
        "unknown lot in a commission",
        COMMISSION,
        "number: 2026-C03\nyarn: {warp: linen-wrap}\n",
        "pieces/commissions/2026-C03.yaml:2:14: no lot called 'linen-wrap'\n"
        "    did you mean 'linen-warp' (pieces/studio/yarns.yaml:5)?",
    ),
    (
        "overdrawn",
        PIECE,
        ("weight: 412 g", "weight: 512 g"),
        "pieces/2026-014-saltmarsh.yaml:6:43: 'marsh-green' is overdrawn by 92 g: it holds 420 g (pieces/dyebook/marsh.yaml:3)\n"
        "    drawn by 2026-014 512 g (pieces/2026-014-saltmarsh.yaml:6)",
    ),
    (
        "planned by a piece in progress",
        PIECE,
        (
            "size: 124 x 86 cm\nyarns:\n  - {use: weft, lot: marsh-green, weight: 412 g",
            "status: in progress\nsize: 124 x 86 cm\nyarns:\n  - {use: weft, lot: marsh-green, weight: 512 g",
        ),
        "pieces/2026-014-saltmarsh.yaml:7:43: remark: 'marsh-green' is 92 g short for what is in progress (2026-014)\n"
        "    it stands in pieces/dyebook/marsh.yaml:3; weigh what really goes in, or take another lot for the rest",
    ),
    (
        "within the scale",
        PIECE,
        ("weight: 412 g", "weight: 425 g"),
        "pieces/2026-014-saltmarsh.yaml:6:43: remark: 'marsh-green' is overdrawn by 5 g: it holds 420 g (pieces/dyebook/marsh.yaml:3)\n"
        "    drawn by 2026-014 425 g (pieces/2026-014-saltmarsh.yaml:6)",
    ),
    (
        "dyed from itself",
        BATH,
        ("yarn: gotland-2ply", "yarn: marsh-green"),
        "pieces/dyebook/marsh.yaml:3:12: 'marsh-green' would be dyed from itself\n"
        "    the round: marsh-green -> marsh-green",
    ),
    (
        "left of itself",
        BATH,
        ("date:", "exhaust of: marsh\ndate:"),
        "pieces/dyebook/marsh.yaml:1:13: the bath 'marsh' would be what is left of itself\n"
        "    the round: marsh -> marsh",
    ),
    (
        "number twice",
        "2026-014-ebb.yaml",
        "number: 2026-014\ntitle: Ebb\n",
        "pieces/2026-014-saltmarsh.yaml:1:9: number 2026-014 is given twice\n"
        "    it stands first in pieces/2026-014-ebb.yaml:1; 'provenance start piece' gives the next free number",
    ),
    (
        "lot name twice",
        BATH,
        ("becomes: marsh-green", "becomes: linen-warp"),
        "pieces/2026-014-saltmarsh.yaml:6:22: no lot called 'marsh-green'\n"
        "    known here: gotland-2ply, linen-warp\n"
        "pieces/dyebook/marsh.yaml:3:50: the lot name 'linen-warp' is given twice\n"
        "    it stands first in pieces/studio/yarns.yaml:5; call this one otherwise",
    ),
    (
        "lot twice in one file",
        YARNS,
        ("linen-warp:", "gotland-2ply:"),
        "pieces/2026-014-saltmarsh.yaml:7:22: no lot called 'linen-warp'\n"
        "    known here: gotland-2ply, marsh-green\n"
        "pieces/studio/yarns.yaml:5:1: 'gotland-2ply' is written twice\n"
        "    it stands first in line 1; keep one of the two",
    ),
    (
        "photo up and out",
        PIECE,
        ("front.jpg", "../front.jpg"),
        "pieces/2026-014-saltmarsh.yaml:10:12: '../front.jpg' leads out of the photos folder\n"
        "    put the photo into photos/",
    ),
    (
        "photo from the root",
        PIECE,
        ("front.jpg", "/etc/passwd"),
        "pieces/2026-014-saltmarsh.yaml:10:12: '/etc/passwd' leads out of the photos folder\n"
        "    put the photo into photos/",
    ),
    (
        "photo from a drive",
        PIECE,
        ("front.jpg", "C:\\photos\\front.jpg"),
        "pieces/2026-014-saltmarsh.yaml:10:12: 'C:\\photos\\front.jpg' leads out of the photos folder\n"
        "    put the photo into photos/",
    ),
    (
        "photo device",
        PIECE,
        ("front.jpg", "con.jpg"),
        "pieces/2026-014-saltmarsh.yaml:10:12: 'con.jpg' is a name that Windows keeps for itself\n"
        "    rename the photo",
    ),
    (
        "bath device",
        "dyebook/aux.yaml",
        "dyed: [{yarn: gotland-2ply, weight: 1 g, becomes: grey}]\n",
        "pieces/dyebook/aux.yaml:1:1: 'aux' is a name that Windows keeps for a device: this file could not be there\n"
        "    give it another name, here and in the records that name it",
    ),
    (
        "photo missing",
        PIECE,
        ("front.jpg", "fornt.jpg"),
        "pieces/2026-014-saltmarsh.yaml:10:12: there is no photo 'fornt.jpg'\n"
        "    did you mean 'front.jpg'?",
    ),
    (
        "photo in capitals",
        PIECE,
        ("front.jpg", "Front.JPG"),
        "pieces/2026-014-saltmarsh.yaml:10:12: there is no photo 'Front.JPG'\n"
        "    did you mean 'front.jpg'?",
    ),
    (
        "photo without alt",
        PIECE,
        (', alt: "Tall hanging in olive bands"', ""),
        "pieces/2026-014-saltmarsh.yaml:10:12: the photo 'front.jpg' has no 'alt' text\n"
        '    say what it shows: {file: front.jpg, alt: "Tall hanging in olive"}',
    ),
    (
        "photos as a list",
        PIECE,
        ('  - {file: front.jpg, alt: "Tall hanging in olive bands"}', "  - front.jpg"),
        "pieces/2026-014-saltmarsh.yaml:10:5: the photo 'front.jpg' has no 'alt' text\n"
        '    say what it shows: {file: front.jpg, alt: "Tall hanging in olive"}',
    ),
    (
        "sold and available",
        PIECE,
        ("hours:", "status: available\nsale: {on: 2026-11-02}\nhours:"),
        "pieces/2026-014-saltmarsh.yaml:8:9: remark: "
        "2026-014 has a sale and is still 'available': it counts as sold\n"
        "    write 'status: sold', or take the sale out",
    ),
    (
        "sold before finished",
        PIECE,
        ("hours:", "finished: 2026-11-03\nsale: {on: 2026-11-02}\nhours:"),
        "pieces/2026-014-saltmarsh.yaml:1:9: remark: 2026-014 has no hours for finishing\n"
        "    knotting, washing and pressing take hours too: add 'finishing: 2'\n"
        "pieces/2026-014-saltmarsh.yaml:9:7: remark: 2026-014 was sold before it was finished\n"
        "    look at both dates",
    ),
    (
        "heavier than its yarn",
        PIECE,
        ("hours:", "weight: 700 g\nhours:"),
        "pieces/2026-014-saltmarsh.yaml:8:9: 2026-014 weighs 700 g, more than the 592 g of yarn in it\n"
        "    look at the weights of its yarns, or add what else is in it under 'sundries'",
    ),
    (
        "no studio file",
        STUDIO,
        None,
        "pieces/studio/studio.yaml: there is no studio file\n"
        "    'provenance start studio' writes one",
    ),
    (
        "studio without maker",
        STUDIO,
        ("maker: Isla Wren\n", ""),
        "pieces/studio/studio.yaml:1:1: no 'maker' is given\n    add a line 'maker: ...'",
    ),
    (
        "currency",
        STUDIO,
        ("GBP", "POUND"),
        "pieces/studio/studio.yaml:3:11: currency: 'POUND' is no currency\n"
        "    three letters, such as GBP, EUR, USD",
    ),
    (
        "language",
        STUDIO,
        ("maker:", "language: english\nmaker:"),
        "pieces/studio/studio.yaml:2:11: language: 'english' is not a language\n"
        "    write it as en-GB or en-US",
    ),
    (
        "site",
        STUDIO,
        ("maker:", "site: brackenfold.example\nmaker:"),
        "pieces/studio/studio.yaml:2:7: site: 'brackenfold.example' is not a web address\n"
        "    write it whole: https://brackenfold.example",
    ),
    (
        "public contact",
        STUDIO,
        ("[email]", "[phone]"),
        "pieces/studio/studio.yaml:5:18: 'phone' is public, and not among the contacts\n"
        "    known here: email",
    ),
    (
        "no pay",
        STUDIO,
        ("pay: {any: 18.00}", "pay: {spinning: 18.00}"),
        "pieces/studio/studio.yaml:1:1: remark: no pay is set for weaving: these hours count for nothing\n"
        "    add to the studio file: 'pay: {any: 18.00}'",
    ),
    (
        "no cost",
        FLEECE,
        ("  cost: 66.00\n", ""),
        "pieces/studio/fleece.yaml:1:1: remark: no cost is written for 'gotland-2025': it counts as nothing\n"
        "    add 'cost: 12.50', or 'cost: 0' if it was free",
    ),
    (
        "printed and gone",
        "studio/printed.yaml",
        "- {on: 2026-01-01, paper: tag, number: 2025-001, title: Ebb}\n",
        "pieces/studio/printed.yaml:1:40: 2025-001 'Ebb' was printed and its record is gone\n"
        "    bring the record back; if the piece is no more, write 'status: withdrawn'",
    ),
    (
        "file under another number",
        "2026-015-ebb.yaml",
        "number: 2026-016\ntitle: Ebb\n",
        "pieces/2026-015-ebb.yaml:1:9: remark: the file is called '2026-015-ebb', the piece 2026-016\n"
        "    start the file's name with the number: 2026-016-....yaml",
    ),
    (
        "file called .txt",
        "2026-015-ebb.yaml.txt",
        "number: 2026-015\n",
        "pieces/2026-015-ebb.yaml.txt: remark: this file is not read: its name does not end in .yaml\n"
        "    rename it, if it is a record",
    ),
    (
        "two of one name",
        "2026-014-saltmarsh.yml",
        "number: 2026-015\ntitle: x\n",
        "pieces/2026-014-saltmarsh.yml: there is also '2026-014-saltmarsh.yaml', of the same name\n"
        "    give one of the two another name",
    ),
    (
        "stray file",
        "studio/yarn.yaml",
        "x: {weight: 1 kg}\n",
        "pieces/studio/yarn.yaml: this file in studio/ has no meaning here\n"
        "    did you mean 'yarns'?",
    ),
    (
        "folder misnamed",
        "dye book/x.yaml",
        "date: 2026-01-01\n",
        "pieces/dye book: remark: the records in this folder are not read\n"
        "    did you mean 'dyebook'?",
    ),
    (
        "a bath with nothing in it",
        "dyebook/empty.yaml",
        "date: 2026-03-12\n",
        "pieces/dyebook/empty.yaml:1:1: remark: nothing is dyed in the bath 'empty' yet\n"
        "    add 'dyed:' and a line '- {yarn: NAME, weight: 420 g, becomes: NEW NAME}'",
    ),
    (
        "four sizes",
        COMMISSION,
        "number: 2026-C03\nsizes: [1 x 1 m, 2 x 1 m, 3 x 1 m, 4 x 1 m]\n",
        "pieces/commissions/2026-C03.yaml:1:1: more than three sizes\n"
        "    a quotation sets up to three side by side",
    ),
    (
        "instalments",
        COMMISSION,
        "number: 2026-C03\npay in: [40 %, 40 %]\n",
        "pieces/commissions/2026-C03.yaml:2:1: pay in: the instalments do not add up to 100 %\n"
        "    such as [40 %, 30 %, 30 %]",
    ),
    (
        "a claim",
        PIECE,
        ("hours:", "care: Cool wash, made in Scotland.\nhours:"),
        "pieces/2026-014-saltmarsh.yaml:8:7: remark: 'made in Scotland': the record does not give this place as the origin (15 USC 70b(b)(4), 16 CFR 303.33; elsewhere the law on misleading descriptions)\n"
        "    use the origin of the studio's record",
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


def test_of_very_many_uses_the_first_are_told(studio_with, all_said):
    lots = "".join(f"  - {{yarn: linen-warp, weight: 25 g, becomes: l{n}}}\n" for n in range(60))
    said = all_said(studio_with({"dyebook/flax.yaml": f"dyed:\n{lots}"}))
    assert "'linen-warp' is overdrawn by 680 g" in said
    assert "l39 25 g (pieces/dyebook/flax.yaml:41); ...\n" in f"{said}\n" and "l40" not in said
