"""The yarn side of the maker's sheet: loom, shelf, what is to be made, colours not made yet.

In: the view and a quotation. Out: rows with a cell for each size, and sentences.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from fractions import Fraction

from provenance.figures.quotation.needs import Making, Need
from provenance.figures.quotation.quote import Option, Quotation
from provenance.language.phrases import Phrases
from provenance.public.quotation.client import Row
from provenance.public.view import View


def cells_of(quotation: Quotation, told: Callable[[Option], str]) -> tuple[str, ...]:
    """One cell for each size."""
    return tuple(told(option) for option in quotation.options)


def loom_rows(view: View, quotation: Quotation) -> Iterator[Row]:
    """Width and length on the loom, ends, metres."""
    say, number = view.phrases.say, view.phrases.number
    if all(option.plan for option in quotation.options):

        def row(word: str, told: Callable[[Option], str]) -> Row:
            return Row(say(f"workings.{word}"), cells_of(quotation, told))

        def metres(word: str, field: str) -> Row:
            return row(word, lambda o: f"{number(getattr(o.plan, field).value, 1)} m")

        yield row("loom_size", lambda o: _loom_size(view.phrases, o))
        yield row("ends", lambda o: number(o.plan.ends.value, 0) if o.plan else "")
        yield metres("warp", "warp")
        yield metres("weft", "weft")
        yield metres("yarn", "yarn_with_spare")
    else:
        yield Row(say("workings.no_sett"), cells_of(quotation, lambda _: ""))
    mass = view.phrases.mass
    for turn, strand in enumerate(quotation.options[0].strands):
        cells = tuple(mass(option.strands[turn].with_spare.value) for option in quotation.options)
        yield Row(f"{strand.use}, {strand.name}", cells)
    yield Row(say("workings.yarns"), cells_of(quotation, lambda o: mass(o.grams.value)), "sum")


def _loom_size(phrases: Phrases, option: Option) -> str:
    if option.plan is None:
        return ""
    sides = (option.plan.loom_width, option.plan.loom_length)
    return " × ".join(phrases.number(side.value, 1) for side in sides) + " cm"


def allowed_words(view: View, quotation: Quotation) -> tuple[str, ...]:
    """What was taken as usual, and whence; nothing where the record says it all."""
    assumed = quotation.allowed.assumed
    if not assumed:
        return ()
    return (view.phrases.say("workings.assumed", assumed="; ".join(assumed)),)


def shelf_rows(view: View, quotation: Quotation) -> Iterator[Row]:
    """What is taken of each lot, and what the shelf lacks."""
    phrases = view.phrases
    names = dict.fromkeys((n.kind, n.what) for o in quotation.options for n in o.needs.lines)
    for kind, what in names:
        found = [_need(option, kind, what) for option in quotation.options]
        known = next(need for need in found if need)
        left = phrases.mass(known.on_shelf.value)
        label = f"{what} ({phrases.say('workings.left').lower()} {left})"
        if not known.is_weighed:
            label = f"{what} ({phrases.say('workings.not_weighed')})"
        cells = tuple(_taken(phrases, need) for need in found)
        yield Row(label, cells, "lacks" if any(n and n.lacking.value for n in found) else "")


def _need(option: Option, kind: str, what: str) -> Need | None:
    return next((n for n in option.needs.lines if (n.kind, n.what) == (kind, what)), None)


def _taken(phrases: Phrases, need: Need | None) -> str:
    if need is None:
        return "-"
    said = phrases.mass(need.grams.value)
    if need.lacking.value:
        said += ", " + phrases.say("workings.lacks", grams=phrases.mass(need.lacking.value))
    return said


def making_rows(view: View, quotation: Quotation) -> Iterator[Row]:
    """Spinning, dyeing and buying that come before the loom."""
    phrases = view.phrases
    ways = dict.fromkeys(
        (m.way, m.what, m.recipe, m.exhaust_of) for o in quotation.options for m in o.needs.makings
    )
    for way, what, recipe, exhausts in ways:
        label = phrases.say(f"workings.way_{way}", what=what)
        if way == "dye":
            by = "by_recipe" if recipe else "new_recipe"
            label += f", {phrases.say(f'workings.{by}', recipe=recipe)}" if recipe != what else ""
        label += "".join(f", {phrases.say('workings.exhaust', bath=bath)}" for bath in exhausts)
        found = [_making(option, way, what) for option in quotation.options]
        yield Row(label, tuple(_made(phrases, making) for making in found))


def _making(option: Option, way: str, what: str) -> Making | None:
    return next((m for m in option.needs.makings if (m.way, m.what) == (way, what)), None)


def _made(phrases: Phrases, making: Making | None) -> str:
    if making is None:
        return "-"
    said = phrases.mass(making.grams.value)
    return f"{said}, {phrases.hours(making.hours.value)}" if making.hours else said


def near_words(view: View, quotation: Quotation) -> Iterator[str]:
    """The recipes nearest to each colour that is not made yet."""
    phrases = view.phrases
    for strand in quotation.options[0].strands:
        if strand.nearest:
            said = [
                phrases.say("workings.near_recipe", name=match.name,
                            difference=phrases.number(Fraction(match.delta_e), 1))
                for match in strand.nearest
            ]  # fmt: skip
            recipes = ", ".join(said)
            yield phrases.say("workings.near_words", colour=strand.near, recipes=recipes) + "."
