"""Fibres as a record names them: one by name, or several with their shares.

In: placed values. Out: fibre -> share of the whole, or a `Slip` in trade words.
"""

import re
from fractions import Fraction
from typing import Annotated, Any

from provenance.problems import Said, Slip, did_you_mean
from provenance.records import quantities as q
from provenance.records.fields import Reads
from provenance.records.text import Fields, Items, Written, written
from provenance.reference.fibres import fibre_names, find_fibre

_PARTS = re.compile(r"\s*([0-9][0-9.,/ ]*%)\s*([^%,;+/&]*?[^\W\d])\s*(?:[,;+/&]|\band\b|$)")


def _fibres(value: Any, habits: q.Habits) -> dict[str, Fraction]:
    """One fibre by name, or several with their shares adding up to 100 %."""
    if isinstance(value, Items):
        raise Slip(Said("record.each_fibre"), Said("record.write_fibres"))
    parts = list(value.items()) if isinstance(value, Fields) else _fibres_in_text(written(value))
    if parts is None:
        return {_fibre(written(value)): Fraction(1)}
    shares: dict[str, Fraction] = {}
    for word, each in parts:
        _fibre(word)
        shares[word] = shares.get(word, Fraction(0)) + q.Share.of(each, habits)
    if sum(shares.values()) != 1:
        whole = f"{float(sum(shares.values()) * 100):g}"
        raise Slip(Said("record.fibres_sum", percent=whole), Said("record.fibres_whole"))
    return shares


def _fibre(name: str) -> str:
    """A name that the tables of fibres know, in any market's spelling."""
    if find_fibre(name) is None:
        near = did_you_mean(name, fibre_names())
        place = name.place if isinstance(name, Written) else None
        raise Slip(Said("record.fibre", name=name), near or Said("record.fibre_such"), place)
    return name


def _fibres_in_text(text: Written) -> list[tuple[Written, Written]] | None:
    """`60 % wool, 40 % silk` as pairs of name and share, or None where no share is written."""
    if "%" not in text:
        return None
    found = [(match[2], match[1]) for match in _PARTS.finditer(text)]
    if "".join(_PARTS.split(text)[::3]).strip() or not found:
        raise Slip(Said("record.no_fibre", text=text), Said("record.write_fibres"))
    return [
        (Written(name.strip(), text.place), Written(share, text.place)) for name, share in found
    ]


_SHAPE = {"type": ["string", "object"]}
Fibres = Annotated[dict[str, Fraction], Reads(_fibres, as_text=False, **_SHAPE)]
