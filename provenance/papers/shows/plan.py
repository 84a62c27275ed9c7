"""The hanging plan: each wall to scale, and a list to hang by, for a person with tape and pencil.

In: the public studio, a show, its pieces. Out: a PDF, A4 or Letter across: a page for each wall
with its works' own pictures, cut to the cloth, then a list with every measure. Where the cloth
can't be told from its wall in the photo, its edge stands in its place. A show without walls has
none.
Measures are exact and rounded once, to the millimetre. What is common practice or from memory is
called so on the paper.
"""

from collections.abc import Iterator, Mapping, Sequence
from fractions import Fraction
from typing import Any

from provenance.language.measures import inches
from provenance.language.phrases import Phrases
from provenance.papers.format import Format, format_for
from provenance.papers.sheets.frame import Paper
from provenance.papers.shows.plan_drawing import LABEL_AT, Drawing, Drawn, drawings
from provenance.papers.shows.works import Assets, as_hung
from provenance.press.drawings.selvedge import bar_svg
from provenance.press.pdf.render import render_pdf
from provenance.press.templates import render, source
from provenance.problems import Slip
from provenance.public.edge import stripes_of
from provenance.public.names import capital
from provenance.public.piece import PublicPiece
from provenance.public.show import (
    FIXINGS,
    SAFETY,
    Hung,
    PublicShow,
    PublicWall,
    to_millimetre,
)
from provenance.public.studio import PublicStudio

NAME = "hanging-plan.pdf"
MARGIN = 18.0  # mm at the sides
_HEAD, _FOOT = 57.0, 42.0  # mm above and below the wall: words, measures, ticks, margins
_EDGE_MM = 4.0
_NARROW = 125.0  # mm: beside a narrower drawing its measures are told large
_MOST_BESIDE = 2  # works that have room there
Slips = list[tuple[str, str, Slip]]


def hanging_plan(
    studio: PublicStudio, show: PublicShow, pieces: tuple[PublicPiece, ...], slips: Slips
) -> Sequence[Paper]:
    """The plan, where any wall is known."""
    walls = [wall for wall in show.walls if wall.works]
    if not walls:
        return ()
    sheet, facts = format_for(studio), {each.number: each for each in pieces}
    high, wide = sheet.size_mm
    room = wide - 2 * MARGIN, high - _HEAD - _FOOT
    assets: Assets = {"plan.css": source("shows/plan.css", studio.templates)}
    pages = [
        _page(studio, facts, drawing, assets, slips)
        for wall in walls
        for drawing in drawings(wall, room)
    ]
    context = _context(studio, show, sheet) | {
        "pages": pages,
        "lists": [_list(studio.phrases, facts, wall) for wall in walls],
        "loose": _without_wall(show, facts),
        "silent": [facts[n] for n in _hung(walls) if facts[n].hook is None],
    }
    for number in _hung(walls):
        strip = bar_svg(facts[number].stripes, 16, 3.2, upright=False, black=sheet.is_black)
        assets[f"strip-{number}.svg"] = strip
    html = render("shows/plan.html", context, studio.templates)
    content = render_pdf(html, assets, archival=True, created=studio.today)
    return (Paper(NAME, content, studio.phrases.say("plan.about")),)


def _context(studio: PublicStudio, show: PublicShow, sheet: Format) -> dict[str, Any]:
    phrases = studio.phrases
    return {
        "language": phrases.language, "sheet": sheet.name, "margin": MARGIN,
        "studio": studio.name, "maker": studio.maker, "show": show,
        "title": f"{phrases.say('plan.about')}, {show.title}",
        "where": ", ".join(part for part in (show.where, show.days) if part),
        "printed": phrases.day(studio.today),
        "say": lambda name, **values: phrases.say(f"plan.{name}", **values),
        "label": lambda name: phrases.say(f"label.{name}"),
        "capital": capital,
        "length": lambda length: told_length(phrases, length),
        "long": lambda length: with_unit(phrases, length),
        "label_at": LABEL_AT, "safety": SAFETY, "fixings": FIXINGS,
    }  # fmt: skip


def told_length(phrases: Phrases, length: Fraction) -> str:
    """A length to the millimetre without its unit, so that a column can be read down: 97.5, 214.0;
    in inches to the eighth for an American tape."""
    if phrases.is_american:
        return inches(length)
    told = str(to_millimetre(length))
    return told.replace(".", ",") if phrases.has_comma else told


