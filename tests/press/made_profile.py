"""A printer's profile made for tests (ICC.1:2001-04, lut8 tables): inks in, Lab out, and back.

A press that never was: inks take away light as filters do, black stands in for half of what three
inks share. No profile of a real press comes with the project; Debian's libgs-common has one.
"""

import itertools
import struct
from functools import cache

_TO_LIGHT = (  # XYZ seen by D50 to linear sRGB, and back (Bradford)
    (3.1338561, -1.6168667, -0.4906146),
    (-0.9787684, 1.9161415, 0.0334540),
    (0.0719453, -0.2289914, 1.4052427),
)
_FROM_LIGHT = (
    (0.4360747, 0.3850649, 0.1430804),
    (0.2225045, 0.7168786, 0.0606169),
    (0.0139322, 0.0971045, 0.7141733),
)
_WHITE = (0.9642, 1.0, 0.8249)
_IDENTITY = bytes(range(256))


def _times(rows, values):
    return [sum(part * value for part, value in zip(row, values, strict=True)) for row in rows]


def _lab_to_inks(lightness, a, b):
    y = (lightness + 16) / 116
    parts = [y + a / 500, y, y - b / 200]
    xyz = [
        (t**3 if t > 6 / 29 else 3 * (6 / 29) ** 2 * (t - 4 / 29)) * w
        for t, w in zip(parts, _WHITE, strict=True)
    ]
    light = [min(max(part, 0.0), 1.0) ** (1 / 2.2) for part in _times(_TO_LIGHT, xyz)]
    black = min(1 - part for part in light) / 2
    return [(1 - part - black) / (1 - black) for part in light] + [black]


def _inks_to_lab(c, m, y, k):
    light = [((1 - ink) * (1 - k)) ** 2.2 for ink in (c, m, y)]
    parts = [part / white for part, white in zip(_times(_FROM_LIGHT, light), _WHITE, strict=True)]
    f = [t ** (1 / 3) if t > (6 / 29) ** 3 else t / (3 * (6 / 29) ** 2) + 4 / 29 for t in parts]
    return [116 * f[1] - 16, 500 * (f[0] - f[1]), 200 * (f[1] - f[2])]


def _byte(value):
    return min(max(round(value), 0), 255)


def _table(ways_in, ways_out, grid, cells):
    head = b"mft1" + bytes(4) + bytes([ways_in, ways_out, grid, 0])
    matrix = struct.pack(">9i", *(65536 if n % 4 == 0 else 0 for n in range(9)))
    return head + matrix + _IDENTITY * ways_in + cells + _IDENTITY * ways_out


def _described(words):
    text = words.encode() + b"\0"
    return b"desc" + bytes(4) + struct.pack(">I", len(text)) + text + bytes(4 + 4 + 2 + 1 + 67)


@cache
def made_profile(space=b"CMYK", kind=b"prtr", name="Press of the tests"):
    """The bytes of the profile."""
    steps = [n / 4 for n in range(5)]
    to_lab = bytearray()
    for inks in itertools.product(steps, repeat=4):
        lightness, a, b = _inks_to_lab(*inks)
        to_lab += bytes([_byte(lightness * 2.55), _byte(a + 128), _byte(b + 128)])
    to_inks, steps = bytearray(), [255 * n / 16 for n in range(17)]
    for lightness, a, b in itertools.product(steps, repeat=3):
        to_inks += bytes(
            _byte(ink * 255) for ink in _lab_to_inks(lightness / 2.55, a - 128, b - 128)
        )
    tags = {
        b"desc": _described(name),
        b"cprt": b"text" + bytes(4) + b"none\0",
        b"wtpt": b"XYZ " + bytes(4) + struct.pack(">3i", *(round(w * 65536) for w in _WHITE)),
        b"A2B0": _table(4, 3, 5, bytes(to_lab)),
        b"B2A0": _table(3, 4, 17, bytes(to_inks)),
    }
    where, body, rows = 132 + 12 * len(tags), b"", b""
    for sign, content in tags.items():
        rows += sign + struct.pack(">II", where + len(body), len(content))
        body += content + bytes(-len(content) % 4)
    white = struct.pack(">3i", *(round(w * 65536) for w in _WHITE))
    head = struct.pack(">I4sI4s4s4s12s4s", where + len(body), bytes(4), 0x02400000, kind, space,
                       b"Lab ", bytes(12), b"acsp")  # fmt: skip
    head += bytes(28) + white + bytes(48)
    return head + struct.pack(">I", len(tags)) + rows + body
