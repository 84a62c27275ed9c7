"""Whether every name in the records is the name of something.

In: the book. Out: a problem for each lot, fleece, dyestuff, mordant, sundry, outlet, fibre, bath,
piece or commission that is named and not written down, with the nearest name and its place.
"""

from collections.abc import Iterable, Iterator, Mapping
from typing import Any

from provenance.problems import Place, Problem, Said, did_you_mean, nearest
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


def find_bath(book: Book, name: str) -> Bath | None:
    """A bath by its file name, or by a lot that came out of it."""
    lot = book.dyed.get(name)
    return book.baths.get(name) or (lot.bath if lot else None)


def _unknown(what: str, name: Written, known: Mapping[str, Place]) -> Problem:
    """Nothing of this kind (a word of [unknown] in `language/`) has this name."""
    remedy = did_you_mean(name, known) or Said(f"unknown.no_{what}")
    if near := nearest(name, known):
        remedy = Said("unknown.near", near=near, place=known[near].short)
    return Problem(name.place, Said(f"unknown.{what}", name=name), remedy)


def _strangers(
    book: Book, what: str, names: Iterable[str], known: Mapping[str, Place], *kinds: str
) -> Found:
    """The names that are neither known nor those of records that could not be read."""
    for name in map(Written.of, names):
        if name not in known and not book.may_have(name, *kinds):
            yield _unknown(what, name, known)


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
        if name in book.fleece and name not in known:
            remedy = Said("unknown.write_fleece", name=name)
            yield Problem(name.place, Said("unknown.is_fleece", name=name), remedy)
        elif not book.is_broken("*", "baths"):
            yield from _strangers(book, "lot", [name], known, "lots", "yarns")


def check_fleece(book: Book) -> Found:
    """Fleece spun into yarn exists."""
    known, lots = _places(book.fleece), lots_of(book)
    for name in (use.fleece for piece in book.pieces.values() for use in piece.yarns):
        if name and name in lots and name not in known and not book.may_have(name, "fleece"):
            remedy = Said("unknown.write_lot", name=name)
            yield Problem(name.place, Said("unknown.is_yarn", name=name), remedy)
        elif name:
            yield from _strangers(book, "fleece", [name], known, "fleece")
    spun = (name for yarn in book.yarns.values() for name in yarn.fleece or ())
    yield from _strangers(book, "fleece", spun, known, "fleece")


def check_shelf(book: Book) -> Found:
    """Dyestuffs and mordants used stand on the shelf; a tannin may stand among the dyestuffs."""
    steps: list[Dyeing] = [step for bath in book.baths.values() for step in bath.steps]
    steps += [use for piece in book.pieces.values() for use in piece.yarns]
    dyes, mordants = _places(book.dyestuffs), _places(book.mordants)
    for step in steps:
        for name in map(Written.of, step.dyes):
            if name in mordants and name not in dyes:
                what = Said("unknown.is_mordant", name=name, place=mordants[name].short)
                yield Problem(name.place, what, Said("unknown.write_mordant"))
            else:
                yield from _strangers(book, "dyestuff", [name], dyes, "dyestuffs")
        helps = (*step.mordants, *step.after)
        yield from _strangers(book, "mordant", helps, mordants | dyes, "mordants", "dyestuffs")


def check_sundries(book: Book) -> Found:
    """Sundries used stand on the shelf."""
    uses = [piece.sundries for piece in book.pieces.values()] + [book.studio.every_piece_takes]
    names = (name for use in uses for name in use)
    yield from _strangers(book, "sundry", names, _places(book.sundries), "sundries")


def check_outlets(book: Book) -> Found:
    """Pieces are at outlets that exist; the studio itself needs no entry."""
    named = [piece.at for piece in book.pieces.values()]
    named += [piece.sale.at for piece in book.pieces.values() if piece.sale]
    names = (name for name in named if name and name != "studio")
    yield from _strangers(book, "outlet", names, _places(book.outlets), "outlets")


def check_exhaust(book: Book) -> Found:
    """An exhaust bath names a bath."""
    known = _places(book.baths) | lots_of(book)
    for bath in book.baths.values():
        name = bath.exhaust_of
        if name and find_bath(book, name) is None and not book.may_have(name, "baths", "lots"):
            yield _unknown("bath", name, known)


def check_commissions(book: Book) -> Found:
    """Pieces and commissions name each other rightly."""
    states = (piece.status for piece in book.pieces.values() if piece.status)
    asked = (Written(state.commission, state.place) for state in states if state.commission)
    yield from _strangers(book, "commission", asked, _places(book.commissions), "commissions")
    like = (commission.like for commission in book.commissions.values() if commission.like)
    yield from _strangers(book, "piece", like, _places(book.pieces), "pieces")


def check_quoted_lots(book: Book) -> Found:
    """Lots named in a commission exist."""
    for commission in book.commissions.values():
        planned = [colour.lot for colour in commission.colours if colour.lot]
        names = (*commission.yarn.values(), *planned)
        yield from _strangers(book, "lot", names, lots_of(book), "lots", "yarns", "baths")


def check_shared(book: Book) -> Found:
    """Pieces that share work exist."""
    names = (n for piece in book.pieces.values() if piece.shared for n in piece.shared.with_)
    yield from _strangers(book, "piece", names, _places(book.pieces), "pieces")
