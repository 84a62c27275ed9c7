"""Fibre content of a piece and the labels that say it.

In: the yarns of a piece (`FibrePart`, `Piecework`). Out: its plain composition (`shares`), its
label in one market (`label`), and the small checks that go with them. Rules and sources are in
`fibre_shares.py`, `fibre_label_us.py`, `fibre_label_eu.py`; this module is the door to them.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from decimal import Decimal
from fractions import Fraction

from provenance.figures.fibre.label_eu import eu_label
from provenance.figures.fibre.label_us import us_label
from provenance.figures.fibre.piecework import FibreLabel, Piecework
from provenance.figures.fibre.shares import (
    FibrePart,
    FibreShare,
    content_words,
    fibre_of,
    shares,
    woven,
)
from provenance.reference.fibres import fibre_names, find_fibre

__all__ = [
    "FibreLabel",
    "FibrePart",
    "FibreShare",
    "Piecework",
    "cashmere_doubts",
    "content_words",
    "fibres_named",
    "label",
    "shares",
    "tag_note",
    "within_tolerance",
]

MARKETS = ("UK", "EU", "US")

SEE_LABEL = "See label for the product's full fiber content."
NOT_FULL = "This tag does not disclose the product's full fiber content."

_TOLERANCE = 3  # percentage points: 16 CFR 303.43 (heading read, figure from memory); Art. 20
_CASHMERE_MICRONS = Decimal(19)
_CASHMERE_COARSE = Decimal(3)
_CASHMERE_VARIATION = Decimal(24)


def label(work: Piecework, market: str) -> FibreLabel:
    """The fibre label of a piece in one market: UK, EU or US.

    Raises Slip for a fibre that nobody knows, ValueError for another market.
    """
    if market not in MARKETS:
        raise ValueError(f"no label rules for {market}; known: {', '.join(MARKETS)}")
    return us_label(work) if market == "US" else eu_label(work, market)


def tag_note(headline: str, parts: Sequence[FibrePart], *, has_label: bool = True) -> str:
    """What a US tag must add when its headline names some of the fibres but not all.

    16 CFR 303.17(b), 300.24(b). "" where the headline names no fibre, or every one.
    """
    named = {name.removeprefix("recycled ") for name in fibres_named(headline)}
    present = {fibre_of(part).name.removeprefix("recycled ") for part in woven(parts)}
    if not named & present or present <= named:
        return ""
    return SEE_LABEL if has_label else NOT_FULL


def fibres_named(text: str) -> tuple[str, ...]:
    """The plain names of the fibres that a text mentions, in order, each once."""
    words = sorted(fibre_names(), key=len, reverse=True)
    pattern = r"\b(?:recycled )?(?:" + "|".join(re.escape(word) for word in words) + r")\b"
    found = (find_fibre(match) for match in re.findall(pattern, text, re.IGNORECASE))
    return tuple(dict.fromkeys(fibre.name for fibre in found if fibre))


def within_tolerance(stated: int, found: Decimal | Fraction) -> bool:
    """Whether a test result in per cent agrees with a stated share: 3 points, none for 100 %."""
    apart = abs(Fraction(found) - stated)
    return apart == 0 if stated == 100 else apart <= _TOLERANCE


def cashmere_doubts(
    microns: Decimal, coarse: Decimal = Decimal(0), variation: Decimal | None = None
) -> tuple[str, ...]:
    """Why a fibre may not be called cashmere in the US (16 CFR 300.19(a)); none: it may.

    Mean diameter in micrometres; weight over 30 µm and coefficient of variation in per cent.
    """
    found = (
        (microns > _CASHMERE_MICRONS, f"mean diameter {microns} µm; at most 19 µm is cashmere"),
        (coarse > _CASHMERE_COARSE, f"{coarse} % over 30 µm; at most 3 % is cashmere"),
        (
            variation is not None and variation > _CASHMERE_VARIATION,
            f"diameter varies by {variation} %; at most 24 % is cashmere",
        ),
    )
    return tuple(words for applies, words in found if applies)
