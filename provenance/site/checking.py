"""The checking page: what it knows before a certificate is given to it.

In: what checkers of this studio's statements may trust, its phrases. Out: values of the page, with
a data block for its script, and that script, joined from its parts. The page asks nobody for keys:
they are those of the build, so that it works from disk and in forty years.
"""

import json
from collections.abc import Mapping
from dataclasses import asdict, dataclass
from pathlib import Path
from typing import Any

from provenance.language.phrases import Phrases
from provenance.press.templates import source

SCRIPT = "checking/checking.js"
_PARTS = ("json", "proof", "pdf", "verdict", "page")
_WORDS = (
    "too_large", "no_json", "twice", "no_statement", "none_inside", "two_inside", "broken_pdf",
    "locked_pdf", "context", "number", "title", "kind", "maker", "issued", "of_issue", "key",
    "key_in_use", "key_retired", "pictures", "proves", "proves_whole", "proves_not",
    "not_object", "not_paper", "not_day", "not_there", "differs", "here", "there", "checked",
    "unable",
)  # fmt: skip


@dataclass(frozen=True, slots=True)
class TrustedKey:
    """A public key of the studio as Multikey text; its fingerprint as it stands on paper; the days
    from and until it was used (`2026-11-25`; '' for one in use), and the day it was withdrawn."""

    key: str
    fingerprint: str
    since: str = ""
    until: str = ""
    withdrawn: str = ""


@dataclass(frozen=True, slots=True)
class Trusted:
    """What decides about a statement: the studio's `did:web` name, the one context of its
    statements, every key that it ever published, and what its statements are called on the site."""

    did: str
    context: tuple[str, ...]
    keys: tuple[TrustedKey, ...]
    statement: str


def checking(trusted: Trusted | None, studio: str, phrases: Phrases) -> Mapping[str, Any]:
    """What the page is filled with; without keys it can only say how to look for oneself."""
    if trusted is None:
        return {"checking": ""}
    words = {word: phrases.say(f"checking.{word}") for word in _WORDS}
    words["proves_signed"] = phrases.say("checking.proves_signed", studio=studio)
    told = {"trusted": asdict(trusted), "words": words, "language": phrases.language}
    text = json.dumps(told, ensure_ascii=False, separators=(",", ":"), sort_keys=True)
    return {"checking": text.replace("<", "\\u003c"), "statement": trusted.statement}


def checking_script(templates: Path | None) -> bytes:
    """The page's own script: no other page asks for it."""
    return b"\n".join(source(f"site/checking/{name}.js", templates) for name in _PARTS)
