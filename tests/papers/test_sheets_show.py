"""A juried show's entries: four sets of rules met in calls for entry, refusals, names, fields.

Rules: longer side 1,500 px at most, works to 36 x 36 in, `1.Title.jpg`
(fineartsblount.org/resources/RulesSpringArtShow2015.html); longer side 1,800 px at least, 300 dpi
JPEG, `Last/First/Title.jpg` (georgiawatercolorsociety.com/faqs); shorter side 1,200 at least, 1,600
to 2,000 liked, 2 MB at most, baseline JPEG (flnps.org/artshow/details.html); up to 3 MB each,
`01 First_Last` (gf.org, Digital-Images). Whole and detail, 100 sq in and no side over 20 in, work
after a date: American Tapestry Alliance 2010 (tapestry2008.blogspot.com). Files are looked at with
Pillow's readers, markers by hand (baseline: SOF0, ITU-T T.81).
"""

import csv
import io
import random
from datetime import date
from functools import lru_cache

import pypdfium2
import pytest
from PIL import Image

from provenance.build.outlets import outlet_papers
from provenance.figures.flow.gather import studio_flow
from provenance.language.phrases import british
from provenance.public.border import Border
from provenance.records.book import read_book
from provenance.studio import Studio
from tests.papers.set_only import set_only

tell = british().tell
DAY = date(2026, 11, 20)
STUDIO = """
studio: Brackenfold
maker: Isla Wren
contact: {email: hello@brackenfold.example}
pay: {any: 18.00}
labels for: [UK]
"""
YARNS = "plain: {fibre: wool, weight: 9 kg, cost: 0, colour: '#6f7a38'}\n"
BLOUNT = """
    longer side: at most 1500 px
    file names: "{n}.{title}"
    pictures: whole
    largest work: 36 x 36 in
    sizes in: in
"""
GEORGIA = """
    longer side: at least 1800 px
    resolution: 300 dpi
    format: JPEG
    file names: "{last}/{first}/{title}.jpg"
"""
FLORIDA = """
    shorter side: at least 1200 px, best 1600 to 2000 px
    file size: at most 2 MB
    format: baseline JPEG
"""
GUGGENHEIM = """
    file size: at most 3 MB
    file names: "{nn} {first}_{last}"
    pictures: one whole and one detail
"""
LIST = ("entry-list.pdf",)
SMALL = ((480, 600), (600, 480))  # where the size of pictures is not the matter
PHOTOS = """
photos:
  - {file: whole.jpg, view: whole, alt: "A striped cloth"}
  - {file: detail.jpg, view: detail, alt: "Detail of it"}
"""


def piece(number, title="Saltmarsh", size="80 x 60 cm", more="", photos=PHOTOS):
    return f"""
number: {number}
title: {title}
kind: hanging
structure: plain weave
size: {size}
yarns: [{{use: weft, lot: plain, weight: 100 g}}]
hours: {{weaving: 10}}
finished: 2026-09-14
price: 780
at: jury
{photos}
{more}
"""


