"""What columns of makers' tables mean and what their rows say, in three languages."""

from __future__ import annotations

from datetime import date
from decimal import Decimal

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from provenance.language.phrases import british
from provenance.problems import Problems, Said, Slip, WrongWish
from provenance.records.bring.columns import Wish, columns_of, wish_from
from provenance.records.bring.facts import Told, lines_of, rows_told
from provenance.records.bring.headings import Meaning, meaning_of
from provenance.records.bring.same import differing
from provenance.records.bring.signs import day_from, day_order, decimal_sign, settled
from provenance.records.bring.table import Cell, Row, Table
from provenance.records.bring.values import READERS, Ways
from provenance.records.bring.written import piece_of, text_of_record
from provenance.records.days import by_then, part_day
from provenance.records.numbers import Habits
from provenance.records.pieces import Piece
from provenance.records.reading import read_record
from provenance.records.text import Written
from provenance.records.yaml_file import read_text

TODAY = date(2026, 11, 25)
POUNDS = Ways(Habits(), TODAY, {"harbour gallery": "harbour"})
EUROS = Ways(Habits(decimal_comma=True, currency="EUR"), TODAY, {})


def table(*rows: tuple[Cell, ...]) -> Table:
    return Table("w.csv", tuple(Row(at, cells, {}) for at, cells in enumerate(rows, 1)), Said("x"))


def read(*rows: tuple[Cell, ...], ways: Ways = POUNDS, wishes: tuple[Wish, ...] = ()) -> list[Told]:
    whole = table(*rows)
    return list(rows_told(whole, columns_of(whole, wishes, {}), ways))


def one(heading: str, cell: Cell, ways: Ways = POUNDS) -> dict[str, str]:
    """What a row says that has a title, a year and one more cell."""
    told = read(("Title", "Year", heading), ("Tarn", "2019", cell), ways=ways)[0]
    assert not told.faults, [british().tell(each.what) for each in told.faults]
    return {
        word: text for word, text in lines_of(told).items() if word not in ("title", "finished")
    }


def fault(heading: str, cell: Cell, ways: Ways = POUNDS) -> str:
    told = read(("Title", "Year", heading), ("Tarn", "2019", cell), ways=ways)[0]
    tell = british().tell
    return "; ".join(f"{tell(each.what)}: {tell(each.remedy)}" for each in told.faults)


HEADINGS = {
    "Inv. No.": "number", "Stück-Nr.": "", "Inventarnummer": "number", "N°": "number",
    "Title": "title", "Titel": "title", "Titre": "title", "Œuvre": "",
    "Year": "finished", "Jahr": "finished", "Année": "finished", "Date made": "finished",
    "Type": "kind", "Art": "kind", "Catégorie": "kind",
    "Maße": "size", "Größe (cm)": "size", "Dimensions [in]": "size", "Höhe in cm": "height",
    "Largeur": "width", "Tiefe": "depth", "Gewicht (g)": "weight", "Poids": "weight",
    "Materials": "made of", "Material": "made of", "Matière": "made of",
    "Preis (EUR)": "price", "Prix": "price", "Retail price": "price",
    "Verkauft am": "sold on", "Vendu le": "sold on", "Price paid": "sold for",
    "Käufer": "buyer", "Kundin": "buyer", "Acheteur": "buyer", "Owner": "to", "Standort": "where",
    "Bemerkungen": "notes", "Remarques": "notes", "Shelf life": "",
}  # fmt: skip


@pytest.mark.parametrize("heading", HEADINGS)
def test_headings_in_three_languages(heading: str) -> None:
    assert meaning_of(heading).word == HEADINGS[heading]


def test_a_heading_names_its_unit_and_which_side_comes_first() -> None:
    assert meaning_of("Größe (cm)") == Meaning("size", "cm")
    assert meaning_of("W x H (inches)") == Meaning("size", "in", is_width_first=True)
    assert meaning_of("H x B cm") == Meaning("size", "cm")
    assert meaning_of("Breite x Höhe") == Meaning("size", "", is_width_first=True)
    assert meaning_of("L × H (cm)") == Meaning("size", "cm", is_width_first=True)  # largeur
    assert meaning_of("L x W") == Meaning("size")  # length
    assert meaning_of("Hauteur x largeur x profondeur") == Meaning("size")


