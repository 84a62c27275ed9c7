"""One value of a record changed in the maker's own text, and no other byte.

In: the bytes of a record file, and wishes: a value to put under a word, a word to drop, an item to
add to a list. Out: the bytes with that value alone changed: notes, quotes, spaces, line ends, byte
order mark and a missing last line end stay. A new word goes where the order of its record has it,
in the form of the mapping it joins. What was written is read again and compared: the one value
differs, nothing else does. What can't be done so is refused with its place and the line to write by
hand: values that are shared by reference, stand in a block or over several lines, or are no single
text; braces on one line can be changed as a whole.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass

from provenance.problems import Said, Slip
from provenance.records.rereading import OPEN, means, reread
from provenance.records.spans import Edit, RecordText, Span
from provenance.records.text import quoted

Path = tuple[str | int, ...]  # words, and turns in lists, from the top of the file
Value = str | Mapping[str, "Value"]
_PLAIN = re.compile(r"(?:[^\W_]|[£€$¥])(?:[\w .,+%/'()&!?;-]*[\w.,+%/')!?£€$¥-])?")
_NO_TEXT = ("yes", "no", "true", "false", "on", "off", "null")
_NOTE = re.compile(r" *#(?! yaml-language)")
_DASH = re.compile(r"( *)-( +)")
_REST_OF_LINE = re.compile(r"[ \t]*(,?)[ \t]*(?:#[^\n]*)?(?=\n)")


@dataclass(frozen=True, slots=True)
class Put:
    """A value to be under a word; `order` has the words of such a record in their order."""

    path: Path
    value: Value
    order: Sequence[str] = ()


@dataclass(frozen=True, slots=True)
class Drop:
    """A word to be gone; left open where a note stands beside it."""

    path: Path


@dataclass(frozen=True, slots=True)
class Add:
    """An item to be the last of the list under a word; the list is begun where there is none."""

    path: Path
    value: Value
    order: Sequence[str] = ()


Wish = Put | Drop | Add


def patched(raw: bytes, file: str, wishes: Iterable[Wish]) -> bytes:
    """The bytes with every wish carried out, one after another. Raises Slip for what isn't sure."""
    for wish in wishes:
        raw = _carried_out(RecordText(raw, file), wish)
    return raw


def _carried_out(text: RecordText, wish: Wish) -> bytes:
    for edits in _ways(text, wish):
        changed = text.edited(edits)
        if _differs_there_alone(text, changed, wish):
            return changed
    raise _refused(text, _nearest(text.spans, wish.path), "unsure", wish)


def _nearest(span: Span, path: Path) -> int:
    """Where what a path leads to begins, or the last on the way that is there."""
    for step in path:
        found = span.of(step)
        if found is None:
            break
        span = found[1]
    return span.start


def _refused(text: RecordText, at: int, why: str, wish: Wish) -> Slip:
    """Why a wish can't be carried out, where, and what to write by hand."""
    place, word = text.place(at), str(wish.path[-1])
    by_hand = Said("patch.drop", entry=word)
    if isinstance(wish, Put):
        by_hand = Said("patch.write", entry=f"{word}: {_rendered(wish.value, '')}")
    elif isinstance(wish, Add):
        by_hand = Said("patch.add", word=word, entry=f"- {_rendered(wish.value, '')}")
    what = Said("problem.placed", place=str(place), what=Said(f"patch.{why}", word=word))
    return Slip(what, by_hand, place)


def _ways(text: RecordText, wish: Wish) -> Iterator[list[Edit]]:
    """Ways to carry out a wish, best first; a Slip where the text is of a kind that is refused."""
    home = _home(text, wish)
    if home.borrows:
        raise _refused(text, home.start, "reference", wish)
    word = str(wish.path[-1])
    found = home.of(word)
    if isinstance(wish, Drop):
        if found:
            yield from _dropped(text, home, found)
    elif found and isinstance(wish, Put):
        yield [_replaced(text, home, found[1], wish)]
    elif found and isinstance(wish, Add):
        yield from _added(text, found[1], wish)
    else:
        entry = _entry(text, home, wish)
        yield from (_inserted_flow if home.flow else _inserted)(text, home, entry, wish)


