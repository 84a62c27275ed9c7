"""Records of the demo studio spoilt by chance, the same for the same number.

In: a number. Out: a `Mutant`: which record, what was done to it, its bytes. Lines are dropped,
doubled, exchanged; values become odd ones; units are swapped; signs nobody sees are put in; nests
and shared values of YAML; bytes are flipped, the end is cut off.
"""

from __future__ import annotations

import random
import re
from collections.abc import Callable
from dataclasses import dataclass
from functools import cache
from pathlib import Path

DEMO = Path(__file__).parents[2] / "pieces"
PATHS = {
    path.relative_to(DEMO).as_posix(): path.read_bytes()
    for path in sorted(DEMO.rglob("*.yaml"))
    if not {"papers", ".schemas", ".printed", "printed.yaml"} & set(path.parts)
}
ODD = (
    "nan", ".inf", "1e999", "-1", "0", "9" * 400, "1/0", "1e-999", "0x10", "1_000", "½", "٣",
    "2026-02-31", "0000-00-00", "9999-12-31", "2026-13-01", "24:61", "~", "null", "true", "no",
    '""', "[]", "{}", "[[[[[]]]]]", "{a: {b: {c: d}}}", "!!python/object:os.system x", "!!binary x",
    "!!int 3", "&a [*a]", "*nothing", "<<: *x", "? x", "|", ">-", "'", '"', "%", "@", "`",
    '"\\u202Eevil"', "\u202eevil", "\u2066x\u2069", '"\\e[31mred"', "\ufeffx", '"\\0"', '"a\\nb"',
    "a\tb", "\t", "é" * 300, "x" * 25_000, "\U0001f9f6", "-0", "+5", "5 %", "500 %", "-5 kg",
    "1 kg 1", "0 g", "3 furlongs", "5 lb 3 oz", "1,5", "1.234,5", "1,234.5", "2026-014", "../x",
    "/etc/passwd", "con", "<script>", "{{ 7 * 7 }}", "{% raw %}", "=cmd()", "$(id)", "`id`",
)  # fmt: skip
UNITS = (b"g", b"kg", b"oz", b"lb", b"cm", b"m", b"in", b"yd", b"%", b"h", b"epi", b"per cm", b"l")
NESTS = (
    b"[" * 2_000, b"{a: " * 500, b"- " * 500, b"&a " + b"*a " * 20,
    b"x: &x [1,1]\ny: &y [*x,*x]\nz: &z [*y,*y]\n", b"<<: {a: b}\n", b"a: &a {<<: *a}\n",
)  # fmt: skip
USUAL = "2026-014-saltmarsh.yaml"
Lines = list[bytes]


@cache
def around(file: str) -> frozenset[str]:
    """A record, and of the demo what it needs to be read without a mistake: the studio, pieces and
    baths that are spoken of; and a piece that was made of it."""
    found = {file, *(name for name in PATHS if name.startswith("studio/"))}
    if "/" in file:
        made = (name for name in PATHS if "/" not in name and _is_spoken_of(file, PATHS[name]))
        found.add(next(made, USUAL))
    while True:
        text = b"\n".join(PATHS[name] for name in sorted(found))
        more = {name for name in PATHS if name not in found and _is_spoken_of(name, text)}
        if not more:
            return frozenset(found)
        found |= more


def _is_spoken_of(name: str, text: bytes) -> bool:
    if name.startswith("dyebook/"):
        lots = re.findall(rb"becomes: ([\w-]+)", PATHS[name])
        return any(re.search(rb"\b" + lot + rb"\b", text) for lot in lots)
    number = re.match(r"20\d\d-\d\d\d", name)
    return bool(number and re.search(rb"like: " + number[0].encode(), text))


@dataclass(frozen=True, slots=True)
class Mutant:
    """One record, spoilt."""

    number: int
    file: str
    how: str
    content: bytes

    def __str__(self) -> str:
        return f"mutant {self.number} ({self.file}: {self.how})"


