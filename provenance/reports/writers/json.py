"""A report as JSON: its data, sentences told in the studio's language.

In: data of one report, or a list of those of several. Out: text; keys are stable and English.
"""

import json
from typing import Any

from provenance.language.phrases import Phrases
from provenance.problems import Said


def as_json(data: Any, phrases: Phrases) -> str:
    """The text, signs of other alphabets as they are."""

    def told(value: object) -> str:
        if isinstance(value, Said):
            return phrases.tell(value)
        raise TypeError(f"{type(value).__name__} has no place in JSON")

    return json.dumps(data, ensure_ascii=False, indent=1, default=told)
