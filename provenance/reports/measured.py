"""Amounts of lots as their maker weighs them: pounds and ounces where the record is written so.

In: the book, a node of the flow, an amount in grams, centimetres or pieces. Out: ready text:
418.5 g, 24 cm, 12; or 14.75 oz, 5 yd. JSON, CSV and workings keep grams, so that sums can be done
again; a sum over lots of both kinds is in grams.
"""

from fractions import Fraction

from provenance.figures.flow.flow import Key
from provenance.figures.flow.hands import in_pounds
from provenance.language.measures import small_pounds, yards
from provenance.problems import Words
from provenance.records.book import Book
from provenance.reports.report import amount


def measured(book: Book, key: Key, value: Fraction | None, unit: str) -> Words:
    """An amount of one thing; nothing where nobody knows it."""
    if value is None or unit not in ("g", "cm") or not in_pounds(book, key):
        return amount(value, unit)
    return small_pounds(value) if unit == "g" else yards(value)


def in_store(book: Book, key: Key, value: Fraction | None, unit: str) -> Words:
    """The same of what lies on the shelf, where lengths are long: 3.2 m."""
    if value is not None and unit == "cm" and not in_pounds(book, key):
        return amount(value / 100, "m", 2)
    return measured(book, key, value, unit)
