"""How a lot's, bath's or piece's own numbers were reached, where they do not stand in the record.

In: typed records. Out: figures for heat (hours x rate), doses (share x fibre), grease weight
(yarn / yields), counted sundries (number x price), logged hours; each down to the line.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import replace
from fractions import Fraction

from provenance.figures.flow.flow import Workings
from provenance.figures.working import Figure, given, product, quotient, total
from provenance.problems import Place
from provenance.records.amounts import Dose, Spent
from provenance.records.baths import Bath, Dyeing
from provenance.records.lots import Fleece, Sundry
from provenance.records.quantities import Rate
from provenance.records.text import Written
from provenance.reference.yields import default_yields

STEPS = ("scoured", "carded", "spun")


def heat_working(
    owner: str, rate: Rate | None, steps: Iterable[Dyeing], money: str
) -> Figure | None:
    """Hours on the heat x the rate of the studio file; None where nothing was heated."""
    heats = [step.heat for step in steps if step.heat and step.heat.hours]
    if not rate or not heats:
        return None
    what = f"hours on the heat, {owner}"
    hours = [given(what, each.hours or 0, "h", each.place) for each in heats]
    whole = hours[0] if len(hours) == 1 else total(what, hours, "h")
    each = given("heat", rate, "an hour", rate.place)
    return product(f"heat of {owner}", whole, each, unit=money)


def dose_working(name: str, dose: Dose, fibre: Figure) -> Figure | None:
    """Share of fibre x dry fibre; None where the dose was weighed."""
    if dose.share is None:
        return None
    return product(
        name, given(f"{name}, share of fibre", dose.share, "", dose.place), fibre, unit="g"
    )


def yields_of(fleece: Fleece) -> tuple[Figure, ...]:
    """What each step leaves of a fleece, as shares; assumed by its class where not written."""
    fibre = next(iter(fleece.fibre), "wool")
    assumed = default_yields(fleece.breed, fibre)
    figures = []
    for step in STEPS:
        share = getattr(fleece, step)
        if share is not None:
            figures.append(given(f"{fleece.name}, {step}", share, "", share.place))
        else:
            usual = Fraction(getattr(assumed, step)) / 100
            figures.append(given(f"{fleece.name}, {step} (assumed)", usual))
    return tuple(figures)


def grease_working(fleece: Fleece, yarn: Fraction, place: Place) -> Figure:
    """Grease weight that gives this much yarn: yarn / (scoured x carded x spun)."""
    spun, yields = given("yarn", yarn, "g", place), yields_of(fleece)
    if any(share.value == 0 for share in yields):
        return spun  # nothing is left of such a fleece; the record wants mending
    return quotient(f"{fleece.name} in the grease", spun, *yields, unit="g")


def spun_working(name: str, parts: Sequence[tuple[Fleece, Fraction, Place]]) -> Figure:
    """Yarn expected of the fleece put in: the sum of grease x yields."""
    spun = [
        product(
            f"of {fleece.name}",
            given(f"{fleece.name} in the grease", grease, "g", place),
            *yields_of(fleece),
            unit="g",
        )
        for fleece, grease, place in parts
    ]
    return total(f"{name} in all, by its yields", spun, "g")


def fibre_working(name: str, bath: Bath) -> Figure:
    """The dry fibre in a bath: the weights of all that was dyed in it."""
    weights = [
        given(str(entry.becomes), entry.weight, "g", entry.weight.place) for entry in bath.dyed
    ]
    what = f"fibre in bath {name}"
    return replace(weights[0], what=what) if len(weights) == 1 else total(what, weights, "g")


def sundry_working(sundry: Sundry, count: Fraction, money: str) -> Figure | None:
    """Number x price each; None where a sundry was bought at a price for the whole."""
    if sundry.each is None:
        return None
    place = sundry.number.place if sundry.number else None
    number = given(f"{sundry.name}, how many", count, "", place)
    each = given(f"{sundry.name}, each", sundry.each, money, sundry.each.place)
    return product(f"cost of {sundry.name}", number, each, unit=money)


def hours_workings(owner: str, spent: Mapping[Written, Spent]) -> Workings:
    """Hours by activity, each with the line it stands in; a log line by line."""
    return {str(activity): _spent(owner, activity, each) for activity, each in spent.items()}


def _spent(owner: str, activity: str, spent: Spent) -> Figure:
    what = f"{activity}, {owner}"
    if len(spent.log) < 2:
        return given(what, spent.hours, "h", spent.place)
    logged = [
        given(f"{activity} on {each.on}", each.hours, "h", each.hours.place) for each in spent.log
    ]
    return total(what, logged, "h")
