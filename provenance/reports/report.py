"""A report: what a command has worked out, before it is written anywhere.

In: words, figures and ready numbers, put together by one module a report (`cost`, `stock`, ...).
Out: one `Report`, and four writers for it in `writers/`: terminal, paper, JSON, CSV. Nothing here
knows a language or a page: sentences are `Said`, names are the maker's own words, and numbers are
ready text as records have them (1450.00: decimals, no sign, no groups), alike in every writer.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from fractions import Fraction
from typing import Any, Literal

from provenance.figures.working import Figure, half_up, plain
from provenance.problems import Said, Words

ON_PAPER = 10_000  # the `least` width of a column that no terminal has room for
Style = Literal["", "bold", "dim"]
Writer = Literal["terminal", "paper"]


@dataclass(frozen=True, slots=True)
class Cell:
    """A cell that is more than its text.

    `aside` stands quietly beside it (in brackets in the terminal). The `name` of a lot or outlet
    stays as records have it, and is spoken on paper: harbour-gallery, Harbour gallery. A `photo`
    is a file below photos/, shown on paper. `colours` stand side by side, as #rrggbb.
    """

    words: Words = ""
    aside: Words = ""
    kind: Literal["words", "name", "photo"] = "words"
    colours: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Column:
    """A column of words or of numbers.

    Terminals below `least` columns leave it out; paper and CSV have it always. The first column
    takes what room is left, unless another one `grows` (the last that does); `whole` keeps words
    on one line.
    """

    heading: Words = ""
    kind: Literal["words", "numbers"] = "words"
    least: int = 0
    grows: bool = False
    whole: bool = False


@dataclass(frozen=True, slots=True)
class Row:
    """Cells from the left, fewer than columns where the rest is empty.

    A sum stands under a rule; `depth` sets the first cell in. `only` names the one writer that
    shows it, here as with notes and tables.
    """

    cells: tuple[Words | Cell, ...]
    style: Style = ""
    is_sum: bool = False
    depth: int = 0
    only: Writer | None = None

    @property
    def full(self) -> tuple[Cell, ...]:
        """Every cell as one, also those that are words alone."""
        return tuple(each if isinstance(each, Cell) else Cell(each) for each in self.cells)


@dataclass(frozen=True, slots=True)
class Note:
    """A sentence or more; `is_apart` after an empty line, `is_set_in` as below a table.

    `colours`, as #rrggbb, stand before it, and before those a word or two that `lead` to them.
    """

    words: Words
    style: Style = ""
    is_apart: bool = False
    is_set_in: bool = True
    colours: tuple[str, ...] = ()
    lead: Words = ""
    only: Writer | None = None


@dataclass(frozen=True, slots=True)
class Table:
    """Rows under the headings of their columns, and notes right below them.

    In the terminal `narrow` is the least width of numbers, and a table that is not `is_apart`
    follows without an empty line. On paper `is_half` tables stand in two
    columns, and `on_new_page` begins one.
    """

    columns: tuple[Column, ...]
    rows: tuple[Row, ...]
    notes: tuple[Note, ...] = ()
    narrow: int = 8
    is_apart: bool = True
    is_half: bool = False
    on_new_page: bool = False
    only: Writer | None = None


@dataclass(frozen=True, slots=True)
class Step:
    """A line of a tree, and the lines under it."""

    words: Words
    steps: tuple[Step, ...] = ()


@dataclass(frozen=True, slots=True)
class Tree:
    """Steps under a heading: where a lot came from, how a figure was reached.

    The lines of an `is_bare` tree's first steps stand at the edge, each the root of its own.
    """

    heading: Words
    steps: tuple[Step, ...]
    is_bare: bool = False


Part = Table | Tree | Note


@dataclass(frozen=True, slots=True)
class Filed:
    """How a report is filed on paper: its name without .pdf, what it is, whose selvedge it has;
    whether it `is_brief`, without its workings."""

    name: str
    about: Words
    piece: str = ""
    is_brief: bool = False


@dataclass(frozen=True, slots=True)
class Report:
    """Everything one report says, in the order it is read.

    `title` is a number or a sentence, `called` the title of a work. `figures` are those whose
    workings can be shown, under their headings. `data` makes what JSON says, with stable English
    keys (`Words` among the values are told), `rows` what a spreadsheet gets: each is called by the
    one writer that wants it. `filed` is None for what has no paper.
    """

    parts: tuple[Part, ...]
    title: Words = ""
    called: Words = ""
    figures: Mapping[Words, Sequence[Figure]] = field(default_factory=dict)
    data: Callable[[], Any] = dict
    rows: Callable[[], Table] | None = None
    filed: Filed | None = None


def shown_by(writer: Writer, parts: Iterable[Part]) -> Iterator[Part]:
    """What one writer shows of a report; a table that loses all its rows goes with them."""
    for part in parts:
        if isinstance(part, Tree) or part.only in (None, writer):
            shown = _table_by(writer, part) if isinstance(part, Table) else part
            if shown:
                yield shown


def _table_by(writer: Writer, table: Table) -> Table | None:
    rows = tuple(row for row in table.rows if row.only in (None, writer))
    notes = tuple(note for note in table.notes if note.only in (None, writer))
    return replace(table, rows=rows, notes=notes) if rows or not table.rows else None


def either(full: Words, bare: Words) -> Said:
    """A quantity with its unit in the form of the language; a bare number in the terminal, where
    the unit stands in the heading."""
    return Said("working.either", full=full, bare=bare)


def numbers(*headings: Words, least: int = 0) -> tuple[Column, ...]:
    """Columns of numbers."""
    return tuple(Column(heading, "numbers", least) for heading in headings)


def account(heading: Words, heads: Sequence[Words], *lines: Row, words: Words = "") -> Table:
    """An account of half a page: what, its numbers under their headings, a sentence below."""
    return Table((Column(heading), *numbers(*heads)), lines, notes(words), is_half=True)


def rows(*lines: Sequence[Words | Cell], style: Style = "", depth: int = 0) -> tuple[Row, ...]:
    """Plain rows, all in one style."""
    return tuple(Row(tuple(cells), style, depth=depth) for cells in lines)


def sum_row(*cells: Words | Cell) -> Row:
    """A sum under a short rule, as on an account sheet."""
    return Row(cells, "bold", is_sum=True)


def money(value: Fraction | Figure | None, minor: int) -> str:
    """Money with the currency's decimals, half up: 1450.00; a dash where there is none."""
    if value is None:
        return "-"
    return str(half_up(value.value if isinstance(value, Figure) else value, minor))


def amount(value: Fraction | None, unit: str, places: int = 1) -> Words:
    """What was drawn or is left, in its unit: 418.5 g, 12, under 0.1 g; silent where not known."""
    told = plain(value, places) if value is not None else ""
    if told != "0" or not unit:
        return f"{told} {unit}" if told and unit else told
    least = plain(Fraction(1, 10**places), places)
    is_some = value is not None and value > 0
    return Said("measure.under", amount=f"{least} {unit}") if is_some else Said("measure.nothing")


def per_cent(share: Fraction) -> str:
    """A share as per cent: 45 %."""
    return f"{plain(share * 100, 2)} %"


def notes(*words: Words, style: Style = "") -> tuple[Note, ...]:
    """Notes one after another, those that are silent left out."""
    return tuple(Note(each, style) for each in words if each)