@lru_cache
def noisy(width, height, seed):
    """Cloth-like noise, hard to compress: what makes files too heavy; a word in its EXIF."""
    random.seed(seed)
    small = Image.frombytes(
        "RGB", (width // 4, height // 4), random.randbytes(width * height // 16 * 3)
    )
    picture = small.resize((width, height), Image.Resampling.BICUBIC)
    exif, into = Image.Exif(), io.BytesIO()
    exif[0x010F] = "CANARY"
    picture.save(into, "JPEG", quality=95, exif=exif)
    return into.getvalue()


@pytest.fixture
def made(write_studio):
    """`made(rules, pieces)`: the papers; `only` names the PDFs that are set."""

    def make(rules, pieces=None, sides=((2400, 3000), (3000, 2400)), only=()):
        outlets = f"jury:\n  kind: show\n  commission: 30 %\n  rules:{rules}"
        folder = write_studio(
            {
                "studio/studio.yaml": STUDIO,
                "studio/yarns.yaml": YARNS,
                "studio/outlets.yaml": outlets,
                **(pieces or {"2026-014.yaml": piece("2026-014")}),
            }
        )
        (folder / "photos").mkdir(exist_ok=True)
        for seed, (name, (width, height)) in enumerate(
            zip(("whole", "detail"), sides, strict=True)
        ):
            (folder / "photos" / f"{name}.jpg").write_bytes(noisy(width, height, seed))
        book, problems = read_book(folder)
        assert [str(each) for each in problems] == []
        setting = Border(Studio(book, studio_flow(book), {}, DAY))
        with set_only(only):
            return outlet_papers(setting, "jury")

    return make


def pictures(papers):
    return {s.name: s.content for s in papers.papers if s.name.startswith("pictures/")}


def size_of(content):
    with Image.open(io.BytesIO(content)) as image:
        return image.size


def entry_text(papers):
    content = next(s.content for s in papers.papers if s.name == "entry-list.pdf")
    with pypdfium2.PdfDocument(content) as pdf:
        return " ".join(" ".join(p.get_textpage().get_text_range().split()) for p in pdf)


def entry_rows(papers):
    content = next(s.content for s in papers.papers if s.name == "entry-list.csv")
    return list(csv.DictReader(io.StringIO(content.decode("utf-8-sig"))))


def test_a_longer_side_of_1500_at_most(made):
    found = pictures(made(BLOUNT))
    assert list(found) == ["pictures/1.Saltmarsh.jpg"]
    assert size_of(found["pictures/1.Saltmarsh.jpg"]) == (1200, 1500)


def test_a_longer_side_of_1800_at_least_at_300_dpi(made):
    found = pictures(made(GEORGIA))
    (content,) = found.values()
    assert list(found) == ["pictures/Wren/Isla/Saltmarsh.jpg"]
    assert max(size_of(content)) == 3000  # as large as the photo is
    with Image.open(io.BytesIO(content)) as image:
        assert image.info["dpi"] == (300, 300)


def test_a_shorter_side_with_a_range_that_is_liked_and_two_megabytes(made):
    (content,) = pictures(made(FLORIDA)).values()
    assert 1200 <= min(size_of(content)) <= 2000
    assert len(content) <= 2_000_000
    assert b"\xff\xc0" in content and b"\xff\xc2" not in content  # SOF0 and no SOF2


def test_three_megabytes_numbered_with_the_makers_name(made):
    found = pictures(made(GUGGENHEIM))
    assert list(found) == ["pictures/01 Isla_Wren.jpg", "pictures/02 Isla_Wren.jpg"]
    assert all(len(content) <= 3_000_000 for content in found.values())
    assert (
        size_of(found["pictures/02 Isla_Wren.jpg"])[0]
        > size_of(found["pictures/02 Isla_Wren.jpg"])[1]
    )  # the detail, which lies


def test_numbers_run_through_all_entries(made):
    two = {f"2026-0{n}.yaml": piece(f"2026-0{n}", f"Piece {n}") for n in (14, 15)}
    found = pictures(made(GUGGENHEIM, two, SMALL))
    assert [name.split("/")[1][:2] for name in found] == ["01", "02", "03", "04"]


def test_names_that_would_be_the_same_get_the_view(made):
    found = pictures(made(GEORGIA + "    pictures: one whole and one detail\n"))
    assert list(found) == [
        "pictures/Wren/Isla/Saltmarsh.jpg", "pictures/Wren/Isla/Saltmarsh detail.jpg",
    ]  # fmt: skip


def test_a_title_can_not_break_out_of_a_file_name(made):
    odd = {"2026-014.yaml": piece("2026-014", '"../Salt: marsh?"')}
    (name,) = pictures(made(BLOUNT, odd, SMALL))
    assert name == "pictures/1.-Salt- marsh-.jpg"


def test_nothing_of_the_makers_file_comes_along(made):
    for content in pictures(made(GUGGENHEIM)).values():
        assert b"CANARY" not in content and b"Exif" not in content and b"xmp" not in content
        assert b"Isla" not in content and b"Saltmarsh" not in content


def test_png_where_it_is_asked_for(made):
    (name,) = found = pictures(made("\n    format: PNG\n    longer side: at most 800 px\n"))
    assert name.endswith(".png") and size_of(found[name]) == (640, 800)


@pytest.mark.parametrize(
    ("rules", "size", "why"),
    [
        (BLOUNT, "95 x 60 cm", "is larger than 36 x 36 in"),  # 36 in are 91.44 cm
        (BLOUNT, "60 x 95 cm", "is larger than 36 x 36 in"),
        ("\n    no side over: 20 in\n", "55 x 10 cm", "has a side over 20 in"),
        ("\n    largest area: 100 sq in\n", "26 x 26 cm", "covers more than the largest area"),
    ],
)
def test_a_work_that_is_too_large_is_refused(made, rules, size, why):
    large = {"2026-014.yaml": piece("2026-014", size=size), "2026-015.yaml": piece("2026-015")}
    large["2026-015.yaml"] = piece("2026-015", "Small", size="20 x 20 cm")
    papers = made(rules, large, SMALL, LIST)
    (problem,) = papers.problems
    assert tell(problem.what).startswith("2026-014 Saltmarsh: H ") and why in tell(problem.what)
    assert not problem.is_remark
    assert "2026-014" not in entry_text(papers) and "2026-015" in entry_text(papers)


def test_a_work_of_exactly_the_largest_size_is_taken(made):
    exact = {"2026-014.yaml": piece("2026-014", size="36 x 36 in")}
    assert made(BLOUNT, exact, SMALL, None).problems == ()


def test_a_work_that_is_too_old_is_refused(made):
    papers = made("\n    made since: 2026-10\n", {
        "2026-014.yaml": piece("2026-014"),
        "2026-015.yaml": piece("2026-015", "New").replace("2026-09-14", "2026-10-01"),
    }, SMALL)  # fmt: skip
    (problem,) = papers.problems
    assert tell(problem.what) == (
        "2026-014 Saltmarsh: finished 2026-09-14, and Jury takes work since 2026-10"
    )


def test_a_photo_that_is_too_small_is_never_enlarged(made):
    papers = made(GEORGIA, sides=((1200, 1500), (1200, 1500)))
    (problem,) = papers.problems
    assert tell(problem.what) == (
        "2026-014 Saltmarsh: the photo 'photos/whole.jpg' has 1500 on its longer side where 1800 "
        "are asked for"
    )
    assert tell(problem.remedy) == "pictures are never enlarged: take it again, or export it larger"
    assert pictures(papers) == {}


def test_a_view_that_was_not_taken_is_named(made):
    one = 'photos: [{file: whole.jpg, view: whole, alt: "A cloth"}]'
    papers = made(GUGGENHEIM, {"2026-014.yaml": piece("2026-014", photos=one)}, SMALL)
    (problem,) = papers.problems
    assert tell(problem.what) == (
        "2026-014 Saltmarsh: 1 photo with 'view: detail' lacking, which Jury asks for"
    )
    assert list(pictures(papers)) == ["pictures/01 Isla_Wren.jpg"]


def test_more_works_than_the_show_takes(made):
    three = {f"2026-0{n}.yaml": piece(f"2026-0{n}", f"P{n}") for n in (14, 15, 16)}
    papers = made("\n    most works: 2\n", three, SMALL)
    assert [tell(each.what) for each in papers.problems] == [
        "3 works are entered and Jury takes 2 at most"
    ]


def test_the_fields_in_the_shows_order_unit_and_words(made):
    rules = """
    fields: [title, size, medium, year, price, insurance, pictures]
    sizes in: in
    first: width
    insurance: price less commission
    longer side: at most 800 px
"""
    papers = made(rules, only=LIST)
    (row,) = entry_rows(papers)
    assert row == {
        "title": "Saltmarsh", "size": "W 23 5/8 × H 31 1/2 in",
        "medium": "100 % wool; plain weave", "year": "2026", "price": "780.00",
        "insurance": "546.00", "pictures": "01 Saltmarsh whole.jpg", "currency": "GBP",
    }  # fmt: skip
    text = entry_text(papers)
    assert "Insurance value £546" in text and "640 × 800 px" in text and "Price £780" in text


def test_what_is_not_for_sale_says_so(made):
    lent = {"2026-014.yaml": piece("2026-014", more="status: not for sale")}
    papers = made(BLOUNT, lent, SMALL, LIST)
    assert entry_rows(papers)[0]["price"] == "NFS"
    assert "Price NFS" in entry_text(papers)


def test_a_statement_of_the_wrong_length_is_a_remark(made):
    story = "story: Three words *only*.\n"
    papers = made("\n    statement: 50 to 150 words\n", {
        "2026-014.yaml": piece("2026-014", more=story)}, SMALL, LIST)  # fmt: skip
    (problem,) = papers.problems
    assert problem.is_remark
    assert tell(problem.what) == (
        "2026-014 Saltmarsh: its story has 3 words and Jury asks for 50 to 150"
    )
    assert "Three words only." in entry_text(papers)
