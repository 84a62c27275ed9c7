"""Reports in the terminal: quiet tables that fit a narrow console and use a wide one.

In: reports. Out: lines printed. Days are written as in the records (2026-11-25), a unit stands in
the heading alone, workings are trees. A console of less than a column's `least` width does without
that column; where the others still have no room, each cell of a row stands on its own line. Colours
are shown by terminals that show every colour; 256 of them would make neighbours one.
"""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from datetime import date
from io import StringIO
from textwrap import wrap
from typing import Any

from rich.console import Console
from rich.padding import Padding
from rich.table import Table as Grid
from rich.text import Text

from provenance.language.phrases import Phrases
from provenance.problems import Words
from provenance.reference.signs import visible
from provenance.reports.report import Cell, Column, Note, Report, Row, Step, Table, Tree, shown_by
from provenance.reports.writers.ready import ReadyPhrases
from provenance.reports.writers.workings import workings

WIDEST = 92
_BLOCK = 6  # columns of the terminal that a colour takes in a table
_WORD = 14  # columns that words need at least, where they are as long
_NARROW = 60  # columns below which numbers stand as close as they can
_BEFORE = 8  # columns that a colour before a note takes, and the words that lead to it
_FINE = ("├ ", "│ ", "└ ", "  ")
_PLAIN = ("| ", "| ", "` ", "  ")


@dataclass(frozen=True)
class _AsRecorded(ReadyPhrases):
    """The studio's phrases, the `_short` one of two; days as records have them."""

    def say(self, name: str, /, **values: Any) -> str:
        short = f"{name}_short"
        return super().say(short if short in self.words else name, **values)

    def day(self, day: date) -> str:
        return day.isoformat()

    def tell(self, words: Words) -> str:
        return visible(super().tell(words))


def write(reports: Sequence[Report], phrases: Phrases, *, explain: bool = False) -> None:
    """Print reports one after another, with the workings of their figures when asked for."""
    console = Console(markup=False, highlight=False, emoji=False)
    width, height = console.size  # asked of the terminal once: else three times for every line
    console.size = (width + console.legacy_windows, height)
    recorded = _as_recorded(phrases)
    for turn, report in enumerate(reports):
        if turn:
            console.print()
        _Terminal(console, recorded).write(report, explain=explain)


def as_text(report: Report, phrases: Phrases, *, explain: bool = False) -> str:
    """What a console of 80 columns shows of a report, without its styles."""
    console = Console(file=StringIO(), width=80, markup=False, highlight=False, emoji=False)
    with console.capture() as shown:
        _Terminal(console, _as_recorded(phrases)).write(report, explain=explain)
    return "\n".join(line.rstrip() for line in shown.get().splitlines())


def _as_recorded(phrases: Phrases) -> Phrases:
    return _AsRecorded(phrases.language, phrases.currency, phrases.words)


