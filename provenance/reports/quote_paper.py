"""The maker's own sheet behind a quotation: hours, cost, pay, yarn, dye, fleece, weeks.

In: the view, a quotation, the sheet. Out: the bytes of a PDF for the maker alone. It says in
plain words what the hours rest on, what the shelf lacks, and what an hour would bring if all goes
well, as likely, and badly.
"""

from __future__ import annotations

import hashlib
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction

from provenance.figures.quotation.quote import Option, Quotation
from provenance.figures.quotation.score import Outcome, outcome_of
from provenance.figures.quotation.time import Turn, order_of, queue_words
from provenance.figures.working import Figure, half_up
from provenance.language.phrases import Phrases, templates_of
from provenance.papers.format import Format
from provenance.press.pdf import render as pdf
from provenance.press.templates import render, source
from provenance.public.quotation.client import Row, title_of, weeks_words
from provenance.public.view import View
from provenance.reports.quote_yarns import (
    allowed_words,
    cells_of,
    loom_rows,
    making_rows,
    near_words,
    shelf_rows,
)


@dataclass(frozen=True, slots=True)
class Part:
    """One part of the sheet: heading, rows under the sizes, and words below."""

    heading: str
    rows: tuple[Row, ...]
    words: tuple[str, ...] = ()


def workings_pdf(view: View, quotation: Quotation, sheet: Format) -> bytes:
    """The maker's sheet; Slip says what of it cannot be printed."""
    phrases = view.phrases
    context = {
        "number": str(quotation.asked.commission.number),
        "title": title_of(view, quotation),
        "name": phrases.say("workings.name"),
        "alone": phrases.say("workings.for_maker"),
        "day": phrases.day(view.studio.today),
        "studio": view.book.studio,
        "language": phrases.language,
        "sheet": sheet.name,
        "sizes": [phrases.size_cm(option.size) for option in quotation.options],
        "size": phrases.say("label.size"),
        "parts": list(parts_of(view, quotation)),
    }
    html = render("quotation/workings.html", context, templates_of(view.book))
    assets = {"workings.css": source("quotation/workings.css", templates_of(view.book))}
    return pdf.render_pdf(
        html,
        assets,
        archival=True,
        identifier=hashlib.sha256(html.encode()).digest(),
        created=view.studio.today,
    )


def parts_of(view: View, quotation: Quotation) -> Iterator[Part]:
    """The parts of the sheet in order; none that has nothing to say."""
    say = view.phrases.say
    outcome = outcome_of(view.book, view.flow, quotation.asked.commission)
    if outcome:
        yield _outcome(view, outcome)
    yield Part(say("workings.money"), tuple(_money(view, quotation)))
    basis = dict.fromkeys(_sentence(option.hours.basis) for option in quotation.options)
    yield Part(say("workings.hours"), tuple(_hours(view, quotation)), tuple(basis))
    yield Part(
        say("workings.loom"),
        tuple(loom_rows(view, quotation)),
        allowed_words(view, quotation),
    )
    yield Part(say("workings.shelf"), tuple(shelf_rows(view, quotation)))
    makings = tuple(making_rows(view, quotation))
    if makings:
        yield Part(say("workings.to_make"), makings, (say("workings.one_bath"),))
    if near := tuple(near_words(view, quotation)):
        yield Part(say("workings.near"), (), (*near, say("workings.delta")))
    if quotation.options[0].turns:
        queue = tuple(queue_words(quotation.queue))
        words = say("workings.queue", queue="; ".join(queue)) if queue else ""
        yield Part(say("workings.when"), tuple(_when(view, quotation)),
                   (words or say("workings.no_queue"),))  # fmt: skip
    yield Part(say("workings.mind"), (), (*quotation.remarks, say("workings.law")))


def _sentence(text: str) -> str:
    return text[:1].upper() + text[1:] + "."


