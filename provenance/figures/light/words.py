"""Light guidance in plain words: for the certificate, the page, the gallery sheet and the tag.

In: `Light`, worked out by `figures.light.guidance`. Out: sentences. Years are rounded to two
figures and never said beyond a hundred, because doses are known to a factor of about two
(Michalski, in CAMEO and CCI); they are a range, not a promise. Museum practice is named as a
yardstick.
"""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction

from provenance.figures.dyes.dosing import listed
from provenance.figures.light.guidance import UNRATED, Light, Pair
from provenance.figures.working import half_up, plain
from provenance.reference.light import museum

FAR = 100
UNDYED = (
    "No dye to fade. Undyed wool and silk yellow slowly in strong light; keep it out of direct sun."
)


def light_words(light: Light) -> tuple[str, ...]:
    """All sentences of the guidance, most important first."""
    return (UNDYED,) if light.blue_wool is None else tuple(_sentences(light))


def brief_light(light: Light) -> tuple[str, ...]:
    """The guidance without the museum's yardstick, ending in advice: for one page."""
    if light.blue_wool is None:
        return (UNDYED,)
    measured = tuple(_sentences(light))[:-2]
    return (*measured, short_light(light))


def short_light(light: Light) -> str:
    """One line for a tag or a wall label."""
    if light.blue_wool is None:
        return "No dye to fade; keep out of direct sun."
    advice = {
        "high": "Fades soon in light: keep shaded, rest in the dark.",
        "medium": "Keep out of direct sun.",
        "low": "Steady in light; still, keep out of direct sun.",
    }
    return advice[light.sensitivity]


def about_years(years: Pair) -> str:
    """A range of years in words: "about 1.8 to 55 years", "about 7 to 13 months"."""
    low, high = years[0].value, years[1].value
    if low >= FAR:
        return f"more than {FAR} years"
    if high < 1:
        return f"about {_months(low)} to {_months(high)} months"
    first = f"{_months(low)} months" if low < 1 else _two_figures(low)
    last = f"more than {FAR}" if high >= FAR else _two_figures(high)
    return f"about {first} to {last} years"


def thousands(value: Fraction | int) -> str:
    """A whole number in groups of three: 150 000."""
    return f"{int(half_up(value, 0)):,}".replace(",", " ")


def _sentences(light: Light) -> Iterator[str]:
    """The figures, then the museum's yardstick in two sentences."""
    yield _class_words(light)
    if light.not_rated:
        yield _not_rated_words(light)
    if light.years and light.years_uv:
        yield (
            f"On a wall of {plain(light.wall_lux.value)} lux for {plain(light.wall_hours.value)}"
            f" hours a day a first visible change may come after {about_years(light.years)}"
            f" without ultraviolet, {about_years(light.years_uv)} in daylight through glass:"
            " a range, not a promise."
        )
    yield _museum_words(light)
    yield _rest_words(light)


def _class_words(light: Light) -> str:
    worst = light.most_sensitive
    if worst is None or not worst.is_rated:
        return f"Sensitivity to light: {light.sensitivity}, out of caution."
    low, high = worst.blue_wool
    between = f"{low}" if low == high else f"{low} to {high}"
    return (
        f"Sensitivity to light: {light.sensitivity}. Most sensitive dye: {worst.dye},"
        f" blue wool {between} on the scale from 1 (fades first) to 8."
    )


def _not_rated_words(light: Light) -> str:
    be = "is" if len(light.not_rated) == 1 else "are"
    said = (
        f"{listed(light.not_rated)} {be} not rated: no tested figure was found, so the piece is"
        f" treated as highly sensitive, blue wool {UNRATED[0]} to {UNRATED[1]}."
    )
    return said[:1].upper() + said[1:]


def _museum_words(light: Light) -> str:
    days, wall = light.days_gallery.value, museum("gallery wall")
    said = "all year" if days >= 365 else f"{plain(days, 1)} days a year"
    return (
        f"A museum allows this class {thousands(light.limit.value)} lux-hours a year, at most"
        f" {light.most_lux} lux: {said} at {wall['lux']} lux for"
        f" {wall['hours']} hours a day."
    )


def _rest_words(light: Light) -> str:
    days = light.days_home.value
    if days >= 365:
        return "By that yardstick it may hang on the home wall all year; keep it out of direct sun."
    if days >= 30:
        return (
            f"By that yardstick the home wall uses up a year's light in {_days(days)}:"
            " keep it out of direct sun and rest it in the dark for part of each year."
        )
    return (
        f"By that yardstick the home wall uses up a year's light in {_days(days)}: choose"
        " a dim wall, keep it out of all sun, and rest it in the dark for half the year or more."
    )


def _days(days: Fraction) -> str:
    if days < 1:
        return "less than a day"
    whole = plain(days, 0)
    return "1 day" if whole == "1" else f"{whole} days"


def _months(years: Fraction) -> int:
    return max(int(half_up(years * 12, 0)), 1)


def _two_figures(years: Fraction) -> str:
    return plain(years, 1) if years < 10 else plain(years, 0)
