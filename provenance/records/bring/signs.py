"""How a column writes its numbers and its days, decided by the column as a whole.

In: the texts of a column. Out: its decimal sign, the order of day and month; numbers and days in
one spelling. Nothing is guessed: what can be read two ways, and no other row decides, is a Slip
that asks. Money has no thousandths, so that three digits after a sign are thousands there.
"""

import re
from collections.abc import Iterable
from datetime import date, timedelta
from typing import Literal

from provenance.problems import Said, Slip
from provenance.records.days import month_named
from provenance.records.fields import day

Order = Literal["", "day first", "month first"]
NUMBER = re.compile(r"[0-9](?:[0-9.,'’ ]*[0-9])?|[.,][0-9]+")
_NUMERIC = re.compile(
    r"([0-9]{1,2})\s?([./-])\s?([0-9]{1,2})\s?\2\s?([0-9]{4}|[0-9]{2})(?:[ T,]+[0-9:. ]+)?"
)
_ISO = re.compile(r"([0-9]{4})[-/.]([0-9]{1,2})(?:[-/.]([0-9]{1,2})(?:[ T][0-9:.Z]+)?)?")
_MONTH_YEAR = re.compile(r"([0-9]{1,2})[./-]([0-9]{4})")
_BESIDE = frozenset(
    [
        "the",
        "of",
        "st",
        "nd",
        "rd",
        "th",
        "er",
        "le",
        "la",
        "den",
        "der",
        "am",
        "im",
        "in",
        "on",
        "de",
        "vom",
        "finished",
        "mo",
        "di",
        "mi",
        "do",
        "fr",
        "sa",
        "so",
        "mon",
        "tue",
        "wed",
        "thu",
        "fri",
        "sat",
        "sun",
    ]
)
_DAY_ONE = date(1899, 12, 30)  # what spreadsheets count days from
_COUNTED = range(20_000, 60_000)  # 1954 to 2064


def decimal_sign(texts: Iterable[str]) -> str:
    """The decimal sign that a column uses for certain; '' where none does, or both."""
    found = {sign for text in texts for token in NUMBER.findall(text) if (sign := _sure(token))}
    return found.pop() if len(found) == 1 else ""


def _sure(token: str) -> str:
    signs: list[str] = re.findall(r"[.,]", token)
    if len(set(signs)) == 2:
        return signs[-1]
    if len(signs) != 1:
        return ""
    head, tail = re.split(r"[.,]", token)
    return signs[0] if len(tail) != 3 or head.strip("0") == "" else ""


def settled(token: str, sign: str, *, is_money: bool = False) -> str:
    """One number with a point and without thousands: `1.450,50` is 1450.50."""
    bare = re.sub(r"(?<=[0-9])['’ ](?=[0-9]{3}(?![0-9]))", "", token)
    signs = re.findall(r"[.,]", bare)
    mark = _sure(bare)
    if not mark and len(signs) == 1:
        mark = sign or ("none" if is_money else "")
        if not mark:
            either = {"whole": re.sub("[.,]", "", bare), "part": bare.rstrip("0").rstrip(".,")}
            raise Slip(Said("bring.two_ways", text=token), Said("bring.write_either", **either))
    head, point, tail = bare.rpartition(mark) if mark in signs else (bare, "", "")
    is_number = re.fullmatch(r"[0-9]*|[0-9]{1,3}([.,][0-9]{3})+", head) and (tail + "0").isdigit()
    if not is_number:
        raise Slip(Said("bring.no_number", text=token), Said("amount.digits"))
    return f"{re.sub('[.,]', '', head) or '0'}{'.' if point else ''}{tail}"


def day_order(texts: Iterable[str]) -> tuple[Order, bool]:
    """Which comes first in a column's days, as far as one of its rows decides; and whether rows
    contradict each other."""
    firsts = {order for text in texts if (order := _told_by(text))}
    return (firsts.pop(), False) if len(firsts) == 1 else ("", bool(firsts))


def _told_by(text: str) -> Order:
    found = _NUMERIC.fullmatch(text.strip())
    if not found:
        return ""
    first, second = int(found[1]), int(found[3])
    if first > 12 or (found[2] == "." and second <= 12):  # 3.4.2019 is written day first
        return "day first"
    return "month first" if second > 12 else ""


def day_from(text: str, order: Order, today: date) -> str:
    """A day as far as it is known, as records have it: 2019-04-03, 2019-04, 2019."""
    known = _read(text.strip(), order, today)
    if day("-".join([*known.split("-"), "01", "01"][:3])) > today:
        raise Slip(Said("bring.future", text=text), Said("bring.write_past"))
    return known


def _read(text: str, order: Order, today: date) -> str:
    if re.fullmatch("[0-9]{4}", text):
        return text
    if re.fullmatch("[0-9]{5}", text) and int(text) in _COUNTED:
        return (_DAY_ONE + timedelta(days=int(text))).isoformat()
    if found := _ISO.fullmatch(text):
        return _dated(text, found[1], found[2], found[3])
    if found := _MONTH_YEAR.fullmatch(text):
        return _dated(text, found[2], found[1], None)
    if found := _NUMERIC.fullmatch(text):
        return _numeric(text, found, order, today)
    return _in_words(text, today)


def _numeric(text: str, found: re.Match[str], order: Order, today: date) -> str:
    first, second, year = found[1], found[3], _whole_year(found[4], today)
    is_same = int(first) == int(second)
    order = _told_by(text) or order or ("day first" if is_same else "")
    if not order:
        raise Slip(Said("bring.day_or_month", text=text), Said("bring.say_order"))
    day_and_month = (first, second) if order == "day first" else (second, first)
    return _dated(text, year, day_and_month[1], day_and_month[0])


def _in_words(text: str, today: date) -> str:
    """3 April 2019, April 3, 2019, 3. Apr. 19, avril 2019."""
    words = [each for each in re.findall(r"[^\W\d_]+|[0-9]+", text.casefold())
             if each not in _BESIDE]  # fmt: skip
    months = [month for each in words if (month := month_named(each))]
    digits = [each for each in words if each.isdigit()]
    if len(months) != 1 or len(digits) not in (1, 2) or len(words) != 1 + len(digits):
        raise Slip(Said("value.day", text=text), Said("bring.write_day"))
    if len(digits) == 2 and len(digits[0]) == 4:
        digits.reverse()
    year = _whole_year(digits[-1], today)
    return _dated(text, year, str(months[0]), digits[0] if len(digits) == 2 else None)


def _whole_year(written: str, today: date) -> str:
    """Two digits are the latest year that has been."""
    if len(written) == 4:
        return written
    century = today.year // 100 * 100
    year = century + int(written)
    return str(year if year <= today.year else year - 100)


def _dated(text: str, year: str, month: str, number: str | None) -> str:
    if not 1 <= int(month) <= 12 or len(year) != 4:
        raise Slip(Said("value.day", text=text), Said("bring.write_day"))
    if number is None:
        return f"{year}-{int(month):02}"
    return day(f"{year}-{month}-{number}").isoformat()
