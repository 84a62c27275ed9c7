"""Currencies and their minor units (ISO 4217; exceptions from memory of the standard)."""

from functools import cache

_TWO = (
    "AED AUD BAM BGN BRL CAD CHF CNY COP CZK DKK EGP EUR GBP GEL HKD HUF IDR ILS INR KES LKR MAD "
    "MDL MKD MXN MYR NOK NPR NZD PEN PHP PKR PLN RON RSD SAR SEK SGD THB TRY TWD UAH USD UYU ZAR"
)
_NONE = "CLP ISK JPY KRW PYG UGX VND XAF XOF XPF"
_THREE = "BHD IQD JOD KWD LYD OMR TND"


@cache
def currency_codes() -> dict[str, int]:
    """Currency code -> decimal places of its minor unit."""
    places = dict.fromkeys(_TWO.split(), 2)
    return places | dict.fromkeys(_NONE.split(), 0) | dict.fromkeys(_THREE.split(), 3)


def minor_unit(code: str) -> int:
    """Decimal places money of this currency is rounded to; 2 where unknown."""
    return currency_codes().get(code, 2)
