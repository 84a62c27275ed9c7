"""The text files of a site as words, so that words can be looked for in them.

In: the site folder, the names of its files. Out: for each file that holds text its words, in small
letters, one after another with a space between; and which of them hold some words in a row. Signs,
tags and line ends are nobody's words; what stands in quotes inside a tag is.
"""

import html
import json
import re
import unicodedata
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from functools import cached_property
from pathlib import Path

TEXTS = (".html", ".htm", ".json", ".jsonld", ".xml", ".txt", ".md", ".svg", ".js", ".css", ".csv")
NUMBER_DIGITS = 8
_LONG_NUMBER = re.compile(r"\d[\d\s./()-]{6,18}\d")
_WORD = re.compile(r"[^\W_]+")
_TAG = re.compile(r"<[^>]*>")
_QUOTED = re.compile(r"""=\s*(?:"([^"]*)"|'([^']*)')""")
_DATA = re.compile(r"<script[^>]*json[^>]*>(.*?)</script\s*>", re.DOTALL | re.IGNORECASE)
Phrase = tuple[str, ...]


def words_of(text: str) -> Phrase:
    """Words and numbers alone, in small letters, however their letters are made up."""
    return tuple(_WORD.findall(unicodedata.normalize("NFKC", text).casefold()))


@dataclass(frozen=True)
class SiteWords:
    """The words of every text file of a site."""

    folder: Path
    names: tuple[str, ...]

    @cached_property
    def texts(self) -> Mapping[str, str]:
        """Each file as it is written, what can't be read left out."""
        found = (name for name in self.names if Path(name).suffix.lower() in TEXTS)
        return {
            name: (self.folder / name).read_text(encoding="utf-8", errors="replace")
            for name in found
        }

    @cached_property
    def words(self) -> Mapping[str, str]:
        """Each file as words: ' one after another '."""
        return {name: _as_words(name, text) for name, text in self.texts.items()}

    @cached_property
    def _vocabularies(self) -> Mapping[str, frozenset[str]]:
        return {name: frozenset(words.split()) for name, words in self.words.items()}

    def files_with(self, phrases: Iterable[Phrase]) -> dict[Phrase, tuple[str, ...]]:
        """Which files hold which of these phrases; phrases that stand nowhere are left out."""
        wanted = tuple(dict.fromkeys(phrases))
        asked = frozenset(word for phrase in wanted for word in phrase)
        where: dict[str, set[str]] = {}
        for name, vocabulary in self._vocabularies.items():
            for word in asked & vocabulary:
                where.setdefault(word, set()).add(name)
        found = {}
        for phrase in wanted:
            names = set.intersection(*(where.get(word, set()) for word in phrase))
            text = f" {' '.join(phrase)} "
            if held := tuple(sorted(name for name in names if text in self.words[name])):
                found[phrase] = held
        return found


def number_word(digits: str) -> str:
    """The word that a long number is found by, however its digits are parted: its last eight, so
    that a country's code makes no difference."""
    return f"#{digits[-NUMBER_DIGITS:]}"


def _as_words(name: str, text: str) -> str:
    told: list[str] = []
    for part in _parts(name, text):
        told += words_of(part)
        told += (number_word(re.sub(r"\D", "", each)) for each in _LONG_NUMBER.findall(part))
    return f" {' '.join(told)} "


def _parts(name: str, text: str) -> Iterator[str]:
    """What can be read of a file: what stands between tags, and in them; data as its values."""
    ending = Path(name).suffix.lower()
    if ending in (".json", ".jsonld"):
        yield from _values(text)
    elif ending in (".html", ".htm", ".xml", ".svg"):
        for data in _DATA.findall(text):
            yield from _values(data)
        told = _DATA.sub(" ", text)
        yield html.unescape(_TAG.sub(" ", told))
        for tag in _TAG.findall(told):
            yield from (html.unescape(a or b) for a, b in _QUOTED.findall(tag))
    else:
        yield text


def _values(text: str) -> Iterator[str]:
    """The texts in JSON; JSON that can't be read as it stands."""
    try:
        waiting = [json.loads(text)]
    except (ValueError, RecursionError):
        yield text
        return
    while waiting:
        value = waiting.pop()
        if isinstance(value, dict):
            waiting += value.values()
        elif isinstance(value, list):
            waiting += value
        else:
            yield str(value)
