"""Door, sofa, table, person, hand and sheet of paper as quiet line drawings, a unit a centimetre.

In: a row of the table of things. Out: SVG shapes from their upper left corner, without colour:
whoever draws them sets the line. A person is a plain outline, of nobody in particular.
"""

from collections.abc import Callable

from provenance.reference.beside import Beside

_FRAME, _HANDLE_OVER_FLOOR = 7, 100
_ARM, _SEAT, _FOOT = 20, 45, 9
_CHAIR, CHAIRS = 44, 25.0  # a chair's width; how far chairs reach beyond the table


def shapes(thing: Beside) -> str:
    """Its lines."""
    return _DRAWN[thing.name](float(thing.width), float(thing.height))


def _door(wide: float, high: float) -> str:
    """The leaf, which is what is measured, in its frame."""
    out, at = _FRAME, high - _HANDLE_OVER_FLOOR
    frame = f"M{-out} {high:g}V{-out}H{wide + out:g}V{high:g}"
    lever = f"M{wide - 6:g} {at:g}h-11"
    rose = f'<circle cx="{wide - 6:g}" cy="{at:g}" r="2.4"/>'
    return f'{_box(0, 0, wide, high)}<path d="{frame}{lever}"/>{rose}'


def _figure(_wide: float, _high: float) -> str:
    """A standing person: one half from the crown to the feet, and the same mirrored."""
    half = (
        "M18.4 20.2C15.8 18 14.2 13.4 14.4 9.4C14.7 3.4 18 0 22 0M18.4 20.2L18.3 23.6"
        "C18.2 25.4 16.4 26.2 14 27C8.6 28.8 6.2 30.6 5.4 36.4L3.2 60L1.6 80C1.4 84.6 4.2 86.4"
        " 5.6 83.2C6.2 81.8 6.2 80 6.6 78L9.6 52.6C10.4 60 10 66 8.8 74C8 82 8.6 98 10.6 124"
        "L12.4 159C12.4 162 10.2 162.4 10.2 164C10.2 165 11 165 12 165H18.6C19.6 165 20 164.4"
        " 20 163.2L21.2 124L22 88"
    )
    mirrored = f'<g transform="matrix(-1 0 0 1 44 0)"><path d="{half}"/></g>'
    return f'<path d="{half}"/>{mirrored}'


def _sofa(wide: float, high: float) -> str:
    seat, floor = high - _SEAT, high - _FOOT
    inner, third = wide - 2 * _ARM, (wide - 2 * _ARM) / 3
    back = f"M{_ARM} {seat:g}V8a8 8 0 0 1 8 -8H{wide - _ARM - 8:g}a8 8 0 0 1 8 8V{seat:g}"
    parts = "".join(f"M{_ARM + third * n:g} {seat:g}v15" for n in (1, 2))
    feet = "".join(f"M{x:g} {floor:g}v{_FOOT}" for x in (8, 14, wide - 14, wide - 8))
    arms = "".join(_box(x, 24, _ARM, floor - 24, 7) for x in (0, wide - _ARM))
    return (
        f"{_box(_ARM, seat, inner, 15)}{arms}{_box(_ARM, seat + 15, inner, floor - seat - 15)}"
        f'<path d="{back}{parts}{feet}"/>'
    )


def _sofa_from_above(wide: float, deep: float) -> str:
    third = (wide - 2 * _ARM) / 3
    seats = "".join(_box(_ARM + third * n, 24, third, deep - 24, 4) for n in range(3))
    arms = "".join(_box(x, 12, _ARM, deep - 14, 7) for x in (0, wide - _ARM))
    return f"{_box(0, 0, wide, 24, 7)}{arms}{seats}"


def _table_from_above(wide: float, deep: float) -> str:
    places = [wide * part - _CHAIR / 2 for part in (1 / 6, 3 / 6, 5 / 6)]
    chairs = "".join(
        f'<path d="M{x:g} {y:g}v{turn * -16}q0 {turn * -8} 8 {turn * -8}h{_CHAIR - 16}'
        f'q8 0 8 {turn * 8}v{turn * 16}"/>'
        for y, turn in ((0, 1), (deep, -1)) for x in places
    )  # fmt: skip
    return f"{chairs}{_box(0, 0, wide, deep, 3)}"


def _hand(_wide: float, _high: float) -> str:
    return (
        '<path d="M2.6 18.5C2.6 16.6 2 15.6 1.4 14.2C.9 12.9 .2 11.2 0 9.9C-.1 8.7 1.2 8.4 1.6 9.5'
        "C1.9 10.4 2.2 11.2 2.7 11.6L2.6 3.1C2.6 1.8 4.1 1.8 4.2 3.1L4.4 7.9L4.5 .8"
        "C4.6 -.25 5.9 -.25 6 .8L6 7.9L6.4 1.6C6.5 .5 7.8 .6 7.8 1.7L7.5 8.2L7.9 4.4"
        'C8.1 3.4 9.2 3.6 9.1 4.6L8.5 12.6C8.2 15.2 7.4 16.4 7.2 18.5" '
        'transform="translate(-.3 0) scale(.96 1)"/>'
    )


def _sheet(wide: float, high: float) -> str:
    corner = wide / 6
    fold = f"M{wide - corner:g} 0v{corner:g}h{corner:g}"
    return f'<path d="M0 0H{wide - corner:g}L{wide:g} {corner:g}V{high:g}H0z{fold}"/>'


def _box(x: float, y: float, wide: float, high: float, round_by: float = 0) -> str:
    bend = f' rx="{round_by:g}"' if round_by else ""
    return f'<rect x="{x:g}" y="{y:g}" width="{wide:g}" height="{high:g}"{bend}/>'


_DRAWN: dict[str, Callable[[float, float], str]] = {
    "door": _door,
    "figure": _figure,
    "sofa": _sofa,
    "sofa_from_above": _sofa_from_above,
    "table_from_above": _table_from_above,
    "hand": _hand,
    "sheet": _sheet,
}
