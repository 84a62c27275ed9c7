"""How a figure was reached, as a tree of lines that can be done again by hand.

In: figures. Out: a step for each sum, with the steps of its terms under it. A number that does not
end is shown to six decimals, a share to nine; what was worked out before is not repeated.
"""

from collections.abc import Iterator
from dataclasses import dataclass, field, replace
from fractions import Fraction
from typing import Any

from provenance.figures.working import Figure, half_up, plain
from provenance.language.phrases import Phrases
from provenance.reference.currencies import minor_unit
from provenance.reports.report import Report, Step, Tree
from provenance.reports.writers.ready import ready

_SIGNS = {"sum": " + ", "difference": " - ", "product": " × ", "quotient": " ÷ "}
_FEW = 8
_ROUNDINGS = ("rounded", "rounded up")


def workings(report: Report, phrases: Phrases) -> Iterator[Tree]:
    """A tree for each group of figures."""
    shown = _Workings(phrases)
    for heading, figures in report.figures.items():
        yield Tree(heading, tuple(shown.step(figure) for figure in figures), is_bare=True)


@dataclass(slots=True)
class _Workings:
    """Tells workings one after another, each once."""

    phrases: Phrases
    _seen: set[tuple[Any, ...]] = field(default_factory=set)

    def step(self, figure: Figure) -> Step:
        """A figure and all it was reached from."""
        figure = _without_idle_rounding(figure)
        terms = tuple((term.what, term.value, term.place) for term in figure.terms)
        key = (figure.what, figure.value, figure.how, figure.place, terms)
        if key in self._seen and figure.terms:
            return Step(self._say("again", line=self._line(figure)))
        self._seen.add(key)
        under = figure.terms[:1] if figure.how in _ROUNDINGS else figure.terms
        return Step(self._said(figure), tuple(self.step(term) for term in under))

    def _say(self, name: str, **values: Any) -> str:
        return self.phrases.say(f"working.{name}", **values)

    def _line(self, figure: Figure) -> str:
        return f"{self.phrases.tell(figure.what)}: {self._shown(figure)}"

    def _said(self, figure: Figure) -> str:
        """One step: `what: value = sum  (file:line)`."""
        said = self._line(figure)
        if figure.how != "given":
            said += f" = {self._sum(figure)}"
        if figure.place is not None and figure.place.file:
            said += f"  ({figure.place.short})"
        return f"{said}  ({self.phrases.tell(figure.note)})" if figure.note else said

    def _sum(self, figure: Figure) -> str:
        """The sum itself, with the terms as they are printed."""
        terms = [self._shown(term) for term in figure.terms]
        if figure.how in _ROUNDINGS:
            step = ready(plain(figure.terms[1].value), self.phrases)
            return self._say(figure.how.replace(" ", "_"), value=terms[0], step=step)
        if figure.how in ("least", "most"):
            return self._say(figure.how, values=", ".join(terms))
        if len(terms) > _FEW:
            return self._say(f"below_{figure.how}", count=len(terms))
        return _SIGNS[figure.how].join(terms) or self._say("nothing")

    def _shown(self, figure: Figure) -> str:
        """Value and unit: 152 g, 0.868571429, 16.72; a number that was cut keeps its zeros."""
        value, unit, currency = figure.value, figure.unit, self.phrases.currency
        places, minor = 9 if unit == "" else 6, minor_unit(currency)
        text = plain(value, places)
        if Fraction(text) != value:
            text = str(half_up(value, places))
        elif unit in (currency, "an hour") and len(text.partition(".")[2]) < minor:
            text = str(half_up(value, minor))
        text = ready(text, self.phrases)
        return text if unit in ("", currency) else f"{text} {self.phrases.named('unit', unit)}"


def _without_idle_rounding(figure: Figure) -> Figure:
    """A rounding that changed nothing is left out: 362.50 rounded to 0.01."""
    while figure.how in _ROUNDINGS and figure.value == figure.terms[0].value:
        figure = replace(figure.terms[0], what=figure.what)
    return figure
