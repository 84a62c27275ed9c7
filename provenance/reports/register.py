"""The register: every piece on a line, for a spreadsheet, as `bring` reads it again.

In: the studio. Out: a `Report` whose rows are the pieces in the order of their numbers. For the
maker: buyers, what they paid and where pieces are kept are in it. Numbers never end in three
decimals, which a reader might take for thousands.
"""

from collections.abc import Callable, Mapping
from fractions import Fraction

from provenance.figures.working import plain
from provenance.problems import Said, Slip
from provenance.records.bring.same import TAKEN
from provenance.records.bring.values import READERS, Ways
from provenance.records.bring.values import Column as Meant
from provenance.records.numbers import Habits
from provenance.records.pieces import Piece
from provenance.reports.report import Column, Report, Table, rows
from provenance.studio import Studio

WORDS = ("number", "title", "earlier", "kind", "structure", "finished", "size", "weight", "made of",
         "signed", "edition", "hours", "price", "status", "where", "kept", "sold on", "sold for",
         "sold at", "to", "consent", "buyer", "email", "story", "notes")  # fmt: skip
_PLACES = 12
Told = Callable[[Piece, Ways], str]


def register(studio: Studio) -> Report:
    """Every piece of the studio."""
    habits = Habits(studio.file.decimal_comma, str(studio.file.currency))
    ways = Ways(habits, studio.today, {})
    pieces = [piece for _, piece in sorted(studio.book.pieces.items())]
    columns = tuple(Column(Said(f"bring_word.{word.replace(' ', '_')}")) for word in WORDS)
    table = Table(columns, rows(*([_cell(word, each, ways) for word in WORDS] for each in pieces)))
    return Report((table,), rows=lambda: table)


def _cell(word: str, piece: Piece, ways: Ways) -> str:
    if told := _TOLD.get(word):
        return told(piece, ways)
    value = TAKEN[word](piece)
    if isinstance(value, bool):
        return "yes" if value else ""
    return str(value or "")


def _clear(value: Fraction, ways: Ways) -> str:
    """A number that can be read in one way only."""
    text = plain(value, _PLACES)
    text = f"{text}0" if len(text.partition(".")[2]) == 3 else text
    return text.replace(".", ",") if ways.habits.decimal_comma else text


def _money(value: Fraction | None, ways: Ways) -> str:
    return _clear(value, ways) if value is not None else ""


def _as_written(word: str, written: str, safe: str, ways: Ways) -> str:
    """A quantity as its maker wrote it where `bring` reads the same again, else `safe`."""
    try:
        same = READERS[word](written, Meant(0, ""), ways)
    except Slip:
        return safe
    return written if same.split() == written.split() else safe


def _size(piece: Piece, ways: Ways) -> str:
    if piece.size is None:
        return ""
    safe = f"{' x '.join(_clear(side, ways) for side in piece.size.sides)} cm"
    return _as_written("size", " ".join(piece.size.written.split()), safe, ways)


def _weight(piece: Piece, ways: Ways) -> str:
    if piece.weight is None:
        return ""
    return _as_written("weight", piece.weight.written, f"{_clear(piece.weight, ways)} g", ways)


def _status(piece: Piece, _ways: Ways) -> str:
    status = piece.status
    if status is None:
        return ""
    until = f" until {status.until}" if status.until else ""
    return f"{status.state}{until} {status.commission}".strip()


def _hours(piece: Piece, ways: Ways) -> str:
    hours = TAKEN["hours"](piece)
    return _clear(hours, ways) if hours else ""


_TOLD: Mapping[str, Told] = {
    "number": lambda piece, _: str(piece.number),
    "earlier": lambda piece, _: "yes" if piece.earlier else "no",
    "size": _size,
    "weight": _weight,
    "hours": _hours,
    "price": lambda piece, ways: _money(piece.price, ways),
    "status": _status,
    "where": lambda piece, _: str(piece.at or ""),
    "sold for": lambda piece, ways: _money(piece.sale.price if piece.sale else None, ways),
}
