"""A deed as a maker types it at the desk: the same words as at a terminal.

In: words, the first of which names the deed. Out: the `Deed`, not yet done; a WrongWish where the
words can't be meant. What lies in files of the maker's own (`sell --from`, `count --sheet`) stays
with the terminal.
"""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field

from provenance.deeds.accepting import accept
from provenance.deeds.counting import count
from provenance.deeds.deed import Deed
from provenance.deeds.moving import move
from provenance.deeds.pricing import reprice
from provenance.deeds.selling import Wished, sell
from provenance.language.phrases import phrases_for_maker
from provenance.problems import Said, Slip, WrongWish, nearest
from provenance.records.fields import day
from provenance.reports.quote import quotation_of
from provenance.studio import Studio


@dataclass(frozen=True, slots=True)
class _Typed:
    """Words that stand alone, in their order, and options with what was said for each."""

    words: list[str] = field(default_factory=list)
    options: dict[str, str] = field(default_factory=dict)


def wished(studio: Studio, words: Sequence[str]) -> Deed:
    """The deed that is meant. Raises Slip where it can't be, WrongWish where it can't be meant."""
    name, *rest = words or ("",)
    if name not in _DEEDS:
        near = nearest(name, _DEEDS)
        remedy = Said("problem.near", near=near) if near else Said("desk_hands.deeds")
        raise WrongWish(Said("desk_hands.no_deed", word=name), remedy)
    deed, options, least, most = _DEEDS[name]
    typed = _typed(name, rest, options)
    if not least <= len(typed.words) <= most:
        raise WrongWish(Said("desk_hands.words", deed=name), Said(f"desk_hands.such_{name}"))
    return deed(studio, typed)


def _typed(name: str, rest: Sequence[str], options: Mapping[str, bool]) -> _Typed:
    typed, waiting = _Typed(), list(rest)
    while waiting:
        word = waiting.pop(0)
        if not word.startswith("--"):
            typed.words.append(word)
            continue
        option, joined, said = word.partition("=")
        if option not in options or (joined and not options[option]):
            such = Said(f"desk_hands.such_{name}")
            raise WrongWish(Said("desk_hands.no_option", option=option, deed=name), such)
        if options[option] and not joined:
            if not waiting:
                such = Said(f"desk_hands.such_{name}")
                raise WrongWish(Said("desk_hands.option_of_what", option=option), such)
            said = waiting.pop(0)
        typed.options[option] = said
    return typed


def _sell(studio: Studio, typed: _Typed) -> Deed:
    said = typed.options
    items = said.get("--items")
    if items is not None and not (items.isdecimal() and int(items)):
        raise WrongWish(Said("desk_hands.items", text=items), Said("desk_hands.such_sell"))
    try:
        on = day(said["--on"]) if "--on" in said else None
    except Slip as slip:
        raise WrongWish(slip.what, slip.remedy) from None
    number, price = typed.words
    wish = Wished(price, said.get("--at"), on, said.get("--to"), int(items) if items else None)
    return sell(studio, number, wish)


def _move(studio: Studio, typed: _Typed) -> Deed:
    *numbers, outlet = typed.words
    source = typed.options.get("--from")
    if not numbers and source is None:
        raise WrongWish(Said("deed.move_what"), Said("deed.move_such"))
    return move(studio, numbers, outlet, source)


def _reprice(studio: Studio, typed: _Typed) -> Deed:
    *numbers, price = typed.words
    return reprice(studio, numbers, price)


def _count(studio: Studio, typed: _Typed) -> Deed:
    return count(studio, *typed.words)


def _quote(studio: Studio, typed: _Typed) -> Deed:
    if "--accept" not in typed.options:
        raise WrongWish(Said("desk_hands.words", deed="quote"), Said("desk_hands.such_quote"))
    found = quotation_of(studio, typed.words[0])
    return accept(found, typed.options.get("--size", ""), phrases_for_maker(studio.book))


_MANY = 10_000
# The deed, its options (True: something is said for it), how many words it takes.
_DEEDS: Mapping[str, tuple[Callable[[Studio, _Typed], Deed], Mapping[str, bool], int, int]] = {
    "sell": (_sell, {"--at": True, "--on": True, "--to": True, "--items": True}, 2, 2),
    "move": (_move, {"--from": True}, 1, _MANY),
    "reprice": (_reprice, {}, 2, _MANY),
    "count": (_count, {}, 2, 2),
    "quote": (_quote, {"--accept": False, "--size": True}, 1, 1),
}
