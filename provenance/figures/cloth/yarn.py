"""Yarn counts: tex, Nm, denier, cotton, worsted, run, cut, skein, lea, yards to the pound.

In: a count as a maker writes it ("8/2 cotton", "2/48 Nm", "420 m/100 g"), or a length and its
weight. Out: a `Count` in tex (grams per 1000 m of the finished yarn), exactly, and through it any
other system, length from weight and weight from length. Systems with their sources stand in
`reference/tables/counts.toml`; inch and pound are exact (0.0254 m, 453.59237 g).

**Which number is the plies?** X/Y is written both ways: weavers buy 8/2 cotton (two plies of 8s)
and 2/48 Nm (two plies of 48). The smaller number is the plies when it is a whole number up to
six, wherever it stands, so that 8/2, 2/8, 3/2 and 2/40s all come out as they are sold (common
practice of the trade; from memory, no standard rules it). Where both are above six (seine twine
12/9) the habit of the system decides: plies second for cotton and linen, first for the rest. A
reading that goes against the habit although both numbers could be plies carries a remark.
"""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import dataclass
from fractions import Fraction
from functools import cache

from provenance.figures.working import Number, plain
from provenance.problems import Slip, did_you_mean
from provenance.reference.loader import rows

YARD_M = Fraction("0.9144")
POUND_G = Fraction("453.59237")
METRES = {
    "m": Fraction(1),
    "metre": Fraction(1),
    "km": Fraction(1000),
    "yd": YARD_M,
    "yard": YARD_M,
    "ft": YARD_M / 3,
}
GRAMS = {
    "g": Fraction(1),
    "gram": Fraction(1),
    "kg": Fraction(1000),
    "lb": POUND_G,
    "pound": POUND_G,
    "oz": POUND_G / 16,
    "ounce": POUND_G / 16,
}
MOST_PLIES = 6
EXAMPLES = "write for example 8/2 cotton, 2/48 Nm, 30s worsted, 167 tex, 2240 yd/lb or 420 m/100 g"
_NUMBER = r"(?:\d+ \d+/[1-9]\d*|\d+(?:\.\d+)?)"
_FOLD = r"(?P<fold>(\d+(?:\.\d+)?)s?/(\d+(?:\.\d+)?)s?)"
_SIZE = rf"(?:{_FOLD}|(?P<one>{_NUMBER})s?)"
_WORDS = r"(?P<words>[a-z]+(?: [a-z]+)*)"


@dataclass(frozen=True, slots=True)
class System:
    """One way of counting yarn; `grams_per_metre` is its unit, `direct` says a thicker yarn has
    the larger number."""

    key: str
    name: str
    direct: bool
    grams_per_metre: Fraction
    plies_second: bool
    words: tuple[str, ...]
    source: str


@dataclass(frozen=True, slots=True)
class Count:
    """A yarn's count: `tex` is the finished (plied) yarn in grams per 1000 m."""

    tex: Fraction
    plies: int = 1
    said: str = ""
    remark: str = ""

    @property
    def metres_per_gram(self) -> Fraction:
        return 1000 / self.tex

    @property
    def yards_per_pound(self) -> Fraction:
        return self.in_system("yards per pound")

    def in_system(self, key: str) -> Fraction:
        """The count of the finished yarn in another system: 'cotton', 'metric', 'worsted'..."""
        return count_of(self.tex, key)

    def grams(self, metres: Number) -> Fraction:
        """What a length weighs."""
        return Fraction(metres) * self.tex / 1000

    def metres(self, grams: Number) -> Fraction:
        """How long a weight is."""
        return Fraction(grams) * 1000 / self.tex


@cache
def systems() -> dict[str, System]:
    """Every system by key, in the order of the table."""
    return {row["key"]: _system(row) for row in rows("counts")}


