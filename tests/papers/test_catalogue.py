"""The printed catalogue: true page numbers, one scheme, no hole, nothing private; three files.

What stands on which page is read back by PDFium, which did not make it; tags by page-validation
(PDF/UA-1, all 104 rules), boxes and bookmarks by pikepdf.
"""

from __future__ import annotations

import gc
import io
import json
import re
import tempfile
from fractions import Fraction
from pathlib import Path
from typing import Any

import page as page_validation
import pikepdf
import pypdfium2
import pytest
from click.testing import CliRunner, Result
from PIL import Image

from provenance.build import catalogue as making
from provenance.commands.main import main
from provenance.papers.catalogue.pictures import plate
from provenance.papers.catalogue.trim import Trim, read_trim
from provenance.press.pdf import paging
from provenance.press.pictures.photos import Upright
from provenance.problems import Said, Slip
from provenance.workers import workers
from tests.papers.letters_on import palest, smallest

DAY = "1795608000"  # 25 November 2026
MM = 72 / 25.4
# A word found nowhere else stands in everything that nobody outside the studio should read.
PRIVATE = ("TAPIR", "DUGONG", "PANGOLIN", "OKAPI", "GENET", "KIWI")
MONEY = ("73.13", "74.13", "91.91")
STORY = "The beck comes down brown in April and clears by May. " * 4
FILES = {
    "studio/studio.yaml": """
studio: Brackenfold
maker: Isla Wren
place: Eskrigg Dale
site: https://brackenfold.example
labels for: [UK]
mark: a small wren, woven into the lower right corner
pay: {any: 73.13}
""",
    "studio/fleece.yaml": """
gotland-2025: {fibre: wool, breed: Gotland, from: Low Eskrigg Farm, public: yes, notes: DUGONG,
  shorn: 2025-06-18, weight: 5 kg, cost: 91.91, scoured: 55 %}
swaledale-2024: {fibre: wool, breed: Swaledale, from: OKAPI farm, weight: 5 kg, cost: 8}
""",
    "studio/yarns.yaml": """
grey: {fleece: {gotland-2025: 2 kg}, weight: 900 g, colour: "#8f8e8a", notes: TAPIR, kept: GENET}
bought: {fibre: wool, weight: 9 kg, cost: 74.13, colour: "#e1d6bd"}
rug: {fleece: {swaledale-2024: 2 kg}, weight: 900 g, colour: "#5d5954"}
""",
    "studio/dyestuffs.yaml": "weld: {species: Reseda luteola, weight: 900 g, cost: 3}\n",
    "studio/mordants.yaml": "alum: {weight: 900 g, cost: 3}\n",
    "studio/outlets.yaml": "quay: {kind: gallery, title: Quay Rooms, notes: KIWI}\n",
    "dyebook/2026-01-gold.yaml": """
date: 2026-01-10
dyed: [{yarn: bought, weight: 300 g, becomes: gold, colour: "#c3a23c"}]
steps: [{mordants: {alum: 12 %}, heat: 85 C for 1 h}, {dyes: {weld: 60 %}, heat: 80 C for 1 h}]
""",
    "pages/beck-essay.md": "# What the beck brings\n\nIt brings *everything*, in time.\n",
    "shows/beck.yaml": """
title: The beck
place: Quay Rooms, Sandrigg
dates: 2027-03-05 to 2027-04-11
works: [2026-003, 2026-001]
catalogue: {size: "120 x 170 mm", essay: beck-essay.md, copies: 60, isbn: 978-0-306-40615-7}
""",
    "2026-001-moss.yaml": f"""
number: 2026-001
title: Moss
kind: shawl
structure: 2/2 twill
finished: 2026-02-14
size: 190 x 60 cm
weight: 290 g
yarns:
  - {{use: weft, lot: gold, weight: 150 g}}
  - {{use: warp, lot: grey, weight: 150 g}}
hours: {{weaving: 10}}
price: 91.91
status: sold
sale: {{on: 2026-03-01, price: 91.91, to: "PANGOLIN House", buyer: {{name: PANGOLIN}}}}
kept: GENET
notes: TAPIR
history:
  - {{on: 2026-04-01, event: "Shown at the spring show"}}
  - {{on: 2026-04-20, event: "Repaired after moth"}}
  - {{on: 2026-05-02, event: "Reproduced in the guild's journal"}}
photos:
  - {{file: moss.jpg, view: whole, alt: "A shawl"}}
  - {{file: moss-detail.jpg, view: detail, alt: "Twill", across: 8 cm}}
  - {{file: moss-back.jpg, view: back, alt: "The back"}}
story: "{STORY}"
""",
    "2026-003-lane.yaml": f"""
number: 2026-003
title: Lane
kind: rug
structure: weft-faced plain weave
finished: 2026-06-01
size: 150 x 80 cm
weight: 700 g
yarns:
  - {{use: weft, lot: rug, weight: 500 g}}
  - {{use: warp, lot: bought, weight: 200 g}}
hours: {{weaving: 10}}
photos:
  - {{file: lane.jpg, view: whole, alt: "A rug"}}
story: "{STORY * 12}"
""",
    "2019-002-fell.yaml": """
number: 2019-002
title: Fell
kind: hanging
earlier: yes
finished: 2019
made of: wool from a neighbour
""",
}
PHOTOS = {"moss": (900, 1200), "moss-detail": (1200, 900), "moss-back": (1000, 1000),
          "lane": (1200, 800)}  # fmt: skip


