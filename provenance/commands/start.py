"""`start`: writes a new record with the next free number, explained, and never over another."""

import click

from provenance.build import starting
from provenance.commands.begin import begin
from provenance.commands.here import Here
from provenance.commands.start_studio import studio
from provenance.commands.told import Told, ToldGroup
from provenance.records.pieces import KINDS

command = ToldGroup("start", commands={"studio": studio})


@command.command("piece", cls=Told, key="start_piece")
@click.option("--like", metavar="NUMBER")
@click.option("--title", default="")
@click.option("--kind", type=click.Choice(KINDS))
@click.pass_obj
def piece(here: Here, like: str | None, title: str, kind: str | None) -> None:
    """Write the record of the next piece."""
    begin(here, lambda studio: starting.start_piece(studio, like, title, kind))


@command.command("bath", cls=Told, key="start_bath")
@click.argument("name", required=False, default="")
@click.pass_obj
def bath(here: Here, name: str) -> None:
    """Write the next page of the dye book."""
    begin(here, lambda studio: starting.start_bath(studio, name))


@command.command("commission", cls=Told, key="start_commission")
@click.option("--like", metavar="NUMBER")
@click.pass_obj
def commission(here: Here, like: str | None) -> None:
    """Write down what a client asked for."""
    begin(here, lambda studio: starting.start_commission(studio, like))


@command.command("show", cls=Told, key="start_show")
@click.argument("title", required=False, default="")
@click.pass_obj
def show(here: Here, title: str) -> None:
    """Write the record of an exhibition."""
    begin(here, lambda studio: starting.start_show(studio, title))


@command.command("light-test", cls=Told, key="start_light_test")
@click.argument("lot")
@click.pass_obj
def light_test(here: Here, lot: str) -> None:
    """Begin a test in the window."""
    begin(here, lambda studio: starting.start_light_test(studio, lot))
