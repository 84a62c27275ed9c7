"""What `verify` says, in lines and as data.

In: what was checked. Out: sentences: the verdict, why, what the statement is about, by whose keys,
what differs, what that proves and what it does not; or the same for programs.
"""

from collections.abc import Iterator
from datetime import date
from typing import Any

from provenance.build.verifying import Checked
from provenance.language.phrases import Phrases
from provenance.problems import Said, Words
from provenance.seal.checking import GENUINE, UNKNOWN

SHOWN = 12


def lines_of(found: Checked) -> Iterator[Words]:
    """The verdict first; only what is genuine proves anything."""
    verdict = found.verdict
    if verdict.word == GENUINE and not found.is_sure:
        yield Said("verify.genuine_beside")
    else:
        word = verdict.word.replace(" ", "_")
        yield Said(f"verify.{word}", verdict=Said(f"checking.{word}"))  # the page's own words
    if verdict.why:
        yield Said("verify.why", why=verdict.why)
    yield from _about(found)
    if verdict.fingerprint:
        yield Said("verify.key", key=verdict.fingerprint, by=found.by)
    yield from (Said("verify.differs", place=place) for place in verdict.differs[:SHOWN])
    if len(verdict.differs) > SHOWN:
        yield Said("verify.more", number=len(verdict.differs) - SHOWN)
    if found.later:
        yield Said("verify.later", issue=found.later)
    if verdict.word == GENUINE:
        yield Said("verify.proves")
        yield Said("verify.proves_not")
    if found.is_page:
        yield Said("verify.page_unread")
    if verdict.word == UNKNOWN or (verdict.word == GENUINE and not found.is_sure):
        yield Said("verify.compare")


def _about(found: Checked) -> Iterator[Words]:
    about = found.subject
    if about:
        named = {"number": str(about.get("identifier")), "title": str(about.get("name"))}
        yield Said("verify.about", **named)
    if found.issue:
        yield Said("verify.issue", issue=found.issue, day=_day(found))


def _day(found: Checked) -> date | str:
    """The day of an issue, as far as it is one."""
    text = str(found.verdict.document.get("validFrom", ""))[:10]
    try:
        return date.fromisoformat(text)
    except ValueError:
        return text


def as_data(found: Checked, phrases: Phrases) -> dict[str, Any]:
    """For programs; words are of the language, `verdict` is not."""
    verdict, about = found.verdict, found.subject
    return {
        "verdict": verdict.word,
        "why": phrases.tell(verdict.why) if verdict.why else "",
        "number": str(about.get("identifier", "")),
        "title": str(about.get("name", "")),
        "issue": found.issue,
        "newest issue": found.later or found.issue,
        "key": verdict.fingerprint,
        "keys": found.keys,
        "keys from": phrases.tell(found.by),
        "read": "the statement beside the page" if found.is_page else "the file",
        "differs": list(verdict.differs),
        "statement": dict(verdict.document) if verdict.word == GENUINE else {},
    }