def tex_of(number: Number, key: str) -> Fraction:
    """Tex of a count in a system: 30 cotton, 840 x 30 yd to the pound, is 19.68 tex."""
    system = systems()[key]
    unit = 1000 * system.grams_per_metre
    return Fraction(number) * unit if system.direct else unit / Fraction(number)


def count_of(tex: Number, key: str) -> Fraction:
    """The count in a system of a yarn in tex; the inverse of `tex_of`."""
    system = systems()[key]
    unit = 1000 * system.grams_per_metre
    return Fraction(tex) / unit if system.direct else unit / Fraction(tex)


def plied(strands: Iterable[Count]) -> Count:
    """Strands twisted together: their weights add up (60s + 40s = 24s), without twist take-up."""
    parts = tuple(strands)
    said = " + ".join(part.said for part in parts if part.said)
    return Count(sum((part.tex for part in parts), Fraction(0)), len(parts), said)


def measured(metres: Number, grams: Number) -> Count:
    """The count of a yarn from a length that was weighed."""
    if metres <= 0 or grams <= 0:
        raise Slip("a count needs a length and a weight above nothing", EXAMPLES)
    return Count(Fraction(grams) * 1000 / Fraction(metres))


def hint_from_wraps(wraps: Number) -> str:
    """What wraps per inch suggest, in words; a hint, since wraps depend on the hand."""
    row = next(row for row in rows("yarn_classes") if wraps >= row["wraps"])
    return f"{plain(wraps)} wraps per inch is roughly {row['name']}, {row['yards']} yd in 100 g"


def parse_count(text: str) -> Count:
    """Read a count as it is written; the module's notes say how X/Y is understood.

    Raises Slip for what cannot be read, for a bare number, and for wraps per inch.
    """
    plain_text = _tidied(text)
    _refuse(text, plain_text)
    for read in (_as_length_for_weight, _as_direct, _as_size):
        count = read(text.strip(), plain_text)
        if count:
            return count
    raise Slip(f"'{text}' is no yarn count", EXAMPLES)


def _tidied(text: str) -> str:
    """Small letters, single spaces, no apostrophes, no 'No.' in front, no 'count' behind."""
    lower = re.sub(r"\s+", " ", text.lower().replace("'s", "s").replace("×", "x")).strip()
    lower = re.sub(r"^no\.? ?(?=\d)", "", lower)
    lower = re.sub(r"\s*/\s*", "/", lower)
    return re.sub(r" (?:counts?|yarn)$", "", lower)


def _refuse(text: str, tidy: str) -> None:
    """Commas, bare numbers and wraps per inch get their own words."""
    if "," in text:
        raise Slip(f"'{text}' has a comma", "write a point for decimals and nothing for thousands")
    wraps = re.fullmatch(rf"({_NUMBER}) ?(?:wpi|wraps?(?: per inch)?)", tidy)
    if wraps:
        raise Slip(
            f"'{text}' tells the class of a yarn, not its length",
            f"weigh a measured length and write it so: 420 m/100 g "
            f"({hint_from_wraps(_number(wraps[1]))})",
        )
    if re.fullmatch(_SIZE, tidy):
        raise Slip(
            f"'{text}' does not say which count it is",
            f"add the system: {text} cotton, {text} lea, {text} Nm or {text} worsted",
        )


def _as_length_for_weight(said: str, tidy: str) -> Count | None:
    """'420 m/100 g', '2240 yd/lb', '175 yd per 50 g', '12 m/g'."""
    form = rf"({_NUMBER}) ?([a-z]+)(?:/| per )(?:({_NUMBER}) ?)?([a-z]+)"
    found = re.fullmatch(form, tidy)
    if not found:
        return None
    length, weight = _unit(found[2], METRES), _unit(found[4], GRAMS)
    if length is None or weight is None:
        return None
    metres, grams = _number(found[1]) * length, _number(found[3] or "1") * weight
    return Count(measured(metres, grams).tex, said=said)


