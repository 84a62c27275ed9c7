"""`papers` through the command line: files, words, notes, refusals, the same prices everywhere."""

import json
import re
import shutil

import pypdfium2
import pytest
from click.testing import CliRunner
from PIL import Image

from provenance.commands.main import main

DAY = "1795176000"  # 20 November 2026
# A word found nowhere else stands in everything that nobody outside the studio should read.
FILES = {
    "studio/studio.yaml": """
studio: Brackenfold
maker: Isla Wren
place: Eskrigg Dale
site: https://brackenfold.example
contact: {email: hello@brackenfold.example, phone: 01632 960777, post: "9 Wren Lane"}
public contact: [email]
labels for: [UK]
pay: {any: 73.13}
overhead: 7 %
""",
    "studio/yarns.yaml": """
plain: {fibre: wool, weight: 9 kg, cost: 74.13, colour: "#6f7a38", notes: TAPIR, kept: DUGONG}
""",
    "studio/outlets.yaml": """
dale-fair:
  {kind: fair, title: Dale Fair, place: Eskrigg hall, dates: 2026-11-28 to 2026-11-29,
   fees: {table: 75.13}, card fee: 1.75 %, notes: GENET}
quay:
  {kind: gallery, title: Quay Rooms, commission: 43 %, notes: OKAPI,
   terms: {term: 1 year, payment: 30 days, discount: none, insured from: receipt, freight: each}}
jury: {kind: show, commission: 30 %, rules: {longer side: at most 900 px, largest work: 2 x 2 m}}
bare: {kind: gallery, tag: none, commission: 40 %}
""",
}


def piece(number, at, price, more=""):
    return f"""
number: {number}
title: Piece {number[-1]}
kind: shawl
size: 190 x 60 cm
yarns: [{{use: weft, lot: plain, weight: 300 g}}]
hours: {{weaving: 10}}
finished: 2026-09-14
photos: [{{file: "{number}.jpg", view: whole, alt: "A shawl"}}]
price: {price}
at: {at}
notes: PANGOLIN
{more}
"""


@pytest.fixture
def home(write_studio):
    return write_home(write_studio)


def write_home(write):
    pieces = {
        "2026-001": ("dale-fair", "195"), "2026-002": ("dale-fair", "640.50"),
        "2026-003": ("quay", "1450"), "2026-004": ("jury", "520"), "2026-005": ("bare", "300"),
    }  # fmt: skip
    folder = write({**FILES, **{f"{n}.yaml": piece(n, *at) for n, at in pieces.items()}})
    (folder / "photos").mkdir()
    for number in pieces:
        Image.new("RGB", (800, 1000), "#6f7a38").save(folder / "photos" / f"{number}.jpg")
    return folder.parent


@pytest.fixture(scope="module")
def made(once, write_studio_in):
    """The same with the papers of three outlets in it, and what was said: only to be read."""

    def make(home):
        write_home(lambda files: write_studio_in(home / "pieces", files))
        said = {name: run(home, "papers", name).stdout for name in ("dale-fair", "quay", "jury")}
        (home / "said").write_text(json.dumps(said))

    home = once("papers-of-outlets", make)
    return home, json.loads((home / "said").read_text())


@pytest.fixture
def printed(made, tmp_path):
    """A copy of it."""
    shutil.copytree(made[0], tmp_path, dirs_exist_ok=True)
    return tmp_path


def run(home, *words, code=0):
    env = {"SOURCE_DATE_EPOCH": DAY}
    with pytest.MonkeyPatch.context() as patch:
        patch.chdir(home)
        done = CliRunner().invoke(main, words, env=env, catch_exceptions=False)
    assert done.exit_code == code, done.output
    return done


def text_of(path):
    with pypdfium2.PdfDocument(path) as pdf:
        return " ".join(" ".join(p.get_textpage().get_text_range().split()) for p in pdf)


def files(folder):
    return sorted(p.relative_to(folder).as_posix() for p in folder.rglob("*") if p.is_file())


def test_a_fair_in_one_command(made):
    home, said = made
    assert said["dale-fair"] == (
        "For Dale Fair, 2 pieces, in pieces/papers/dale-fair/\n"
        "  Inventory: inventory.pdf, inventory.csv\n"
        "  Price list: price-list.pdf, price-list.csv\n"
        "  Packing list: packing-list.pdf, packing-list.csv\n"
        "  The stall in the pocket, for your phone (whoever holds it sees prices and takings): "
        "stall.html\n"
        "  Tags: tags.pdf\n"
        "  What this fair must bring (for you alone): papers/private/fair-dale-fair.pdf, "
        "papers/private/fair-dale-fair.csv\n"
    )
    assert files(home / "pieces" / "papers" / "dale-fair") == [
        "inventory.csv", "inventory.pdf", "packing-list.csv", "packing-list.pdf",
        "price-list.csv", "price-list.pdf", "stall.html", "tags.pdf",
    ]  # fmt: skip


