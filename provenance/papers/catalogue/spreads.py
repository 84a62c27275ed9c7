"""What stands on the spreads of one work: its plate, its entry, the page closer by.

In: an entry, the trim, the maker of pictures. Out: `Spread`s for the template. Whether a story
finds room beside the facts is measured before (letters as the fonts have them), so that the book is
laid out once: where it does not, it stands on the next left page, facing the page closer by, and no
side of any sheet is left empty.
"""

import re
from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction

from provenance.language.phrases import Phrases
from provenance.papers.catalogue.pictures import Box, Picture, Pictures
from provenance.papers.catalogue.scheme import Row, rows_of
from provenance.papers.catalogue.trim import STRIP_MM, Trim
from provenance.papers.certificates.ribbons import gathered
from provenance.press.drawings.lineage import draw_wide
from provenance.press.drawings.selvedge import bar_svg
from provenance.press.letters.faces import SANS, SERIF
from provenance.press.letters.measure import POINT, lines_of
from provenance.press.markup import to_html, to_plain
from provenance.public.catalogue import Entry

# Sizes in the letters of the book, as the style has them.
FACT, FACT_LINE, FACT_GAP = 0.92, 1.36, 0.22
STORY, STORY_LINE, STORY_GAP = 1.08, 1.44, 0.55
TITLE, TITLE_LINE = 2.3, 1.14
HEAD, BEFORE_STORY, FOOT = 3.5, 1.9, 2.4
LABEL = 7.3
_SPARE = 1.02  # letters are measured without hyphens and without what a justifier does
CAPTION_MM = 9.0
RIBBON_PT = 8.05
_LOTS = (99, 14, 10, 7)
_MOST_RIBBON = 0.36  # of the page's depth
_CLOSER_HEAD, _GAP_MM, _UNDER_MM = 3.6, 5.0, 6.0


@dataclass(frozen=True, slots=True)
class Ribbon:
    """The lineage drawing: its file, words, sides in millimetres."""

    file: str
    alt: str
    width: float
    height: float


@dataclass(frozen=True, slots=True)
class View:
    """Another photo of a work, among those at the end of the part."""

    entry: Entry
    picture: Picture


@dataclass(frozen=True, slots=True)
class Spread:
    """One work in the book. `plate` is None where it is a text entry; `rise` is the white above the
    plate; `is_long` where its story stands on a page of its own."""

    entry: Entry
    rows: tuple[Row, ...]
    story: str
    plate: Picture | None
    rise: float
    strip: str
    is_long: bool
    detail: Picture | None
    ribbon: Ribbon | None
    views: tuple[View, ...]

    @property
    def is_closer(self) -> bool:
        """Whether it has a page closer by."""
        return bool(self.detail or self.ribbon)


