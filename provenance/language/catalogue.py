"""The phrases of a language, and what is wrong with phrases a maker has changed.

In: a language, the studio's own templates/ folder, its own phrases. Out: phrases by name. They are
laid over each other: British English first (in American spelling for en-US), then the base
language (de), then the language (de-AT), each as shipped and then as in the studio's
`templates/phrases/LANGUAGE.toml`; at last what stands under `phrases:` in the studio file. What is
not there in a language is said in English. A changed phrase may leave a value out, but can't ask
for one that it is not given.
"""

from __future__ import annotations

import re
import tomllib
from collections.abc import Iterable, Iterator, Mapping
from pathlib import Path
from string import Formatter
from typing import TYPE_CHECKING

from provenance.language.shipped import BASE, Catalogue, shipped
from provenance.problems import NOWHERE, Place, Problem, Said, Slip, nearest
from provenance.records.text import Written
from provenance.reference.spelling import american

if TYPE_CHECKING:
    from provenance.records.book import Book
    from provenance.records.studio import StudioFile

AMERICAN = "en-US"
_TRANSLATED = "en"
_AS_LINES = Said("phrase.as_lines")


def catalogue(language: str, own: Mapping[str, str], templates: Path | None) -> Mapping[str, str]:
    """Every phrase of a language; Slip for the first changed phrase that can't be used."""
    if not knows_language(language):
        raise _no_language(language)
    layers: list[Mapping[str, str]] = []
    for name in _names(language):
        base = _American(shipped()) if language == AMERICAN else shipped()
        layers.append(base if name == BASE else shipped(name))
        for path in _own(name, templates):
            laid_over = _read(path)
            for _, slip in _faults(laid_over.items()):
                raise Slip(Said("phrase.in_file", file=path.name, what=slip.what), slip.remedy)
            layers.append(laid_over)
    for _, slip in _faults(own.items()):
        raise slip
    return Catalogue({str(name): str(text) for name, text in own.items()}, *reversed(layers))


class _American(Mapping[str, str]):
    """Phrases in British English as an American reads them."""

    def __init__(self, british: Mapping[str, str]) -> None:
        self._british = british

    def __getitem__(self, name: str) -> str:
        return _spelt(self._british[name])

    def __iter__(self) -> Iterator[str]:
        return iter(self._british)

    def __len__(self) -> int:
        return len(self._british)


def own_words(studio: StudioFile) -> dict[str, str]:
    """The studio's own phrases, over a fibre's name where all labels call it otherwise: nylon is
    polyamide for one who sells in the EU alone, on pages as on tags."""
    from provenance.reference.fibres import find_fibre

    markets, fibres = set(studio.labels_for), dict[str, str]()
    nylon = find_fibre("nylon")
    if nylon and markets == {"EU"} and studio.language.startswith(_TRANSLATED):
        fibres["fibre.nylon"] = nylon.on_label("EU")
    return {**fibres, **{str(name): str(text) for name, text in studio.phrases.items()}}


def _spelt(text: str) -> str:
    """British English as an American reads it; names of values and what is typed ('...') stay."""
    parts = re.split(r"(\{[^{}]*\}|(?<!\w)'[^']*'(?!\w))", text)
    return "".join(american(part) if turn % 2 == 0 else part for turn, part in enumerate(parts))


def _faults(words: Iterable[tuple[str, str]]) -> Iterator[tuple[str, Slip]]:
    """Each changed phrase that can't be used, and what is wrong with it."""
    for name, text in words:
        if slip := _fault(name, text):
            yield name, slip


def _fault(name: str, text: str) -> Slip | None:
    known = shipped()
    if name not in known:
        return Slip(Said("phrase.unknown", name=name), _like(name, known))
    try:
        asked = _values_in(text)
    except ValueError:
        return Slip(Said("phrase.braces", name=name), Said("phrase.how_braces"))
    given = _values_in(known[name])
    for value in asked:
        if value not in given:
            near = nearest(value, given)
            meant = Said("phrase.meant", near=f"{{{near}}}") if near else _may_use(given)
            return Slip(Said("phrase.not_given", name=name, value=f"{{{value}}}"), meant)
    return None