def _as_direct(said: str, tidy: str) -> Count | None:
    """'167 tex', '20 tex x 2' (two strands of 20), 'R 40 tex/2' (40 when plied), '20 denier'."""
    form = rf"(r ?)?({_NUMBER}) ?([a-z]+)(?: ?x ?(\d+)|/(\d+))?"
    found = re.fullmatch(form, tidy)
    system = _named(found[3]) if found else None
    if not found or system is None or not system.direct:
        return None
    strands, folded = int(found[4] or 1), int(found[5] or 1)
    if not strands or not folded or (folded > 1 and not found[1]):
        raise Slip(
            f"'{said}' does not say whether the {system.name} is of a strand or of the whole yarn",
            f"write {found[2]} {system.name} x {found[5] or 2} for plied strands of {found[2]}, "
            f"R {found[2]} {system.name}/{found[5] or 2} for the whole",
        )
    number = _number(found[2]) * strands
    return _made(said, number, system, max(strands, folded))


def _as_size(said: str, tidy: str) -> Count | None:
    """'30s worsted', '8/2 cotton', 'Nm 2/48', '3 1/4 run'."""
    found = re.fullmatch(rf"{_SIZE} ?{_WORDS}", tidy) or re.fullmatch(rf"{_WORDS} ?{_SIZE}", tidy)
    if not found:
        return None
    system = _named(found["words"])
    if system is None:
        names = [word for known in systems().values() for word in known.words]
        raise Slip(
            f"'{said}' names no count known here ('{found['words']}')",
            did_you_mean(found["words"], names) or EXAMPLES,
        )
    if not found["fold"]:
        return _made(said, _number(found["one"]), system, 1)
    first, second = (_number(part) for part in found["fold"].replace("s", "").split("/"))
    if system.direct:
        raise Slip(
            f"'{said}' may be a range or a plied yarn",
            f"write the middle ({plain((first + second) / 2)} {system.name}) "
            f"or the plies ({plain(first)} {system.name} x 2)",
        )
    return _folded(said, first, second, system)


def _folded(said: str, first: Fraction, second: Fraction, system: System) -> Count:
    """X/Y: see the module's notes for the rule."""
    small = [number for number in (first, second) if _may_be_plies(number)]
    habit = second if system.plies_second else first
    plies = min(small) if small else habit
    if plies.denominator != 1 or plies == 0:
        raise Slip(f"'{said}' has no whole number of plies", EXAMPLES)
    strand = first if plies == second else second
    remark = ""
    if len(small) == 2 and plies != habit:
        remark = (
            f"'{said}' is read as {plies} plies of {plain(strand)}; "
            f"if {habit} plies of {plies} are meant, write its length for its weight"
        )
    made = _made(said, strand, system, int(plies))
    return Count(made.tex * plies, int(plies), said, remark)


def _may_be_plies(number: Fraction) -> bool:
    return number.denominator == 1 and 1 <= number <= MOST_PLIES


def _made(said: str, number: Fraction, system: System, plies: int) -> Count:
    if number == 0:
        raise Slip(f"'{said}' counts nothing", EXAMPLES)
    return Count(tex_of(number, system.key), plies, said)


def _named(word: str) -> System | None:
    return next((known for known in systems().values() if word in known.words), None)


def _unit(word: str, known: dict[str, Fraction]) -> Fraction | None:
    return known.get(word) or known.get(word.removesuffix("s"))


def _number(text: str) -> Fraction:
    return sum((Fraction(part) for part in text.split()), Fraction(0))


def _system(row: dict[str, str | list[str]]) -> System:
    return System(
        key=str(row["key"]),
        name=str(row["name"]),
        direct=row["basis"] == "weight",
        grams_per_metre=_amount(str(row["weight"]), GRAMS) / _amount(str(row["length"]), METRES),
        plies_second=row.get("plies") == "second",
        words=tuple(row["words"]),
        source=str(row["source"]),
    )


def _amount(text: str, units: dict[str, Fraction]) -> Fraction:
    number, unit = text.split()
    return Fraction(number) * units[unit]
