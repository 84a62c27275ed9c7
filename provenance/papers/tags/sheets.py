"""Sheets of tags: set tags in, the bytes of one PDF out.

In: set tags of one or more sizes, and how they are to be laid out. Out: a PDF of sheets, in runs
of equal size. Sheets are made into papers of a few sheets each, because a long paper costs more
than its parts, and these are rendered on all cores when there are many; the parts are joined and
every code is read back from the joined file.
"""

from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date
from fractions import Fraction
from typing import Any

from provenance.language.phrases import Phrases
from provenance.papers.tags.ground import ground_svg
from provenance.papers.tags.imposition import EDGE, GRIP, Layout, lay_out, places, ruler_start
from provenance.papers.tags.rendering import MANY, Paper
from provenance.papers.tags.style import Block
from provenance.papers.tags.typesetting import SetTag
from provenance.press.codes.qr import Code
from provenance.press.letters.fonts import SANS
from provenance.press.letters.measure import width_mm
from provenance.press.pdf.codes import check_codes
from provenance.press.pdf.joining import joined
from provenance.press.pdf.noted import carrying
from provenance.press.templates import render, source
from provenance.problems import Said, WrongWish
from provenance.public.shapes import PaperSize
from provenance.public.studio import PublicStudio

SHEETS_A_PAPER = 8
SHEETS_OF_MANY = 4  # smaller parts, so that no core waits long for the last of another
_SMALL = Fraction("6.25")


@dataclass(frozen=True, slots=True)
class Imposing:
    """How tags are put on sheets; `first` is the cell to start at, from 0; shift right and down.

    `day` is written into the file, and into the margin where that is wished for; `noted` is what
    the file carries of the list of printed numbers.
    """

    sheet: PaperSize
    shift: tuple[Fraction, Fraction]
    first: int
    stack: bool
    black: bool
    heading: str
    day: date
    tells_day: bool = True
    noted: str = ""


Rendering = Callable[[Sequence[Paper]], Iterable[tuple[bytes, bool]]]


def make_sheets(
    studio: PublicStudio,
    tags: Sequence[SetTag],
    codes: Mapping[str, Code],
    how: Imposing,
    rendering: Rendering,
) -> tuple[bytes, int]:
    """The finished file and how many sheets it has.

    `rendering` gives each paper as PDF, and whether it is fresh: what was read back when it was
    kept is not read again. Slip when a size does not fit or the first cell is not there.
    """
    runs = [_run(group, how, is_first=not number) for number, group in enumerate(_by_size(tags))]
    count = sum(len(sheets) for _, sheets in runs)
    papers, before = [], 0
    size = SHEETS_A_PAPER if count < MANY else SHEETS_OF_MANY
    for layout, sheets in runs:
        for start in range(0, len(sheets), size):
            some = sheets[start : start + size]
            making = _Making(studio, layout, codes, how, before + start, count)
            papers.append(making.paper(some))
        before += len(sheets)
    done = list(rendering(papers))
    content = joined([each for each, _ in done])
    if len(papers) > 1:
        _read_back(content, papers, [is_fresh for _, is_fresh in done])
    return content, count


def _read_back(content: bytes, papers: Sequence[Paper], fresh: Sequence[bool]) -> None:
    """Every code of a fresh paper is read once more where the papers lie together."""
    pages, codes, before = set[int](), list[Code](), 0
    for paper, is_fresh in zip(papers, fresh, strict=True):
        if is_fresh:
            pages.update(range(before + 1, before + paper.sheets + 1))
            codes += paper.codes
        before += paper.sheets
    check_codes(content, codes, pages)


def _by_size(tags: Sequence[SetTag]) -> list[list[SetTag]]:
    groups: dict[tuple[Fraction, Fraction], list[SetTag]] = {}
    for tag in tags:
        groups.setdefault((tag.form.width, tag.form.cell_height), []).append(tag)
    return list(groups.values())


def _run(
    tags: list[SetTag], how: Imposing, *, is_first: bool
) -> tuple[Layout, list[dict[int, SetTag]]]:
    """The layout of tags of one size, and each of its sheets as tags by cell."""
    layout = lay_out(how.sheet, tags[0].form.width, tags[0].form.cell_height)
    first = how.first if is_first else 0
    if first >= layout.per_sheet:
        raise WrongWish(
            Said("tag_slip.no_cell", cell=str(first + 1)),
            Said("tag_slip.cells", last=str(layout.per_sheet)),
        )
    placed = places(len(tags), layout.per_sheet, first, stack=how.stack)
    sheets: list[dict[int, SetTag]] = [{} for _ in range(1 + max(sheet for sheet, _ in placed))]
    for tag, (sheet, cell) in zip(tags, placed, strict=True):
        sheets[sheet][cell] = tag
    return layout, sheets


