"""What the maker reads of a quotation, of all commissions, of the stand card.

In: the studio, a quotation or the rows of the card. Out: reports. That of a quotation is shown in
the terminal and filed as the private sheet behind the client's paper: what it costs and brings,
what the hours rest on, what the shelf lacks.
"""

from collections.abc import Iterator, Sequence
from fractions import Fraction
from functools import partial

from provenance.figures.estimate.score import leave_one_out
from provenance.figures.quotation.card import CardRow, like_piece, stand_card, too_few
from provenance.figures.quotation.quote import Option, Quotation, quote
from provenance.figures.quotation.score import outcome_of, quoted_score
from provenance.figures.quotation.time import histories
from provenance.figures.working import Figure, half_up, in_turn, plain
from provenance.problems import Said, Slip, Words, chained, named, row, sort
from provenance.public.border import Border
from provenance.public.quotation.card import Card, card_of
from provenance.records.amounts import size_from
from provenance.records.commissions import Commission
from provenance.reference.currencies import minor_unit
from provenance.reports.issued import stands
from provenance.reports.quote_data import card_data, quote_data
from provenance.reports.quoted import Quoted, tables_of, weeks_table
from provenance.reports.report import (
    Column,
    Filed,
    Note,
    Part,
    Report,
    Row,
    Table,
    money,
    notes,
    numbers,
    rows,
)
from provenance.studio import Studio


def quotation_of(studio: Studio, number: str) -> Quotation:
    """The quotation of a commission, today. Raises Slip for what is missing to work it out."""
    return _worked_out(studio, studio.commission(number))


def quotation_like(studio: Studio, number: str, sizes: Sequence[str]) -> Quotation:
    """One for another of the same, in its own size where none is named."""
    piece = studio.piece(number).record
    return _worked_out(
        studio, like_piece(piece, [size_from(text, studio.habits) for text in sizes])
    )


def _worked_out(studio: Studio, commission: Commission) -> Quotation:
    return quote(studio.book, studio.flow, commission, studio.today, studio.swatches)


def quote_report(found: Quotation) -> Report:
    """One quotation, sizes side by side."""
    asked, it = found.asked, Quoted(found)
    number = asked.called
    own = asked.commission.title or (asked.like and asked.like.title)
    title: Words = str(own) if own else sort(asked.kind)
    outcome = outcome_of(asked.book, asked.flow, asked.commission)
    return Report(
        (*_head(found), *tables_of(it, outcome), *_words(it)),
        number,
        title,
        figures=_figures(found),
        data=partial(quote_data, found, outcome, it.minor),
        filed=Filed(
            f"workings-{asked.commission.number}",
            Said("workings.about", number=number, title=title),
            is_brief=True,
        ),
    )


def _head(found: Quotation) -> Iterator[Note]:
    asked, commission = found.asked, found.asked.commission
    told = (asked.kind and sort(asked.kind), asked.structure)
    facts: list[Words] = [fact for fact in told if fact]
    if commission.client and commission.client.name:
        facts.append(Said("workings.for_client", client=str(commission.client.name)))
    yield Note(chained("workings.next", facts), "dim", is_set_in=False)
    yield Note(Said("workings.for_maker"), "bold", is_set_in=False, only="paper")
    if found.is_lapsed:
        lapsed = Said("workings.lapsed", day=found.until, today=str(asked.today))
        yield Note(lapsed, "bold", is_set_in=False)
    elif commission.status in ("asked", "quoted"):
        yield Note(Said("workings.holds", day=found.until), is_set_in=False)
    elif agreed := commission.accepted:
        accepted = Said("workings.accepted", day=agreed.on, piece=str(agreed.piece or ""))
        yield Note(accepted, is_set_in=False)


def _words(it: Quoted) -> Iterator[Part]:
    """What the hours rest on, colours not made yet, what waits, what to bear in mind."""
    found = it.found
    bases = dict.fromkeys(option.hours.basis for option in it.options)
    for turn, basis in enumerate(bases):
        yield Note(Said("workings.rests_on", basis=basis), is_apart=not turn)
    yield from _near(found)
    weeks = weeks_table(it)
    if weeks.rows:
        yield weeks
    if found.queue:
        waits = (
            Said("workings.waits", number=number, hours=plain(hours.value, 0))
            for number, hours in found.queue.items()
        )
        yield Note(Said("workings.queue", queue=in_turn(waits)))
    elif weeks.rows:
        yield Note(Said("workings.no_queue"), only="paper")
    yield _heading("mind")
    if found.allowed.assumed:
        usual = in_turn(found.allowed.assumed)
        yield Note(Said("workings.assumed", assumed=usual))
    yield from notes(*found.remarks)
    yield Note(Said("workings.law"), only="paper")


def _heading(key: str) -> Table:
    return Table((Column(Said(f"workings.{key}")),), (), only="paper")


def _near(found: Quotation) -> Iterator[Part]:
    """The recipes nearest to each colour that is not made yet."""
    strands = [each for each in found.options[0].strands if each.nearest]
    if strands:
        yield _heading("near")
    for strand in strands:
        recipes = (
            Said("workings.apart", name=match.name, apart=str(round(match.delta_e, 1)))
            for match in strand.nearest
        )
        near = chained("workings.next", recipes)
        yield Note(Said("workings.nearest", colour=strand.near, recipes=near))
    if strands:
        yield Note(Said("workings.delta"), only="paper")


