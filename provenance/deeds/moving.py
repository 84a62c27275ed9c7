"""`move`: pieces go to an outlet; or come back from one that did not sell them.

In: the studio, numbers or the outlet they come from, the outlet they go to. Out: a `Deed` that
writes `at:` into each record, all of them or none.
"""

from collections.abc import Iterator, Sequence

from provenance.deeds.deed import Change, Deed, change_of
from provenance.deeds.selling import refuse_gone
from provenance.problems import Said, Slip, Words
from provenance.records.patch import Drop, Put, Wish
from provenance.records.pieces import Piece
from provenance.records.reading import known_words
from provenance.studio import Studio

STUDIO = "studio"  # where a piece is whose record names no outlet
_GONE = ("sold", "withdrawn")


def move(studio: Studio, numbers: Sequence[str], to: str, source: str | None = None) -> Deed:
    """Pieces and where they go. Raises Slip where one of them can't go there."""
    target = _named(studio, to)
    pieces = [studio.piece(number).record for number in dict.fromkeys(numbers)]
    if source is not None:
        pieces = list(_coming_from(studio, pieces, source))
    changes: list[Change] = []
    told: list[Words] = []
    for piece in pieces:
        refuse_gone(piece)
        if piece.state in _GONE:
            raise Slip(Said("deed.no_more", number=str(piece.number), state=piece.state))
        if _is_at(studio, piece, target):
            told.append(Said("deed.there_already", number=str(piece.number), outlet=to))
            continue
        changes.append(change_of(studio, piece.number.place.file, [_wish(target)]))
        told.append(_told(piece, to))
    words = ["move", *numbers, *(["--from", source] if source else []), to]
    return Deed(" ".join(words), tuple(changes), tuple(told))


def _named(studio: Studio, name: str) -> str:
    """An outlet by its name; nothing for the studio where no outlet is called so."""
    is_bare = name == STUDIO and not studio.book.may_have(STUDIO, "outlets")
    if is_bare and STUDIO not in studio.book.outlets:
        return ""
    return str(studio.outlet(name).name)


def _is_at(studio: Studio, piece: Piece, name: str) -> bool:
    """Whether it is there; a piece that says nothing is in the studio, whatever that is called."""
    if piece.at:
        return str(piece.at) == name
    return not name or studio.outlet(name).kind == "studio"


def _coming_from(studio: Studio, pieces: Sequence[Piece], source: str) -> Iterator[Piece]:
    """Pieces that are still at an outlet: those asked for, else all that did not sell."""
    there = _named(studio, source)
    for piece in pieces:
        if not _is_at(studio, piece, there):
            where = str(piece.at or STUDIO)
            what = Said("deed.not_there", number=str(piece.number), outlet=source, at=where)
            raise Slip(what, Said("deed.look_at", place=piece.number.place.short))
    everyone = (each for each in studio.book.pieces.values() if each.state not in _GONE)
    found = pieces or [each for each in everyone if _is_at(studio, each, there)]
    if not found:
        raise Slip(Said("deed.nothing_there", outlet=source))
    yield from found


def _wish(target: str) -> Wish:
    return Put(("at",), target, known_words(Piece)) if target else Drop(("at",))


def _told(piece: Piece, to: str) -> Said:
    where = str(piece.at or STUDIO)
    named = {"number": str(piece.number), "title": str(piece.title)}
    return Said("deed.moves", **named, source=where, outlet=to)
