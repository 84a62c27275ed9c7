"""Why an issue takes the place of the one before: what its statement says differently.

In: the issue before and its statement, the statement now. Out: `Superseded`, with the reason in
words. What only goes on (who had it, where it was shown) is told apart from facts that were mended.
"""

import hashlib
import json
from collections.abc import Mapping
from typing import Any

from provenance.language.phrases import Phrases
from provenance.seal.statement import Superseded

_GOES_ON = {"provenance"}
_PICTURES = "relatedResource"


def superseded(number: int, kept: bytes, now: Mapping[str, Any], phrases: Phrases) -> Superseded:
    """What is said of the issue before; `kept` is empty where it carried no statement."""
    if not kept:
        return Superseded(number, "", (), phrases.say("seal.before_unsigned"))
    before = json.loads(kept)
    one, other = before["credentialSubject"], now["credentialSubject"]
    words = [word for word in {**one, **other} if one.get(word) != other.get(word)]
    if before.get(_PICTURES) != now.get(_PICTURES):
        words.append(_PICTURES)
    reason = phrases.say(f"seal.reason_{_reason({*words})}")
    return Superseded(number, hashlib.sha256(kept).hexdigest(), tuple(words), reason)


def _reason(words: set[str]) -> str:
    facts = words - _GOES_ON - {_PICTURES}
    if facts:
        return "both" if words & _GOES_ON else "facts"
    if words & _GOES_ON:
        return "goes_on"
    return "pictures" if words else "words"
