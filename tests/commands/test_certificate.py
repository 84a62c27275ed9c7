"""`certificate` through the command line: files, issues, refusals, privacy, the same bytes."""

import io
import os
import re
import shutil
import subprocess
import sys
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path

import pikepdf
import pypdfium2
import pytest
from click.testing import CliRunner
from PIL import Image

from provenance.commands.main import main

ROOT = Path(__file__).parents[2]
COMMAND = (sys.executable, "-m", "provenance.commands.main")
DAY, NEXT_DAY = "1795608000", "1795694400"  # 25 and 26 November 2026
# Everything a maker writes that is nobody else's business carries a word found nowhere else.
FILES = {
    "studio/studio.yaml": """
studio: Brackenfold
maker: Isla Wren
mark: a small wren, woven in a corner
place: Eskrigg Dale
site: https://brackenfold.example
contact: {email: hello@brackenfold.example, phone: 01632 960777, post: "9 QUOKKA Lane"}
public contact: [email]
pay: {any: 7301.13}
overhead: 7 %
heat: 7302.13 per hour
deposit: AXOLOTL percent
""",
    "studio/fleece.yaml": """
gotland: {fibre: wool, breed: Gotland, from: "NARWHAL Farm, Penrith", shorn: 2025-06-18,
  weight: 3 kg, cost: 7303.13, scoured: 55 %, notes: PANGOLIN, kept: OKAPI}
""",
    "studio/yarns.yaml": """
two-ply: {fleece: {gotland: 2 kg}, weight: 960 g, hours: {spinning: 26}, notes: TAPIR, kept: DUGONG}
warp: {fibre: linen, from: "a mill, WOMBAT Street", weight: 1 kg, cost: 7304.13, count: 8 lea}
""",
    "studio/dyestuffs.yaml": """
weld: {species: Reseda luteola, weight: 900 g, cost: 7305.13, got: "grown behind MARMOT wall",
  notes: LEMUR}
""",
    "studio/mordants.yaml": "alum: {weight: 1 kg, cost: 7306.13, notes: JERBOA}\n",
    "studio/sundries.yaml": "bar: {each: 7307.13, material: oak, notes: CAPYBARA}\n",
    "studio/outlets.yaml": """
quay: {kind: gallery, place: The Quay, commission: 43 %, title: Quay Rooms,
  terms: {payment: "IBEX days"}, contact: {post: "4 SERVAL Row"}, notes: GENET}
""",
    "dyebook/2026-03-green.yaml": """
date: 2026-03-12
dyed: [{yarn: two-ply, weight: 420 g, becomes: green}]
steps: [{mordants: {alum: 12 %}, notes: CARACAL}, {dyes: {weld: 60 %}, heat: 80 C for 45 min}]
hours: {dyeing: 2.5}
colour: "#6f7a38"
notes: BINTURONG
kept: FOSSA
""",
    "commissions/2026-C01.yaml": """
number: 2026-C01
client: {name: KINKAJOU, email: coati@private.example, post: 1 AARDVARK Road}
asked: 2026-10-30
like: 2026-014
sizes: [180 x 60 cm]
notes: ZORILLA
""",
    "2026-014-saltmarsh.yaml": """
number: 2026-014
title: Saltmarsh
kind: hanging
structure: plain weave
finished: 2026-09-14
size: 124 x 86 cm
weight: 590 g
signed: a wren, lower right
yarns:
  - {use: weft, lot: green, weight: 400 g, notes: NUMBAT}
  - {use: warp, lot: warp, weight: 180 g}
sundries: {bar: 1}
hours: {weaving: 61}
price: 7308
status: sold
sale: {on: 2026-11-02, price: 7309, to: "Mrs PLATYPUS, Leeds", at: quay, notes: ECHIDNA,
  buyer: {name: QUOLL, email: bilby@private.example, phone: 01632 960778, post: 5 POTOROO Close}}
history: [{on: 2026-10-03, event: "Lent to DIKDIK", public: no}]
photos: [{file: front.jpg, view: whole, alt: A green hanging}]
story: Woven in a week of rain.
notes: SUGAR GLIDER
kept: loft over the BANDICOOT
""",
    "2026-015-on-the-loom.yaml": """
number: 2026-015
title: Half of it
kind: hanging
size: 50 x 50 cm
yarns: [{use: weft, lot: two-ply, weight: 20 g}]
hours: {weaving: 3}
status: in progress
""",
    "2026-016-no-size.yaml": """
number: 2026-016
title: Sizeless
kind: hanging
yarns: [{use: weft, lot: two-ply, weight: 20 g}]
""",
    "2026-018-no-photo.yaml": """
number: 2026-018
title: Unseen
kind: runner
size: 50 x 50 cm
yarns: [{use: weft, lot: two-ply, weight: 20 g}]
hours: {weaving: 3}
""",
}
PRIVATE = re.compile(
    r"QUOKKA|AXOLOTL|NARWHAL|Penrith|PANGOLIN|OKAPI|TAPIR|DUGONG|WOMBAT|MARMOT|LEMUR|JERBOA|"
    r"CAPYBARA|IBEX|SERVAL|GENET|CARACAL|BINTURONG|FOSSA|KINKAJOU|coati|AARDVARK|ZORILLA|NUMBAT|"
    r"PLATYPUS|ECHIDNA|QUOLL|bilby|POTOROO|DIKDIK|SUGAR|GLIDER|BANDICOOT|96077[78]|LYNX|MARTEN|"
    r"730\d\.13"
)
PRICES = re.compile(r"7,?30\d|7,?400")  # looked for in words: in packed bytes they come by chance


