"""`move`: pieces go out to a fair, and what did not sell comes home."""

from __future__ import annotations

import pytest


def test_pieces_go_and_each_says_where(say, here):
    before = here()
    said = say("move", "2026-001", "2026-002", "2026-003", "harbour-gallery").stdout
    assert said == (
        "2026-001 Ebb: from dale-fair to harbour-gallery\n"
        "2026-002 Fret: from dale-fair to harbour-gallery\n"
        "2026-003 Hoar: from studio to harbour-gallery\n"
        "pieces/2026-001-ebb.yaml:9\n"
        "  - at: dale-fair\n"
        "  + at: harbour-gallery\n"
        "pieces/2026-002-fret.yaml:1\n"
        f"  - {before['2026-002-fret.yaml'].decode()}"
        f"  + {before['2026-002-fret.yaml'].decode().replace('dale-fair', 'harbour-gallery')}"
        "pieces/2026-003-hoar.yaml:7\n"
        "  + at: harbour-gallery\n"
        "Written. 'provenance undo' takes it back.\n"
    )
    for name in ("2026-001-ebb.yaml", "2026-002-fret.yaml"):
        assert here()[name] == before[name].replace(b"dale-fair", b"harbour-gallery")
    assert here()["2026-003-hoar.yaml"] == before["2026-003-hoar.yaml"] + b"at: harbour-gallery\n"


def test_after_a_fair_what_did_not_sell_comes_home(say, here):
    say("sell", "2026-002", "300")
    before = here()
    said = say("move", "--from", "dale-fair", "studio").stdout
    assert said.startswith("2026-001 Ebb: from dale-fair to studio\npieces/2026-001-ebb.yaml:9\n")
    text = before["2026-001-ebb.yaml"].replace(b"at: dale-fair", b"at: studio")
    assert here() == {**before, "2026-001-ebb.yaml": text}
    again = say("move", "--from", "dale-fair", "studio", code=1)
    assert again.stderr == "no unsold piece is at dale-fair\n"


@pytest.mark.parametrize(
    ("written", "left"),
    [
        ("at: dale-fair\n", ""),
        ("at: dale-fair   # by the door\n", "at:   # by the door\n"),
    ],
)
def test_a_studio_without_an_outlet_of_that_name_is_where_no_word_is(
    say, folder, here, written, left
):
    (folder / "studio" / "outlets.yaml").write_text("dale-fair: {kind: fair}\n")
    path = folder / "2026-001-ebb.yaml"
    text = path.read_text()
    path.write_text(text.replace("at: dale-fair\n", written))
    say("move", "--from", "dale-fair", "studio")
    assert here()["2026-001-ebb.yaml"].decode() == text.replace("at: dale-fair\n", left)
    assert b", at: dale-fair" not in here()["2026-002-fret.yaml"]
    assert here()["2026-002-fret.yaml"].endswith(b"price: 300}\n")


def test_what_says_nothing_of_its_place_is_in_the_studio(say, here):
    assert say("move", "2026-003", "studio").stdout == "2026-003 is at studio already\n"
    said = say("move", "--from", "studio", "harbour-gallery").stdout
    assert said.startswith("2026-003 Hoar: from studio to harbour-gallery\n")
    assert here()["2026-003-hoar.yaml"].endswith(b"at: harbour-gallery\n")


def test_what_is_there_already_is_said_and_left(say, here):
    before = here()
    said = say("move", "2026-001", "dale-fair")
    assert said.stdout == "2026-001 is at dale-fair already\n"
    assert here() == before


@pytest.mark.parametrize(
    ("words", "code", "said"),
    [
        (("dale-fair",), 2,
         "which pieces are to go there?\n    such as 'provenance move 2026-014 dale-fair', or "
         "'--from dale-fair studio' for all that did not sell there\n"),
        (("2026-001", "2026-009", "studio"), 1, "there is no piece 2026-009. did you mean "),
        (("2026-001", "dale-fare"), 1, "no outlet called 'dale-fare'. did you mean 'dale-fair'?\n"),
        (("2026-003", "--from", "dale-fair", "studio"), 1,
         "2026-003 is not at dale-fair but at studio\n    see pieces/2026-003-hoar.yaml:1\n"),
    ],
)  # fmt: skip
def test_a_move_that_can_not_be_is_refused(say, here, words, code, said):
    before = here()
    assert say("move", *words, code=code).stderr.startswith(said)
    assert here() == before


def test_one_that_is_sold_stops_them_all(say, here):
    say("sell", "2026-002", "300")
    before = here()
    said = say("move", "2026-001", "2026-002", "harbour-gallery", code=1)
    assert said.stderr.startswith("2026-002 was sold on 2026-11-25 (pieces/2026-002-fret.yaml:1)")
    assert here() == before


def test_one_that_is_not_sure_stops_them_all(say, folder, here):
    path = folder / "2026-002-fret.yaml"
    path.write_text(path.read_text().replace("at: dale-fair", "at: &where dale-fair"))
    before = here()
    said = say("move", "2026-001", "2026-002", "harbour-gallery", code=1)
    assert said.stderr == (
        "pieces/2026-002-fret.yaml:1:177: 'at' is shared by a reference (&, * or <<), and would "
        "change elsewhere too\n    write by hand: at: harbour-gallery\n"
    )
    assert here() == before
