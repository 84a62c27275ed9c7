"""Whether the records fit each other: a tuple of small functions over the whole book.

In: the book. Out: problems and remarks with places. Balance of material is checked where the flow
is worked out (`figures`); here only names, numbers, places and dates are held against each other.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from datetime import date

from provenance.problems import Place, Problem, did_you_mean, nearest
from provenance.records.baths import Bath, Dyeing
from provenance.records.book import Book
from provenance.records.lots import Fleece, Sundry, Yarn
from provenance.records.text import Written
from provenance.reference.fibres import fibre_names, find_fibre

Found = Iterator[Problem]


def review(book: Book) -> tuple[Problem, ...]:
    """Every cross-record problem, in order of place."""
    return tuple(sorted({problem for check in CHECKS for problem in check(book)}))


def lots_of(book: Book) -> dict[str, Place]:
    """Every yarn and dyed lot by name, with its place."""
    lots = {name: yarn.name.place for name, yarn in book.yarns.items()}
    for bath in book.baths.values():
        for entry in bath.dyed:
            lots.setdefault(str(entry.becomes), entry.becomes.place)
    return lots


def _unknown(what: str, name: Written, known: dict[str, Place]) -> Problem:
    near = nearest(name, known)
    if near:
        remedy = f"did you mean '{near}' ({known[near].short})?"
    else:
        remedy = did_you_mean(name, known) or f"no {what} is written down yet"
    return Problem(name.place, f"no {what} called '{name}'", remedy)


def _places(records: Iterable[tuple[str, object]]) -> dict[str, Place]:
    return {
        name: getattr(getattr(record, "name", None), "place", Place("")) for name, record in records
    }


def check_lots(book: Book) -> Found:
    """Lots drawn by pieces and baths exist."""
    known = lots_of(book)
    wanted = [use.lot for piece in book.pieces.values() for use in piece.yarns if use.lot]
    wanted += [entry.yarn for bath in book.baths.values() for entry in bath.dyed]
    for name in wanted:
        if name not in known and not book.is_broken(name, "lots", "yarns"):
            hint = _unknown("lot", name, known)
            if name in book.fleece:
                yield Problem(
                    hint.place, f"'{name}' is fleece, not yarn", f"write 'fleece: {name}'"
                )
            elif not book.is_broken("*", "baths"):
                yield hint


def check_fleece(book: Book) -> Found:
    """Fleece spun into yarn exists."""
    known = _places(book.fleece.items())
    wanted = [use.fleece for piece in book.pieces.values() for use in piece.yarns if use.fleece]
    wanted += [Written.of(name) for yarn in book.yarns.values() for name in yarn.fleece or ()]
    for name in wanted:
        if name not in known and not book.is_broken(name, "fleece"):
            yield _unknown("fleece", name, known)


def check_shelf(book: Book) -> Found:
    """Dyestuffs, mordants and sundries used stand on the shelf."""
    steps: list[Dyeing] = [step for bath in book.baths.values() for step in bath.steps]
    steps += [use for piece in book.pieces.values() for use in piece.yarns]
    dyes, mordants = _places(book.dyestuffs.items()), _places(book.mordants.items())
    for step in steps:
        yield from _missing_from(book, "dyestuff", "dyestuffs", step.dyes, dyes)
        yield from _missing_from(book, "mordant", "mordants", step.mordants, mordants)
        yield from _missing_from(book, "mordant", "mordants", step.after, mordants | dyes)
    sundries = _places(book.sundries.items())
    uses = [piece.sundries for piece in book.pieces.values()] + [book.studio.every_piece_takes]
    for use in uses:
        yield from _missing_from(book, "sundry", "sundries", use, sundries)


def _missing_from(
    book: Book, what: str, kind: str, used: Iterable[str], known: dict[str, Place]
) -> Found:
    for name in used:
        if name not in known and not book.is_broken(name, kind) and isinstance(name, Written):
            yield _unknown(what, name, known)


def check_outlets(book: Book) -> Found:
    """Pieces are at outlets that exist."""
    known = _places(book.outlets.items())
    for piece in book.pieces.values():
        for name in (piece.at, piece.sale.at if piece.sale else None):
            if name and name not in known and not book.is_broken(name, "outlets"):
                yield _unknown("outlet", name, known)


def check_fibres(book: Book) -> Found:
    """Fibres carry lawful names."""
    lots: list[Fleece | Yarn | Sundry] = [*book.fleece.values(), *book.yarns.values()]
    lots += book.sundries.values()
    for lot in lots:
        for name in lot.fibre or ():
            if find_fibre(name) is None:
                place = name.place if isinstance(name, Written) else lot.name.place
                near = did_you_mean(name, fibre_names())
                yield Problem(
                    place, f"'{name}' is not a fibre name", near or "such as wool, silk, linen"
                )


def check_bought_fibres(book: Book) -> Found:
    """Bought yarn says what it is made of."""
    for yarn in book.yarns.values():
        if yarn.fleece is None and yarn.fibre is None:
            yield Problem(
                yarn.name.place, f"what is '{yarn.name}' made of?", "add a line 'fibre: linen'"
            )


def check_twice(book: Book) -> Found:
    """A lot's name is given once, whatever kind of lot it is."""
    first: dict[str, Place] = {name: yarn.name.place for name, yarn in book.yarns.items()}
    for bath in book.baths.values():
        for entry in bath.dyed:
            name = str(entry.becomes)
            if name in first:
                yield Problem(
                    entry.becomes.place,
                    f"the lot name '{name}' is given twice",
                    f"it stands first in {first[name].short}; call this one otherwise",
                )
            first.setdefault(name, entry.becomes.place)


