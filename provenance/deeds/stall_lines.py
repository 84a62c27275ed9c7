"""Lines that come home from a stall: read, and held against the signs at their ends.

In: text as `stall.html` gives it (templates/stall/lines.js), saved, typed or photographed. Out: a
`Brought` for each line, with its place; or a `Problem` with what would be right. Case and spaces
are the typist's; the two signs at the end are reckoned from the rest, modulo a prime, so that one
wrong sign or two that changed places always show (own arithmetic: 37 and 953; the powers of 37
repeat after 476).

    stall dale-fair #h9
    2026-014 sold 480 card 2026-11-28 #wr
    2026-008 sold 2 x 38 cash 2026-11-28 #...
    2026-016 reserved 2026-12-05 #...
    2026-019 freed #...
"""

import re
import unicodedata
from dataclasses import dataclass
from datetime import date
from fractions import Fraction

from provenance.problems import Place, Problem, Said, Slip
from provenance.records.fields import day

SIGNS = "23456789abcdefghjkmnpqrstuvwxyz"
_STEP, _PRIME = 37, 953
_LINE = re.compile(r"(.*?)\s*#\s*(\S*)")
_SOLD = re.compile(
    r"([0-9-]+) sold (?:([1-9][0-9]{0,3}) x )?([0-9]{1,9}(?:\.[0-9]{1,3})?) (card|cash|other) (\S+)"
)
_KEPT = re.compile(r"([0-9-]+) reserved(?: (\S+))?")
_FREED = re.compile(r"([0-9-]+) freed")
FREED = "freed"


@dataclass(frozen=True, slots=True)
class Brought:
    """One line: a sale (`price` of one, `way` it was paid), or, without a price, a reservation, or
    the end of one that the records have (`way` is FREED).

    `on` is the day of a sale, the last day of a reservation, None where it has none.
    """

    place: Place
    outlet: str
    number: str
    on: date | None
    price: Fraction | None = None
    items: int = 1
    way: str = ""


def signs_of(line: str) -> str:
    """The two signs that belong to a line, as it stands before them."""
    found = 0
    for sign in line:
        found = (found * _STEP + ord(sign)) % _PRIME
    return SIGNS[found // len(SIGNS)] + SIGNS[found % len(SIGNS)]


def read_lines(text: str, file: str, outlet: str) -> tuple[list[Brought], list[Problem]]:
    """All lines of a file; `outlet` is where they come from, until a line says it."""
    found: list[Brought] = []
    problems: list[Problem] = []
    for turn, raw in enumerate(text.removeprefix("\ufeff").splitlines(), 1):
        place = Place(file, turn, 1)
        if not (line := _tidy(raw)):
            continue
        try:
            plain = _held_against_signs(line)
            if named := re.fullmatch("stall (.+)", plain):
                outlet = named[1]
            else:
                found.append(_read(plain, place, outlet))
        except Slip as slip:
            problems.append(Problem(place, slip.what, slip.remedy))
    return found, problems


def _tidy(raw: str) -> str:
    return " ".join(unicodedata.normalize("NFC", raw).lower().replace("×", "x").split())


def _held_against_signs(line: str) -> str:
    """The line without its signs. Raises Slip where they are missing or others."""
    found = _LINE.fullmatch(line)
    if not found or not found[2]:
        raise Slip(Said("sell_from.no_signs", line=line), Said("sell_from.add_signs"))
    if found[2] != signs_of(found[1]):
        raise Slip(Said("sell_from.signs", line=line), Said("sell_from.compare"))
    return found[1]


def _read(line: str, place: Place, outlet: str) -> Brought:
    if found := _SOLD.fullmatch(line):
        number, items, price, way, on = found.groups()
        return Brought(place, outlet, number, day(on), Fraction(price), int(items or 1), way)
    if found := _KEPT.fullmatch(line):
        return Brought(place, outlet, found[1], day(found[2]) if found[2] else None)
    if found := _FREED.fullmatch(line):
        return Brought(place, outlet, found[1], None, way=FREED)
    raise Slip(Said("sell_from.no_line", line=line), Said("sell_from.such"))
