"""`move`: pieces go to an outlet; or come back from one that did not sell them.

In: the studio, numbers or the outlet they come from, the outlet they go to. Out: a `Deed` that
writes `at:` into each record, all of them or none. Of a set that stands at several places, those go
that stand at the one they come from.
"""

from collections.abc import Iterator, Sequence

from provenance.deeds.deed import Change, Deed, change_of
from provenance.deeds.selling import refuse_gone
from provenance.deeds.standing import moved, refuse_several
from provenance.problems import Said, Slip, Words
from provenance.records.patch import Drop, Put, Wish
from provenance.records.pieces import Piece
from provenance.records.reading import known_words
from provenance.records.sets import Places
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
        leaves = _leaves(piece, _named(studio, source) if source else None)
        if _is_at(studio, piece, target) and leaves in (None, target or STUDIO):
            told.append(Said("deed.there_already", number=str(piece.number), outlet=to))
            continue
        changes.append(change_of(studio, piece.number.place.file, [_wish(piece, leaves, target)]))
        told.append(_told(piece, leaves, to))
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
    if isinstance(piece.at, Places):
        return (name or STUDIO) in piece.standing
    if piece.at:
        return str(piece.at) == name
    return not name or studio.outlet(name).kind == "studio"


def _coming_from(studio: Studio, pieces: Sequence[Piece], source: str) -> Iterator[Piece]:
    """Pieces that are still at an outlet: those asked for, else all that did not sell."""
    there = _named(studio, source)
    for piece in pieces:
        if not _is_at(studio, piece, there):
            where = tuple(name or STUDIO for name in piece.standing)
            what = Said("deed.not_there", number=str(piece.number), outlet=source, at=where)
            raise Slip(what, Said("deed.look_at", place=piece.number.place.short))
    everyone = (each for each in studio.book.pieces.values() if each.state not in _GONE)
    found = pieces or [each for each in everyone if _is_at(studio, each, there)]
    if not found:
        raise Slip(Said("deed.nothing_there", outlet=source))
    yield from found


def _leaves(piece: Piece, source: str | None) -> str | None:
    """Which of the places of a set is left; None for what stands at one alone."""
    if not isinstance(piece.at, Places):
        return None
    if source is not None:
        return source or STUDIO
    if len(piece.standing) != 1:
        refuse_several(piece, "say_from")
    return next(iter(piece.standing))


def _wish(piece: Piece, leaves: str | None, target: str) -> Wish:
    if leaves is not None:
        return moved(piece, leaves, target or STUDIO)
    return Put(("at",), target, known_words(Piece)) if target else Drop(("at",))


def _told(piece: Piece, leaves: str | None, to: str) -> Said:
    where = leaves or str(piece.at or STUDIO)
    named = {"number": str(piece.number), "title": str(piece.title), "source": where}
    if piece.made == 1:
        return Said("deed.moves", **named, outlet=to)
    items = piece.left if leaves is None else piece.standing[leaves]
    return Said("deed.moves_items", **named, outlet=to, items=items)
