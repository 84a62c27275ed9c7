"""How figures look in the terminal: quiet tables, money, and workings as trees.

In: figures and words. Out: tables for a console of any width, and the lines of a working, each
sum written out so that it can be done again by hand. Money is written as in the records, without
signs between thousands; a number that does not end is cut after six decimals.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, field
from fractions import Fraction
from textwrap import wrap
from typing import TYPE_CHECKING, Any

from provenance.figures.working import Figure, half_up, plain

if TYPE_CHECKING:
    from rich.console import Console
    from rich.table import Table

WIDEST = 92
RULE = "\0rule"
_SIGNS = {"sum": " + ", "difference": " - ", "product": " × ", "quotient": " ÷ "}
_FEW = 8


def open_console() -> Console:
    """The terminal; or what the output goes into, at 80 columns or $COLUMNS."""
    from rich.console import Console

    return Console(markup=False, highlight=False, emoji=False)


def page_width(console: Console) -> int:
    """Columns used: all of a narrow terminal, not all of a very wide one."""
    return min(console.width, WIDEST)


def table(console: Console, *headings: str, left: int = 1) -> Table:
    """A table without lines: the first `left` columns hold words, the others numbers."""
    from rich.table import Table

    made = Table(box=None, width=page_width(console), padding=(0, 0, 0, 2), header_style="bold")
    for index, heading in enumerate(headings):
        if index < left:
            made.add_column(heading, ratio=1 if index == 0 else None, overflow="fold")
        else:
            made.add_column(heading, justify="right", no_wrap=True, min_width=8)
    return made


def add_rows(made: Table, rows: Iterable[Sequence[str]], *, style: str = "") -> None:
    """Add rows of text."""
    for row in rows:
        made.add_row(*row, style=style)


def add_sum(made: Table, *cells: str) -> None:
    """A sum under a short rule, as on an account sheet."""
    blank = [""] * (len(cells) - 1)
    made.add_row(*blank, "─" * max(len(cells[-1]), 8), style="dim")
    made.add_row(*cells, style="bold")


def money(value: Fraction | Figure, minor: int) -> str:
    """Money with the currency's decimals, half up: 1450.00."""
    return str(half_up(value.value if isinstance(value, Figure) else value, minor))


def per_cent(share: Fraction) -> str:
    """A share as per cent: 45 %."""
    return f"{plain(share * 100, 2)} %"


@dataclass(slots=True)
class Workings:
    """Prints workings one after another; what was worked out before is not repeated."""

    currency: str
    minor: int
    width: int = WIDEST
    guides: tuple[str, str, str, str] = ("├ ", "│ ", "└ ", "  ")
    _seen: set[tuple[Any, ...]] = field(default_factory=set)

    def lines(self, figure: Figure) -> Iterator[str]:
        """The working of one figure, a line for each step, wrapped to the width."""
        yield from self._lines(figure, "", "")

    def _lines(self, figure: Figure, first: str, later: str) -> Iterator[str]:
        key = (figure.what, figure.value, figure.unit, figure.how, figure.place)
        again = key in self._seen and bool(figure.terms)
        self._seen.add(key)
        yield from self._wrapped(self.line(figure, again=again), first, later)
        children = () if again else _children(figure)
        for index, term in enumerate(children):
            step, rest = self.guides[2:] if index == len(children) - 1 else self.guides[:2]
            yield from self._lines(term, later + step, later + rest)

    def _wrapped(self, text: str, first: str, later: str) -> Iterator[str]:
        room = max(self.width - len(first), 24)
        for index, line in enumerate(wrap(text, room, subsequent_indent="  ") or [""]):
            yield (first if index == 0 else later) + line

    def line(self, figure: Figure, *, again: bool = False) -> str:
        """One step: `what: value = sum  (file:line)`."""
        said = f"{figure.what}: {self.shown(figure)}"
        if again:
            return f"{said} (worked out above)"
        if figure.how != "given":
            said += f" = {self.formula(figure)}"
        if figure.place is not None and figure.place.file:
            said += f"  ({figure.place.short})"
        return f"{said}  ({figure.note})" if figure.note else said

    def formula(self, figure: Figure) -> str:
        """The sum itself, with the terms as they are printed."""
        terms = [self.shown(term) for term in figure.terms]
        if figure.how in ("rounded", "rounded up"):
            up = "up " if figure.how == "rounded up" else ""
            return f"{terms[0]} rounded {up}to {plain(figure.terms[1].value)}"
        if figure.how in ("least", "most"):
            return f"the {figure.how} of {', '.join(terms)}"
        if len(terms) > _FEW:
            word = {"sum": "added", "product": "multiplied"}.get(figure.how, "one after another")
            return f"the {len(terms)} lines below {word}"
        return _SIGNS[figure.how].join(terms) or "nothing"

    def shown(self, figure: Figure) -> str:
        """Value and unit: 152 g, 0.868571, 16.72."""
        text, unit = plain(figure.value), figure.unit
        if unit in (self.currency, "an hour") and len(text.partition(".")[2]) < self.minor:
            text = str(half_up(figure.value, self.minor))
        return text if unit in ("", self.currency) else f"{text} {unit}"


def _children(figure: Figure) -> Sequence[Figure]:
    """The terms worth a line of their own: all but the step of a rounding."""
    return figure.terms[:1] if figure.how in ("rounded", "rounded up") else figure.terms


ENDLESS = "Numbers that do not end are cut after six decimals."


def print_workings(console: Console, currency: str, minor: int, figures: Iterable[Figure]) -> None:
    """Every working under its figure, on the whole width of the terminal."""
    workings = Workings(currency, minor, console.width)
    if console.options.ascii_only:
        workings.guides = ("| ", "| ", "` ", "  ")
    for figure in figures:
        for line in workings.lines(figure):
            console.print(line, soft_wrap=True)
        console.print()
    console.print(ENDLESS, style="dim")
