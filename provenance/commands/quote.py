"""`quote`: a quotation for a client, and the maker's own sheet behind it.

In: a commission, or a finished piece and sizes, or nothing for all commissions. Out: both papers
(`papers/quotations/`, `papers/private/`) and a report, or JSON; with `--card` the stand card;
with `--accept` the record of the piece, begun with what was agreed.
"""

from typing import Any

import click

from provenance.commands.here import Here
from provenance.commands.issuing import show_quotation
from provenance.commands.quoting import note_agreed, show_card, show_like
from provenance.commands.told import Told
from provenance.language.phrases import british
from provenance.papers.format import SIZES_MM
from provenance.reports.quote import quotations_report
from provenance.reports.writers import terminal


@click.command("quote", cls=Told)
@click.argument("commission", required=False, metavar="[COMMISSION]")
@click.option("--like", metavar="NUMBER")
@click.option("--size", "sizes", multiple=True, metavar="SIZE")
@click.option("--card", is_flag=True)
@click.option("--accept", is_flag=True)
@click.option("--yes", is_flag=True)
@click.option("--anew", is_flag=True)
@click.option("--sheet", type=click.Choice(tuple(SIZES_MM), case_sensitive=False), default=None)
@click.option("--black", is_flag=True)
@click.option("--explain", is_flag=True)
@click.option("--json", "is_json", is_flag=True)
@click.pass_obj
def command(here: Here, /, commission: str | None, like: str | None, sizes: tuple[str, ...],
            *, card: bool, accept: bool, **how: Any) -> None:  # fmt: skip
    """Go the way that is asked for; words that do not go together are refused before."""
    yes = how.pop("yes")
    refused = {
        "one_of": sum((commission is not None, like is not None, card)) > 1,
        "accept_what": accept and not commission,
        "yes_to_what": yes and not accept,
        "size_of_what": sizes and not (like or accept),
        "anew_of_what": how["anew"] and (accept or not commission),
        "how_many": len(sizes) > (1 if accept else 3),
    }
    for wish in filter(refused.get, refused):
        raise click.UsageError(british().say(f"quote_wish.{wish}"))
    if card:
        show_card(here, **how)
    elif like:
        show_like(here, like, sizes, **how)
    elif commission and accept:
        note_agreed(here, commission, "".join(sizes), yes=yes)
    elif commission:
        show_quotation(here, commission, **how)
    else:
        terminal.write([quotations_report(here.studio)], here.phrases)
