"""Tables of spreadsheets, written by the standard library and openpyxl as other programs would."""

from __future__ import annotations

import csv
import io
import zipfile
from collections.abc import Iterable, Sequence
from datetime import date, datetime
from decimal import Decimal
from pathlib import Path
from typing import Any

import openpyxl
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from provenance.language.phrases import british
from provenance.press.tables.opening import open_table
from provenance.problems import Slip
from provenance.records.bring.table import Table, letter, text_of

ROWS = [
    ["Nr", "Titel", "Preis", "Größe"],
    ["2019-001", "Überwurf „Heide“", "1.450,50", "120 x 60 cm"],
    ["2019-002", "Café crème, à l’œil", "£ 80", "90 × 30 cm"],
    ["2019-003", 'Two\nlines; and "quotes" | tabs', "", "½ m x 1 m"],
]
PLAIN = [row[:2] for row in ROWS[:3]]  # with letters that every encoding here has


def as_csv(rows: Iterable[Sequence[str]], separator: str = ",", end: str = "\r\n") -> str:
    into = io.StringIO(newline="")
    csv.writer(into, delimiter=separator, lineterminator=end).writerows(rows)
    return into.getvalue()


def written(folder: Path, content: bytes, name: str = "works.csv") -> Path:
    path = folder / name
    path.write_bytes(content)
    return path


def texts(table: Table) -> list[list[str]]:
    return [[text_of(cell) for cell in row.cells] for row in table.rows]


def workbook(path: Path, sheets: dict[str, Sequence[Sequence[Any]]]) -> Path:
    book = openpyxl.Workbook()
    book.remove(book.active)
    for name, rows in sheets.items():
        sheet = book.create_sheet(name)
        for row in rows:
            sheet.append(list(row))
    book.save(path)
    return path


def slip_of(path: Path, sheet: str = "") -> str:
    with pytest.raises(Slip) as caught:
        open_table(path, sheet)
    tell = british().tell
    return ": ".join(filter(None, (tell(caught.value.what), tell(caught.value.remedy))))


@pytest.mark.parametrize("separator", [",", ";", "\t", "|"])
@pytest.mark.parametrize("encoding", ["utf-8", "utf-8-sig", "utf-16", "utf-16-le", "utf-32"])
def test_every_encoding_with_all_letters_and_every_separator(
    tmp_path: Path, encoding: str, separator: str
) -> None:
    raw = as_csv(ROWS, separator).encode(encoding)
    assert texts(open_table(written(tmp_path, raw))) == ROWS


@pytest.mark.parametrize("end", ["\n", "\r\n", "\r"])
@pytest.mark.parametrize("encoding", ["cp1252", "mac_roman"])
def test_one_byte_a_letter(tmp_path: Path, encoding: str, end: str) -> None:
    raw = as_csv(PLAIN, ";", end).encode(encoding)
    assert texts(open_table(written(tmp_path, raw))) == PLAIN


def test_latin_1_is_read_as_windows_reads_it(tmp_path: Path) -> None:
    rows = [["No", "Title"], ["1", "Wåhlströms rödblå £"], ["2", "Élan à la façon"]]
    table = open_table(written(tmp_path, as_csv(rows).encode("latin-1")))
    assert texts(table) == rows
    assert british().tell(table.how) == "read as Windows-1252, cut at every comma"


def test_rows_are_counted_as_the_spreadsheet_shows_them(tmp_path: Path) -> None:
    """A cell of two lines is one row, an empty row counts, a first line `sep=;` does not."""
    raw = b'sep=;\r\nNo;Title\r\n1;"a\r\nb"\r\n;\r\n2;c\r\n'
    table = open_table(written(tmp_path, raw))
    assert [row.number for row in table.rows] == [1, 2, 4]
    assert texts(table)[1] == ["1", "a\r\nb"]


def test_a_decimal_comma_does_not_cut(tmp_path: Path) -> None:
    rows = [["Nr", "Titel", "Preis"], ["1", "Heide", "12,50"], ["2", "Moor", "8,00"]]
    assert texts(open_table(written(tmp_path, as_csv(rows, ";").encode()))) == rows


def test_a_workbook_gives_days_numbers_and_results(tmp_path: Path) -> None:
    path = workbook(
        tmp_path / "works.xlsx",
        {"Work": [["No", "Made", "Price", "Sold"], [1, date(2019, 4, 3), 480.5, True],
                  [], [2.0, datetime(2020, 1, 2, 8, 30), 0.1 + 0.2, None]]},
    )  # fmt: skip
    table = open_table(path)
    assert [row.number for row in table.rows] == [1, 2, 4]
    assert table.rows[1].cells == (Decimal(1), date(2019, 4, 3), Decimal("480.5"), "yes")
    assert table.rows[2].cells == (Decimal(2), date(2020, 1, 2), Decimal("0.3"))
    assert british().tell(table.how) == "read from the sheet 'Work'"


def test_a_formula_without_its_result_and_an_error_are_marked(tmp_path: Path) -> None:
    path = workbook(
        tmp_path / "works.xlsx", {"W": [["No", "Price"], ["1", "=2*240"], ["2", "#REF!"]]}
    )
    table = open_table(path)
    assert [dict(row.faults) for row in table.rows] == [{}, {1: "formula"}, {1: "error"}]
    assert table.rows[1].cells == ("1",)