@dataclass(frozen=True, slots=True)
class _Making:
    """Gathers the pictures and the rules of place of one paper while its page is written.

    `before` counts the sheets of earlier papers, `count` those of all.
    """

    studio: PublicStudio
    layout: Layout
    codes: Mapping[str, Code]
    how: Imposing
    before: int
    count: int
    assets: dict[str, bytes | Code] = field(default_factory=dict)
    places: dict[str, str] = field(default_factory=dict)

    def paper(self, sheets: Sequence[Mapping[int, SetTag]]) -> Paper:
        """The page of some sheets, with everything it asks for."""
        context = {
            "language": self.studio.phrases.language,
            "title": self.how.heading,
            "black": self.how.black,
            "sheets": [self._sheet(number, tags) for number, tags in enumerate(sheets)],
        }
        templates = self.studio.templates
        html = render("tags/sheet.html", context, templates)
        html = html if self.before else carrying(html, self.how.noted)
        self.assets["sheet.css"] = source("tags/sheet.css", templates)
        self.assets["places.css"] = self._rules().encode()
        return Paper(html, self.assets, self.how.day, len(sheets))

    def _rules(self) -> str:
        layout, (right, down) = self.layout, self.how.shift
        size = f"width:{_mm(layout.sheet_width)};height:{_mm(layout.sheet_height)}"
        rules = [
            f"@page{{size:{_mm(layout.sheet_width)} {_mm(layout.sheet_height)};margin:0}}",
            f".sheet,.shifted,.ground{{{size}}}",
            f".shifted{{left:{_mm(right)};top:{_mm(down)}}}",
            *(f".{name}{{{rule}}}" for rule, name in self.places.items()),
        ]
        return "\n".join(rules)

    def _sheet(self, number: int, tags: Mapping[int, SetTag]) -> dict[str, Any]:
        name = f"ground-{number}.svg"
        ground = {cell: (tag.form, tag.words.stripes) for cell, tag in tags.items()}
        self.assets[name] = ground_svg(self.layout, ground, black=self.how.black).encode()
        return {
            "ground": name,
            "margin": list(self._margin(self.before + number + 1)),
            "tags": [self._tag(cell, tag) for cell, tag in sorted(tags.items())],
        }

    def _tag(self, cell: int, tag: SetTag) -> dict[str, Any]:
        left, top = self.layout.corner(cell)
        form = tag.form
        corner = f"left:{_mm(left)};top:{_mm(top)};width:{_mm(form.width)};"
        told = {
            "place": self._place(corner + f"height:{_mm(form.cell_height)}"),
            "blocks": [self._block(block) for block in tag.blocks],
            "code": "",
        }
        if tag.words.has_code:
            name = f"{tag.words.number}.png"
            self.assets[name] = self.codes[tag.words.number]
            side = f"width:{_mm(form.code_side)};height:{_mm(form.code_side)}"
            place = f"left:{_mm(form.code_left)};top:{_mm(form.code_top)};{side}"
            told |= {"code": name, "code_place": self._place(place)}
        return told

    def _block(self, block: Block) -> dict[str, str]:
        rule = (
            f"left:{_mm(block.x)};top:{_mm(block.top)};width:{_mm(block.width)};"
            f"font-size:{_n(block.size)}pt;line-height:{_mm(block.leading)}"
        )
        rule += ";text-align:right" if block.is_right else ""
        return {"role": block.role, "place": self._place(rule), "text": "\n".join(block.lines)}

    def _place(self, rule: str) -> str:
        return self.places.setdefault(rule, f"p{len(self.places)}")

    def _margin(self, number: int) -> Iterator[dict[str, str]]:
        """The words in the margin: which sheet this is, and how to print it."""
        say, layout = self.studio.phrases, self.layout
        if layout.ruler:
            x, y = ruler_start(layout)
            rule = f"font-size:{_n(_SMALL)}pt;line-height:3mm;height:3mm;width:100mm;"
            if layout.ruler == "upright":
                rule += f"left:{_mm(x + 3)};top:{_mm(y + 103)};"
                rule += "transform-origin:0 0;transform:rotate(90deg)"
            else:
                rule += f"left:{_mm(x + 103)};top:{_mm(y - 3)}"
            yield {"text": say.say("tag.ruler"), "place": self._place(rule)}
        day = self.how.day if self.how.tells_day else None
        words = _sheet_words(say, self.how.heading, (number, self.count), day)
        room = layout.cell_width - 3
        fitting = next((w for w in words if width_mm(w, (SANS, 400), _SMALL) <= room), None)
        if fitting and layout.top >= EDGE:
            rule = f"font-size:{_n(_SMALL)}pt;line-height:3mm;width:{_mm(room)};"
            rule += f"left:{_mm(layout.left + Fraction(3, 2))};top:{_mm(layout.top - EDGE + GRIP)}"
            yield {"text": fitting, "place": self._place(rule)}


def _sheet_words(
    say: Phrases, heading: str, numbers: tuple[int, int], day: date | None
) -> list[str]:
    """From whole to short: what, which sheet of how many, when."""
    sheet = say.say("tag.sheet", number=numbers[0], count=numbers[1])
    whole = [f"{heading}, {sheet}, {say.day(day)}"] if day else []
    return [*whole, f"{heading}, {sheet}", sheet]


def _n(value: Fraction) -> str:
    return f"{float(value):.4f}".rstrip("0").rstrip(".")


def _mm(value: Fraction) -> str:
    return f"{_n(value)}mm"
