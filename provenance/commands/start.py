"""`start`: writes a new record with the next free number, explained, and never over another."""

from collections.abc import Callable

import click

from provenance.build import starting
from provenance.commands.here import Here
from provenance.commands.place import shown_path
from provenance.commands.start_key import key
from provenance.commands.start_studio import studio
from provenance.commands.told import Told, ToldGroup
from provenance.records.pieces import KINDS
from provenance.studio import Studio

command = ToldGroup("start", commands={"studio": studio, "key": key})


@command.command("piece", cls=Told, key="start_piece")
@click.option("--like", metavar="NUMBER")
@click.option("--title", default="")
@click.option("--kind", type=click.Choice(KINDS))
@click.pass_obj
def piece(here: Here, like: str | None, title: str, kind: str | None) -> None:
    """Write the record of the next piece."""
    _start(here, lambda studio: starting.start_piece(studio, like, title, kind))


@command.command("bath", cls=Told, key="start_bath")
@click.argument("name", required=False, default="")
@click.pass_obj
def bath(here: Here, name: str) -> None:
    """Write the next page of the dye book."""
    _start(here, lambda studio: starting.start_bath(studio, name))


@command.command("commission", cls=Told, key="start_commission")
@click.option("--like", metavar="NUMBER")
@click.pass_obj
def commission(here: Here, like: str | None) -> None:
    """Write down what a client asked for."""
    _start(here, lambda studio: starting.start_commission(studio, like))


@command.command("light-test", cls=Told, key="start_light_test")
@click.argument("lot")
@click.pass_obj
def light_test(here: Here, lot: str) -> None:
    """Begin a test in the window."""
    _start(here, lambda studio: starting.start_light_test(studio, lot))


def _start(here: Here, begin: Callable[[Studio], starting.Started]) -> None:
    starting.refuse_without_records(here.folder)
    with here.turn("start"):
        new = begin(here.studio)
        starting.write_started(here.folder, new)
    here.say(shown_path(here.folder / new.file))
    here.say(new.next)
