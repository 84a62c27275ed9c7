"""The checking page: what it knows before a certificate is given to it.

In: what a checker believes of the studio, its phrases. Out: values of the page, with a data block
for its script, and that script, joined from its parts. The page asks nobody for keys: they are
those of the build, so that it works from disk and in forty years.
"""

import json
from collections.abc import Mapping
from dataclasses import asdict, dataclass
from pathlib import Path
from typing import Any

from provenance.press.templates import source
from provenance.public.studio import PublicStudio
from provenance.site.style import put

_PARTS = ("json", "proof", "pdf", "verdict", "page")
_WORDS = (
    "number", "title", "maker", "size", "made", "issued", "of_issue", "key", "key_in_use",
    "key_retired", "picture_same", "picture_other", "picture_gone", "picture_unread",
    "picture_alt", "newer",
    "proves", "proves_key", "proves_not", "not_object", "not_paper", "not_day", "not_there",
    "all", "differs", "here", "there", "checked", "unable",
)  # fmt: skip
_REASONS = (
    "too_large", "no_json", "no_text", "twice", "other_kind", "no_proof", "other_issuer",
    "other_context", "other_proof", "other_key", "unknown_key", "withdrawn_key",
    "after_its_time", "undated", "broken", "none_inside", "two_inside", "broken_pdf", "locked_pdf",
    "other_paper", "other_pictures",
)  # fmt: skip


@dataclass(frozen=True, slots=True)
class TrustedKey:
    """A public key of the studio as Multikey text; its fingerprint as it stands on paper; the days
    from and until it was used (`2026-11-25`; '' for one in use), the day it was withdrawn, and the
    studio's `did:web` name."""

    key: str
    fingerprint: str
    since: str = ""
    until: str = ""
    withdrawn: str = ""
    did: str = ""


@dataclass(frozen=True, slots=True)
class Trusted:
    """What decides about a statement: the studio's `did:web` name, the one context of its
    statements, every key that it ever published, and what its statements are called on the site."""

    did: str
    context: tuple[str, ...]
    keys: tuple[TrustedKey, ...]
    statement: str


def checking(trusted: Trusted | None, studio: PublicStudio) -> Mapping[str, Any]:
    """What the page is filled with; without keys it can only say how to look for oneself."""
    if trusted is None:
        return {"checking": ""}
    phrases, script = studio.phrases, next(iter(checking_script(studio.templates)))
    told = {
        "trusted": asdict(trusted),
        "language": phrases.language,
        "words": {word: phrases.say(f"checking.{word}") for word in _WORDS}
        | {"proves_signed": phrases.say("checking.proves_signed", studio=studio.name)},
        "reasons": {word: phrases.say(f"seal.{word}") for word in _REASONS},
    }
    text = json.dumps(told, ensure_ascii=False, separators=(",", ":"), sort_keys=True)
    safe = text.replace("<", "\\u003c")
    return {"checking": safe, "statement": trusted.statement, "script": script}


def checking_script(templates: Path | None) -> dict[str, bytes]:
    """The page's own script, under its name: no other page asks for it."""
    content = b"\n".join(source(f"site/checking/{name}.js", templates) for name in _PARTS)
    return put("checking/checking.js", content, templates)
