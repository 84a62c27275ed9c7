"""What light guidance says: for the certificate, the page, the gallery sheet and the tag.

In: `Light`, worked out by `figures.light.guidance`. Out: sentences to be told. Years are rounded
to two figures and never said beyond a hundred, because doses are known to a factor of about two
(Michalski, in CAMEO and CCI); they are a range, not a promise. Museum practice is named as a
yardstick.
"""

from collections.abc import Iterator
from decimal import Decimal
from fractions import Fraction

from provenance.figures.dyes.dosing import stuff
from provenance.figures.light.guidance import UNRATED, YEAR, Light, Pair
from provenance.figures.working import half_up
from provenance.problems import Said
from provenance.reference.light import museum

FAR = 100
MONTH = 30
UNDYED = Said("light.undyed")


def light_words(light: Light) -> tuple[Said, ...]:
    """All sentences of the guidance, most important first."""
    return (UNDYED,) if light.blue_wool is None else tuple(_sentences(light))


def brief_light(light: Light) -> tuple[Said, ...]:
    """The guidance without the museum's yardstick, ending in advice: for one page."""
    if light.blue_wool is None:
        return (UNDYED,)
    return (*tuple(_sentences(light))[:-2], short_light(light))


def short_light(light: Light) -> Said:
    """One line for a tag or a wall label."""
    return Said(f"light_short.{light.sensitivity if light.blue_wool else 'undyed'}")


def about_years(years: Pair) -> Said:
    """A range of years: "about 1.8 to 55 years", "about 7 to 13 months"."""
    low, high = years[0].value, years[1].value
    if low >= FAR:
        return Said("light.more_years", years=FAR)
    if high < 1:
        return Said("light.months", first=_months(low), last=_months(high))
    first = Said("light.month", months=_months(low)) if low < 1 else _two_figures(low)
    last = Said("light.more", years=FAR) if high >= FAR else _two_figures(high)
    return Said("light.years", first=first, last=last)


def _sentences(light: Light) -> Iterator[Said]:
    """The figures, then the museum's yardstick in two sentences."""
    yield _class_words(light)
    if light.not_rated:
        yield _not_rated_words(light)
    if light.years and light.years_uv:
        yield Said(
            "light.wall",
            lux=Said("form.ungrouped", value=light.wall_lux, places=6),
            hours=Said("form.ungrouped", value=light.wall_hours, places=6),
            years=about_years(light.years),
            years_uv=about_years(light.years_uv),
        )
    yield _museum_words(light)
    yield _rest_words(light)


def _class_words(light: Light) -> Said:
    worst, level = light.most_sensitive, Said(f"sensitivity.{light.sensitivity}")
    if worst is None or not worst.is_rated:
        return Said("light.cautious", level=level)
    low, high = worst.blue_wool
    between = low if low == high else Said("light.between", low=low, high=high)
    return Said("light.rated", level=level, dye=stuff(worst.dye), between=between)


def _not_rated_words(light: Light) -> Said:
    dyes, number = tuple(map(stuff, light.not_rated)), len(light.not_rated)
    between = Said("light.between", low=UNRATED[0], high=UNRATED[1])
    said = Said("light.not_rated", dyes=dyes, number=number, between=between)
    return Said("form.opening", words=said)


def _museum_words(light: Light) -> Said:
    days, wall = light.days_gallery.value, museum("gallery wall")
    return Said(
        "light.museum",
        limit=Said("form.by_threes", value=light.limit.value),
        most=light.most_lux,
        days=Said("light.all_year") if days >= YEAR else Said("light.days", days=half_up(days, 1)),
        lux=wall["lux"],
        hours=wall["hours"],
    )


def _rest_words(light: Light) -> Said:
    days = light.days_home.value
    if days >= YEAR:
        return Said("light.rest_never")
    whole = int(half_up(days, 0)) if days >= 1 else 0
    name = "light.rest" if days >= MONTH else "light.rest_long"
    return Said(name, days=Said("light.spent", number=whole))


def _months(years: Fraction) -> int:
    return max(int(half_up(years * 12, 0)), 1)


def _two_figures(years: Fraction) -> Decimal:
    return half_up(years, 1) if years < 10 else half_up(years, 0)
