"""Notes and ranges that know where they were read, and the short names of the books.

In: inline tables of the TOML files (`low`/`high`, `source`, `sure`), and `tables/sources.toml`.
Out: frozen `Note` and `Span`, and sources spelled out for the maker. A value without a source of
its own has its row's. The words of a note are in `language/`, under its key.
"""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from decimal import Decimal
from typing import Any

from provenance.problems import Said, Words, chained, named
from provenance.reference.loader import table

SURE = ("read", "trade", "computed", "memory")


@dataclass(frozen=True, slots=True)
class Note:
    """What is said of a thing, its source and how sure it is (one of `SURE`)."""

    words: Said
    source: str
    sure: str


@dataclass(frozen=True, slots=True)
class Span:
    """A range; a missing end is a missing limit."""

    low: Decimal | None
    high: Decimal | None
    source: str
    sure: str

    def holds(self, value: Decimal) -> bool:
        return (self.low is None or value >= self.low) and (self.high is None or value <= self.high)


def cite(source: str) -> str:
    """Spell out the keys of a source: "MAI24 red (1)" -> "Mairet, Vegetable Dyes, red (1)"."""
    return "; ".join(_spell(part.strip()) for part in source.split(";"))


def cited(source: str) -> Words:
    """A source part by part: authors, titles and addresses as they are, words of ours told."""
    return chained("words.in_turn", (named("source", part) for part in source.split("; ")))


@dataclass(frozen=True, slots=True)
class Protection:
    """A law or a request that guards a species: what it is about, what it says, when looked up.

    `about` is sale abroad, harvest or growing; `checked_on` a day, month, year, or words for none.
    """

    about: str
    note: Note
    checked_on: str

    @property
    def is_dated(self) -> bool:
        return self.checked_on[:1].isdigit()


def protection(row: Mapping[str, Any]) -> Protection | None:
    """What guards a row, told as `protected.NAME`."""
    found, said = row.get("protected"), note(row, "protected")
    return Protection(found["about"], said, found["checked_on"]) if found and said else None


def note(row: Mapping[str, Any], key: str) -> Note | None:
    """What is said of a row under `key`, told as `key.NAME`; None where the row has none."""
    found = row.get(key)
    if not found:
        return None
    return Note(Said(f"{key}.{row['name']}"), *source_of(found, row))


def notes(group: str, rows: Iterable[Mapping[str, Any]]) -> tuple[Note, ...]:
    """What is said of each row, told as `group.ABOUT`."""
    return tuple(Note(Said(f"{group}.{row['about']}"), *source_of(row, row)) for row in rows)


def span(row: Mapping[str, Any], key: str) -> Span | None:
    """The range under `key` of a row, None where the row has none."""
    found = row.get(key)
    return span_from(found, row) if found else None


def span_from(found: Mapping[str, Any], row: Mapping[str, Any]) -> Span:
    """A range with its own source, else with that of the row."""
    return Span(_end(found.get("low")), _end(found.get("high")), *source_of(found, row))


def source_of(found: Mapping[str, Any], row: Mapping[str, Any]) -> tuple[str, str]:
    """Where something was read, and how sure that is; what has none of its own has its row's."""
    return cite(found.get("source", row["source"])), found.get("sure", row["sure"])


def _end(written: str | int | None) -> Decimal | None:
    return None if written is None else Decimal(written)


def _spell(part: str) -> str:
    key, _, where = part.partition(" ")
    entry = table("sources").get(key)
    if entry is None:
        return part
    if not where:
        return str(entry["short"])
    return f"{entry['short']}{' ' if where.startswith('(') else ', '}{where}"