def _figures(found: Quotation) -> dict[Words, list[Figure]]:
    """Every figure of a quotation under its heading, size by size."""
    return {
        Said(f"workings.of_{part}", size=option.size.written): figures
        for option in found.options
        for part, figures in _figures_of(option)
    }


def _figures_of(option: Option) -> Iterator[tuple[str, list[Figure]]]:
    if plan := option.plan:
        yield "loom", [plan.ends, plan.warp, plan.weft, plan.yarn_with_spare]
    strands = [strand.with_spare for strand in option.strands]
    hours = [making.hours for making in option.needs.makings if making.hours]
    yield "yarn", [*strands, option.grams, *hours]
    yield "shelf", [need.lacking for need in option.needs.lacking]
    prices = [option.costs[point].price for point in ("likely", "low", "high")]
    offer = option.offer
    last = (*option.earns.values(), option.as_like, option.weeks)
    yield "price", [*prices, offer.whole, *offer.instalments, *(each for each in last if each)]


def quotations_report(studio: Studio) -> Report:
    """Every commission on a line, and how often the hours taken fell within what was quoted."""
    commissions = studio.book.commissions.values()
    scores = tuple(_scores(studio))
    if not commissions:
        return Report((Note(Said("quotations.none"), is_set_in=False), *notes(*scores)))
    columns = (
        Column(Said("quotations.number"), whole=True),
        Column(Said("quotations.title"), grows=True),
        Column(Said("quotations.stands"), whole=True),
        *numbers(Said("quotations.offered"), Said("quotations.weeks")),
    )
    lines = (_line(studio, each) for each in commissions)
    words = (Note(each, is_apart=not turn) for turn, each in enumerate(scores))
    return Report((Table(columns, rows(*lines), narrow=5), *words))


def _line(studio: Studio, commission: Commission) -> tuple[Words, ...]:
    number, title = str(commission.number), str(commission.title or commission.like or "")
    issue, agreed = studio.book.issue_of(number), commission.accepted
    if agreed and agreed.price is not None:
        return number, title, named("stands", str(commission.status)), plain(agreed.price, 2), "-"
    if issue:
        options = issue.data["options"]
        prices = [plain(Fraction(each["price"]["offered"]), 2) for each in options]
        weeks = [each["weeks"] for each in options if each["weeks"]]
        return number, title, stands(studio, issue), _ends(prices), _ends(weeks)
    try:
        found = quote(studio.book, studio.flow, commission, studio.today, {})
    except Slip as slip:
        return number, title, slip.what, "-", "-"
    prices = [plain(option.offer.price.value, 2) for option in found.options]
    weeks = [plain(option.weeks.value) for option in found.options if option.weeks]
    return number, title, _stands(found), _ends(prices), _ends(weeks)


def _ends(values: Sequence[str]) -> str:
    """The first and the last, once where they are the same."""
    return "-".join(dict.fromkeys((values[0], values[-1]))) if values else "-"


def _stands(found: Quotation) -> Words:
    """Asked until a day, lapsed, accepted, finished."""
    if found.is_lapsed:
        return Said("quotations.lapsed", day=found.until)
    if found.asked.commission.status in ("asked", "quoted"):
        return Said("quotations.until", day=found.until)
    return named("stands", str(found.asked.commission.status))


def _scores(studio: Studio) -> Iterator[Said]:
    """How often the hours taken fell within what was quoted, or would have been."""
    book, flow = studio.book, studio.flow
    kept = quoted_score(book, flow)
    if kept.tried:
        yield Said("quotations.score", number=kept.tried, inside=kept.inside)
    tried = leave_one_out(list(histories(book, flow, studio.today).values()))
    if tried.tried:
        yield Said("quotations.tried", inside=tried.inside, tried=tried.tried)


def card_report(border: Border) -> tuple[Card, Report]:
    """The stand card, and in its words a report that has beside it what full pay would come to."""
    studio = border.studio
    found = stand_card(studio.book, studio.flow, studio.today, studio.swatches)
    card, minor = card_of(border, found), minor_unit(studio.file.currency)
    lines, shown = iter(found), list[Row]()
    for kind, sizes in card.kinds.items():
        shown += rows((kind,), style="dim")
        shown += rows(*((each.size, *_asked(next(lines), minor)) for each in sizes), depth=1)
    heads = (Said(f"card_report.{word}") for word in ("from", "to", "weeks", "full_pay"))
    table = Table((Column(Said("card_report.to_order")), *numbers(*heads)), tuple(shown), narrow=5)
    words = Note(Said("card_report.words"), "dim", is_apart=True)
    few = [
        Said("card_report.sort" if structure else "card_report.sort_of_no_structure",
             kind=sort(kind), structure=structure, number=number)
        for kind, structure, number in too_few(studio.book, studio.flow, studio.today)
    ]  # fmt: skip
    left = [Note(Said("card_report.too_few", sorts=row(few)), "dim", is_apart=True)] if few else []
    return card, Report((table, words, *left), data=partial(card_data, found, minor))


def _asked(row: CardRow, minor: int) -> tuple[str, ...]:
    full = (half_up(row.option.costs[end].price.value, 0) for end in ("low", "high"))
    weeks = plain(row.option.weeks.value) if row.option.weeks else "-"
    return money(row.low, minor), money(row.high, minor), weeks, "-".join(map(str, full))
