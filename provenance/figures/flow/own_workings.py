"""How a lot's, bath's or piece's own numbers were reached, where they do not stand in the record.

In: typed records. Out: figures for heat (hours x rate), doses (share x fibre), grease weight
(yarn / yields), counted sundries (number x price), logged hours; each down to the line.
"""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import replace
from fractions import Fraction

from provenance.figures.flow.flow import Workings, in_all
from provenance.figures.working import Figure, added, given, product, quotient, total
from provenance.problems import Place, Said, Words, named
from provenance.records.amounts import Dose, Spent
from provenance.records.baths import Bath, Dyeing
from provenance.records.lots import Fleece, Sundry
from provenance.records.quantities import Rate
from provenance.records.text import Written
from provenance.reference.yields import default_yields

STEPS = ("scoured", "carded", "spun")


def heat_working(
    owner: Words, rate: Rate | None, steps: Iterable[Dyeing], money: str
) -> Figure | None:
    """Hours on the heat x the rate of the studio file; None where nothing was heated."""
    heats = [step.heat for step in steps if step.heat and step.heat.hours]
    if not rate or not heats:
        return None
    what = Said("flow.heated", what=owner)
    hours = added(what, [given(what, each.hours or 0, "h", each.place) for each in heats], "h")
    each = given(Said("flow.heat"), rate, "an hour", rate.place)
    return product(Said("flow.heat_of", what=owner), hours, each, unit=money)


def dose_working(name: str, dose: Dose, fibre: Figure) -> Figure | None:
    """Share of fibre x dry fibre; None where the dose was weighed."""
    if dose.share is None:
        return None
    share = given(Said("flow.of_fibre", what=name), dose.share, "", dose.place)
    return product(name, share, fibre, unit="g")


def yields_of(fleece: Fleece) -> tuple[Figure, ...]:
    """What each step leaves of a fleece, as shares; assumed by its class where not written."""
    assumed = default_yields(fleece.breed, next(iter(fleece.fibre), "wool"))
    figures = []
    for step in STEPS:
        share, what = getattr(fleece, step), Said(f"flow.{step}", fleece=fleece.name)
        if share is not None:
            figures.append(given(what, share, "", share.place))
        else:
            usual = Fraction(getattr(assumed, step)) / 100
            figures.append(given(Said("flow.assumed", what=what), usual))
    return tuple(figures)


def in_the_grease(fleece: Fleece) -> Said:
    """What weight of a fleece is meant: before scouring."""
    return Said("flow.in_grease", fleece=fleece.name)


def grease_working(fleece: Fleece, yarn: Fraction, place: Place) -> Figure:
    """Grease weight that gives this much yarn: yarn / (scoured x carded x spun)."""
    spun, yields = given(Said("flow.yarn"), yarn, "g", place), yields_of(fleece)
    if any(share.value == 0 for share in yields):
        return spun  # nothing is left of such a fleece; the record wants mending
    return quotient(in_the_grease(fleece), spun, *yields, unit="g")


def spun_working(name: str, parts: Sequence[tuple[Fleece, Fraction, Place]]) -> Figure:
    """Yarn expected of the fleece put in: the sum of grease x yields."""
    spun = [
        product(
            Said("flow.of", what=fleece.name),
            given(in_the_grease(fleece), grease, "g", place),
            *yields_of(fleece),
            unit="g",
        )
        for fleece, grease, place in parts
    ]
    return total(Said("flow.by_yields", what=name), spun, "g")


def fibre_working(name: str, bath: Bath) -> Figure:
    """The dry fibre in a bath: the weights of all that was dyed in it."""
    what = Said("flow.fibre_in", bath=name)
    weights = [
        given(str(entry.becomes), entry.weight, "g", entry.weight.place) for entry in bath.dyed
    ]
    return replace(added(what, weights, "g"), what=what)


def sundry_working(sundry: Sundry, count: Fraction, money: str) -> Figure | None:
    """Number x price each; None where a sundry was bought at a price for the whole."""
    if sundry.each is None:
        return None
    place = sundry.number.place if sundry.number else None
    number = given(Said("flow.how_many", what=sundry.name), count, "", place)
    return product(
        Said("flow.cost_of", what=sundry.name), number, each_of(sundry, money), unit=money
    )


def each_of(sundry: Sundry, money: str) -> Figure:
    """What one, a centimetre or a gram of a sundry cost; nothing where no record tells it."""
    what, name = Said("flow.each", what=sundry.name), sundry.name
    if sundry.each is not None:
        return given(what, sundry.each, money, sundry.each.place)
    if not sundry.amount:
        return given(what, 0, money)
    place = sundry.cost.place if sundry.cost is not None else None
    paid = given(Said("flow.cost_of", what=name), sundry.cost or 0, money, place)
    return quotient(what, paid, in_all(name, sundry.amount, sundry.unit, sundry.amount.place))


def hours_workings(owner: Words, spent: Mapping[Written, Spent]) -> Workings:
    """Hours by activity, each with the line it stands in; a log line by line."""
    return {str(activity): _spent(owner, activity, each) for activity, each in spent.items()}


def _spent(owner: Words, activity: str, spent: Spent) -> Figure:
    named_so = named("activity", activity)
    what = Said("flow.hours_of", activity=named_so, what=owner)
    if len(spent.log) < 2:
        return given(what, spent.hours, "h", spent.place)
    logged = [
        given(Said("flow.hours_on", activity=named_so, day=each.on.isoformat()), each.hours, "h",
              each.hours.place)
        for each in spent.log
    ]  # fmt: skip
    return total(what, logged, "h")
