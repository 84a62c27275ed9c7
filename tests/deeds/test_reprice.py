"""`reprice`: another price, rounded as the studio rounds, and what was printed with the old one."""

from __future__ import annotations

import pytest


@pytest.mark.parametrize(
    ("old", "how", "new"),
    [
        ("480", "520", "520"),
        ("480", "+8%", "520"),  # 518.40, up to the next 5
        ("480", "+8 %", "520"),
        ("480", "-5%", "460"),  # 456
        ("480", "−5 %", "460"),
        ("480.00", "+10%", "530.00"),  # 528
        ("£480", "+10%", "£530"),
        ("'480'", "+10%", "'530'"),
        ("480 GBP", "512.50", "512.50 GBP"),
    ],
)
def test_the_price_alone_is_written(say, folder, here, old, how, new):
    path = folder / "2026-001-ebb.yaml"
    text = path.read_text()
    path.write_text(text.replace("price: 480 ", f"price: {old} "))
    before = here()
    say("reprice", "2026-001", how)
    expected = text.replace("price: 480 ", f"price: {new} ").encode()
    assert here() == {**before, "2026-001-ebb.yaml": expected}


def test_a_studio_that_does_not_round_keeps_its_pence(say, folder, here):
    studio = folder / "studio" / "studio.yaml"
    studio.write_text(studio.read_text().replace("prices: {round up to: 5}\n", ""))
    say("reprice", "2026-001", "+3.3%")
    assert b"price: 495.84 " in here()["2026-001-ebb.yaml"]


def test_a_first_price_goes_where_prices_go(say, here):
    said = say("reprice", "2026-003", "220").stdout
    assert said.startswith("2026-003 Hoar: £220\npieces/2026-003-hoar.yaml:7\n  + price: 220\n")
    assert here()["2026-003-hoar.yaml"].endswith(b"hours: {weaving: 6}\nprice: 220\n")


def test_several_at_once_and_those_that_are_so_already(say):
    said = say("reprice", "2026-001", "2026-002", "480").stdout
    assert said == (
        "2026-001 is £480 already\n"
        "2026-002 Fret: £300 becomes £480\n"
        "pieces/2026-002-fret.yaml:1\n"
        f"{said.split('yaml:1' + chr(10))[1].split('Written')[0]}"
        "Written. 'provenance undo' takes it back.\n"
    )


def test_printed_papers_that_are_old_are_named(say, folder):
    say("tags", "2026-001", yes=False)
    sheets = folder / "papers" / "dale-fair"
    sheets.mkdir()
    (sheets / "price-list.csv").write_text("number,title,price\n2026-001,Ebb,480\n")
    said = say("reprice", "2026-001", "2026-002", "+8%").stdout.splitlines()
    assert said[-3:] == [
        "Written. 'provenance undo' takes it back.",
        "Old now: the tags of 2026-001. 'provenance tags --changed' prints them anew.",
        "Old now: the sheets in papers/dale-fair/. 'provenance papers dale-fair' prints them anew.",
    ]
    back = say("undo").stdout.splitlines()
    assert back[-1] == "Taken back."
    assert "Old now" not in "\n".join(back)


@pytest.mark.parametrize(
    ("words", "code", "said"),
    [
        (("2026-001", "8%"), 2, "'8%': up or down?\n    write +8% or -8%\n"),
        (("2026-001", "-100%"), 2, "a price of nothing is no price\n"),
        (("2026-001", "0"), 2, "a price of nothing is no price\n"),
        (("2026-001", "+8"), 2,
         "'+8': a share or a sum?\n    write '+8%', or the new price without a sign\n"),
        (("2026-001", "520 EUR"), 2, "'520 EUR' is in EUR, the studio counts in GBP\n"),
        (("2026-003", "+8%"), 1,
         "2026-003 has no price of its own to raise: its worked-out price follows your costs\n"
         "    give it one: 'provenance reprice 2026-003 480'\n"),
        (("2026-001", "2026-031", "+8%"), 1, "there is no piece 2026-031. did you mean "),
        (("2026-001", "--yess", "+8%"), 1, "there is no piece --yess."),
    ],
)  # fmt: skip
def test_a_price_that_can_not_be_is_refused(say, here, words, code, said):
    before = here()
    assert say("reprice", *words, code=code).stderr.startswith(said)
    assert here() == before


def test_a_foreign_price_is_not_raised(say, folder, here):
    path = folder / "2026-001-ebb.yaml"
    path.write_text(path.read_text().replace("price: 480 ", "price: 500 EUR at 0.86 "))
    before = here()
    said = say("reprice", "2026-001", "+8%", code=1).stderr
    assert said == (
        "'500 EUR at 0.86' of 2026-001 is no plain sum in your currency\n"
        "    see pieces/2026-001-ebb.yaml:8\n"
    )
    assert here() == before
    say("reprice", "2026-001", "450")
    assert b"price: 450 " in here()["2026-001-ebb.yaml"]


def test_what_was_sold_keeps_its_price(say, here):
    say("sell", "2026-001", "480")
    before = here()
    assert say("reprice", "2026-001", "+8%", code=1).stderr.startswith("2026-001 was sold on ")
    assert here() == before