def test_headings_are_found_below_a_title_and_twice_the_same_is_told_apart() -> None:
    found = columns_of(
        table(("My work",), ("Fernbeck",), ("No", "Title", "Price", "Price", "", "Hue"),
              ("2019-1", "Tarn", "5", "6", "x", "blue")), (), {})  # fmt: skip
    assert found.row == 3
    assert [(each.heading, each.word) for each in found.all] == [
        ("No", "number"), ("Title", "title"), ("Price", "price"), ("Price (2)", ""), ("E", ""),
        ("Hue", ""),
    ]  # fmt: skip


def test_a_heading_nobody_knows_is_tried_by_what_stands_below() -> None:
    found = columns_of(
        table(("Code", "Title", "When", "How big"), ("2019-01", "Tarn", "2019", "90 x 30 cm"),
              ("2020-02", "Beck", "2020", "90 x 30 cm")), (), {})  # fmt: skip
    assert [each.word for each in found.all] == ["number", "title", "finished", "size"]
    assert [each.is_guessed for each in found.all] == [True, False, True, True]


def test_the_maker_says_what_a_column_means() -> None:
    wishes = [wish_from(each, {}) for each in ("Retail=price", "b=title", "Price=-")]
    found = columns_of(
        table(("Year", "X", "Price", "Retail"), ("2019", "Tarn", "5", "6")), wishes, {}
    )
    assert [each.word for each in found.all] == ["finished", "title", "", "price"]
    assert wish_from("Size=size in inches", {}) == Wish("Size", "size", "in")
    assert wish_from("A=b=finished month first", {}) == Wish("A=b", "finished", "", "month first")
    assert wish_from("Preis=Preis", {}) == Wish("Preis", "price")


@pytest.mark.parametrize(
    ("wish", "said"),
    [("price", "'price' does not say what a column means"),
     ("A=colour", "no column can mean 'colour'"),
     ("Pirce=price", "there is no column 'Pirce'")],
)  # fmt: skip
def test_a_wish_that_cannot_be_is_refused(wish: str, said: str) -> None:
    with pytest.raises(WrongWish) as caught:
        columns_of(table(("Title", "Price"), ("Tarn", "5")), [wish_from(wish, {})], {})
    assert british().tell(caught.value.what) == said


NUMBERS = {
    ("1.450,50", ""): "1450.50", ("1,450.50", ""): "1450.50", ("1'450.50", ""): "1450.50",
    ("1 450,50", ""): "1450.50", ("12,5", ""): "12.5", ("12.5", ""): "12.5", ("0,800", ""): "0.800",
    ("1.200", ","): "1200", ("1.200", "."): "1.200", ("1,200", "."): "1200",
    ("1.450.500", ""): "1450500", (".5", ""): "0.5", ("480", ""): "480",
}  # fmt: skip


@pytest.mark.parametrize(("text", "sign"), NUMBERS)
def test_numbers_in_one_spelling(text: str, sign: str) -> None:
    assert settled(text, sign) == NUMBERS[text, sign]


def test_a_number_that_can_be_read_two_ways_is_asked_unless_it_is_money() -> None:
    with pytest.raises(Slip) as caught:
        settled("1.200", "")
    tell = british().tell
    assert tell(caught.value.what) == "'1.200' can be read in two ways"
    assert tell(caught.value.remedy) == "write 1200 or 1.20"
    assert settled("1.450", "", is_money=True) == "1450"


def test_the_decimal_sign_is_that_of_the_column_as_a_whole() -> None:
    assert decimal_sign(["1.200 x 0,800", "90,5 x 30"]) == ","
    assert decimal_sign(["1.200", "2.400"]) == ""
    assert decimal_sign(["12,5", "12.5"]) == ""


DAYS = {
    "2019": "2019", "2019-04": "2019-04", "2019-04-03": "2019-04-03", "2019/4/3": "2019-04-03",
    "03.04.2019": "2019-04-03", "3.4.19": "2019-04-03", "25/04/2019": "2019-04-25",
    "04/25/2019": "2019-04-25", "04/2019": "2019-04", "4.2019": "2019-04",
    "05/05/2019": "2019-05-05",
    "3 April 2019": "2019-04-03", "3. April 2019": "2019-04-03", "April 3, 2019": "2019-04-03",
    "3rd of April 2019": "2019-04-03", "Apr-19": "2019-04", "3-Apr-98": "1998-04-03",
    "im März 2019": "2019-03", "le 3 août 2019": "2019-08-03", "Dezember 2018": "2018-12",
    "43558": "2019-04-03", "2019-04-03 00:00:00": "2019-04-03",
}  # fmt: skip


