"""Shows: what a record says, and what is told of one that can't be hung as it is written."""

from __future__ import annotations

from datetime import datetime
from fractions import Fraction

import pytest

from provenance.records.book import read_book

SHOW = """\
title: Low water
outlet: harbour-gallery
dates: 2027-03-05 to 2027-04-11
opening: 2027-03-04 18:00
words: low-water.md
walls:
  - {name: north, width: 620 cm, works: [2026-014, 2026-012]}
  - {name: alcove, width: 180 cm, works: 2026-006, eye: 140 cm}
"""
OTHERS = {
    f"{number}.yaml": f"number: {number}\ntitle: {title}\nkind: hanging\nsize: {size}\n"
    for number, title, size in (
        ("2026-012", "Lambing Snow", "92 x 74 cm"), ("2026-006", "Peat Hag", "110 x 70 cm"),
        ("2026-020", "Beck", "250 x 60 cm"), ("2026-021", "Scree", ""),
        ("2025-018", "Tarn", "80 x 60 cm\nstatus: withdrawn"),
    )
}  # fmt: skip
PLACE = "pieces/shows/low-water.yaml"


@pytest.fixture
def said(studio_with, all_said):
    """What is said of a show's file, where some of its words are others."""

    def say(old: str = "", new: str = "", *, more: str = "", **files: str) -> list[str]:
        assert old in SHOW
        shows = {f"shows/{name.replace('_', '-')}.yaml": text for name, text in files.items()}
        folder = studio_with({
            **OTHERS, "pages/low-water.md": "# Low water\nThe tide.\n",
            "shows/low-water.yaml": SHOW.replace(old, new) + more, **shows,
        })  # fmt: skip
        lines = all_said(folder).replace("\n    ", " | ").split("\n")
        return [line.removeprefix("pieces/") for line in lines if "shows/" in line.split(" ")[0]]

    return say


def test_a_show_that_can_be_hung_says_nothing(said):
    assert said() == []


def test_a_record_is_read(studio_with):
    book, problems = read_book(studio_with({"shows/low-water.yaml": SHOW}))
    show = book.shows["low-water"]
    assert [*problems] == []
    assert (show.name, show.title, show.eye) == ("low-water", "Low water", 152)
    assert show.opening.moment == datetime(2027, 3, 4, 18, 0)
    assert [*show.hung] == ["2026-014", "2026-012", "2026-006"]
    assert [wall.middle(show.eye) for wall in show.walls] == [152, 140]
    assert show.pages == ("low-water",)


def test_the_pages_of_a_show_are_no_pages_of_the_site(studio_with):
    pages = {"pages/low-water.md": "# Low water\n", "pages/about.md": "# About\n"}
    book, _ = read_book(studio_with({"shows/low-water.yaml": SHOW, **pages}))
    assert list(book.own_pages) == ["about"]
    assert sorted(book.pages) == ["about", "low-water"]
    shared = SHOW.replace("low-water.md", "about.md")
    book, _ = read_book(studio_with({"shows/low-water.yaml": shared, **pages}))
    assert sorted(book.own_pages) == ["about", "low-water"]


@pytest.mark.parametrize(
    ("written", "told"),
    [
        ("2027-03-04", None),
        ("2027-03-04 18.30", "18:30"),
        ("2027-03-04 at 9:00", "09:00"),
        ("2027-03-04T18:00", "18:00"),
        ("2027-03-04T18:00:00", "18:00"),
    ],
)
def test_an_opening_is_a_day_and_where_it_is_written_a_time(studio_with, written, told):
    text = SHOW.replace("2027-03-04 18:00", written)
    book, _ = read_book(studio_with({"shows/low-water.yaml": text}))
    moment = book.shows["low-water"].opening.moment
    assert (moment and f"{moment:%H:%M}") == told


