"""Whether every name in the records is the name of something.

In: the book, and the names in the photos folder; no photo is opened here. Out: a problem for each
lot, fleece, dyestuff, mordant, sundry, outlet, bath, piece or commission that is named and not
written down, with the nearest name and its place; and for each photo that does not lie in photos/
under a name that works everywhere. Photos are held against the folder's list, so that a small
letter for a capital is told on every machine.
"""

import os
from collections.abc import Iterable, Iterator, Mapping
from itertools import chain
from pathlib import Path
from typing import Any

from provenance.problems import Place, Problem, Said, did_you_mean, nearest
from provenance.records.baths import Dyeing
from provenance.records.book import Book
from provenance.records.file_names import LONGEST, bad_name
from provenance.records.folder import leads_inside
from provenance.records.reading import Named
from provenance.records.text import Written

Found = Iterator[Problem]


def lots_of(book: Book) -> dict[str, Place]:
    """Every yarn and dyed lot by name, with its place."""
    spun = {name: yarn.name.place for name, yarn in book.yarns.items()}
    return spun | {name: lot.entry.becomes.place for name, lot in book.dyed.items()} | spun


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
    wanted += [test.lot for test in book.light_tests.values()]
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


def check_reminders(book: Book) -> Found:
    """What the studio file reminds of lies on a shelf, and is measured as its lot is."""
    shelves = (book.fleece, book.dyestuffs, book.mordants, book.yarns, book.sundries)
    known = lots_of(book)
    for shelf in shelves:
        known |= _places(shelf)
    kinds = ("fleece", "dyestuffs", "mordants", "yarns", "sundries", "lots", "baths")
    yield from _strangers(book, "lot", book.studio.remind, known, *kinds)
    for name, least in book.studio.remind.items():
        sundry = book.sundries.get(name)
        unit = sundry.unit if sundry and name not in lots_of(book) else "g"
        if name in known and least.unit != unit:
            how = {"": "counted", "cm": "measured", "g": "weighed"}[unit]
            what = Said(f"sense.{how}", name=name, place=known[name].short)
            yield Problem(least.place, what, Said(f"sense.write_{how}"))


def check_exhaust(book: Book) -> Found:
    """An exhaust bath names a bath."""
    known = _places(book.baths) | lots_of(book)
    for bath in book.baths.values():
        name = bath.exhaust_of
        if name and book.bath_of(name) is None and not book.may_have(name, "baths", "lots"):
            yield _unknown("bath", name, known)


def check_others(book: Book) -> Found:
    """Sundries, outlets, commissions, pieces and quoted lots that are named exist."""
    pieces, commissions = book.pieces.values(), book.commissions.values()
    uses = (*(piece.sundries for piece in pieces), book.studio.every_piece_takes)
    names: Iterable[str] = chain.from_iterable(uses)
    yield from _strangers(book, "sundry", names, _places(book.sundries), "sundries")

    named = [name for piece in pieces for name in piece.places]
    named += [sale.at for piece in pieces for sale in piece.sold if sale.at]
    named += [show.outlet for show in book.shows.values() if show.outlet]
    names = (name for name in named if name != "studio")  # which needs no entry
    yield from _strangers(book, "outlet", names, _places(book.outlets), "outlets")

    states = (piece.status for piece in pieces if piece.status)
    names = (Written(state.commission, state.place) for state in states if state.commission)
    yield from _strangers(book, "commission", names, _places(book.commissions), "commissions")

    like = [commission.like for commission in commissions if commission.like]
    like += [name for piece in pieces if piece.shared for name in piece.shared.with_]
    like += [name for show in book.shows.values() for name in show.hung]
    yield from _strangers(book, "piece", like, _places(book.pieces), "pieces")

    lots = [colour.lot for each in commissions for colour in each.colours if colour.lot]
    lots += [name for each in commissions for name in each.yarn.values()]
    yield from _strangers(book, "lot", lots, lots_of(book), "lots", "yarns", "baths")


OF_PHOTOS = "photo_file."  # how the keys of all that `check_photos` says begin


def check_photos(book: Book) -> Found:
    """Photos lie in photos/ and have words for those who can't see them."""
    names = _names(book.folder / "photos")
    for piece in book.pieces.values():
        for photo in piece.photos:
            if not (photo.alt or photo.is_found):
                remedy = Said("photo_file.write_alt", file=photo.file)
                yield Problem(photo.file.place, Said("photo_file.no_alt", file=photo.file), remedy)
            yield from _lies_there(photo.file, names)
    for bath in book.baths.values():
        for swatch in (bath.swatch, *(entry.swatch for entry in bath.dyed)):
            if swatch:
                yield from _lies_there(swatch, names)


def photo_path(name: str) -> str:
    """A photo's path inside the record folder: `photos/` may be left out."""
    return name if name.startswith("photos/") else f"photos/{name}"


def _names(photos: Path) -> dict[str, bool]:
    """Every file in photos/, by its path there with `/`, and whether it leads out of there."""
    found: dict[str, bool] = {}
    for folder, _, files in os.walk(photos):
        inside = Path(folder).relative_to(photos).as_posix()
        for name in files:
            path = Path(folder, name)
            leads_out = path.is_symlink() and not leads_inside(path, photos)
            found[name if inside == "." else f"{inside}/{name}"] = leads_out
    return found


def _lies_there(name: Written, names: Mapping[str, bool]) -> Found:
    inside = name.removeprefix("photos/")
    if wrong := bad_name(inside):
        remedies = {
            "leads_out": Said("photo_file.put_into"),
            "long": Said("photo_file.at_most", most=LONGEST),
        }
        remedy = remedies.get(wrong, Said("photo_file.rename"))
        yield Problem(name.place, Said(f"photo_file.{wrong}", name=name), remedy)
    elif inside not in names:
        near = did_you_mean(inside, names) or Said("photo_file.put_it")
        remedy = near if names else Said("photo_file.folder_empty")
        yield Problem(name.place, Said("photo_file.none", name=name), remedy)
    elif names[inside]:
        yield Problem(name.place, Said("photo_file.link", name=name), Said("photo_file.put_itself"))
