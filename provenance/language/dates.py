"""A span of days written out, as people write it: the month once where it is the same.

In: two days, a Babel locale. Out: its two ends as text: 28, 29 November 2026; 30 October,
2 November 2026. CLDR's spans have short months alone, and a page that says both 29 November and
29 Nov has two forms of one thing.
"""

from datetime import date
from typing import Any


def ends_of(first: date, last: date, locale: Any) -> tuple[str, str]:
    """The first day as far as the last does not say it, and the last."""
    from babel.dates import format_date

    whole = str(locale.date_formats["long"].pattern)
    before, after = whole, whole
    if first.year == last.year and not whole.startswith("y"):
        before = whole[: whole.index("y")].rstrip(" ,")
        if first.month == last.month and whole.startswith("d"):
            before = before.split(" ")[0]
        elif first.month == last.month:
            after = whole.split(" ", 1)[1]
    return (format_date(first, before, locale=locale), format_date(last, after, locale=locale))