def with_unit(phrases: Phrases, length: Fraction) -> str:
    """A length in a sentence: 620 cm."""
    if phrases.is_american:
        return f"{inches(length)} in"
    return f"{phrases.ungrouped(Fraction(to_millimetre(length)), 1)} cm"


def _hung(walls: Sequence[PublicWall]) -> Iterator[str]:
    for wall in walls:
        yield from (work.number for work in wall.works)


def _without_wall(show: PublicShow, facts: Mapping[str, PublicPiece]) -> tuple[PublicPiece, ...]:
    on_walls = set(_hung(show.walls))
    return tuple(facts[number] for number in show.numbers if number not in on_walls)


def _page(
    studio: PublicStudio,
    facts: Mapping[str, PublicPiece],
    drawing: Drawing,
    assets: Assets,
    slips: Slips,
) -> dict[str, Any]:
    """One wall, or a part of it."""
    wall, black = drawing.wall, format_for(studio).is_black
    works = [_work(studio, facts[each.work.number], each, assets, slips) for each in drawing.works]
    edge = f"edge-{len(assets)}.svg"
    parts = [
        (stripe.colour, stripe.share * each.work.width)
        for each in drawing.works
        for stripe in facts[each.work.number].stripes
    ]
    assets[edge] = bar_svg(stripes_of(parts), 261, _EDGE_MM, upright=False, black=black)
    return {
        "drawing": drawing, "wall": wall, "works": works, "edge": edge,
        "said": _said(studio.phrases, drawing),
        "names": drawing.names({number: each.title for number, each in facts.items()}),
        "light": light_line(studio.phrases, facts, wall),
        "is_narrow": drawing.width < _NARROW and len(works) <= _MOST_BESIDE,
    }  # fmt: skip


def _work(
    studio: PublicStudio, piece: PublicPiece, drawn: Drawn, assets: Assets, slips: Slips
) -> dict[str, Any]:
    picture = as_hung(studio, piece, (drawn.width, drawn.height), assets, slips)
    told = holds(studio.phrases, drawn.work)
    return {"piece": piece, "at": drawn, "picture": picture, "holds": told}


def _said(phrases: Phrases, drawing: Drawing) -> str:
    """What the drawing is, in a line."""
    wall = drawing.wall
    equal = "gaps_equal" if wall.is_equal else "gaps_own"
    parts = [phrases.say("plan.drawn", width=with_unit(phrases, wall.width), scale=drawing.scale)]
    if any(drawing.goes_on):
        ends = {"start": with_unit(phrases, drawing.start), "end": with_unit(phrases, drawing.end)}
        parts.append(phrases.say("plan.part", **ends))
    parts.append(phrases.say("plan.middle_at", height=with_unit(phrases, wall.centre)))
    parts.append(phrases.say(f"plan.{equal}", gap=with_unit(phrases, wall.gaps[0])))
    unit = "measures_in" if phrases.is_american else "measures_cm"
    return " ".join([*parts, phrases.say(f"plan.{unit}")])


def light_line(phrases: Phrases, facts: Mapping[str, PublicPiece], wall: PublicWall) -> str:
    """How much light the wall may have, and for whose sake."""
    piece = facts[wall.most_sensitive]
    if not wall.sensitivity:
        told = {"number": piece.number, "title": piece.title}
        return phrases.say("plan.lux_unknown", lux=wall.lux, **told)
    level = phrases.say(f"sensitivity.{wall.sensitivity}")
    told = {"number": piece.number, "title": piece.title, "level": level}
    return phrases.say("plan.lux", lux=wall.lux, **told)


def holds(phrases: Phrases, work: Hung) -> str:
    """What each fixing of a work must hold: 1.59 kg; '' where its weight is not known."""
    return phrases.mass(work.holds) if work.holds else ""


def _list(phrases: Phrases, facts: Mapping[str, PublicPiece], wall: PublicWall) -> dict[str, Any]:
    """The rows of a wall: every measure of every work."""
    rows = [
        {"piece": facts[work.number], "at": work, "gap": gap, "holds": holds(phrases, work)}
        for work, gap in zip(wall.works, wall.gaps[1:], strict=True)
    ]  # fmt: skip
    return {"wall": wall, "rows": rows, "light": light_line(phrases, facts, wall)}
