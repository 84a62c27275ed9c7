"""Whether the records fit each other: small functions over the whole book.

In: the book. Out: problems and remarks with places. Balance of material is checked where the flow
is worked out (`figures`); here only names, numbers, places and dates are held against each other:
names given twice, rounds, units, sales; `checks_names` has the names, `checks_hours` the hours,
`checks_days` what depends on today and on what was printed.
"""

import re
from collections.abc import Callable, Iterator, Mapping
from itertools import islice

from provenance.problems import Place, Problem, Said, did_you_mean, row
from provenance.records import checks_days as days
from provenance.records import checks_hours as hours
from provenance.records import checks_names as names
from provenance.records.book import Book
from provenance.records.checks_outlets import check_outlet_names
from provenance.records.checks_sets import check_sets
from provenance.records.checks_shows import check_shows
from provenance.records.file_names import is_device
from provenance.records.issued import asked_digest
from provenance.records.lots import Dyestuff, Fleece, Mordant, Yarn
from provenance.records.pay import LATEST
from provenance.records.pieces import FOR_SALE
from provenance.records.printing import check_printing
from provenance.reference.marks import too_much

Found = Iterator[Problem]
MOST_OF_A_WAY = 12
MOST_ALIKE = 200  # of one check; who has so many mends the first, and looks again


def _remark(place: Place, what: Said, remedy: str) -> Problem:
    return Problem(place, what, Said(f"sense.{remedy}"), is_remark=True)


def check_bought_fibres(book: Book) -> Found:
    """Bought yarn says what it is made of."""
    for yarn in book.yarns.values():
        if yarn.fleece is None and yarn.fibre is None:
            what = Said("sense.no_fibre", name=yarn.name)
            yield Problem(yarn.name.place, what, Said("sense.add_fibre"))


_FREE = re.compile(
    r"grown|gather|found|saved|given|gift|forag|own "
    r"|angebaut|gezogen|gesammelt|gepflückt|geerntet|gefunden|geschenk|eigen",
    re.IGNORECASE,
)


def check_costs(book: Book) -> Found:
    """What was bought has a cost; a lot without one counts as nothing, and that is said."""
    lots: list[Fleece | Dyestuff | Mordant | Yarn] = [*book.fleece.values()]
    lots += [yarn for yarn in book.yarns.values() if yarn.fleece is None]
    lots += [lot for lot in book.dyestuffs.values() if not _FREE.search(lot.got or "")]
    lots += book.mordants.values()
    for lot in lots:
        if lot.cost is None and not lot.hours:
            yield _remark(lot.name.place, Said("sense.no_cost", name=lot.name), "add_cost")


def check_baths(book: Book) -> Found:
    """A bath has dyed something, and its file can lie on any machine."""
    for bath in book.baths.values():
        if is_device(bath.name):
            what = Said("file.device", name=bath.name)
            yield Problem(bath.name.place, what, Said("file.rename_all"))
        if not bath.dyed:
            yield _remark(bath.name.place, Said("sense.nothing_dyed", name=bath.name), "add_dyed")


def check_sundry_units(book: Book) -> Found:
    """A sundry is used in the measure it was bought in."""
    uses = [piece.sundries for piece in book.pieces.values()] + [book.studio.every_piece_takes]
    for use in uses:
        for name, used in use.items():
            sundry = book.sundries.get(name)
            if sundry and sundry.unit != used.unit:
                how = {"": "counted", "cm": "measured", "g": "weighed"}[sundry.unit]
                what = Said(f"sense.{how}", name=name, place=sundry.name.place.short)
                yield Problem(used.place, what, Said(f"sense.write_{how}"))


def check_exhaust_rounds(book: Book) -> Found:
    """No bath is, the round-about way, what is left of itself."""
    left = {name: bath.exhaust_of for name, bath in book.baths.items() if bath.exhaust_of}
    baths = {name: book.bath_of(other) for name, other in left.items()}
    source = {name: str(bath.name) for name, bath in baths.items() if bath}
    for name in _in_circles(source):
        what = Said("sense.left_of_itself", name=name)
        yield Problem(left[name].place, what, _round(name, source))


def check_twice(book: Book) -> Found:
    """A lot's name is given once, whatever kind of lot it is."""
    first: dict[str, Place] = {name: yarn.name.place for name, yarn in book.yarns.items()}
    for bath in book.baths.values():
        for entry in bath.dyed:
            name = str(entry.becomes)
            if name in first:
                remedy = Said("sense.call_otherwise", place=first[name].short)
                yield Problem(entry.becomes.place, Said("sense.lot_twice", name=name), remedy)
            first.setdefault(name, entry.becomes.place)


def check_names_in_place(book: Book) -> Found:
    """Within a piece, a yarn that is spun or dyed in place has a name of its own."""
    for piece in book.pieces.values():
        first: dict[str, Place] = {}
        for name in (yarn.name for yarn in piece.yarns if yarn.name):
            if name in first:
                remedy = Said("sense.call_otherwise", place=first[name].short)
                yield Problem(name.place, Said("sense.lot_twice", name=name), remedy)
            first.setdefault(name, name.place)