@pytest.mark.parametrize("text", DAYS)
def test_days_as_they_are_typed(text: str) -> None:
    assert day_from(text, "", TODAY) == DAYS[text]


def test_day_or_month_is_decided_by_the_column_or_asked() -> None:
    assert day_order(["03/04/2019", "25/04/2019"]) == ("day first", False)
    assert day_order(["03/04/2019", "04/25/2019"]) == ("month first", False)
    assert day_order(["25/04/2019", "04/25/2019"]) == ("", True)
    assert day_from("03/04/2019", "day first", TODAY) == "2019-04-03"
    assert day_from("03/04/2019", "month first", TODAY) == "2019-03-04"
    with pytest.raises(Slip) as caught:
        day_from("03/04/2019", "", TODAY)
    said = "'03/04/2019': day and month can be read either way, and no other row decides"
    assert british().tell(caught.value.what) == said


@pytest.mark.parametrize("text", ["c. 2019", "2018-2019", "31/02/2019", "soon", "2019-13", "2027"])
def test_what_is_no_day_or_still_to_come_is_refused(text: str) -> None:
    with pytest.raises(Slip):
        day_from(text, "", TODAY)


def test_days_known_in_part() -> None:
    assert part_day(Written("April 2019")) == "2019-04"
    assert part_day(Written("2019")) == "2019"
    assert part_day(Written("2019-4-3")) == "2019-04-03"
    assert [str(by_then(each)) for each in ("2019", "2019-02", "2019-12", "2019-04-03")] == [
        "2019-12-31", "2019-02-28", "2019-12-31", "2019-04-03"]  # fmt: skip


CELLS: dict[tuple[str, Cell], dict[str, str]] = {
    ("Size", "120 x 60 cm"): {"size": "120 x 60 cm"},
    ("Size", "120×60,5cm"): {"size": "120 x 60.5 cm"},
    ("Size", '48" x 24"'): {"size": "48 x 24 in"},
    ("Size", "48 1/2 x 24 in"): {"size": "48 1/2 x 24 in"},
    ("Size", "4 ft 2 in x 3 ft"): {"size": "4 ft 2 in x 3 ft"},
    ("Size", "B 60 x H 120 cm"): {"size": "120 x 60 cm"},
    ("Size", "120 cm (h) x 60 cm (w)"): {"size": "120 x 60 cm"},
    ("W x H (in)", "24 x 48 x 2"): {"size": "48 x 24 x 2 in"},
    ("Size (cm)", "120 x 60"): {"size": "120 x 60 cm"},
    ("Weight (g)", Decimal("590.5")): {"weight": "590.5 g"},
    ("Weight", "1,2 kg"): {"weight": "1.2 kg"},
    ("Weight", "3 lb 4 oz"): {"weight": "3 lb 4 oz"},
    ("Price", "£1,450"): {"price": "1450"},
    ("Price", "480.-"): {"price": "480"},
    ("Price", "GBP 480.50"): {"price": "480.50"},
    ("Price", "12.50 EUR at 0.86"): {"price": "12.50 EUR at 0.86"},
    ("Price", "n/a"): {},
    ("Kind", "Large wool rug"): {"kind": "rug"},
    ("Kind", "Wandbehänge"): {"kind": "hanging"},
    ("Kind", "Écharpe"): {"kind": "scarf"},
    ("Where", "Harbour Gallery"): {"at": "harbour"},
    ("Where", "studio"): {},
    ("Where", "loft, box 3"): {"kept": "loft, box 3"},
    ("Status", "NFS"): {"status": "not for sale"},
    ("Sold", "x"): {"status": "sold"},
    ("Sold", "no"): {},
    ("Sold", "3 May 2020"): {"sold on": "2020-05-03"},
    ("Buyer", "Ann Fell"): {"status": "sold", "notes": "buyer: Ann Fell"},
    ("Price paid", "400"): {"status": "sold", "notes": "sold for: 400"},
    ("Old number", "WH 12a"): {"notes": "Old number: WH 12a"},
    ("Hours", "12,5"): {"hours": "12.5"},
    ("Notes", "'=2+2"): {"notes": "=2+2"},
    ("Notes", "a\u00a0b\r\nc"): {"notes": "a b\nc"},
}  # fmt: skip


@pytest.mark.parametrize(("heading", "cell"), CELLS)
def test_cells_as_a_record_says_them(heading: str, cell: Cell) -> None:
    assert one(heading, cell) == CELLS[heading, cell]