def test_a_gallery_with_its_certificates(made):
    home, said = made[0], made[1]["quay"]
    assert "  certificate 2026-003, issue 1: pieces/papers/certificate-2026-003.pdf\n" in said
    assert files(home / "pieces" / "papers" / "quay") == [
        "condition.pdf", "consignment.csv", "consignment.pdf", "statement.csv", "statement.pdf",
        "tags.pdf", "wall-labels.pdf",
    ]  # fmt: skip
    assert "remark" not in said


def test_a_show_with_its_pictures(made):
    home, said = made[0], made[1]["jury"]
    assert "  Pictures: pictures/01 Piece 4 whole.jpg\n" in said
    assert "tags.pdf" in said
    with Image.open(home / "pieces/papers/jury/pictures/01 Piece 4 whole.jpg") as picture:
        assert picture.size == (720, 900)


def test_a_work_the_show_refuses_fails_the_command(home):
    path = home / "pieces" / "2026-004.yaml"
    path.write_text(path.read_text().replace("190 x 60 cm", "210 x 60 cm"))
    done = run(home, "papers", "jury", code=1)
    assert done.stderr.startswith("pieces/2026-004.yaml:2:9: 2026-004 Piece 4: H 210 × W 60 cm")
    assert "is larger than 2 x 2 m, which Jury does not take" in done.stderr


def test_an_outlet_that_wants_no_tags_gets_none(home):
    said = run(home, "papers", "bare").stdout
    assert "tags.pdf" not in said and "wall-labels.pdf" in said


def test_prices_agree_on_tags_sheets_and_pages(printed, kept_cache):
    """Numbers and prices read back from every PDF and from the page of each piece."""
    home = printed
    run(home, "build")
    papers = home / "pieces" / "papers"
    prices = {"2026-001": "£195", "2026-002": "£640.50", "2026-003": "£1,450"}
    for number, price in prices.items():
        page = (home / "site" / number / "index.html").read_text()
        shown = re.sub(r"<[^>]+>", " ", page)
        assert price in shown and number in shown
        facts = json.loads((home / "site" / number / "piece.json").read_text())
        assert price in json.dumps(facts, ensure_ascii=False)
    fair = [papers / "dale-fair" / f"{n}.pdf" for n in ("inventory", "price-list", "tags")]
    for path in fair:
        found = text_of(path)
        for number in ("2026-001", "2026-002"):
            assert number in found and prices[number] in found, path
        assert "1,450" not in found
    for name in ("consignment", "wall-labels", "tags", "statement"):
        found = text_of(papers / "quay" / f"{name}.pdf")
        assert "2026-003" in found and "£1,450" in found, name


def test_a_changed_price_is_told_and_shows_everywhere(printed):
    home = printed
    path = home / "pieces" / "2026-001.yaml"
    path.write_text(path.read_text().replace("price: 195", "price: 210"))
    said = run(home, "papers", "dale-fair").stdout
    assert (
        "  remark: 2026-001 Piece 1: £210, on the sheets of 20 November 2026 £195: put those away\n"
    ) in said
    for name in ("dale-fair/inventory", "dale-fair/price-list", "dale-fair/tags",
                 "private/fair-dale-fair"):  # fmt: skip
        found = text_of(home / "pieces" / "papers" / f"{name}.pdf")
        assert "£210" in found and "£195" not in found, name
    assert "put those away" not in run(home, "papers", "dale-fair").stdout


def test_what_was_printed_is_noted_once(printed):
    notes = printed / "pieces" / "studio" / "printed.yaml"
    first = notes.read_text()
    assert (
        '- {on: 2026-11-20, paper: "sheets dale-fair", number: "2026-001", title: "Piece 1", '
        'price: "£195", chain: "'
    ) in first
    run(printed, "papers", "dale-fair")
    assert notes.read_text() == first
    run(printed, "check")


def test_twice_gives_the_same_bytes(printed, cache, provenance):
    """The second time as a process of its own."""
    folder = printed / "pieces" / "papers"
    before = {name: (folder / name).read_bytes() for name in files(folder)}
    said = provenance(printed, "papers", "quay", cache=cache, SOURCE_DATE_EPOCH=DAY)
    assert (said.returncode, said.stderr) == (0, "")
    assert {name: (folder / name).read_bytes() for name in files(folder)} == before


