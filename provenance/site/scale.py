"""How large works are: to scale on a piece's page, all on one page, on paper for a wall.

In: the public studio and pieces shown. Out: what templates fill in; the outlines' files. A piece
whose size is not known has nothing here.
"""

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import partial
from typing import Any

from provenance.papers.format import Format, format_for
from provenance.papers.walls.outline import has_outline, outline_pdf, sheets_of
from provenance.press.drawings.scale import Drawing, ToScale, measure_drawing, scale_drawing
from provenance.press.drawings.selvedge import gradient
from provenance.public.studio import PublicStudio
from provenance.reference.beside import beside
from provenance.site.shown import Picture, ShownPiece

OUTLINE = "outline.pdf"
ALL_TO_SCALE = "work/to-scale/"


@dataclass(frozen=True, slots=True)
class HowLarge:
    """A piece to scale: the drawing, its sides in mm, sheets and paper of its outline, the photo
    that shows it as large as it is, with the mm that it shows across; the card to hold against."""

    drawing: Drawing
    width: float
    height: float
    sheets: int
    paper: str
    photo: Picture | None
    across: float
    card: tuple[float, float]


def how_large(studio: PublicStudio, piece: ShownPiece) -> HowLarge | None:
    """What the page of a piece shows of its size; None where that is not known."""
    facts, size = piece.facts, piece.card.measures
    if size is None:
        return None
    work = ToScale(size.height, size.width, facts.stripes)
    sheet, card = format_for(studio), beside("card")
    measured = [each for each in piece.pictures if each.across]
    near = sorted(measured, key=lambda each: each.view != "detail")
    photo = near[0] if near else None
    return HowLarge(
        drawing=scale_drawing([work], facts.kind, studio.phrases),
        width=float(size.width * 10), height=float(size.height * 10),
        sheets=sheets_of(piece.card, sheet) if has_outline(piece.card) else 0, paper=sheet.name,
        photo=photo, across=float((photo.across or 0) * 10) if photo else 0.0,
        card=(float(card.width * 10), float(card.height * 10)),
    )  # fmt: skip


def outlines(
    studio: PublicStudio, pieces: Sequence[ShownPiece]
) -> Iterator[tuple[str, tuple[Any, ...], Callable[[], bytes]]]:
    """The outline of each piece that has one: its path, what it comes from, how it is made."""
    sheet = format_for(studio)
    for piece in pieces:
        card = piece.card
        if has_outline(card):  # nothing else is drawn or told there: a new price makes no new one
            told = (card.number, card.title, card.by)
            comes_from = (*told, card.measures, card.hook, sheet.name)
            yield f"{piece.path}{OUTLINE}", comes_from, partial(_outline, studio, piece, sheet)


def _outline(studio: PublicStudio, piece: ShownPiece, sheet: Format) -> bytes:
    return outline_pdf(studio, piece.facts, sheet)


def at_scale(piece: ShownPiece) -> Mapping[str, Any]:
    """What stands for a piece of known size on the page of all: its sides in cm, its yarns as a CSS
    background."""
    size = piece.card.measures
    assert size is not None
    sides = {"width": float(size.width), "height": float(size.height), "size": size}
    return {"it": piece, **sides, "stripes": gradient(piece.card.stripes, "to bottom")}


def all_to_scale(studio: PublicStudio, listed: Sequence[ShownPiece]) -> Mapping[str, Any]:
    """All works whose size is known, by kind, beside a person; and how many others there are."""
    sized = [(piece, piece.card.measures) for piece in listed if piece.card.measures]
    kinds = dict.fromkeys(piece.card.kind for piece, _ in sized)
    return {
        "groups": [(kind, [p for p, _ in sized if p.card.kind == kind]) for kind in kinds],
        "widest": max((float(size.width) for _, size in sized), default=1.0),
        "person": measure_drawing("figure", studio.phrases),
        "others": len(listed) - len(sized),
    }
