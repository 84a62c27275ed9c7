"""What keeps a file from being read at all, said in plain words.

In: bytes, or the parser's complaint. Out: text with one kind of line end, or a problem at the line
and column where the eye should look first.
"""

import re
from typing import Any

import yaml

from provenance.problems import Place, Problems, Said
from provenance.reference.signs import code, first_unseen

MOST_BYTES = 2_000_000
CONTROL = re.compile(r"[\x00-\x08\x0b\x0c\x0e-\x1f\x7f-\x9f\u2028\u2029\ud800-\udfff\ufffe\uffff]")
_TAB = re.compile(r"^[ ]*\t", re.MULTILINE)
_KEPT = "studio/printed.yaml"
_WIDE = (b"\xff\xfe", b"\xfe\xff")


def decode(raw: bytes, file: str, problems: Problems) -> str | None:
    """The bytes of a record as text, or None with a problem."""
    text = as_text(raw, file, problems)
    if text is not None and (found := _TAB.search(text)):
        place = _placed(text, found.end() - 1, file)
        problems.add(place, Said("line.tab"), Said("line.indent"))
        return None
    return text


def as_text(raw: bytes, file: str, problems: Problems) -> str | None:
    """The bytes as text that can be seen whole, or None with a problem."""
    if raw and not raw.strip(b"\0"):
        problems.add(Place(file, 1, 1), Said("file.zeros"), Said("file.from_copy"))
        return None
    try:
        text = raw.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        before = raw[: error.start].replace(b"\r\n", b"\n")
        place = Place(file, before.count(b"\n") + 1, len(before) - before.rfind(b"\n"))
        kind = "file.utf16" if raw.startswith(_WIDE) else "file.not_utf8"
        problems.add(place, Said(kind), Said("file.as_utf8"))
        return None
    if "\0" in text[:2]:
        problems.add(Place(file, 1, 1), Said("file.utf16"), Said("file.as_utf8"))
        return None
    text = text.replace("\r\n", "\n").replace("\r", "\n")
    if (unseen := unseen_in(text, file)) is not None:
        problems.add(
            _placed(text, unseen, file), unseen_told(text[unseen]), Said("line.type_again")
        )
        return None
    return text


def unseen_in(text: str, file: str) -> int | None:
    """Where the first sign stands that nobody sees; what was printed once is read in spite of it,
    unless it is a control character."""
    if file.endswith(_KEPT):
        found = CONTROL.search(text)
        return found.start() if found else None
    return first_unseen(text)


def unseen_told(sign: str) -> Said:
    """What a sign is called that nobody sees."""
    return Said("line.control") if CONTROL.match(sign) else Said("line.unseen", code=code(sign))


def _placed(text: str, index: int, file: str) -> Place:
    line = text.count("\n", 0, index) + 1
    return Place(file, line, index - text.rfind("\n", 0, index))


# What the parser says, what we say and its remedy (under [line] in `language/`), and whether the
# eye should go to the start of the thing.
_TRADE_WORDS = (
    ("found character '\\t'", "tab_inside", "never_tabs", False),
    ("cannot start any", "sign", "quote", False),
    ("unexpected end of stream", "open_quote", "close_quote", True),
    ("unexpected document indicator", "open_quote", "close_it", True),
    ("expected ',' or '}'", "open_brace", "close_brace", True),
    ("expected ',' or ']'", "open_bracket", "close_bracket", True),
    ("expected key", "misfit", "align", False),
    ("expected '-'", "misfit_list", "align_dashes", False),
    ("could not find expected ':'", "no_colon", "word_value", False),
    ("expected alphabetic", "reference", "quote", True),
    ("undefined alias", "to_nothing", "write_out", False),
    ("block sequence", "dash", "list_below", False),
    ("expected node", "no_value", "write_value", False),
    ("expected comment or line", "block", "or_quote", True),
    ("maximum nesting depth", "deep", "few_levels", False),
    ("unknown escape", "escape", "single_quotes", False),
    ("expected hexdecimal", "escape", "single_quotes", False),
    ("character escape code", "escape", "single_quotes", False),
    ("expected <document start>", "second", "one_record", False),
    ("incompatible YAML", "percent", "take_out", False),
    ("directive", "percent", "take_out", False),
    ("tag", "tag", "quote", True),
    ("unexpected ':'", "tight_colon", "word_value", False),
    ("could not determine", "sign_here", "quote", False),
    ("indentation indicator", "block", "or_quote", True),
    ("control characters", "control", "delete", False),
)


