"""`trace`: a piece back to fleece and dyestuff, a lot forward to every piece.

In: a number, a lot or a bath. Out: a tree with grams at each step and what is left, or JSON.
"""

from __future__ import annotations

import json
from collections.abc import Callable, Iterator, Sequence
from fractions import Fraction
from typing import TYPE_CHECKING, Any

import click

from provenance.commands.showing import (
    Guides,
    guides_for,
    open_console,
    print_workings,
    set_in,
)
from provenance.commands.studio import Here, Opened, refuse, warn_of
from provenance.figures.dyes.dosing import listed
from provenance.figures.flow.flow import Key
from provenance.figures.flow.makeup import bath_stages
from provenance.figures.flow.trace import Step, Trace, named, names, trace, workings
from provenance.figures.working import plain
from provenance.language.phrases import british
from provenance.problems import did_you_mean
from provenance.records.book import Book
from provenance.records.pieces import Piece
from provenance.reference.currencies import minor_unit

if TYPE_CHECKING:
    from rich.console import Console

KINDS = {"dyed": "dyed lot", "in place": "yarn made for the piece", "lost": "lost"}


@click.command("trace")
@click.argument("name")
@click.option("--explain", is_flag=True, help="Every working, down to the line of the record.")
@click.option("--json", "as_json", is_flag=True, help="As JSON.")
@click.pass_obj
def command(here: Here, *, name: str, explain: bool, as_json: bool) -> None:
    """Follow a piece back to fleece and dyestuff, or a lot forward to every piece.

    NAME is a piece's number, or the name of a fleece, yarn, dyed lot, dyestuff, mordant, sundry or
    bath.
    """
    opened = here.studio
    keys = named(opened.flow, name)
    if not keys:
        hint = british().tell(did_you_mean(name, names(opened.flow)))
        refuse(f"nothing is called '{name}'. {hint}".strip(), 1)
    traces = [trace(opened.flow, key) for key in keys]
    if as_json:
        found = [as_data(each) for each in traces]
        click.echo(json.dumps(found if len(found) > 1 else found[0], ensure_ascii=False, indent=1))
        return
    warn_of(opened)
    for index, each in enumerate(traces):
        if index:
            click.echo()
        _show(opened, each, explain=explain)


def as_data(found: Trace) -> dict[str, Any]:
    """Both ways, nested, with stable keys; grams are null where a thing is counted or measured."""
    return {
        "name": found.key.name,
        "kind": KINDS.get(found.key.kind, found.key.kind),
        "from": [_step(step, "from") for step in found.back],
        "to": [_step(step, "to") for step in found.forward],
        "left grams": _grams(found.left, found.unit),
    }


def _step(step: Step, way: str) -> dict[str, Any]:
    data: dict[str, Any] = {
        "name": step.key.name or "lost",
        "kind": KINDS.get(step.key.kind, step.key.kind),
        "grams": _grams(step.amount, step.unit),
    }
    if step.unit != "g":
        data |= {"amount": plain(step.amount), "unit": step.unit or "pieces"}
    if way == "to":
        data |= {"of it grams": _grams(step.of_it, step.unit), "left grams": _grams(step.left, "g")}
    return {**data, way: [_step(each, way) for each in step.steps]}


def _grams(amount: Fraction | None, unit: str) -> str | None:
    return plain(amount) if amount is not None and unit == "g" else None


def _show(opened: Opened, found: Trace, *, explain: bool) -> None:
    console, book = open_console(), opened.book
    for text, style in _heading(book, found):
        console.print(text, style=style)
    _show_steps(console, "Made of", lambda step: _made_of(book, step), found.back)
    _show_steps(
        console, "Went into", lambda step: _went_into(book, found.key.name, step), found.forward
    )
    if not found.back and not found.forward:
        is_piece = found.key.kind == "piece"
        console.print("Its record names no yarn yet." if is_piece else "Nothing was drawn from it.")
    if explain:
        currency = str(book.studio.currency)
        groups = {"How the amounts were reached": workings(opened.flow, found.key)}
        print_workings(console, currency, minor_unit(currency), groups)


def _heading(book: Book, found: Trace) -> Iterator[tuple[str, str]]:
    yield _described(book, found.key), "bold"
    piece = book.pieces.get(found.key.name) if found.key.kind == "piece" else None
    if piece is not None:
        yield _weights(piece), ""
    elif found.whole is not None and found.key.kind != "bath":
        left = _amount(found.left or Fraction(0), found.unit)
        yield f"{_amount(found.whole, found.unit)} in all, {left} left", ""


