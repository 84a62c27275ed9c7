"""The trace of a piece or lot: what it was made of and what it went into, as trees with amounts.

In: the studio, a name. Out: a report for each thing that is called so; its data has both ways
nested, with stable keys.
"""

from collections.abc import Callable, Iterator, Sequence
from fractions import Fraction
from functools import partial
from typing import Any

from provenance.figures.flow import trace as traced
from provenance.figures.flow.flow import Key, called
from provenance.figures.flow.makeup import bath_stages
from provenance.figures.flow.trace import Trace
from provenance.figures.working import plain
from provenance.problems import Said, Slip, Words, did_you_mean, sort
from provenance.records.book import Book
from provenance.records.pieces import Piece
from provenance.reports.report import Note, Report, Step, Tree, amount
from provenance.studio import Studio

_KINDS = {"dyed": "dyed lot", "in place": "yarn made for the piece"}


def trace_reports(studio: Studio, name: str) -> tuple[Report, ...]:
    """A piece first, then lots, then baths of that name. Raises Slip for a name nobody knows."""
    flow = studio.flow
    keys = traced.named(flow, name)
    if not keys:
        raise Slip(Said("trace.nothing", name=name), did_you_mean(name, traced.names(flow)))
    return tuple(_report(studio, traced.trace(flow, key)) for key in keys)


def _report(studio: Studio, found: Trace) -> Report:
    return Report(
        tuple(_parts(studio.book, found)),
        described(studio.book, found.key),
        figures={Said("trace.reached"): traced.workings(studio.flow, found.key)},
        data=partial(_data, found),
    )


def _parts(book: Book, found: Trace) -> Iterator[Note | Tree]:
    if weights := _weights(book, found):
        yield Note(weights, is_set_in=False)
    if found.back:
        yield Tree(Said("trace.made_of"), _told(found.back, partial(_made_of, book)))
    if found.forward:
        went_into = partial(_went_into, book, found.key.name)
        yield Tree(Said("trace.went_into"), _told(found.forward, went_into))
    if not found.back and not found.forward:
        is_piece = found.key.kind == "piece"
        yield Note(Said("trace.no_yarn" if is_piece else "trace.untouched"), is_set_in=False)


def _told(steps: Sequence[traced.Step], said: Callable[[traced.Step], Words]) -> tuple[Step, ...]:
    return tuple(Step(said(step), _told(step.steps, said)) for step in steps)


def _weights(book: Book, found: Trace) -> Said | None:
    if found.key.kind == "piece":
        return _of_piece(book.pieces[found.key.name])
    if found.whole is None or found.key.kind == "bath":
        return None
    left = amount(found.left or Fraction(0), found.unit)
    return Said("trace.of_lot", whole=amount(found.whole, found.unit), left=left)


def _of_piece(piece: Piece) -> Said:
    """Yarn used, finished weight, and the thrums between the two."""
    grams = sum((use.weight for use in piece.yarns), Fraction(0))
    yarn, weight = amount(grams, "g"), amount(piece.weight, "g")
    if piece.weight is None:
        return Said("trace.yarn_used", yarn=yarn)
    if (thrums := grams - piece.weight) <= 0:
        return Said("trace.finished", yarn=yarn, weight=weight)
    return Said("trace.with_thrums", yarn=yarn, weight=weight, thrums=amount(thrums, "g"))


def _made_of(book: Book, step: traced.Step) -> Said:
    what: Words = described(book, step.key)
    if step.key.kind == "bath":
        return Said("trace.dyed_in", bath=what)
    if step.key.kind == "fleece":
        what = Said("trace.greasy", name=what)
    drawn = amount(step.amount, step.unit)
    if step.use:
        return Said("trace.drawn_for", use=step.use, amount=drawn, what=what)
    return Said("trace.drawn", amount=drawn, what=what)