def put_photo(folder):
    """A photo with a word in its EXIF and one behind its end."""
    path = folder / "photos" / "front.jpg"
    path.parent.mkdir(exist_ok=True)
    exif = Image.Exif()
    exif[0x010E] = "LYNX"
    picture = Image.linear_gradient("L").resize((800, 1000)).convert("RGB")
    picture.save(path, "JPEG", exif=exif)
    path.write_bytes(path.read_bytes() + b"MARTEN")


@pytest.fixture
def folder(write_studio):
    made = write_studio(FILES)
    put_photo(made)
    return made


def run(folder, *words, day=DAY, cwd=None):
    with pytest.MonkeyPatch.context() as patch:
        patch.chdir(cwd or folder.parent)
        return CliRunner().invoke(
            main,
            ["--studio", str(folder), "certificate", *words],
            env={"SOURCE_DATE_EPOCH": day},
            catch_exceptions=False,
        )


def run_apart(folder, cwd=None, **env):
    """The same for one piece as a process of its own."""
    return subprocess.run(
        [*COMMAND, "--studio", str(folder), "certificate", "2026-014"],
        capture_output=True,
        text=True,
        cwd=cwd or folder.parent,
        env={**os.environ, "PYTHONPATH": str(ROOT), "SOURCE_DATE_EPOCH": DAY, **env},
        check=False,
    )


def paper(folder, number="2026-014"):
    return folder / "papers" / f"certificate-{number}.pdf"


def kept(folder):
    return (folder / "studio" / "printed.yaml").read_text(encoding="utf-8").splitlines()


def words_of(content):
    pages = (page.get_textpage().get_text_range() for page in pypdfium2.PdfDocument(content))
    return " ".join(" ".join(pages).split())


def change(folder, old, new, name="2026-014-saltmarsh.yaml"):
    text = (folder / name).read_text(encoding="utf-8")
    assert old in text
    (folder / name).write_text(text.replace(old, new), encoding="utf-8")


def test_it_writes_the_paper_notes_it_and_says_where_it_lies(folder):
    said = run(folder, "2026-014")
    assert (said.exit_code, said.stderr) == (0, "")
    assert said.stdout == (
        "2026-014 Saltmarsh: issue 1 of 25 November 2026, new\n"
        "    pieces/papers/certificate-2026-014.pdf\n"
    )
    (line,) = kept(folder)
    assert re.fullmatch(
        r'- \{on: 2026-11-25, paper: "certificate", number: "2026-014", title: "Saltmarsh",'
        r' address: "HTTPS://BRACKENFOLD.EXAMPLE/2026-014/", digest: "[0-9a-f]{64}", issue: "1",'
        r' chain: "[0-9a-f]{32}"\}',
        line,
    )
    assert "Certificate, first issue, 25 November 2026" in words_of(paper(folder))


def test_again_on_another_day_gives_the_same_bytes_and_no_line(folder):
    run(folder, "2026-014")
    before, lines = paper(folder).read_bytes(), kept(folder)
    paper(folder).unlink()
    said = run(folder, "2026-014", day=NEXT_DAY)
    assert said.stdout.startswith("2026-014 Saltmarsh: issue 1 of 25 November 2026, unchanged\n")
    assert paper(folder).read_bytes() == before
    assert kept(folder) == lines