@dataclass
class _Terminal:
    """Writes one report."""

    console: Console
    phrases: Phrases
    is_begun: bool = False

    def write(self, report: Report, *, explain: bool) -> None:
        tell = self.phrases.tell
        if title := "  ".join(filter(None, (tell(report.title), tell(report.called)))):
            self._line(title, style="bold")
        for part in shown_by("terminal", report.parts):
            match part:
                case Note():
                    self._note(part)
                case Table():
                    self._table(part)
                case Tree():
                    self._tree(part)
        if explain:
            for tree in workings(report, self.phrases):
                self._tree(tree)
            self._gap()
            self._line(self.phrases.say("working.endless"), style="dim")

    def _line(self, text: str | Text, style: str = "") -> None:
        self.console.print(text, style=style)
        self.is_begun = True

    def _gap(self) -> None:
        if self.is_begun:
            self.console.print()

    @property
    def _has_colours(self) -> bool:
        return self.console.color_system == "truecolor" and not self.console.no_color

    def _note(self, note: Note) -> None:
        if note.is_apart:
            self._gap()
        told = self.phrases.tell(note.words)
        if note.colours:
            lead = f"{self.phrases.tell(note.lead):<{_BEFORE}}"
            blocks = _blocks(note.colours, _BEFORE) if self._has_colours else ""
            self._line(Text.assemble((lead, "bold"), blocks, f"  {told}"))
        elif not note.is_set_in:
            self._line(told, note.style)
        else:
            set_in = Padding(Text(told, note.style), (0, 0, 0, 2))
            self.console.print(set_in, width=min(self.console.width, WIDEST))
            self.is_begun = True

    def _table(self, table: Table) -> None:
        if table.is_apart:
            self._gap()
        self.console.print(self._grid(table))
        self.is_begun = True
        for note in table.notes:
            self._note(note)

    def _grid(self, table: Table) -> Grid:
        columns, shown, room = table.columns, self._shown(table), self.console.width
        heads = [self.phrases.tell(columns[turn].heading) for turn in shown]
        lines = [(row, [self._cell(row.full[turn]) for turn in shown if turn < len(row.cells)])
                 for row in table.rows]  # fmt: skip
        widths = [_least(columns[turn], [heads[at], *(str(cells[at]) for _, cells in lines
                                                      if at < len(cells))])
                  for at, turn in enumerate(shown)]  # fmt: skip
        deepest = 2 * max((row.depth for row in table.rows), default=0)
        if len(shown) > 2 and sum(widths) + 2 * len(shown) + deepest > room:
            return self._cell_by_cell(heads, lines)
        grid = self._bare_grid(is_headed=any(heads))
        grows = max((turn for turn in shown if columns[turn].grows), default=0)
        for turn, heading in zip(shown, heads, strict=True):
            column = columns[turn]
            is_number = column.kind == "numbers"
            grid.add_column(
                heading, "", justify="right" if is_number else "left", overflow="fold",
                min_width=table.narrow if is_number and room >= _NARROW else None,
                ratio=1 if turn == grows and not is_number else None,
                no_wrap=is_number or column.whole,
            )  # fmt: skip
        for row, cells in lines:
            if row.is_sum:
                grid.add_row(*[""] * (len(cells) - 1), self._rule(len(cells[-1])), style="dim")
            grid.add_row(Padding(cells[0], (0, 0, 0, 2 * row.depth)), *cells[1:], style=row.style)
        return grid

    def _shown(self, table: Table) -> list[int]:
        """The columns that there is room for; one of colours where the terminal has them all."""
        of_colours = {turn for row in table.rows for turn, cell in enumerate(row.full)
                      if cell.colours and not self._has_colours}  # fmt: skip
        return [turn for turn, each in enumerate(table.columns)
                if self.console.width >= each.least and turn not in of_colours]  # fmt: skip

    def _cell_by_cell(self, heads: Sequence[str], lines: Iterable[tuple[Row, list[Text]]]) -> Grid:
        """Each row as its first cell, and the others below it under their headings."""
        grid = self._bare_grid(is_headed=bool(heads[0]))
        grid.add_column(heads[0], ratio=1, overflow="fold")
        grid.add_column("", justify="right", overflow="fold")
        for row, (first, *others) in lines:
            if row.is_sum:
                grid.add_row("", self._rule(0), style="dim")
            grid.add_row(Padding(first, (0, 0, 0, 2 * row.depth)), "", style=row.style or "bold")
            for heading, cell in zip(heads[1:], others, strict=False):
                if cell.plain:
                    grid.add_row(Padding(heading, (0, 0, 0, 2 * row.depth + 2)), cell)
        return grid

    def _bare_grid(self, *, is_headed: bool) -> Grid:
        width = min(self.console.width, WIDEST)
        return Grid(box=None, width=width, padding=(0, 0, 0, 2), header_style="bold",
                    show_header=is_headed)  # fmt: skip

    def _rule(self, width: int) -> str:
        return ("-" if self.console.options.ascii_only else "─") * max(width, 8)

    def _cell(self, cell: Cell) -> Text:
        if cell.colours:
            return _blocks(cell.colours, _BLOCK)
        aside = self.phrases.tell(cell.aside)
        return Text(self.phrases.tell(cell.words) + (f" ({aside})" if aside else ""))

    def _tree(self, tree: Tree) -> None:
        self._gap()
        self._line(self.phrases.tell(tree.heading), style="bold")
        for text, first, later in self._placed(tree.steps, "", is_bare=tree.is_bare):
            for line in set_in(text, first, later, self.console.width):
                self.console.print(line, soft_wrap=True)

    def _placed(
        self, steps: Sequence[Step], under: str, *, is_bare: bool = False
    ) -> Iterator[tuple[str, str, str]]:
        """Every line of a tree with the guides of its first and of its further lines."""
        guides = _PLAIN if self.console.options.ascii_only else _FINE
        for turn, step in enumerate(steps):
            here, rest = guides[2:] if turn == len(steps) - 1 else guides[:2]
            if is_bare:
                here = rest = ""
            yield self.phrases.tell(step.words), under + here, under + rest
            yield from self._placed(step.steps, under + rest)


def _least(column: Column, texts: Sequence[str]) -> int:
    """What a column needs at least: its longest number or whole cell, some of its longest words."""
    longest = max(map(len, texts))
    return longest if column.kind == "numbers" or column.whole else min(_WORD, longest)


def _blocks(colours: Sequence[str], width: int) -> Text:
    """Colours side by side, where the terminal shows them."""
    return Text.assemble(*((" " * width, f"on {colour}") for colour in colours))


def set_in(text: str, first: str, later: str, width: int) -> Iterator[str]:
    """One step of a tree wrapped to the width, under its guides."""
    room = max(width - len(first), 24)
    for index, line in enumerate(wrap(text, room, subsequent_indent="  ", break_on_hyphens=False)):
        yield (first if index == 0 else later) + line
