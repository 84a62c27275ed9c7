"""What keeps a file from being read at all, said in plain words.

In: bytes, or the parser's complaint. Out: text with one kind of line end, or a problem at the line
and column where the eye should look first.
"""

from __future__ import annotations

import re
from typing import Any

import yaml

from provenance.problems import Place, Problems

MOST_BYTES = 2_000_000
CONTROL = re.compile(r"[\x00-\x08\x0b\x0c\x0e-\x1f\x7f-\x9f\u2028\u2029\ud800-\udfff\ufffe\uffff]")
_INDENT_TAB = re.compile(r"^[ ]*\t", re.MULTILINE)
_BAD_SIGNS = (
    (_INDENT_TAB, "a tab at the start of a line", "use spaces to indent, two for each level"),
    (CONTROL, "an invisible control character", "delete it and type the text again"),
)
_AS_UTF8 = "save the file as UTF-8 in your editor"
_WIDE = (b"\xff\xfe", b"\xfe\xff")


def decode(raw: bytes, file: str, problems: Problems) -> str | None:
    """The bytes as text, or None with a problem."""
    try:
        text = raw.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        before = raw[: error.start].replace(b"\r\n", b"\n")
        column = len(before) - before.rfind(b"\n")
        place = Place(file, before.count(b"\n") + 1, column)
        kind = "UTF-16" if raw.startswith(_WIDE) else "not UTF-8"
        problems.add(place, f"this is {kind} text", _AS_UTF8)
        return None
    if "\0" in text[:2]:
        problems.add(Place(file, 1, 1), "this is UTF-16 text", _AS_UTF8)
        return None
    text = text.replace("\r\n", "\n").replace("\r", "\n")
    for pattern, what, remedy in _BAD_SIGNS:
        if found := pattern.search(text):
            last = found.end() - 1
            line = text.count("\n", 0, last) + 1
            problems.add(Place(file, line, last - text.rfind("\n", 0, last)), what, remedy)
            return None
    return text


def tell_too_large(size: int, file: str, problems: Problems) -> None:
    """A file that no maker typed is not opened."""
    what = f"this file is {size / 1_000_000:.1f} MB: too large for a record"
    problems.add(Place(file), what, "2 MB at most; photos go into photos/")


_INSIDE = "put text that holds braces, brackets or a colon in quotes"
_SPECIAL = "use single quotes, or write '\\\\' for one '\\'"
_REFERENCE = ("'*' or '&' starts a reference", "put the text in quotes")
_TAG = ("'!' starts a tag", "put the text in quotes")
_SECOND = ("a second record starts here", "one record per file")

# What the parser says, what we say, and whether the eye should go to the start of the thing.
_TRADE_WORDS: tuple[tuple[str, tuple[str, str], bool], ...] = (
    ("found character '\\t'", ("a tab where a space is wanted", "use spaces, never tabs"), False),
    ("cannot start any", ("a sign that cannot start plain text", "put the text in quotes"), False),
    ("unexpected end of stream", ("a quote is opened and never closed", "close the quote"), True),
    ("unexpected document indicator", ("a quote is opened and never closed", "close it"), True),
    ("expected ',' or '}'", ("the brace '{' opened here is not closed", "close it: '}'"), True),
    ("expected ',' or ']'", ("the bracket '[' opened here is not closed", "close it: ']'"), True),
    ("expected key", ("this line does not fit the lines above", "align its start"), False),
    ("expected '-'", ("this line does not fit the list above", "align the dashes"), False),
    ("could not find expected ':'", ("a word without its colon", "write 'word: value'"), False),
    ("expected alphabetic", _REFERENCE, True),
    ("undefined alias", ("a reference to nothing", "write the value out"), False),
    ("block sequence", ("a dash where none is expected", "start the list on a new line"), False),
    ("expected node", ("a value is missing here", "write the value, or quote it"), False),
    ("expected comment or line", ("after '|' or '>' the text starts on the next line",
                                  "or put the text in quotes"), True),
    ("maximum nesting depth", ("nested too deeply", "a record needs only a few levels"), False),
    ("unknown escape", ("'\\' in double quotes starts a special sign", _SPECIAL), False),
    ("expected hexdecimal", ("'\\' in double quotes starts a special sign", _SPECIAL), False),
    ("character escape code", ("'\\' in double quotes starts a special sign", _SPECIAL), False),
    ("expected <document start>", _SECOND, False),
    ("incompatible YAML", ("this line with '%' is not understood", "take the line out"), False),
    ("%YAML directive", ("this line with '%' is not understood", "take the line out"), False),
    ("directive", ("this line with '%' is not understood", "take the line out"), False),
    ("tag", _TAG, True),
    ("unexpected ':'", ("a colon without a space after it", "write 'word: value'"), False),
    ("could not determine", ("this sign cannot stand here", "put the text in quotes"), False),
    ("indentation indicator", ("after '|' or '>' the text starts on the next line",
                               "or put the text in quotes"), True),
    ("control characters", ("an invisible control character", "delete it"), False),
)  # fmt: skip