def test_another_sheet_or_ink_is_no_new_issue(folder):
    run(folder, "2026-014")
    said = run(folder, "2026-014", "--sheet", "letter", "--black", day=NEXT_DAY)
    assert "issue 1 of 25 November 2026, unchanged" in said.stdout
    assert len(kept(folder)) == 1
    size = pypdfium2.PdfDocument(paper(folder))[0].get_size()
    assert size == pytest.approx((612, 792))


def test_a_change_of_what_it_says_is_a_new_issue(folder):
    run(folder, "2026-014")
    change(folder, "weight: 590 g", "weight: 588 g")
    said = run(folder, "2026-014", day=NEXT_DAY)
    assert "issue 2 of 26 November 2026, new" in said.stdout
    assert "Certificate, issue 2, 26 November 2026" in words_of(paper(folder))
    assert [line[:17] for line in kept(folder)] == ["- {on: 2026-11-25", "- {on: 2026-11-26"]
    change(folder, "weight: 588 g", "weight: 590 g")
    assert "issue 3 of 26 November 2026, new" in run(folder, "2026-014", day=NEXT_DAY).stdout


def test_a_change_of_what_it_does_not_say_is_none(folder):
    run(folder, "2026-014")
    change(folder, "price: 7308", "price: 7400")
    change(folder, "SUGAR GLIDER", "nothing")
    change(folder, "7301.13", "20", "studio/studio.yaml")
    assert "unchanged" in run(folder, "2026-014", day=NEXT_DAY).stdout


def test_another_photo_is_a_new_issue(folder):
    run(folder, "2026-014")
    Image.new("RGB", (800, 1000), "#6f7a38").save(folder / "photos" / "front.jpg")
    assert "issue 2" in run(folder, "2026-014", day=NEXT_DAY).stdout


def test_a_run_killed_before_the_paper_was_written_is_made_good(folder):
    run(folder, "2026-014")
    before = paper(folder).read_bytes()
    paper(folder).unlink()
    run(folder, "2026-014", day=NEXT_DAY)
    assert paper(folder).read_bytes() == before


def test_two_runs_at_once_count_one_issue(folder):
    def in_its_turn(_):
        """Again, as it says, when a slow machine has let it wait for too long."""
        while "is at work in pieces/" in (said := run_apart(folder)).stderr:
            pass
        assert (said.returncode, said.stderr) == (0, "")
        return said.stdout.splitlines()[0]

    with ThreadPoolExecutor(2) as pool:
        said = sorted(pool.map(in_its_turn, range(2)))
    assert [line.rpartition(", ")[2] for line in said] == ["new", "unchanged"]
    assert len(kept(folder)) == 1


def test_a_draft_without_a_photo_alone_gets_one(folder):
    said = run(folder, "2026-018")
    assert said.exit_code == 0, said.stderr
    assert len(pypdfium2.PdfDocument(paper(folder, "2026-018"))) == 2


def test_other_drafts_are_refused_with_what_they_want_and_the_rest_is_made(folder):
    said = run(folder, "2026-015", "2026-016", "2026-018")
    assert said.exit_code == 1
    assert said.stderr == (
        "2026-015 Half of it: a draft gets no certificate\n    it is still being made\n"
        "2026-016 Sizeless: a draft gets no certificate\n    it still wants a size and hours\n"
    )
    assert [path.name for path in (folder / "papers").iterdir()] == ["certificate-2026-018.pdf"]


def test_an_unknown_number_is_refused(folder):
    said = run(folder, "2026-0144")
    assert (said.exit_code, said.stdout) == (1, "")
    assert said.stderr == "there is no piece 2026-0144. did you mean '2026-014'?\n"


@pytest.mark.parametrize("words", [[], ["2026-014", "--sheet", "B5"], ["--nope", "2026-014"]])
def test_wrong_usage(folder, words):
    assert run(folder, *words).exit_code == 2


def test_no_studio_there(tmp_path):
    said = run(tmp_path / "nowhere", "2026-014", cwd=tmp_path)
    assert said.exit_code == 1 and "there is no such folder" in said.stderr
    assert not (tmp_path / "nowhere").exists()


