"""Bare `provenance`: what waits in this studio, most urgent first, and how to go on.

Every case writes its own records and reads what a maker reads; the day is 25 November 2026.
"""

import shutil

import pytest
from click.testing import CliRunner
from PIL import Image

from provenance.build.cache import cache_path
from provenance.commands.main import main
from provenance.public.piece import public_piece

DAY = "1795608000"  # 25 November 2026
HEAD = "Brackenfold, 25 November 2026"
LAST = ["", "provenance --help lists every command."]
CALM = "Nothing waits. The records are in order, and what was printed is true."
FILES = {
    "studio/studio.yaml": "studio: Brackenfold\nmaker: Isla Wren\npay: {any: 20}\n",
    "studio/yarns.yaml": "plain: {fibre: wool, weight: 2 kg, cost: 90}\n",
}
# Not for sale: no tag waits for it.
PIECE = """\
number: 2026-001
title: Ebb
kind: shawl
size: 190 x 60 cm
finished: 2026-09-14
price: 400
hours: {weaving: 10}
yarns: [{use: weft, lot: plain, weight: 300 g}]
photos: [{file: ebb.png, alt: A shawl}]
status: not for sale
"""
FOR_SALE = PIECE.replace("status: not for sale\n", "")
NO_PHOTO = PIECE.replace("photos: [{file: ebb.png, alt: A shawl}]\n", "")


def numbered(number, text=FOR_SALE, title="Ebb"):
    return text.replace("2026-001", number).replace("title: Ebb", f"title: {title}")


@pytest.fixture
def home(write_studio, tmp_path, monkeypatch):
    """Writes the records and gives what bare `provenance` says, line by line."""
    monkeypatch.setenv("SOURCE_DATE_EPOCH", DAY)
    monkeypatch.chdir(tmp_path)

    def write(files):
        (tmp_path / "pieces" / "photos").mkdir(parents=True, exist_ok=True)
        Image.new("RGB", (60, 80), "#6f7a38").save(tmp_path / "pieces" / "photos" / "ebb.png")
        write_studio({**FILES, **files})
        return tmp_path

    return write


@pytest.fixture
def waiting(home):
    """Writes the records and gives the lines between the heading and the last words."""

    def look(files):
        home(files)
        return what_waits()

    return look


def run(*words):
    return CliRunner().invoke(main, words)


def what_waits():
    answer = run()
    assert (answer.exit_code, answer.stderr) == (0, "")
    lines = answer.stdout.splitlines()
    assert lines[0] == HEAD and lines[-2:] == LAST
    return lines[1:-2]


