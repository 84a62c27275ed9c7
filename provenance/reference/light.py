"""Blue wool doses, sensitivity classes, yearly limits, what museums do, what moves a rating.

In: `tables/light.toml`. Out: frozen rows. Doses are lux-hours to a just noticeable change, with
and without ultraviolet, at whole blue wool classes only; limits are lux-hours a year (National
Gallery).
"""

from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction
from functools import cache
from typing import Any

from provenance.reference import naming
from provenance.reference.loader import rows, table
from provenance.reference.sourced import Span, span_from


@dataclass(frozen=True, slots=True)
class BlueWool:
    """One ISO blue wool, 1 (fades first) to 8: doses in lux-hours, and its class."""

    number: int
    no_uv: int
    uv: int
    sensitivity: str


@dataclass(frozen=True, slots=True)
class YearlyLimit:
    """What a museum allows a class: lux-hours a year, and the most lux at a time."""

    lux_hours: int
    most_lux: int


@cache
def blue_wools() -> tuple[BlueWool, ...]:
    """The eight blue wools, 1 first."""
    return tuple(
        BlueWool(row["blue_wool"], row["no_uv"], row["uv"], row["class"]) for row in rows("light")
    )


def blue_wool(number: int) -> BlueWool:
    """One blue wool by its number; ValueError outside 1 to 8."""
    for row in blue_wools():
        if row.number == number:
            return row
    raise ValueError(f"no blue wool {number}: they go from 1 to 8")


def yearly_limit(sensitivity: str) -> YearlyLimit:
    """The limit for class high, medium or low; KeyError for anything else."""
    limits = {row["class"]: row for row in table("light")["limit"]}
    return YearlyLimit(limits[sensitivity]["lux_hours"], limits[sensitivity]["most_lux"])


def museum(name: str) -> Mapping[str, Any]:
    """One museum row by name: gallery wall, museum year, ultraviolet, rest, home, sun,
    window."""
    return next(row for row in table("light")["museum"] if row["name"] == name)


@cache
def family_range(name: str) -> Span:
    """What a dye without a range of its own is taken for; "any" is every other dye."""
    found = next(row for row in table("light")["family"] if row["name"] == name)
    return span_from(found, found)


def plant_range(name: str) -> Span | None:
    """How a plant without a row in the table of dyes stands light, None where nothing is known."""
    return naming.meant(name, _plants())


@cache
def _plants() -> dict[naming.Words, Span]:
    plants = table("light")["plant"]
    return naming.by_words((name, span_from(row, row)) for row in plants for name in row["names"])


@cache
def shift(name: str) -> Fraction:
    """By how many blue wools a rating moves: pale, cellulose, silk, tin (down), metal (up)."""
    found = next(row for row in table("light")["shift"] if row["name"] == name)
    return Fraction(found.get("higher", 0)) - Fraction(found.get("lower", 0))


def weak_on_tin() -> tuple[str, ...]:
    """The dyes that tin harms on any fibre."""
    found = next(row for row in table("light")["shift"] if row["name"] == "tin")
    return tuple(found["dyes"])


def most_by_metal() -> int:
    """The blue wool above which no iron, copper or chrome lifts a dye."""
    return next(int(row["most"]) for row in table("light")["shift"] if "most" in row)