def mutant(number: int) -> Mutant:
    """Every record has its turn; what is done to it is up to the dice, once to three times."""
    dice, names = random.Random(f"storm {number}"), sorted(PATHS)
    file = names[number % len(names)]
    content, done = PATHS[file], []
    for _ in range(dice.choice((1, 1, 1, 2, 3))):
        how = dice.choice(HOW)
        content = how(content, dice)
        done.append(how.__name__.strip("_"))
    return Mutant(number, file, ", ".join(done), content)


def _line(change: Callable[[Lines, int, random.Random], None]) -> Callable[..., bytes]:
    """A change of one line among many."""

    def changed(content: bytes, dice: random.Random) -> bytes:
        lines = content.split(b"\n")
        change(lines, dice.randrange(len(lines)), dice)
        return b"\n".join(lines)

    changed.__name__ = change.__name__
    return changed


@_line
def _dropped(lines: Lines, at: int, dice: random.Random) -> None:
    del lines[at]


@_line
def _doubled(lines: Lines, at: int, dice: random.Random) -> None:
    lines.insert(at, lines[at])


@_line
def _exchanged(lines: Lines, at: int, dice: random.Random) -> None:
    other = dice.randrange(len(lines))
    lines[at], lines[other] = lines[other], lines[at]


@_line
def _from_elsewhere(lines: Lines, at: int, dice: random.Random) -> None:
    lines[at] = dice.choice(PATHS[dice.choice(sorted(PATHS))].split(b"\n"))


@_line
def _indented(lines: Lines, at: int, dice: random.Random) -> None:
    lines[at] = dice.choice((b"\t", b"  ", b" ")) + lines[at]


@_line
def _nested(lines: Lines, at: int, dice: random.Random) -> None:
    lines[at] += b"\n" + dice.choice(NESTS)


@_line
def _other_value(lines: Lines, at: int, dice: random.Random) -> None:
    """A value in the block form or within braces."""
    odd = dice.choice(ODD).encode()
    places = list(re.finditer(rb":\s+([^,{}\[\]#]+)", lines[at]))
    if places:
        found = dice.choice(places)
        lines[at] = lines[at][: found.start(1)] + odd + lines[at][found.end(1) :]


@_line
def _other_number(lines: Lines, at: int, dice: random.Random) -> None:
    places = list(re.finditer(rb"\d+(\.\d+)?", lines[at]))
    if places:
        found = dice.choice(places)
        new = dice.choice((b"0", b"-1", b"99999999999999999999", b"0.0000001", b"7", b"1e9", b""))
        lines[at] = lines[at][: found.start()] + new + lines[at][found.end() :]


@_line
def _other_unit(lines: Lines, at: int, dice: random.Random) -> None:
    lines[at] = re.sub(rb"(?<=\d )[a-z%]+", lambda found: dice.choice(UNITS), lines[at], count=1)


def _flipped(content: bytes, dice: random.Random) -> bytes:
    if not content:
        return content
    spoilt = bytearray(content)
    for _ in range(dice.choice((1, 1, 5))):
        spoilt[dice.randrange(len(spoilt))] ^= 1 << dice.randrange(8)
    return bytes(spoilt)


def _cut(content: bytes, dice: random.Random) -> bytes:
    return content[: dice.randrange(len(content) + 1)]


def _sign_put_in(content: bytes, dice: random.Random) -> bytes:
    at = dice.randrange(len(content) + 1)
    signs = (
        "\u202e",
        "\u2067",
        "\x1b[2J",
        "\x00",
        "\ufeff",
        "\u200b",
        "\ud7ff",
        "'",
        '"',
        "#",
        "\r",
    )
    return content[:at] + dice.choice(signs).encode() + content[at:]


HOW: tuple[Callable[[bytes, random.Random], bytes], ...] = (
    _dropped, _doubled, _exchanged, _from_elsewhere, _indented, _nested, _other_value, _other_value,
    _other_number, _other_number, _other_unit, _flipped, _cut, _sign_put_in,
)  # fmt: skip
