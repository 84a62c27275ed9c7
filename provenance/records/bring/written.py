"""One row as a record: read as any record is, and its text.

In: the facts of a row and a number. Out: the piece they make, or what is wrong with it; the text of
the file, in the order a maker would write it. Who bought it and for how much stand under `sale`, in
fields that never leave private papers.
"""

import re
from collections.abc import Iterator, Mapping

from provenance.problems import NOWHERE, Problems
from provenance.records.new_records import plain_or_quoted
from provenance.records.numbers import Habits
from provenance.records.pieces import Piece
from provenance.records.reading import read_record
from provenance.records.text import Fields, Written, quoted

_ORDER = ("title", "earlier", "kind", "structure", "finished", "size", "weight", "made of",
          "signed", "edition", "hours", "price", "at", "kept", "status")  # fmt: skip
_BARE = frozenset(("earlier", "kind", "finished", "size", "weight", "hours", "price", "status"))
_SALE = {"on": "sold on", "price": "sold for", "at": "sold at", "to": "to", "consent": "consent"}
_BUYER = {"name": "buyer", "email": "email"}


def piece_of(
    facts: Mapping[str, str], number: str, habits: Habits, problems: Problems
) -> Piece | None:
    """The piece that a row makes; None where a fact can't be, and why is noted."""
    words = {"number": number, **facts, "earlier": "yes"}
    plain = {word: words[word] for word in ("number", *_ORDER, "story", "notes") if word in words}
    fields = _fields(plain)
    if "sold on" in facts:
        sale = _fields(_from(facts, _SALE))
        if buyer := _from(facts, _BUYER):
            sale[Written("buyer")] = _fields(buyer)
        fields[Written("sale")] = sale
    return read_record(Piece, fields, habits, problems)


def _fields(words: Mapping[str, str]) -> Fields:
    return Fields(
        NOWHERE, [(Written(word), Written(text, quoted=True)) for word, text in words.items()]
    )


def _from(facts: Mapping[str, str], names: Mapping[str, str]) -> dict[str, str]:
    return {word: facts[name] for word, name in names.items() if name in facts}


def text_of_record(facts: Mapping[str, str], number: str, modeline: str) -> str:
    """The text of a record's file."""
    lines = [modeline, f"number: {number}", *_lines({**facts, "earlier": "yes"})]
    if "sold on" in facts:
        lines.append(f"sale: {{{', '.join(_inside(facts))}}}")
    for word in ("story", "notes"):
        if word in facts:
            lines += _block(word, facts[word])
    return "\n".join([*lines, ""])


def _lines(facts: Mapping[str, str]) -> Iterator[str]:
    for word in (each for each in _ORDER if each in facts):
        value = facts[word]
        is_bare = word in _BARE and re.fullmatch(r"[\w .,/:-]+", value)
        yield f"{word}: {value if is_bare else plain_or_quoted(value)}"


def _inside(facts: Mapping[str, str]) -> Iterator[str]:
    for word, value in _from(facts, _SALE).items():
        is_bare = word in ("on", "consent") or re.fullmatch(r"[0-9]+(\.[0-9]+)?", value)
        yield f"{word}: {value if is_bare else quoted(value)}"
    if buyer := _from(facts, _BUYER):
        yield f"buyer: {{{', '.join(f'{word}: {quoted(text)}' for word, text in buyer.items())}}}"


def _block(word: str, text: str) -> list[str]:
    """A text of one line as it is, of several as a block; one with odd spaces in quotes."""
    if "\n" not in text and text == " ".join(text.split()):
        return [f"{word}: {plain_or_quoted(text)}"]
    lines = text.split("\n")
    is_even = all(line == line.strip() for line in lines) and lines[0] and lines[-1]
    if not is_even:
        escaped = quoted(text).replace("\n", "\\n")
        return [f"{word}: {escaped}"]
    return [f"{word}: |-", *(f"  {line}".rstrip() for line in lines)]
