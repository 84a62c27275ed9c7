"""Days as makers write them, whole or known in part, and the names of months.

In: text such as `2026-09-14`, `2026-09`, `April 2026`, `2026`. Out: the same in the order year,
month, day, as far as it is known; `Slip` for what is no day. Months go by their names, whole or cut
short, in English, German and French.
"""

import re
from collections.abc import Mapping
from datetime import date
from typing import Annotated

from provenance.records.fields import Reads, day
from provenance.records.text import Written

_NAMES = (
    "january jan januar jänner janvier janv",
    "february feb februar februari fevrier février fev fév févr",
    "march mar märz maerz mrz mars",
    "april apr avril avr",
    "may mai",
    "june jun juni juin",
    "july jul juli juillet juil",
    "august aug août aout",
    "september sep sept septembre",
    "october oct oktober okt octobre",
    "november nov novembre",
    "december dec dezember dez décembre decembre déc",
)
MONTHS: Mapping[str, int] = {
    name: number for number, names in enumerate(_NAMES, 1) for name in names.split()
}


def month_named(word: str) -> int | None:
    """The number of a month by its name, whole or cut short: `Sept.` is 9."""
    return MONTHS.get(word.strip().rstrip(".").lower())


def part_day(text: Written) -> Written:
    """A day, a month or a year, as far as it is known."""
    if re.fullmatch(r"[0-9]{4}(-(0[1-9]|1[0-2]))?", text):
        return text
    found = re.fullmatch(r"([^\W\d_]+\.?)\s+([0-9]{4})", text.strip())
    if found and (month := month_named(found[1])):
        return Written(f"{found[2]}-{month:02}", text.place)
    return Written(day(text).isoformat(), text.place)


def as_day(known: str) -> date | None:
    """The day, where it is known whole."""
    return day(known) if known.count("-") == 2 else None


def by_then(known: str) -> date:
    """The last day that a date known in part may mean: 2019 is over on 31 December."""
    if whole := as_day(known):
        return whole
    year, month = [*map(int, known.split("-")), 12][:2]
    return date.fromordinal(date(year + month // 12, month % 12 + 1, 1).toordinal() - 1)


PartKnown = Annotated[Written, Reads(part_day, type=["string", "number"], description="part day")]