def test_a_formula_gives_the_result_that_was_kept_with_it(tmp_path: Path) -> None:
    path = workbook(tmp_path / "works.xlsx", {"W": [["No", "Price"], ["1", "=2*240"]]})
    kept = tmp_path / "kept.xlsx"
    with zipfile.ZipFile(path) as old, zipfile.ZipFile(kept, "w") as new:
        for name in old.namelist():
            raw = old.read(name)
            if name == "xl/worksheets/sheet1.xml":
                assert b"<v></v>" in raw or b"<v />" in raw or b"<v/>" in raw
                for empty in (b"<v></v>", b"<v />", b"<v/>"):
                    raw = raw.replace(empty, b"<v>480</v>")
            new.writestr(name, raw)
    table = open_table(kept)
    assert table.rows[1].cells == ("1", Decimal(480))
    assert table.rows[1].faults == {}


def test_the_first_sheet_with_rows_or_the_one_asked_for(tmp_path: Path) -> None:
    rows = [["No", "Title"], ["1", "Tarn"]]
    path = workbook(tmp_path / "w.xlsx", {"Cover": [["Fernbeck"]], "Old": rows, "New": rows})
    said = "read from the sheet 'Old'; others in the file: Cover, New (--sheet NAME takes another)"
    assert british().tell(open_table(path).how) == said
    assert british().tell(open_table(path, "new").how).startswith("read from the sheet 'New'")
    assert slip_of(path, "Nwe") == "there is no sheet 'Nwe': did you mean 'New'?"


SAVE_AS = "open it in its own program and save it as .xlsx or as CSV"
SAVE_AGAIN = "open it in the spreadsheet and save it again"
OTHERS = {
    "works.xls": (b"\xd0\xcf\x11\xe0" + bytes(600),
                  f"that is an old or a locked Excel file: {SAVE_AS}"),
    "works.pdf": (b"%PDF-1.7", f"that is a PDF: {SAVE_AS}"),
    "page.xls": (b"<html><table>", f"that is a page of the web, whatever its name says: {SAVE_AS}"),
    "empty.csv": (b"\n", "empty.csv is empty"),
    "one.csv": (b"Title\nTarn\nBeck\n", "one.csv has one column only: save it as CSV, with a comma"
                " or a semicolon between the columns"),
    "torn.xlsx": (b"PK\x03\x04torn", f"torn.xlsx is damaged, or is no workbook: {SAVE_AGAIN}"),
    "open.csv": (b'No,Title\n1,"Tarn\n2,Beck\n', "a quotation mark is opened and never closed, in"
                 " row 2 or near it: close it, or take it away"),
}  # fmt: skip


@pytest.mark.parametrize("name", OTHERS)
def test_what_is_no_table_is_named(tmp_path: Path, name: str) -> None:
    content, said = OTHERS[name]
    assert slip_of(written(tmp_path, content, name)) == said


ARCHIVES = {
    "works.ods": ("mimetype", "application/vnd.oasis.opendocument.spreadsheet",
                  "that is an OpenDocument spreadsheet"),
    "works.numbers": ("Index/Document.iwa", "x", "that is a Numbers file"),
    "works.docx": ("word/document.xml", "x", "works.docx holds no table"),
    "works.xlsb": ("xl/workbook.bin", "x", "that is an old or a locked Excel file"),
}  # fmt: skip


@pytest.mark.parametrize("name", ARCHIVES)
def test_archives_of_other_programs_are_named(tmp_path: Path, name: str) -> None:
    inside, content, said = ARCHIVES[name]
    with zipfile.ZipFile(tmp_path / name, "w") as archive:
        archive.writestr(inside, content)
    assert slip_of(tmp_path / name) == f"{said}: {SAVE_AS}"


def test_an_archive_that_unpacks_without_end_is_not_unpacked(tmp_path: Path) -> None:
    path = workbook(tmp_path / "works.xlsx", {"W": [["No", "Title"], ["1", "Tarn"]]})
    with zipfile.ZipFile(path, "a", zipfile.ZIP_DEFLATED) as archive:
        archive.writestr("xl/media/big.bin", bytes(301_000_000))
    assert path.stat().st_size < 1_000_000
    assert slip_of(path) == (
        "the table is larger than 20000 rows or 200 columns: bring it in parts"
    )


def test_more_rows_than_a_studio_makes_are_refused(tmp_path: Path) -> None:
    rows = "No,Title\n" + "1,a\n" * 20_000
    assert slip_of(written(tmp_path, rows.encode())) == (
        "the table is larger than 20000 rows or 200 columns: bring it in parts"
    )


def test_a_file_that_is_not_there_is_said_so(tmp_path: Path) -> None:
    assert slip_of(tmp_path / "w.csv") == "w.csv can't be opened: no such file or directory"
    assert slip_of(written(tmp_path, b"a,b\n1,2\n"), "S") == "a text file has no sheets"


STARTS = (b"", b"PK\x03\x04", b"\xff\xfe", b"\xef\xbb\xbf", b"sep=;\n", b"\xff\xfe\0\0", b'"')
WILD = st.one_of(st.binary(max_size=80), st.lists(st.sampled_from(b'a;,"\n\xe4 1')).map(bytes))


@settings(max_examples=150, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(st.sampled_from(STARTS), WILD)
def test_no_file_is_too_odd_to_be_refused_in_words(
    tmp_path: Path, start: bytes, rest: bytes
) -> None:
    path = written(tmp_path, start + rest)
    try:
        assert all(row.number > 0 for row in open_table(path).rows)
    except Slip as slip:
        assert british().tell(slip.what)


def test_columns_are_called_as_spreadsheets_call_them() -> None:
    assert [letter(n) for n in (0, 25, 26, 51, 701, 702)] == ["A", "Z", "AA", "AZ", "ZZ", "AAA"]
