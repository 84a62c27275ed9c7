"""Yarn counts: tex, Nm, denier, cotton, worsted, run, cut, skein, lea, yards to the pound.

In: a count as a maker writes it ("8/2 cotton", "2/48 Nm", "420 m/100 g"), or a length and its
weight. Out: its tex (grams per 1000 m of the finished, plied yarn), exactly. Systems with their
sources stand in `reference/tables/counts.toml`; inch and pound are exact.

**Which number is the plies?** X/Y is written both ways: weavers buy 8/2 cotton (two plies of 8s)
and 2/48 Nm (two plies of 48). The smaller number is the plies when it is a whole number up to
six, wherever it stands, so that 8/2, 2/8, 3/2 and 2/40s all come out as they are sold (common
practice of the trade; from memory, no standard rules it). Where both are above six (seine twine
12/9) the habit of the system decides: plies second for cotton and linen, first for the rest.
"""

import re
from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction
from functools import cache

from provenance.figures.working import Number, plain
from provenance.problems import Said, Slip, did_you_mean
from provenance.records.numbers import LENGTHS, WEIGHTS
from provenance.reference.loader import rows

MOST_PLIES = 6
EXAMPLES = Said("yarn_count.examples")
_KILOMETRE = LENGTHS["km"]
_NUMBER = r"(?:\d+ \d+/[1-9]\d*|\d+(?:\.\d+)?)"
_FOLD = r"(?P<fold>(\d+(?:\.\d+)?)s?/(\d+(?:\.\d+)?)s?)"
_SIZE = rf"(?:{_FOLD}|(?P<one>{_NUMBER})s?)"
_WORDS = r"(?P<words>[a-z]+(?: [a-z]+)*)"


@dataclass(frozen=True, slots=True)
class System:
    """One way of counting yarn; `tex` is that of its 1, `direct` says a thicker yarn has the
    larger number."""

    key: str
    name: str
    direct: bool
    tex: Fraction
    plies_second: bool
    words: tuple[str, ...]
    source: str


@cache
def systems() -> dict[str, System]:
    """Every system by key, in the order of the table."""
    return {row["key"]: _system(row) for row in rows("counts")}


def tex_of(number: Number, key: str) -> Fraction:
    """Tex of a count in a system: 30 cotton, 840 x 30 yd to the pound, is 19.68 tex."""
    system = systems()[key]
    exact = Fraction(number)
    return system.tex * exact if system.direct else system.tex / exact


def hint_from_wraps(wraps: Number) -> Said:
    """What wraps per inch suggest; a hint, since wraps depend on the hand."""
    row = next(row for row in rows("yarn_classes") if wraps >= row["wraps"])
    return Said("yarn_count.wraps_hint", wraps=plain(wraps), name=row["name"], yards=row["yards"])


def parse_count(text: str) -> Fraction:
    """The tex of a count as it is written; the module's notes say how X/Y is understood.

    Raises Slip for what cannot be read, for a bare number, and for wraps per inch.
    """
    plain_text = _tidied(text)
    _refuse(text, plain_text)
    for read in (_as_length_for_weight, _as_direct, _as_size):
        if tex := read(text.strip(), plain_text):
            return tex
    raise Slip(Said("yarn_count.none", text=text), EXAMPLES)


def _tidied(text: str) -> str:
    """Small letters, single spaces, no apostrophes, no 'No.' in front, no 'count' behind."""
    lower = re.sub(r"\s+", " ", text.lower().replace("'s", "s").replace("×", "x")).strip()
    lower = re.sub(r"^no\.? ?(?=\d)", "", lower)
    lower = re.sub(r"\s*/\s*", "/", lower)
    return re.sub(r" (?:counts?|yarn)$", "", lower)


def _refuse(text: str, tidy: str) -> None:
    """Commas, bare numbers and wraps per inch get their own words."""
    if "," in text:
        raise Slip(Said("yarn_count.comma", text=text), Said("yarn_count.no_comma"))
    wraps = re.fullmatch(rf"({_NUMBER}) ?(?:wpi|wraps?(?: per inch)?)", tidy)
    if wraps:
        hint = hint_from_wraps(_number(wraps[1]))
        raise Slip(Said("yarn_count.wraps", text=text), Said("yarn_count.weigh", hint=hint))
    if re.fullmatch(_SIZE, tidy):
        raise Slip(Said("yarn_count.bare", text=text), Said("yarn_count.add_system", text=text))


