"""`undo`: the last deed is taken back, byte for byte; what was changed since is named, not lost."""

from __future__ import annotations

import json
import random
from datetime import date

import click
import pytest
from click.testing import CliRunner

from provenance.commands import consent
from provenance.commands.main import main
from provenance.deeds.deed import Change, Deed
from provenance.deeds.doing import do, take_back
from provenance.deeds.journal import undoing

LAST = "Takes back 'reprice 2026-001 +8%' of 2026-11-25\n"


def test_several_in_turn_lead_back_to_the_start(say, here, folder):
    before = here()
    say("sell", "2026-002", "300")
    say("move", "2026-001", "2026-003", "harbour-gallery")
    say("reprice", "2026-001", "+8%")
    said = say("undo").stdout
    assert said == (
        f"{LAST}pieces/2026-001-ebb.yaml:8\n"
        "  - price: 520        # settled with the gallery\n"
        "  + price: 480        # settled with the gallery\n"
        "Taken back.\n"
    )
    say("undo")
    say("undo")
    assert here() == before
    assert not (folder / "studio" / "deeds.yaml").exists()
    assert say("undo", code=1).stderr == "there is no deed to take back\n"
    assert say("check", yes=False).exit_code == 0


def test_the_journal_is_no_record(say):
    say("reprice", "2026-001", "+8%")
    assert "deeds.yaml" not in say("check", yes=False).output


def test_it_asks_like_any_deed(say, here):
    say("reprice", "2026-001", "+8%")
    before = here()
    said = say("undo", yes=False, code=2)
    assert said.stdout.startswith(LAST)
    assert said.stderr.startswith("there is no terminal to ask at; nothing was changed\n")
    assert here() == before


def test_what_was_changed_since_is_named_with_its_line(say, folder, here):
    say("reprice", "2026-001", "+8%")
    path = folder / "2026-001-ebb.yaml"
    path.write_text("# my best\n" + path.read_text())
    before = here()
    assert say("undo", code=1).stderr == (
        "pieces/2026-001-ebb.yaml:9: changed since 'reprice 2026-001 +8%', so it can't be taken "
        "back safely\n    by hand: in place of '520' write '480'\n"
    )
    assert here() == before


def test_of_a_sale_the_line_to_take_out_is_told(say, folder):
    say("sell", "2026-002", "300")
    path = folder / "2026-002-fret.yaml"
    path.write_text(path.read_text() + "# gone\n")
    assert say("undo", code=1).stderr == (
        "pieces/2026-002-fret.yaml:1: changed since 'sell 2026-002 300', so it can't be taken back "
        "safely\n    by hand: take ', sale: {on: 2026-11-25, price: 300, at: dale-fair, kept back: "
        "5.25}' out\n"
    )


def test_of_several_lines_each_is_told(say, folder):
    say("sell", "2026-001", "480")
    path = folder / "2026-001-ebb.yaml"
    path.write_text("# mine\n\n" + path.read_text())
    assert say("undo", code=1).stderr == (
        "pieces/2026-001-ebb.yaml:12: changed since 'sell 2026-001 480', so it can't be taken back "
        "safely\n    by hand: in place of 'sold' write 'available' and take 'sale: {on: "
        "2026-11-25, price: 480, at: dale-fair, kept back: 8.40}' out\n"
    )


def test_whatever_was_changed_the_way_back_is_exact(folder):
    """Lines that come, go and change, with any line ends: the journal keeps enough of each."""
    dice = random.Random(11)
    path, today = folder / "any.yaml", date(2026, 11, 25)
    for turn in range(150):
        lines = [f"{dice.choice('abc')}: {dice.choice(('é', '1 2', ''))}" for _ in range(6)]
        ends = [dice.choice(("\n", "\r\n", "\r")) for _ in lines]
        texts = []
        for _ in ("before", "after"):
            kept = [line + end for line, end in zip(lines, ends, strict=True)
                    if dice.random() < 0.7]  # fmt: skip
            if dice.random() < 0.3:
                dice.shuffle(kept)
            texts.append("".join([*kept, dice.choice(("", "last"))]).encode())
        if texts[0] != texts[1]:
            path.write_bytes(texts[0])
            do(folder, Deed(str(turn), (Change(path, path.name, *texts),)), today)
            assert path.read_bytes() == texts[1]
            take_back(folder, *undoing(folder))
            assert path.read_bytes() == texts[0]


