"""Structured data: schema.org as JSON-LD inside the pages.

In: the public studio, and a piece shown or nothing. Out: text ready for a page. A piece is a
VisualArtwork, and a Product too while it is for sale at a price that is shown: only then is there
an Offer, and never one without a price; that of a set is of one, and tells how many are left. Terms
are those of schema.org, version 30; units are UN/ECE Recommendation 20 codes (CMT centimetre, GRM
gram), always metric. Maker, studio and pieces are named by address, the same ones as in the museum
record and the making.
"""

import json
from collections.abc import Iterator
from fractions import Fraction
from typing import Any

from provenance.language.phrases import decimal
from provenance.public.cloth import edition_size
from provenance.public.making.steps import Thing
from provenance.public.studio import PublicStudio
from provenance.site.exports import exports_of
from provenance.site.places import anchor
from provenance.site.shown import Picture, ShownPiece

CONTEXT = "https://schema.org"
Node = dict[str, Any]


def structured(studio: PublicStudio, piece: ShownPiece) -> str:
    """JSON-LD of one piece."""
    offer = _offer(studio, piece)
    made: Node = {
        "@context": CONTEXT,
        "@type": ["VisualArtwork", "Product"] if offer else "VisualArtwork",
        **addressed(studio, piece.path),
        **_what(studio, piece),
        **dict(_measures(piece)),
        "image": [_image(studio, piece, picture) for picture in piece.pictures],
        "isBasedOn": _fleeces(studio, piece),
        "subjectOf": _files(studio, piece),
    }
    if offer:
        made["sku"] = made["identifier"]
        made["category"] = piece.facts.kind_word
        made["additionalProperty"] = list(_properties(studio, piece))
        made["offers"] = offer
    return escaped({word: value for word, value in made.items() if value})


def studio_structured(studio: PublicStudio) -> str:
    """JSON-LD of the home page: the site, the studio, its maker."""
    organization: Node = {
        "@type": "Organization",
        **addressed(studio, "", "studio"),
        "name": studio.name,
        "founder": _person(studio, studio.maker),
        "email": studio.email,
        "telephone": studio.phone,
        "address": studio.post,
        "location": {"@type": "Place", "name": studio.place} if studio.place else "",
    }
    site: Node = {
        "@type": "WebSite",
        **addressed(studio, "", "site"),
        "name": studio.name,
        "description": studio.about,
        "inLanguage": studio.phrases.language,
        "creator": _person(studio, studio.maker),
        "publisher": {word: organization[word] for word in ("@type", "@id") if studio.site},
    }
    nodes = [{word: each for word, each in node.items() if each} for node in (site, organization)]
    return escaped({"@context": CONTEXT, "@graph": nodes})


def escaped(value: Any) -> str:
    """JSON that can stand inside a script element: no text can end it."""
    return json.dumps(value, ensure_ascii=False, indent=1).replace("<", "\\u003c")


def addressed(studio: PublicStudio, path: str, part: str = "") -> Node:
    """Name and address of a thing; nothing for a studio without a site."""
    if not studio.site:
        return {}
    address = f"{studio.site}/{path}"
    return {"@id": f"{address}#{part}" if part else address, "url": address}


def the_studio(studio: PublicStudio) -> Node:
    """The studio by name and address."""
    return {"@type": "Organization", **addressed(studio, "", "studio"), "name": studio.name}


def _person(studio: PublicStudio, name: str) -> Node:
    """The maker by her address; somebody else, such as a photographer, by name alone."""
    own = {"@id": f"{studio.site}/#maker"} if studio.site and name == studio.maker else {}
    return {"@type": "Person", **own, "name": name}