def _home(text: RecordText, wish: Wish) -> Span:
    """The mapping in which the last word of the path stands or will stand."""
    span = text.spans
    for step in wish.path[:-1]:
        found = None if span.kind == "fields" and span.borrows else span.of(step)
        if found is None or found[1].kind == "reference" or found[1].shared:
            raise _refused(text, (found[1] if found else span).start, "reference", wish)
        span = found[1]
    if span.kind != "fields":
        raise _refused(text, span.start, "no_words", wish)
    return span


def _entry(text: RecordText, home: Span, wish: Put | Add) -> str:
    """A new word with its value; a list begins on a line of its own where that can be."""
    word, value = wish.path[-1], _rendered(wish.value, "", text.quote, in_flow=home.flow)
    if isinstance(wish, Put):
        return f"{word}: {value}"
    if home.flow or not home.pairs:
        return f"{word}: [{value}]"
    first = home.pairs[0][0].start
    return f"{word}:\n{' ' * (first - text.start_of_line(first) + 2)}- {value}"


def _added(text: RecordText, old: Span, wish: Add) -> Iterator[list[Edit]]:
    """One more item after the last, in the form of the list."""
    if old.kind == "reference" or old.shared:
        raise _refused(text, old.start, "reference", wish)
    if old.kind != "list" or not old.items:
        raise _refused(text, old.start, "no_list", wish)
    last, item = old.items[-1], _rendered(wish.value, "", text.quote, in_flow=True)
    if old.flow:
        yield from _after(text, last, last, item)
    elif dash := _DASH.fullmatch(text.text, text.start_of_line(last.start), last.start):
        at = _end_of_entry(text, last, len(dash[1]))
        yield [(at, at, f"\n{dash[0]}{item}")]


def _replaced(text: RecordText, home: Span, old: Span, wish: Put) -> Edit:
    if old.kind == "reference" or old.shared:
        raise _refused(text, old.start, "reference", wish)
    is_line = old.kind == "fields" and old.flow and not set("\n#&*") & set(_cut(text, old))
    if old.kind != "text" and not (is_line and isinstance(wish.value, Mapping)):
        raise _refused(text, old.start, "several", wish)
    if old.style in ("|", ">") or "\n" in _cut(text, old):
        raise _refused(text, old.start, "lines", wish)
    new = _rendered(wish.value, old.style, text.quote, in_flow=home.flow)
    if old.end > old.start:
        return old.start, old.end, new
    colon = len(text.text[: old.start].rstrip(" \t"))
    return colon, colon, f" {new}"


def _cut(text: RecordText, span: Span) -> str:
    return text.text[span.start : span.end]


def _inserted(text: RecordText, home: Span, entry: str, wish: Put | Add) -> Iterator[list[Edit]]:
    """A line of its own: after what goes before it, else before what follows, else at the end."""
    if not home.pairs:
        raise _refused(text, home.start, "no_words", wish)
    first = home.pairs[0][0].start
    column = first - text.start_of_line(first)
    before, after = _neighbours(home, wish)
    for _, value in before:
        at = _end_of_entry(text, value, column)
        yield [(at, at, f"\n{' ' * column}{entry}")]
    for word, _ in after:
        if text.is_first(word.start):
            at = _above_notes(text, text.start_of_line(word.start))
            yield [(at, at, f"{' ' * column}{entry}\n")]


def _above_notes(text: RecordText, at: int) -> int:
    """The start of the notes directly above a line; what editors read stays at the top."""
    while at and _NOTE.match(text.text, start := text.start_of_line(at - 1)):
        at = start
    return at


def _end_of_entry(text: RecordText, value: Span, column: int) -> int:
    """The end of its last line, and of notes below that are set in further than its word."""
    at = text.end_of_line(len(text.text[: value.end].rstrip()))
    note = re.compile(rf"\n {{{column + 1},}}#[^\n]*")
    while found := note.match(text.text, at):
        at = found.end()
    return at


