"""Reports in the terminal: quiet tables that fit a narrow console and use a wide one.

In: reports. Out: lines printed. Days are written as in the records (2026-11-25), a unit stands in
the heading alone, workings are trees. A console of less than a column's `least` width does without
that column.
"""

from collections.abc import Iterator, Sequence
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
from provenance.reports.report import Cell, Note, Report, Row, Step, Table, Tree, shown_by
from provenance.reports.writers.ready import ReadyPhrases
from provenance.reports.writers.workings import workings

WIDEST = 92
_BLOCK = 6  # columns of the terminal that a colour takes in a table
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

    def _note(self, note: Note) -> None:
        if note.is_apart:
            self._gap()
        told = self.phrases.tell(note.words)
        if note.colours:
            lead = f"{self.phrases.tell(note.lead):<{_BEFORE}}"
            blocks = _blocks(note.colours, _BEFORE)
            self._line(Text.assemble((lead, "bold"), blocks, f"  {told}"))
            return
        if not note.is_set_in:
            self._line(told, note.style)
            return
        set_in = Padding(Text(told, note.style), (0, 0, 0, 2))
        self.console.print(set_in, width=min(self.console.width, WIDEST))
        self.is_begun = True

    def _table(self, table: Table) -> None:
        columns, room = table.columns, self.console.width
        shown = [turn for turn, each in enumerate(columns) if room >= each.least]
        grid = Grid(
            box=None, width=min(room, WIDEST), padding=(0, 0, 0, 2),
            header_style="bold", show_header=any(each.heading for each in columns),
        )  # fmt: skip
        grows = max((turn for turn in shown if columns[turn].grows), default=0)
        for turn in shown:
            column = columns[turn]
            heading, is_number = self.phrases.tell(column.heading), column.kind == "numbers"
            grid.add_column(
                heading, "", justify="right" if is_number else "left", overflow="fold",
                min_width=table.narrow if is_number else None,
                ratio=1 if turn == grows and not is_number else None,
                no_wrap=is_number or column.whole,
            )  # fmt: skip
        for row in table.rows:
            self._row(grid, row, shown)
        if table.is_apart:
            self._gap()
        self.console.print(grid)
        self.is_begun = True
        for note in table.notes:
            self._note(note)

    def _row(self, grid: Grid, row: Row, shown: Sequence[int]) -> None:
        cells = [self._cell(row.full[turn]) for turn in shown if turn < len(row.cells)]
        if row.is_sum:
            rule = ("-" if self.console.options.ascii_only else "─") * max(len(cells[-1]), 8)
            grid.add_row(*[""] * (len(cells) - 1), rule, style="dim")
        grid.add_row(Padding(cells[0], (0, 0, 0, 2 * row.depth)), *cells[1:], style=row.style)

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


def _blocks(colours: Sequence[str], width: int) -> Text:
    """Colours side by side, where the terminal shows them."""
    return Text.assemble(*((" " * width, f"on {colour}") for colour in colours))


def set_in(text: str, first: str, later: str, width: int) -> Iterator[str]:
    """One step of a tree wrapped to the width, under its guides."""
    room = max(width - len(first), 24)
    for index, line in enumerate(wrap(text, room, subsequent_indent="  ", break_on_hyphens=False)):
        yield (first if index == 0 else later) + line