def _show_steps(
    console: Console, heading: str, said: Callable[[Step], str], steps: Sequence[Step]
) -> None:
    """Steps as a tree under a heading; nothing when there are none."""
    if not steps:
        return
    console.print()
    console.print(heading, style="bold")
    for text, first, later in _placed(steps, said, "", guides_for(console)):
        for line in set_in(text, first, later, console.width):
            console.print(line, soft_wrap=True)


def _placed(
    steps: Sequence[Step], said: Callable[[Step], str], under: str, guides: Guides
) -> Iterator[tuple[str, str, str]]:
    """Every step in words, with the guides of its first and its further lines."""
    for index, step in enumerate(steps):
        here, rest = guides[2:] if index == len(steps) - 1 else guides[:2]
        yield said(step), under + here, under + rest
        yield from _placed(step.steps, said, under + rest, guides)


def _made_of(book: Book, step: Step) -> str:
    if step.key.kind == "bath":
        return f"dyed in {_described(book, step.key)}"
    use = f"{step.use}: " if step.use else ""
    grease = ", in the grease" if step.key.kind == "fleece" else ""
    return f"{use}{_amount(step.amount, step.unit)} {_described(book, step.key)}{grease}"


def _went_into(book: Book, asked: str, step: Step) -> str:
    amount = _amount(step.amount, step.unit)
    if step.key.kind == "lost":
        return f"{amount} lost"
    said = f"{amount} into {_described(book, step.key)}"
    if step.use:
        said += f", as {step.use}"
    if step.of_it != step.amount:
        said += f": {_amount(step.of_it, 'g')} of {asked}"
    if step.left:
        said += f" ({_amount(step.left, 'g')} of {step.key.name} left)"
    return said


def _weights(piece: Piece) -> str:
    """Yarn used, finished weight, and the thrums between the two."""
    yarn = sum((use.weight for use in piece.yarns), Fraction(0))
    if piece.weight is None:
        return f"{_amount(yarn, 'g')} of yarn"
    thrums = yarn - piece.weight
    rest = f", {_amount(thrums, 'g')} loom waste" if thrums > 0 else ""
    return f"{_amount(yarn, 'g')} of yarn, {_amount(piece.weight, 'g')} finished{rest}"


def _amount(amount: Fraction, unit: str) -> str:
    return f"{plain(amount, 1)} {unit}".strip()


def _described(book: Book, key: Key) -> str:
    """A node in words: what it is and where it came from, as far as the record says."""
    says = _SAYS.get(key.kind)
    return says(book, key.name) if says else key.name


def _piece(book: Book, number: str) -> str:
    piece = book.pieces[number]
    return f"{number} {piece.title}" + (f", {piece.kind}" if piece.kind else "")


def _fleece(book: Book, name: str) -> str:
    fleece = book.fleece[name]
    said = f"{name}, {fleece.breed or next(iter(fleece.fibre), '')}".rstrip(", ")
    said += f" from {fleece.from_}" if fleece.from_ else ""
    return said + (f", shorn {fleece.shorn}" if fleece.shorn else "")


def _yarn(book: Book, name: str) -> str:
    yarn = book.yarns[name]
    if yarn.fleece:
        return f"{name}, yarn spun here"
    fibres = " and ".join(yarn.fibre or ())
    return f"{name}, bought {fibres} yarn" + (f" from {yarn.from_}" if yarn.from_ else "")


def _dyestuff(book: Book, name: str) -> str:
    lot = book.dyestuffs[name]
    return ", ".join(str(word) for word in (name, lot.part, lot.species) if word)


def _bath(book: Book, name: str) -> str:
    bath = book.baths[name]
    said = f"bath {name}" + (f" on {bath.date}" if bath.date else "")
    if not bath.exhaust_of:
        return said
    stages = bath_stages(book, name, bath)
    dyes = [dye for stage in stages if stage.is_exhaust for dye in stage.dyes]
    return f"{said}, the exhaust of {bath.exhaust_of}" + (f" ({listed(dyes)})" if dyes else "")


_SAYS: dict[str, Callable[[Book, str], str]] = {
    "piece": _piece,
    "fleece": _fleece,
    "yarn": _yarn,
    "dyed": lambda _, name: f"{name}, dyed",
    "in place": lambda _, name: f"{name}, made for the piece",
    "dyestuff": _dyestuff,
    "bath": _bath,
}
