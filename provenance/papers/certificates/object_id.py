"""The Object ID record of a piece: what identifies it should it ever be lost.

In: the public facts of a piece. Out: the eleven categories of Object ID (ICOM,
archives.icom.museum/object-id/heritage/object.html), with inventory number and date documented of
its recommended additions; each with its words, or "not recorded".
"""

from provenance.public.names import capital
from provenance.public.piece import PublicPiece
from provenance.public.studio import PublicStudio


def object_id(studio: PublicStudio, facts: PublicPiece) -> tuple[tuple[str, str], ...]:
    """Heading and words of every category, the inventory number first.

    The day that the description was made is the issue's, and stands last on the page.
    """
    phrases = studio.phrases
    views = [phrases.named("view", photo.view) for photo in facts.photos]
    said = {
        "number": facts.number,
        "title": facts.title,
        "type": phrases.say("object_id.textile", kind=phrases.inside(facts.kind_word)),
        "maker": ", ".join(part for part in (studio.maker, studio.place) if part),
        "date": facts.finished or facts.year,
        "measurements": facts.size,
        "materials": "; ".join(filter(None, (medium(facts), facts.recalled, *facts.cloth))),
        "inscriptions": facts.signed,
        "subject": facts.subject,
        "distinguishing": facts.distinguishing,
        "description": description(facts),
        "photographs": capital(phrases.row(views)),
    }
    unknown = phrases.say("label.not_recorded")
    return tuple((phrases.say(f"object_id.{name}"), text or unknown) for name, text in said.items())


def medium(facts: PublicPiece) -> str:
    """Fibres in falling order, then the structure of the cloth."""
    return "; ".join(part for part in (facts.fibres, facts.technique) if part)


def description(facts: PublicPiece) -> str:
    """What the piece looks like: the words of its whole view."""
    whole = next((photo.alt for photo in facts.photos if photo.view == "whole"), "")
    return whole or next((photo.alt for photo in facts.photos), "")
