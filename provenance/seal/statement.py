"""The public statement of a piece: a W3C Verifiable Credential 2.0, not yet signed.

In: the public studio, the public facts of a piece, its published pictures, the issue of its
certificate where it has one. Out: a JSON document of texts, lists and objects alone: amounts are
texts, so that no reader rounds them. Terms are those of `context`. It has what a small maker can
honestly give of the coming textile passport (Regulation (EU) 2024/1781, Annex III, read): a record
in passport form, and no claim to comply with anything. Nobody who owns a piece is in it.
"""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from fractions import Fraction
from typing import Any

from provenance.language.phrases import decimal
from provenance.public.making.steps import Thing
from provenance.public.piece import PublicPiece
from provenance.public.studio import PublicStudio
from provenance.seal import context
from provenance.seal.did import did_of
from provenance.seal.making import making
from provenance.seal.multibase import digest_text

TYPES = ["VerifiableCredential", "TextileStatement"]
LIVING = "statement.json"
MEDIA_TYPE = "application/vc"
Document = dict[str, Any]


@dataclass(frozen=True, slots=True)
class Pictured:
    """A published picture: where it lies on the site, its SHA-256 (hexadecimal)."""

    path: str
    digest: str


@dataclass(frozen=True, slots=True)
class Superseded:
    """The issue before: its number, the address and digest (SHA-256, hexadecimal) of its statement,
    '' where it had none; what is said differently now, and why in words."""

    number: int
    digest: str
    changed: tuple[str, ...]
    reason: str


@dataclass(frozen=True, slots=True)
class OfIssue:
    """The issue of a certificate that a statement belongs to."""

    number: int
    on: date
    before: Superseded | None = None


def issue_name(number: int) -> str:
    """The file of an issue's statement, beside the page of its piece."""
    return f"certificate-{number}.json"


def statement(
    studio: PublicStudio,
    facts: PublicPiece,
    pictures: Sequence[Pictured] = (),
    issue: OfIssue | None = None,
) -> Document:
    """The statement; the studio must have a site, whose addresses are the names of things."""
    page = f"{studio.site}/{facts.number}/"
    said = {
        "@context": context.context_of(studio.site),
        "id": page + (issue_name(issue.number) if issue else LIVING),
        "type": TYPES,
        "name": studio.phrases.say("seal.name", number=facts.number, title=facts.title),
        "description": studio.phrases.say("seal.form"),
        "issuer": {"id": did_of(studio.site), "name": studio.name},
        "validFrom": _moment(issue.on if issue else facts.by),
        "issue": _issue(issue, page) if issue else None,
        "credentialSubject": _subject(studio, facts, page),
        "relatedResource": [*_pictures(studio, pictures), _terms(studio)],
    }
    return _told(said)


def _moment(day: date | None) -> str:
    return f"{day}T00:00:00Z" if day else ""


def _told(said: Mapping[str, Any]) -> Document:
    """What has nothing to say is left out."""
    return {word: value for word, value in said.items() if value}


def _issue(issue: OfIssue, page: str) -> Document:
    before = issue.before
    return _told({
        "type": "Issue",
        "issueNumber": str(issue.number),
        "supersedes": _told({
            "id": page + issue_name(before.number),
            "type": "Issue",
            "issueNumber": str(before.number),
            "digestMultibase": digest_text(before.digest) if before.digest else "",
        }) if before else None,
        "changed": list(before.changed) if before else None,
        "reason": before.reason if before else "",
    })  # fmt: skip


def _subject(studio: PublicStudio, facts: PublicPiece, page: str) -> Document:
    medium = (facts.fibres, facts.recalled, facts.structure)
    place = {"type": "Place", "name": studio.place} if studio.place else None
    return _told({
        "id": page,
        "type": ["VisualArtwork", "Product"],
        "identifier": facts.number,
        "name": facts.title,
        "artform": facts.kind_word,
        "artMedium": "; ".join(filter(None, medium)),
        "artEdition": facts.edition,
        "creator": {"id": f"{studio.site}/#maker", "type": "Person", "name": studio.maker},
        "manufacturer": _maker(studio),
        "dateCreated": facts.dated,
        "locationCreated": place,
        "origin": facts.content.origin,
        "inLanguage": studio.phrases.language,
        **dict(_measures(facts)),
        "fibres": [dict(each) for each in _fibres(studio, facts)],
        "material": list(facts.content.labels) if facts.fibres else None,
        "dyes": [_material(each) for each in facts.making.of("dyestuff")],
        "mordants": [_material(each) for each in facts.making.of("mordant")],
        "making": making(studio, facts),
        "mount": facts.mount,
        "signature": facts.signed,
        "care": list(facts.care),
        "keeping": list(facts.keeping),
        "light": [*facts.light, *facts.light_range],
        "lightSources": list(facts.light_sources),
        "provenance": facts.unnamed_provenance,
    })  # fmt: skip


def _maker(studio: PublicStudio) -> Document:
    """Who answers for it, with the contacts that are public."""
    named = {"id": f"{studio.site}/#studio", "type": "Organization", "name": studio.name}
    reached = {"email": studio.email, "telephone": studio.phone, "address": studio.post}
    return _told({**named, **reached})


def _measures(facts: PublicPiece) -> Iterator[tuple[str, Document]]:
    if size := facts.measures:
        sides = {"height": size.height, "width": size.width, "depth": size.depth}
        for side, length in sides.items():
            if length is not None:
                yield side, quantity(Fraction(length), "CMT")
    if facts.grams:
        yield "weight", quantity(facts.grams, "GRM")


def quantity(value: Fraction, unit: str) -> Document:
    """An amount as text, with its unit (UN/ECE Recommendation 20)."""
    return {"type": "QuantitativeValue", "value": decimal(value, 1), "unitCode": unit}


def _fibres(studio: PublicStudio, facts: PublicPiece) -> Iterator[Document]:
    """Each fibre by mass, with the least and the most per cent that the record leaves open."""
    for each in facts.masses:
        yield {
            "type": "Fibre",
            "name": studio.phrases.fibre(each.fibre),
            "weight": quantity(each.grams, "GRM"),
            **({"percent": str(each.percent)} if each.is_certain else {}),
            "lowPercent": decimal(each.low, 1),
            "highPercent": decimal(each.high, 1),
        }


def _material(thing: Thing) -> Document:
    concept = thing.term.uri if thing.term else ""
    named = {"type": "Material", "name": thing.name, "species": thing.species}
    return _told({**named, "concept": concept})


def _pictures(studio: PublicStudio, pictures: Sequence[Pictured]) -> Iterator[Document]:
    for each in pictures:
        digest = digest_text(each.digest)
        address = f"{studio.site}/{each.path}"
        yield {"id": address, "mediaType": "image/jpeg", "digestMultibase": digest}


def _terms(studio: PublicStudio) -> Document:
    """The terms, pinned: who fetches them can see that they are these."""
    digest = digest_text(context.DIGEST)
    address = context.address(studio.site)
    return {"id": address, "mediaType": context.MEDIA_TYPE, "digestMultibase": digest}
