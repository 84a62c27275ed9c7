"""What the rows of a table say, each by itself, in the words of a record.

In: a table, its columns, the ways values are read. Out: for each row its facts, or what is wrong
with it, cell by cell; a kind that is none of ours is kept in the notes, and that is told.
"""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date

from provenance.problems import Said, Slip, Words
from provenance.records.bring.columns import Columns
from provenance.records.bring.table import Row, Table, text_of, tidy
from provenance.records.bring.values import READERS, Column, Ways, is_empty
from provenance.records.faults import unseen_told
from provenance.reference.signs import first_unseen

_SIDES = ("height", "width", "depth")
_OF_A_SALE = ("sold on", "sold for", "sold at", "to", "buyer", "email")


@dataclass(frozen=True, slots=True)
class Fault:
    """What is wrong with a row, and in which column, where it is one."""

    row: int
    column: str
    what: Words
    remedy: Words = ""


@dataclass(slots=True)
class Told:
    """What one row says; `notes` are lines for the maker alone."""

    row: int
    facts: dict[str, str] = field(default_factory=dict)
    notes: list[str] = field(default_factory=list)
    faults: list[Fault] = field(default_factory=list)
    remarks: list[Fault] = field(default_factory=list)

    def add(self, column: str, what: Words, remedy: Words = "") -> None:
        """Note what is wrong."""
        self.faults.append(Fault(self.row, column, what, remedy))


def rows_told(table: Table, columns: Columns, ways: Ways) -> Iterator[Told]:
    """Every row below the headings that says anything."""
    for row in table.rows:
        if row.number > columns.row and any(row.at(each.index) != "" for each in columns.meant):
            yield _told(row, columns, ways)


def _told(row: Row, columns: Columns, ways: Ways) -> Told:
    told = Told(row.number)
    for column in columns.meant:
        _read(told, row, column, ways)
    if not told.faults:
        _one_size(told, columns.meant)
        _one_sale(told)
        if not told.facts.get("title"):
            told.add("", Said("bring.no_title"), Said("bring.write_title"))
    return told


def _read(told: Told, row: Row, column: Column, ways: Ways) -> None:
    """One cell, by the word of its column."""
    if what := row.faults.get(column.index):
        told.add(column.heading, Said(f"bring.{what}"), Said(f"bring.{what}_mend"))
        return
    cell = row.at(column.index)
    if column.word == "number" and isinstance(cell, date):
        made = Said("bring.number_day", text=text_of(cell))
        told.add(column.heading, made, Said("bring.number_as_text"))
        return
    text = tidy(text_of(cell))
    if is_empty(text, column.word):
        return
    if (unseen := first_unseen(text)) is not None:
        told.add(column.heading, unseen_told(text[unseen]), Said("line.type_again"))
        return
    try:
        value = READERS[column.word](text, column, ways)
    except Slip as slip:
        if column.word == "kind":
            told.facts["kind"] = "other"
            told.notes.append(f"kind: {text}")
            told.remarks.append(
                Fault(row.number, column.heading, slip.what, Said("bring.as_other"))
            )
        else:
            told.add(column.heading, slip.what, slip.remedy)
        return
    _keep(told, column, value)


def _keep(told: Told, column: Column, value: str) -> None:
    """A value under its word; what is no outlet is where the piece is kept."""
    word = column.word
    if not value:
        return
    if word == "old number":
        told.notes.append(f"{column.heading}: {value}")
    elif word == "where" and value.startswith("?"):
        told.facts["kept"] = value[1:]
    elif word == "where":
        told.facts["at"] = value
    elif word == "sold at" and value.startswith("?"):
        told.notes.append(f"sold at: {value[1:]}")
    elif word == "notes" and told.facts.get("notes"):
        told.facts["notes"] += f"\n{value}"
    else:
        told.facts[word] = value


def _one_size(told: Told, columns: Sequence[Column]) -> None:
    """Height and width of columns of their own, as one size."""
    sides = {side: told.facts.pop(side) for side in _SIDES if side in told.facts}
    if not sides or "size" in told.facts:
        return
    if not {"height", "width"} <= sides.keys():
        heading = next(each.heading for each in columns if each.word in sides)
        told.add(heading, Said("bring.one_side"), Said("bring.both_sides"))
        return
    units = {side.rpartition(" ")[2] for side in sides.values()}
    told_sides = [sides[each] for each in _SIDES if each in sides]
    if len(units) == 1:
        unit = units.pop()
        told_sides = [*(each.removesuffix(f" {unit}") for each in told_sides[:-1]), told_sides[-1]]
    told.facts["size"] = " x ".join(told_sides)


def _one_sale(told: Told) -> None:
    """A sale where its day is known; else that it is sold, and the rest in the private notes."""
    facts = told.facts
    sale = {word: facts.pop(word) for word in _OF_A_SALE if word in facts}
    consent, said = facts.pop("consent", ""), facts.pop("sold", "")
    if said not in ("", "yes", "no"):
        sale.setdefault("sold on", said)
    is_sold = said != "no" and (said or sale or facts.get("status") == "sold")
    if said == "no" and sale:
        told.add("", Said("bring.not_sold", words=", ".join(sale)), Said("bring.sold_or_not"))
    elif is_sold and sale.get("sold on", "").count("-") == 2:
        facts |= {**sale, **({"consent": "yes"} if consent == "yes" else {})}
        if facts.get("status") == "sold":
            del facts["status"]
    elif is_sold:
        facts["status"] = "sold"
        told.notes += [f"{word}: {value}" for word, value in sale.items()]


def lines_of(told: Told) -> Mapping[str, str]:
    """The facts with the notes in one."""
    notes = [told.facts["notes"]] if "notes" in told.facts else []
    whole = "\n".join([*notes, *told.notes])
    return {**told.facts, **({"notes": whole} if whole else {})}
