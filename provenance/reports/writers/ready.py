"""Ready numbers of a report as the studio's records have them.

In: a number as reports hold it (1450.00, `418.5 g`). Out: the same, or with a decimal comma where
the studio's language has one, as its maker writes them; no groups, so that it can be typed again.
"""

import re
from dataclasses import dataclass
from decimal import Decimal
from typing import Any

from provenance.language.phrases import Phrases
from provenance.problems import Words

_READY = re.compile(r"(-?[0-9]+)\.([0-9]+)((?: [^\s.]+)?)")
_POINTS = dict[str, str]()


def ready(text: str, phrases: Phrases) -> str:
    """A ready number in its language's form; any other text as it is."""
    found = _READY.fullmatch(text)
    if not found:
        return text
    return f"{found[1]}{_point(phrases)}{found[2]}{found[3]}"


def _point(phrases: Phrases) -> str:
    """What parts the decimals; asked of a language once, for reports hold thousands of numbers."""
    if phrases.language not in _POINTS:
        _POINTS[phrases.language] = phrases.ungrouped(Decimal("0.5"))[1]
    return _POINTS[phrases.language]


@dataclass(frozen=True)
class ReadyPhrases(Phrases):
    """The studio's phrases, ready numbers among them and by themselves in their language's form."""

    def tell(self, words: Words) -> str:
        return ready(words, self) if isinstance(words, str) else super().tell(words)

    def _told(self, value: Any) -> Any:
        return ready(value, self) if isinstance(value, str) else super()._told(value)
