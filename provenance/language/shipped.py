"""The phrases of a language as they came with the program, read group by group.

In: the files of a language's folder. Out: phrases by name (`label.size`). Files are cut at their
headings, and a group is parsed when a phrase of it is first asked for: most runs say a few
sentences of two thousand. A heading stands alone on its line; no phrase has such a line.
"""

import re
import tomllib
from collections.abc import Iterator, Mapping
from functools import lru_cache
from pathlib import Path

BASE = "en-GB"
_HOME = Path(__file__).parent
_HEADING = re.compile(r"^\[([^\]\n]+)\][ \t]*$", re.MULTILINE)


class Shipped(Mapping[str, str]):
    """All phrases of one language by name; empty when there is none."""

    def __init__(self, language: str) -> None:
        self._parts: dict[str, list[str]] = {}
        self._groups: dict[str, dict[str, str]] = {}
        for path in sorted((_HOME / language).glob("*.toml")):
            _, *parts = _HEADING.split(path.read_text(encoding="utf-8"))
            for name, part in zip(parts[::2], parts[1::2], strict=True):
                self._parts.setdefault(name, []).append(part)

    def __getitem__(self, name: str) -> str:
        group, _, word = name.partition(".")
        return self._group(group)[word]

    def _group(self, name: str) -> dict[str, str]:
        if name not in self._groups:
            words: dict[str, str] = {}
            for part in self._parts.get(name, ()):
                words |= tomllib.loads(part)
            self._groups[name] = words
        return self._groups[name]

    def __iter__(self) -> Iterator[str]:
        return (f"{group}.{word}" for group in self._parts for word in self._group(group))

    def __len__(self) -> int:
        return sum(len(self._group(group)) for group in self._parts)


@lru_cache(maxsize=8)
def shipped(language: str = BASE) -> Shipped:
    """A language as it came with the program.

    British English is what names and values of changed phrases are held against.
    """
    return Shipped(language)


class Catalogue(Mapping[str, str]):
    """Phrases laid over each other, the topmost first; each is looked for once."""

    def __init__(self, *layers: Mapping[str, str]) -> None:
        self._layers = layers
        self._found: dict[str, str | None] = {}

    def __getitem__(self, name: str) -> str:
        if name not in self._found:
            found = (layer[name] for layer in self._layers if name in layer)
            self._found[name] = next(found, None)
        text = self._found[name]
        if text is None:
            raise KeyError(name)
        return text

    def __iter__(self) -> Iterator[str]:
        return iter(dict.fromkeys(name for layer in reversed(self._layers) for name in layer))

    def __len__(self) -> int:
        return sum(1 for _ in self)
