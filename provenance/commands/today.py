"""Bare `provenance`: in about ten lines, what to do next in this studio."""

from __future__ import annotations

from collections.abc import Iterator

import click

from provenance.commands.check import counted
from provenance.commands.studio import Here, Opened
from provenance.figures.working import plain
from provenance.language.phrases import british
from provenance.public.names import outlet_title
from provenance.records.checks_names import lots_of
from provenance.records.pieces import FINISHING

MOST = 10
SOON = 21


def show_today(here: Here) -> None:
    """Print what wants doing, most urgent first, and how to go on."""
    if not here.folder.is_dir():
        click.echo("There are no records here yet.\n")
        click.echo("provenance start studio      writes a first studio file and examples")
        click.echo("provenance --help            every command")
        return
    opened = here.studio
    studio = opened.book.studio
    click.echo(click.style(f"{studio.studio}, {opened.today:%d %B %Y}".lstrip("0"), bold=True))
    lines = list(_lines(opened))
    for line in lines[:MOST]:
        click.echo(line)
    if len(lines) > MOST:
        click.echo(f"and {len(lines) - MOST} more.")
    if not lines:
        click.echo("Nothing waits. The records are in order, and what was printed is true.")
    click.echo("\nprovenance --help lists every command.")


def _lines(opened: Opened) -> Iterator[str]:
    mistakes = len(opened.mistakes)
    if mistakes:
        yield _line(f"{counted(mistakes, 'mistake')} in the records", "provenance check")
    yield from _reservations(opened)
    yield from _papers(opened)
    yield from _quotations(opened)
    yield from _fairs(opened)
    yield from _drafts(opened)
    yield from _nearly_used_up(opened)
    yield from _score(opened)


def _line(what: str, command: str) -> str:
    return f"  {what}  ->  {click.style(command, fg='cyan')}"


def _reservations(opened: Opened) -> Iterator[str]:
    for piece in opened.book.pieces.values():
        until = piece.status.until if piece.status else None
        if until and until < opened.today:
            yield f"  {piece.number} {piece.title} was reserved until {until}: sold, or free again?"


def _papers(opened: Opened) -> Iterator[str]:
    from provenance.build.certificates import certificates_due
    from provenance.build.tags_due import tags_due
    from provenance.public.border import Border

    border = Border(opened)
    tags = tags_due(border)
    if tags:
        tell = border.phrases.tell
        first = "; ".join(f"{due.number} {tell(due.why)}" for due in tags[:2])
        more = f"; and {len(tags) - 2} more" if len(tags) > 2 else ""
        yield _line(
            f"{counted(len(tags), 'tag')} to print: {first}{more}", "provenance tags --changed"
        )
    certificates = certificates_due(border)
    if certificates:
        what = f"{counted(len(certificates), 'certificate')} due"
        yield _line(what, f"provenance certificate {' '.join(certificates)}")


def _quotations(opened: Opened) -> Iterator[str]:
    for commission in opened.book.commissions.values():
        since = commission.quoted or commission.asked
        if commission.status not in ("asked", "quoted") or since is None:
            continue
        left = commission.valid.days - (opened.today - since).days
        what = f"{commission.number} asked on {since}"
        if left < 0:
            yield _line(
                f"{what}: the quotation has lapsed", f"provenance quote {commission.number}"
            )
        elif left <= SOON:
            said = f"{what}: lapses in {counted(left, 'day')}"
            yield _line(said, f"provenance quote {commission.number}")


def _score(opened: Opened) -> Iterator[str]:
    """How often finished commissions took the hours that were quoted."""
    if not any(commission.accepted for commission in opened.book.commissions.values()):
        return
    from provenance.figures.quotation.score import quoted_score

    kept = quoted_score(opened.book, opened.flow)
    if kept.tried:
        done = counted(kept.tried, "finished commission")
        what = f"Of {done}, {kept.inside} took hours within what was quoted"
        yield _line(what, "provenance quote")


def _fairs(opened: Opened) -> Iterator[str]:
    for outlet in opened.book.outlets.values():
        if outlet.dates and opened.today <= outlet.dates.last:
            days = (outlet.dates.first - opened.today).days
            if 0 < days <= SOON:
                what = f"{outlet_title(outlet)} in {counted(days, 'day')}"
                yield _line(what, f"provenance papers {outlet.name}")


def _drafts(opened: Opened) -> Iterator[str]:
    for piece in opened.book.pieces.values():
        wants = [british().tell(each) for each in piece.missing if each != FINISHING]
        if piece.state != "in progress" and wants:
            yield f"  {piece.number} {piece.title} is a draft: it wants {' and '.join(wants)}."
        elif piece.state == "in progress":
            yield f"  {piece.number} {piece.title} is on the loom."


def _nearly_used_up(opened: Opened) -> Iterator[str]:
    for name in lots_of(opened.book):
        for key in opened.flow.nodes:
            if key.name == name and key.kind in ("yarn", "dyed") and opened.flow.drawn(key):
                left, whole = opened.flow.left(key), opened.flow.whole(key)
                if 0 < left * 20 < whole and left < 20:
                    yield f"  {name}: {plain(left, 0)} g left of {plain(whole, 0)} g."
