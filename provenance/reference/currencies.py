"""Currencies and their minor units (ISO 4217; exceptions from memory of the standard)."""

from functools import cache

from provenance.reference.loader import rows


@cache
def currency_codes() -> dict[str, int]:
    """Currency code -> decimal places of its minor unit."""
    return {code: row["places"] for row in rows("currencies") for code in row["codes"]}


def minor_unit(code: str) -> int:
    """Decimal places money of this currency is rounded to; 2 where unknown."""
    return currency_codes().get(code, 2)
