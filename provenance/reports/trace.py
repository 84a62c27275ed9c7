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
from provenance.reports.measured import measured
from provenance.reports.report import Note, Report, Step, Tree
from provenance.studio import Studio, Worked

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
        tuple(_parts(studio, found)),
        described(studio.book, found.key),
        figures={Said("trace.reached"): traced.workings(studio.flow, found.key)},
        data=partial(_data, studio, found),
    )


def _parts(studio: Studio, found: Trace) -> Iterator[Note | Tree]:
    book = studio.book
    for line in _weights(studio, found):
        yield Note(line, is_set_in=False)
    if found.back:
        yield Tree(Said("trace.made_of"), _told(found.back, partial(_made_of, book)))
    if found.forward:
        went_into = partial(_went_into, book, found.key)
        yield Tree(Said("trace.went_into"), _told(found.forward, went_into))
    if not found.back and not found.forward:
        is_piece = found.key.kind == "piece"
        yield Note(Said("trace.no_yarn" if is_piece else "trace.untouched"), is_set_in=False)


def _told(steps: Sequence[traced.Step], said: Callable[[traced.Step], Words]) -> tuple[Step, ...]:
    return tuple(Step(said(step), _told(step.steps, said)) for step in steps)


def _weights(studio: Studio, found: Trace) -> Iterator[Said]:
    if found.key.kind == "piece":
        yield from _of_piece(studio.book, studio.piece(found.key.name))
    elif found.whole is not None and found.key.kind != "bath":
        told = partial(measured, studio.book, found.key, unit=found.unit)
        yield Said("trace.of_lot", whole=told(found.whole), left=told(found.left or Fraction(0)))


def _of_piece(book: Book, worked: Worked) -> Iterator[Said]:
    """Yarn used, finished weight, what was left over, and each yarn in the cloth."""
    piece, held = worked.record, worked.balance
    told = partial(measured, book, Key("piece", worked.number), unit="g")
    weight = piece.weight and piece.weight * piece.made
    about = {"yarn": told(sum(held.put_in, Fraction(0))), "weight": told(weight)}
    if piece.weight is None:
        yield Said("trace.yarn_used", **about)
    elif not held.waste:
        yield Said("trace.finished", **about)
    else:
        yield Said("trace.with_thrums", thrums=told(held.waste), **about)
    if held.waste:
        yarns = tuple(
            Said("trace.in_cloth_of", lot=str(use.lot or use.fleece), amount=told(cloth))
            for use, cloth in zip(piece.yarns, held.cloth, strict=True)
        )
        yield Said("trace.in_cloth", yarns=yarns)


def _made_of(book: Book, step: traced.Step) -> Words:
    what: Words = described(book, step.key)
    if step.key.kind == "bath":
        return Said("trace.dyed_in", bath=what)
    if step.key.kind == "fleece":
        what = Said("trace.greasy", name=what)
    if not step.amount:
        return what  # an exhausted bath: what was weighed into it is counted in its first yarn
    drawn = measured(book, step.key, step.amount, step.unit)
    if step.use:
        return Said("trace.drawn_for", use=step.use, amount=drawn, what=what)
    return Said("trace.drawn", amount=drawn, what=what)


def _went_into(book: Book, asked: Key, step: traced.Step) -> Said:
    told = partial(measured, book, asked)
    drawn = told(step.amount, step.unit)
    if step.key.kind == "lost":
        return Said("trace.lost", amount=drawn)
    what = described(book, step.key)
    said = Said("trace.into", amount=drawn, what=what)
    if not step.amount:  # an exhausted bath goes on, though nothing is weighed any more
        said = Said("trace.on_into", what=what)
    if step.use:
        said = Said("trace.as_use", step=said, use=step.use)
    if step.of_it and step.of_it != step.amount:
        said = Said("trace.of_it", step=said, amount=told(step.of_it, "g"), lot=asked.name)
    if step.left:
        lot, left = step.key.name, measured(book, step.key, step.left, "g")
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


def _data(studio: Studio, found: Trace) -> dict[str, Any]:
    """Both ways, nested; grams are null where a thing is counted or measured."""
    of_piece = found.key.kind == "piece"
    return {
        "name": found.key.name,
        "kind": _KINDS.get(found.key.kind, found.key.kind),
        "from": [_step_data(step, "from") for step in found.back],
        "to": [_step_data(step, "to") for step in found.forward],
        "left grams": _grams(found.left, found.unit),
        **(_cloth_data(studio.piece(found.key.name)) if of_piece else {}),
    }


def _cloth_data(worked: Worked) -> dict[str, Any]:
    held = worked.balance
    yarns = zip(worked.record.yarns, held.cloth, strict=True)
    return {
        "in the cloth": [
            {"name": str(use.lot or use.fleece), "use": str(use.use), "grams": plain(cloth, 1)}
            for use, cloth in yarns
        ],
        "waste grams": plain(held.waste, 1),
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
