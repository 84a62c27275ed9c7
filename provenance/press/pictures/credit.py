"""The credit written into every public picture, as an XMP packet.

In: who made the picture and what piece it shows. Out: bytes for `pictures`. The photograph's own
fields are at the top level; the piece is the "artwork or object in the image". Field names:
IPTC Photo Metadata Standard 2025.1; packet form: ISO 16684-1 (XMP).
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from html import escape, unescape
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from provenance.public.card import Card
    from provenance.public.piece import PhotoFacts, PublicPiece
    from provenance.public.studio import PublicStudio

_SPACES = {
    "dc": "http://purl.org/dc/elements/1.1/",
    "photoshop": "http://ns.adobe.com/photoshop/1.0/",
    "xmpRights": "http://ns.adobe.com/xap/1.0/rights/",
    "Iptc4xmpCore": "http://iptc.org/std/Iptc4xmpCore/1.0/xmlns/",
    "Iptc4xmpExt": "http://iptc.org/std/Iptc4xmpExt/2008-02-29/",
}
_ALT = "Iptc4xmpCore:AltTextAccessibility"
_RDF = "http://www.w3.org/1999/02/22-rdf-syntax-ns#"


@dataclass(frozen=True, slots=True)
class Credit:
    """What a public picture says of itself; an empty field is left out."""

    creator: str
    rights: str
    credit_line: str = ""
    title: str = ""
    alt: str = ""
    terms: str = ""
    piece_title: str = ""
    piece_maker: str = ""
    piece_year: str = ""
    piece_number: str = ""


def credit_of(studio: PublicStudio, piece: Card | PublicPiece, photo: PhotoFacts) -> Credit:
    """What a picture of a piece says of itself wherever it goes."""
    by = photo.credit or studio.maker
    return Credit(
        creator=by, rights=f"© {piece.year} {by}", credit_line=studio.name, title=piece.title,
        alt=photo.alt, terms=f"{studio.site}/{piece.number}/" if studio.site else "",
        piece_title=piece.title, piece_maker=studio.maker, piece_year=piece.year,
        piece_number=piece.number,
    )  # fmt: skip


def packet(credit: Credit) -> bytes:
    """The XMP packet; equal credits give equal bytes."""
    fields = [
        _listed("dc:creator", "Seq", credit.creator),
        _worded("dc:rights", credit.rights),
        _worded("dc:title", credit.title),
        _plain("photoshop:Credit", credit.credit_line),
        _plain("xmpRights:WebStatement", credit.terms),
        _worded(_ALT, credit.alt),
        _piece(credit),
    ]
    spaces = "".join(f' xmlns:{short}="{escape(full)}"' for short, full in _SPACES.items())
    return (
        '<?xpacket begin="\ufeff" id="W5M0MpCehiHzreSzNTczkc9d"?>'
        f'<x:xmpmeta xmlns:x="adobe:ns:meta/"><rdf:RDF xmlns:rdf="{_RDF}">'
        f'<rdf:Description rdf:about=""{spaces}>{"".join(fields)}</rdf:Description>'
        '</rdf:RDF></x:xmpmeta><?xpacket end="r"?>'
    ).encode()


def alt_in(packet: bytes) -> str:
    """The words for those who can't see a picture, from a packet of ours; else nothing."""
    text = packet.decode(errors="replace")
    found = re.search(rf"<{_ALT}><rdf:Alt><rdf:li [^>]*>(.*?)</rdf:li>", text, re.DOTALL)
    return unescape(found[1]) if found else ""


def _piece(credit: Credit) -> str:
    inner = (
        _worded("Iptc4xmpExt:AOTitle", credit.piece_title)
        + _listed("Iptc4xmpExt:AOCreator", "Seq", credit.piece_maker)
        + _plain("Iptc4xmpExt:AODateCreated", credit.piece_year)
        + _plain("Iptc4xmpExt:AOSourceInvNo", credit.piece_number)
        + _plain("Iptc4xmpExt:AOCopyrightNotice", credit.rights)
    )
    if not credit.piece_title:
        return ""
    item = f'<rdf:li rdf:parseType="Resource">{inner}</rdf:li>'
    return f"<Iptc4xmpExt:ArtworkOrObject><rdf:Bag>{item}</rdf:Bag></Iptc4xmpExt:ArtworkOrObject>"


def _plain(name: str, text: str) -> str:
    return f"<{name}>{escape(text, quote=False)}</{name}>" if text else ""


def _listed(name: str, kind: str, text: str) -> str:
    if not text:
        return ""
    return f"<{name}><rdf:{kind}><rdf:li>{escape(text, quote=False)}</rdf:li></rdf:{kind}></{name}>"


def _worded(name: str, text: str) -> str:
    if not text:
        return ""
    item = f'<rdf:li xml:lang="x-default">{escape(text, quote=False)}</rdf:li>'
    return f"<{name}><rdf:Alt>{item}</rdf:Alt></{name}>"
