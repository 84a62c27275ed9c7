"""How figures look in the terminal: quiet tables, money, and workings as trees.

In: figures and words. Out: tables for a console of any width, and the lines of a working, each
sum written out so that it can be done again by hand. Money is written as in the records, without
signs between thousands; a number that does not end is shown to six decimals, a share to nine.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from fractions import Fraction
from textwrap import wrap
from typing import TYPE_CHECKING, Any

from provenance.figures.working import Figure, half_up, plain
from provenance.language.phrases import Phrases, british

if TYPE_CHECKING:
    from rich.console import Console
    from rich.table import Table

WIDEST = 92
_SIGNS = {"sum": " + ", "difference": " - ", "product": " × ", "quotient": " ÷ "}
_FEW = 8


def open_console() -> Console:
    """The terminal; or what the output goes into, at 80 columns or $COLUMNS."""
    from rich.console import Console

    return Console(markup=False, highlight=False, emoji=False)


def page_width(console: Console) -> int:
    """Columns used: all of a narrow terminal, not all of a very wide one."""
    return min(console.width, WIDEST)


def say(console: Console, text: str, *, style: str = "") -> None:
    """A sentence or two, set in under a table."""
    from rich.padding import Padding
    from rich.text import Text

    console.print(Padding(Text(text, style), (0, 0, 0, 2)), width=page_width(console))


def table(console: Console, *headings: str, left: int = 1, narrow: int = 8) -> Table:
    """A table without lines: the first `left` columns hold words, the others numbers.

    `narrow` is the least width of a column of numbers.
    """
    from rich.table import Table

    made = Table(box=None, width=page_width(console), padding=(0, 0, 0, 2), header_style="bold")
    for index, heading in enumerate(headings):
        if index < left:
            made.add_column(heading, ratio=1 if index == 0 else None, overflow="fold")
        else:
            made.add_column(heading, justify="right", no_wrap=True, min_width=narrow)
    return made


def add_rows(made: Table, rows: Iterable[Sequence[str]], *, style: str = "") -> None:
    """Add rows of text."""
    for row in rows:
        made.add_row(*row, style=style)


def add_sum(console: Console, made: Table, *cells: str) -> None:
    """A sum under a short rule, as on an account sheet."""
    blank, sign = [""] * (len(cells) - 1), "-" if console.options.ascii_only else "─"
    made.add_row(*blank, sign * max(len(cells[-1]), 8), style="dim")
    made.add_row(*cells, style="bold")


def money(value: Fraction | Figure, minor: int) -> str:
    """Money with the currency's decimals, half up: 1450.00."""
    return str(half_up(value.value if isinstance(value, Figure) else value, minor))


def per_cent(share: Fraction) -> str:
    """A share as per cent: 45 %."""
    return f"{plain(share * 100, 2)} %"


Guides = tuple[str, str, str, str]
FINE: Guides = ("├ ", "│ ", "└ ", "  ")
PLAIN: Guides = ("| ", "| ", "` ", "  ")


def guides_for(console: Console) -> Guides:
    """The lines of a tree; plain signs where the terminal knows no others."""
    return PLAIN if console.options.ascii_only else FINE


def set_in(text: str, first: str, later: str, width: int) -> Iterator[str]:
    """One step of a tree wrapped to the width, under its guides."""
    room = max(width - len(first), 24)
    for index, line in enumerate(wrap(text, room, subsequent_indent="  ", break_on_hyphens=False)):
        yield (first if index == 0 else later) + line


@dataclass(slots=True)
class Workings:
    """Prints workings one after another; what was worked out before is not repeated."""

    currency: str
    minor: int
    width: int = WIDEST
    guides: Guides = FINE
    phrases: Phrases = field(default_factory=british)
    _seen: set[tuple[Any, ...]] = field(default_factory=set)

    def lines(self, figure: Figure) -> Iterator[str]:
        """The working of one figure, a line for each step, wrapped to the width."""
        yield from self._lines(figure, "", "")

    def _lines(self, figure: Figure, first: str, later: str) -> Iterator[str]:
        figure = _without_idle_rounding(figure)
        terms = tuple((term.what, term.value, term.place) for term in figure.terms)
        key = (figure.what, figure.value, figure.how, figure.place, terms)
        again = key in self._seen and bool(figure.terms)
        self._seen.add(key)
        yield from set_in(self.line(figure, again=again), first, later, self.width)
        children = () if again else _children(figure)
        for index, term in enumerate(children):
            step, rest = self.guides[2:] if index == len(children) - 1 else self.guides[:2]
            yield from self._lines(term, later + step, later + rest)

    def line(self, figure: Figure, *, again: bool = False) -> str:
        """One step: `what: value = sum  (file:line)`."""
        said = f"{self.phrases.tell(figure.what)}: {self.shown(figure)}"
        if again:
            return self.phrases.say("working.again", line=said)
        if figure.how != "given":
            said += f" = {self.formula(figure)}"
        if figure.place is not None and figure.place.file:
            said += f"  ({figure.place.short})"
        return f"{said}  ({self.phrases.tell(figure.note)})" if figure.note else said

    def formula(self, figure: Figure) -> str:
        """The sum itself, with the terms as they are printed."""
        terms, say = [self.shown(term) for term in figure.terms], self.phrases.say
        if figure.how in ("rounded", "rounded up"):
            name = f"working.{figure.how.replace(' ', '_')}"
            return say(name, value=terms[0], step=plain(figure.terms[1].value))
        if figure.how in ("least", "most"):
            return say(f"working.{figure.how}", values=", ".join(terms))
        if len(terms) > _FEW:
            return say(f"working.below_{figure.how}", count=len(terms))
        return _SIGNS[figure.how].join(terms) or say("working.nothing")

    def shown(self, figure: Figure) -> str:
        """Value and unit: 152 g, 0.868571429, 16.72; a number that was cut keeps its zeros."""
        value, unit = figure.value, figure.unit
        places = 9 if unit == "" else 6
        text = plain(value, places)
        if Fraction(text) != value:
            text = str(half_up(value, places))
        elif unit in (self.currency, "an hour") and len(text.partition(".")[2]) < self.minor:
            text = str(half_up(value, self.minor))
        return text if unit in ("", self.currency) else f"{text} {self.phrases.named('unit', unit)}"


def _without_idle_rounding(figure: Figure) -> Figure:
    """A rounding that changed nothing is left out: 362.50 rounded to 0.01."""
    while figure.how in ("rounded", "rounded up") and figure.value == figure.terms[0].value:
        figure = replace(figure.terms[0], what=figure.what)
    return figure


def _children(figure: Figure) -> Sequence[Figure]:
    """The terms worth a line of their own: all but the step of a rounding."""
    return figure.terms[:1] if figure.how in ("rounded", "rounded up") else figure.terms


def print_workings(
    console: Console, currency: str, minor: int, groups: Mapping[str, Iterable[Figure]]
) -> None:
    """Every working, group by group, on the whole width of the terminal."""
    workings = Workings(currency, minor, console.width, guides_for(console))
    for heading, figures in groups.items():
        console.print()
        console.print(heading, style="bold")
        for figure in figures:
            for line in workings.lines(figure):
                console.print(line, soft_wrap=True)
    console.print()
    console.print(workings.phrases.say("working.endless"), style="dim")