class Home:
    """A studio with its catalogue made, and what was said."""

    def __init__(self, folder: Path, *words: str) -> None:
        self.folder = folder
        done = run(folder, "catalogue", *words, "--json")
        self.data: dict[str, Any] = json.loads(done.stdout)
        self.told = done.stderr

    def file(self, name: str) -> bytes:
        return (self.folder / self.data["files"][name]).read_bytes()

    def pages(self, name: str = "screen") -> list[str]:
        with pypdfium2.PdfDocument(self.file(name)) as pdf:
            return [" ".join(p.get_textpage().get_text_range().split()) for p in pdf]

    def page_with(self, text: str, after: int = 0) -> int:
        """The first page, from 1, that says so."""
        pages = self.pages()
        return next(at for at, told in enumerate(pages, 1) if at > after and text in told)

    def entry(self, title: str) -> dict[str, Any]:
        return next(each for each in self.data["entries"] if each["title"] == title)


def run(folder: Path, *words: str, code: int = 0) -> Result:
    done = CliRunner().invoke(
        main, ["--studio", str(folder), *words], env={"SOURCE_DATE_EPOCH": DAY},
        catch_exceptions=False,
    )  # fmt: skip
    assert done.exit_code == code, done.output
    return done


def studio(write: Any, folder: Path) -> Path:
    write(folder, FILES)
    (folder / "photos").mkdir(exist_ok=True)
    for name, size in PHOTOS.items():
        Image.new("RGB", size, "#6f7a38").save(folder / "photos" / f"{name}.jpg")
    return folder


@pytest.fixture(scope="module")
def home(write_studio_in: Any, tmp_path_factory: pytest.TempPathFactory) -> Home:
    return Home(studio(write_studio_in, tmp_path_factory.mktemp("catalogue") / "pieces"))


@pytest.fixture(scope="module")
def of_show(home: Home) -> Home:
    return Home(home.folder, "--show", "beck")


def test_the_json_says_where_every_work_is(home: Home) -> None:
    told = [(each["number"], each["catalogue number"], each["title"]) for each in
            home.data["entries"]]  # fmt: skip
    # in the order they were finished; the one without a photograph after the plates
    assert told == [("2026-001", 1, "Moss"), ("2026-003", 2, "Lane"), ("2019-002", 3, "Fell")]
    assert home.data["pages"] == len(home.pages()) and home.data["pages"] % 4 == 0
    assert home.data["files"] == {
        "printer": "papers/catalogue/catalogue-printer.pdf",
        "screen": "papers/catalogue/catalogue-screen.pdf",
        "booklet": "papers/catalogue/catalogue-booklet.pdf",
    }


def test_every_entry_is_on_the_page_that_is_said(home: Home) -> None:
    pages = home.pages()
    for each in home.data["entries"]:
        assert f"{each['title']} {each['number']}" in pages[each["page"] - 1]
    for title, size in (("Moss", "H 190 × W 60 cm"), ("Lane", "H 150 × W 80 cm")):
        each = home.entry(title)
        assert f"{each['catalogue number']} {title}, {size}" in pages[each["plate"] - 1]
        assert each["plate"] % 2 == 0 and each["page"] == each["plate"] + 1  # plate left
    assert home.entry("Fell")["plate"] is None


