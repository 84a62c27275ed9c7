"""American spelling for the program's own sentences, which are written in British spelling.

In: a sentence. Out: the same in American spelling, by `tables/spelling.toml`. Only for our own
words: what a maker wrote stays as it is.
"""

import re
from functools import cache

from provenance.reference.loader import rows


def american(text: str) -> str:
    """Each British form as Americans spell it, with its capital where it has one."""
    return _pattern().sub(lambda found: _turned(found[0]), text)


@cache
def _forms() -> dict[str, str]:
    return {row["british"]: row["american"] for row in rows("spelling")}


@cache
def _pattern() -> re.Pattern[str]:
    longest_first = sorted(_forms(), key=len, reverse=True)
    return re.compile(rf"\b({'|'.join(longest_first)})", re.IGNORECASE)


def _turned(form: str) -> str:
    turned = _forms()[form.lower()]
    return turned.capitalize() if form[0].isupper() else turned