def tell_fault(error: yaml.YAMLError, text: str, file: str, problems: Problems) -> None:
    """The parser's complaint as a problem."""
    mark = getattr(error, "problem_mark", None) or getattr(error, "context_mark", None)
    start = getattr(error, "context_mark", None) or mark
    said = f"{getattr(error, 'context', '') or ''} {getattr(error, 'problem', '') or error}"
    lines = text.split("\n")
    before = lines[mark.line][: mark.column] if mark and mark.line < len(lines) else ""
    if "expected ',' or" in said and (value := _value_with_colon(lines, mark)):
        is_long = " " in value.split(":")[0]
        key = "line.quote_or_comma" if is_long else "line.quote_value"
        told = Said(key, value=value, word=before.split()[-1])
        problems.add(_place(mark, lines, file), Said("line.colon_inside"), told)
        return
    is_colon = "mapping values are not allowed" in said
    place = None
    if (is_colon or "expected ':'" in said) and (place := _tight_colon(lines, mark, file)):
        what, remedy = "tight_colon", "word_value"
    elif is_colon:
        what, remedy = "follows_not", "same_column"
        if any(sign in before for sign in (": ", '"', "'")):
            what, remedy = "second_colon", "quote_signs"
    elif _is_after_text(said) and (quote := before.rstrip()[-1:]) in ("'", '"'):
        place = _opened_above(lines, mark, quote, file)
        around = "double_quotes" if quote == "'" else "inner_quotes"
        what, remedy = ("open_quote", "close_quote") if place else ("goes_on", around)
    else:
        unread = ("", "unread", "", False)
        _, what, remedy, is_start = next((row for row in _TRADE_WORDS if row[0] in said), unread)
        mark = start if is_start else mark
    if not place and "flow" in said and (place := _unquoted_colour(lines, mark, file)):
        what, remedy = "note", "quote_colour"
    told = _said(remedy) if remedy else Said("line.parser", said=said.strip())
    problems.add(place or _place(mark, lines, file), _said(what), told)


def _is_after_text(said: str) -> bool:
    """Whether something came where a text had ended already."""
    return "expected key" in said or "expected ',' or" in said


def _value_with_colon(lines: list[str], mark: Any) -> str:
    """The value of `{alt: Runner: red}` at whose second colon the parser stumbles; else nothing."""
    line = lines[mark.line] if mark.line < len(lines) else ""
    before, after = line[: mark.column], line[mark.column :]
    value = re.split(r"[,{\[]", before)[-1].partition(": ")[2].strip()
    is_plain = value and after.startswith(":") and not value.startswith(("'", '"'))
    return value + re.split(r"[,}\]]", after)[0].rstrip() if is_plain else ""


def _said(key: str) -> Said:
    sign = {"open_brace": "{", "close_brace": "}"}.get(key)
    return Said(f"line.{key}", sign=sign) if sign else Said(f"line.{key}")


def _place(mark: Any, lines: list[str], file: str) -> Place:
    if mark is None:
        return Place(file, 1, 1)
    return Place(file, min(mark.line + 1, len(lines)), mark.column + 1)


def _tight_colon(lines: list[str], mark: Any, file: str) -> Place | None:
    """`title:Saltmarsh` on the line above makes the parser stumble on the next."""
    line = mark.line - 1
    if 0 <= line < len(lines) and (found := _TIGHT_COLON.match(lines[line])):
        return Place(file, line + 1, found.end())
    return None


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
