"""Sheets of tags: set tags in, papers to be rendered out.

In: set tags of one or more sizes, and how they are to be laid out. Out: papers of a few sheets
each, in runs of equal size, because a long paper costs more than its parts; `finishing` renders
and joins them.
"""

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date
from fractions import Fraction
from functools import partial
from typing import Any

from provenance.language.phrases import Phrases
from provenance.papers.tags.ground import ground_svg
from provenance.papers.tags.imposition import EDGE, GRIP, Layout, lay_out, places, ruler_start
from provenance.papers.tags.paper import MANY, Paper
from provenance.papers.tags.style import Block
from provenance.papers.tags.typesetting import SetTag, levelled
from provenance.press.codes.qr import Code
from provenance.press.letters.faces import SANS
from provenance.press.letters.measure import width_mm
from provenance.press.pdf.noted import carrying
from provenance.press.templates import render, source
from provenance.problems import Said, WrongWish
from provenance.public.shapes import PaperSize
from provenance.public.studio import PublicStudio

SHEETS_A_PAPER = 8
SHEETS_OF_MANY = 4  # smaller parts, so that no core waits long for the last of another
Coded = tuple[str, int]
_SMALL = Fraction(7)


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


@dataclass(frozen=True, slots=True)
class Slot:
    """A tag to be laid: the size of its cell in millimetres, all that it comes from in short, and
    how it is set, with its code, when its sheet is made."""

    width: Fraction
    height: Fraction
    key: str
    load: Callable[[], tuple[SetTag, Code | None]]


def coded(tag: SetTag) -> Coded:
    """Which code a tag has: small tags and large ones of one piece have each their own."""
    return tag.words.number, tag.form.code_modules


def lay_papers(
    studio: PublicStudio, tags: Sequence[SetTag], codes: Mapping[Coded, Code], how: Imposing
) -> list[Paper]:
    """Papers of a few sheets each, with all tags.

    Slip when a size does not fit or the first cell is not there.
    """
    loads = [partial(_loaded, tag, codes.get(coded(tag))) for tag in tags]
    slots = [Slot(tag.form.width, tag.form.cell_height, "", load)
             for tag, load in zip(tags, loads, strict=True)]  # fmt: skip
    return [plan.paper() for plan in plan_papers(studio, slots, how)]


def _loaded(tag: SetTag, code: Code | None) -> tuple[SetTag, Code | None]:
    return tag, code


def plan_papers(
    studio: PublicStudio, slots: Sequence[Slot], how: Imposing, each: int | None = None
) -> "list[Plan]":
    """The same papers, of so many sheets `each`, none of them made yet."""
    runs = [_run(group, how, is_first=not number) for number, group in enumerate(_by_size(slots))]
    count = sum(len(sheets) for _, sheets in runs)
    plans, before = [], 0
    size = each or (SHEETS_A_PAPER if count < MANY else SHEETS_OF_MANY)
    for layout, sheets in runs:
        for start in range(0, len(sheets), size):
            some = sheets[start : start + size]
            plans.append(Plan(studio, layout, how, before + start, count, some))
        before += len(sheets)
    return plans


@dataclass(frozen=True, slots=True)
class Plan:
    """What goes on one paper: its sheets, as slots by cell."""

    studio: PublicStudio
    layout: Layout
    how: Imposing
    before: int
    count: int
    sheets: list[dict[int, Slot]]

    @property
    def comes_from(self) -> tuple[Any, ...]:
        """All that the paper comes from, but for the studio and its templates."""
        cells = [[(cell, slot.key) for cell, slot in sheet.items()] for sheet in self.sheets]
        return self.layout, self.how, self.before, self.count, cells

    def paper(self) -> Paper:
        """The paper, ready to be rendered."""
        making = _Making(self.studio, self.layout, self.how, self.before, self.count)
        return making.paper(self.sheets)


def _by_size(slots: Sequence[Slot]) -> list[list[Slot]]:
    groups: dict[tuple[Fraction, Fraction], list[Slot]] = {}
    for slot in slots:
        groups.setdefault((slot.width, slot.height), []).append(slot)
    return list(groups.values())


def _run(
    slots: list[Slot], how: Imposing, *, is_first: bool
) -> tuple[Layout, list[dict[int, Slot]]]:
    """The layout of tags of one size, and each of its sheets as slots by cell."""
    layout = lay_out(how.sheet, slots[0].width, slots[0].height)
    first = how.first if is_first else 0
    if first >= layout.per_sheet:
        raise WrongWish(
            Said("tag_slip.no_cell", cell=str(first + 1)),
            Said("tag_slip.cells", last=str(layout.per_sheet)),
        )
    placed = places(len(slots), layout.per_sheet, first, stack=how.stack)
    sheets: list[dict[int, Slot]] = [{} for _ in range(1 + max(sheet for sheet, _ in placed))]
    for slot, (sheet, cell) in zip(slots, placed, strict=True):
        sheets[sheet][cell] = slot
    return layout, sheets


@dataclass(frozen=True, slots=True)
class _Making:
    """Gathers the pictures and the rules of place of one paper while its page is written.

    `before` counts the sheets of earlier papers, `count` those of all.
    """

    studio: PublicStudio
    layout: Layout
    how: Imposing
    before: int
    count: int
    assets: dict[str, bytes | Code] = field(default_factory=dict)
    places: dict[str, str] = field(default_factory=dict)

    def paper(self, sheets: Sequence[Mapping[int, Slot]]) -> Paper:
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

    def _sheet(self, number: int, slots: Mapping[int, Slot]) -> dict[str, Any]:
        loaded = {cell: slot.load() for cell, slot in slots.items()}
        tags = levelled({cell: tag for cell, (tag, _) in loaded.items()})
        name = f"ground-{number}.svg"
        ground = {cell: (tag.form, tag.words.stripes) for cell, tag in tags.items()}
        self.assets[name] = ground_svg(self.layout, ground, black=self.how.black).encode()
        return {
            "ground": name,
            "margin": list(self._margin(self.before + number + 1)),
            "tags": [self._tag(cell, tag, loaded[cell][1]) for cell, tag in sorted(tags.items())],
        }

    def _tag(self, cell: int, tag: SetTag, code: Code | None) -> dict[str, Any]:
        left, top = self.layout.corner(cell)
        form = tag.form
        corner = f"left:{_mm(left)};top:{_mm(top)};width:{_mm(form.width)};"
        told = {
            "place": self._place(corner + f"height:{_mm(form.cell_height)}"),
            "blocks": [self._block(block) for block in tag.blocks],
            "code": "",
        }
        if code:
            name = f"{tag.words.number}.png"
            self.assets[name] = code
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
