"""The Object ID record of a piece: what identifies it should it ever be lost.

In: the public facts of a piece. Out: the eleven categories of Object ID (ICOM,
archives.icom.museum/object-id/heritage/object.html), with inventory number and date documented of
its recommended additions; each with its words, or "not recorded".
"""

from collections.abc import Iterator
from datetime import date

from provenance.public.names import capital
from provenance.public.piece import PublicPiece
from provenance.public.studio import PublicStudio

CATEGORIES = (
    "title", "type", "maker", "date", "measurements", "materials", "inscriptions", "subject",
    "distinguishing", "description", "photographs",
)  # fmt: skip
ADDED = ("number", "documented")


def object_id(
    studio: PublicStudio, facts: PublicPiece, documented: date
) -> tuple[tuple[str, str], ...]:
    """Heading and words of every category; `documented` is the day the description was made."""
    said = dict(_said(studio, facts, documented))
    say = studio.phrases.say
    return tuple(
        (say(f"object_id.{name}"), said[name] or say("label.not_recorded"))
        for name in (ADDED[0], *CATEGORIES, ADDED[1])
    )


def _said(studio: PublicStudio, facts: PublicPiece, documented: date) -> Iterator[tuple[str, str]]:
    phrases = studio.phrases
    views = [phrases.named("view", photo.view) for photo in facts.photos]
    yield "photographs", capital(phrases.row(views))
    yield "type", phrases.say("object_id.textile", kind=phrases.inside(facts.kind_word))
    yield "measurements", facts.size
    yield "materials", medium(facts)
    yield "inscriptions", facts.signed
    yield "date", facts.finished or facts.year
    yield "maker", ", ".join(part for part in (studio.maker, studio.place) if part)
    yield "subject", facts.subject
    yield "title", facts.title
    yield "distinguishing", facts.distinguishing
    yield "description", description(facts)
    yield "number", facts.number
    yield "documented", phrases.day(documented)


def medium(facts: PublicPiece) -> str:
    """Fibres in falling order, then the structure of the cloth."""
    structure = facts.structure[:1].lower() + facts.structure[1:]
    return "; ".join(part for part in (facts.fibres, structure) if part)


def description(facts: PublicPiece) -> str:
    """What the piece looks like: the words of its whole view."""
    whole = next((photo.alt for photo in facts.photos if photo.view == "whole"), "")
    return whole or next((photo.alt for photo in facts.photos), "")
