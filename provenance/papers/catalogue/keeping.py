"""Light and care of the works: each sentence once, with the works it holds for.

In: the entries. Out: sentences of the light dossier and the care with numbers of works; what they
are known from, numbered, so that a line can point to it. Nothing is said of a work that nobody
knows the yarns of.
"""

from collections.abc import Callable, Iterable
from dataclasses import dataclass

from provenance.public.catalogue import Entry


@dataclass(frozen=True, slots=True)
class Shared:
    """A sentence and the works it is said of; `sources` are numbers of what it is known from."""

    words: str
    entries: tuple[Entry, ...]
    sources: tuple[int, ...] = ()


@dataclass(frozen=True, slots=True)
class Keeping:
    """All of it: light, care, and how sure it is."""

    light: tuple[Shared, ...]
    care: tuple[Shared, ...]
    sources: tuple[str, ...]


def keeping_of(entries: Iterable[Entry]) -> Keeping:
    """What is told of light and care in the book."""
    works = tuple(entries)
    sources = tuple(dict.fromkeys(line for each in works for line in each.piece.light_sources))
    numbers = {line: number for number, line in enumerate(sources, 1)}
    light = tuple(
        Shared(each.words, each.entries, tuple(sorted(
            {numbers[line] for entry in each.entries for line in entry.piece.light_sources}
        )))
        for each in _shared(works, _light)
    )  # fmt: skip
    return Keeping(light, _shared(works, lambda entry: entry.piece.care), sources)


def _light(entry: Entry) -> tuple[str, ...]:
    """Its class and its range on a wall; the museum's sum is for galleries."""
    told = " ".join(entry.piece.light_range[:2])
    return (told,) if told else ()


def _shared(works: Iterable[Entry], told: Callable[[Entry], Iterable[str]]) -> tuple[Shared, ...]:
    found: dict[str, list[Entry]] = {}
    for entry in works:
        for sentence in told(entry):
            found.setdefault(sentence, []).append(entry)
    return tuple(Shared(words, tuple(entries)) for words, entries in found.items())
