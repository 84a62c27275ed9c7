"""What was agreed, written down: the commission accepted, the record of its piece begun.

In: a quotation and the size chosen. Out: the new piece's record with the next free number, two
lines in the commission's record, and lines to tell. The piece is written first: a run that is
killed between the two leaves a draft that harms nothing.
"""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction

from provenance.commands.studio import Opened
from provenance.figures.quotation.quote import Option, Quotation
from provenance.figures.working import half_up, plain
from provenance.output import write_file
from provenance.problems import Slip
from provenance.records.agreeing import file_of, text_of, with_agreement
from provenance.records.commissions import size_from
from provenance.records.copying import plain_or_quoted, words_in_name
from provenance.records.numbers_taken import next_number
from provenance.reference.currencies import minor_unit


def accept(opened: Opened, found: Quotation, chosen: str) -> Iterator[str]:
    """Write both records; hold a lock meanwhile."""
    commission = found.asked.commission
    option = choose(found, chosen)
    number = next_number(opened.book.folder, opened.today.year)
    path = file_of(opened.book, str(commission.number))
    agreed = agreed_words(opened, option, number)
    text = with_agreement(text_of(path), agreed)
    title = _title(found)
    words = words_in_name(title)
    new = opened.book.folder / (f"{number}-{words}.yaml" if words else f"{number}.yaml")
    write_file(new, piece_text(opened, found, option, number).encode())
    write_file(path, text.encode())
    if found.is_lapsed:
        yield f"The quotation had lapsed on {found.until}: agreed all the same, at its price."
    money = half_up(option.offer.instalments[0].value, minor_unit(opened.book.studio.currency))
    yield f"{commission.number} is accepted: {option.size.written}, {_price(opened, option)}."
    yield f"{number} {title} is begun: {new}"
    yield f"The first payment is {money}. Open its yarn lines when you have weighed them."


def choose(found: Quotation, chosen: str) -> Option:
    """The size meant: by its turn (1, 2, 3) or written out; the only one when there is one."""
    options = found.options
    written = ", ".join(f"{turn} ({o.size.written})" for turn, o in enumerate(options, 1))
    if not chosen:
        if len(options) == 1:
            return options[0]
        raise Slip("which size was chosen?", f"--size with one of: {written}")
    if chosen.isdigit() and 0 < int(chosen) <= len(options):
        return options[int(chosen) - 1]
    if not chosen.isdigit():
        size = size_from(chosen)
        for option in options:
            if (option.size.height, option.size.width) == (size.height, size.width):
                return option
    raise Slip(f"'{chosen}' is none of the sizes quoted", f"--size with one of: {written}")


def agreed_words(opened: Opened, option: Option, number: str) -> str:
    """The value of `accepted:` in the commission's record."""
    hours = ", ".join(
        f"{word}: {plain(getattr(option.hours, word), 2)}" for word in ("likely", "low", "high")
    )
    return (
        f"{{on: {opened.today}, size: {option.size.written}, price: {_price(opened, option)}, "
        f"piece: {number}, hours: {{{hours}}}}}"
    )


def _price(opened: Opened, option: Option) -> str:
    return str(half_up(option.offer.price.value, minor_unit(opened.book.studio.currency)))


def _title(found: Quotation) -> str:
    asked = found.asked
    like = f"Another {asked.like.title}" if asked.like else f"Commission {asked.commission.number}"
    return str(asked.commission.title or like)


def piece_text(opened: Opened, found: Quotation, option: Option, number: str) -> str:
    """The record of the piece: what was agreed as words, what is planned as notes to open."""
    asked = found.asked
    lines = [
        f"# From commission {asked.commission.number}, agreed on {opened.today}.",
        f"number: {number}",
        f"title: {plain_or_quoted(_title(found))}",
        *([f"kind: {asked.kind}"] if asked.kind else []),
        *([f"structure: {plain_or_quoted(asked.structure)}"] if asked.structure else []),
        f"status: commission {asked.commission.number}",
        f"size: {option.size.written}             # as agreed; measure it when it is finished",
        f"price: {_price(opened, option)}",
        *_sett(found, option),
        *_loom(option),
        "# Planned, with the spare. Open these lines and write what was really used.",
        "# yarns:",
        *(f"#   {line}" for line in _yarns(option)),
        f"# Quoted: {_hours(option.hours.likely)} likely, 80 in 100 between "
        f"{_hours(option.hours.low)} and {_hours(option.hours.high)}.",
        "# hours: {design: , warping: , weaving: , finishing: }",
    ]
    return "\n".join(lines) + "\n"


def _hours(hours: Fraction) -> str:
    return f"{plain(hours, 1)} h"


def _sett(found: Quotation, option: Option) -> Iterator[str]:
    own = [each.sett for each in (found.asked.commission, found.asked.like) if each and each.sett]
    if option.plan and own and own[0].ends is not None and own[0].picks is not None:
        ends, picks = plain(own[0].ends, 3), plain(own[0].picks, 3)
        yield f"sett: {{ends: {ends} per cm, picks: {picks} per cm}}"


def _loom(option: Option) -> Iterator[str]:
    plan = option.plan
    if plan is None:
        return
    width, length = plain(plan.loom_width.value, 2), plain(plan.loom_length.value, 2)
    yield (
        f"# On the loom: {width} x {length} cm, "
        f"{plain(plan.ends.value)} ends; warp {plain(plan.warp.value, 1)} m, "
        f"weft {plain(plan.weft.value, 1)} m, both with the spare "
        f"{plain(plan.yarn_with_spare.value, 1)} m."
    )


def _yarns(option: Option) -> Iterator[str]:
    for strand in option.strands:
        weight = f"{plain(strand.with_spare.value, 1)} g"
        if strand.lot:
            yield f"- {{use: {strand.use}, lot: {strand.lot}, weight: {weight}}}"
        else:
            by = f", by the recipe of {strand.recipe}" if strand.recipe else ""
            yield (
                f"- {{use: {strand.use}, lot: NEW-LOT, weight: {weight}, "
                f'colour: "{strand.near}"}}   # dyed on {strand.base}{by}'
            )