def test_a_studio_with_a_decimal_comma_gets_its_own_numbers() -> None:
    assert one("Preis", "1.450,50 €", EUROS) == {"price": "1450,50"}
    assert one("Maße", "90.5 x 30 cm", EUROS) == {"size": "90,5 x 30 cm"}


FAULTS: dict[tuple[str, Cell], str] = {
    ("Size", "large"): "'large' is not a size: write height x width, such as 124 x 86 cm",
    ("Price", "ask me"): "'ask me' is not an amount of money: write 480.00",
    ("Number", date(2019, 4, 1)): "'2019-04-01': the spreadsheet made a day of the number: set the"
    " column to text and type the number again",
    ("Number", "WH 2019/4"): "'WH 2019/4' can't be a piece's number: digits and hyphens, such as"
    ' 2019-4; or --as "Column=old number", and new numbers are given',
    ("Notes", "a\x0bb"): "an invisible control character: delete it and type the text again",
    ("Height (cm)", "120"): "only one side is known: write height and width, or neither",
    ("Status", "gone fishing"): "'gone fishing' is no status: known here: in progress, available,"
    " reserved, sold, not for sale, commission, withdrawn",
}


@pytest.mark.parametrize(("heading", "cell"), FAULTS)
def test_cells_that_are_refused(heading: str, cell: Cell) -> None:
    assert fault(heading, cell) == FAULTS[heading, cell]


def test_a_size_without_any_unit_asks_for_it() -> None:
    told = read(("Title", "Year", "Size"), ("Tarn", "2019", "120 x 60"))[0]
    assert british().tell(told.faults[0].what) == "'120 x 60' is a size without a unit"
    assert told.faults[0].remedy == Said("bring.say_unit")


def test_another_currency_asks_for_its_rate() -> None:
    assert fault("Price", "$480").startswith("'480 $' is in USD")


def test_a_day_of_sale_makes_a_sale_and_the_buyer_stays_in_it() -> None:
    told = read(
        ("Title", "Year", "Sold on", "Sold for", "Buyer", "Email", "Sold to"),
        ("Tarn", "2019", "3 May 2020", "£400", "Ann Fell", "ann@fell.example",
         "Private collection"),
    )[0]  # fmt: skip
    assert lines_of(told) == {
        "title": "Tarn", "finished": "2019", "sold on": "2020-05-03", "sold for": "400",
        "buyer": "Ann Fell", "email": "ann@fell.example", "to": "Private collection",
    }  # fmt: skip


def test_a_row_without_a_title_and_one_that_contradicts_itself() -> None:
    told = read(
        ("Title", "Year", "Sold", "Buyer"), ("", "2019", "", ""), ("A", "2019", "no", "Ann")
    )
    tell = british().tell
    assert [tell(each.what) for row in told for each in row.faults] == [
        "it has no title", "it is not sold, but: buyer"]  # fmt: skip


ODD = (
    "12/13/2019", "31.02.2019", "1.2.3.4", "£", "1e5", "٣", "①", "²05", "-5", "3 lb", "x x x",
    "1 x", "0 x 0 cm", "1 1/0 x 2 cm", "2019-00", "12:30", "0.5.5", "1'0", "£-5", "5 at 3", "=1",
)  # fmt: skip
CELL = st.one_of(
    st.sampled_from(ODD),
    st.text("0123456789.,/-: x×½\"'£€AkgcmBiäµ²\n#{}[]&*!|>%@`?\u200b\u00a0\x07", max_size=9),
    st.decimals(-9, 60_000, places=1),
    st.dates(),
)
WORD = st.sampled_from(sorted(READERS))


@settings(max_examples=150)
@given(
    st.dictionaries(st.sampled_from(sorted(READERS)), CELL, min_size=3, max_size=6), st.booleans()
)
def test_no_cell_is_too_odd_and_what_is_taken_is_written_so(
    cells: dict[str, Cell], is_euro: bool
) -> None:
    """Whatever stands in cells is refused in words, or is the same when the record is read."""
    ways = EUROS if is_euro else POUNDS
    told = read(("Title", *cells), ("Tarn", *cells.values()), ways=ways)[0]
    facts = lines_of(told)
    number = facts.get("number", "1")
    piece = None if told.faults else piece_of(facts, number, ways.habits, Problems())
    if piece is not None:
        problems = Problems()
        value = read_text(text_of_record(facts, number, "#").encode(), "x", problems)
        again = read_record(Piece, value, ways.habits, problems)
        assert again is not None, [str(each) for each in problems]
        assert list(differing(piece, again, facts)) == []
