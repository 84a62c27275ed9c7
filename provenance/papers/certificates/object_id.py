"""The record of a piece: what identifies it should it ever be lost, and how it was made.

In: the public facts of a piece. Out: rows, a label and its lines each, and the names of what is not
recorded. The eleven categories of Object ID (ICOM, archives.icom.museum/object-id/heritage/
object.html) and its inventory number are among the rows wherever there is something to say; each
is said once.
"""

from collections import Counter
from dataclasses import dataclass

from provenance.public.names import capital
from provenance.public.piece import PublicPiece
from provenance.public.studio import PublicStudio


@dataclass(frozen=True, slots=True)
class Row:
    """A fact: its label and its words, a line each."""

    label: str
    lines: tuple[str, ...]


def record_of(studio: PublicStudio, facts: PublicPiece) -> tuple[Row, ...]:
    """Everything that is recorded, the inventory number first.

    The day that the description was made is the issue's, and stands last on the page.
    """
    said = {**_identity(studio, facts), **_making(facts), **_looks(studio, facts)}
    kept = {name: tuple(line for line in lines if line) for name, lines in said.items()}
    return tuple(Row(studio.phrases.say(name), lines) for name, lines in kept.items() if lines)


def not_recorded(studio: PublicStudio, facts: PublicPiece) -> str:
    """The categories of Object ID that nothing was written of, in one line; empty for none."""
    phrases = studio.phrases
    said = {**_identity(studio, facts), **_looks(studio, facts)}
    names = [
        phrases.inside(phrases.say(name))
        for name, lines in said.items()
        if name.startswith("object_id.") and not any(lines)
    ]
    return capital(", ".join(names))


def _identity(studio: PublicStudio, facts: PublicPiece) -> dict[str, tuple[str, ...]]:
    phrases = studio.phrases
    kind = phrases.say("object_id.textile", kind=phrases.inside(facts.kind_word))
    return {
        "object_id.number": (facts.number,),
        "object_id.title": (facts.title,),
        "object_id.type": (kind,),
        "object_id.maker": (", ".join(part for part in (studio.maker, studio.place) if part),),
        "object_id.date": (facts.finished or facts.year,),
        "object_id.measurements": ("; ".join(filter(None, (facts.size, facts.weight))),),
        "object_id.materials": (medium(facts), facts.recalled, capital("; ".join(facts.cloth))),
        "object_id.inscriptions": (facts.signed,),
    }


def _making(facts: PublicPiece) -> dict[str, tuple[str, ...]]:
    return {
        "certificate.fleece": facts.fleeces,
        "certificate.bought": (facts.bought,),
        "label.dyes": (facts.dye_species,),
        "certificate.mordants": (facts.mordants,),
        "label.by_hand": (capital(", ".join(facts.hours)),),
        "label.mount": (facts.mount,),
    }


def _looks(studio: PublicStudio, facts: PublicPiece) -> dict[str, tuple[str, ...]]:
    phrases = studio.phrases
    counted = Counter(phrases.named("view", photo.view) for photo in facts.photos)
    views = phrases.row(
        [f"{view} ({many})" if many > 1 else view for view, many in counted.items()]
    )
    return {
        "object_id.subject": (facts.subject,),
        "object_id.distinguishing": (facts.distinguishing,),
        "object_id.description": (description(facts),),
        "object_id.photographs": (capital(views),),
    }


def medium(facts: PublicPiece) -> str:
    """Fibres in falling order, then the structure of the cloth."""
    return "; ".join(part for part in (facts.fibres, facts.technique) if part)


def description(facts: PublicPiece) -> str:
    """What the piece looks like: the words of its whole view."""
    whole = next((photo.alt for photo in facts.photos if photo.view == "whole"), "")
    return whole or next((photo.alt for photo in facts.photos), "")
