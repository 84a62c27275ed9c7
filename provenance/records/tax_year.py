"""The year that a studio's books run over: its first day, what it is called, its months.

In: `6 April`, `1 July`, `calendar`. Out: a `TaxYear`. A year is called by the year it begins in:
with 6 April, 2026 runs from 6 April 2026 to 5 April 2027.
"""

import re
from dataclasses import dataclass
from datetime import date, timedelta
from itertools import pairwise

from provenance.problems import Said, Slip
from provenance.records.text import Written

_MONTHS = (
    "january", "february", "march", "april", "may", "june", "july", "august", "september",
    "october", "november", "december",
)  # fmt: skip
_DAYS = (31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31)  # 29 February begins no year


@dataclass(frozen=True, slots=True)
class TaxYear:
    """The month and the day a year begins on."""

    month: int = 1
    day: int = 1

    def first(self, year: int) -> date:
        """The first day of a year."""
        return date(year, self.month, self.day)

    def last(self, year: int) -> date:
        """The last day of a year."""
        return self.first(year + 1) - timedelta(days=1)

    def of(self, day: date) -> int:
        """The year a day falls in."""
        return day.year if day >= self.first(day.year) else day.year - 1

    def months(self, year: int) -> tuple[tuple[date, date], ...]:
        """First and last day of its twelve months; a month of 6 April runs to 5 May.

        A day that a month lacks is its last one: of 31 January, 28 February.
        """
        starts = [self._month(year, turn) for turn in range(13)]
        return tuple((first, after - timedelta(days=1)) for first, after in pairwise(starts))

    def _month(self, year: int, turn: int) -> date:
        more, index = divmod(self.month - 1 + turn, 12)
        return date(year + more, index + 1, min(self.day, _DAYS[index]))


def read_tax_year(text: Written) -> TaxYear:
    """`6 April`, `April 6`, `1 Jul`; `calendar` is 1 January."""
    said = text.strip().lower()
    if said in ("calendar", "calendar year"):
        return TaxYear()
    found = re.fullmatch(r"([0-9]{1,2})\.? ([a-z]{3,9})|([a-z]{3,9}) ([0-9]{1,2})", said)
    if found:
        day, name = int(found[1] or found[4]), found[2] or found[3]
        months = [turn for turn, month in enumerate(_MONTHS) if month.startswith(name)]
        if len(months) == 1 and 1 <= day <= _DAYS[months[0]]:
            return TaxYear(months[0] + 1, day)
    raise Slip(Said("record.tax_year", text=text), Said("record.write_tax_year"))


def read_year(text: str) -> int:
    """A year as it is called: 2026, or 2026/27."""
    found = re.fullmatch(r"([0-9]{4})(?:[/-]([0-9]{2}|[0-9]{4}))?", text.strip())
    if not found or not 1900 <= int(found[1]) < 9000:
        raise Slip(Said("value.year", text=text), Said("value.write_year"))
    if found[2] and (int(found[1]) + 1) % 100 != int(found[2]) % 100:
        raise Slip(Said("value.year", text=text), Said("value.write_year"))
    return int(found[1])
