"""What a quotation leaves behind: its papers, and once it is agreed the record of the piece.

In: a quotation, the border; the size chosen. Out: the client's paper and the
private sheet, each in its own folder; or the new piece's record with the next free number and two
lines in the commission's record. The piece is written first: a run that is killed between the two
leaves a draft that harms nothing.
"""

from functools import partial
from pathlib import Path

from provenance.build.starting import piece_file
from provenance.figures.quotation.quote import Option, Quotation
from provenance.figures.working import plain
from provenance.language.phrases import Phrases
from provenance.lock import lock
from provenance.output import write_file
from provenance.papers.format import Format
from provenance.papers.quotations.paper import quotation_pdf
from provenance.papers.quotations.stand_card import card_pdf
from provenance.press.templates import render
from provenance.problems import Said, Slip
from provenance.public.border import Border
from provenance.public.quotation.card import Card
from provenance.public.quotation.client import client_paper
from provenance.records.amounts import size_from
from provenance.records.new_records import next_number, plain_or_quoted, with_agreement
from provenance.reference.currencies import minor_unit
from provenance.reports.report import Report, money
from provenance.reports.writers.paper import as_paper


def write_quotation(
    border: Border, found: Quotation, report: Report, on: Format
) -> tuple[Path, Path]:
    """Both papers, the private one from its report; it never lies among the client's."""
    assert report.filed
    client = quotation_pdf(border.house, client_paper(border, found), on)
    own = as_paper(report, report.filed, border, on)
    folder = border.house.folder
    number = found.asked.commission.number
    paths = (
        folder / "papers" / "quotations" / f"quotation-{number}.pdf",
        folder / "papers" / "private" / f"{report.filed.name}.pdf",
    )
    with lock(folder, "quote"):
        write_file(paths[0], client)
        write_file(paths[1], own)
    return paths


def write_card(border: Border, card: Card, *, black: bool) -> Path:
    """The stand card."""
    content = card_pdf(border.house, card, black=black)
    path = border.house.folder / "papers" / "stand-card.pdf"
    with lock(border.house.folder, "quote"):
        write_file(path, content)
    return path


def accept(found: Quotation, chosen: str, phrases: Phrases) -> tuple[Said, ...]:
    """Note what was agreed, begin the piece's record, and tell; the lock is the caller's."""
    option = _chosen(found, chosen)
    folder, today = found.asked.book.folder, found.asked.today
    commission = str(found.asked.commission.number)
    number, title = next_number(folder, today.year), _title(found, phrases)
    path = folder.parent / found.asked.commission.number.place.file
    offer, minor = option.offer, minor_unit(found.asked.book.studio.currency)
    price, first = (money(each, minor) for each in (offer.price, offer.instalments[0]))
    text = with_agreement(path.read_bytes(), _agreed(found, option, number, price))
    new, named = folder / piece_file(number, title), {"number": number, "title": title}
    write_file(new, _record(found, option, phrases, {**named, "price": price}).encode())
    write_file(path, text.encode())
    lapsed = Said("accept.had_lapsed", day=str(found.until))
    return (
        *((lapsed,) if found.is_lapsed else ()),
        Said("accept.accepted", number=commission, size=option.size.written, price=price),
        Said("accept.begun", path=str(new), **named),
        Said("accept.first_payment", money=first),
    )


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
        size = size_from(chosen)
        for option in options:
            if (option.size.height, option.size.width) == (size.height, size.width):
                return option
    raise Slip(Said("accept.none", chosen=chosen), remedy)


def _agreed(found: Quotation, option: Option, number: str, price: str) -> str:
    """The value of `accepted:` in the commission's record."""
    hours = ", ".join(
        f"{word}: {plain(getattr(option.hours, word), 2)}" for word in ("likely", "low", "high")
    )
    return (
        f"{{on: {found.asked.today}, size: {option.size.written}, "
        f"price: {price}, piece: {number}, hours: {{{hours}}}}}"
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
    is_whole = setts and setts[0].ends is not None and setts[0].picks is not None
    values = {
        **named,
        "asked": asked,
        "option": option,
        "plan": option.plan,
        "hours": option.hours,
        "sett": setts[0] if is_whole else None,
        "counted": " on the loom" if _is_on_loom(found) else "",
        "plain": plain,
        "quoted": plain_or_quoted,
        "note": partial(_note, phrases),
    }
    return render("records/begun.yaml", values, None)


def _note(phrases: Phrases, key: str, **values: object) -> str:
    """A note in the record, on one line whatever the phrase is."""
    return f"# {' '.join(phrases.say(f'begun.{key}', **values).split())}"