def check_cycles(book: Book) -> Found:
    """No lot is dyed from itself, whatever the round-about way."""
    source = {str(entry.becomes): entry.yarn for bath in book.baths.values() for entry in bath.dyed}
    for name in _in_circles(source):
        what = Said("sense.dyed_from_itself", name=name)
        yield Problem(source[name].place, what, _round(name, source))


def _in_circles(source: Mapping[str, str]) -> Iterator[str]:
    """The names whose way leads back to themselves; every name is passed once."""
    done: set[str] = set()
    for start in source:
        way: dict[str, None] = {}
        name: str | None = start
        while name is not None and name not in done and name not in way:
            way[str(name)] = None
            name = source.get(name)
        if name in way:
            yield from list(way)[list(way).index(str(name)) :]
        done.update(way)


def _round(start: str, source: Mapping[str, str]) -> Said:
    """The way from a name back to itself; of a long one its beginning."""
    way = [start]
    while (name := source[way[-1]]) != start and len(way) < MOST_OF_A_WAY:
        way.append(str(name))
    rest = [] if name == start else ["..."]
    return Said("sense.round", names=" -> ".join([*way, *rest, start]))


def check_sales(book: Book) -> Found:
    """A sale and a status do not contradict each other."""
    for piece in book.pieces.values():
        status = piece.status
        if piece.sold and not piece.left and status and status.state in FOR_SALE:
            what = Said("sense.sale", number=piece.number, state=status.state)
            yield _remark(status.place, what, "write_sold")
        if piece.made == 1 and not piece.sold and piece.state == "sold" and not piece.earlier:
            assert status
            yield _remark(status.place, Said("sense.no_sale", number=piece.number), "write_sale")
        for sale in piece.sold:
            if piece.finished and sale.on < piece.finished:
                what = Said("sense.sold_early", number=piece.number)
                yield _remark(sale.record_place, what, "both_dates")


def check_papers(book: Book) -> Found:
    """The studio file says what papers and pages need."""
    studio = book.studio
    if book.is_broken("*", "studio"):
        return
    for each in studio.public_contact:
        if each not in studio.contact:
            what = Said("sense.no_contact", name=each)
            yield Problem(each.place, what, did_you_mean(each, studio.contact))


def check_pay(book: Book) -> Found:
    """Hours count for nothing where no pay is set; that is said once for each activity."""
    if book.is_broken("*", "studio"):
        return
    spent = [(piece.finished or LATEST, piece.hours) for piece in book.pieces.values()]
    spent += [(LATEST, yarn.hours) for yarn in book.yarns.values()]
    spent += [(LATEST, bath.hours) for bath in book.baths.values()]
    unpaid = {
        str(activity): None
        for day, taken in spent
        for activity in taken
        if book.studio.pay_for(activity, day) is None
    }
    if unpaid:
        what = Said("sense.no_pay", activities=row(unpaid))
        yield _remark(book.studio.record_place, what, "add_pay")


def check_numbers(book: Book) -> Found:
    """A number once printed stays with its piece."""
    gone = {line.number: line for line in reversed(book.printed)}
    for line in gone.values():
        if line.number not in book.pieces and not book.may_have(line.number, "pieces"):
            key = "sense.gone" if line.title else "sense.gone_unnamed"
            what = Said(key, number=line.number, title=line.title or "")
            yield Problem(line.number.place, what, Said("sense.bring_back"))


def check_issued(book: Book) -> Found:
    """A quotation that went out is for what its commission still asks for."""
    for number, commission in book.commissions.items():
        issue = book.issue_of(str(number))
        if issue is None or commission.status not in ("asked", "quoted"):
            continue
        if asked_digest(commission) != issue.asked:
            day, of = issue.on.isoformat(), {"commission": number, "issue": issue.number}
            what = Said("sense.issue_changed", **of, day=day)
            remedy = Said("sense.issue_anew", commission=number)
            yield Problem(commission.number.place, what, remedy, is_remark=True)


def check_stories(book: Book) -> Found:
    """A story holds no more Markdown than is read in a short time."""
    for piece in book.pieces.values():
        if piece.story and (much := too_much(piece.story)):
            start, (line, column, what, remedy) = piece.story.place, much
            place = Place(start.file, start.line + line, column) if piece.story.block else start
            yield Problem(place, what, remedy)


CHECKS: tuple[Callable[[Book], Iterator[Problem]], ...] = (
    names.check_lots, names.check_fleece, names.check_shelf, names.check_exhaust,
    names.check_others, names.check_reminders, names.check_photos, check_printing,
    check_outlet_names,
    check_bought_fibres, check_costs, check_twice, check_names_in_place, check_cycles,
    check_exhaust_rounds, check_baths,
    check_sundry_units, check_sales, check_sets, check_papers, check_pay, check_numbers,
    hours.check_activities, hours.check_long_days, hours.check_many_hours,
    days.check_site, days.check_titles,
    check_issued, check_stories, check_shows,
)  # fmt: skip


def review(book: Book) -> tuple[Problem, ...]:
    """Every cross-record problem, in order of place."""
    return tuple(sorted({problem for check in CHECKS for problem in _bounded(check(book))}))


def _bounded(found: Found) -> Found:
    """The first of very many problems, and that there are more."""
    problem = None
    for problem in islice(found, MOST_ALIKE):
        yield problem
    if problem and next(found, None):
        yield Problem(problem.place, Said("problem.many"), Said("problem.first_ones"))