def test_printed_page_numbers_are_those_of_the_pages(home: Home) -> None:
    pages = home.pages()
    numbered = [at for at, text in enumerate(pages, 1) if re.search(rf"(^| ){at}( |$)", text)]
    assert set(numbered) >= {each["page"] for each in home.data["entries"]}


def test_contents_indexes_and_concordance_tell_true_pages(home: Home) -> None:
    pages = home.pages()
    contents = pages[home.page_with("Contents") - 1]
    page = {each["title"]: each["page"] for each in home.data["entries"]}
    for title, at in page.items():
        assert re.search(rf"{title} {at}\b", contents)
    for part in ("How to read this catalogue", "Works without a photograph", "Light and care",
                 "Chronology", "Indexes", "Concordance", "Colophon"):  # fmt: skip
        said = int(re.search(rf"{part} (\d+)", contents)[1])  # type: ignore[index]
        assert part in pages[said - 1]
    index = " ".join(pages[home.page_with("Numbers are pages") - 1 :])
    moss, lane = page["Moss"], page["Lane"]
    assert f"Weld, Reseda luteola: Moss {moss}" in index
    assert f"Gotland fleece, Low Eskrigg Farm, shorn 18 June 2025: Moss {moss}" in index
    assert f"Swaledale fleece: Lane {lane}" in index
    assert f"Low Eskrigg Farm: Moss {moss}" in index
    assert f"2/2 twill: Moss {moss}" in index
    assert f"Fell {page['Fell']} Lane {lane} Moss {moss}" in index
    concordance = pages[home.page_with("Inventory Catalogue Title Page") - 1]
    rows = f"2019-002 3 Fell {page['Fell']} 2026-001 1 Moss {moss} 2026-003 2 Lane {lane}"
    assert rows in concordance


def test_closer_pages_are_where_entries_say(home: Home) -> None:
    pages, moss = home.pages(), home.entry("Moss")
    at = int(re.search(r"Closer: page (\d+)", pages[moss["page"] - 1])[1])  # type: ignore[index]
    assert "Moss Detail; the picture is 8 cm of cloth across" in pages[at - 1]
    assert any("1 Moss. The back" in text for text in pages)


def test_a_long_story_faces_its_page_closer_by_and_leaves_no_hole(home: Home) -> None:
    pages, lane = home.pages(), home.entry("Lane")
    assert "The beck comes down" not in pages[lane["page"] - 1]
    assert "The beck comes down" in pages[lane["page"]]
    assert all(pages[at].strip() for at in range(lane["plate"] - 1, lane["page"] + 2))


def test_entries_have_one_scheme(home: Home) -> None:
    text = home.pages()[home.entry("Moss")["page"] - 1]
    labels = ["Date", "Material", "Technique", "Dimensions", "Weight", "Fleeces", "Dyes", "Where",
              "Shown", "Reproduced", "History"]  # fmt: skip
    places = [text.index(f" {label} ") for label in labels]
    assert places == sorted(places)
    assert "Dyes Weld (Reseda luteola) Mordanted with alum" in text
    assert (
        "Where Private collection Shown Shown at the spring show, 1 April 2026 Reproduced" in text
    )
    assert "History Repaired after moth, 20 April 2026" in text
    assert "Reproduced Reproduced in the guild's journal, 2 May 2026" in text.replace("’", "'")


def test_earlier_work_is_told_with_what_is_known(home: Home) -> None:
    text = home.pages()[home.entry("Fell")["page"] - 1]
    assert "Date 2019 * Material Wool from a neighbour" in text
    assert "Signed" not in text and "Where" not in text  # nobody wrote it down
    preface = home.pages()[home.page_with("How to read this catalogue", 5) - 1]
    assert "* behind a date: made before the studio kept records" in preface


def test_nothing_private_is_in_it(home: Home) -> None:
    for name in home.data["files"]:
        text = " ".join(home.pages(name))
        with pikepdf.open(home.folder / home.data["files"][name]) as pdf:
            streams = [each for each in pdf.objects if isinstance(each, pikepdf.Stream)]
            deep = b" ".join(_read(each) for each in streams) + str(pdf.trailer).encode()
        for word in PRIVATE:
            assert word not in text and word.encode() not in deep, (name, word)
        assert [amount for amount in MONEY if amount in text] == []


def _read(stream: pikepdf.Stream) -> bytes:
    if stream.get("/Subtype") == "/Image":
        return bytes(stream.read_raw_bytes())
    return bytes(stream.read_bytes())


