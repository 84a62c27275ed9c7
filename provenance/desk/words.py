"""Words to complete what is being typed: keys of the record, and the names that may stand there.

In: `GET /words?at=PATH&column=C&line_text=...&inside=...`: `line_text` is the line the cursor is
in, as it is typed, `column` counts from 1 and stands before the sign the cursor is before; `inside`
are the keys that the line stands under, the outermost first, with `/` between them (`yarns`,
`hours/dyeing`; a dash of a list is no key; '' at the left edge). Keys inside braces of the same
line are found here.
Out: `[{"word", "note", "insert"}]`, nearest first: `word` as it is shown, `note` what it means or
where it comes from, `insert` what takes the place of the letters typed so far (`from` in each: the
column where these begin). Meanings are those of the record schemas.
"""

import re
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from typing import Any

from provenance.language.phrases import Phrases
from provenance.records.book import LOT_FILES, Book
from provenance.records.schema import schemas

Schema = Mapping[str, Any]
MOST = 60
_FOLDERS = {"dyebook": "bath", "commissions": "commission", "shows": "show"}
_KEY = re.compile(r"""("[^"]*"|'[^']*'|[^\s,:{}\[\]#"'][^,:{}\[\]#]*?)\s*:(?=\s|$)""")
_ACTIVITY = "activity."


@dataclass(frozen=True, slots=True)
class Spot:
    """Where the cursor is: the keys above, the key whose value is typed ('' for a key), the letters
    so far and the column where they begin."""

    above: tuple[str, ...]
    key: str
    typed: str
    column: int


def spot_of(line: str, column: int, inside: str) -> Spot:
    """Where a cursor is, from its line and the keys above."""
    before, above = line[: max(column - 1, 0)], [each for each in inside.split("/") if each]
    key, start, at = "", 0, 0
    open_here: list[tuple[str, bool]] = []
    dash = re.match(r"\s*(?:-\s+)*", before)
    start = at = dash.end() if dash else 0
    while at < len(before):
        sign = before[at]
        found = _KEY.match(before, at) if not key and not before[start:at].strip() else None
        if found:
            key, at = found[1].strip("\"'"), found.end()
            start = at
            continue
        if sign in "{[":
            open_here.append((key, sign == "["))
            key, start = "", at + 1
        elif sign in "}]" and open_here:
            key, start = open_here.pop()[0], at + 1
        elif sign == "," and open_here:
            key, start = "", at + 1
        at += 1
    above += [each for each, _ in open_here if each]
    if not key and open_here and open_here[-1][1] and above:
        key, above = above[-1], above[:-1]  # a bare list: its items are values
    typed = before[start:].lstrip()
    return Spot(tuple(above), key, typed, len(before) - len(typed) + 1)


def words_at(book: Book, phrases: Phrases, name: str, spot: Spot) -> list[dict[str, Any]]:
    """What may stand at a spot of a record file; nothing where nothing is known."""
    schema = schemas(phrases.words).get(f"{_kind(name)}.json")
    if schema is None:
        return []
    here = _under(schema, schema, spot.above)
    found = _values(schema, here, book, spot) if spot.key else _keys(here, book, phrases, spot)
    typed = spot.typed.casefold()
    fit = [each for each in found if typed in each[0].casefold()]
    fit.sort(key=lambda each: not each[0].casefold().startswith(typed))
    end = "" if spot.key else ": "
    return [{"word": word, "note": note, "insert": word + end, "from": spot.column}
            for word, note in fit[:MOST]]  # fmt: skip


def _kind(name: str) -> str:
    folder, _, last = name.rpartition("/")
    stem = last.rpartition(".")[0]
    if folder == "studio":
        return stem if stem in LOT_FILES or stem == "studio" else ""
    return _FOLDERS.get(folder, "" if folder else "piece")


def _shapes(whole: Schema, shape: Any) -> Iterator[Schema]:
    """Every form that a value may have, references followed; of a list that of its items."""
    if not isinstance(shape, dict):
        return
    yield shape
    if reference := str(shape.get("$ref", "")):
        yield from _shapes(whole, whole.get("$defs", {}).get(reference.rpartition("/")[2]))
    for each in (*shape.get("anyOf", ()), shape.get("items")):
        yield from _shapes(whole, each)


def _under(whole: Schema, shape: Schema, path: Iterable[str]) -> list[Schema]:
    """The forms of what stands under a path of keys."""
    here = list(_shapes(whole, shape))
    for key in path:
        inner = [each.get("properties", {}).get(key, each.get("additionalProperties"))
                 for each in here]  # fmt: skip
        here = [form for each in inner for form in _shapes(whole, each)]
    return here


def _keys(here: list[Schema], book: Book, phrases: Phrases, spot: Spot) -> list[tuple[str, str]]:
    """Keys with their meaning; names, where keys are names."""
    last = spot.above[-1] if spot.above else ""
    if last in ("hours", "shared", "pay", "any") or spot.above[-2:] == ("hours",):
        known = (name for name in phrases.words if name.startswith(_ACTIVITY))
        return [(name.removeprefix(_ACTIVITY), phrases.words[name]) for name in known]
    named = _names(book, last)
    if named:
        return named
    found: dict[str, str] = {}
    for shape in here:
        for word, value in shape.get("properties", {}).items():
            found.setdefault(word, str(value.get("description", "")))
    return list(found.items())


def _values(whole: Schema, here: list[Schema], book: Book, spot: Spot) -> list[tuple[str, str]]:
    """Values: names of what the book has, else the words that the schema knows."""
    named = _names(book, spot.key)
    if named:
        return named
    forms = [form for shape in here
             for form in _shapes(whole, shape.get("properties", {}).get(spot.key))]  # fmt: skip
    return [(str(word), "") for form in forms for word in form.get("enum", ())]


def _names(book: Book, key: str) -> list[tuple[str, str]]:
    """Names of lots, outlets, pieces that may stand under a key."""
    dyed = {name: each.bath_name for name, each in book.dyed.items()}
    yarns = [(name, _title(each)) for name, each in book.yarns.items()] + list(dyed.items())
    fleece = [(name, _title(each)) for name, each in book.fleece.items()]
    stuffs = [(name, _title(each)) for name, each in book.dyestuffs.items()]
    mordants = [(name, _title(each)) for name, each in book.mordants.items()]
    pieces = [(number, str(each.title)) for number, each in book.pieces.items()]
    return {
        "lot": yarns,
        "yarn": yarns,
        "fleece": fleece,
        "dyes": stuffs,
        "mordants": mordants,
        "after": mordants + stuffs,
        "at": [(name, _title(each)) for name, each in book.outlets.items()],
        "outlet": [(name, _title(each)) for name, each in book.outlets.items()],
        "sundries": [(name, _title(each)) for name, each in book.sundries.items()],
        "exhaust of": [(name, "") for name in book.baths],
        "works": pieces,
        "like": pieces,
        "piece": pieces,
    }.get(key, [])


def _title(record: object) -> str:
    return str(getattr(record, "title", "") or "")
