"""Spans of days as people write them: 28 to 29 November 2026; 5 March to 11 April 2027.

In: two days and the phrases of a language, which say what is left out of the first day where both
share a month or a year (date patterns of CLDR). Out: one line of text.
"""

from collections.abc import Callable
from datetime import date
from typing import Any


def span(first: date, last: date, say: Callable[..., str], locale: Any) -> str:
    """Two days that differ, in one line."""
    from babel.dates import format_date

    shared = "month" if (first.year, first.month) == (last.year, last.month) else "year"
    if first.year != last.year:
        shared = "none"
    start, end = (
        str(format_date(day, pattern, locale=locale))
        for day, pattern in zip((first, last), say(f"span.{shared}").split(" | "), strict=True)
    )
    return say("span.to", first=start, last=end)