def _neighbours(
    home: Span, wish: Put | Add
) -> tuple[list[tuple[Span, Span]], list[tuple[Span, Span]]]:
    """Entries that a new word may follow, nearest first, the last of all as well; and precede."""
    order, word = list(wish.order), str(wish.path[-1])
    turn = order.index(word) if word in order else len(order)
    before = filter(None, map(home.of, reversed(order[:turn])))
    after = filter(None, map(home.of, order[turn + 1 :]))
    last = home.pairs[-1]
    return [*before, last], [*after, last]


def _inserted_flow(
    text: RecordText, home: Span, entry: str, wish: Put | Add
) -> Iterator[list[Edit]]:
    """Inside braces: in the same line, or in one of its own where every word has its own."""
    if not home.pairs:
        yield [(home.start + 1, home.start + 1, entry)]
        return
    before, after = _neighbours(home, wish)
    for word, value in before:
        yield from _after(text, word, value, entry)
    for word, _ in after:
        yield [(word.start, word.start, f"{entry}, ")]


def _after(text: RecordText, first: Span, last: Span, entry: str) -> Iterator[list[Edit]]:
    rest = _REST_OF_LINE.match(text.text, last.end)
    if rest and text.is_first(first.start):
        column = first.start - text.start_of_line(first.start)
        line = f"\n{' ' * column}{entry}{rest[1]}"
        comma = "" if rest[1] else ","
        if rest.end() == last.end:
            yield [(last.end, last.end, comma + line)]
        yield [(last.end, last.end, comma), (rest.end(), rest.end(), line)]
    yield [(last.end, last.end, f", {entry}")]


def _dropped(text: RecordText, home: Span, pair: tuple[Span, Span]) -> Iterator[list[Edit]]:
    word, value = pair
    if home.flow:
        yield from _dropped_flow(text, home, word, value)
    elif text.is_first(word.start):
        start, end = text.start_of_line(word.start), text.end_of_line(value.end)
        if not text.text[value.end : end].strip():
            ends_file = end == len(text.text)
            yield [(start - 1, end, "") if ends_file and start else (start, end + 1, "")]
    start = value.start if home.flow else len(text.text[: value.start].rstrip(" \t"))
    yield [(start, value.end, "")]


def _dropped_flow(text: RecordText, home: Span, word: Span, value: Span) -> Iterator[list[Edit]]:
    turn = [each for each, _ in home.pairs].index(word)
    edit = (word.start, home.pairs[1][0].start) if turn == 0 and home.pairs[1:] else None
    edit = (home.pairs[turn - 1][1].end, value.end) if turn else edit
    if edit and "#" not in text.text[edit[0] : edit[1]]:
        yield [(*edit, "")]


def _rendered(value: Value, style: str, quote: str = '"', *, in_flow: bool = False) -> str:
    """A value as it is typed: bare where that is safe, in quotes where it was or must be."""
    if not isinstance(value, str):
        inside = (
            f"{word}: {_rendered(each, '', quote, in_flow=True)}" for word, each in value.items()
        )
        return "{" + ", ".join(inside) + "}"
    is_plain = _PLAIN.fullmatch(value) and value.lower() not in _NO_TEXT
    if not style and is_plain and not (in_flow and "," in value):
        return value
    single = "'" + value.replace("'", "''") + "'"
    return single if (style or quote) == "'" else quoted(value)


def _differs_there_alone(text: RecordText, changed: bytes, wish: Wish) -> bool:
    """Whether the changed bytes, read again, say what is wished and else what they said before."""
    found = reread(text, changed, wish.path)
    if found is None:
        return False
    old, new = found
    if isinstance(wish, Drop):
        return new in (None, OPEN)
    if isinstance(wish, Add):
        return bool(new) and new[:-1] == (old or []) and means(new[-1], wish.value)
    return means(new, wish.value)
