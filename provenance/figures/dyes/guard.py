"""The guard of the dye day: what is worth a word about one stuff on one fibre.

In: a bath help or dyestuff by the name the tables know it by and what its maker calls it, per cent
of dry fibre, degrees C, pH, and the fibres of the pot as they dye (wool, silk, cellulose). Out: a
remark with its source, or None. Ranges, harm, poison and law stand in the tables of `reference`;
limits for silk and alkali: pburch.net and P. Galafassi on turkotek.com, figures from memory.
"""

import re
from collections.abc import Mapping, Sequence
from decimal import Decimal

from provenance.figures.dyes.dosing import stuff
from provenance.problems import Said, chained
from provenance.reference.dyes import Dye, find_dye, is_lake
from provenance.reference.mordants import Mordant, find_mordant, known_on
from provenance.reference.poisons import find_stuff
from provenance.reference.sourced import Protection, Span, cite, cited

# Said at the first place in the whole studio, and quiet when any record knows it.
SAID_ONCE = frozenset(
    (
        "dosing.grave",
        "dosing.unknown",
        "dosing.protected",
        "dosing.protected_undated",
        "dosing.lake",
        "dosing.wild",
    )
)
LAKES = cite("CAM")
WOOL = ("wool",)
SILK_MOST = Decimal(85)
# By way of dyeing: the pH above which alkali harms, and in a vat, which is alkaline by its nature.
ALKALI = {
    "wool": (Decimal("9.5"), Decimal("10.9")),
    "silk": (Decimal(9), Decimal(10)),
}


def share_remark(
    name: str, percent: Decimal, kinds: Sequence[str] = WOOL, *, called: str = ""
) -> Said | None:
    """A remark when a bath help's share lies outside what is usual on the fibres of the pot."""
    row = find_mordant(name)
    if row is None:
        return None
    spans = [(kind, span) for kind in kinds if (span := row.usual_on(kind))]
    about = {
        "name": stuff(called or name),
        "share": Said("form.ungrouped", value=percent, places=6),
    }
    for kind, span in spans:
        if span.high is not None and percent > span.high:
            return _too_much(row, span, kind, about)
    if spans and all(span.low is not None and percent < span.low for _, span in spans):
        usual = spans[0][1]
        return Said("dosing.below", **about, usual=_worded(usual), source=cited(usual.source))
    return None


def _too_much(row: Mordant, span: Span, kind: str, about: Mapping[str, Said]) -> Said:
    """What harms has a most, no usual: nobody is led to take more of it."""
    rest = {**about, "source": cited(span.source)}
    if row.beyond:
        rest["harm"] = Said(f"beyond.{row.name}")
    if span.low is None:
        key = "dosing.most" if row.beyond else "dosing.most_plain"
        return Said(key, end=span.high, fibre=Said(f"pot.{kind}"), **rest)
    return Said("dosing.beyond" if row.beyond else "dosing.above", usual=_worded(span), **rest)


def _worded(usual: Span) -> Said:
    """A range: 6 to 20 %."""
    if usual.low == usual.high:
        return Said("dosing.just", share=usual.low)
    return Said("dosing.span", low=usual.low, high=usual.high)


def unfit_remark(name: str, kinds: Sequence[str], *, is_vat: bool, called: str = "") -> Said | None:
    """A remark when a bath help harms a fibre of the pot; alkali belongs in an indigo vat."""
    row = find_mordant(name)
    if row is None or row.unfit is None or (is_vat and row.unfit.but_vats):
        return None
    harmed = [kind for kind in kinds if kind in row.unfit.fibres]
    if not harmed:
        return None
    said, source = row.unfit.note.words, cited(row.unfit.note.source)
    return Said(
        "dosing.unfit",
        name=stuff(called or name),
        fibre=Said(f"pot.{harmed[0]}"),
        harm=said,
        source=source,
    )


def tannin_remark(name: str, called: str = "") -> Said | None:
    """Alum salts on cotton and linen hold only after a tannin, or with soda ash."""
    row = find_mordant(name)
    if row is None or row.after_tannin is None:
        return None
    source = cited(row.after_tannin.source)
    about = {"name": stuff(called or name), "fibre": Said("pot.cellulose"), "source": source}
    return Said("dosing.after_tannin", **about)


