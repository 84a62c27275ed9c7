"""What a gallery certificate says of a piece, and which issue of it that is.

In: the setting and a piece. Out: a frozen `Certificate` written from the public facts alone, its
digest, and its `Issue`. A certificate is issued anew when what it says has changed since its last
line in printed.yaml; number and day of an issue stay, so that printing it again gives the same
bytes. What belongs on it: trade practice (from memory); Object ID (ICOM) for identification;
the provenance line as in the AAM guide, quoted at museumprovenance.org.
"""

from __future__ import annotations

import hashlib
import json
from dataclasses import asdict, dataclass
from datetime import date
from pathlib import Path
from typing import Any

from provenance.papers.certificates.object_id import medium, object_id
from provenance.press.codes.qr import address_of
from provenance.press.pictures.photos import Upright, digest, open_photo
from provenance.problems import Slip
from provenance.public.edge import Stripe
from provenance.public.facts import PhotoFacts, PieceFacts, facts_of
from provenance.public.lineage import Tree
from provenance.public.setting import Setting
from provenance.records.pieces import Piece

PAPER = "certificate"
SHOWN_AT = ("gallery", "guild", "show")


@dataclass(frozen=True, slots=True)
class Row:
    """A fact: its label and its words, a line each."""

    label: str
    lines: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Certificate:
    """Everything that is printed, but for the issue. `photo_digest` ties the picture in."""

    number: str
    title: str
    kind_line: str
    studio: str
    maker: str
    place: str
    address: str
    facts: tuple[Row, ...]
    making: tuple[Row, ...]
    light: str
    care: str
    provenance: str
    object_id: tuple[tuple[str, str], ...]
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


def certificate_of(setting: Setting, piece: Piece) -> Certificate:
    """What the certificate of a piece says; Slip when its photo is missing."""
    facts, studio = facts_of(setting, piece), setting.book.studio
    photo = shown_photo(facts)
    return Certificate(
        number=facts.number,
        title=facts.title,
        kind_line=_kind_line(setting, facts),
        studio=str(studio.studio),
        maker=str(studio.maker),
        place=str(studio.place or ""),
        address=address_of(str(studio.site), facts.number) if studio.site else "",
        facts=_rows(setting, _facts(setting, facts)),
        making=_rows(setting, _making(facts)),
        light=" ".join(facts.brief_light),
        care=" ".join(facts.care),
        provenance=facts.provenance,
        object_id=object_id(setting, facts, setting.today)[:-1],
        statement=facts.statement,
        photo=photo,
        photo_digest=digest(photos_of(setting), photo.file) if photo else "",
        stripes=facts.stripes,
        tree=facts.tree,
    )


def shown_photo(facts: PieceFacts) -> PhotoFacts | None:
    """The whole view, else the first photo there is."""
    whole = (photo for photo in facts.photos if photo.view == "whole")
    return next(whole, facts.photos[0] if facts.photos else None)


def opened(setting: Setting, photo: PhotoFacts) -> Upright:
    """The photo, looked at; Slip when it is missing or broken."""
    return open_photo(photos_of(setting), photo.file)


def photos_of(setting: Setting) -> Path:
    """Where the maker's photos lie."""
    return setting.book.folder / "photos"


def _kind_line(setting: Setting, facts: PieceFacts) -> str:
    """Hanging, 2026. One of a kind."""
    edition = facts.edition.rstrip(".")
    if edition[:1].isdigit():
        edition = f"{setting.phrases.say('label.edition')} {edition}"
    return f"{facts.kind_word}, {facts.year}. {edition}."


def _facts(setting: Setting, facts: PieceFacts) -> dict[str, tuple[str, ...]]:
    return {
        "label.maker": (str(setting.book.studio.maker),),
        "label.size": (facts.size,),
        "label.weight": (facts.weight,),
        "certificate.medium": (medium(facts),),
        "label.signed": (facts.signed,),
    }


def _making(facts: PieceFacts) -> dict[str, tuple[str, ...]]:
    by_hand = ", ".join(facts.hours)
    return {
        "certificate.fleece": facts.fleeces,
        "certificate.bought": (facts.bought,),
        "label.dyes": (facts.dye_species,),
        "certificate.mordants": (facts.mordants,),
        "label.by_hand": (by_hand[:1].upper() + by_hand[1:],),
    }


def _rows(setting: Setting, said: dict[str, tuple[str, ...]]) -> tuple[Row, ...]:
    """Rows that say something; a fact that is not recorded is left out here."""
    kept = {name: tuple(line for line in lines if line) for name, lines in said.items()}
    return tuple(Row(setting.phrases.say(name), lines) for name, lines in kept.items() if lines)


def digest_of(certificate: Certificate) -> str:
    """SHA-256 of all that the certificate says; paper, ink and issue are not part of it."""
    said = json.dumps(asdict(certificate), sort_keys=True, ensure_ascii=False, default=str)
    return hashlib.sha256(said.encode("utf-8")).hexdigest()


def issue_of(setting: Setting, certificate: Certificate) -> Issue:
    """The last issue when it said the same, else the next one, of today."""
    now = digest_of(certificate)
    issues = [
        line
        for line in setting.book.printed
        if line.paper == PAPER and line.number == certificate.number
    ]
    if issues and issues[-1].digest == now:
        return Issue(len(issues), issues[-1].on, now, is_new=False)
    return Issue(len(issues) + 1, setting.today, now, is_new=True)


def printed_entry(certificate: Certificate, issue: Issue) -> dict[str, Any]:
    """The line for printed.yaml, for `records.printed.printed_line`."""
    return {
        "on": issue.on,
        "paper": PAPER,
        "number": certificate.number,
        "title": certificate.title,
        "address": certificate.address or None,
        "digest": issue.digest,
    }


def paper_name(number: str) -> str:
    """The file of a certificate in papers/."""
    return f"{PAPER}-{number}.pdf"


def certificates_due(setting: Setting) -> tuple[str, ...]:
    """Numbers of finished pieces, sold or at a gallery, guild or show, whose certificate is
    missing or no longer says what the record says."""
    wanted = (piece for piece in setting.book.pieces.values() if _wants_one(setting, piece))
    return tuple(str(piece.number) for piece in wanted if _is_due(setting, piece))


def _wants_one(setting: Setting, piece: Piece) -> bool:
    outlet = setting.book.outlets.get(piece.at) if piece.at else None
    is_shown = outlet is not None and str(outlet.kind) in SHOWN_AT
    return piece.can_be_costed and (piece.state == "sold" or is_shown) and not piece.withdrawn


def _is_due(setting: Setting, piece: Piece) -> bool:
    """A piece whose photo cannot be read is due: making its certificate says why."""
    if not (setting.book.folder / "papers" / paper_name(str(piece.number))).is_file():
        return True
    try:
        return issue_of(setting, certificate_of(setting, piece)).is_new
    except Slip:
        return True
