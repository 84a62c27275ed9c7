"""What a quotation leaves behind: its papers, and once it is agreed the record of the piece.

In: a quotation, the border; the size chosen. Out: the client's paper and the
private sheet, each in its own folder; or the new piece's record with the next free number and two
lines in the commission's record. The piece is written first: a run that is killed between the two
leaves a draft that harms nothing.
"""

from collections.abc import Iterator
from pathlib import Path

from provenance.figures.quotation.quote import Option, Quotation
from provenance.figures.working import half_up, plain
from provenance.language.phrases import Phrases
from provenance.lock import lock
from provenance.output import write_file
from provenance.papers.format import Format
from provenance.papers.quotations.paper import quotation_pdf
from provenance.papers.quotations.stand_card import card_pdf
from provenance.problems import Said, Slip
from provenance.public.border import Border
from provenance.public.quotation.card import Card
from provenance.public.quotation.client import client_paper
from provenance.records.agreeing import file_of, text_of, with_agreement
from provenance.records.amounts import size_from
from provenance.records.copying import plain_or_quoted, words_in_name
from provenance.records.numbers_taken import next_number
from provenance.reference.currencies import minor_unit
from provenance.reports.report import Report
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
    path = file_of(found.asked.book, commission)
    text = with_agreement(text_of(path), _agreed(found, option, number))
    words = words_in_name(title)
    new = folder / (f"{number}-{words}.yaml" if words else f"{number}.yaml")
    lines = _piece_lines(found, option, number, phrases)
    write_file(new, "".join(f"{line}\n" for line in lines).encode())
    write_file(path, text.encode())
    size, price, first = option.size.written, _price(found, option), option.offer.instalments[0]
    lapsed = Said("accept.had_lapsed", day=str(found.until))
    return (
        *((lapsed,) if found.is_lapsed else ()),
        Said("accept.accepted", number=commission, size=size, price=price),
        Said("accept.begun", number=number, title=title, path=str(new)),
        Said("accept.first_payment", money=str(half_up(first.value, _minor(found)))),
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


def _agreed(found: Quotation, option: Option, number: str) -> str:
    """The value of `accepted:` in the commission's record."""
    hours = ", ".join(
        f"{word}: {plain(getattr(option.hours, word), 2)}" for word in ("likely", "low", "high")
    )
    return (
        f"{{on: {found.asked.today}, size: {option.size.written}, "
        f"price: {_price(found, option)}, piece: {number}, hours: {{{hours}}}}}"
    )


def _minor(found: Quotation) -> int:
    return minor_unit(found.asked.book.studio.currency)


def _price(found: Quotation, option: Option) -> str:
    return str(half_up(option.offer.price.value, _minor(found)))


def _title(found: Quotation, phrases: Phrases) -> str:
    commission, like = found.asked.commission, found.asked.like
    if commission.title:
        return str(commission.title)
    if like:
        return phrases.say("accept.another", title=like.title)
    return phrases.say("accept.commission", number=commission.number)


def _piece_lines(found: Quotation, option: Option, number: str, phrases: Phrases) -> Iterator[str]:
    """The record of the piece: what was agreed as words, what is planned as notes to open."""
    asked = found.asked
    commission, hours = asked.commission.number, option.hours
    likely, low, high = (plain(each, 1) for each in (hours.likely, hours.low, hours.high))
    yield _note(phrases, "from", number=commission, day=asked.today)
    yield f"number: {number}"
    yield f"title: {plain_or_quoted(_title(found, phrases))}"
    if asked.kind:
        yield f"kind: {asked.kind}"
    if asked.structure:
        yield f"structure: {plain_or_quoted(asked.structure)}"
    yield f"status: commission {commission}"
    yield f"size: {option.size.written}             {_note(phrases, 'size')}"
    yield f"price: {_price(found, option)}"
    yield from _sett(found, option)
    yield from _loom(option, phrases)
    yield _note(phrases, "planned")
    yield "# yarns:"
    yield from (f"#   {line}" for line in _yarns(option, phrases))
    yield _note(phrases, "quoted", likely=likely, low=low, high=high)
    yield "# hours: {design: , warping: , weaving: , finishing: }"


def _note(phrases: Phrases, key: str, **values: object) -> str:
    """A note in the record, on one line whatever the phrase is."""
    return f"# {' '.join(phrases.say(f'begun.{key}', **values).split())}"


def _sett(found: Quotation, option: Option) -> Iterator[str]:
    own = [each.sett for each in (found.asked.commission, found.asked.like) if each and each.sett]
    if option.plan and own and own[0].ends is not None and own[0].picks is not None:
        ends, picks = plain(own[0].ends, 3), plain(own[0].picks, 3)
        yield f"sett: {{ends: {ends} per cm, picks: {picks} per cm}}"


def _loom(option: Option, phrases: Phrases) -> Iterator[str]:
    if plan := option.plan:
        width, length = plain(plan.loom_width.value, 2), plain(plan.loom_length.value, 2)
        warp, weft, both = (
            plain(each.value, 1) for each in (plan.warp, plan.weft, plan.yarn_with_spare)
        )
        ends = plain(plan.ends.value)
        yield _note(
            phrases, "loom", width=width, length=length, ends=ends, warp=warp, weft=weft, both=both
        )


def _yarns(option: Option, phrases: Phrases) -> Iterator[str]:
    for strand in option.strands:
        weight = f"{plain(strand.with_spare.value, 1)} g"
        if strand.lot:
            yield f"- {{use: {strand.use}, lot: {strand.lot}, weight: {weight}}}"
        else:
            key = "by_recipe" if strand.recipe else "dyed_on"
            dyed = _note(phrases, key, base=strand.base, recipe=strand.recipe)
            yield (
                f"- {{use: {strand.use}, lot: NEW-LOT, weight: {weight}, "
                f'colour: "{strand.near}"}}   {dyed}'
            )
