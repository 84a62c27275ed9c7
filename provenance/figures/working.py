"""A figure that carries its own working.

In: numbers with their record places. Out: `Figure`, a value with unit, the way it was reached
and the figures it was reached from, down to the line of the record. Values are exact fractions;
money is rounded half up, once per printed line (ISO 4217 minor unit), and the rounding is a
step of the working like any other. `redo` repeats one step from its terms, so that anyone
(and a test) can check every printed sum. What a figure is called, and a unit that is a word, get
their words in `language/`; a lot's own name stands for itself.
"""

from __future__ import annotations

import operator
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction
from functools import reduce
from math import ceil

from provenance.problems import SILENCE, Place, Words, chained
from provenance.reference.currencies import minor_unit

Number = Fraction | Decimal | int


@dataclass(frozen=True, slots=True)
class Figure:
    """One worked-out value.

    `how` is one of: given, sum, difference, product, quotient, rounded, rounded up, least, most.
    For `rounded` and `rounded up` the second term is the step (0.01, 5, 1).
    """

    what: Words
    value: Fraction
    unit: str = ""
    how: str = "given"
    terms: tuple[Figure, ...] = ()
    place: Place | None = None
    note: Words = ""

    def money(self, minor: int = 2) -> Decimal:
        """The value as Decimal with `minor` decimal places, half up."""
        return half_up(self.value, minor)


def half_up(value: Number, places: int) -> Decimal:
    """Round half up (away from zero) to a number of decimal places: 109.095 -> 109.10."""
    return Decimal(f"{_nearest_whole(Fraction(value) * 10**places)}e{-places}")


def _nearest_whole(exact: Fraction) -> int:
    whole = (abs(exact.numerator) * 2 + exact.denominator) // (exact.denominator * 2)
    return whole if exact >= 0 else -whole


def plain(value: Number, places: int = 6) -> str:
    """A decimal string without trailing zeros, at most `places` decimals: 16.475, 60, 0.3333."""
    text = format(half_up(value, places), "f")
    return text.rstrip("0").rstrip(".") if "." in text else text


def in_turn(sayings: Iterable[Words]) -> Words:
    """Several sayings as one, with a semicolon between them."""
    return chained("words.in_turn", sayings)


def given(what: Words, value: Number, unit: str = "", place: Place | None = None) -> Figure:
    """A number of a record (at its own place, where no other is told) or of a table."""
    if place is None:
        place = getattr(value, "place", None)
    exact = value if type(value) is Fraction else Fraction(value)
    return Figure(what, exact, unit, "given", (), place)


def total(what: Words, terms: Sequence[Figure], unit: str = "") -> Figure:
    """All terms added; no terms give nothing."""
    return _step(what, "sum", tuple(terms), unit or (terms[0].unit if terms else ""))


def added(what: Words, terms: Sequence[Figure], unit: str = "") -> Figure:
    """All terms added; one alone needs no sum and keeps its own name."""
    return terms[0] if len(terms) == 1 else total(what, terms, unit)


def difference(what: Words, first: Figure, *rest: Figure, unit: str = "") -> Figure:
    """The first less all the rest."""
    return _step(what, "difference", (first, *rest), unit or first.unit)


def product(what: Words, *terms: Figure, unit: str = "") -> Figure:
    """All terms multiplied."""
    return _step(what, "product", terms, unit)


def quotient(what: Words, first: Figure, *rest: Figure, unit: str = "") -> Figure:
    """The first divided by all the rest."""
    return _step(what, "quotient", (first, *rest), unit)


def rounded(figure: Figure, places: int | None = None, what: Words = "") -> Figure:
    """Half up to `places` decimals, else to those of the currency it is in."""
    places = minor_unit(figure.unit) if places is None else places
    step = given(SILENCE, Fraction(1, 10**places))
    return _step(what or figure.what, "rounded", (figure, step), figure.unit)


def rounded_up(figure: Figure, step: Number, what: Words = "") -> Figure:
    """Up to the next multiple of `step` (5 -> 239 becomes 240; 1 -> whole number)."""
    return _step(what or figure.what, "rounded up", (figure, given(SILENCE, step)), figure.unit)


def extreme(what: Words, how: str, terms: Sequence[Figure]) -> Figure:
    """The least or the most of some figures, as `how` says."""
    return _step(what, how, tuple(terms), terms[0].unit)


def redo(how: str, values: Sequence[Fraction]) -> Fraction:
    """Repeat one step of a working from the values of its terms."""
    if how in _FOLDS:
        return reduce(_FOLDS[how], values) if values else Fraction(0)
    match how:
        case "rounded":
            return _nearest_whole(values[0] / values[1]) * values[1]
        case "rounded up":
            return ceil(values[0] / values[1]) * values[1]
        case "least":
            return min(values)
        case "most":
            return max(values)
    raise ValueError(f"no such step: {how}")


_FOLDS: dict[str, Callable[[Fraction, Fraction], Fraction]] = {
    "sum": operator.add,
    "difference": operator.sub,
    "product": operator.mul,
    "quotient": operator.truediv,
}


def _step(what: Words, how: str, terms: tuple[Figure, ...], unit: str) -> Figure:
    return Figure(what, redo(how, [term.value for term in terms]), unit, how, terms)