def test_the_screen_file_is_tagged_cut_and_small(home: Home) -> None:
    path = home.folder / home.data["files"]["screen"]
    found = page_validation.validate_pdf(str(path), profile="ua1")
    assert found.is_compliant, found.failures
    with pikepdf.open(path) as pdf:
        assert [round(float(side) / MM, 1) for side in pdf.pages[0].mediabox[2:]] != [154.0, 216.0]
        assert round(float(pdf.pages[0].mediabox[2] - pdf.pages[0].mediabox[0]) / MM, 1) == 148.0
        titles = [item.title for item in pdf.open_outline().root]
    assert titles == ["Contents", "How to read this catalogue", "Works",
                      "Works without a photograph", "Closer", "Light and care", "Chronology",
                      "Indexes", "Concordance", "Colophon"]  # fmt: skip
    assert widest(home.file("screen")) < widest(home.file("printer"))


def test_no_printed_file_claims_to_be_for_the_archive(home: Home) -> None:
    """PDF/A binds streams that later steps wrote anew; that it is tagged, a file still says."""
    for name in home.data["files"]:
        path = home.folder / home.data["files"][name]
        with pikepdf.open(path) as pdf:
            about = pdf.Root.get("/Metadata")
            told = about.read_bytes() if about is not None else b""
            is_tagged = "/StructTreeRoot" in pdf.Root
        assert b"pdfaid:part" not in told
        assert (b"<pdfuaid:part>1<" in told) == is_tagged == (name != "booklet")
        if is_tagged:
            found = page_validation.validate_pdf(str(path), profile="ua1")
            assert found.is_compliant, (name, found.failures)


def widest(content: bytes) -> int:
    """The pixels of the widest picture in a file."""
    with pikepdf.open(io.BytesIO(content)) as pdf:
        streams = [each for each in pdf.objects if isinstance(each, pikepdf.Stream)]
        return max(int(each.Width) for each in streams if each.get("/Subtype") == "/Image")


def test_pictures_are_never_enlarged(home: Home) -> None:
    assert widest(home.file("printer")) == 1200  # as wide as the widest photo has pixels


def test_the_printers_file_has_its_bleed(home: Home) -> None:
    with pikepdf.open(home.folder / home.data["files"]["printer"]) as pdf:
        for one in pdf.pages:
            trim, bleed = one.trimbox, one.bleedbox
            wide = float(trim[2] - trim[0]) / MM, float(trim[3] - trim[1]) / MM
            assert wide == (pytest.approx(148, abs=0.1), pytest.approx(210, abs=0.1))
            assert float(trim[0] - bleed[0]) / MM == pytest.approx(3, abs=0.01)


def test_letters_are_black_and_of_eight_points(home: Home, of_show: Home) -> None:
    assert smallest(home.file("screen")) >= 8.0
    assert smallest(of_show.file("screen")) >= 8.0  # a small book
    assert palest(home.file("screen")) == 0


def test_a_show_has_its_title_essay_order_and_size(of_show: Home) -> None:
    assert [each["title"] for each in of_show.data["entries"]] == ["Lane", "Moss"]
    assert of_show.data["files"]["screen"] == "papers/beck/catalogue-screen.pdf"
    pages = of_show.pages()
    assert pages[0].startswith("1 2 The beck Isla Wren Quay Rooms, Sandrigg, 5 March to 11 April")
    essay = pages[of_show.page_with("It brings everything, in time.") - 1]
    assert essay.startswith("What the beck brings") and "Isla Wren" in essay
    imprint = pages[of_show.page_with("All rights reserved") - 1]
    assert "Edition of 60 copies ISBN 978-0-306-40615-7" in imprint
    assert "Published by Brackenfold, Eskrigg Dale, 2027" in imprint  # when the show opens
    assert "ISBN 978-0-306-40615-7" in pages[-1]
    with pikepdf.open(of_show.folder / of_show.data["files"]["screen"]) as pdf:
        assert round(float(pdf.pages[0].mediabox[2] - pdf.pages[0].mediabox[0]) / MM, 1) == 120.0


def test_two_runs_give_the_same_bytes(home: Home, of_show: Home) -> None:
    before = {name: of_show.file(name) for name in of_show.data["files"]}
    again = Home(home.folder, "--show", "beck")
    assert {name: again.file(name) for name in before} == before