def _went_into(book: Book, asked: str, step: traced.Step) -> Said:
    drawn = amount(step.amount, step.unit)
    if step.key.kind == "lost":
        return Said("trace.lost", amount=drawn)
    said = Said("trace.into", amount=drawn, what=described(book, step.key))
    if step.use:
        said = Said("trace.as_use", step=said, use=step.use)
    if step.of_it != step.amount:
        said = Said("trace.of_it", step=said, amount=amount(step.of_it, "g"), lot=asked)
    if step.left:
        lot, left = step.key.name, amount(step.left, "g")
        said = Said("trace.with_left", step=said, amount=left, lot=lot)
    return said


def described(book: Book, key: Key) -> Words:
    """A node: what it is and where it came from, as far as the record says."""
    says = _SAYS.get(key.kind)
    return says(book, key.name) if says else key.name


def _piece(book: Book, number: str) -> Words:
    piece = book.pieces[number]
    if piece.kind:
        return Said("trace.piece_of_kind", number=number, title=piece.title, kind=sort(piece.kind))
    return Said("trace.piece", number=number, title=piece.title)


def _fleece(book: Book, name: str) -> Words:
    fleece = book.fleece[name]
    said: Words = name
    if fleece.breed or fleece.fibre:
        words = fleece.breed or Said("form.fibre", name=next(iter(fleece.fibre)))
        said = Said("trace.described", name=name, words=words)
    said = _from(said, fleece.from_)
    return Said("trace.shorn", name=said, day=str(fleece.shorn)) if fleece.shorn else said


def _from(said: Words, place: str | None) -> Words:
    return Said("trace.from", name=said, place=place) if place else said


def _yarn(book: Book, name: str) -> Words:
    yarn = book.yarns[name]
    if yarn.fleece:
        return Said("trace.spun_here", name=name)
    fibre = tuple(Said("form.fibre", name=each) for each in yarn.fibre or ())
    return _from(Said("trace.bought", name=name, fibre=fibre), yarn.from_)


def _dyestuff(book: Book, name: str) -> Words:
    lot = book.dyestuffs[name]
    return ", ".join(str(word) for word in (name, lot.part, lot.species) if word)


def _bath(book: Book, name: str) -> Words:
    bath = book.baths[name]
    said = Said("trace.bath", name=name)
    if bath.date:
        said = Said("trace.bath_on", name=name, day=str(bath.date))
    if not bath.exhaust_of:
        return said
    stages = bath_stages(book, bath)
    dyes = tuple(dye for stage in stages if stage.is_exhaust for dye in stage.dyes)
    if not dyes:
        return Said("trace.exhaust", bath=said, first=bath.exhaust_of)
    return Said("trace.exhaust_with", bath=said, first=bath.exhaust_of, dyes=dyes)


_SAYS: dict[str, Callable[[Book, str], Words]] = {
    "piece": _piece,
    "fleece": _fleece,
    "yarn": _yarn,
    "dyed": lambda _, name: Said("trace.dyed", name=name),
    "in place": lambda _, name: Said("trace.in_place", name=called(Key("in place", name))),
    "dyestuff": _dyestuff,
    "bath": _bath,
}


def _data(found: Trace) -> dict[str, Any]:
    """Both ways, nested; grams are null where a thing is counted or measured."""
    return {
        "name": found.key.name,
        "kind": _KINDS.get(found.key.kind, found.key.kind),
        "from": [_step_data(step, "from") for step in found.back],
        "to": [_step_data(step, "to") for step in found.forward],
        "left grams": _grams(found.left, found.unit),
    }


def _step_data(step: traced.Step, way: str) -> dict[str, Any]:
    data = {
        "name": step.key.name or "lost",
        "kind": _KINDS.get(step.key.kind, step.key.kind),
        "grams": _grams(step.amount, step.unit),
    }
    if step.unit != "g":
        data |= {"amount": plain(step.amount), "unit": step.unit or "pieces"}
    if way == "to":
        data |= {"of it grams": _grams(step.of_it, step.unit), "left grams": _grams(step.left, "g")}
    return {**data, way: [_step_data(each, way) for each in step.steps]}


def _grams(weight: Fraction | None, unit: str) -> str | None:
    return plain(weight) if weight is not None and unit == "g" else None
