"""What `bring` found in a table: its columns, the records it makes, the rows that are refused.

In: a table held against the studio. Out: a `Report` for the terminal, and JSON with stable keys.
Nothing here is for others: buyers and what they paid are in it.
"""

from collections.abc import Iterator, Mapping, Sequence
from functools import partial
from itertools import groupby
from typing import Any

from provenance.problems import SILENCE, Said, Words
from provenance.records.bring.columns import Columns
from provenance.records.bring.facts import Fault
from provenance.records.bring.proposal import New, Proposal
from provenance.records.bring.table import Table as Read
from provenance.records.bring.table import letter, text_of, tidy
from provenance.records.bring.values import Column as Meant
from provenance.reports.report import Column, Note, Part, Report, Table, rows

MOST = 25  # rows of each table in the terminal
_SHORT = 32  # letters of an example
_NARROW = 5  # letters of a number
# What is shown of a new record, and the least width of a terminal that has room for it.
_SHOWN = (("row", 0), ("number", 0), ("title", 0), ("finished", 0), ("kind", 100), ("size", 0),
          ("price", 88), ("photos", 0))  # fmt: skip
_IN_FIGURES = ("row", "price", "photos")


def bring_report(
    read: Read, columns: Columns, proposal: Proposal, photos: Mapping[str, Sequence[str]],
    texts: Mapping[str, str],
) -> Report:  # fmt: skip
    """The report; `texts` are the new records by the names of their files."""
    parts = (
        Note(read.how, "dim", is_set_in=False),
        _columns(read, columns),
        *_new(proposal, photos),
        *_first(texts),
        *_changed(proposal),
        *_faults("questions", list(_questions(proposal))),
        *_faults("refused", proposal.refused),
        *_faults("remarks", proposal.remarks),
        _counts(proposal),
    )
    data = partial(_data, read, columns, proposal, photos, list(texts))
    return Report(parts, Said("bring.heading", file=read.file), data=data)


def _columns(read: Read, columns: Columns) -> Table:
    heads = (
        Column(Said("bring.column"), whole=True),
        Column(Said("bring.means"), whole=True),
        Column(Said("bring.example"), grows=True),
    )
    lines = ((each.heading, _means(each), _example(read, columns, each)) for each in columns.all)
    return Table(heads, rows(*lines))


def _means(column: Meant) -> Words:
    if not column.word:
        return Said("bring.left_out")
    word = Said(f"bring_word.{column.word.replace(' ', '_')}")
    if column.word == "size":
        word = Said(
            "bring.width_first" if column.is_width_first else "bring.height_first", word=word
        )
    if column.unit:
        word = Said("bring.with_unit", word=word, unit=column.unit)
    if column.order:
        word = Said(
            "bring.with_order", word=word, order=Said(f"bring.{column.order.replace(' ', '_')}")
        )
    return Said("bring.by_values", word=word) if column.is_guessed else word


def _example(read: Read, columns: Columns, column: Meant) -> str:
    """The first cell of a column that says something."""
    below = (each.at(column.index) for each in read.rows if each.number > columns.row)
    text = next((tidy(text_of(cell)) for cell in below if cell != ""), "")
    line = " ".join(text.split())
    return line if len(line) <= _SHORT else f"{line[: _SHORT - 3].rstrip()}..."


def _new(proposal: Proposal, photos: Mapping[str, Sequence[str]]) -> Iterator[Part]:
    if not proposal.new:
        return
    heads = tuple(
        Column(Said(f"bring.new_{word}"), "numbers" if word in _IN_FIGURES else "words", least,
               grows=word == "title", whole=word != "title")
        for word, least in _SHOWN
    )  # fmt: skip
    lines = (_line(each, len(photos.get(each.number, ()))) for each in proposal.new[:MOST])
    yield Table(heads, rows(*lines), tuple(_more(len(proposal.new))), narrow=_NARROW)
    if count := sum(map(len, photos.values())):
        yield Note(Said("bring.photos", number=count, pieces=str(len(photos))))
    if any(each.is_numbered_here for each in proposal.new):
        yield Note(Said("bring.numbered_here"))


def _line(new: New, photos: int) -> tuple[Words, ...]:
    piece, facts = new.piece, new.facts
    number = f"{new.number} *" if new.is_numbered_here else new.number
    told = (facts.get(word, "") for word in ("finished", "kind", "size", "price"))
    return (str(new.row), number, str(piece.title), *told, str(photos) if photos else "")


