"""The phrases of a language, and what is wrong with phrases a maker has changed.

In: a language, the studio's own templates/ folder, its own phrases. Out: phrases by name. They are
laid over each other: British English first (in American spelling for en-US), then the base
language (de), then the language (de-AT), each as shipped and then as in the studio's
`templates/phrases/LANGUAGE.toml`; at last what stands under `phrases:` in the studio file. What is
not there in a language is said in English. A changed phrase may leave a value out, but can't ask
for one that it is not given.
"""

import re
import tomllib
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from functools import lru_cache
from pathlib import Path
from string import Formatter

from provenance.problems import NOWHERE, Place, Problem, Said, Slip, nearest
from provenance.records.book import Book
from provenance.records.text import Written
from provenance.reference.spelling import american

BASE, AMERICAN = "en-GB", "en-US"
_HOME = Path(__file__).parent
_TRANSLATED = "en"
_AS_LINES = Said("phrase.as_lines")


@dataclass(frozen=True, slots=True)
class Layer:
    """One catalogue: where it lies, whether it is the studio's own, its phrases."""

    path: Path
    words: Mapping[str, str]
    is_own: bool = False


def catalogue(language: str, own: Mapping[str, str], templates: Path | None) -> dict[str, str]:
    """Every phrase of a language; Slip for the first changed phrase that can't be used."""
    if not knows_language(language):
        raise _no_language(language)
    shipped = _shipped()
    words = {name: _spelt(language, text) for name, text in shipped.items()}
    for layer in _layers(language, templates):
        for name, text in layer.words.items():
            if layer.is_own and (slip := fault(name, text, shipped)):
                what = Said("phrase.in_file", file=layer.path.name, what=slip.what)
                raise Slip(what, slip.remedy)
        if layer.is_own or layer.path.name != BASE:
            words |= layer.words
    for name, text in own.items():
        if slip := fault(name, text, shipped):
            raise slip
    return {**words, **{str(name): str(text) for name, text in own.items()}}


def _spelt(language: str, text: str) -> str:
    """British English as an American reads it; names of values and what is typed ('...') stay."""
    if language != AMERICAN:
        return text
    parts = re.split(r"(\{[^{}]*\}|(?<!\w)'[^']*'(?!\w))", text)
    return "".join(american(part) if turn % 2 == 0 else part for turn, part in enumerate(parts))


def fault(name: str, text: str, known: Mapping[str, str]) -> Slip | None:
    """What is wrong with a changed phrase, or None."""
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


@lru_cache(maxsize=8)
def _shipped(language: str = BASE) -> Mapping[str, str]:
    """A language as it came with the program: all files of its folder; empty when there is none.

    British English is what names and values of changed phrases are held against.
    """
    words: dict[str, str] = {}
    for path in sorted((_HOME / language).glob("*.toml")):
        words |= _read(path)
    return words


def _own(language: str, templates: Path | None) -> Path | None:
    """The studio's own catalogue of a language, beside its templates."""
    path = templates / "phrases" / f"{language}.toml" if templates else None
    return path if path and path.is_file() else None


def _layers(language: str, templates: Path | None) -> Iterator[Layer]:
    """Each catalogue of a language, the shipped one before the studio's own."""
    for name in _names(language):
        yield Layer(_HOME / name, _shipped(name))
        if own := _own(name, templates):
            yield Layer(own, _read(own), is_own=True)


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
    shipped = _shipped()
    try:
        for layer in _layers(language, templates if templates.is_dir() else None):
            for name, text in layer.words.items() if layer.is_own else ():
                if found := fault(name, text, shipped):
                    yield Problem(_line_of(book, layer.path, name), found.what, found.remedy)
    except Slip as slip:
        yield Problem(Place(f"{book.folder.name}/templates/phrases"), slip.what, slip.remedy)
    for name, text in book.studio.phrases.items():
        if found := fault(name, text, shipped):
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
    own = templates if templates.is_dir() else None
    names = _names(language)[1:]
    if language.split("-")[0] == _TRANSLATED or any(_shipped(n) or _own(n, own) for n in names):
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