def _as_length_for_weight(said: str, tidy: str) -> Fraction | None:
    """'420 m/100 g', '2240 yd/lb', '175 yd per 50 g', '12 m/g'."""
    form = rf"({_NUMBER}) ?([a-z]+)(?:/| per )(?:({_NUMBER}) ?)?([a-z]+)"
    found = re.fullmatch(form, tidy)
    if not found:
        return None
    length, weight = LENGTHS.get(found[2]), WEIGHTS.get(found[4])
    if length is None or weight is None:
        return None
    cm, grams = _number(found[1]) * length, _number(found[3] or "1") * weight
    if not cm or not grams:
        raise Slip(Said("yarn_count.nothing_measured"), EXAMPLES)
    return grams * _KILOMETRE / cm


def _as_direct(said: str, tidy: str) -> Fraction | None:
    """'167 tex', '20 tex x 2' (two strands of 20), 'R 40 tex/2' (40 when plied), '20 denier'."""
    form = rf"(r ?)?({_NUMBER}) ?([a-z]+)(?: ?x ?(\d+)|/(\d+))?"
    found = re.fullmatch(form, tidy)
    system = _named(found[3]) if found else None
    if not found or system is None or not system.direct:
        return None
    strands, folded = int(found[4] or 1), int(found[5] or 1)
    if not strands or not folded or (folded > 1 and not found[1]):
        how = {"number": found[2], "system": system.name, "plies": found[5] or 2}
        raise Slip(
            Said("yarn_count.strand_or_whole", text=said, system=system.name),
            Said("yarn_count.say_which", **how),
        )
    return _made(said, _number(found[2]) * strands, system)


def _as_size(said: str, tidy: str) -> Fraction | None:
    """'30s worsted', '8/2 cotton', 'Nm 2/48', '3 1/4 run'."""
    found = re.fullmatch(rf"{_SIZE} ?{_WORDS}", tidy) or re.fullmatch(rf"{_WORDS} ?{_SIZE}", tidy)
    if not found:
        return None
    system = _named(found["words"])
    if system is None:
        names = [word for known in systems().values() for word in known.words]
        word = found["words"]
        near = did_you_mean(word, names) or EXAMPLES
        raise Slip(Said("yarn_count.unknown", text=said, word=word), near)
    if not found["fold"]:
        return _made(said, _number(found["one"]), system)
    first, second = (_number(part) for part in found["fold"].replace("s", "").split("/"))
    if system.direct:
        middle = plain((first + second) / 2)
        raise Slip(
            Said("yarn_count.range", text=said),
            Said("yarn_count.middle", middle=middle, first=plain(first), system=system.name),
        )
    return _folded(said, first, second, system)


def _folded(said: str, first: Fraction, second: Fraction, system: System) -> Fraction:
    """X/Y: see the module's notes for the rule."""
    small = [each for each in (first, second) if each.denominator == 1 and 1 <= each <= MOST_PLIES]
    habit = second if system.plies_second else first
    plies = min(small) if small else habit
    if plies.denominator != 1 or plies == 0:
        raise Slip(Said("yarn_count.no_plies", text=said), EXAMPLES)
    return _made(said, first if plies == second else second, system) * plies


def _made(said: str, number: Fraction, system: System) -> Fraction:
    if number == 0:
        raise Slip(Said("yarn_count.zero", text=said), EXAMPLES)
    return tex_of(number, system.key)


def _named(word: str) -> System | None:
    return next((known for known in systems().values() if word in known.words), None)


def _number(text: str) -> Fraction:
    return sum((Fraction(part) for part in text.split()), Fraction(0))


def _system(row: dict[str, str | list[str]]) -> System:
    """A row of the table; its unit in grams of a kilometre."""
    weight, length = _amount(str(row["weight"]), WEIGHTS), _amount(str(row["length"]), LENGTHS)
    return System(
        key=str(row["key"]),
        name=str(row["name"]),
        direct=row["basis"] == "weight",
        tex=weight * _KILOMETRE / length,
        plies_second=row.get("plies") == "second",
        words=tuple(row["words"]),
        source=str(row["source"]),
    )


def _amount(text: str, units: Mapping[str, Fraction]) -> Fraction:
    number, unit = text.split()
    return Fraction(number) * units[unit]
