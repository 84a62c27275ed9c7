"""The recipes of the dye book nearest to a colour: how near, with amounts and what the shelf lacks.

In: the studio, a colour (`#8a2f2a`, the name of a lot, an ISCC-NBS name) or a photo, the fibre to
dye. Out: a report with wanted and made colours side by side, in plain words; its data has stable
keys, the standard's names, Lab (D65) and CIEDE2000 to four decimals.
"""

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from functools import partial
from pathlib import Path
from typing import Any

from provenance.figures.colour.match import Match, colour_name, nearest
from provenance.figures.colour.plain import plain_colour
from provenance.figures.colour.space import lab
from provenance.figures.dyes.dosing import RecipeLine, stuff
from provenance.figures.dyes.recipes import PotOf, Recipe, is_weighed, recipes, scaled
from provenance.figures.flow.makeup import colour_of
from provenance.figures.working import half_up, plain
from provenance.problems import SILENCE, Said, Slip, Words, did_you_mean
from provenance.records.book import Book
from provenance.records.quantities import Grams
from provenance.reference.colour_names import centroids
from provenance.reports.report import (
    Cell,
    Column,
    Note,
    Part,
    Report,
    Row,
    Table,
    amount,
    notes,
    numbers,
    rows,
)
from provenance.studio import Studio

SIDE = 256  # pixels along the longer side of a photo that is measured
DETAILED = 3
# How a difference looks, by CIEDE2000: common practice for 1 and 2, the other bounds are ours.
LOOKS = ((1, "same"), (2, "very_close"), (5, "close"), (10, "family"))


@dataclass(frozen=True, slots=True)
class Wanted:
    """The colour asked for, what it was taken from, and the other colours of a photo.

    `on`: how the fibre dyes that it is wanted on; "" where none was named.
    """

    hex: str
    source: Words = SILENCE
    others: tuple[tuple[str, float], ...] = ()
    on: str = ""


@dataclass(frozen=True, slots=True)
class Found:
    """One recipe near the colour, amounts for the weight asked for, what is said of its pots."""

    recipe: Recipe
    match: Match
    amounts: tuple[RecipeLine, ...]
    remarks: tuple[Words, ...] = ()

    @property
    def kind(self) -> str:
        """How the yarn it was made on dyes: wool, silk, cellulose; "" where nobody knows."""
        return self.recipe.kinds[0] if self.recipe.kinds else ""


def weight_to_dye(studio: Studio, text: str) -> Fraction:
    """A weight of fibre as it was typed, in grams; Slip where there is none."""
    if grams := Grams.read(text, studio.habits):
        return Fraction(grams)
    raise Slip(Said("match.nothing_to_dye"), Said("match.write_grams"))


def match_report(studio: Studio, asked: str, grams: Fraction, most: int, *, on: str = "") -> Report:
    """The nearest recipes, amounts of the first few; those dyed on yarn that dyes as `on` first.

    Raises Slip for what is no colour.
    """
    wanted = _wanted(studio, asked, on)
    found = _found(studio, wanted, grams)
    found = sorted(found, key=lambda each: bool(on) and each.kind != on)[:most]
    parts = tuple(_parts(studio.book, wanted, found, grams))
    return Report(parts, data=partial(_data, wanted, found))


def _wanted(studio: Studio, asked: str, on: str) -> Wanted:
    return replace(_colour(studio, asked), on=on)


def _colour(studio: Studio, asked: str) -> Wanted:
    """The colour meant: hex, a photo, a lot or yarn of the studio, or the name of a colour."""
    if found := re.fullmatch(r"#?([0-9A-Fa-f]{6}|[0-9A-Fa-f]{3})", asked.strip()):
        digits = found[1].lower()
        return Wanted("#" + (digits if len(digits) == 6 else "".join(d * 2 for d in digits)))
    for path in (Path(asked), studio.book.folder / "photos" / asked):
        if path.is_file():
            return _of_photo(path)
    if colour := colour_of(studio.book, asked, studio.swatches):
        return Wanted(colour, Said("match.of_lot", lot=asked))
    named = {name.lower(): f"#{digits}" for name, digits in centroids()}
    if found_so := named.get(asked.strip().lower().replace("grey", "gray")):
        return Wanted(found_so, Said("match.of_name"))
    lots = [str(entry.becomes) for bath in studio.book.baths.values() for entry in bath.dyed]
    known = [*lots, *studio.book.yarns, *named]
    raise Slip(Said("match.no_colour", asked=asked), did_you_mean(asked, known))


