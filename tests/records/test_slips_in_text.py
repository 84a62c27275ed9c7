"""Slips that keep a file from being read: the message, its place and its remedy, word for word.

Each slip is one change to the small studio of `conftest.py`: words for other words in a
file, a whole file, or a file left out.
"""

# Messages are whole lines, as they are printed.
# ruff: noqa: E501

from __future__ import annotations

import pytest

PIECE = "2026-014-saltmarsh.yaml"
STUDIO = "studio/studio.yaml"
# Ten things, ten times over, nine times: a billion values out of twelve lines.
_BOMB = "a: &a [x, x, x, x, x, x, x, x, x, x]\n" + "".join(
    f"{word}: &{word} [{', '.join([f'*{before}'] * 10)}]\n"
    for before, word in zip("abcdefgh", "bcdefghi", strict=True)
)

SLIPS = [
    (
        "word twice",
        PIECE,
        ("kind: hanging", "kind: hanging\ntitle: Ebb"),
        "pieces/2026-014-saltmarsh.yaml:4:1: 'title' is written twice\n"
        "    it stands first in line 2; keep one of the two",
    ),
    (
        "unknown word",
        PIECE,
        ("title:", "titel:"),
        "pieces/2026-014-saltmarsh.yaml:1:1: no 'title' is given\n"
        "    add a line 'title: ...'\n"
        "pieces/2026-014-saltmarsh.yaml:2:1: unknown word 'titel'\n"
        "    did you mean 'title'?",
    ),
    (
        "unknown word in a yarn",
        PIECE,
        ("use: weft", "us: weft"),
        "pieces/2026-014-saltmarsh.yaml:6:6: unknown word 'us'\n    did you mean 'use'?",
    ),
    (
        "unknown word, nothing near",
        PIECE,
        ("kind: hanging", "kind: hanging\nqqq: 1"),
        "pieces/2026-014-saltmarsh.yaml:4:1: unknown word 'qqq'\n"
        "    known here: number, title, kind, structure, finished, earlier, made of, size, weight, signed, edition, makes, yarns, order, sundries, parts, hours, shared, sett, woven, hook, price, price on site, at, status, sale, sales, history, photos, story, care, subject, distinguishing, notes, kept, known, hours on certificate, withdrawn",
    ),
    (
        "underscore",
        STUDIO,
        ("public contact", "public_contact"),
        "pieces/studio/studio.yaml:5:1: unknown word 'public_contact'\n"
        "    did you mean 'public contact'?",
    ),
    (
        "tab",
        PIECE,
        ("yarns:\n  -", "yarns:\n\t-"),
        "pieces/2026-014-saltmarsh.yaml:6:1: a tab at the start of a line\n"
        "    use spaces to indent, two for each level",
    ),
    (
        "unclosed quote",
        PIECE,
        ("title: Saltmarsh", 'title: "Saltmarsh'),
        "pieces/2026-014-saltmarsh.yaml:2:8: a quote is opened and never closed\n"
        "    close the quote",
    ),
    (
        "unclosed brace",
        PIECE,
        ("weight: 412 g}", "weight: 412 g"),
        "pieces/2026-014-saltmarsh.yaml:6:5: the brace '{' opened here is not closed\n"
        "    close it: '}'",
    ),
    (
        "a colon inside a value",
        PIECE,
        ("weight: 412 g}", "weight: 412 g, notes: Läufer: rot}"),
        "pieces/2026-014-saltmarsh.yaml:6:63: a colon inside a value\n"
        '    put the value in quotes: "Läufer: rot"',
    ),
    (
        "a comma forgotten",
        PIECE,
        ("use: weft, lot", "use: weft lot"),
        "pieces/2026-014-saltmarsh.yaml:6:19: a colon inside a value\n"
        '    put the value in quotes: "weft lot: marsh-green"; '
        "or a comma before 'lot', if a new word begins there",
    ),
    (
        "quotes inside quotes",
        PIECE,
        ("weight: 412 g}", 'weight: 412 g, notes: "a "red" one"}'),
        "pieces/2026-014-saltmarsh.yaml:6:61: text goes on after its closing quote\n"
        "    put the whole text in double quotes, with single ones inside: \"a 'red' runner\"",
    ),
    (
        "a quote closed by the next line's",
        PIECE,
        ("weight: 412 g}", 'weight: 412 g, notes: "red}\n  - {use: warp, notes: "blue"}'),
        "pieces/2026-014-saltmarsh.yaml:6:57: a quote is opened and never closed\n"
        "    close the quote",
    ),
    (
        "unclosed bracket",
        STUDIO,
        ("[email]", "[email"),
        "pieces/studio/studio.yaml:5:17: the bracket '[' opened here is not closed\n"
        "    close it: ']'",
    ),
    (
        "two colons",
        PIECE,
        ("title: Saltmarsh", "title: Salt: marsh"),
        "pieces/2026-014-saltmarsh.yaml:2:12: a second colon in one line\n"
        "    put text that holds braces, brackets or a colon in quotes",
    ),
    (
        "no space after colon",
        PIECE,
        ("title: Saltmarsh", "title:Saltmarsh"),
        "pieces/2026-014-saltmarsh.yaml:2:6: a colon without a space after it\n"
        "    write 'word: value'",
    ),
    (
        "indented too far",
        PIECE,
        ("kind: hanging", "  kind: hanging"),
        "pieces/2026-014-saltmarsh.yaml:3:7: this line does not follow from the line above\n"
        "    start it in the same column as the words above; the line above ends in ':' or has a value",
    ),
    (
        "apostrophe in quotes",
        PIECE,
        ("title: Saltmarsh", "title: 'Isla's marsh'"),
        "pieces/2026-014-saltmarsh.yaml:2:14: text goes on after its closing quote\n"
        '    put the whole text in double quotes: "Isla\'s shawl"',
    ),
    (
        "star",
        PIECE,
        ("title: Saltmarsh", "title: *new* Saltmarsh"),
        "pieces/2026-014-saltmarsh.yaml:2:8: '*' or '&' starts a reference\n"
        "    put the text in quotes",
    ),
    (
        "exclamation",
        PIECE,
        ("title: Saltmarsh", "title: !Saltmarsh"),
        "pieces/2026-014-saltmarsh.yaml:2:8: '!' starts a tag\n    put the text in quotes",
    ),
    (
        "percent sign first",
        PIECE,
        ("title: Saltmarsh", "title: % of it"),
        "pieces/2026-014-saltmarsh.yaml:2:8: a sign that cannot start plain text\n"
        "    put the text in quotes",
    ),
    (
        "at sign",
        PIECE,
        ("title: Saltmarsh", "title: @Saltmarsh"),
        "pieces/2026-014-saltmarsh.yaml:2:8: a sign that cannot start plain text\n"
        "    put the text in quotes",
    ),
    (
        "tight colon",
        PIECE,
        ("kind: hanging", "kind:hanging"),
        "pieces/2026-014-saltmarsh.yaml:3:5: a colon without a space after it\n"
        "    write 'word: value'",
    ),
    (
        "backslash",
        PIECE,
        ("title: Saltmarsh", 'title: "C:\\pieces"'),
        "pieces/2026-014-saltmarsh.yaml:2:11: '\\' in double quotes starts a special sign\n"
        "    use single quotes, or write '\\\\' for one '\\'",
    ),
    (
        "number lost to a note",
        PIECE,
        ("title: Saltmarsh", "title: Saltmarsh #3"),
        "pieces/2026-014-saltmarsh.yaml:2:8: remark: '#3' is read as a note, not as part of 'Saltmarsh'\n"
        "    write \"Saltmarsh #3\" in quotes, or a space after '#'",
    ),
    (
        "alias bomb",
        PIECE,
        _BOMB,
        "pieces/2026-014-saltmarsh.yaml:5:8: this file unfolds into too many values\n"
        "    write the record out plainly, without references inside references",
    ),
    (
        "merge key to nowhere",
        PIECE,
        ("kind: hanging", "<<: *usual\nkind: hanging"),
        "pieces/2026-014-saltmarsh.yaml:3:5: '*usual' refers to nothing written above\n"
        "    a reference must stand after the thing it names, and not inside it",
    ),
    (
        "merge key to text",
        PIECE,
        ("kind: hanging", "<<: usual\nkind: hanging"),
        "pieces/2026-014-saltmarsh.yaml:3:1: '<<' must name a mapping written above\n"
        "    write the words out",
    ),
    (
        "round in a list",
        PIECE,
        ("hours: {weaving: 61}", "hours: &h {weaving: *h}"),
        "pieces/2026-014-saltmarsh.yaml:8:21: '*h' refers to nothing written above\n"
        "    a reference must stand after the thing it names, and not inside it",
    ),
    (
        "51 MB",
        PIECE,
        " " * 51_000_000,
        "pieces/2026-014-saltmarsh.yaml: this file is 51.0 MB: too large for a record\n"
        "    2 MB at most; photos go into photos/",
    ),
    (
        "hardly more than 2 MB",
        PIECE,
        " " * 2_000_001,
        "pieces/2026-014-saltmarsh.yaml: this file is 2.1 MB: too large for a record\n"
        "    2 MB at most; photos go into photos/",
    ),
    (
        "zero bytes",
        PIECE,
        b"\0" * 700,
        "pieces/2026-014-saltmarsh.yaml:1:1: this file holds zero bytes alone, as after a power cut\n"
        "    put it back from a copy",
    ),
    (
        "deep brackets",
        PIECE,
        "[" * 100_000,
        "pieces/2026-014-saltmarsh.yaml:1:1001: nested too deeply\n"
        "    a record needs only a few levels",
    ),
    (
        "deep braces",
        PIECE,
        "{a: " * 100_000,
        "pieces/2026-014-saltmarsh.yaml:1:98: nested too deeply\n"
        "    a record needs only a few levels",
    ),
    (
        "deep dashes",
        PIECE,
        "- " * 100_000,
        "pieces/2026-014-saltmarsh.yaml:1:51: nested too deeply\n"
        "    a record needs only a few levels",
    ),
    (
        "not UTF-8",
        PIECE,
        b"number: 2026-014\ntitle: Caf\xe9\n",
        "pieces/2026-014-saltmarsh.yaml:2:11: this is not UTF-8 text\n"
        "    save the file as UTF-8 in your editor",
    ),
    (
        "UTF-16",
        PIECE,
        "number: 2026-014\n".encode("utf-16"),
        "pieces/2026-014-saltmarsh.yaml:1:1: this is UTF-16 text\n"
        "    save the file as UTF-8 in your editor",
    ),
    (
        "UTF-16 without mark",
        PIECE,
        "number: 2026-014\n".encode("utf-16-le"),
        "pieces/2026-014-saltmarsh.yaml:1:1: this is UTF-16 text\n"
        "    save the file as UTF-8 in your editor",
    ),
    (
        "NUL",
        PIECE,
        ("Saltmarsh", "Salt\u0000marsh"),
        "pieces/2026-014-saltmarsh.yaml:2:12: an invisible control character\n"
        "    delete it and type the text again",
    ),
    (
        "NUL by escape",
        PIECE,
        ("title: Saltmarsh", 'title: "Salt\\0marsh"'),
        "pieces/2026-014-saltmarsh.yaml:2:8: an invisible control character\n"
        "    take the '\\' sign and it out",
    ),
    (
        "program word by escape",
        PIECE,
        ("kind: hanging", 'kind: hanging\n"\\0place": x'),
        "pieces/2026-014-saltmarsh.yaml:4:1: an invisible control character\n"
        "    take the '\\' sign and it out",
    ),
    (
        "empty file",
        PIECE,
        "",
        "pieces/2026-014-saltmarsh.yaml:1:1: nothing is written in this file\n"
        "    fill it, or take it away",
    ),
    (
        "only notes",
        PIECE,
        "# a piece\n# to come\n",
        "pieces/2026-014-saltmarsh.yaml:1:1: nothing is written in this file\n"
        "    fill it, or take it away",
    ),
    (
        "a list",
        PIECE,
        "- number: 2026-014\n",
        "pieces/2026-014-saltmarsh.yaml:1:1: a record is lines of 'word: value'\n"
        "    such as 'number: 2026-001'",
    ),
    (
        "a word alone",
        PIECE,
        "Saltmarsh\n",
        "pieces/2026-014-saltmarsh.yaml:1:1: a record is lines of 'word: value'\n"
        "    such as 'number: 2026-001'",
    ),
    (
        "two records",
        PIECE,
        ("title: Saltmarsh\n", "title: Saltmarsh\n---\n"),
        "pieces/2026-014-saltmarsh.yaml:3:1: a second record starts here with '---'\n"
        "    one record per file",
    ),
    (
        "huge number",
        PIECE,
        ("412 g", "9" * 5000 + " g"),
        "pieces/2026-014-saltmarsh.yaml:6:43: weight: a number of more than 12 digits\n"
        "    no studio weighs or earns so much",
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