def tell_fault(error: yaml.YAMLError, text: str, file: str, problems: Problems) -> None:
    """The parser's complaint as a problem."""
    mark = getattr(error, "problem_mark", None) or getattr(error, "context_mark", None)
    start = getattr(error, "context_mark", None) or mark
    said = f"{getattr(error, 'context', '') or ''} {getattr(error, 'problem', '') or error}"
    lines = text.split("\n")
    is_colon = "mapping values are not allowed" in said
    if (is_colon or "expected ':'" in said) and (tight := _tight_colon(lines, mark, file)):
        problems.add(tight, "a colon without a space after it", "write 'word: value'")
        return
    if is_colon:
        what, remedy = _stray_colon(lines, mark)
    elif "expected key" in said and (quote := _last_sign(lines, mark)) in ("'", '"'):
        if opened := _opened_above(lines, mark, quote, file):
            problems.add(opened, "a quote is opened and never closed", "close the quote")
            return
        what = "text goes on after its closing quote"
        remedy = 'put the whole text in double quotes: "Isla\'s shawl"'
    else:
        found = (row for row in _TRADE_WORDS if row[0] in said)
        fallback = ("this line cannot be read as a record", f"({said.strip()})")
        _, (what, remedy), is_start = next(found, ("", fallback, False))
        mark = start if is_start else mark
    if "flow" in said and (colour := _unquoted_colour(lines, mark, file)):
        problems.add(colour, "'#' starts a note unless quoted", 'write the colour as "#6f7a38"')
        return
    problems.add(_place(mark, lines, file), what, remedy)


def _place(mark: Any, lines: list[str], file: str) -> Place:
    if mark is None:
        return Place(file, 1, 1)
    return Place(file, min(mark.line + 1, len(lines)), mark.column + 1)


def _stray_colon(lines: list[str], mark: Any) -> tuple[str, str]:
    before = lines[mark.line][: mark.column] if mark.line < len(lines) else ""
    if ": " in before or '"' in before or "'" in before:
        return "a second colon in one line", _INSIDE
    return (
        "this line does not follow from the line above",
        "start it in the same column as the words above; the line above ends in ':' or has a value",
    )


def _tight_colon(lines: list[str], mark: Any, file: str) -> Place | None:
    """`title:Saltmarsh` on the line above makes the parser stumble on the next."""
    line = mark.line - 1
    if 0 <= line < len(lines) and (found := _TIGHT_COLON.match(lines[line])):
        return Place(file, line + 1, found.end())
    return None


def _last_sign(lines: list[str], mark: Any) -> str:
    before = lines[mark.line][: mark.column] if mark.line < len(lines) else ""
    return before.rstrip()[-1:]


def _opened_above(lines: list[str], mark: Any, quote: str, file: str) -> Place | None:
    """Where a quote was opened whose end is the start of another, lines below."""
    if lines[mark.line][: mark.column].count(quote) % 2 == 0:
        return None
    for line in range(mark.line - 1, -1, -1):
        if lines[line].count(quote) % 2:
            return Place(file, line + 1, lines[line].index(quote) + 1)
    return None


def _unquoted_colour(lines: list[str], mark: Any, file: str) -> Place | None:
    """The last `near: #8a2f2a` at or above the fault: the note it starts swallows the brace."""
    for line in range(min(mark.line, len(lines) - 1), max(mark.line - 3, -1), -1):
        found = _HASH_COLOUR.search(lines[line])
        if found and ("{" in lines[line] or "[" in lines[line]):
            return Place(file, line + 1, found.start(1) + 1)
    return None


_HASH_COLOUR = re.compile(r": +(#[0-9A-Fa-f]{3,6}\b)")
_TIGHT_COLON = re.compile(r"[ -]*[A-Za-z][A-Za-z ]{0,40}:(?=[^\s:/])")