def find_bath(book: Book, name: str) -> Bath | None:
    """A bath by its file name, or by a lot that came out of it."""
    if name in book.baths:
        return book.baths[name]
    for bath in book.baths.values():
        if any(entry.becomes == name for entry in bath.dyed):
            return bath
    return None


def check_exhaust(book: Book) -> Found:
    """An exhaust bath names a bath."""
    known = _places(book.baths.items()) | lots_of(book)
    for bath in book.baths.values():
        name = bath.exhaust_of
        if name and find_bath(book, name) is None and not book.is_broken(name, "baths", "lots"):
            yield _unknown("bath", name, known)


def check_cycles(book: Book) -> Found:
    """No lot is dyed from itself, whatever the round-about way."""
    source = {str(entry.becomes): entry.yarn for bath in book.baths.values() for entry in bath.dyed}
    for start in source:
        seen, name = [start], source[start]
        while name in source and name not in seen:
            seen.append(str(name))
            name = source[str(name)]
        if name == start:
            chain = " -> ".join([*seen, start])
            yield Problem(
                source[start].place, f"'{start}' would be dyed from itself", f"the round: {chain}"
            )


def check_commissions(book: Book) -> Found:
    """Pieces and commissions name each other rightly."""
    known = _places(book.commissions.items())
    numbers = {number: piece.number.place for number, piece in book.pieces.items()}
    for piece in book.pieces.values():
        status = piece.status
        if status and status.commission and status.commission not in known:
            name = Written(status.commission, status.place)
            if not book.is_broken(name, "commissions"):
                yield _unknown("commission", name, known)
    for commission in book.commissions.values():
        like = commission.like
        if like and like not in numbers and not book.is_broken(like, "pieces"):
            yield _unknown("piece", like, numbers)


def check_shared(book: Book) -> Found:
    """Pieces that share work exist."""
    numbers = {number: piece.number.place for number, piece in book.pieces.items()}
    for piece in book.pieces.values():
        for name in piece.shared.with_ if piece.shared else ():
            if name not in numbers and not book.is_broken(name, "pieces"):
                yield _unknown("piece", name, numbers)


