"""Indexes, concordance and photo credits: where to find what, by the works it is told of.

In: the entries. Out: rows of a term and works; pages are put beside them when the book is set.
A farm is named only where its fleece is marked public (`public.names.farm_of`).
"""

from collections.abc import Callable, Iterable
from dataclasses import dataclass
from unicodedata import normalize

from provenance.language.phrases import Phrases
from provenance.public.catalogue import Entry
from provenance.public.names import capital, spoken

Terms = Callable[[Entry, Phrases], Iterable[tuple[str, str]]]


@dataclass(frozen=True, slots=True)
class Term:
    """One line of an index: the term, what stands behind it, and its works."""

    name: str
    more: str
    entries: tuple[Entry, ...]


@dataclass(frozen=True, slots=True)
class Index:
    """One index, by its name among the phrases; `is_titles` where each term is one work."""

    name: str
    title: str
    terms: tuple[Term, ...]

    @property
    def is_titles(self) -> bool:
        """Whether the terms are the works themselves."""
        return self.name == "titles"


def indexes_of(entries: Iterable[Entry], phrases: Phrases) -> list[Index]:
    """By dye, fleece and farm, structure, colour and title; none that would be empty."""
    works = tuple(entries)
    made = (
        Index(name, phrases.say(f"catalogue.index_{name}"), _terms(works, terms, phrases))
        for name, terms in _KINDS.items()
    )
    return [index for index in made if index.terms]


def credits_of(entries: Iterable[Entry], maker: str) -> list[tuple[str, tuple[int, ...]]]:
    """Who took which photos, by the numbers of works; the maker's own where nobody is named."""
    found: dict[str, list[int]] = {}
    for entry in entries:
        for photo in entry.piece.photos:
            found.setdefault(photo.credit or maker, []).append(entry.place)
    return [(name, tuple(dict.fromkeys(places))) for name, places in sorted(found.items())]


def by_inventory(entries: Iterable[Entry]) -> list[Entry]:
    """The concordance: works by their inventory numbers."""
    return sorted(entries, key=lambda entry: entry.piece.number)


def _terms(entries: tuple[Entry, ...], terms: Terms, phrases: Phrases) -> tuple[Term, ...]:
    found: dict[tuple[str, str], list[Entry]] = {}
    for entry in entries:
        for term in dict.fromkeys(terms(entry, phrases)):
            found.setdefault(term, []).append(entry)
    ordered = sorted(found.items(), key=lambda each: _plain(each[0]))
    return tuple(Term(name, more, tuple(works)) for (name, more), works in ordered)


def _plain(term: tuple[str, str]) -> tuple[str, str]:
    """Accents count for nothing in the order of an index."""
    name, more = (normalize("NFKD", part).encode("ascii", "ignore").decode() for part in term)
    return name.lower(), more.lower()


def _dyes(entry: Entry, phrases: Phrases) -> Iterable[tuple[str, str]]:
    species = {spoken(thing.name): thing.species for thing in entry.piece.making.of("dyestuff")}
    for name in entry.piece.dye_names:
        title = spoken(phrases.stuff(name))
        yield title, species.get(title, "")


def _fleeces(entry: Entry, phrases: Phrases) -> Iterable[tuple[str, str]]:
    for thing in entry.piece.making.of("fleece"):
        shorn = phrases.say("label.shorn", day=phrases.part_day(thing.shorn)) if thing.shorn else ""
        yield capital(thing.name), ", ".join(part for part in (thing.farm, shorn) if part)


def _farms(entry: Entry, _phrases: Phrases) -> Iterable[tuple[str, str]]:
    return ((capital(each.farm), "") for each in entry.piece.making.of("fleece") if each.farm)


def _structures(entry: Entry, _phrases: Phrases) -> Iterable[tuple[str, str]]:
    return [(entry.piece.structure, "")] if entry.piece.structure else []


def _colours(entry: Entry, phrases: Phrases) -> Iterable[tuple[str, str]]:
    return ((phrases.named("colour", family), "") for family in entry.piece.families)


def _titles(entry: Entry, _phrases: Phrases) -> Iterable[tuple[str, str]]:
    return [(entry.piece.title, entry.piece.number)]


_KINDS: dict[str, Terms] = {
    "dyes": _dyes, "fleeces": _fleeces, "farms": _farms, "structures": _structures,
    "colours": _colours, "titles": _titles,
}  # fmt: skip