@pytest.mark.parametrize(
    ("old", "new", "line"),
    [
        ("2026-012]", "2026-099]",
         "shows/low-water.yaml:7:52: no piece called '2026-099' | did you mean '2026-021' "
         "(pieces/2026-021.yaml:1)?"),
        ("outlet: harbour-gallery", "outlet: harbour",
         "shows/low-water.yaml:2:9: no outlet called 'harbour' | did you mean 'harbour-gallery' "
         "(pieces/studio/outlets.yaml:1)?"),
        ("words: low-water.md", "words: low-tide.md",
         "shows/low-water.yaml:5:8: there is no page 'low-tide.md' in pages/ | "
         "did you mean 'low-water.md'?"),
        ("words: low-water.md", "words: tide.md",
         "shows/low-water.yaml:5:8: there is no page 'tide.md' in pages/ | "
         "write it as pages/tide.md"),
        ("2027-03-05 to 2027-04-11", "2027-04-11 to 2027-03-05",
         "shows/low-water.yaml:3:8: dates: '2027-04-11 to 2027-03-05' is no span of days | "
         "write 2026-11-28 to 2026-11-29"),
        ("2027-03-04 18:00", "2027-03-04 25:00",
         "shows/low-water.yaml:4:10: opening: '2027-03-04 25:00' is no day and time | "
         "write 2027-03-04 18:00"),
        ("works: 2026-006", "works: 2026-014",
         "shows/low-water.yaml:8:42: 2026-014 Saltmarsh hangs here twice | "
         "it hangs first in pieces/shows/low-water.yaml:7: take one of the two away"),
        ("works: 2026-006", "works: 2026-021",
         "shows/low-water.yaml:8:42: remark: 2026-021 Scree has no size: nobody can say where on "
         "the wall it hangs | write 'size' into pieces/2026-021.yaml, or hang it under 'works', "
         "without a wall"),
        ("620 cm", "150 cm",
         "shows/low-water.yaml:7:26: the north wall is 10 cm too narrow: 2 works need more than "
         "150 cm | hang fewer works there, or look at the width again"),
        ("2026-012]}", "2026-012], gaps: 500 cm}",
         "shows/low-water.yaml:7:69: with these gaps the wall is 40 cm too narrow: 2 works and "
         "what lies between need more than 620 cm | "
         "leave 'gaps' out (that makes 153.3 cm everywhere), or write less"),
        ("2026-012]}", "2026-012], gaps: [50 cm, 60 cm]}",
         "shows/low-water.yaml:7:70: 2 gaps for 2 works | "
         "write one for all, or 1: those between the works; the two ends share what is left"),
        ("2026-012]}", "2026-012], height: 210 cm}",
         "shows/low-water.yaml:7:42: 2026-014 would end 4 cm above the wall, which is 210 cm high "
         "| write 'eye: 148 cm' for this wall"),
        ("works: 2026-006", "works: 2026-020",
         "shows/low-water.yaml:8:42: remark: the lower edge of 2026-020 would be 15 cm above the "
         "floor: 30 cm are kept clear, as a rule | write 'eye: 155 cm' for this wall"),
        ("works: 2026-006, eye: 140 cm", "works: 2026-020, eye: 120 cm",
         "shows/low-water.yaml:8:42: 2026-020 would end 5 cm below the floor | "
         "write 'eye: 155 cm' for this wall"),
        ("works: 2026-006, eye: 140 cm", "works: 2026-020, height: 240 cm",
         "shows/low-water.yaml:8:42: 2026-020 would end 37 cm above the wall, which is 240 cm high"
         " | it is higher than this wall: hang it elsewhere"),
        ("words: low-water.md", "centre line: 120 cm",
         "shows/low-water.yaml:5:14: remark: a centre line at 120 cm is odd: the middle of the "
         "works would hang far from most people's eyes | between 140 cm and 160 cm, as a rule; "
         "where one wall alone is meant (an alcove, for children), write 'eye' there"),
        ("words: low-water.md", "catalogue: {size: A7}",
         "shows/low-water.yaml:5:19: 'A7' is no size of a book | write A5, A4, Letter, or "
         "width x height from 100 to 450 mm: 148 x 210 mm, 5.5 x 8.5 in"),
        ("words: low-water.md", "catalogue: {size: 50 x 80 mm}",
         "shows/low-water.yaml:5:19: a book of 50 x 80 mm can't be set here | write A5, A4, "
         "Letter, or width x height from 100 to 450 mm: 148 x 210 mm, 5.5 x 8.5 in"),
        ("words: low-water.md", "catalogue: {paper: silk}",
         "shows/low-water.yaml:5:20: 'silk' is no paper | write its grams per square metre and "
         "whether it is coated: 115 g, 115 g coated, 90 g uncoated; 30 to 500 g"),
        ("words: low-water.md", "catalogue: {bleed: 3 cm}",
         "shows/low-water.yaml:5:20: more than 10 mm of bleed: that is no bleed | write what the "
         "printer asks for; 3 mm is usual"),
        ("2027-03-04 18:00", "2027-04-12",
         "shows/low-water.yaml:4:10: it opens on 2027-04-12, after its last day, 2027-04-11 | "
         "look at 'opening' and 'dates' again"),
        ("words: low-water.md", "words: ../studio/studio.yaml",
         "shows/low-water.yaml:5:8: there is no page '../studio/studio.yaml' in pages/ | room text "
         "and essay are pages that lie in pages/: write the name of one, such as low-water.md"),
        ("works: 2026-006", "works: 2025-018",
         "shows/low-water.yaml:8:42: remark: 2025-018 Tarn is withdrawn, and hangs here | take it "
         "out of this show, or look at its status in pieces/2025-018.yaml"),
        ("180 cm", "0 cm",
         "shows/low-water.yaml:8:27: a wall that is 0 cm wide | measure it, and write for example "
         "'width: 620 cm'"),
        ("180 cm", "50 cm",
         "shows/low-water.yaml:8:27: the alcove wall is 20 cm too narrow: its one work needs more "
         "than 50 cm | hang fewer works there, or look at the width again"),
        ("words: low-water.md", "catalogue: {isbn: 978-0-306-40615-8}",
         "shows/low-water.yaml:5:19: isbn: the digits of '978-0-306-40615-8' don't belong "
         "together: one is wrong | look at it again: the last digit proves the others"),
        ("words: low-water.md", "catalogue: {printer profile: press.icc}",
         "shows/low-water.yaml:5:30: there is no file 'press.icc' in the record folder | "
         "put the printer's profile (an .icc file) there, and write its name as it lies there: "
         "printer.icc"),
    ],
)  # fmt: skip
def test_what_is_wrong_is_told_with_what_would_be_right(said, old, new, line):
    assert said(old, new) == [line]


