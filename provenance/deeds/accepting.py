"""`quote --accept`: a quotation was agreed; the piece is begun.

In: a quotation, the size chosen. Out: a `Deed`: the new piece's record with the next free number,
and two lines in the commission's record.
"""

from collections.abc import Iterator, Mapping
from fractions import Fraction
from functools import partial
from pathlib import Path
from typing import Any

from provenance.build.doubts import numbers_known, refuse_doubt
from provenance.build.starting import piece_file
from provenance.deeds.deed import Change, Deed
from provenance.deeds.journal import half_done
from provenance.figures.flow.flow import Key
from provenance.figures.quotation.quote import Option, Quotation
from provenance.figures.quotation.yarn import Strand
from provenance.figures.working import plain
from provenance.language.measures import yards
from provenance.language.phrases import Phrases
from provenance.press.templates import render
from provenance.problems import Said, Slip
from provenance.records.amounts import size_from
from provenance.records.book import Book
from provenance.records.issued import Issue, asked_digest
from provenance.records.new_records import next_number, plain_or_quoted, with_agreement
from provenance.records.numbers import Habits, is_customary
from provenance.records.woven import SettNoted
from provenance.reference.currencies import minor_unit
from provenance.reference.measures import INCH
from provenance.reports.measured import measured
from provenance.reports.quote_data import quote_data

NUMBER = len("2026-001")


def accept(found: Quotation, chosen: str, phrases: Phrases) -> Deed:
    """What was agreed, noted; the piece's record, begun. Raises Slip for a size not quoted.

    What went out on paper is what is agreed, whatever would be reckoned today.
    """
    if found.asked.commission.accepted:
        raise Slip(Said("agreed.already"), Said("agreed.take_away"))
    option = _chosen(found, chosen)
    issue = found.asked.book.issue_of(str(found.asked.commission.number))
    if issue and asked_digest(found.asked.commission) != issue.asked:
        raise Slip(Said("accept.changed", issue=issue.number), Said("accept.anew"))
    terms = _terms(found, option, issue)
    folder, today = found.asked.book.folder, found.asked.today
    commission = str(found.asked.commission.number)
    words, title = f"quote {commission} --accept", _title(found, phrases)
    begun = _begun(folder, words)
    refuse_doubt(found.asked.book)
    printed = numbers_known(found.asked.book)
    number = begun.name[:NUMBER] if begun else next_number(folder, today.year, printed)
    path = folder.parent / found.asked.commission.number.place.file
    typed = found.asked.book.studio.habits.typed
    price, first = terms["price"]["offered"], terms["instalments"][0]
    agreed = _agreed(found, option, terms, number)
    before = path.read_bytes()
    text = with_agreement(before, agreed)
    new, named = begun or folder / piece_file(number, title), {"number": number, "title": title}
    record = _record(found, option, phrases, {**named, "price": price}).encode()
    until = issue.until if issue else found.until
    lapsed = Said("accept.had_lapsed", day=str(until))
    changes = (
        *_new_file(folder, new, record),
        Change(path, found.asked.commission.number.place.file, before, text.encode()),
    )
    told = (
        *((lapsed,) if found.asked.today > until else ()),
        Said("accept.accepted", number=commission, size=option.size.written, price=typed(price)),
        Said("accept.begun", path=str(new), **named),
        Said("accept.first_payment", money=typed(first)),
    )
    if begun:
        return Deed(words, changes, told)
    return Deed(words, changes, told, partial(_refuse_taken, found.asked.book, number))


def _begun(folder: Path, words: str) -> Path | None:
    """The piece that a run of the same words began, and was killed before it noted it."""
    files = (each["file"] for each in half_done(folder, words) if each["was"] is None)
    return next((folder / file for file in files), None)


def _new_file(folder: Path, new: Path, record: bytes) -> Iterator[Change]:
    """The record of the piece, unless it lies there already."""
    before = new.read_bytes() if new.is_file() else None
    if before != record:
        yield Change(new, new.relative_to(folder.parent).as_posix(), before, record)


def _refuse_taken(book: Book, number: str) -> None:
    """Slip where the number of the piece was given to another since it was shown."""
    year = int(number.split("-")[0])
    if next_number(book.folder, year, numbers_known(book)) != number:
        raise Slip(Said("deed.taken", number=number), Said("deed.number_again"))


