"""`match`: the recipes in the dye book nearest to a colour or a photo, scaled to a weight of fibre.

In: a colour (`#8a2f2a`, the name of a lot, an ISCC-NBS name) or a photo. Out: the nearest recipes
with their difference, side by side, with amounts and what the shelf lacks; or JSON.
"""

from __future__ import annotations

import json
import re
from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction
from pathlib import Path
from typing import Any, NoReturn

import click

from provenance.commands.studio import Here, Opened, refuse, warn_of
from provenance.figures.colour.match import Match, nearest
from provenance.figures.colour.names import colour_name
from provenance.figures.colour.space import lab
from provenance.figures.dyes.dosing import RecipeLine
from provenance.figures.dyes.recipes import BASE, Recipe, recipes, scaled
from provenance.figures.flow.makeup import colour_of
from provenance.figures.working import plain
from provenance.language.phrases import british
from provenance.language.telling import told_in_line
from provenance.problems import Slip, did_you_mean
from provenance.records.book import Book
from provenance.records.quantities import Grams, Habits
from provenance.reference.colour_names import centroids

SIDE = 256  # pixels along the longer side of a photo that is measured


@dataclass(frozen=True, slots=True)
class Wanted:
    """The colour asked for, what it was taken from, and the other colours of a photo."""

    hex: str
    source: str
    others: tuple[tuple[str, float], ...] = ()


@dataclass(frozen=True, slots=True)
class Found:
    """One recipe near the colour, and its amounts for the weight asked for."""

    recipe: Recipe
    match: Match
    amounts: tuple[RecipeLine, ...]


def _weight(_context: click.Context, _option: click.Parameter, said: str | None) -> Fraction:
    if said is None:
        return BASE
    try:
        grams = Grams.read(said, Habits())
    except Slip as slip:
        raise click.BadParameter(told_in_line(slip, british(), ": ")) from slip
    if not grams:
        raise click.BadParameter("nothing to dye: write for example 250 g")
    return grams


@click.command("match")
@click.argument("colour", metavar="COLOUR-or-PHOTO")
@click.option(
    "--weight", "grams", callback=_weight, metavar="W", help="Fibre to dye, such as '250 g'."
)
@click.option("--most", type=click.IntRange(1, 50), default=5, help="How many recipes; 5.")
@click.option("--json", "as_json", is_flag=True, help="As JSON.")
@click.pass_obj
def command(here: Here, *, colour: str, grams: Fraction, most: int, as_json: bool) -> None:
    """The recipes in the dye book nearest to a colour or a photo.

    COLOUR is a hex colour such as '#8a2f2a' (in quotes), the name of a dyed lot or yarn, or of a
    colour, such as 'dark red'; a PHOTO is measured in its middle.
    """
    opened = here.studio
    swatches = _swatches(opened.book)
    wanted = find_colour(opened.book, colour, swatches)
    found = find_recipes(opened, wanted, grams, swatches)[:most]
    if as_json:
        click.echo(json.dumps(as_data(wanted, found), ensure_ascii=False, indent=1))
        return
    from provenance.commands.match_sheet import show_match

    warn_of(opened)
    show_match(opened, wanted, found, grams)


def _swatches(book: Book) -> Mapping[str, str]:
    """Colours measured from the swatch photos of the dye book; bad ones are left to 'check'."""
    both = ((bath.swatch, *(entry.swatch for entry in bath.dyed)) for bath in book.baths.values())
    names = [str(swatch) for swatches in both for swatch in swatches if swatch]
    if not names:
        return {}
    from provenance.build.pictures import swatch_colours

    return swatch_colours(book.folder, names)[0]


def find_colour(book: Book, asked: str, swatches: Mapping[str, str]) -> Wanted:
    """The colour meant: hex, a photo, a lot or yarn of the studio, or the name of a colour."""
    if found := re.fullmatch(r"#?([0-9A-Fa-f]{6}|[0-9A-Fa-f]{3})", asked.strip()):
        digits = found[1].lower()
        return Wanted("#" + (digits if len(digits) == 6 else "".join(d * 2 for d in digits)), "")
    for path in (Path(asked), book.folder / "photos" / asked):
        if path.is_file():
            return _of_photo(path)
    if colour := colour_of(book, asked, swatches):
        return Wanted(colour, f"the colour of {asked}")
    named = {name.lower(): f"#{digits}" for name, digits in centroids()}
    if asked.strip().lower() in named:
        return Wanted(named[asked.strip().lower()], "the middle of the colours called so")
    return _refuse_colour(book, asked, named)


def _refuse_colour(book: Book, asked: str, named: Mapping[str, str]) -> NoReturn:
    lots = [str(entry.becomes) for bath in book.baths.values() for entry in bath.dyed]
    near = british().tell(did_you_mean(asked, [*lots, *book.yarns, *named]))
    refuse(f"'{asked}' is neither a photo nor a colour such as '#8a2f2a'. {near}".strip(), 1)


def _of_photo(path: Path) -> Wanted:
    from provenance.figures.colour.photo import palette, pixels_of, swatch_colour
    from provenance.press.pictures.photos import open_photo, pixels

    try:
        raw = pixels_of(*pixels(open_photo(path.absolute().parent, path.name), SIDE))
    except Slip as slip:
        refuse(told_in_line(slip, british()), 1)
    others = tuple(palette(raw, 5))
    return Wanted(swatch_colour(raw), f"measured in the middle of {path.name}", others)


def find_recipes(
    opened: Opened, wanted: Wanted, grams: Fraction, swatches: Mapping[str, str]
) -> list[Found]:
    """Every recipe of the dye book, nearest first, scaled to the weight of fibre."""
    book = opened.book
    known = {recipe.lot: recipe for recipe in recipes(book, swatches)}
    swatched = [(name, recipe.colour) for name, recipe in known.items()]
    return [
        Found(known[match.name], match, scaled(book, opened.flow, known[match.name], grams))
        for match in nearest(wanted.hex, swatched)
    ]


def as_data(wanted: Wanted, found: list[Found]) -> dict[str, Any]:
    """The colour and its recipes with stable keys; Lab (D65) and CIEDE2000 to four decimals."""
    return {
        "colour": {
            "hex": wanted.hex,
            "lab": _lab(wanted.hex),
            "name": colour_name(wanted.hex)[0],
        },
        "recipes": [
            {
                "lot": each.recipe.lot,
                "delta e": round(each.match.delta_e, 4),
                "hex": each.recipe.colour,
                "lab": _lab(each.recipe.colour),
                "name": colour_name(each.recipe.colour)[0],
                "yarn": each.recipe.yarn,
                "exhaust of": [pot.exhaust_of for pot in each.recipe.pots if pot.exhaust_of],
                "amounts": [
                    {
                        "what": line.what,
                        "grams": plain(line.grams.value),
                        "lacking grams": plain(line.lacking),
                    }
                    for line in each.amounts
                ],
            }
            for each in found
        ],
    }


def _lab(colour: str) -> list[float]:
    return [round(part, 4) for part in lab(colour)]
