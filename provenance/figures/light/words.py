"""What light guidance says: for the certificate, the page, the gallery sheet and the tag.

In: `Light`, worked out by `figures.light.guidance`. Out: sentences to be told. Years are rounded
to two figures and never said beyond a hundred, because doses are known to a factor of about two
(Michalski, in CAMEO and CCI): a single blue wool is told from half its years to twice as many. They
are a range, not a promise. Museum practice is named as a yardstick. What to do is said once, as on
the tag. Most of the change comes early with madder, weld and cochineal (Cristea and Vilarem 2006;
Hagan and others 2022).
"""

from collections.abc import Iterator
from decimal import Decimal
from fractions import Fraction

from provenance.figures.dyes.dosing import stuff
from provenance.figures.light.guidance import YEAR, Light, Pair
from provenance.figures.light.rating import Rating
from provenance.figures.working import half_up
from provenance.problems import Said
from provenance.reference.light import museum

FAR = 100
FACTOR = 2


def light_words(light: Light) -> tuple[Said, ...]:
    """All sentences of the guidance, most important first, ending in what to do."""
    if light.blue_wool is None:
        return (_no_range(light),)
    first, *more = calm_light(light)
    return (*_sentences(light), *more, _museum_words(light), first)


def calm_light(light: Light) -> tuple[Said, ...]:
    """What a buyer is told: what to do, as on the tag, and what most of its dyes do in light."""
    if light.blue_wool is None:
        return (_no_range(light),)
    early = dict.fromkeys(stuff(found.dye) for found in light.ratings if found.fades_early)
    slows = Said("form.opening", words=Said("light.slows", dyes=tuple(early)))
    return (short_light(light), *([slows] if early else []))


def ranged_light(light: Light) -> tuple[Said, ...]:
    """What stands behind that: its range, years on a wall, a museum's yardstick."""
    return () if light.blue_wool is None else (*_sentences(light), _museum_words(light))


def brief_light(light: Light) -> tuple[Said, ...]:
    """The guidance without the museum's yardstick: for one page."""
    if light.blue_wool is None:
        return (_no_range(light),)
    return (*_sentences(light), short_light(light))


def short_light(light: Light) -> Said:
    """One line for a tag or a wall label."""
    if light.blue_wool is None:
        return Said("light_short.by_mill" if light.has_mill_dye else "light_short.undyed")
    return Said(f"light_short.{light.sensitivity}")


def _no_range(light: Light) -> Said:
    """Where no dye is known there is no range: undyed, or dyed by somebody else."""
    return Said("light.by_mill" if light.has_mill_dye else "light.undyed")


def about_years(years: Pair) -> Said:
    """A range of years: "about 1.8 to 55 years", "about 7 to 13 months"."""
    low, high = years[0].value, years[1].value
    if low == high:
        low, high = low / FACTOR, high * FACTOR
    if low >= FAR:
        return Said("light.more_years", years=FAR)
    if high < 1:
        return Said("light.months", first=_months(low), last=_months(high))
    first = Said("light.month", months=_months(low)) if low < 1 else _two_figures(low)
    last = Said("light.more", years=FAR) if high >= FAR else _two_figures(high)
    return Said("light.years", first=first, last=last)


def _sentences(light: Light) -> Iterator[Said]:
    """How sensitive it is and by which dye, then the home wall."""
    worst = light.most_sensitive
    assert worst is not None and light.blue_wool is not None
    level, between = Said(f"sensitivity.{light.sensitivity}"), _between(light.blue_wool)
    how = "disagree" if worst.disagree else worst.basis
    yield Said(f"light.by_{how}", level=level, between=between, dye=stuff(worst.dye))
    if light.years and light.years_uv:
        yield Said(
            "light.wall",
            lux=Said("form.ungrouped", value=light.wall_lux, places=6),
            hours=Said("form.ungrouped", value=light.wall_hours, places=6),
            years=about_years(light.years),
            years_uv=about_years(light.years_uv),
        )
    if light.has_mill_dye:
        yield Said("light.beside_mill")


def known_words(found: Rating) -> Said:
    """Its blue wool range and how that is known: "blue wool 2 to 4", "assumed"."""
    how = "disagree" if found.disagree else found.basis
    return Said(f"light_known.{how}", between=_between(found.blue_wool))


def _between(ends: tuple[int, int]) -> Said | int:
    low, high = ends
    return low if low == high else Said("light.between", low=low, high=high)


def _museum_words(light: Light) -> Said:
    days, wall = light.days_gallery.value, museum("gallery wall")
    return Said(
        "light.museum",
        limit=Said("form.number", value=light.limit.value),
        most=light.most_lux,
        days=Said("light.all_year") if days >= YEAR else Said("light.days", days=half_up(days, 1)),
        lux=wall["lux"],
        hours=wall["hours"],
    )


def _months(years: Fraction) -> int:
    return max(int(half_up(years * 12, 0)), 1)


def _two_figures(years: Fraction) -> Decimal:
    return half_up(years, 1) if years < 10 else half_up(years, 0)