def test_what_the_maker_is_told(home: Home) -> None:
    said = " ".join(run(home.folder, "catalogue", "--to", "2019").stdout.split())
    assert said.startswith("Works by Isla Wren: 1 work, ") and "pages of 148 x 210 mm" in said
    assert "one copy to the British Library within a month" in said
    assert "British Library" not in " ".join(home.pages())


@pytest.mark.parametrize(
    ("words", "code", "said"),
    [
        (("--show", "bek"), 1, "there is no show 'bek'"),
        (("--from", "2027"), 1, "no finished work is there to put in a catalogue"),
        (("--from", "2026", "--to", "2019"), 2, "no year lies from 2026 to 2019"),
    ],
)
def test_mistakes_are_told(home: Home, words: tuple[str, ...], code: int, said: str) -> None:
    assert said in run(home.folder, "catalogue", *words, code=code).stderr


def test_a_photo_that_cannot_be_read_leaves_no_hole(write_studio_in: Any, tmp_path: Path) -> None:
    folder = studio(write_studio_in, tmp_path / "pieces")
    (folder / "photos" / "lane.jpg").write_bytes(b"no picture")
    done = run(folder, "catalogue", "--show", "beck", "--json", code=1)
    assert "2026-003-lane.yaml:" in done.stderr and "lane.jpg" in done.stderr
    entries = json.loads(done.stdout)["entries"]
    assert next(each for each in entries if each["title"] == "Lane")["plate"] is None


def no_lane(photo: Upright, width: float) -> bytes:
    """A photo whose fault is found when it is decoded."""
    if photo.name.endswith("lane.jpg"):
        raise Slip("half of its pixels are lost", "copy it again")
    return plate(photo, width)


def test_a_photo_that_fails_late_leaves_no_hole(
    home: Home, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(making, "kept_plate", no_lane)
    done = run(home.folder, "catalogue", "--show", "beck", "--json", code=1)
    assert done.stderr.count("half of its pixels are lost") == 1
    entries = {each["title"]: each["plate"] for each in json.loads(done.stdout)["entries"]}
    assert entries["Lane"] is None and entries["Moss"] is not None


def test_a_large_book_is_the_same_from_a_process_of_its_own(
    home: Home, monkeypatch: pytest.MonkeyPatch
) -> None:
    before = Home(home.folder, "--show", "beck")
    files = {name: before.file(name) for name in before.data["files"]}
    began = list[object]()

    def noted(most: int, *, afresh: bool) -> Any:
        began.append(afresh)
        return workers(most, afresh=afresh)

    monkeypatch.setattr(paging, "MANY", 0)
    monkeypatch.setattr(paging, "workers", noted)
    again = Home(home.folder, "--show", "beck")
    assert began == [True]
    assert {name: again.file(name) for name in files} == files


def test_nothing_is_left_behind(
    home: Home, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(tempfile, "tempdir", str(tmp_path))
    seen = list[int]()
    settle = making.write_papers

    def noted(*given: Any) -> None:
        seen.append(len(list(tmp_path.iterdir())))
        settle(*given)

    monkeypatch.setattr(making, "write_papers", noted)
    run(home.folder, "catalogue", "--to", "2019")
    assert seen == [1]  # they waited there
    gc.collect()
    assert list(tmp_path.iterdir()) == []


def test_sizes_of_a_book() -> None:
    assert read_trim("A5") == Trim(148, 210, 3) and read_trim(" a4 ") == Trim(210, 297, 3)
    assert read_trim("148 x 210 mm") == read_trim("14.8 × 21 cm") == Trim(148, 210, 3)
    assert read_trim("5.5 x 8.5 in") == Trim(139.7, 215.9, 3)
    assert read_trim("letter") == read_trim('8.5" x 11"') == Trim(215.9, 279.4, 3)
    assert read_trim("A6").width == 105 and read_trim("A5", Fraction("0.5")).bleed == 5
    assert read_trim("A5").base == 9.0 and read_trim("100 x 100 mm").base == 9.0


@pytest.mark.parametrize(
    ("text", "key"),
    [("B5", "no_size"), ("148 x 210", "no_size"), ("50 x 80 mm", "odd_size"), ("", "no_size")],
)
def test_what_is_no_size_is_refused(text: str, key: str) -> None:
    with pytest.raises(Slip) as told:
        read_trim(text)
    assert isinstance(told.value.what, Said) and told.value.what.key == f"catalogue.{key}"