def _like(name: str, known: Mapping[str, str]) -> Said:
    """The known name that is most like it; a bare word may lack its group."""
    grouped = [each for each in known if each.endswith(f".{name}")]
    near = nearest(name, known) or next(iter(grouped), None)
    return Said("phrase.meant", near=near) if near else Said("phrase.listed")


def _may_use(given: tuple[str, ...]) -> Said:
    if not given:
        return Said("phrase.as_it_stands")
    return Said("phrase.may_use", values=", ".join(f"{{{value}}}" for value in given))


def _values_in(text: str) -> tuple[str, ...]:
    """The values a phrase asks for, with all that is written into their braces."""
    found = []
    for _, value, form, turn in Formatter().parse(text):
        if value is not None:
            found.append(value + (f"!{turn}" if turn else "") + (f":{form}" if form else ""))
    return tuple(dict.fromkeys(found))


def _names(language: str) -> tuple[str, ...]:
    """The catalogues of a language, the base first."""
    return tuple(dict.fromkeys((BASE, language.split("-")[0], language)))


def _own(language: str, templates: Path | None) -> list[Path]:
    """The studio's own catalogue of a language, beside its templates, where there is one."""
    return list(templates.glob(f"phrases/{language}.toml")) if templates else []


def _read(path: Path) -> dict[str, str]:
    try:
        tables = tomllib.loads(path.read_text(encoding="utf-8"))
    except (tomllib.TOMLDecodeError, UnicodeDecodeError) as error:
        what = Said("phrase.unreadable", file=path.name, error=str(error))
        raise Slip(what, _AS_LINES) from None
    words: dict[str, str] = {}
    for group, table in tables.items():
        if not isinstance(table, dict) or not all(isinstance(t, str) for t in table.values()):
            raise Slip(Said("phrase.no_line", file=path.name, group=group), _AS_LINES)
        words |= {f"{group}.{name}": text for name, text in table.items()}
    return words


def phrase_problems(book: Book) -> Iterator[Problem]:
    """Every changed phrase that can't be used, each with its place; a language without phrases."""
    language, templates = book.studio.language, book.folder / "templates"
    if not knows_language(language):
        slip = _no_language(language)
        yield Problem(_place(language), slip.what, slip.remedy)
        return
    try:
        for path in (path for name in _names(language) for path in _own(name, templates)):
            for name, found in _faults(_read(path).items()):
                yield Problem(_line_of(book, path, name), found.what, found.remedy)
    except Slip as slip:
        yield Problem(Place(f"{book.folder.name}/templates/phrases"), slip.what, slip.remedy)
    for name, found in _faults(book.studio.phrases.items()):
        yield Problem(_place(name), found.what, found.remedy)
    yield from _untranslated(book, language, templates)


def _no_language(language: str) -> Slip:
    return Slip(Said("phrase.no_language", language=language), Said("phrase.languages"))


def knows_language(language: str) -> bool:
    """Whether numbers, dates and money have forms in this language."""
    if language in (BASE, AMERICAN):
        return True
    from babel import Locale, UnknownLocaleError

    try:
        Locale.parse(language, sep="-")
    except (UnknownLocaleError, ValueError):
        return False
    return True


def _untranslated(book: Book, language: str, templates: Path) -> Iterator[Problem]:
    names = _names(language)[1:]
    known = any(shipped(name) or _own(name, templates) for name in names)
    if known or language.split("-")[0] == _TRANSLATED:
        return
    yield Problem(
        _place(language),
        Said("phrase.untranslated", language=language),
        Said("phrase.translate", folder=book.folder.name, language=language),
        is_remark=True,
    )


def _place(text: str) -> Place:
    return text.place if isinstance(text, Written) else NOWHERE


def _line_of(book: Book, path: Path, name: str) -> Place:
    """Where a phrase stands in the studio's own catalogue."""
    group, _, word = name.partition(".")
    file, here = f"{book.folder.name}/templates/phrases/{path.name}", ""
    for number, line in enumerate(path.read_text(encoding="utf-8").splitlines(), 1):
        if header := re.match(r"\s*\[\s*\"?([^\]\"]+?)\"?\s*\]", line):
            here = header[1]
        elif here == group and re.match(rf"\s*\"?{re.escape(word)}\"?\s*=", line):
            return Place(file, number, 1)
    return Place(file)