def _of_photo(path: Path) -> Wanted:
    from provenance.figures.colour.photo import palette, pixels_of, swatch_colour
    from provenance.press.pictures.photos import open_photo, pixels

    raw = pixels_of(*pixels(open_photo(path.absolute().parent, path.name), SIDE))
    source = Said("match.of_photo", photo=path.name)
    return Wanted(swatch_colour(raw), source, tuple(palette(raw, 5)))


def _found(studio: Studio, wanted: Wanted, grams: Fraction) -> list[Found]:
    """Every recipe of the dye book, nearest first, scaled to the weight of fibre."""
    book = studio.book
    known = {recipe.lot: recipe for recipe in recipes(book, studio.swatches)}
    near = nearest(wanted.hex, [(name, recipe.colour) for name, recipe in known.items()])
    return [_worked(studio, known[match.name], match, grams) for match in near]


def _worked(studio: Studio, recipe: Recipe, match: Match, grams: Fraction) -> Found:
    said = (remark for pot in recipe.pots for remark in studio.remarks_on(pot.bath))
    amounts = scaled(studio.book, studio.flow, recipe, grams)
    return Found(recipe, match, amounts, tuple(dict.fromkeys(said)))


def _parts(book: Book, wanted: Wanted, found: Sequence[Found], grams: Fraction) -> Iterator[Part]:
    said = Said("match.colour", hex=wanted.hex, name=plain_colour(wanted.hex))
    if wanted.source:
        said = Said("match.colour_from", **dict(said.pairs), source=wanted.source)
    yield Note(said, colours=(wanted.hex,), lead=Said("match.wanted"))
    for colour, share in wanted.others:
        part = f"{plain(half_up(Fraction(share) * 100, 0))} %"
        said = Said("match.of_the_photo", hex=colour, name=plain_colour(colour), share=part)
        yield Note(said, colours=(colour,))
    if not found:
        yield Note(Said("match.no_recipe"), is_apart=True, is_set_in=False)
        return
    yield _nearest(wanted, found)
    for each in found[:DETAILED]:
        yield from _recipe(book, wanted, each, grams)


def looks(delta_e: float) -> Said:
    """A difference in words."""
    return Said(f"match.{next((word for most, word in LOOKS if delta_e < most), 'another')}")


def _nearest(wanted: Wanted, found: Sequence[Found]) -> Table:
    columns = (
        Column(Said("match.side_by_side")),
        Column(Said("match.lot"), whole=True),
        Column(Said("match.how_near"), whole=True, grows=True),
        Column(Said("match.colour_heading"), least=80, grows=True),
        *((Column(Said("match.dyed_on"), whole=True),) if wanted.on else ()),
        *numbers(Said("match.apart")),
    )
    lines = [
        (
            Cell(colours=(wanted.hex, each.recipe.colour)),
            each.recipe.lot,
            looks(each.match.delta_e),
            Said("match.named", name=plain_colour(each.recipe.colour), hex=each.recipe.colour),
            *((_pot(each.kind),) if wanted.on else ()),
            str(half_up(Fraction(each.match.delta_e), 1)),
        )
        for each in found
    ]
    words = [Said("match.apart_words")]
    holding = [each.kind == wanted.on for each in found]
    if wanted.on and not all(holding):
        key = "match.on_words" if any(holding) else "match.none_on"
        words.append(Said(key, fibre=_pot(wanted.on)))
    return Table(columns, rows(*lines), notes(*words, style="dim"), narrow=5)


