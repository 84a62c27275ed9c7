"""The sheet for the press, and the three pictures that go with it.

In: the public studio, a show, its works in hanging order. Out: a page of A4 (Letter) with what a
newspaper asks: what, where, when, a text of a hundred words at most (whole sentences of the room
text), facts, maker, contacts that are public, three pictures with caption, credit and file; beside
it those files, 300 pixels an inch for A5 where the photo has them, each with its credit inside. A
show that is over needs none.
"""

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Any

from provenance.language.phrases import Phrases
from provenance.papers.format import format_for
from provenance.papers.sheets.frame import Paper, Slips
from provenance.press.codes.qr import Code
from provenance.press.drawings.selvedge import bar_svg
from provenance.press.markup import to_plain
from provenance.press.pdf.render import render_pdf
from provenance.press.pictures.credit import credit_of
from provenance.press.pictures.photos import Upright, for_press, for_print, open_photo
from provenance.press.templates import render, source
from provenance.problems import Slip
from provenance.public.edge import stripes_of
from provenance.public.piece import PhotoFacts, PublicPiece
from provenance.public.show import PublicShow
from provenance.public.studio import PublicStudio

PICTURES, WORDS = 3, 100
DPI, LONGER = 300, 2480  # 210 mm, the longer side of A5, at 300 pixels an inch
_WIDE, _HIGH = 52.0, 62.0  # mm that a picture takes on the sheet
_EDGE = (8.0, 297.0)
_SENTENCE = re.compile(r"(?<=[.!?…])\s+")


@dataclass(frozen=True, slots=True)
class Offered:
    """A picture for the press: the work, its photo, the file, its width on the sheet in mm, how
    many pixels it has and how large they print, in words."""

    piece: PublicPiece
    photo: PhotoFacts
    file: str
    width: float
    pixels: str
    content: bytes

    @property
    def alt(self) -> str:
        """Words for those who can't see it."""
        return self.photo.alt or self.piece.title


def press_sheet(
    studio: PublicStudio, show: PublicShow, pieces: tuple[PublicPiece, ...], slips: Slips
) -> list[Paper]:
    """The sheet and its pictures; none for a show that is over, or that has no days yet."""
    if show.first is None or show.state(studio.today) == "past" or not pieces:
        return []
    say = studio.phrases.say
    assets: dict[str, bytes | Code] = {
        "press_sheet.css": source("shows/press_sheet.css", studio.templates)
    }
    offered = list(_offered(studio, pieces, assets, slips))
    content = _sheet(studio, show, pieces, offered, assets)
    pictures = [
        Paper(each.file, each.content, say("press_sheet.picture", number=turn))
        for turn, each in enumerate(offered, 1)
    ]
    return [Paper("press-sheet.pdf", content, say("press_sheet.about")), *pictures]


def _offered(
    studio: PublicStudio, pieces: Sequence[PublicPiece], assets: dict[str, bytes | Code],
    slips: Slips,
) -> Iterator[Offered]:  # fmt: skip
    """The photos of whole works, as many as are asked for; one that can't be read is told."""
    left = PICTURES
    for piece in pieces:
        photo = next((each for each in piece.photos if each.view == "whole"), None)
        if photo is None or not left:
            continue
        try:
            seen = open_photo(studio.folder, photo.path)
            width = min(_WIDE, _HIGH * seen.width / seen.height)
            assets[f"press-{piece.number}.jpg"] = for_print(seen, width)
            content = for_press(seen, LONGER, DPI, credit_of(studio, piece, photo))
        except Slip as slip:
            slips.append((piece.number, photo.file, slip))
            continue
        left -= 1
        told = _pixels(studio.phrases, seen)
        yield Offered(piece, photo, f"press-{piece.number}.jpg", round(width, 2), told, content)


def _pixels(phrases: Phrases, photo: Upright) -> str:
    """How many pixels the file has, and how large that prints."""
    share = min(1.0, LONGER / max(photo.width, photo.height))
    sides = [round(side * share) for side in (photo.width, photo.height)]
    return phrases.say(
        "press_sheet.pixels", pixels=" × ".join(map(str, sides)), dpi=DPI,
        size=" × ".join(f"{side * 25.4 / DPI:.0f}" for side in sides),
    )  # fmt: skip


def hundred_words(text: str) -> str:
    """The first whole sentences of a Markdown text, a hundred words at most; the first one whole,
    however long it is."""
    taken: list[str] = []
    for sentence in _SENTENCE.split(to_plain(text)):
        if taken and sum(len(each.split()) for each in [*taken, sentence]) > WORDS:
            break
        taken.append(sentence)
    return " ".join(taken)


def _sheet(
    studio: PublicStudio,
    show: PublicShow,
    pieces: Sequence[PublicPiece],
    offered: Sequence[Offered],
    assets: dict[str, bytes | Code],
) -> bytes:
    phrases, sheet = studio.phrases, format_for(studio)
    stripes = stripes_of([(s.colour, s.share) for each in pieces for s in each.stripes])
    assets["edge.svg"] = bar_svg(stripes, *_EDGE, upright=True, black=sheet.is_black)
    context = {
        "language": phrases.language, "sheet": sheet.name, "high": sheet.size_mm[1],
        "studio": studio, "show": show, "offered": offered,
        "text": hundred_words(show.words) if show.words else "",
        "facts": list(_facts(studio, show, pieces)),
        "contact": [way for way in (studio.email, studio.phone, _bare(studio.site)) if way],
        "day": phrases.day(studio.today),
        "say": lambda name, /, **values: phrases.say(f"press_sheet.{name}", **values),
    }  # fmt: skip
    html = render("shows/press_sheet.html", context, studio.templates)
    return render_pdf(html, assets, archival=True, created=studio.today)


def _bare(address: str) -> str:
    return address.partition("://")[2].rstrip("/")


def _facts(
    studio: PublicStudio, show: PublicShow, pieces: Sequence[PublicPiece]
) -> Iterator[tuple[str, list[str]]]:
    """Rows of label and lines; what is not recorded has no row."""

    def row(name: str, *lines: str) -> tuple[str, list[str]]:
        return studio.phrases.say(f"press_sheet.{name}"), [line for line in lines if line]

    rows = (
        row("where", show.where, show.street),
        row("when", show.days),
        row("opening", show.opening),
        row("hours", show.hours),
        row("works", _works(studio, pieces)),
        row("dyed_with", _dyes(studio, pieces)),
    )
    yield from (each for each in rows if each[1])


def _works(studio: PublicStudio, pieces: Sequence[PublicPiece]) -> str:
    say, years = studio.phrases.say, sorted({each.year for each in pieces if each.year})
    count = say("show.works", number=len(pieces))
    if not years:
        return count
    told: dict[str, Any] = {"number": count, "first": years[0]}
    if len(years) == 1:
        return say("press_sheet.works_year", **told)
    return say("press_sheet.works_line", last=years[-1], **told)


def _dyes(studio: PublicStudio, pieces: Sequence[PublicPiece]) -> str:
    names = dict.fromkeys(name for each in pieces for name in each.dye_names)
    return studio.phrases.listed([studio.phrases.named("dye", name) for name in names])