def _more(count: int) -> Iterator[Note]:
    if count > MOST:
        yield Note(Said("bring.more", count=str(count - MOST)), "dim")


def _first(texts: Mapping[str, str]) -> Iterator[Part]:
    """The first record, whole, as it would be written."""
    for name, text in list(texts.items())[:1]:
        yield Note(Said("bring.first", file=name), is_apart=True)
        yield from (Note(line, "dim") for line in text.rstrip("\n").split("\n")[1:] if line)


def _changed(proposal: Proposal) -> Iterator[Part]:
    lines = [
        (str(each.row), each.number, word, old or "-", new)
        for each in proposal.changed
        for word, old, new in each.words
    ]
    if lines:
        words = ("row", "number", "word", "record", "table")
        heads = tuple(
            Column(Said(f"bring.changed_{word}"), "numbers" if word == "row" else "words",
                   grows=word == "table", whole=word in ("number", "word"))
            for word in words
        )  # fmt: skip
        said = (Note(Said("bring.not_overwritten")), *_more(len(lines)))
        yield Table(heads, rows(*lines[:MOST]), said, narrow=_NARROW)


def _questions(proposal: Proposal) -> Iterator[Fault]:
    """One question for each column, with the first of its rows."""

    def about(fault: Fault) -> tuple[str, str]:
        key = fault.remedy.key if isinstance(fault.remedy, Said) else ""
        return fault.column, key

    for (column, _), found in groupby(sorted(proposal.questions, key=about), about):
        first, *others = sorted(found, key=lambda each: each.row)
        also = Said("bring.also_rows", number=len(others)) if others else SILENCE
        what = Said("bring.and_others", what=first.what, others=also) if others else first.what
        yield Fault(first.row, column, what, _answer(column, first.remedy))


def _answer(column: str, remedy: Words) -> Words:
    return Said(remedy.key, column=column) if isinstance(remedy, Said) else remedy


def _faults(name: str, faults: Sequence[Fault]) -> Iterator[Part]:
    if faults:
        heads = (
            Column(Said("bring.new_row"), "numbers"),
            Column(Said("bring.column"), whole=True),
            Column(Said(f"bring.{name}"), grows=True),
        )
        lines = ((str(each.row), each.column, _with_remedy(each)) for each in faults[:MOST])
        yield Table(heads, rows(*lines), tuple(_more(len(faults))), narrow=_NARROW)


def _with_remedy(fault: Fault) -> Words:
    if not fault.remedy:
        return fault.what
    return Said("bring.with_remedy", what=fault.what, remedy=fault.remedy)


def _counts(proposal: Proposal) -> Note:
    rows_refused = len({each.row for each in proposal.refused})
    said = Said(
        "bring.counts",
        new=Said("bring.count_new", number=len(proposal.new)),
        there=Said("bring.count_there", number=len(proposal.there)),
        changed=Said("bring.count_changed", number=len(proposal.changed)),
        refused=Said("bring.count_refused", number=rows_refused),
    )
    return Note(said, "bold", is_apart=True, is_set_in=False)


def _data(
    read: Read, columns: Columns, proposal: Proposal, photos: Mapping[str, Sequence[str]],
    files: Sequence[str],
) -> dict[str, Any]:  # fmt: skip
    """The proposal with stable keys; `means` is a word as `--as` takes it, or null."""
    return {
        "file": read.file,
        "headings": columns.row,
        "columns": [
            {"column": each.heading, "letter": letter(each.index), "means": each.word or None,
             "unit": each.unit or None, "example": _example(read, columns, each)}
            for each in columns.all
        ],
        "new": [
            {"row": each.row, "number": each.number, "file": file,
             "facts": {word: text for word, text in each.facts.items() if word != "number"},
             "photos": list(photos.get(each.number, ()))}
            for each, file in zip(proposal.new, files, strict=True)
        ],
        "there": [{"row": row, "number": number} for row, number in proposal.there],
        "changed": [
            {"row": each.row, "number": each.number,
             "words": [{"word": word, "record": was, "table": is_}
                       for word, was, is_ in each.words]}
            for each in proposal.changed
        ],
        "questions": [_fault(each) for each in _questions(proposal)],
        "refused": [_fault(each) for each in proposal.refused],
        "remarks": [_fault(each) for each in proposal.remarks],
    }  # fmt: skip


def _fault(fault: Fault) -> dict[str, Any]:
    return {"row": fault.row, "column": fault.column or None, "what": fault.what,
            "remedy": fault.remedy or None}  # fmt: skip
