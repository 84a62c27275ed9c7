"""Whether the records make sense together: names given twice, rounds, units, sales, numbers.

In: the book. Out: problems and remarks with places.
"""

from __future__ import annotations

import re
from collections.abc import Iterator

from provenance.problems import Place, Problem, did_you_mean
from provenance.records.book import Book
from provenance.records.checks_names import find_bath
from provenance.records.lots import Dyestuff, Fleece, Mordant, Yarn

Found = Iterator[Problem]


def check_bought_fibres(book: Book) -> Found:
    """Bought yarn says what it is made of."""
    for yarn in book.yarns.values():
        if yarn.fleece is None and yarn.fibre is None:
            yield Problem(
                yarn.name.place, f"what is '{yarn.name}' made of?", "add a line 'fibre: linen'"
            )


_FREE = re.compile(r"grown|gather|found|saved|given|gift|forag|own ", re.IGNORECASE)


def check_costs(book: Book) -> Found:
    """What was bought has a cost; a lot without one counts as nothing, and that is said."""
    lots: list[Fleece | Dyestuff | Mordant | Yarn] = [*book.fleece.values()]
    lots += [yarn for yarn in book.yarns.values() if yarn.fleece is None]
    lots += [lot for lot in book.dyestuffs.values() if not _FREE.search(lot.got or "")]
    lots += book.mordants.values()
    for lot in lots:
        if lot.cost is None and not lot.hours:
            yield Problem(
                lot.name.place,
                f"no cost is written for '{lot.name}': it counts as nothing",
                "add 'cost: 12.50', or 'cost: 0' if it was free",
                is_remark=True,
            )


def check_baths(book: Book) -> Found:
    """A bath has dyed something."""
    for bath in book.baths.values():
        if not bath.dyed:
            yield Problem(
                bath.name.place,
                f"nothing is dyed in the bath '{bath.name}' yet",
                "add 'dyed:' and a line '- {yarn: NAME, weight: 420 g, becomes: NEW NAME}'",
                is_remark=True,
            )


_COUNTED_IN = {
    "": ("counted by number", "a number, such as 1"),
    "cm": ("measured by length", "a length, such as 50 cm"),
    "g": ("weighed", "a weight, such as 5 g"),
}


def check_sundry_units(book: Book) -> Found:
    """A sundry is used in the measure it was bought in."""
    uses = [piece.sundries for piece in book.pieces.values()] + [book.studio.every_piece_takes]
    for use in uses:
        for name, used in use.items():
            sundry = book.sundries.get(name)
            if sundry and sundry.unit != used.unit:
                how, example = _COUNTED_IN[sundry.unit]
                yield Problem(
                    used.place, f"'{name}' is {how} ({sundry.name.place.short})", f"write {example}"
                )


def check_exhaust_rounds(book: Book) -> Found:
    """No bath is, the round-about way, what is left of itself."""
    for bath in book.baths.values():
        seen, at = [str(bath.name)], bath
        while at.exhaust_of and (source := find_bath(book, at.exhaust_of)) is not None:
            if source is bath and bath.exhaust_of:
                chain = " -> ".join([*seen, str(bath.name)])
                what = f"the bath '{bath.name}' would be what is left of itself"
                yield Problem(bath.exhaust_of.place, what, f"the round: {chain}")
            if str(source.name) in seen:
                break
            seen.append(str(source.name))
            at = source


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


def check_sales(book: Book) -> Found:
    """A sale and a status do not contradict each other."""
    for piece in book.pieces.values():
        status = piece.status
        if piece.sale and status and status.state in ("available", "reserved"):
            yield Problem(
                status.place,
                f"{piece.number} has a sale and is still '{status.state}': it counts as sold",
                "write 'status: sold', or take the sale out",
                is_remark=True,
            )
        if piece.sale and piece.finished and piece.sale.on < piece.finished:
            yield Problem(
                piece.sale.record_place,
                f"{piece.number} was sold before it was finished",
                "look at both dates",
                is_remark=True,
            )


def check_papers(book: Book) -> Found:
    """The studio file says what papers and pages need."""
    studio = book.studio
    if book.is_broken("*", "studio"):
        return
    for each in studio.public_contact:
        if each not in studio.contact:
            yield Problem(
                each.place,
                f"'{each}' is public, and not among the contacts",
                did_you_mean(each, studio.contact),
            )


def check_pay(book: Book) -> Found:
    """Hours count for nothing where no pay is set; that is said once for each activity."""
    if book.is_broken("*", "studio"):
        return
    spent = [piece.hours for piece in book.pieces.values()]
    spent += [yarn.hours for yarn in book.yarns.values()]
    spent += [bath.hours for bath in book.baths.values()]
    unpaid = {
        str(activity): None
        for hours in spent
        for activity in hours
        if book.studio.pay_for(activity) is None
    }
    if unpaid:
        yield Problem(
            book.studio.record_place,
            f"no pay is set for {', '.join(unpaid)}: these hours count for nothing",
            "add to the studio file: 'pay: {any: 18.00}'",
            is_remark=True,
        )


def check_numbers(book: Book) -> Found:
    """A number once printed stays with its piece."""
    gone = {line.number: line for line in reversed(book.printed)}
    for line in gone.values():
        if line.number not in book.pieces and not book.may_have(line.number, "pieces"):
            yield Problem(
                line.number.place,
                f"{line.number} '{line.title}' was printed and its record is gone",
                "bring the record back; if the piece is no more, write 'status: withdrawn'",
            )
