"""The nearest recipes in the terminal, wanted and made colour side by side.

In: recipes found. Out: blocks of true colour where the terminal shows them, hex colours always.
"""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction
from typing import TYPE_CHECKING

from provenance.commands.showing import open_console, say, table
from provenance.commands.studio import Opened
from provenance.figures.colour.names import colour_name
from provenance.figures.dyes.dosing import RecipeLine
from provenance.figures.dyes.recipes import is_weighed
from provenance.figures.working import half_up, plain
from provenance.language.phrases import british

if TYPE_CHECKING:
    from rich.console import Console
    from rich.text import Text

    from provenance.commands.match import Found, Wanted

DETAILED = 3
WIDE = 80
# How a difference looks, by CIEDE2000: common practice for 1 and 2, the other bounds are ours.
LOOKS = (
    (1, "looks the same"),
    (2, "very close"),
    (5, "close"),
    (10, "in the family"),
)
OTHER = "another colour"


def looks(delta_e: float) -> str:
    """A difference in words."""
    return next((words for most, words in LOOKS if delta_e < most), OTHER)


def show_match(opened: Opened, wanted: Wanted, found: Sequence[Found], grams: Fraction) -> None:
    """The colour, the recipes nearest to it, and the amounts of the first few."""
    console = open_console()
    _show_wanted(console, wanted)
    if not found:
        console.print("\nNo bath in the dye book has a colour yet: add 'colour:' or 'swatch:'.")
        return
    _show_nearest(console, wanted, found)
    for each in found[:DETAILED]:
        _show_recipe(console, opened, each, grams)


def _name(colour: str) -> str:
    """The ISCC-NBS name nearest to a colour."""
    return colour_name(colour)[0].lower()


def _block(*colours: str, width: int = 4) -> Text:
    """Colours side by side."""
    from rich.text import Text

    return Text.assemble(*((" " * width, f"on {colour}") for colour in colours))


def _show_wanted(console: Console, wanted: Wanted) -> None:
    from rich.text import Text

    name = _name(wanted.hex)
    source = f", {wanted.source}" if wanted.source else ""
    words = f"  {wanted.hex}, {name}{source}"
    console.print(Text.assemble(("Wanted  ", "bold"), _block(wanted.hex, width=8), words))
    for colour, share in wanted.others:
        part = f"{plain(half_up(Fraction(share) * 100, 0))} %"
        told = f"  {colour}, {_name(colour)}, {part} of the photo"
        console.print(Text.assemble("        ", _block(colour, width=8), told))


def _show_nearest(console: Console, wanted: Wanted, found: Sequence[Found]) -> None:
    is_wide = console.width >= WIDE
    headings = ("side by side", "lot", "how near", *(["colour"] if is_wide else []))
    made = table(console, *headings, "apart", left=len(headings), narrow=5)
    made.columns[0].ratio, made.columns[-2].ratio = None, 1
    made.columns[1].no_wrap = made.columns[2].no_wrap = True
    for each in found:
        name = [f"{_name(each.recipe.colour)} {each.recipe.colour}"] if is_wide else []
        block = _block(wanted.hex, each.recipe.colour, width=6)
        apart = str(half_up(Fraction(each.match.delta_e), 1))
        made.add_row(block, each.recipe.lot, looks(each.match.delta_e), *name, apart)
    console.print()
    console.print(made)
    say(
        console,
        "Left half: the colour wanted; right half: the recipe. 'apart' is CIEDE2000: about 1 is "
        "the least an eye can see. Screens differ: hold a skein beside it before you dye.",
        style="dim",
    )


def _show_recipe(console: Console, opened: Opened, found: Found, grams: Fraction) -> None:
    recipe = found.recipe
    console.print()
    console.print(f"{recipe.lot}, for {plain(grams, 1)} g of fibre", style="bold")
    if recipe.yarn_colour:
        natural = _name(recipe.yarn_colour)
        say(console, f"It was made on {recipe.yarn}, {natural} {recipe.yarn_colour}.")
    from rich.padding import Padding
    from rich.text import Text

    lines = iter(found.amounts)
    for pot in recipe.pots:
        used = f", in what is left of {pot.exhaust_of}" if pot.exhaust_of else ""
        say(console, f"Bath {pot.bath}{used}")
        made = table(console, "", "grams", "on the shelf", "lacking", narrow=6)
        for turn, done in enumerate(pot.steps):
            for dose in pot.doses:
                if dose.step == turn:
                    made.add_row(*_amounts(opened, next(lines)))
            if done:
                made.add_row(Padding(Text(british().tell(done), "dim"), (0, 0, 0, 4)))
        console.print(made)
    lacking = [f"{plain(line.lacking, 1)} g of {line.what}" for line in _lacking(opened, found)]
    if lacking:
        say(console, f"The shelf lacks {british().listed(lacking)}.", style="bold")


def _amounts(opened: Opened, line: RecipeLine) -> tuple[str, str, str, str]:
    grams = plain(line.grams.value, 1)
    if not is_weighed(opened.book, line.what):
        return f"  {line.what}", grams, "not weighed", ""
    lacks = plain(line.lacking, 1) if line.lacking else ""
    return f"  {line.what}", grams, plain(line.on_shelf, 1), lacks


def _lacking(opened: Opened, found: Found) -> list[RecipeLine]:
    return [line for line in found.amounts if line.lacking and is_weighed(opened.book, line.what)]
