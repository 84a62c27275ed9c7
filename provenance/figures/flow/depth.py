"""Whether a dye lies pale on a yarn: a short dip, a tint.

In: a step of a bath with the grams of fibre in it, and the dyed lot if one is meant. Out: the names
of the dyes that lie pale. A vat dye lies pale after one dip, or where the colour of the lot is
lighter than L* 65 (ours: a full or middle blue is far below). Any other dye where it was given less
than half of what dyers usually weigh at least (`share` in the table of dyes; of an extract its own,
where that is known). What is not recorded counts as full depth, and a lake is no dyeing.
"""

from fractions import Fraction

from provenance.figures.colour.space import lab
from provenance.figures.flow.gather import dose_grams
from provenance.records.baths import DyedYarn, Dyeing, Step
from provenance.records.book import Book
from provenance.reference.dyes import find_dye, is_extract, is_lake

PALE_BLUE = 65


def pale_dyes(
    book: Book, step: Dyeing, grams: Fraction, entry: DyedYarn | None = None, colour: str = ""
) -> tuple[str, ...]:
    """The dyes of a step that lie pale on the yarn it was done for; `colour` is the lot's own."""
    found = []
    for name, dose in step.dyes.items():
        row = find_dye(_species_or_name(book, name))
        is_vat = row is not None and row.on_wool == "vat"
        share = dose_grams(dose, grams) / grams if grams else None
        if (is_vat and _is_short(step, entry, colour)) or (share and _is_tint(book, name, share)):
            found.append(str(name))
    return tuple(found)


def _is_short(step: Dyeing, entry: DyedYarn | None, colour: str) -> bool:
    dips = entry.dips if entry and entry.dips is not None else None
    if dips is None and isinstance(step, Step):
        dips = step.dips
    return (dips is not None and dips <= 1) or (bool(colour) and lab(colour)[0] >= PALE_BLUE)


def _is_tint(book: Book, name: str, share: Fraction) -> bool:
    lot, row = book.dyestuffs.get(name), find_dye(_species_or_name(book, name))
    if row is None or is_lake(name):
        return False
    is_drawn_out = is_extract(name, str((lot and lot.part) or ""))
    usual = row.least_extract if is_drawn_out else row.least_share
    return usual is not None and share * 100 * 2 < Fraction(usual)


def _species_or_name(book: Book, name: str) -> str:
    lot = book.dyestuffs.get(name)
    return str(lot.species) if lot and lot.species else name
