"""Which row holds the headings, and what each column means.

In: a table, and what the maker said of columns (`Preis=price`, `C=size in cm`, `Date=finished month
first`). Out: the row of the headings and a `Column` for each, with the signs its numbers and the
order its days are read by. A heading nobody knows is tried by the values below it; what is left
means nothing and is left out. Of two columns that mean the same the first counts.
"""

import re
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace

from provenance.problems import Said, Slip, WrongWish, did_you_mean, row
from provenance.records.bring.headings import (
    LEFT_OUT,
    UNITS,
    WORDS,
    Meaning,
    folded,
    meaning_of,
)
from provenance.records.bring.signs import Order, day_order, decimal_sign
from provenance.records.bring.table import Row, Table, letter, text_of, tidy
from provenance.records.bring.values import IN_DAYS, IN_NUMBERS, Column

MOST_SEARCHED = 30  # rows above the headings: a title, an address
MANY = frozenset(("notes", "old number"))  # what several columns may say
_NUMBER, _YEAR = r"[0-9]{1,4}(-[0-9]+)+", r"(19|20)[0-9]{2}"
_SIZE = r"[0-9.,½¼¾]+ ?[a-z\"]* ?[x×] ?[0-9.,½¼¾]+.*"
_BY_VALUES = {"number": _NUMBER, "finished": _YEAR, "size": _SIZE}


@dataclass(frozen=True, slots=True)
class Wish:
    """What the maker said of a column."""

    heading: str
    word: str
    unit: str = ""
    order: Order = ""


@dataclass(frozen=True, slots=True)
class Columns:
    """The row of the headings, the columns, and those of them whose days ask for their order."""

    row: int
    all: tuple[Column, ...]

    @property
    def meant(self) -> tuple[Column, ...]:
        """The columns that mean something."""
        return tuple(each for each in self.all if each.word)

    def has(self, *words: str) -> bool:
        """Whether a column means one of these words."""
        return any(each.word in words for each in self.all)


def wish_from(text: str, names: Mapping[str, str]) -> Wish:
    """`Column=word`, with `in cm`, `day first` or `month first` behind; WrongWish if it is none.

    `names` are further names of the words, in the studio's language.
    """
    heading, sign, told = text.rpartition("=")
    if not (sign and heading.strip() and told.strip()):
        raise WrongWish(Said("bring.wish", text=text), Said("bring.wish_such"))
    plain = " ".join(told.lower().split())
    order: Order = ""
    for each in ("day first", "month first"):
        if plain.endswith(each):
            order, plain = (
                ("day first" if each == "day first" else "month first"),
                plain[: -len(each)],
            )
    unit = ""
    if found := re.fullmatch(r"(.+) in ([a-z]+)", plain.strip(" ,")):
        plain, unit = found[1], UNITS.get(found[2]) or found[2]
    return Wish(heading.strip(), _word(plain.strip(" ,"), names), unit, order)


def _word(told: str, names: Mapping[str, str]) -> str:
    if told in (LEFT_OUT, "leave out", "left out", "ignore"):
        return ""
    if word := told if told in WORDS else names.get(folded(told)) or meaning_of(told).word:
        return word
    raise WrongWish(Said("bring.no_word", word=told), did_you_mean(told, WORDS)
                    or Said("problem.known", names=row(WORDS)))  # fmt: skip


def columns_of(table: Table, wishes: Sequence[Wish], names: Mapping[str, str]) -> Columns:
    """The columns of a table. Raises Slip where no row can hold headings, WrongWish for a column
    that is not there."""
    head = _heading_row(table, wishes, names)
    below = [each for each in table.rows if each.number > head.number]
    found = list(_named(head, below, names))
    for wish in wishes:
        found = _as_wished(found, wish)
    found = _by_values(found, below)
    return Columns(head.number, tuple(_read_by(each, below) for each in found))