def test_no_records_here(tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    answer = run()
    assert (answer.exit_code, answer.stderr) == (0, "")
    assert answer.stdout == (
        "There are no records here yet.\n\n"
        "provenance start studio      writes a first studio file and examples\n"
        "provenance --help            every command\n"
    )
    assert list(tmp_path.iterdir()) == []


def test_nothing_waits(waiting):
    first = "  begin the record of your first piece  ->  provenance start piece"
    assert waiting({}) == [first]
    assert waiting({"2026-001.yaml": PIECE}) == [CALM]


def test_the_records_are_found_from_a_folder_below_and_by_name(home, monkeypatch):
    folder = home({"2026-001.yaml": PIECE})
    monkeypatch.chdir(folder / "pieces" / "studio")
    assert what_waits() == [CALM]
    monkeypatch.chdir("/")
    assert run("--studio", str(folder / "pieces")).stdout.splitlines()[:2] == [HEAD, CALM]


def test_a_studio_file_that_cannot_be_read(home):
    home({"studio/studio.yaml": "studio: [\n", "2026-001.yaml": PIECE})
    answer = run()
    assert (answer.exit_code, answer.stderr) == (0, "")
    assert answer.stdout.splitlines()[:2] == [
        "this studio, 25 November 2026",
        "  1 mistake in the records  ->  provenance check",
    ]


# Mistakes


def test_mistakes_are_counted_first(waiting):
    wrong = numbered("2026-002", PIECE) + "prise: 4\n"
    assert waiting({"2026-001.yaml": FOR_SALE, "2026-002.yaml": wrong}) == [
        "  1 mistake in the records  ->  provenance check",
        "  1 tag to print: 2026-001 not printed yet  ->  provenance tags --changed",
    ]
    more = wrong + "titel: Ebb\n"
    first = waiting({"2026-001.yaml": PIECE, "2026-002.yaml": more})[0]
    assert first == "  2 mistakes in the records  ->  provenance check"


def test_remarks_are_no_mistakes(waiting):
    assert waiting({"2026-001.yaml": NO_PHOTO})[0].startswith("  2026-001 Ebb is a draft")


# Reservations


@pytest.mark.parametrize(("until", "is_out"), [("2026-11-24", True), ("2026-11-25", False)])
def test_a_reservation_runs_out_after_its_last_day(waiting, until, is_out):
    record = PIECE.replace("not for sale", f"reserved until {until}")
    lines = waiting({"2026-001.yaml": record})
    asked = "  2026-001 Ebb was reserved until 2026-11-24: sold, or free again?"
    assert (asked in lines) is is_out
    assert "reserved" not in " ".join(lines[int(is_out) :])


# Papers


def test_tags_that_were_never_printed(waiting):
    pieces = {f"{n}.yaml": numbered(n) for n in ("2026-001", "2026-002")}
    assert waiting(pieces) == [
        "  2 tags to print: 2026-001 not printed yet; 2026-002 not printed yet"
        "  ->  provenance tags --changed"
    ]
    pieces |= {f"{n}.yaml": numbered(n) for n in ("2026-003", "2026-004")}
    assert waiting(pieces) == [
        "  4 tags to print: 2026-001 not printed yet; 2026-002 not printed yet; and 2 more"
        "  ->  provenance tags --changed"
    ]


def test_a_printed_tag_waits_no_more_until_it_is_untrue(home, waiting):
    folder = home({"2026-001.yaml": FOR_SALE})
    assert run("tags").exit_code == 0
    assert what_waits() == [CALM]
    path = folder / "pieces" / "2026-001.yaml"
    path.write_text(FOR_SALE.replace("price: 400", "price: 420"))
    assert what_waits() == [
        "  1 tag to print: 2026-001 price was £400, is £420  ->  provenance tags --changed"
    ]


def test_certificates_of_what_is_sold_or_shown(home):
    sold = PIECE.replace("not for sale", "sold")
    shown = numbered("2026-002", PIECE + "at: quay\n")
    at_fair = numbered("2026-003", PIECE + "at: dale-fair\n")
    outlets = "quay: {kind: gallery, tag: none}\ndale-fair: {kind: fair}\n"
    pieces = {"2026-001.yaml": sold, "2026-002.yaml": shown, "2026-003.yaml": at_fair}
    home({**pieces, "studio/outlets.yaml": outlets})
    assert what_waits() == ["  2 certificates due  ->  provenance certificate 2026-001 2026-002"]
    assert run("certificate", "2026-001").exit_code == 0
    assert what_waits() == ["  1 certificate due  ->  provenance certificate 2026-002"]


# Quotations


def commission(**words):
    words = {"number": "2026-C01", "like": "2026-001", "sizes": "190 x 60 cm"} | words
    return "".join(f"{word}: {value}\n" for word, value in words.items())


@pytest.mark.parametrize(
    ("quoted", "said"),
    [
        ("2026-10-25", "the quotation has lapsed"),
        ("2026-10-26", "lapses in no days"),
        ("2026-10-27", "lapses in 1 day"),
        ("2026-11-16", "lapses in 21 days"),
    ],
)
def test_a_quotation_that_lapses(waiting, quoted, said):
    files = {"2026-001.yaml": PIECE, "commissions/2026-C01.yaml": commission(quoted=quoted)}
    way = "provenance quote 2026-C01" + (" --anew" if "has lapsed" in said else "")
    assert waiting(files) == [f"  2026-C01 sent on {quoted}: {said}  ->  {way}"]


def test_a_commission_that_was_asked_a_week_ago_waits_for_its_quotation(waiting):
    files = {"2026-001.yaml": PIECE, "commissions/2026-C01.yaml": commission(asked="2026-11-18")}
    said = "2026-C01 asked on 2026-11-18: no quotation has gone out yet"
    assert waiting(files) == [f"  {said}  ->  provenance quote 2026-C01"]


@pytest.mark.parametrize(
    "words",
    [
        {"asked": "2026-11-19"},  # six days ago
        {"quoted": "2026-11-17"},  # 22 days left
        {},  # nobody knows since when
        {"asked": "2026-10-25", "status": "declined"},
        {"quoted": "2026-10-25", "valid": "60 days"},  # 29 days left
        {"asked": "2026-10-25", "quoted": "2026-11-20", "status": "quoted"},  # 25 days left
    ],
)
def test_quotations_that_can_wait(waiting, words):
    files = {"2026-001.yaml": PIECE, "commissions/2026-C01.yaml": commission(**words)}
    assert waiting(files) == [CALM]


def test_what_was_quoted_counts_not_what_was_asked(waiting):
    words = {"asked": "2026-10-25", "quoted": "2026-11-01", "status": "quoted"}
    files = {"2026-001.yaml": PIECE, "commissions/2026-C01.yaml": commission(**words)}
    assert waiting(files)[0].startswith("  2026-C01 sent on 2026-11-01: lapses in 6 days  ->")


@pytest.mark.parametrize(("hours", "kept"), [("10", "1"), ("16", "0")])
def test_whether_finished_commissions_took_what_was_quoted(waiting, hours, kept):
    agreed = (
        "{on: 2026-03-01, size: 190 x 60 cm, price: 400, piece: 2026-001, "
        "hours: {likely: 11, low: 9, high: 13}}"
    )
    words = {"asked": "2026-02-20", "accepted": agreed, "status": "finished"}
    files = {
        "2026-001.yaml": PIECE.replace("weaving: 10", f"weaving: {hours}"),
        "commissions/2026-C01.yaml": commission(**words),
    }
    said = f"  Of 1 finished commission, {kept} took hours within what was quoted"
    assert waiting(files) == [f"{said}  ->  provenance quote"]


# Fairs


@pytest.mark.parametrize(
    ("dates", "said"),
    [
        ("2026-11-26 to 2026-11-27", "1 day"),
        ("2026-12-16", "21 days"),
        ("2026-12-17", ""),
        ("2026-11-25", ""),  # it is today
        ("2026-11-20 to 2026-11-30", ""),  # it has begun
        ("2026-11-01", ""),  # it is over
    ],
)
def test_a_fair_soon(waiting, dates, said):
    outlets = f"dale-fair: {{kind: fair, title: Dale Fair, dates: {dates}}}\n"
    line = f"  Dale Fair in {said}  ->  provenance papers dale-fair"
    files = {"studio/outlets.yaml": outlets, "2026-001.yaml": PIECE}
    assert waiting(files) == [line if said else CALM]


# Drafts and shelves


def test_drafts_say_what_they_want(waiting):
    files = {"2026-001.yaml": NO_PHOTO, "2026-002.yaml": "number: 2026-002\ntitle: Fret\n"}
    assert waiting(files) == [
        "  2026-001 Ebb is a draft: it wants a photo.",
        "  2026-002 Fret is a draft: it wants a kind and a size and yarns and hours and a photo.",
    ]


def test_what_is_begun_is_on_the_loom_whatever_it_wants(waiting):
    begun = NO_PHOTO.replace("not for sale", "in progress").replace("finished: 2026-09-14\n", "")
    assert waiting({"2026-001.yaml": begun}) == ["  2026-001 Ebb is on the loom."]


@pytest.mark.parametrize(
    ("whole", "left"),
    [
        (314, "14 g left of 314 g"),
        (302, "2 g left of 302 g"),
        (400, ""),  # 100 g are left
        (321, ""),  # 21 g are left: more than 20 g
        (300, ""),  # used up to the last gram
    ],
)
def test_yarn_that_is_nearly_used_up(waiting, whole, left):
    yarns = f"plain: {{fibre: wool, weight: {whole} g, cost: 90}}\n"
    lines = waiting({"2026-001.yaml": PIECE, "studio/yarns.yaml": yarns})
    assert lines == [f"  plain: {left}." if left else CALM]


def test_a_small_lot_is_not_nearly_used_up_with_a_twentieth_left(waiting):
    record = PIECE.replace("300 g", "19 g")
    yarns = "plain: {fibre: wool, weight: 20 g, cost: 9}\n"
    assert waiting({"2026-001.yaml": record, "studio/yarns.yaml": yarns}) == [CALM]


# All together


def test_most_urgent_first_and_ten_lines_at_most(waiting):
    pieces = {
        f"2026-{n:03d}.yaml": numbered(f"2026-{n:03d}", NO_PHOTO, "Fret") for n in range(2, 7)
    }
    late = FOR_SALE + "status: reserved until 2026-11-01\n"
    files = {
        **pieces,
        "2026-001.yaml": late,
        "2026-007.yaml": numbered("2026-007", FOR_SALE + "status: sold\n", "Haws"),
        "2026-008.yaml": "number: 2026-008\ntitle: [\n",
        "studio/outlets.yaml": "dale-fair: {kind: fair, dates: 2026-11-28}\n",
        "studio/yarns.yaml": "plain: {fibre: wool, weight: 2105 g, cost: 90}\n",
        "commissions/2026-C01.yaml": commission(asked="2026-11-10"),
    }
    lines = waiting(files)
    assert lines == [
        "  1 mistake in the records  ->  provenance check",
        "  2026-001 Ebb was reserved until 2026-11-01: sold, or free again?",
        "  1 tag to print: 2026-001 not printed yet  ->  provenance tags --changed",
        "  1 certificate due  ->  provenance certificate 2026-007",
        "  2026-C01 asked on 2026-11-10: no quotation has gone out yet"
        "  ->  provenance quote 2026-C01",
        "  Dale fair in 3 days  ->  provenance papers dale-fair",
        "  2026-002 Fret is a draft: it wants a photo.",
        "  2026-003 Fret is a draft: it wants a photo.",
        "  2026-004 Fret is a draft: it wants a photo.",
        "  2026-005 Fret is a draft: it wants a photo.",
        "and 2 more.",
    ]


def test_only_what_changed_is_worked_out_again(waiting, monkeypatch):
    worked = []

    def work(view, piece):
        worked.append(piece.number)
        return public_piece(view, piece)

    monkeypatch.setattr("provenance.public.border.public_piece", work)
    files = {"2026-001.yaml": FOR_SALE, "2026-002.yaml": numbered("2026-002")}
    waiting(files)
    worked.clear()
    waiting(files)
    assert worked == []
    found = waiting({**files, "2026-002.yaml": numbered("2026-002").replace("price: 400\n", "")})
    assert worked == ["2026-002"]
    shutil.rmtree(cache_path("studios"))
    assert what_waits() == found and worked == ["2026-002", "2026-001", "2026-002"]
