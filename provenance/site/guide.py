"""How to check what lies in the site's folder, without the studio and without a program of ours.

In: the studio's phrases, its public keys with their days, where its files lie, the statements of
each piece. Out: one guide, as a text file and as parts that a page shows: the words of both are the
same. Addresses in it that are files of the folder become links on the page.
"""

import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import date

from provenance.language.phrases import Phrases
from provenance.site.checking import TrustedKey

TEXT, PAGE = "how-to-check.txt", "how-to-check.html"
_ADDRESS = re.compile(r"[\w.-]+(?:/[\w.-]+)*\.(?:html|jsonld|json)\b")
_ITEM = re.compile(r"(?:- |\d+\. )")


@dataclass(frozen=True, slots=True)
class Part:
    """A paragraph (`kind` is p), or a list (ul, ol) under its heading; each line is bits of text,
    which are addresses where they lead to a file."""

    kind: str
    heading: str
    lines: tuple[tuple[tuple[str, bool], ...], ...]


@dataclass(frozen=True, slots=True)
class Guide:
    """Its title, its words, and the files of the folder that they name."""

    title: str
    words: str
    files: frozenset[str]

    @property
    def content(self) -> bytes:
        """The text file."""
        return f"{self.title}\n\n{self.words}\n".encode()

    @property
    def parts(self) -> tuple[Part, ...]:
        """What the page shows."""
        return tuple(self._part(block.split("\n")) for block in self.words.split("\n\n"))

    def _part(self, lines: Sequence[str]) -> Part:
        head, *items = lines
        if not items or not _ITEM.match(items[0]):
            return Part("p", "", (self._bits(" ".join(lines)),))
        kind = "ul" if items[0].startswith("- ") else "ol"
        told = tuple(self._bits(_ITEM.sub("", each, count=1)) for each in items)
        return Part(kind, head.removesuffix(":"), told)

    def _bits(self, line: str) -> tuple[tuple[str, bool], ...]:
        return tuple(self._bits_of(line))

    def _bits_of(self, line: str) -> Iterator[tuple[str, bool]]:
        end = 0
        for found in _ADDRESS.finditer(line):
            if found[0] in self.files:
                yield line[end : found.start()], False
                yield found[0], True
                end = found.end()
        yield line[end:], False


def guide(
    phrases: Phrases,
    named: Mapping[str, str],
    keys: Sequence[TrustedKey],
    statements: Mapping[str, Sequence[str]],
) -> Guide:
    """The guide; `named` fills its words: studio, site, where keys and terms lie; `statements` are
    files by the number and title of their piece."""
    words = [phrases.say("guide.words", **named)]
    told = [f"- {_key(phrases, each)}" for each in keys]
    words.append("\n".join([phrases.say("guide.keys"), *told]))
    if statements:
        each = [f"- {title}: {', '.join(files)}" for title, files in statements.items()]
        words.append("\n".join([phrases.say("guide.pieces"), *each]))
    files = {"index.html", "checking/index.html", named["keys"], named["terms"]}
    known = files.union(*statements.values())
    return Guide(phrases.say("guide.title"), "\n\n".join(words), frozenset(known))


def _key(phrases: Phrases, key: TrustedKey) -> str:
    """A key by its fingerprint, with its days."""
    days = {"since": key.since, "until": key.until, "withdrawn": key.withdrawn}
    told = {word: phrases.day(date.fromisoformat(day)) for word, day in days.items() if day}
    name = "withdrawn" if key.withdrawn else "until" if key.until else "since"
    return phrases.say(f"guide.key_{name}", key=key.fingerprint, **told)
