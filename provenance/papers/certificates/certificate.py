"""What a gallery certificate says of a piece, and which issue of it that is.

In: the public studio and a piece. Out: a frozen `Certificate` written from the public facts alone,
its digest, and its `Issue`. A certificate is issued anew when what it says has changed since its
last line in printed.yaml; number and day of an issue stay, so that printing it again gives the same
bytes. What belongs on it: trade practice (from memory); Object ID (ICOM) for identification; the
provenance line as in the AAM guide, quoted at museumprovenance.org.
"""

import hashlib
import json
from dataclasses import asdict, dataclass
from datetime import date
from pathlib import Path

from provenance.papers.certificates.object_id import Row, not_recorded, record_of
from provenance.press.codes.qr import address_of
from provenance.press.pictures.photos import digest
from provenance.public.edge import Stripe
from provenance.public.lineage import Tree
from provenance.public.names import capital
from provenance.public.piece import PhotoFacts, PublicPiece
from provenance.public.studio import PublicStudio

PAPER = "certificate"


@dataclass(frozen=True, slots=True)
class Certificate:
    """Everything that is printed, but for the issue. `photo_digest` ties the picture in.

    `facts` are the three that hang on the wall with it: size, fibres, dyes.
    """

    number: str
    title: str
    kind_line: str
    studio: str
    maker: str
    place: str
    address: str
    facts: tuple[str, ...]
    record: tuple[Row, ...]
    not_recorded: str
    light: str
    light_sources: tuple[str, ...]
    care: str
    provenance: str
    statement: str
    photo: PhotoFacts | None
    photo_digest: str
    stripes: tuple[Stripe, ...]
    tree: Tree


@dataclass(frozen=True, slots=True)
class Issue:
    """The how-manieth issue of a certificate, and its day."""

    number: int
    on: date
    digest: str
    is_new: bool


def certificate_of(studio: PublicStudio, facts: PublicPiece) -> Certificate:
    """What the certificate of a piece says; Slip when its photo is missing."""
    photo = shown_photo(facts)
    return Certificate(
        number=facts.number,
        title=facts.title,
        kind_line=_kind_line(studio, facts),
        studio=studio.name,
        maker=studio.maker,
        place=studio.place,
        address=address_of(studio.site, facts.number) if studio.site else "",
        facts=_facts(studio, facts),
        record=record_of(studio, facts),
        not_recorded=not_recorded(studio, facts),
        light=" ".join(facts.brief_light),
        light_sources=facts.light_sources,
        care=" ".join(facts.care),
        provenance=facts.provenance,
        statement=" ".join(filter(None, (facts.statement, facts.before_records))),
        photo=photo,
        photo_digest=digest(photos_of(studio), photo.file) if photo else "",
        stripes=facts.stripes,
        tree=facts.tree,
    )


def shown_photo(facts: PublicPiece) -> PhotoFacts | None:
    """The whole view, else the first photo there is."""
    whole = (photo for photo in facts.photos if photo.view == "whole")
    return next(whole, facts.photos[0] if facts.photos else None)


def photos_of(studio: PublicStudio) -> Path:
    """Where the maker's photos lie."""
    return studio.folder / "photos"


def _kind_line(studio: PublicStudio, facts: PublicPiece) -> str:
    """Hanging, 2026. One of a kind. Nothing of an edition where nothing is written."""
    edition = facts.edition.rstrip(".")
    if edition[:1].isdigit():
        edition = f"{studio.phrases.say('label.edition')} {edition}"
    return f"{facts.kind_word}, {facts.year}. {edition}.".removesuffix(". .")


def _facts(studio: PublicStudio, facts: PublicPiece) -> tuple[str, ...]:
    """Size, what it is made of, what it was dyed with, as far as each is known."""
    dyes = ", ".join(map(studio.phrases.stuff, facts.dye_names))
    return tuple(filter(None, (facts.size, facts.label or facts.recalled, capital(dyes))))


def digest_of(certificate: Certificate) -> str:
    """SHA-256 of all that the certificate says; paper, ink and issue are not part of it."""
    said = json.dumps(asdict(certificate), sort_keys=True, ensure_ascii=False, default=str)
    return hashlib.sha256(said.encode("utf-8")).hexdigest()


def paper_name(number: str) -> str:
    """The file of a certificate in papers/."""
    return f"{PAPER}-{number}.pdf"