class Setter:
    """Sets works one after another; `closer` pages come after the plates, in the same order."""

    def __init__(self, trim: Trim, pictures: Pictures) -> None:
        self.trim, self.pictures = trim, pictures
        self.phrases: Phrases = pictures.studio.phrases

    def spread(self, entry: Entry) -> Spread:
        """Everything of one work."""
        rows = rows_of(entry, self.phrases)
        plate = self._plate(entry)
        story = to_html(entry.piece.story, demote_headings=3) if entry.piece.story else ""
        rise = (self._plate_box[1] - plate.height) * 0.42 if plate else 0.0
        ribbon = self._ribbon(entry)
        detail, views = self._others(entry, ribbon.height if ribbon else 0.0)
        is_long = bool(plate and (detail or ribbon) and self._is_long(entry, rows))
        return Spread(entry, rows, story, plate, rise, self._strip(entry), is_long, detail, ribbon,
                      views)  # fmt: skip

    @property
    def _plate_box(self) -> Box:
        trim = self.trim
        return trim.measure, trim.depth - CAPTION_MM

    def _plate(self, entry: Entry) -> Picture | None:
        whole = [photo for photo in entry.piece.photos if photo.view == "whole"]
        made = (self.pictures.put(entry, photo, self._plate_box) for photo in whole)
        return next(filter(None, made), None)

    def _strip(self, entry: Entry) -> str:
        """The edge of a work, as wide as it lies along the fore-edge, bleed and all."""
        if not entry.piece.stripes:
            return ""
        trim, name = self.trim, f"strip-{entry.piece.number}.svg"
        width, height = STRIP_MM + trim.bleed, trim.height + 2 * trim.bleed
        self.pictures.files[name] = bar_svg(entry.piece.stripes, width, height, upright=True)
        return name

    def _is_long(self, entry: Entry, rows: Sequence[Row]) -> bool:
        """Whether facts and story together are higher than a page."""
        title = len(_lines(entry.piece.title, (SERIF, 400), TITLE, self._room(5.2), self.trim))
        high = HEAD + title * TITLE * TITLE_LINE + BEFORE_STORY + FOOT
        for row in rows:
            facts = sum(self._fact_lines(line) for line in row.lines)
            high += facts * FACT * FACT_LINE + FACT_GAP
        for paragraph in entry.piece.story.split("\n\n"):
            told = to_plain(paragraph)
            lines = len(_lines(told, (SERIF, 400), STORY, self.trim.prose, self.trim))
            high += lines * STORY * STORY_LINE + STORY_GAP
        return high * _SPARE * self.trim.em > self.trim.depth

    def _room(self, ems: float) -> float:
        return self.trim.measure - ems * self.trim.em

    def _fact_lines(self, line: str) -> int:
        return len(
            _lines(re.sub("<[^>]+>", "", line), (SANS, 400), FACT, self._room(LABEL), self.trim)
        )

    def _others(self, entry: Entry, taken: float) -> tuple[Picture | None, tuple[View, ...]]:
        """The photos beside the plate: the first stands over the ribbon, which has `taken` so much
        of the page; the others two to a page."""
        trim, whole = self.trim, [p for p in entry.piece.photos if p.view == "whole"]
        others = [photo for photo in entry.piece.photos if photo not in whole[:1]]
        others.sort(key=lambda photo: photo.view != "detail")
        high = trim.depth - _CLOSER_HEAD * trim.em - taken - 2 * _UNDER_MM
        detail, views = None, list[View]()
        for photo in others:
            box = (trim.measure, high if detail is None else trim.depth / 2 - CAPTION_MM - _GAP_MM)
            picture = self.pictures.put(entry, photo, box)
            if picture and detail is None:
                detail = picture
            elif picture:
                views.append(View(entry, picture))
        return detail, tuple(views)

    def _ribbon(self, entry: Entry) -> Ribbon | None:
        """Its lineage, with words of eight points; of many lots the lightest are gathered."""
        if not entry.piece.tree.twigs:
            return None
        em = float(Fraction(str(RIBBON_PT)) * POINT)
        most = self.trim.depth * _MOST_RIBBON
        for lots in _LOTS:
            for run_in in (False, True):
                tree = gathered(entry.piece.tree, lots, self.phrases)
                svg = draw_wide(tree, self.trim.measure / em, "#000", run_in=run_in)
                high = float(svg.split('viewBox="', 1)[1].split('"', 1)[0].split()[3]) * em
                if high <= most or (lots == _LOTS[-1] and run_in):
                    name = f"ribbon-{entry.piece.number}.svg"
                    self.pictures.files[name] = svg.encode()
                    return Ribbon(name, entry.piece.tree.words, self.trim.measure, round(high, 2))
        return None


def _lines(
    text: str, face: tuple[str, int], size: float, room: float, trim: Trim
) -> tuple[str, ...]:
    """Lines of a text in letters of so many ems of the book."""
    points = Fraction(str(round(size * trim.base, 3)))
    return lines_of(text, face, points, Fraction(str(round(room, 2))))
