"""A quotation in the terminal: sizes side by side, what it rests on, what the shelf lacks.

In: a quotation, or all commissions, or the rows of the stand card. Out: printed tables that fit a
narrow terminal and use a wide one.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from typing import TYPE_CHECKING

from provenance.commands.showing import add_sum, money, open_console, print_workings, say, table
from provenance.commands.studio import Opened
from provenance.figures.estimate.score import leave_one_out
from provenance.figures.quotation.quote import Option, Quotation, quote
from provenance.figures.quotation.score import Outcome, outcome_of, quoted_score
from provenance.figures.quotation.time import histories, queue_words
from provenance.figures.working import Figure, half_up, plain
from provenance.language.phrases import british
from provenance.problems import Slip
from provenance.reference.currencies import minor_unit

if TYPE_CHECKING:
    from rich.console import Console

    from provenance.figures.quotation.card import CardRow
    from provenance.public.quotation.card import CardKind

Told = Callable[[Option], str]


def show_quotation(opened: Opened, found: Quotation, *, explain: bool) -> None:
    """One quotation, with its workings when asked for."""
    console = open_console()
    minor = minor_unit(opened.book.studio.currency)
    _head(console, found)
    outcome = outcome_of(opened.book, opened.flow, found.asked.commission)
    if outcome:
        _show_outcome(console, outcome, minor)
    _show_prices(console, found, minor)
    _show_loom(console, found)
    _show_shelf(console, found)
    _show_words(console, found)
    if explain:
        currency = str(opened.book.studio.currency)
        print_workings(console, currency, minor, workings(found))


def workings(found: Quotation) -> dict[str, list[Figure]]:
    """Every figure of a quotation under its heading, size by size."""
    groups: dict[str, list[Figure]] = {}
    for option in found.options:
        plan, size = option.plan, option.size.written
        if plan:
            groups[f"{size}, on the loom"] = [plan.ends, plan.warp, plan.weft, plan.yarn_with_spare]
        strands = [strand.with_spare for strand in option.strands]
        hours = [making.hours for making in option.needs.makings if making.hours]
        groups[f"{size}, yarn"] = [*strands, option.grams, *hours]
        groups[f"{size}, shelf"] = [need.lacking for need in option.needs.lacking]
        likely, offer = option.costs["likely"], option.offer
        ends = [option.costs[end].price for end in ("low", "high")]
        earned = [each for each in option.earns.values() if each]
        groups[f"{size}, price"] = [likely.price, *ends, offer.whole, *offer.instalments, *earned]
        groups[f"{size}, price"] += [each for each in (option.as_like, option.weeks) if each]
    return groups


def _head(console: Console, found: Quotation) -> None:
    commission, asked = found.asked.commission, found.asked
    title = str(commission.title or (asked.like and asked.like.title) or asked.kind)
    console.print(f"{commission.number}  {title}", style="bold")
    client = commission.client.name if commission.client else None
    facts = (asked.kind, asked.structure, client and f"for {client}")
    console.print(", ".join(str(fact) for fact in facts if fact), style="dim")
    if found.is_lapsed:
        console.print(f"Lapsed on {found.until}. Write 'quoted: {asked.today}' to make it new.",
                      style="bold")  # fmt: skip
    elif commission.status in ("asked", "quoted"):
        console.print(f"Holds until {found.until}.")
    elif commission.accepted:
        console.print(f"Accepted on {commission.accepted.on}: {commission.accepted.piece or ''}")


def _show_prices(console: Console, found: Quotation, minor: int) -> None:
    options = found.options
    made = table(console, "", *(_size(option) for option in options), narrow=7)

    def row(word: str, told: Told, style: str = "") -> None:
        made.add_row(word, *(told(option) for option in options), style=style)

    row("hours, likely", lambda o: plain(o.hours.likely, 1), "bold")
    row("  low", lambda o: plain(o.hours.low, 1))
    row("  high", lambda o: plain(o.hours.high, 1))
    row("cost, likely", lambda o: money(o.costs["likely"].cost, minor))
    row("price, likely", lambda o: money(o.costs["likely"].price, minor))
    row("  low", lambda o: money(o.costs["low"].price, minor))
    row("  high", lambda o: money(o.costs["high"].price, minor))
    like = found.asked.like
    if like and options[0].as_like:
        row(f"as {like.number}, by area", lambda o: money(o.as_like, minor) if o.as_like else "")
    add_sum(console, made, "offered", *(money(option.offer.price, minor) for option in options))
    for turn, extra in enumerate(options[0].offer.extras):
        row(extra.what, lambda o, turn=turn: money(o.offer.extras[turn], minor))  # type: ignore[misc]
    row("in all", lambda o: money(o.offer.whole, minor), "bold")
    for turn in range(len(options[0].offer.instalments)):
        row(f"  part {turn + 1}", lambda o, turn=turn: money(o.offer.instalments[turn], minor))  # type: ignore[misc]
    row("weeks", lambda o: plain(o.weeks.value) if o.weeks else "-")
    words = {"likely": "an hour brings", "low": "  at the low hours", "high": "  at the high"}
    for point, word in words.items():
        style = "bold" if point == "likely" else ""
        row(word, lambda o, point=point: _earned(o, point, minor), style)  # type: ignore[misc]
    console.print()
    console.print(made)


def _size(option: Option) -> str:
    return option.size.written.replace(" cm", "").replace(" ", "")


def _earned(option: Option, point: str, minor: int) -> str:
    earned = option.earns[point]
    return money(earned, minor) if earned else "-"


def _show_loom(console: Console, found: Quotation) -> None:
    options = found.options
    made = table(console, "Yarn, with the spare", *(_size(each) for each in options), narrow=7)
    if all(each.plan for each in options):
        for word, told in _plan_rows():
            made.add_row(word, *(told(option) for option in options))
    for turn, strand in enumerate(options[0].strands):
        grams = (plain(option.strands[turn].with_spare.value, 0) for option in options)
        made.add_row(f"{strand.use}, {strand.name}, g", *grams)
    add_sum(console, made, "all yarn, g", *(plain(option.grams.value, 0) for option in options))
    console.print()
    console.print(made)


def _plan_rows() -> Iterator[tuple[str, Told]]:
    yield "loom width, cm", lambda o: plain(o.plan.loom_width.value, 1) if o.plan else ""
    yield "loom length, cm", lambda o: plain(o.plan.loom_length.value, 1) if o.plan else ""
    yield "ends", lambda o: plain(o.plan.ends.value) if o.plan else ""
    yield "warp, m", lambda o: plain(o.plan.warp.value, 1) if o.plan else ""
    yield "weft, m", lambda o: plain(o.plan.weft.value, 1) if o.plan else ""
    yield (
        "both, with the spare, m",
        lambda o: plain(o.plan.yarn_with_spare.value, 1) if o.plan else "",
    )


def _show_shelf(console: Console, found: Quotation) -> None:
    """What the shelf lacks, and what is to be made first."""
    options = found.options
    made = table(console, "The shelf lacks, g", *(_size(each) for each in options), narrow=7)
    for what in found.lacking:
        cells = ({n.what: n.lacking.value for n in option.needs.lacking} for option in options)
        made.add_row(what, *(plain(cell[what], 1) if what in cell else "-" for cell in cells))
    if found.lacking:
        console.print()
        console.print(made)
    first = table(console, "To be made first, h", *(_size(each) for each in options), narrow=7)
    ways = dict.fromkeys((m.way, m.what) for o in options for m in o.needs.makings if m.hours)
    for way in ways:
        spent = [_hours_of(option, way) for option in options]
        first.add_row(" ".join(way), *(plain(each.value, 1) if each else "-" for each in spent))
    if ways:
        console.print()
        console.print(first)


def _hours_of(option: Option, way: tuple[str, str]) -> Figure | None:
    return next((m.hours for m in option.needs.makings if (m.way, m.what) == way), None)


def _show_words(console: Console, found: Quotation) -> None:
    console.print()
    for basis in dict.fromkeys(option.hours.basis for option in found.options):
        say(console, f"Rests on {basis}.")
    for strand in found.options[0].strands:
        if strand.nearest:
            near = (f"{m.name} ({round(m.delta_e, 1)} apart)" for m in strand.nearest)
            say(console, f"Nearest to {strand.near}: {', '.join(near)}.")
    if found.queue:
        say(console, f"Before it: {'; '.join(queue_words(found.queue))}.")
    if found.allowed.assumed:
        say(console, f"Taken as usual: {'; '.join(found.allowed.assumed)}.")
    for remark in found.remarks:
        say(console, remark)


def _show_outcome(console: Console, outcome: Outcome, minor: int) -> None:
    """Quoted against actual."""
    made = table(console, f"{outcome.piece.number} is finished", "quoted", "taken", narrow=7)
    made.add_row("hours", plain(outcome.likely, 1), plain(outcome.taken.value, 1), style="bold")
    made.add_row("  low", plain(outcome.low, 1), "")
    made.add_row("  high", plain(outcome.high, 1), "")
    made.add_row("cost", "", money(outcome.sheet.cost, minor))
    made.add_row("price", money(outcome.price, minor), "")
    if outcome.earned:
        made.add_row("an hour brought", "", money(outcome.earned, minor))
    console.print()
    console.print(made)
    word = "within" if outcome.is_inside else "outside"
    say(console, f"It took hours {word} what was quoted.")


def show_card(opened: Opened, rows: Sequence[CardRow], kinds: Sequence[CardKind]) -> None:
    """The stand card, and beside it what full pay would come to."""
    console = open_console()
    minor = minor_unit(opened.book.studio.currency)
    made = table(console, "To order", "from", "to", "weeks", "at full pay", narrow=5)
    lines = iter(rows)
    for kind in kinds:
        made.add_row(kind.kind, style="dim")
        for line in kind.lines:
            row = next(lines)
            full = (half_up(row.option.costs[end].price.value, 0) for end in ("low", "high"))
            weeks = plain(row.weeks.value) if row.weeks else "-"
            ends = (money(row.low, minor), money(row.high, minor))
            made.add_row(f"  {line.size}", *ends, weeks, "-".join(map(str, full)))
    console.print(made)
    console.print()
    say(console, "From and to go by what your finished pieces of that sort are asked for, by area; "
        "the last column, not on the card, by your pay and profit.", style="dim")  # fmt: skip


def show_all(opened: Opened) -> None:
    """Every commission on a line, and the score."""
    console = open_console()
    made = table(console, "number", "title", "stands", "offered", "weeks", left=3, narrow=5)
    made.columns[0].ratio, made.columns[1].ratio = None, 1
    made.columns[0].no_wrap = made.columns[2].no_wrap = True
    for commission in opened.book.commissions.values():
        stands, offered, weeks = str(commission.status), "-", "-"
        try:
            found = quote(opened.book, opened.flow, commission, opened.today, {})
            prices = [plain(option.offer.price.value, 2) for option in found.options]
            offered = "-".join(dict.fromkeys((prices[0], prices[-1])))
            ready = [plain(o.weeks.value) for o in found.options if o.weeks]
            weeks = "-".join(dict.fromkeys((ready[0], ready[-1]))) if ready else "-"
            stands = _stands(found)
        except Slip as slip:
            stands = british().tell(slip.what)
        title = str(commission.title or commission.like or "")
        made.add_row(str(commission.number), title, stands, offered, weeks)
    if opened.book.commissions:
        console.print(made)
        console.print()
    else:
        console.print("No commission is on record: 'provenance start commission' writes one.")
    for line in score_lines(opened):
        say(console, line)


def _stands(found: Quotation) -> str:
    """Asked until a day, lapsed, accepted, finished."""
    if found.is_lapsed:
        return f"lapsed {found.until}"
    if found.asked.commission.status in ("asked", "quoted"):
        return f"until {found.until}"
    return str(found.asked.commission.status)


def score_lines(opened: Opened) -> Iterator[str]:
    """How often the hours taken fell within what was quoted, or would have been."""
    kept = quoted_score(opened.book, opened.flow)
    if kept.tried:
        yield (
            f"Of {kept.tried} finished commission{'s' if kept.tried > 1 else ''}, "
            f"{kept.inside} took hours within what was quoted."
        )
    tried = leave_one_out(list(histories(opened.book, opened.flow, opened.today).values()))
    if tried.tried:
        yield (
            f"Each finished piece estimated from the others: {tried.inside} of {tried.tried} "
            "fell within the range (8 in 10 is what it promises)."
        )
