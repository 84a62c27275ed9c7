"""Whether every name in the records is the name of something.

In: the book. Out: a problem for each lot, fleece, dyestuff, mordant, sundry, outlet, fibre, bath,
piece or commission that is named and not written down, with the nearest name and its place.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any

from provenance.problems import Place, Problem, did_you_mean, nearest
from provenance.records.baths import Bath, Dyeing
from provenance.records.book import Book
from provenance.records.reading import Named
from provenance.records.text import Written

Found = Iterator[Problem]


def lots_of(book: Book) -> dict[str, Place]:
    """Every yarn and dyed lot by name, with its place."""
    lots = {name: yarn.name.place for name, yarn in book.yarns.items()}
    for bath in book.baths.values():
        for entry in bath.dyed:
            lots.setdefault(str(entry.becomes), entry.becomes.place)
    return lots


def _unknown(what: str, name: Written, known: Mapping[str, Place]) -> Problem:
    near = nearest(name, known)
    if near:
        remedy = f"did you mean '{near}' ({known[near].short})?"
    else:
        remedy = did_you_mean(name, known) or f"no {what} is written down yet"
    return Problem(name.place, f"no {what} called '{name}'", remedy)


def _places(records: Mapping[str, Any]) -> dict[str, Place]:
    """Where each record stands: its name, or the line of its number."""
    return {
        name: (each.name if isinstance(each, Named) else each.number).place
        for name, each in records.items()
    }


def check_lots(book: Book) -> Found:
    """Lots drawn by pieces and baths exist."""
    known = lots_of(book)
    wanted = [use.lot for piece in book.pieces.values() for use in piece.yarns if use.lot]
    wanted += [entry.yarn for bath in book.baths.values() for entry in bath.dyed]
    for name in wanted:
        if name in known:
            continue
        if name in book.fleece:
            yield Problem(name.place, f"'{name}' is fleece, not yarn", f"write 'fleece: {name}'")
        elif not book.may_have(name, "lots", "yarns") and not book.is_broken("*", "baths"):
            yield _unknown("lot", name, known)


def check_fleece(book: Book) -> Found:
    """Fleece spun into yarn exists."""
    known, lots = _places(book.fleece), lots_of(book)
    wanted = [use.fleece for piece in book.pieces.values() for use in piece.yarns if use.fleece]
    spun = [Written.of(name) for yarn in book.yarns.values() for name in yarn.fleece or ()]
    for name in (*wanted, *spun):
        if name in known or book.may_have(name, "fleece"):
            continue
        if name in lots and name in wanted:
            yield Problem(name.place, f"'{name}' is yarn, not fleece", f"write 'lot: {name}'")
        else:
            yield _unknown("fleece", name, known)


def check_shelf(book: Book) -> Found:
    """Dyestuffs and mordants used stand on the shelf; a tannin may stand among the dyestuffs."""
    steps: list[Dyeing] = [step for bath in book.baths.values() for step in bath.steps]
    steps += [use for piece in book.pieces.values() for use in piece.yarns]
    dyes, mordants = _places(book.dyestuffs), _places(book.mordants)
    for step in steps:
        for name in map(Written.of, step.dyes):
            if name in mordants and name not in dyes:
                what = f"'{name}' stands among the mordants ({mordants[name].short})"
                yield Problem(name.place, what, "write it under 'mordants' or 'after'")
            elif name not in dyes and not book.may_have(name, "dyestuffs"):
                yield _unknown("dyestuff", name, dyes)
        for name in map(Written.of, (*step.mordants, *step.after)):
            known = mordants | dyes
            if name not in known and not book.may_have(name, "mordants", "dyestuffs"):
                yield _unknown("mordant", name, known)


def check_sundries(book: Book) -> Found:
    """Sundries used stand on the shelf."""
    known = _places(book.sundries)
    uses = [piece.sundries for piece in book.pieces.values()] + [book.studio.every_piece_takes]
    for name in (Written.of(name) for use in uses for name in use):
        if name not in known and not book.may_have(name, "sundries"):
            yield _unknown("sundry", name, known)


def check_outlets(book: Book) -> Found:
    """Pieces are at outlets that exist; the studio itself needs no entry."""
    known = _places(book.outlets)
    for piece in book.pieces.values():
        for name in (piece.at, piece.sale.at if piece.sale else None):
            if not name or name == "studio":
                continue
            if name not in known and not book.may_have(name, "outlets"):
                yield _unknown("outlet", name, known)


def find_bath(book: Book, name: str) -> Bath | None:
    """A bath by its file name, or by a lot that came out of it."""
    lot = book.dyed.get(name)
    return book.baths.get(name) or (lot.bath if lot else None)


def check_exhaust(book: Book) -> Found:
    """An exhaust bath names a bath."""
    known = _places(book.baths) | lots_of(book)
    for bath in book.baths.values():
        name = bath.exhaust_of
        if name and find_bath(book, name) is None and not book.may_have(name, "baths", "lots"):
            yield _unknown("bath", name, known)


def check_commissions(book: Book) -> Found:
    """Pieces and commissions name each other rightly."""
    known = _places(book.commissions)
    numbers = _places(book.pieces)
    for piece in book.pieces.values():
        status = piece.status
        if status and status.commission and status.commission not in known:
            name = Written(status.commission, status.place)
            if not book.may_have(name, "commissions"):
                yield _unknown("commission", name, known)
    for commission in book.commissions.values():
        like = commission.like
        if like and like not in numbers and not book.may_have(like, "pieces"):
            yield _unknown("piece", like, numbers)


def check_quoted_lots(book: Book) -> Found:
    """Lots named in a commission exist."""
    known = lots_of(book)
    for commission in book.commissions.values():
        planned = [colour.lot for colour in commission.colours if colour.lot]
        for name in (*commission.yarn.values(), *planned):
            if name not in known and not book.may_have(name, "lots", "yarns", "baths"):
                yield _unknown("lot", name, known)


def check_shared(book: Book) -> Found:
    """Pieces that share work exist."""
    numbers = _places(book.pieces)
    for piece in book.pieces.values():
        for name in piece.shared.with_ if piece.shared else ():
            if name not in numbers and not book.may_have(name, "pieces"):
                yield _unknown("piece", name, numbers)