def _heading_row(table: Table, wishes: Sequence[Wish], names: Mapping[str, str]) -> Row:
    asked = {folded(wish.heading) for wish in wishes}

    def known(row_: Row) -> int:
        told = [_told(cell) for cell in row_.cells if isinstance(cell, str) and cell]
        return sum(bool(_meaning(each, names).word or folded(each) in asked) for each in told)

    first = table.rows[:MOST_SEARCHED]
    best = max(first, key=known, default=None)
    if best is not None and known(best) >= min(2, best.filled):
        return best
    wide = [each for each in first if each.filled > 1]
    if not wide:
        raise Slip(Said("bring.no_headings", file=table.file), Said("bring.write_headings"))
    return wide[0]


def _told(cell: object) -> str:
    return " ".join(tidy(str(cell)).split())


def _meaning(heading: str, names: Mapping[str, str]) -> Meaning:
    found = meaning_of(heading)
    return found if found.word else replace(found, word=names.get(folded(heading), ""))


def _named(head: Row, below: Sequence[Row], names: Mapping[str, str]) -> Iterator[Column]:
    """A column for each heading, and for each cell without one that has something below it."""
    widest = max((len(each.cells) for each in below), default=0)
    used: dict[str, int] = {}
    taken: set[str] = set()
    for index in range(max(widest, len(head.cells))):
        heading = _told(text_of(head.at(index)))
        if not heading and not any(each.at(index) != "" for each in below):
            continue
        meaning = _meaning(heading, names)
        used[heading] = used.get(heading, 0) + 1
        called = heading or letter(index)
        called = called if used[heading] == 1 or not heading else f"{heading} ({used[heading]})"
        word = meaning.word if meaning.word not in taken or meaning.word in MANY else ""
        taken.add(word)
        yield Column(index, called, word, meaning.unit, meaning.is_width_first)


def _as_wished(columns: list[Column], wish: Wish) -> list[Column]:
    """The column that the maker named means what she says; another of that word is left out."""
    by_name = [each for each in columns if folded(each.heading) == folded(wish.heading)]
    exact = [each for each in columns if each.heading == wish.heading]
    by_letter = [each for each in columns if letter(each.index) == wish.heading.upper()]
    found = next(iter([*exact, *by_name, *by_letter]), None)
    if found is None:
        near = did_you_mean(wish.heading, [each.heading for each in columns])
        raise WrongWish(Said("bring.no_column", column=wish.heading), near)
    unit = wish.unit or found.unit
    meant = replace(found, word=wish.word, unit=unit, order=wish.order, is_guessed=False)
    return [meant if each is found else _given_up(each, wish.word) for each in columns]


def _given_up(column: Column, word: str) -> Column:
    return replace(column, word="") if column.word == word and word not in MANY else column


def _by_values(columns: list[Column], below: Sequence[Row]) -> list[Column]:
    """Headings nobody knows, by what stands below, where nothing else means that."""
    found = []
    taken = {each.word for each in columns}
    for column in columns:
        word = "" if column.word else _looks_like(_texts(column, below))
        if word and word not in taken and meaning_of(column.heading).word == "":
            taken.add(word)
            column = replace(column, word=word, is_guessed=True)
        found.append(column)
    return found


def _looks_like(texts: Sequence[str]) -> str:
    for word, pattern in _BY_VALUES.items():
        fitting = sum(re.fullmatch(pattern, each.lower()) is not None for each in texts)
        if texts and fitting * 10 >= len(texts) * 9:
            return word
    return ""


def _texts(column: Column, below: Iterable[Row]) -> list[str]:
    cells = (each.at(column.index) for each in below)
    return [tidy(text_of(cell)) for cell in cells if cell != ""]


def _read_by(column: Column, below: Sequence[Row]) -> Column:
    """The column with the signs and the order that its own rows decide; numbers and days of a
    workbook need none."""
    if column.word not in IN_NUMBERS | IN_DAYS:
        return column
    cells = (each.at(column.index) for each in below)
    texts = [tidy(cell) for cell in cells if isinstance(cell, str) and cell]
    if column.word in IN_NUMBERS:
        return replace(column, sign=decimal_sign(texts))
    order, is_torn = day_order(texts)
    return replace(column, order=column.order or ("" if is_torn else order))
