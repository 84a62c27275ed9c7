"""What lies under the words of a sheet of tags: selvedges, holes, cuts, perforations, the ruler.

In: a layout and the tags in its cells. Out: one SVG in millimetres. A stripe is drawn down to the
foot and the next one over it, so that no paper shines through between two; in black only, stripes
are outlined and each yarn of a piece has a pattern of its own form.
"""

from collections.abc import Iterator, Mapping, Sequence
from fractions import Fraction

from provenance.papers.tags.form import HOLE_RADIUS, STUB, Form
from provenance.papers.tags.imposition import (
    BLEED,
    RULER,
    STRIP,
    Layout,
    Line,
    cut_marks,
    ruler_start,
)
from provenance.press.drawings.selvedge import forms_of, pattern_name, patterns
from provenance.public.edge import Stripe

INK = "#1f1a17"
PALE = "#8d857c"
HAIR = "0.15"
_PERFORATION = "1.2 0.8"

Box = tuple[Fraction, Fraction, Fraction, Fraction]


def ground_svg(
    layout: Layout, tags: Mapping[int, tuple[Form, Sequence[Stripe]]], *, black: bool
) -> str:
    """The SVG of one sheet; `tags` by cell."""
    pale = "#000" if black else PALE
    parts: list[str] = []
    for cell, (form, stripes) in sorted(tags.items()):
        parts += _tag(layout.corner(cell), form, stripes, black=black)
    lines = [*cut_marks(layout, tags), *_ruler(layout)]
    parts.append(_path(lines, INK if not black else "#000"))
    folds = [line for cell, (form, _) in tags.items() for line in _perforation(layout, cell, form)]
    if folds:
        parts.append(_path(folds, pale, f' stroke-dasharray="{_PERFORATION}"'))
    width, height = _n(layout.sheet_width), _n(layout.sheet_height)
    drawn = (_defs(tags) if black else "") + "".join(parts)
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {width} {height}" '
        f'width="{width}mm" height="{height}mm">{drawn}</svg>'
    )


def _defs(tags: Mapping[int, tuple[Form, Sequence[Stripe]]]) -> str:
    """The patterns of all tags of a sheet, each once."""
    found: dict[str, str] = {}
    for _, stripes in tags.values():
        found |= patterns(forms_of(stripes))
    return f"<defs>{''.join(found.values())}</defs>"


def _tag(
    corner: tuple[Fraction, Fraction], form: Form, stripes: Sequence[Stripe], *, black: bool
) -> Iterator[str]:
    left, top = corner
    wide = BLEED + form.selvedge
    foot = Fraction(0) if form.has_stub else BLEED
    yield from _selvedge((left - BLEED, top, wide, form.height), (BLEED, foot), stripes, black)
    if form.has_stub:
        box = (left - BLEED, top + form.height, wide, STUB)
        yield from _selvedge(box, (Fraction(0), BLEED), stripes, black)
    x, y = form.hole
    yield (
        f'<circle cx="{_n(left + x)}" cy="{_n(top + y)}" r="{_n(HOLE_RADIUS)}" fill="none" '
        f'stroke="{"#000" if black else PALE}" stroke-width="{HAIR}"/>'
    )


def _selvedge(
    box: Box,
    bleed: tuple[Fraction, Fraction],
    stripes: Sequence[Stripe],
    black: bool,  # noqa: FBT001
) -> Iterator[str]:
    left, top, wide, high = box
    end, forms = top + high + bleed[1], forms_of(stripes)
    for number, stripe in enumerate(stripes):
        start = top + high * stripe.start if number else top - bleed[0]
        last = stripe is stripes[-1]
        if black:
            until = end if last else top + high * stripe.end
            name = pattern_name(stripe.colour, forms)
            yield _patterned((left, start, wide, until - start), name)
        else:
            yield (
                f'<rect x="{_n(left)}" y="{_n(start)}" width="{_n(wide)}" '
                f'height="{_n(end - start)}" fill="{stripe.colour}"/>'
            )


def _patterned(box: Box, name: str) -> str:
    left, top, wide, high = map(_n, box)
    return (
        f'<rect x="{left}" y="{top}" width="{wide}" height="{high}" fill="url(#{name})" '
        f'stroke="#000" stroke-width="{HAIR}"/>'
    )


def _perforation(layout: Layout, cell: int, form: Form) -> Iterator[Line]:
    if form.has_stub:
        left, top = layout.corner(cell)
        yield Line(left, top + form.height, left + form.width, top + form.height)


def _ruler(layout: Layout) -> Iterator[Line]:
    """100 mm, a tick at each millimetre, longer ones at five and ten."""
    if not layout.ruler:
        return
    x, y = ruler_start(layout)
    upright = layout.ruler == "upright"
    yield Line(x, y, x, y + RULER) if upright else Line(x, y, x + RULER, y)
    for at in range(int(RULER) + 1):
        tick = STRIP * (6 if at % 10 == 0 else 4 if at % 5 == 0 else 2) / 10
        if upright:
            yield Line(x, y + at, x + tick, y + at)
        else:
            yield Line(x + at, y, x + at, y - tick)


def _path(lines: Sequence[Line], colour: str, more: str = "") -> str:
    drawn = "".join(f"M{_n(a.x1)} {_n(a.y1)}L{_n(a.x2)} {_n(a.y2)}" for a in lines)
    return f'<path d="{drawn}" fill="none" stroke="{colour}" stroke-width="{HAIR}"{more}/>'


def _n(value: Fraction) -> str:
    """A number of millimetres to the thousandth."""
    return f"{float(value):.3f}".rstrip("0").rstrip(".")