def _what(studio: PublicStudio, piece: ShownPiece) -> Node:
    facts = piece.facts
    medium = (facts.fibres, facts.recalled, facts.structure, facts.dye_species)
    place = {"@type": "Place", "name": studio.place} if studio.place else ""
    return {
        "name": facts.title,
        "identifier": facts.number,
        "artform": facts.kind_word,
        "artMedium": "; ".join(part for part in medium if part),
        "material": [studio.phrases.fibre(name) for name in facts.made_of],
        "artEdition": edition_size(facts.edition),
        "description": "; ".join(filter(None, (*facts.cloth, facts.mount))),
        "creator": _person(studio, studio.maker),
        "dateCreated": facts.dated,
        "locationCreated": place,
        "copyrightNotice": f"© {facts.year} {studio.maker}",
    }


def _measures(piece: ShownPiece) -> Iterator[tuple[str, Node]]:
    if size := piece.facts.measures:
        sides = {"height": size.height, "width": size.width, "depth": size.depth}
        for side, length in sides.items():
            if length is not None:
                yield side, _quantity(Fraction(length), "CMT")
    if piece.facts.grams:
        yield "weight", _quantity(piece.facts.grams, "GRM")


def _quantity(value: Fraction, unit: str) -> Node:
    number = decimal(value, 2)
    return {"@type": "QuantitativeValue", "value": number, "unitCode": unit}


def _image(studio: PublicStudio, piece: ShownPiece, picture: Picture) -> Node:
    base = f"{studio.site}/" if studio.site else "../"
    by = picture.credit or studio.maker
    said: Node = {
        "@type": "ImageObject",
        "contentUrl": base + picture.largest.path,
        "encodingFormat": "image/jpeg",
        "caption": picture.alt,
        "representativeOfPage": picture == piece.lead,
        "creator": _person(studio, by),
        "creditText": studio.name,
        "copyrightNotice": f"© {piece.facts.year} {by}",
        "acquireLicensePage": f"{studio.site}/{piece.path}" if studio.site else "",
    }
    return {word: value for word, value in said.items() if value}


def _fleeces(studio: PublicStudio, piece: ShownPiece) -> list[str]:
    """Where the site tells of each fleece in the piece."""
    base = f"{studio.site}/fleeces/#" if studio.site and piece.is_listed else ""
    return [f"{base}{anchor(name)}" for name, _ in piece.facts.from_fleeces if base]


def _files(studio: PublicStudio, piece: ShownPiece) -> list[Node]:
    """The files beside the page."""
    base = f"{studio.site}/{piece.path}" if studio.site else ""
    return [
        {
            "@type": "DigitalDocument",
            "name": studio.phrases.say(export.phrase, number=piece.facts.number),
            "url": base + export.name,
            "encodingFormat": export.media_type,
        }
        for export in exports_of(studio)
    ]


def _properties(studio: PublicStudio, piece: ShownPiece) -> Iterator[Node]:
    """Dyes, mordants and fleeces as a shop reads them: a name and a value each."""
    making = piece.facts.making
    say = studio.phrases.say
    for dye in making.of("dyestuff"):
        yield _property(say("label.dyes"), _with_species(dye))
    if piece.facts.mordants:
        yield _property(say("label.mordants"), piece.facts.mordants)
    for line in piece.facts.fleeces:
        yield _property(say("certificate.fleece"), line)


def _with_species(dye: Thing) -> str:
    return f"{dye.name} ({dye.species})" if dye.species else dye.name


def _property(name: str, value: str) -> Node:
    return {"@type": "PropertyValue", "name": name, "value": value}


def _offer(studio: PublicStudio, piece: ShownPiece) -> Node | None:
    facts = piece.facts
    if not (piece.is_for_sale and facts.shows_price and facts.amount):
        return None
    offer: Node = {
        "@type": "Offer",
        "price": studio.phrases.amount(facts.amount),
        "priceCurrency": studio.currency,
        "availability": "https://schema.org/InStock",
        "itemCondition": "https://schema.org/NewCondition",
        "seller": the_studio(studio),
    }
    if facts.made > 1:
        offer["inventoryLevel"] = {"@type": "QuantitativeValue", "value": str(facts.left)}
    if studio.site:
        offer["url"] = f"{studio.site}/{piece.path}"
    return offer