def test_files_of_an_earlier_run_are_named_and_left(home):
    folder = home / "pieces" / "papers" / "jury" / "pictures"
    folder.mkdir(parents=True)
    (folder / "01 Old.jpg").write_bytes(b"mine")
    said = run(home, "papers", "jury").stdout
    assert "  from earlier, not written now: pictures/01 Old.jpg\n" in said
    assert (folder / "01 Old.jpg").read_bytes() == b"mine"


def test_private_words_and_figures_are_on_no_paper_outside_private(printed):
    """Every paper the program writes; what a piece costs and brings is asked of the program."""
    home = printed
    (home / "pieces" / "commissions").mkdir()
    (home / "pieces" / "commissions" / "2026-C01.yaml").write_text(
        "number: 2026-C01\nclient: {name: Ada Field}\nasked: 2026-11-01\nlike: 2026-001\n"
        "sizes: 200 x 70 cm\nnotes: ZORILLA\n"
    )
    for words in (("tags",), ("papers", "bare"), ("quote", "--card"), ("quote", "2026-C01"),
                  ("cost", "2026-001", "--pdf"), ("stock", "--pdf"), ("papers", "--dye-book"),
                  ("certificate", "2026-001"), ("papers", "--calibration")):  # fmt: skip
        run(home, *words)
    never = ["TAPIR", "DUGONG", "GENET", "OKAPI", "PANGOLIN", "ZORILLA", "73.13", "74.13", "75.13"]
    for number in ("2026-001", "2026-003"):
        cost = json.loads(run(home, "cost", number, "--json").stdout)
        never += [cost[word] for word in ("materials", "labour", "overhead", "cost")]
        never += [f"{float(each['hourly return']):.2f}" for each in cost["outlets"]]
    papers = home / "pieces" / "papers"
    seen = set[str]()
    for path in (each for each in papers.rglob("*") if each.is_file()):
        name = path.relative_to(papers).as_posix()
        raw = path.read_bytes()
        found = raw.decode("latin-1").replace(",", "")
        if path.suffix == ".pdf":
            found += text_of(path).replace(",", "")
        there = {each for each in never if each in found}
        if name.startswith("private/"):
            seen |= there
        else:
            assert not there and "private" not in path.name, name
    assert {"75.13", "731.30"} <= seen and len(seen) > 6  # the search finds what is there


def test_the_printer_page_and_the_dye_book(home):
    said = run(home, "papers", "--calibration", "--dye-book").stdout
    assert said == "pieces/papers/printer-page.pdf\npieces/papers/private/dye-book.pdf\n"
    assert "Both rulers are 100.0 mm long" in text_of(home / "pieces/papers/printer-page.pdf")


def test_binder_papers_of_cost_and_stock(home):
    run(home, "cost", "2026-001", "--pdf")
    run(home, "stock", "--on", "2026-11-20", "--pdf")
    assert files(home / "pieces" / "papers" / "private") == [
        "cost-2026-001.pdf", "stock-2026-11-20.pdf",
    ]  # fmt: skip
    sheet = home / "pieces/papers/private/cost-2026-001.pdf"
    assert "731.30" in text_of(sheet) and "Workings" not in text_of(sheet)
    run(home, "cost", "2026-001", "--pdf", "--explain")
    assert "Workings" in text_of(sheet)


def test_an_unknown_outlet(home):
    done = run(home, "papers", "dale-fare", code=1)
    assert done.stderr == "no outlet called 'dale-fare'. did you mean 'dale-fair'?\n"
    done = run(home, "papers", code=2)
    assert done.stderr == "Papers for which outlet? Known here: dale-fair, quay, jury, bare.\n"


def test_an_outlet_without_pieces(home):
    (home / "pieces" / "2026-003.yaml").unlink()
    done = run(home, "papers", "quay", code=1)
    assert done.stderr == (
        "no piece for sale is at Quay Rooms\n"
        "    write 'at: quay' into the records of the pieces that go there\n"
    )
    assert not (home / "pieces" / "papers").exists()


def test_a_broken_photo_leaves_its_place_empty(home):
    """Nothing is held up; the fault is told with its place, and the command fails."""
    (home / "pieces" / "photos" / "2026-003.jpg").write_bytes(b"\xff\xd8\xff cut")
    done = run(home, "papers", "quay", code=1)
    assert "condition.pdf" in done.stdout and "certificate" not in done.stdout
    assert "pieces/2026-003.yaml:9:17: 'photos/2026-003.jpg' is not a picture" in done.stderr
    assert "2026-003" in text_of(home / "pieces/papers/quay/condition.pdf")
