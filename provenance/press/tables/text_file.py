"""A table in a text file: which letters, which separator, which rows.

In: bytes. Out: rows, and a sentence on how they were read. Letters: a mark at the start decides;
else UTF-16 shows by its zeros, UTF-8 by being valid; else Windows (cp1252), or old Macs' where only
that gives words. The separator is the one that cuts most rows alike. A first line `sep=;` is the
spreadsheet's own and is not counted.
"""

import codecs
import csv
import io
import re
from collections import Counter
from collections.abc import Iterator

from provenance.problems import Said, Slip
from provenance.records.bring.table import Row, Table

SEPARATORS = {";": "semicolon", "\t": "tab", ",": "comma", "|": "pipe"}
MOST_ROWS, MOST_COLUMNS = 20_000, 200
_TRIED = 200  # rows
_MARKS = (
    (codecs.BOM_UTF8, "utf-8-sig", "UTF-8"),
    (codecs.BOM_UTF32_LE, "utf-32", "UTF-32"),
    (codecs.BOM_UTF32_BE, "utf-32", "UTF-32"),
    (codecs.BOM_UTF16_LE, "utf-16", "UTF-16"),
    (codecs.BOM_UTF16_BE, "utf-16", "UTF-16"),
)
# Letters and signs that words and prices of western Europe are written with.
_USUAL = frozenset("àâäáãåæçéèêëíìîïñóòôöõøœúùûüßÿÀÂÄÁÅÆÇÉÈÊËÍÎÏÑÓÔÖØŒÚÛÜ£€–—‘’“”«»„…°½¼¾×²·•©™")
_INSIDE = re.compile(r"(?<=[a-zß-ÿ])[^\x00-\x7f](?=[a-zß-ÿ])")


def table_from_text(file: str, raw: bytes) -> Table:
    """The table of a text file. Raises Slip for one that can't be read as a table."""
    text, called = _decoded(raw)
    own = re.match(r"sep=(.)\r?\n", text)
    if own:
        text = text[own.end() :]
    separator = own[1] if own else _separator(text, file)
    how = Said("bring.read_text", encoding=called, separator=_named(separator))
    return Table(file, tuple(_rows(text, separator)), how)


def _named(separator: str) -> Said | str:
    return Said(f"bring.{SEPARATORS[separator]}") if separator in SEPARATORS else separator


def _decoded(raw: bytes) -> tuple[str, str]:
    for mark, codec, called in _MARKS:
        if raw.startswith(mark):
            return _sure(raw, codec), called
    if wide := _wide(raw):
        return _sure(raw, wide), "UTF-16"
    try:
        return raw.decode("utf-8"), "UTF-8"
    except UnicodeDecodeError:
        return _narrow(raw)


def _sure(raw: bytes, codec: str) -> str:
    try:
        return raw.decode(codec)
    except UnicodeDecodeError:
        raise Slip(Said("bring.broken_letters"), Said("bring.save_again")) from None


def _wide(raw: bytes) -> str:
    """UTF-16 without a mark: every other byte of plain letters is zero."""
    start = raw[:4000]
    half = len(start) // 2 or 1
    if start[1::2].count(0) * 3 > half:
        return "utf-16-le"
    return "utf-16-be" if start[0::2].count(0) * 3 > half else ""


def _narrow(raw: bytes) -> tuple[str, str]:
    """One byte a letter: Windows, which Latin-1 is a part of, or an old Mac."""
    windows = raw.decode("cp1252", "replace").replace("\ufffd", "\x81")
    mac = raw.decode("mac_roman")
    if _likely(mac) > _likely(windows):
        return mac, "Mac Roman"
    return windows, "Windows-1252"


def _likely(text: str) -> int:
    """How much a text looks written: usual letters for it, others and capitals inside words
    against."""
    signs = Counter(sign for sign in text if ord(sign) > 127 or sign == "\x81")
    usual = sum(count if sign in _USUAL else -2 * count for sign, count in signs.items())
    inside: list[str] = _INSIDE.findall(text)
    return usual - 3 * sum(not sign.isalpha() or sign.isupper() for sign in inside)


def _separator(text: str, file: str) -> str:
    """The sign that cuts most rows into the same number of cells, two at least."""
    scores = {sign: _score(text, sign) for sign in SEPARATORS}
    best = max(scores, key=lambda sign: scores[sign])
    if not scores[best][1]:
        raise Slip(Said("bring.one_column", file=file), Said("bring.save_as_csv"))
    return best


def _score(text: str, sign: str) -> tuple[float, int]:
    """How alike the rows are, then how many columns they have; nothing for a single column."""
    widths = []
    for cells in _cut(text, sign):
        filled = max((at + 1 for at, cell in enumerate(cells) if cell.strip()), default=0)
        if filled:
            widths.append(len(cells))
        if len(widths) >= _TRIED:
            break
    usual, count = Counter(widths).most_common(1)[0] if widths else (1, 0)
    return (round(count / len(widths), 1), usual) if usual > 1 else (0.0, 0)


def _cut(text: str, separator: str) -> Iterator[list[str]]:
    csv.field_size_limit(1_000_000)
    reader = csv.reader(io.StringIO(text, newline=""), delimiter=separator)
    try:
        yield from reader
    except csv.Error:
        raise Slip(Said("bring.open_quote"), Said("bring.close_quote")) from None


def _rows(text: str, separator: str) -> Iterator[Row]:
    """Rows as the spreadsheet counts them, empty ones left out."""
    last = 0
    for number, cells in enumerate(_cut(text, separator), 1):
        if any(cell.strip() for cell in cells):
            last += 1
            _bounded(last, len(cells))
            yield Row(number, tuple(cell if cell.strip() else "" for cell in cells), {})
    _closed(text, separator, last)


def _bounded(rows: int, columns: int) -> None:
    if rows > MOST_ROWS or columns > MOST_COLUMNS:
        most = {"rows": str(MOST_ROWS), "columns": str(MOST_COLUMNS)}
        raise Slip(Said("bring.too_large", **most), Said("bring.in_parts"))


def _closed(text: str, separator: str, rows: int) -> None:
    """A quotation mark that is never closed swallows all rows below it."""
    try:
        for _ in csv.reader(io.StringIO(text, newline=""), delimiter=separator, strict=True):
            pass
    except csv.Error as error:
        if "unexpected end" in str(error):
            raise Slip(Said("bring.open_quote_in", row=rows), Said("bring.close_quote")) from None