def check_sales(book: Book) -> Found:
    """A sale and a status do not contradict each other."""
    for piece in book.pieces.values():
        status = piece.status
        if piece.sale and status and status.state in ("available", "reserved", "not for sale"):
            yield Problem(
                status.place,
                f"{piece.number} has a sale and is still '{status.state}'",
                "write 'status: sold', or take the sale out",
            )
        if piece.sale and piece.finished and piece.sale.on < piece.finished:
            yield Problem(
                piece.sale.record_place,
                f"{piece.number} was sold before it was finished",
                "look at both dates",
                is_remark=True,
            )


def check_photos(book: Book) -> Found:
    """Photos lie in photos/ and have words for those who can't see them."""
    for piece in book.pieces.values():
        for photo in piece.photos:
            if not photo.alt:
                yield Problem(
                    photo.record_place,
                    f"the photo '{photo.file}' has no 'alt' text",
                    'say in a sentence what it shows: alt: "Tall hanging in olive and rust"',
                )
            yield from _photo_lies_there(book, photo.file)
    for bath in book.baths.values():
        swatches = [bath.swatch, *(entry.swatch for entry in bath.dyed)]
        for swatch in swatches:
            if swatch:
                yield from _photo_lies_there(book, swatch)


def photo_path(name: str) -> str:
    """A photo's path inside the record folder: `photos/` may be left out."""
    return name if name.startswith("photos/") else f"photos/{name}"


def _photo_lies_there(book: Book, name: Written) -> Found:
    path = book.folder / photo_path(name)
    inside = path.resolve().is_relative_to((book.folder / "photos").resolve())
    if not inside or ".." in name or name.startswith(("/", "\\")) or "\\" in name:
        yield Problem(
            name.place, f"'{name}' leads out of the photos folder", "put the photo into photos/"
        )
    elif not path.is_file():
        folder = path.parent
        there = [each.name for each in folder.iterdir()] if folder.is_dir() else []
        remedy = did_you_mean(path.name, there) if len(there) else "the photos folder is empty"
        yield Problem(name.place, f"there is no photo '{name}'", remedy)


def check_papers(book: Book) -> Found:
    """The studio file says what papers and pages need."""
    studio = book.studio
    for each in studio.public_contact:
        if each not in studio.contact:
            yield Problem(
                each.place,
                f"'{each}' is public, and not among the contacts",
                did_you_mean(each, studio.contact),
            )
    if studio.pay == {} and any(piece.hours for piece in book.pieces.values()):
        yield Problem(
            studio.record_place,
            "no pay is set: hours count for nothing",
            "add to the studio file: pay: {any: 18.00}",
            is_remark=True,
        )


def check_numbers(book: Book) -> Found:
    """A number once printed stays with its piece."""
    for line in book.printed:
        if line.number in book.pieces or book.is_broken("*", "pieces"):
            continue
        if not book.is_broken(line.number, "pieces"):
            yield Problem(
                line.number.place,
                f"{line.number} '{line.title}' was printed and its record is gone",
                "bring the record back; if the piece is no more, write 'status: withdrawn'",
            )


def expired(book: Book, today: date) -> tuple[Problem, ...]:
    """Reservations that have run out by today."""
    return tuple(
        Problem(
            piece.status.place,
            f"{piece.number} was reserved until {piece.status.until}",
            "sold, or available again?",
            is_remark=True,
        )
        for piece in book.pieces.values()
        if piece.status and piece.status.until and piece.status.until < today
    )


CHECKS: tuple[Callable[[Book], Found], ...] = (
    check_lots,
    check_fleece,
    check_shelf,
    check_outlets,
    check_fibres,
    check_bought_fibres,
    check_twice,
    check_exhaust,
    check_cycles,
    check_commissions,
    check_shared,
    check_sales,
    check_photos,
    check_papers,
    check_numbers,
)