def test_what_is_right_is_not_told(said):
    assert said("words: low-water.md", "centre line: 140 cm") == []
    assert said("2026-012]}", "2026-012], height: 260 cm, gaps: 60 cm}") == []
    assert said("words: low-water.md", "catalogue: {isbn: 978-0-306-40615-7, size: 148 x 210 mm}"
                ) == []  # fmt: skip


def test_a_set_may_hang_as_often_as_there_are_of_it(studio_with, all_said):
    three = OTHERS["2026-006.yaml"] + "makes: 3\n"
    show = "title: Low water\nworks: [2026-006, 2026-006, 2026-006]\n"
    files = {**OTHERS, "2026-006.yaml": three, "shows/low-water.yaml": show}
    assert "shows/" not in all_said(studio_with(files))
    files["shows/low-water.yaml"] = show.replace("]", ", 2026-006]")
    assert "shows/low-water.yaml:2:39: 2026-006 Peat Hag hangs here twice" in all_said(
        studio_with(files)
    )


def test_a_work_hangs_in_one_show_at_a_time(said):
    other = "title: Fells\ndates: {days}\nworks: [2026-012]\n"
    assert said(fells=other.format(days="2027-04-11 to 2027-05-01")) == [
        "shows/low-water.yaml:7:52: remark: 2026-012 Lambing Snow hangs in 'Fells' on the same "
        "days | it is named there in pieces/shows/fells.yaml:3: one of the two has to do without it"
    ]
    assert said(fells=other.format(days="2027-04-12 to 2027-05-01")) == []


def test_a_withdrawn_work_may_have_hung_in_a_show_that_is_over(said):
    past = "title: Fells\ndates: 2026-05-01 to 2026-05-09\nworks: [2025-018]\n"
    assert said(fells=past) == []


def test_two_shows_have_two_addresses(studio_with, all_said):
    def told(one, two):
        title = "title: Low water\n"
        folder = studio_with({f"shows/{one}.yaml": title, f"shows/{two}.yaml": title})
        lines = [line for line in all_said(folder).split("\n") if "would lie at" in line]
        for name in (one, two):
            (folder / "shows" / f"{name}.yaml").unlink()
        return lines

    assert told("Low Water", "low-water") == [
        "pieces/shows/low-water.yaml:1:1: its page would lie at shows/low-water/, where that of "
        "pieces/shows/Low Water.yaml lies"
    ]
    assert len(told("潮", "海")) == 1
    assert told("low-water", "low-water-2") == []


@pytest.mark.parametrize(
    "wish", ["size: 5.5 x 8.5 in", "size: Letter", "size: A6", "size: 8.5 x 11 in, bleed: 3 mm",
             "paper: 115 g matt coated", "paper: 150 g silk"],
)  # fmt: skip
def test_books_of_many_kinds_can_be_asked_for(said, wish):
    assert said("words: low-water.md", f"catalogue: {{{wish}}}") == []


@pytest.mark.parametrize("name", ["harbour_gallery", "private", "catalogue"])
def test_its_papers_have_a_folder_of_their_own(said, name):
    shown = name.replace("_", "-")
    assert said(**{name: "title: Tide\n"}) == [
        f"shows/{shown}.yaml:1:1: papers/{shown}/ is not free: the papers of this show could not "
        "lie there | give the file another name, such as low-water.yaml"
    ]


def test_known_keeps_a_remark_quiet(studio_with):
    from datetime import date

    from provenance.build.opening import open_studio

    odd = SHOW.replace("words: low-water.md", "centre line: 120 cm")
    files = {**OTHERS, "shows/low-water.yaml": odd}
    key = "show_file.centre_line"
    found = open_studio(studio_with(files), date(2026, 11, 20)).problems
    assert key in [each.what.key for each in found]
    files["shows/low-water.yaml"] = odd + "known: centre line at 120 cm is odd\n"
    found = open_studio(studio_with(files), date(2026, 11, 20)).problems
    assert key not in [each.what.key for each in found]


def test_a_work_whose_record_is_broken_is_not_called_unknown(said, studio_with, all_said):
    folder = studio_with({
        **OTHERS, "2026-012.yaml": "number: 2026-012\ntitle: Lambing Snow\nsize: much\n",
        "shows/low-water.yaml": SHOW.replace("words: low-water.md\n", ""),
    })  # fmt: skip
    assert "shows/" not in all_said(folder)


def test_sums_are_exact(studio_with):
    text = SHOW.replace("620 cm", "6.2 m").replace("eye: 140 cm", "eye: 4 ft 7 in")
    book, _ = read_book(studio_with({"shows/low-water.yaml": text}))
    show = book.shows["low-water"]
    assert show.walls[0].width == 620
    assert show.walls[1].middle(show.eye) == Fraction("139.7")
