"""How much light a piece can bear, worked out from the dyes that are really in it.

In: each dye with its mordants, and the light of the maker's home wall. Out: blue wool range,
class, years to a just noticeable change, days a year within the museum limit.
Rules: the most sensitive dye counts (Smithsonian light guidelines); years = dose ÷ (lux x hours
x days); doses and limits as tabled in `reference.light`, at whole blue wools
only. How each dye stands light is in `rating`. A range, never a promise.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction

from provenance.figures.light.rating import DyeInPiece, Rating, rating
from provenance.figures.working import Figure, Number, given, product, quotient
from provenance.problems import Place, Said, Slip
from provenance.reference.light import blue_wool, museum, yearly_limit

MILLION = given(Said("light_working.million"), 1_000_000)
YEAR = 365

Pair = tuple[Figure, Figure]


@dataclass(frozen=True, slots=True)
class Light:
    """Light guidance for one piece; an undyed piece has no blue wool range and no years."""

    sensitivity: str
    blue_wool: tuple[int, int] | None
    most_sensitive: Rating | None
    ratings: tuple[Rating, ...]
    not_rated: tuple[str, ...]
    years: Pair | None
    years_uv: Pair | None
    limit: Figure
    most_lux: int
    days_gallery: Figure
    wall_lux: Fraction
    wall_hours: Fraction


def guidance(
    dyes: Sequence[DyeInPiece],
    wall_lux: Number = 150,
    wall_hours: Number = 10,
    *,
    place: Place | None = None,
) -> Light:
    """Light guidance for a piece and a home wall; `place` is where the wall is written.

    Raises Slip when the wall has no light, as nothing could be worked out from it.
    """
    if wall_lux <= 0 or wall_hours <= 0:
        raise Slip(Said("light.no_wall"), Said("light.write_wall"))
    ratings = tuple(dict.fromkeys(rating(dye) for dye in dyes))
    span = _span(ratings)
    sensitivity = blue_wool(span[0]).sensitivity if span else "low"
    a_year = exposure(wall_lux, wall_hours, place=place)
    wall = museum("gallery wall")
    return Light(
        sensitivity=sensitivity,
        blue_wool=span,
        most_sensitive=_most_sensitive(ratings),
        ratings=ratings,
        not_rated=tuple(dict.fromkeys(one.dye for one in ratings if not one.is_rated)),
        years=_years(span, a_year, uv=False),
        years_uv=_years(span, a_year, uv=True),
        limit=limit_of(sensitivity),
        most_lux=yearly_limit(sensitivity).most_lux,
        days_gallery=days_within(sensitivity, wall["lux"], wall["hours"]),
        wall_lux=Fraction(wall_lux),
        wall_hours=Fraction(wall_hours),
    )


def exposure(
    lux: Number, hours: Number, days: Number = YEAR, *, place: Place | None = None
) -> Figure:
    """Million lux-hours of so many days: 150 lx x 10 h x 365 = 0.5475."""
    span = given(Said("light_working.days"), days, "d")
    dose = product(Said("light_working.lux_hours"), *_a_day(lux, hours, place), span)
    return quotient(Said("light_working.light"), dose, MILLION, unit="Mlx·h")


def dose_of(number: int, *, uv: bool) -> Figure:
    """Million lux-hours to a just noticeable change of one blue wool."""
    row = blue_wool(number)
    lux_hours = given(Said("light_working.lux_hours"), row.uv if uv else row.no_uv)
    what = Said("light_working.dose_uv" if uv else "light_working.dose", blue_wool=number)
    return quotient(what, lux_hours, MILLION, unit="Mlx·h")


def years_to_change(number: int, a_year: Figure, *, uv: bool) -> Figure:
    """Years until a just noticeable change of one blue wool under a year's light."""
    what = Said("light_working.years", blue_wool=number)
    return quotient(what, dose_of(number, uv=uv), a_year, unit="years")


def limit_of(sensitivity: str) -> Figure:
    """Lux-hours a year that a museum allows a class."""
    what = Said("light_working.limit", level=Said(f"sensitivity.{sensitivity}"))
    return given(what, yearly_limit(sensitivity).lux_hours, "lx·h")


def days_within(
    sensitivity: str, lux: Number, hours: Number, *, place: Place | None = None
) -> Figure:
    """Days a year a class may be lit so; more than 365 means all year."""
    a_day = product(Said("light_working.light_a_day"), *_a_day(lux, hours, place))
    return quotient(Said("light_working.days"), limit_of(sensitivity), a_day, unit="d")


def _a_day(lux: Number, hours: Number, place: Place | None) -> Pair:
    hours_a_day = given(Said("light_working.hours_a_day"), hours, "h", place)
    return given("lux", lux, "lx", place), hours_a_day


def _span(ratings: Sequence[Rating]) -> tuple[int, int] | None:
    """The weakest dye lies between the least of the lows and the least of the highs."""
    if not ratings:
        return None
    return min(one.blue_wool[0] for one in ratings), min(one.blue_wool[1] for one in ratings)


def _most_sensitive(ratings: Sequence[Rating]) -> Rating | None:
    """The dye with the least range; of equals one that was tested goes before one that was not."""
    return min(ratings, key=lambda one: (one.blue_wool, not one.is_rated), default=None)


def _years(span: tuple[int, int] | None, a_year: Figure, *, uv: bool) -> Pair | None:
    if span is None:
        return None
    return years_to_change(span[0], a_year, uv=uv), years_to_change(span[1], a_year, uv=uv)
