"""Structured data: schema.org as JSON-LD inside each piece's page, and the piece's facts as JSON.

In: the setting and a piece shown. Out: text ready for a page. A piece is a VisualArtwork and a
Product; an Offer stands only while it is for sale at a price that is shown (schema.org, version
30).
"""

from __future__ import annotations

import json
from typing import TYPE_CHECKING, Any

from provenance.documents.setting import Setting
from provenance.figures.cost import cost_sheet, money_text
from provenance.site.shown import Picture, ShownPiece

if TYPE_CHECKING:
    from provenance.site.pages import SiteStudio


def structured(setting: Setting, studio: SiteStudio, piece: ShownPiece) -> str:
    """JSON-LD of one piece; `<` is escaped so that no text can end the script element."""
    facts = piece.facts
    made: dict[str, Any] = {
        "@context": "https://schema.org",
        "@type": ["VisualArtwork", "Product"]
        if _offer(setting, studio, piece)
        else "VisualArtwork",
        "name": facts.title,
        "identifier": facts.number,
        "artform": facts.kind_word,
        "creator": {"@type": "Person", "name": studio.maker},
        "dateCreated": piece.finished.isoformat() if piece.finished else facts.year,
    }
    if studio.site:
        made["@id"] = made["url"] = f"{studio.site}/{piece.path}"
    if facts.fibres:
        made["artMedium"] = ", ".join(part for part in (facts.fibres, facts.structure) if part)
    made |= _size(setting, piece)
    if piece.pictures:
        made["image"] = [_image(studio, piece, picture) for picture in piece.pictures]
    if offer := _offer(setting, studio, piece):
        made["sku"] = facts.number
        made["offers"] = offer
    return escaped(made)


def escaped(value: Any) -> str:
    """JSON that can stand inside a script element."""
    return json.dumps(value, ensure_ascii=False, indent=1).replace("<", "\\u003c")


def _size(setting: Setting, piece: ShownPiece) -> dict[str, Any]:
    size = setting.book.pieces[piece.facts.number].size
    if size is None:
        return {}
    sides = {"height": size.height, "width": size.width, "depth": size.depth}
    return {
        side: {
            "@type": "QuantitativeValue",
            "value": setting.phrases.plain_number(value),
            "unitCode": "CMT",
        }
        for side, value in sides.items()
        if value is not None
    }


def _image(studio: SiteStudio, piece: ShownPiece, picture: Picture) -> dict[str, Any]:
    base = f"{studio.site}/" if studio.site else "../"
    return {
        "@type": "ImageObject",
        "contentUrl": base + picture.largest.path,
        "caption": picture.alt,
        "creator": {"@type": "Person", "name": studio.maker},
        "creditText": studio.name,
        "copyrightNotice": f"© {piece.facts.year} {studio.maker}",
    }


def _offer(setting: Setting, studio: SiteStudio, piece: ShownPiece) -> dict[str, Any] | None:
    facts = piece.facts
    if not (piece.is_for_sale and facts.shows_price and facts.price):
        return None
    sheet = cost_sheet(setting.book, setting.flow, setting.book.pieces[facts.number])
    offer: dict[str, Any] = {
        "@type": "Offer",
        "price": money_text(sheet.price, sheet),
        "priceCurrency": sheet.currency,
        "availability": "https://schema.org/InStock",
        "itemCondition": "https://schema.org/NewCondition",
        "seller": {"@type": "Organization", "name": studio.name},
    }
    if studio.site:
        offer["url"] = f"{studio.site}/{piece.path}"
    return offer


def piece_json(setting: Setting, studio: SiteStudio, piece: ShownPiece) -> bytes:
    """The piece's public facts, one word each, for readers that are programs."""
    facts = piece.facts
    said = {
        "number": facts.number,
        "title": facts.title,
        "kind": facts.kind_word,
        "year": facts.year,
        "maker": studio.maker,
        "size": facts.size,
        "weight": facts.weight,
        "cloth": facts.structure,
        "fibre": facts.fibres,
        "fleece": list(facts.fleeces),
        "dyes": facts.dyes,
        "signed": facts.signed,
        "edition": facts.edition,
        "price": facts.price if facts.shows_price and facts.state == "available" else "",
        "availability": facts.availability,
        "care": list(facts.care),
        "light": list(facts.light),
        "provenance": facts.provenance,
        "history": [f"{day}: {event}" for day, event in facts.history],
        "story": facts.story,
        "pictures": [picture.alt for picture in piece.pictures],
    }
    kept = {word: value for word, value in said.items() if value}
    return (json.dumps(kept, ensure_ascii=False, indent=1) + "\n").encode("utf-8")
