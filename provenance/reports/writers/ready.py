"""Ready numbers of a report as the studio's records have them.

In: a number as reports hold it (1450.00, `418.5 g`). Out: the same, or with a decimal comma where
the studio's language has one, as its maker writes them; no groups, so that it can be typed again.
"""

import re
from decimal import Decimal

from provenance.language.phrases import Phrases

_READY = re.compile(r"(-?[0-9]+)\.([0-9]+)((?: [^\s.]+)?)")


def ready(text: str, phrases: Phrases) -> str:
    """A ready number in its language's form; any other text as it is."""
    found = _READY.fullmatch(text)
    if not found:
        return text
    point = phrases.ungrouped(Decimal("0.5"))[1]
    return f"{found[1]}{point}{found[2]}{found[3]}"
