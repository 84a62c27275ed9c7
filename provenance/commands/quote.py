"""`quote`: a quotation for a client, and the maker's own sheet behind it.

In: a commission, or a finished piece and sizes, or nothing for all commissions. Out: both papers
(`papers/quotations/`, `papers/private/`) and a summary, or JSON; with `--card` the stand card;
with `--accept` the record of the piece, begun with what was agreed.
"""

from __future__ import annotations

import json
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import click

from provenance.commands.quote_data import as_data, card_data
from provenance.commands.studio import Here, Opened, refuse, shown_path, warn_of
from provenance.figures.quotation.card import like_piece, stand_card
from provenance.figures.quotation.quote import Quotation, quote
from provenance.language.phrases import british
from provenance.language.telling import told_slip
from provenance.lock import lock
from provenance.output import write_file
from provenance.problems import Slip, did_you_mean
from provenance.records.commissions import Commission, size_from


@dataclass(frozen=True, slots=True)
class Wishes:
    """How the papers and the output are wanted."""

    sheet: str
    is_black: bool
    explain: bool
    as_json: bool


@click.command("quote")
@click.argument("commission", required=False, metavar="[COMMISSION]")
@click.option("--like", metavar="NUMBER", help="Scale from this piece, without a commission.")
@click.option("--size", "sizes", multiple=True, metavar="SIZE",
              help="'180 x 60 cm', with --like; the size chosen, with --accept.")  # fmt: skip
@click.option("--card", is_flag=True, help="The stand card: kind and size, from, to, weeks.")
@click.option("--accept", is_flag=True, help="Note what was agreed, and begin the piece's record.")
@click.option("--sheet", type=click.Choice(("A4", "Letter"), case_sensitive=False), default=None)
@click.option("--black", is_flag=True, help="For black ink alone.")
@click.option("--explain", is_flag=True, help="Every working, down to the line of the record.")
@click.option("--json", "as_json", is_flag=True, help="As JSON; no paper is written.")
@click.pass_obj
def command(here: Here, /, commission: str | None, like: str | None, sizes: tuple[str, ...],
            *, card: bool, accept: bool, **how: Any) -> None:  # fmt: skip
    """A quotation for a client and the private sheet behind it; without COMMISSION, all of them."""
    wishes = Wishes(how["sheet"] or "", how["black"], how["explain"], how["as_json"])
    _check_words(commission, like, sizes, is_card=card, is_accept=accept)
    try:
        if card:
            _card(here, wishes)
        elif like:
            _at_the_stand(here, like, sizes, wishes)
        elif commission and accept:
            _accept(here, commission, sizes)
        elif commission:
            _quote(here, commission, wishes)
        else:
            from provenance.commands.quote_sheet import show_all

            show_all(here.studio)
    except Slip as slip:
        refuse(told_slip(slip, british()), 1)


def _check_words(
    commission: str | None,
    like: str | None,
    sizes: Sequence[str],
    *,
    is_card: bool,
    is_accept: bool,
) -> None:
    """Words that do not go together are refused before anything is read."""
    if sum((commission is not None, like is not None, is_card)) > 1:
        raise click.UsageError("one of: a COMMISSION, --like NUMBER, --card")
    if is_accept and not commission:
        raise click.UsageError("--accept goes with a COMMISSION")
    if sizes and not (like or is_accept):
        raise click.UsageError("--size goes with --like, or with --accept")
    if len(sizes) > (1 if is_accept else 3):
        raise click.UsageError("one size with --accept, up to three with --like")


def _quote(here: Here, number: str, wishes: Wishes) -> None:
    opened = here.studio
    found = work_out(opened, find(opened, number))
    if wishes.as_json:
        click.echo(json.dumps(as_data(opened, found), ensure_ascii=False, indent=1))
        return
    from provenance.commands.quote_sheet import show_quotation

    warn_of(opened)
    show_quotation(opened, found, explain=wishes.explain)
    paths = write_papers(here, found, wishes)
    click.echo(f"\nFor the client: {shown_path(paths[0])}\nFor you alone:  {shown_path(paths[1])}")


def _at_the_stand(here: Here, number: str, sizes: Sequence[str], wishes: Wishes) -> None:
    """A range for another of the same, in any size; nothing is written."""
    opened = here.studio
    piece = opened.piece(number).record
    wanted = [size_from(text) for text in sizes] or ([piece.size] if piece.size else [])
    found = work_out(opened, like_piece(piece, wanted))
    if wishes.as_json:
        click.echo(json.dumps(as_data(opened, found), ensure_ascii=False, indent=1))
        return
    from provenance.commands.quote_sheet import show_quotation

    show_quotation(opened, found, explain=wishes.explain)


def _card(here: Here, wishes: Wishes) -> None:
    from provenance.papers.quotations.stand_card import card_pdf
    from provenance.public.quotation.card import card_of

    opened = here.studio
    border = here.border
    rows = stand_card(opened.book, opened.flow, opened.today, opened.swatches)
    card = card_of(border.view, rows)
    if wishes.as_json:
        click.echo(json.dumps(card_data(opened, rows), ensure_ascii=False, indent=1))
        return
    from provenance.commands.quote_sheet import show_card

    content = card_pdf(border.house, card, black=wishes.is_black)
    show_card(opened, rows, card.kinds)
    path = here.folder / "papers" / "stand-card.pdf"
    with lock(here.folder, "quote"):
        write_file(path, content)
    click.echo(f"\nTo print, A6: {shown_path(path)}")


def _accept(here: Here, number: str, sizes: Sequence[str]) -> None:
    from provenance.commands.quote_accept import accept

    with lock(here.folder, "quote"):
        opened = here.studio
        found = work_out(opened, find(opened, number))
        for line in accept(opened, found, sizes[0] if sizes else ""):
            click.echo(line)


def find(opened: Opened, number: str) -> Commission:
    """A commission by its number; unknown ones are refused."""
    book = opened.book
    if book.is_broken(number, "commissions"):
        refuse(f"the record of {number} can't be read: see 'provenance check'", 1)
    if number not in book.commissions:
        hint = british().tell(did_you_mean(number, book.commissions))
        refuse(f"there is no commission {number}. {hint}".strip(), 1)
    return book.commissions[number]


def work_out(opened: Opened, commission: Commission) -> Quotation:
    """The quotation of a commission, today."""
    return quote(opened.book, opened.flow, commission, opened.today, opened.swatches)


def write_papers(here: Here, found: Quotation, wishes: Wishes) -> tuple[Path, Path]:
    """Both papers, each in its own folder; the private one never among the client's."""
    from provenance.papers.format import format_for
    from provenance.papers.quotations.paper import quotation_pdf
    from provenance.public.quotation.client import client_paper
    from provenance.reports.quote_paper import workings_pdf

    border = here.border
    sheet = format_for(border.house, wishes.sheet, black=wishes.is_black)
    number = str(found.asked.commission.number)
    client = quotation_pdf(border.house, client_paper(border.view, found), sheet)
    own = workings_pdf(border.view, found, sheet)
    papers = here.folder / "papers"
    paths = (
        papers / "quotations" / f"quotation-{number}.pdf",
        papers / "private" / f"workings-{number}.pdf",
    )
    with lock(here.folder, "quote"):
        write_file(paths[0], client)
        write_file(paths[1], own)
    return paths
