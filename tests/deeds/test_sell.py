"""`sell`: the sale stands in the record as a maker would write it; nothing else moves."""

from __future__ import annotations

import pytest

from provenance.records.book import read_book

ASKED = (
    "2026-001 Ebb: sold at dale-fair for £480; £8.40 kept back there, £471.60 is yours\n"
    "pieces/2026-001-ebb.yaml:10\n"
    "  - status: available\n"
    "  + status: sold\n"
    "  + sale: {on: 2026-11-25, price: 480, at: dale-fair, kept back: 8.40}\n"
)


def test_it_shows_the_lines_and_writes_them(say, here):
    before = here()
    assert say("sell", "2026-001", "480").stdout == (
        f"{ASKED}Written. 'provenance undo' takes it back.\n"
    )
    text = before["2026-001-ebb.yaml"].decode()
    sold = "sale: {on: 2026-11-25, price: 480, at: dale-fair, kept back: 8.40}\n"
    expected = text.replace("status: available\n", f"status: sold\n{sold}").encode()
    assert here() == {**before, "2026-001-ebb.yaml": expected}


def test_in_braces_it_joins_them(say, here):
    text = here()["2026-002-fret.yaml"].decode()
    say("sell", "2026-002", "310.50", "--at", "harbour-gallery", "--to", "Ann, of  Leeds")
    sale = (
        'sale: {on: 2026-11-25, price: 310.50, at: harbour-gallery, to: "Ann, of Leeds", '
        "kept back: 139.73}"
    )
    expected = text.replace("at: dale-fair}", f"at: dale-fair, {sale}}}")
    assert here()["2026-002-fret.yaml"].decode() == expected


def test_what_is_nowhere_is_sold_in_the_studio(say, folder):
    say("sell", "2026-003", "£200", "--on", "2026-11-20")
    book, problems = read_book(folder)
    assert not problems
    sale = book.pieces["2026-003"].sale
    assert (sale.on.isoformat(), sale.price, sale.at, sale.kept_back) == (
        "2026-11-20", 200, "studio", sale.price * 175 / 10_000,
    )  # fmt: skip


def test_a_commission_that_changes_later_leaves_what_was_kept_back(say, folder):
    say("sell", "2026-001", "480", "--at", "harbour-gallery")
    outlets = folder / "studio" / "outlets.yaml"
    outlets.write_text(outlets.read_text().replace("45 %", "50 %"))
    book, _ = read_book(folder)
    assert book.pieces["2026-001"].sale.kept_back == 216


def test_a_studio_with_decimal_commas_gets_them(say, folder, here):
    studio = folder / "studio" / "studio.yaml"
    studio.write_text(studio.read_text().replace("any: 18.00", "any: 18") + "decimal comma: yes\n")
    (folder / "studio" / "outlets.yaml").write_text("studio: {kind: studio, card fee: 1,75 %}\n")
    (folder / "2026-001-ebb.yaml").write_text(
        here()["2026-001-ebb.yaml"].decode().replace("at: dale-fair\n", "")
    )
    say("sell", "2026-001", "480,50")
    written = here()["2026-001-ebb.yaml"].decode()
    assert 'sale: {on: 2026-11-25, price: "480,50", at: studio, kept back: "8,41"}' in written
    book, _ = read_book(folder)
    assert float(book.pieces["2026-001"].sale.price) == 480.5


def test_without_a_terminal_it_shows_and_refuses(say, here):
    before = here()
    said = say("sell", "2026-001", "480", yes=False, code=2)
    assert said.stdout == ASKED
    assert said.stderr == (
        "there is no terminal to ask at; nothing was changed\n    say --yes to write this unasked\n"
    )
    assert here() == before


@pytest.mark.parametrize(
    ("words", "code", "said"),
    [
        (("2026-01", "480"), 1, "there is no piece 2026-01. did you mean '2026-001'?\n"),
        (("2026-001", "480", "--at", "harbor-gallery"), 1,
         "no outlet called 'harbor-gallery'. did you mean 'harbour-gallery'?\n"),
        (("2026-001", "480", "--on", "2026-11-26"), 2,
         "2026-11-26 is still to come\n    today is 2026-11-25\n"),
        (("2026-001", "480", "--on", "2026-09-30"), 1,
         "2026-001 was finished on 2026-10-01, and can't have been sold before\n"
         "    see pieces/2026-001-ebb.yaml:1\n"),
        (("2026-001", "0"), 2,
         "a price of nothing is no price\n    for a gift write 'status: not for sale' into the "
         "record, and a line into its history\n"),
        (("2026-001", "480 g"), 2,
         "'480 g' is not an amount of money\n    write for example 36.00, or 12.50 EUR at 0.86\n"),
        (("2026-001", "480 EUR"), 2,
         "'480 EUR' is in EUR, the studio counts in GBP\n    write the rate with it: "
         "'480 EUR at 0.86'\n"),
        (("2026-001", "480.505"), 2,
         "'480.505' is finer than your coins\n    round it to what was paid\n"),
        (("2026-001", "480", "--items", "2"), 2,
         "2026-001 is the record of one piece\n    leave --items out\n"),
    ],
)  # fmt: skip
def test_a_sale_that_can_not_be_is_refused(say, here, words, code, said):
    before = here()
    assert say("sell", *words, code=code).stderr == said
    assert here() == before


@pytest.mark.parametrize(
    ("old", "new", "said"),
    [
        ("status: available", "sale: {on: 2026-11-01}",
         "2026-001 was sold on 2026-11-01 (pieces/2026-001-ebb.yaml:10)\n    mend the line there "
         "if it is wrong; if it was the last deed, 'provenance undo' takes it back\n"),
        ("status: available", "status: withdrawn",
         "2026-001 is withdrawn\n    see pieces/2026-001-ebb.yaml:10\n"),
        ("status: available", "withdrawn: moth",
         "2026-001 is withdrawn\n    see pieces/2026-001-ebb.yaml:10\n"),
        ("status: available", "status: in progress",
         "2026-001 is still being made\n    write the day under 'finished:' and take 'status: in "
         "progress' out first\n"),
        ("status: available", "price: 500",
         "pieces/2026-001-ebb.yaml:10:1: 'price' is written twice\n    it stands first in line 8; "
         "keep one of the two\n"),
        ("status: available", "status: &here available\nnotes: *here",
         "pieces/2026-001-ebb.yaml:10:9: 'status' is shared by a reference (&, * or <<), and would "
         "change elsewhere too\n    write by hand: status: sold\n"),
        ("status: available", "status: not for\n  sale",
         "pieces/2026-001-ebb.yaml:10:9: 'status' stands on several lines\n"
         "    write by hand: status: sold\n"),
        ("status: available", "status: >\n  available",
         "pieces/2026-001-ebb.yaml:10:9: 'status' stands on several lines\n"
         "    write by hand: status: sold\n"),
    ],
)  # fmt: skip
def test_a_record_that_is_not_sure_is_refused(say, folder, here, old, new, said):
    path = folder / "2026-001-ebb.yaml"
    path.write_text(path.read_text().replace(old, new))
    before = here()
    answer = say("sell", "2026-001", "480", code=1)
    assert answer.stderr == said
    assert here() == before


def test_one_item_of_one_piece_is_that_piece(say):
    assert say("sell", "2026-001", "480", "--items", "1").stdout.startswith(ASKED)
