"""Bringing in earlier work: a file of a spreadsheet held against the studio, then its records.

In: the studio, the path, what the maker said of columns. Out: what each column means, what is to be
done with each row, which photos go with which number; and, when it is wished, one new file for each
new record, named as `start piece` names them. `deeds.bringing` writes them.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path

from provenance.build.doubts import numbers_known, refuse_doubt
from provenance.build.starting import piece_file
from provenance.language.phrases import Phrases
from provenance.press.tables.opening import open_table
from provenance.problems import Said, Slip
from provenance.public.names import outlet_title
from provenance.records.bring.columns import Columns, Wish, columns_of, wish_from
from provenance.records.bring.facts import rows_told
from provenance.records.bring.headings import WORDS, folded
from provenance.records.bring.proposal import Known, New, Proposal, propose
from provenance.records.bring.table import Table
from provenance.records.bring.values import Ways, outlet_names
from provenance.records.bring.written import text_of_record
from provenance.records.found_photos import photos_by_number
from provenance.records.new_records import numbers_taken
from provenance.records.schema import modeline
from provenance.studio import Studio


@dataclass(frozen=True, slots=True)
class Brought:
    """A table read and held against the studio; `photos` are the files found for new numbers."""

    table: Table
    columns: Columns
    proposal: Proposal
    photos: Mapping[str, Sequence[str]]

    def files(self) -> dict[str, str]:
        """The text of each new record by the name of its file."""
        return {file_of(each): _text(each) for each in self.proposal.new}


def bring(
    studio: Studio, path: Path, sheet: str, wishes: Sequence[str], phrases: Phrases
) -> Brought:
    """Read a table and hold it against the studio. Raises Slip for a file without a table that can
    be read, WrongWish for columns that are not there."""
    refuse_doubt(studio.book)
    names = {folded(phrases.say(f"bring_word.{word.replace(' ', '_')}")): word for word in WORDS}
    asked: list[Wish] = [wish_from(each, names) for each in wishes]
    table = open_table(path, sheet)
    columns = columns_of(table, asked, names)
    if not columns.has("title"):
        raise Slip(Said("bring.which_title", columns=_headings(columns)), Said("bring.say_title"))
    if not columns.has("number", "finished"):
        raise Slip(Said("bring.which_year", columns=_headings(columns)), Said("bring.say_year"))
    habits = studio.habits
    rows = list(rows_told(table, columns, Ways(habits, studio.today, _outlets(studio))))
    taken = numbers_taken(studio.book.folder) | numbers_known(studio.book)
    known = Known(studio.book, taken, habits)
    proposal = propose(rows, known)
    new = {each.number for each in proposal.new}
    photos = photos_by_number(studio.book.folder, new | set(studio.book.pieces))
    found = {number: files for number, files in photos.items() if number in new}
    return Brought(table, columns, proposal, found)


def _outlets(studio: Studio) -> Mapping[str, str]:
    outlets = studio.book.outlets.values()
    return dict(outlet_names([(str(each.name), outlet_title(each)) for each in outlets]))


def _headings(columns: Columns) -> str:
    return ", ".join(each.heading for each in columns.all)


def file_of(new: New) -> str:
    """The file of a new record, in the record folder."""
    return piece_file(new.number, str(new.piece.title))


def _text(new: New) -> str:
    return text_of_record(new.facts, new.number, modeline("piece"))