def _chosen(found: Quotation, chosen: str) -> Option:
    """The size meant: by its turn (1, 2, 3) or written out; the only one when there is one."""
    options = found.options
    turns = (f"{turn} ({option.size.written})" for turn, option in enumerate(options, 1))
    remedy = Said("accept.one_of", sizes=", ".join(turns))
    if not chosen:
        if len(options) == 1:
            return options[0]
        raise Slip(Said("accept.which"), remedy)
    if chosen.isdigit() and 0 < int(chosen) <= len(options):
        return options[int(chosen) - 1]
    if not chosen.isdigit():
        size = size_from(chosen, found.asked.book.studio.habits)
        for option in options:
            if (option.size.height, option.size.width) == (size.height, size.width):
                return option
    raise Slip(Said("accept.none", chosen=chosen), remedy)


def _terms(found: Quotation, option: Option, issue: Issue | None) -> dict[str, Any]:
    """Price, first payment and hours of one size, as JSON tells them: those that went out."""
    minor = minor_unit(found.asked.book.studio.currency)
    options = issue.data["options"] if issue else quote_data(found, None, minor)["options"]
    return dict(options[found.options.index(option)])


def _agreed(found: Quotation, option: Option, terms: Mapping[str, Any], number: str) -> str:
    """The value of `accepted:` in the commission's record."""
    typed, words = found.asked.book.studio.habits.typed, ("likely", "low", "high")
    hours = ", ".join(f"{word}: {typed(terms['hours'][word])}" for word in words)
    return (
        f"{{on: {found.asked.today}, size: {option.size.written}, "
        f"price: {typed(terms['price']['offered'])}, piece: {number}, hours: {{{hours}}}}}"
    )


def _title(found: Quotation, phrases: Phrases) -> str:
    commission, like = found.asked.commission, found.asked.like
    if commission.title:
        return str(commission.title)
    if like:
        return phrases.say("accept.another", title=like.title)
    return phrases.say("accept.commission", number=commission.number)


def _is_on_loom(found: Quotation) -> bool:
    """Whether the sett that goes into the record is one of the loom: a planned one always is."""
    asked = found.asked
    if asked.commission.sett or asked.like is None or asked.like.sett is None:
        return True
    return bool(asked.like.sett.ends and asked.like.sett.ends.is_on_loom)


def _record(found: Quotation, option: Option, phrases: Phrases, named: dict[str, str]) -> str:
    """The record of the piece: what was agreed as words, what is planned as notes to open."""
    asked = found.asked
    setts = [each.sett for each in (asked.commission, asked.like) if each and each.sett]
    habits, counted = asked.book.studio.habits, " on the loom" if _is_on_loom(found) else ""
    is_whole = setts and setts[0].ends is not None and setts[0].picks is not None
    values = {
        **named,
        "asked": asked,
        "option": option,
        "plan": option.plan,
        "hours": option.hours,
        "sett": _sett(habits, option, setts[0], counted) if is_whole else "",
        "plain": lambda value, places: habits.typed(plain(value, places)),
        "weight_of": lambda strand: habits.typed(_weight(asked.book, strand)),
        "length": partial(_length, habits, option),
        "typed": habits.typed,
        "quoted": plain_or_quoted,
        "note": partial(_note, phrases),
    }
    return render("records/begun.yaml", values, None)


def _weight(book: Book, strand: Strand) -> str:
    """As its lot is weighed; of one to be dyed or spun, as that is which it is made from."""
    lot = strand.lot or strand.base
    kinds = {"dyed": book.dyed, "yarn": book.yarns, "fleece": book.fleece}
    kind = next((kind for kind, lots in kinds.items() if lot in lots), "")
    grams = max(strand.with_spare.value, Fraction(1))  # what a scale can weigh
    return str(measured(book, Key(kind, lot), grams, "g"))


def _length(habits: Habits, option: Option, centimetres: Fraction, unit: str) -> str:
    """Across the loom in cm, of yarn in m; in inches and yards where the size is asked for so."""
    if is_customary(option.size.written):
        return f"{plain(centimetres / INCH, 1)} in" if unit == "cm" else yards(centimetres)
    value = plain(centimetres, 2) if unit == "cm" else plain(centimetres / 100, 1)
    return f"{habits.typed(value)} {unit}"


def _sett(habits: Habits, option: Option, sett: SettNoted, counted: str) -> str:
    """`ends: 7 per cm`, or `ends: 15 epi`, and the same of the picks."""
    found = (("ends", sett.ends, "epi"), ("picks", sett.picks, "ppi"))
    per_inch = is_customary(option.size.written)
    return ", ".join(
        f"{word}: {plain(value * INCH, 2)} {short}{counted}"
        if per_inch
        else f"{word}: {habits.typed(plain(value, 3))} per cm{counted}"
        for word, value, short in found
        if value is not None
    )


def _note(phrases: Phrases, key: str, **values: object) -> str:
    """A note in the record, on one line whatever the phrase is."""
    return f"# {' '.join(phrases.say(f'begun.{key}', **values).split())}"