def _pot(kind: str) -> Said:
    """How a yarn dyes, in words: wool; silk; cotton and linen."""
    return Said(f"pot.{kind}") if kind else Said("match.unknown_fibre")


def _worked_out_for(kind: str, on: str) -> Said | None:
    """What fibre a recipe was worked out for, and what to do on another."""
    if on and kind != on:
        how = Said(f"match.to_{on}")
        return Said("match.elsewhere", made=_pot(kind), wanted=_pot(on), how=how)
    return Said(f"match.made_for_{kind}") if kind and not on else None


def _recipe(book: Book, wanted: Wanted, found: Found, grams: Fraction) -> Iterator[Part]:
    recipe = found.recipe
    title = Said("match.recipe", lot=recipe.lot, grams=amount(grams, "g"))
    yield Note(title, "bold", is_apart=True, is_set_in=False)
    if natural := recipe.yarn_colour:
        yield Note(Said("match.made_on", yarn=recipe.yarn, name=plain_colour(natural), hex=natural))
    if said := _worked_out_for(found.kind, wanted.on):
        yield Note(said, "bold" if wanted.on else "dim")
    yield from (Note(said) for said in found.remarks)
    lines = iter(found.amounts)
    for pot in recipe.pots:
        key = "match.bath_after" if pot.exhaust_of else "match.bath"
        yield Note(Said(key, bath=pot.bath, first=pot.exhaust_of))
        yield _amounts(book, pot, lines)
    lacking = tuple(
        Said("match.grams_of", grams=amount(line.lacking, "g"), lot=stuff(line.what))
        for line in found.amounts
        if line.lacking and is_weighed(book, line.what)
    )
    if lacking:
        yield Note(Said("match.lacks", lots=lacking), "bold")


def _amounts(book: Book, pot: PotOf, lines: Iterator[RecipeLine]) -> Table:
    """What goes into one bath, and under it how each step was done."""
    found: list[Row] = []
    for turn, done in enumerate(pot.steps):
        doses = [dose for dose in pot.doses if dose.step == turn]
        found += rows(*(_dosed(book, next(lines)) for _ in doses), depth=1)
        found += rows((done,), style="dim", depth=2) if done else ()
    words = ("grams", "on_the_shelf", "lacking")
    columns = (Column(), *numbers(*(Said(f"match.{word}") for word in words)))
    return Table(columns, tuple(found), narrow=6, is_apart=False)


def _dosed(book: Book, line: RecipeLine) -> tuple[Words, ...]:
    grams = plain(line.grams.value, 1)
    if not is_weighed(book, line.what):
        return stuff(line.what), grams, Said("match.not_weighed"), ""
    lacks = plain(line.lacking, 1) if line.lacking else ""
    return stuff(line.what), grams, plain(line.on_shelf, 1), lacks


def _data(wanted: Wanted, found: Sequence[Found]) -> dict[str, Any]:
    told = [_found_data(each) for each in found]
    for each, data in zip(found, told, strict=True):
        data |= {"holds": each.kind == wanted.on} if wanted.on else {}
    return {"colour": _colour_data(wanted.hex), "recipes": told}


def _colour_data(colour: str) -> dict[str, Any]:
    placed = [round(part, 4) for part in lab(colour)]
    return {"hex": colour, "lab": placed, "name": colour_name(colour)[0]}


def _found_data(found: Found) -> dict[str, Any]:
    recipe = found.recipe
    return {
        "lot": recipe.lot,
        "delta e": round(found.match.delta_e, 4),
        **_colour_data(recipe.colour),
        "yarn": recipe.yarn,
        "dyes as": list(recipe.kinds),
        "remarks": list(found.remarks),
        "exhaust of": [pot.exhaust_of for pot in recipe.pots if pot.exhaust_of],
        "amounts": [
            {
                "what": line.what,
                "grams": plain(line.grams.value),
                "lacking grams": plain(line.lacking),
            }
            for line in found.amounts
        ],
    }
