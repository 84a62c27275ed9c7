"""`reprice`: pieces get another price; what was printed with the old one is named."""

import click

from provenance.commands.asking import carry_out
from provenance.commands.here import Here
from provenance.commands.told import Told
from provenance.deeds.pricing import old_papers, reprice


@click.command("reprice", cls=Told, context_settings={"ignore_unknown_options": True})
@click.argument("numbers", nargs=-1, required=True, metavar="NUMBER...")
@click.argument("price", metavar="PRICE|+8%|-5%")
@click.option("--yes", is_flag=True)
@click.pass_obj
def command(here: Here, /, numbers: tuple[str, ...], price: str, *, yes: bool) -> None:
    """Write the prices, and tell which papers are old."""
    if carry_out(here, reprice(here.studio, numbers, price), yes=yes):
        for words in old_papers(Here(here.folder).border, numbers):
            here.say(words)
