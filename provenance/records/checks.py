"""Whether the records fit each other: a tuple of small functions over the whole book.

In: the book. Out: problems and remarks with places. Balance of material is checked where the flow
is worked out (`figures`); here only names, numbers, places and dates are held against each other.
"""

from collections.abc import Callable, Iterator
from datetime import date

from provenance.problems import Problem, Said
from provenance.records import checks_names as names
from provenance.records import checks_sense as sense
from provenance.records.book import Book
from provenance.records.checks_photos import check_photos
from provenance.records.printing import check_printing

CHECKS: tuple[Callable[[Book], Iterator[Problem]], ...] = (
    names.check_lots,
    names.check_fleece,
    names.check_shelf,
    names.check_sundries,
    names.check_outlets,
    names.check_exhaust,
    names.check_commissions,
    names.check_quoted_lots,
    names.check_shared,
    sense.check_bought_fibres,
    sense.check_costs,
    sense.check_twice,
    sense.check_cycles,
    sense.check_exhaust_rounds,
    sense.check_baths,
    sense.check_sundry_units,
    sense.check_sales,
    sense.check_papers,
    sense.check_pay,
    sense.check_numbers,
    check_photos,
    check_printing,
)


def review(book: Book) -> tuple[Problem, ...]:
    """Every cross-record problem, in order of place."""
    return tuple(sorted({problem for check in CHECKS for problem in check(book)}))


def expired(book: Book, today: date) -> tuple[Problem, ...]:
    """Reservations that have run out by today."""
    return tuple(
        Problem(
            piece.status.place,
            Said("sense.expired", number=piece.number, day=piece.status.until.isoformat()),
            Said("sense.sold_or_not"),
            is_remark=True,
        )
        for piece in book.pieces.values()
        if piece.status and piece.status.until and piece.status.until < today
    )
