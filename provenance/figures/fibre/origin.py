"""Where a piece was made, as its label says it.

In: the studio's own words of origin and `made in:` of its lots. Out: words of origin for labels and
for offers, and bought yarn of which it is not known where it was made. A piece made in the United
States of imported yarn says so: 16 CFR 303.33 (a)(2) to (4), one step back (b); the words "of
imported yarn" from memory.
That fibre spun there is named too is our reading. Origins of other countries stay as written; an
offer to buyers in the US by post or on the web says made there, imported or both, in words of that
meaning and as the label has it (16 CFR 303.34).
"""

import re
from collections.abc import Iterable, Iterator

from provenance.figures.fibre.claims import place_of
from provenance.figures.fibre.parts import components
from provenance.figures.flow.makeup import base_yarn, fleeces_of
from provenance.problems import Said, Words
from provenance.records.book import Book
from provenance.records.lots import Fleece, Yarn
from provenance.records.pieces import Piece

US = "usa"


def origin_of(book: Book, piece: Piece) -> Words:
    """Words of origin for the labels of a piece; "" where the studio writes none."""
    origin = str(book.studio.origin or "").strip()
    if place_of(origin) != US:
        return origin
    own = (book.fleece.get(str(use.fleece)) for use in piece.yarns if use.fleece)
    said = _made_there(book, origin, tuple(_yarns(book, piece)), own)
    for part in components(book, piece):
        if _is_abroad(part.made_in):
            said = Said("origin.part", origin=said, part=part.name, place=part.made_in)
    return said if isinstance(said, str) else Said("form.label", market="US", words=said)


def offered(book: Book, piece: Piece) -> Words:
    """Words of origin for an offer of a piece to buyers in the US; "" where none are written."""
    return _offered(book, origin_of(book, piece))


def offered_to_order(book: Book, lots: Iterable[str]) -> Words:
    """The same for a piece that is to be made of these lots of yarn or fleece."""
    origin = str(book.studio.origin or "").strip()
    if place_of(origin) != US:
        return _offered(book, origin)
    names = tuple(lots)
    yarns = tuple(filter(None, map(book.yarns.get, names)))
    said = _made_there(book, origin, yarns, map(book.fleece.get, names))
    return said if isinstance(said, str) else Said("form.label", market="US", words=said)


def _offered(book: Book, origin: Words) -> Words:
    if not origin or place_of(str(book.studio.origin or "")) == US:
        return origin
    return Said("form.label", market="US", words=Said("origin.offer_abroad", origin=origin))


def _made_there(
    book: Book, origin: str, yarns: tuple[Yarn, ...], own: Iterable[Fleece | None]
) -> Words:
    """Made in the US, of yarn or fibre from elsewhere where some is."""
    is_yarn = any(_is_abroad(yarn.made_in) for yarn in yarns)
    fleeces = (fleece for yarn in yarns for fleece in fleeces_of(book, yarn))
    is_fibre = any(fleece and _is_abroad(fleece.made_in) for fleece in (*fleeces, *own))
    said: Words = origin if re.search(r"\.\w\.$", origin) else origin.rstrip(".")  # U.S.A.
    if is_yarn or is_fibre:
        said = Said(f"origin.imported_{'yarn' if is_yarn else 'fibre'}", origin=said)
    return said


def of_unknown_origin(book: Book, piece: Piece) -> tuple[str, ...]:
    """Bought yarns without `made in:`, which decides on the origin of a piece made in the US."""
    if place_of(str(book.studio.origin or "")) != US:
        return ()
    unknown = (yarn for yarn in _yarns(book, piece) if not yarn.fleece and not yarn.made_in)
    return tuple(dict.fromkeys(str(yarn.name) for yarn in unknown))


def _yarns(book: Book, piece: Piece) -> Iterator[Yarn]:
    found = (book.yarns.get(base_yarn(book, str(use.lot))) for use in piece.yarns if use.lot)
    return (yarn for yarn in found if yarn is not None)


def _is_abroad(made_in: object) -> bool:
    return bool(made_in) and place_of(str(made_in)) != US