def _money(view: View, quotation: Quotation) -> Iterator[Row]:
    """Cost and price at the likely hours and at both ends, and what an hour would bring."""
    say, money = view.phrases.say, view.phrases.money

    def at(word: str, what: str, kind: str = "") -> Row:
        cells = cells_of(quotation, lambda o: money(getattr(o.costs["likely"], what).value))
        return Row(say(f"workings.{word}"), cells, kind)

    def between(word: str, what: str) -> Row:
        cells = cells_of(quotation, lambda o: _span(money, [
            getattr(o.costs[end], what).value for end in ("low", "high")]))  # fmt: skip
        return Row(say(f"workings.{word}"), cells, "quiet")

    yield at("materials", "materials")
    yield at("labour", "labour")
    yield at("overhead", "overhead")
    yield at("cost", "cost", "sum")
    yield between("cost_range", "cost")
    yield at("price_likely", "price")
    yield between("price_range", "price")
    like = quotation.asked.like
    if like and all(option.as_like for option in quotation.options):
        cells = cells_of(quotation, lambda o: money(o.as_like.value) if o.as_like else "")
        yield Row(say("workings.as_like", number=like.number), cells)
    own = "offered_own" if quotation.options[0].offer.is_own else "offered"
    yield Row(
        say(f"workings.{own}"), cells_of(quotation, lambda o: money(o.offer.price.value)), "sum"
    )
    whole = cells_of(quotation, lambda o: money(o.offer.whole.value))
    yield Row(say("workings.whole"), whole, "quiet")
    yield Row(say("workings.earns"), cells_of(quotation, lambda _: ""), "heading")
    for point in ("low", "likely", "high"):
        yield _earns(view, quotation, point)


def _earns(view: View, quotation: Quotation, point: str) -> Row:
    phrases = view.phrases
    spans = [phrases.hours(option.costs[point].hours.value) for option in quotation.options]
    label = phrases.say(f"workings.earns_{point}", hours=", ".join(spans))

    def told(option: Option) -> str:
        earned = option.earns[point]
        return phrases.money(half_up(earned.value, 2)) if earned else "-"

    return Row(label, cells_of(quotation, told), "earns" if point == "likely" else "")


def _span(told: Callable[[Fraction], str], ends: Sequence[Fraction]) -> str:
    return " – ".join(told(end) for end in ends)


def _hours(view: View, quotation: Quotation) -> Iterator[Row]:
    say, hours = view.phrases.say, view.phrases.hours
    stages = {row.stage for option in quotation.options for row in option.hours.stages}
    for stage in sorted(stages, key=order_of):
        yield Row(stage, tuple(_stage(option, stage, hours) for option in quotation.options))
    yield Row(say("workings.likely"), cells_of(quotation, lambda o: hours(o.hours.likely)), "sum")
    between = cells_of(quotation, lambda o: _span(hours, (o.hours.low, o.hours.high)))
    yield Row(say("workings.range"), between)


def _stage(option: Option, stage: str, hours: Callable[[Fraction], str]) -> str:
    return next((hours(row.likely) for row in option.hours.stages if row.stage == stage), "")


def _when(view: View, quotation: Quotation) -> Iterator[Row]:
    """Which weeks each part of the work falls into."""
    say = view.phrases.say
    words = {"drawing": "drawing", "spinning": "spinning", "dyeing": "dyeing", "loom": "loom_work"}
    for part, word in words.items():
        found = [_turn(option, part) for option in quotation.options]
        if any(found):
            cells = tuple(_weeks(view, turn) if turn else "-" for turn in found)
            yield Row(say(f"workings.{word}"), cells)
    ready = cells_of(quotation, lambda o: weeks_words(view, o))
    yield Row(say("quotation.ready"), ready, "sum")


def _turn(option: Option, part: str) -> Turn | None:
    return next((turn for turn in option.turns if turn.part == part), None)


def _weeks(view: View, turn: Turn) -> str:
    word = "week" if turn.first == turn.last else "weeks"
    return view.phrases.say(f"workings.{word}", first=turn.first, last=turn.last)


def _outcome(view: View, outcome: Outcome) -> Part:
    """Quoted against actual, when the piece is finished."""
    phrases, say = view.phrases, view.phrases.say
    hours = phrases.hours
    quoted = f"{hours(outcome.likely)} ({_span(hours, (outcome.low, outcome.high))})"
    rows = [
        Row(say("workings.quoted"), (quoted,)),
        Row(say("workings.taken"), (hours(outcome.taken.value),), "sum"),
        Row(say("workings.cost"), (phrases.money(outcome.sheet.cost.value),)),
        Row(say("label.price"), (phrases.money(outcome.price.value),)),
    ]
    if outcome.earned:
        rows.append(Row(say("workings.earns"), (_hourly(phrases, outcome.earned),)))
    inside = say("workings.inside" if outcome.is_inside else "workings.outside")
    return Part(f"{say('workings.outcome')}: {outcome.piece.number}", tuple(rows), (inside,))


def _hourly(phrases: Phrases, earned: Figure) -> str:
    return phrases.money(half_up(earned.value, 2))