def test_a_missing_photo_is_refused_by_its_name(folder):
    (folder / "photos" / "front.jpg").unlink()
    said = run(folder, "2026-014")
    assert said.exit_code == 1
    assert (
        "2026-014 Saltmarsh: its record needs mending first\n"
        "    pieces/2026-014-saltmarsh.yaml:20:17: there is no photo 'front.jpg'" in said.stderr
    )
    assert not paper(folder).exists() and not (folder / "studio" / "printed.yaml").exists()


def test_a_broken_photo_leaves_no_line_behind(folder):
    (folder / "photos" / "front.jpg").write_bytes(b"\xff\xd8\xff\xe0 not a photo")
    said = run(folder, "2026-014")
    assert said.exit_code == 1 and "front.jpg" in said.stderr
    assert not paper(folder).exists() and not (folder / "studio" / "printed.yaml").exists()


def test_a_record_with_mistakes_is_not_certified(folder):
    change(folder, "lot: warp,", "lot: wrap,")
    said = run(folder, "2026-014")
    assert said.exit_code == 1
    assert (
        "2026-014 Saltmarsh: its record needs mending first\n"
        "    pieces/2026-014-saltmarsh.yaml:12:22: no lot called 'wrap'\n" in said.stderr
    )
    assert not paper(folder).exists()


def test_without_the_list_of_what_was_printed_nothing_is_issued(folder):
    (folder / "studio" / "printed.yaml").write_text("- {on: 2026-11-25, paper: [\n")
    said = run(folder, "2026-014")
    assert said.exit_code == 1
    assert "studio/printed.yaml can't be read whole: see 'provenance check'" in said.stderr
    assert not paper(folder).exists()


def test_characters_that_cannot_be_printed_are_named(folder):
    change(folder, "title: Saltmarsh", "title: Saltmarsh 漢")
    said = run(folder, "2026-014")
    assert said.exit_code == 1 and "漢 (U+6F22)" in said.stderr


# Privacy


def everything_in(content):
    """Every byte of a PDF, as it is and decompressed, names and numbers, and its words."""
    yield content
    with pikepdf.open(io.BytesIO(content)) as pdf:
        for thing in pdf.objects:
            yield repr(thing).encode()
            if isinstance(thing, pikepdf.Stream):
                yield repr(dict(thing.items())).encode()
                yield thing.read_raw_bytes()
                if thing.get("/Filter") != "/DCTDecode":
                    yield thing.read_bytes()
        for file in pdf.attachments.values():
            yield file.get_file().read_bytes()
    for page in pypdfium2.PdfDocument(content):
        yield page.get_textpage().get_text_range().encode()


def found_in(content):
    return {
        found.group()
        for part in everything_in(content)
        for found in PRIVATE.finditer(part.decode("latin-1"))
    }


def test_no_private_word_gets_into_any_byte(folder):
    for words in ([], ["--black"]):
        assert run(folder, "2026-014", *words).exit_code == 0
        assert found_in(paper(folder).read_bytes()) == set()
        assert not PRICES.search(words_of(paper(folder)))
    assert "Isla Wren, Eskrigg Dale, 2026; (Quay Rooms, The Quay, 2026); private collection" in (
        words_of(paper(folder))
    )
    assert not PRIVATE.search("\n".join(kept(folder)))


def test_the_search_for_private_words_can_find_one(folder):
    change(folder, "title: Saltmarsh", "title: Saltmarsh PLATYPUS")
    run(folder, "2026-014")
    assert "PLATYPUS" in found_in(paper(folder).read_bytes())


def test_a_buyer_who_consents_is_named(folder):
    change(folder, "at: quay,", "at: quay, consent: yes,")
    run(folder, "2026-014")
    assert "(Quay Rooms, The Quay, 2026); Mrs PLATYPUS, Leeds, 2026." in words_of(paper(folder))


# The same records give the same bytes


def test_other_folders_zones_and_languages_give_the_same_bytes(folder, tmp_path):

    elsewhere = tmp_path / "another place é" / "records"
    shutil.copytree(folder, elsewhere)
    os.utime(elsewhere / "photos" / "front.jpg", (1, 1))
    run_apart(folder, TZ="Pacific/Auckland", LC_ALL="C", PYTHONHASHSEED="1")
    run_apart(elsewhere, cwd=tmp_path, TZ="America/Los_Angeles", PYTHONHASHSEED="2")
    assert paper(folder).read_bytes() == paper(elsewhere).read_bytes()
    assert kept(folder) == kept(elsewhere)