def heat_remark(
    dyes: Mapping[str, str], celsius: Decimal, kinds: Sequence[str] = WOOL
) -> Said | None:
    """A remark when a bath is hotter than its dyes, or silk, like; vat limits hold for wool only.

    `dyes` are species, or names, with what the maker calls them.
    """
    found = []
    for known, name in dyes.items():
        dye = find_dye(known)
        limit = dye.heat if dye and not is_lake(name) else None
        if dye and limit and celsius > limit.celsius and _concerns(limit.fibres, kinds):
            source, harm = cited(limit.source), Said(f"heat.{dye.name}")
            about = {"name": stuff(name), "limit": limit.celsius, "harm": harm, "source": source}
            found.append(Said("dosing.heat", **about))
    if "silk" in kinds and celsius > SILK_MOST:
        found.append(Said("dosing.silk_heat", limit=SILK_MOST))
    return chained("dosing.besides", dict.fromkeys(found)) or None


def _concerns(fibres: tuple[str, ...], kinds: Sequence[str]) -> bool:
    return not fibres or any(kind in fibres for kind in kinds)


def ph_remark(written: str, kinds: Sequence[str], *, is_vat: bool) -> Said | None:
    """A remark when the pH noted is too alkaline for wool or silk, or too acid for plant fibre."""
    values = [Decimal(each.replace(",", ".")) for each in re.findall(r"\d+(?:[.,]\d+)?", written)]
    values = [value for value in values if value <= 14]
    if not values:
        return None
    for kind in kinds:
        if kind in ALKALI and max(values) > ALKALI[kind][is_vat]:
            return Said(f"dosing.alkali_{kind}", ph=max(values))
    if "cellulose" in kinds and min(values) < 4:
        return Said("dosing.acid_cellulose", ph=min(values))
    return None


def missing_mordant(dyes: Mapping[str, str], *, has_mordant: bool) -> Said | None:
    """A remark when dyes that need a mordant are on yarn that carries none.

    Indigo, walnut, tannins and lichens need none; cochineal is recorded either way. `dyes` are
    species, or names, with what the maker calls them.
    """
    found = ((find_dye(known), name) for known, name in dyes.items())
    wanting = tuple(
        stuff(name) for dye, name in found if dye and dye.mordant == "needed" and not is_lake(name)
    )
    if has_mordant or not wanting:
        return None
    return Said("dosing.unmordanted", dyes=wanting, number=len(wanting))


def grave_remark(known: str, name: str) -> Said | None:
    """Poison, burns, fire or cancer in a few words; or that nobody here knows the stuff."""
    row = find_stuff(known)
    if is_lake(name):
        return Said("dosing.lake", name=stuff(name), source=cited(LAKES))
    if row is None:
        return Said("dosing.unknown", name=stuff(name))
    if row.hazard is None or (isinstance(row, (Dye, Mordant)) and not row.grave):
        return None
    source, month = cited(row.hazard.source), Said("form.part_day", text=known_on())
    return Said("dosing.grave", name=stuff(name), grave=row.hazard.words, source=source, day=month)


def protection_remark(known: str, name: str) -> Said | None:
    """The law or the request that guards what was gathered or is sold abroad, and since when."""
    row = find_stuff(known)
    guarded = row.protected if isinstance(row, (Dye, Mordant)) else None
    return protection_words(guarded, stuff(name))


def protection_words(guarded: Protection | None, name: Said) -> Said | None:
    """The same of anything that may be protected, told by its name."""
    if guarded is None or guarded.about == "growing":
        return None
    about = {"name": name, "rule": guarded.note.words, "source": cited(guarded.note.source)}
    if not guarded.is_dated:
        return Said("dosing.protected_undated", **about)
    day = Said("form.part_day", text=guarded.checked_on)
    return Said("dosing.protected", **about, day=day)


def is_of_dyeing(said: Said) -> bool:
    """Whether a sentence is one of these remarks."""
    links = [value for name, value in said.pairs if name == "link"]
    return said.key.startswith("dosing.") or "dosing.besides" in links


def is_tannin(known: str) -> bool:
    """Whether a dyestuff or bath help is a tannin: oak gall, pomegranate, tannic acid."""
    row = find_stuff(known)
    return row is not None and (row.name == "tannin" or getattr(row, "on_wool", "") == "tannin")