def test_one_of_several_that_was_changed_stops_them_all(say, folder, here):
    say("move", "2026-001", "2026-002", "2026-003", "harbour-gallery")
    (folder / "2026-002-fret.yaml").unlink()
    before = here()
    assert say("undo", code=1).stderr.startswith(
        "pieces/2026-002-fret.yaml:1: changed since 'move 2026-001 2026-002 2026-003 "
        "harbour-gallery'"
    )
    assert here() == before


def test_a_deed_undone_by_hand_is_passed_over(say, folder, here):
    start = here()
    say("reprice", "2026-002", "310")
    between = here()
    say("reprice", "2026-001", "+8%")
    (folder / "2026-001-ebb.yaml").write_bytes(between["2026-001-ebb.yaml"])
    assert say("undo").stdout.startswith("Takes back 'reprice 2026-002 310' of 2026-11-25\n")
    assert here() == start


def test_a_journal_that_was_spoilt_is_named(say, folder, here):
    say("reprice", "2026-001", "+8%")
    path = folder / "studio" / "deeds.yaml"
    path.write_text(path.read_text() + "- {half a li")
    before = here()
    said = say("undo", code=1).stderr
    assert said.startswith("pieces/studio/deeds.yaml:2: this line can't be read\n")
    assert say("reprice", "2026-001", "500", code=1).stderr == said
    assert here() == before


def test_the_journal_is_plain_text_and_keeps_the_last_hundred(say, folder):
    for turn in range(3):
        say("reprice", "2026-001", str(500 + turn))
    path = folder / "studio" / "deeds.yaml"
    line = path.read_text().splitlines()[0]
    assert json.loads(line.removeprefix("- "))["deed"] == "reprice 2026-001 500"
    path.write_text(f"{line}\n" * 120)
    say("reprice", "2026-001", "600")
    lines = path.read_text().splitlines()
    assert len(lines) == 100
    assert '"deed": "reprice 2026-001 600"' in lines[-1]


@pytest.mark.parametrize(
    ("answer", "language", "code"),
    [("y\n", "en-GB", 0), ("Yes\n", "en-GB", 0), ("n\n", "en-GB", 1), ("\n", "en-GB", 1),
     ("j\n", "de", 0), ("n\n", "de", 1)],
)  # fmt: skip
def test_at_a_terminal_the_maker_is_asked(folder, here, monkeypatch, answer, language, code):
    studio = folder / "studio" / "studio.yaml"
    studio.write_text(studio.read_text() + f"language: {language}\n")
    before = here()
    monkeypatch.setattr(consent, "is_terminal", lambda: True)
    words = ["--studio", str(folder), "reprice", "2026-001", "500"]
    said = CliRunner().invoke(main, words, input=answer)
    assert said.exit_code == code, said.output
    asked = {"en-GB": "Write this? y or n: ", "de": "So schreiben? j oder n: "}[language]
    assert asked in said.output
    assert (here() == before) == (code == 1)
    left = {"en-GB": "Nothing was changed.", "de": "Nichts wurde geändert."}[language]
    assert (left in said.output) == (code == 1)


def test_lines_are_coloured_where_there_are_colours(folder):
    words = ["--studio", str(folder), "reprice", "2026-001", "500", "--yes"]
    said = CliRunner().invoke(main, words, color=True).output
    assert click.style("  - price: 480        # settled with the gallery", fg="red") in said
    assert click.style("  + price: 500        # settled with the gallery", fg="green") in said
