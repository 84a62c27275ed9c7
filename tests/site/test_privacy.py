"""A unique word in every private field, searched for in every public byte and metadata."""

from __future__ import annotations

import io
import re
import zipfile
from collections.abc import Callable, Iterator, Mapping
from contextlib import suppress
from pathlib import Path
from typing import Annotated

import pikepdf
import pypdfium2
import pytest
from click.testing import CliRunner
from PIL import Image
from pydantic import TypeAdapter, ValidationError

from provenance.commands.main import main
from provenance.problems import Place, Slip
from provenance.records.book import read_book
from provenance.records.numbers import Habits
from provenance.records.reading import Record
from provenance.records.text import Fields, Items, Written
from tests.conftest import DEMO_DAY

Once = Callable[[str, Callable[[Path], None]], Path]

ROOT = Path(__file__).parents[2]
CANARY = "XQZWVKJ"

STUDIO = f"""
studio: Test Studio
maker: Ann Tester
place: Nowhere
site: https://test.example
contact: {{email: open@test.example, phone: "{CANARY}PHONE", post: "{CANARY}POST"}}
public contact: [email]
labels for: [UK]
pay: {{any: 31.41, weaving: 27.18}}
overhead: 13.37 %
profit: 10 %
heat: 0.77 per hour
known: ["{CANARY}KNOWNSTUDIO"]
"""
FLEECE = f"""
grey-2025:
  breed: Gotland
  from: "{CANARY}FARM, {CANARY}ADDRESS, Far Dale"
  address: {CANARY}ADDRESS2
  weight: 3 kg
  cost: 66.61
  notes: {CANARY}FLEECENOTE
  kept: {CANARY}FLEECEKEPT
  made in: {CANARY}FLEECEMADE
  animal: {CANARY}ANIMAL
  permit: {CANARY}FLEECEPERMIT
"""
DYES = f"""
weld:
  species: Reseda luteola
  got: "grown, {CANARY}GOT"
  from: {CANARY}DYEFROM
  weight: 500 g
  cost: 12.34
  notes: {CANARY}DYENOTE
  permit: {CANARY}PERMIT
  kept: {CANARY}DYEKEPT
  made in: {CANARY}DYEMADE
"""
MORDANTS = f"""
alum:
  weight: 1 kg
  cost: 9.53
  from: {CANARY}MORDANTFROM
  notes: {CANARY}MORDANTNOTE
  kept: {CANARY}MORDANTKEPT
  made in: {CANARY}MORDANTMADE
"""
SUNDRIES = f"""
bar:
  each: 6.83
  from: {CANARY}SUNDRYFROM
  notes: {CANARY}SUNDRYNOTE
  kept: {CANARY}SUNDRYKEPT
  made in: {CANARY}SUNDRYMADE
"""
LIGHT_TESTS = f"""
window:
  lot: gold
  from: 2026-03-01
  notes: {CANARY}LIGHTNOTE
"""
YARNS = f"""
grey:
  fleece: {{grey-2025: 1 kg}}
  weight: 500 g
  notes: {CANARY}YARNNOTE
  kept: {CANARY}YARNKEPT
  made in: {CANARY}YARNMADE
  permit: {CANARY}YARNPERMIT
warp:
  fibre: linen
  from: "{CANARY}MILL"
  weight: 1 kg
  cost: 41.14
"""
OUTLETS = f"""
shop:
  kind: gallery
  place: Harbour
  address: {CANARY}OUTLETADDRESS
  commission: 45 %
  terms:
    term: {CANARY}TERM
    payment: {CANARY}TERMS
    discount: {CANARY}DISCOUNT
    insured from: {CANARY}INSURED
    freight: {CANARY}FREIGHT
    pay: {CANARY}PAY
    also: [{CANARY}ALSO]
  contact: {{post: "{CANARY}OUTLETPOST", email: "{CANARY}@shop.example"}}
  fees: {{table: 61.61}}
  notes: {CANARY}OUTLETNOTE
  kept: {CANARY}OUTLETKEPT
  made in: {CANARY}OUTLETMADE
fair: {{kind: fair, dates: 2026-11-28 to 2026-11-29}}
"""
BATH = f"""
dyed: [{{yarn: grey, weight: 300 g, becomes: gold, colour: "#b09020"}}]
steps: [{{mordants: {{alum: 12 %}}, dyes: {{weld: 50 %}}, notes: {CANARY}STEPNOTE,
  water: {CANARY}WATER, pH: {CANARY}PH}}]
title: {CANARY}BATHTITLE
known: ["{CANARY}KNOWNBATH"]
notes: {CANARY}BATHNOTE
kept: {CANARY}BATHKEPT
"""
PIECE = f"""
number: 2026-001
title: Open title
kind: hanging
structure: plain weave
finished: 2026-05-01
size: 50 x 40 cm
yarns:
  - {{use: weft, lot: gold, weight: 200 g, notes: {CANARY}USENOTE}}
  - {{use: warp, lot: warp, weight: 100 g}}
hours: {{weaving: 12}}
price: 450
at: shop
status: sold
sale:
  on: 2026-06-01
  price: 432.10
  to: "{CANARY}TO, Leeds"
  buyer: {{name: "{CANARY}BUYER", email: "{CANARY}@buyer.example", post: "{CANARY}BUYERPOST",
    phone: "{CANARY}BUYERPHONE", notes: "{CANARY}BUYERNOTE"}}
  notes: {CANARY}SALENOTE
history:
  - {{on: 2026-05-02, event: "Open event"}}
  - {{on: 2026-05-03, event: "{CANARY}EVENT", public: no}}
photos: [{{file: {CANARY}-home.jpg, alt: "A cloth"}}]
notes: {CANARY}NOTES
kept: {CANARY}KEPT
known: ["{CANARY}KNOWNPIECE"]
sundries: {{bar: 1}}
story: Open story.
"""
COMMISSION = f"""
number: 2026-C01
client: {{name: "{CANARY}CLIENT", email: "{CANARY}@client.example"}}
like: 2026-001
sizes: 60 x 40 cm
title: {CANARY}WANTED
words: {CANARY}WORDS
colours: [{{lot: gold, share: 50 %}}]
notes: {CANARY}WISH
"""
SHOW = f"""
title: Open show
outlet: shop
dates: 2026-06-05 to 2026-07-11
walls: [{{name: north, width: 300 cm, works: [2026-001, 2026-002]}}]
known: ["{CANARY}KNOWNSHOW"]
notes: {CANARY}SHOWNOTE
"""
SECOND = """
number: 2026-002
title: Open second
kind: hanging
finished: 2026-05-02
size: 50 x 40 cm
yarns: [{use: weft, lot: gold, weight: 50 g}, {use: warp, lot: warp, weight: 50 g}]
hours: {weaving: 12}
price: 450
at: AT
"""
FIGURES = ("66.61", "31.41", "27.18", "12.34", "41.14", "432.10", "61.61", "13.37", "0.77")


@pytest.fixture(scope="session")
def built(once: Once, kept_cache: Path) -> Path:
    """The studio with its canaries, built, with tag and certificate."""

    def build(home: Path) -> None:
        _write(home)
        for words in (("build",), ("certificate", "2026-001"), ("tags",), ("papers", "shop"),
                      ("papers", "fair"), ("quote", "2026-C01"), ("show", "tide")):  # fmt: skip
            env = {"SOURCE_DATE_EPOCH": DEMO_DAY}
            call = ["--studio", str(home / "pieces"), *words]
            said = CliRunner().invoke(main, call, env=env, catch_exceptions=False)
            assert said.exit_code == 0, said.output

    return once("canaries", build)


PUBLISH = f"""\
sftp:
  host: {CANARY}.example
  user: {CANARY}
  folder: /srv/{CANARY}
  key: ~/{CANARY}
  known hosts: ~/{CANARY}-hosts
second place:
  s3: {{bucket: {CANARY}, endpoint: "https://{CANARY}.example", region: {CANARY}, prefix: {CANARY}}}
"""
OTHER_WAYS = (  # a studio has one way only; these are read, not built
    f"git: {{remote: {CANARY}, branch: {CANARY}}}\n",
    f"folder: /mnt/{CANARY}\nsecond place: {{folder: /mnt/{CANARY}-copies}}\n",
)


def _write(home: Path) -> None:
    texts = {
        "studio/studio.yaml": STUDIO, "studio/fleece.yaml": FLEECE, "studio/dyestuffs.yaml": DYES,
        "studio/yarns.yaml": YARNS, "studio/outlets.yaml": OUTLETS, "dyebook/gold.yaml": BATH,
        "studio/mordants.yaml": MORDANTS, "studio/sundries.yaml": SUNDRIES,
        "studio/light-tests.yaml": LIGHT_TESTS, "2026-001.yaml": PIECE,
        "2026-002.yaml": SECOND.replace("AT", "shop"),
        "2026-003.yaml": SECOND.replace("2026-002", "2026-003").replace("AT", "fair"),
        "commissions/2026-C01.yaml": COMMISSION, "shows/tide.yaml": SHOW,
        "studio/keys.yaml": (ROOT / "pieces/studio/keys.yaml").read_text(encoding="utf-8"),
        "studio/publish.yaml": PUBLISH,
    }  # fmt: skip
    for name, text in texts.items():
        path = home / "pieces" / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(text, encoding="utf-8")
    photos = home / "pieces" / "photos"
    photos.mkdir()
    exif = Image.Exif()
    exif[0x010E] = f"{CANARY}EXIF"
    exif[0x013B] = f"{CANARY}ARTIST"
    Image.effect_noise((900, 700), 40).convert("RGB").save(
        photos / f"{CANARY}-home.jpg", exif=exif, comment=f"{CANARY}COMMENT".encode()
    )


def bytes_of(path: Path) -> bytes:
    """A file as a searcher sees it: a PDF's objects and files inflated, its metadata and the words
    on its pages; a picture's metadata spelled out; what an archive holds."""
    raw = path.read_bytes()
    if path.suffix == ".pdf":
        raw += b"".join(_inside_pdf(path))
    if path.suffix in (".jpg", ".avif", ".webp"):
        with Image.open(io.BytesIO(raw)) as image:
            raw += repr(image.info).encode() + repr(dict(image.getexif())).encode()
    if path.suffix in (".zip", ".xlsx", ".ods"):
        with zipfile.ZipFile(path) as archive:
            raw += b"".join(each.encode() + archive.read(each) for each in archive.namelist())
    return raw


def _inside_pdf(path: Path) -> Iterator[bytes]:
    with pikepdf.open(path) as pdf:
        for each in pdf.objects:
            if isinstance(each, pikepdf.Stream):
                with suppress(pikepdf.PdfError):  # a picture that only its own reader takes apart
                    yield each.read_bytes()
            yield b" ".join(_texts(each))
        yield " ".join(pdf.attachments).encode()
        yield repr(dict(pdf.docinfo)).encode()
    paper = pypdfium2.PdfDocument(path)
    for page in paper:
        yield page.get_textpage().get_text_bounded().replace("\n", "").encode()
    paper.close()


def _texts(thing: object) -> Iterator[bytes]:
    """Every text of a PDF object, whatever its letters are kept as."""
    if isinstance(thing, pikepdf.String):
        yield str(thing).encode()
    elif isinstance(thing, pikepdf.Dictionary):
        for word, value in thing.items():
            yield word.encode()
            yield from () if getattr(value, "is_indirect", False) else _texts(value)
    elif isinstance(thing, pikepdf.Array):
        for value in thing:
            yield from () if getattr(value, "is_indirect", False) else _texts(value)


def test_no_private_word_or_figure_reaches_the_site(built: Path) -> None:
    files = [path for path in (built / "site").rglob("*") if path.is_file()]
    assert any(path.suffix == ".avif" for path in files)
    assert built / "site" / "shows" / "tide" / "index.html" in files
    signed = {path.name for path in files if path.parent.name == "2026-001"}
    assert {"statement.json", "certificate-1.json"} <= signed
    for path in files:
        found = bytes_of(path)
        assert CANARY.encode() not in found, path
        assert CANARY not in path.name
        if path.suffix in (".html", ".json", ".jsonld", ".xml", ".txt"):
            for figure in FIGURES:
                assert figure.encode() not in found, (path, figure)


# What those may read whom a paper is for: an outlet its own terms and address, a client her own
# words, both how the studio is reached. None of it is for others.
OWN = {
    "shop": ("OUTLETADDRESS", "TERM", "TERMS", "DISCOUNT", "INSURED", "FREIGHT", "PAY", "ALSO",
             "OUTLETPOST", "@shop.example", "PHONE", "POST"),
    "quotations": ("CLIENT", "@client.example", "WANTED", "WORDS", "PHONE", "POST"),
}  # fmt: skip


def test_no_private_word_reaches_a_paper_for_others(built: Path) -> None:
    papers = built / "pieces" / "papers"
    files = [
        path
        for path in papers.rglob("*")
        if path.is_file() and "private" not in path.relative_to(papers).parts
    ]
    assert {"certificate-2026-001.pdf", "tags.pdf", "tags-due.pdf"} <= {path.name for path in files}
    assert {"shop", "fair", "quotations", "tide"} <= {path.parent.name for path in files}
    assert {".pdf", ".csv", ".html"} <= {path.suffix for path in files}
    for path in files:
        allowed = OWN.get(path.relative_to(papers).parts[0], ())
        found = {
            each.decode() for each in re.findall(CANARY.encode() + rb"[@.\w]*", bytes_of(path))
        }
        assert {
            each for each in found if not each.startswith(tuple(map(CANARY.__add__, allowed)))
        } == set(), path
        assert CANARY not in path.name


# No field is forgotten: every word of every kind of record that takes free text


TOLD = {  # what the public may read, and names that records call each other by
    "Bath": "exhaust of, swatch",
    "DyedYarn": "title, yarn, becomes, swatch",
    "Commission": "number, structure, yarn",
    "PlannedColour": "lot, use",
    "LightTest": "lot",
    "Dyestuff": "title, species, part",
    "Fleece": "title, breed, micron",
    "Mordant": "title, is",
    "Outlet": "title, place, web, hours, tag fields, tag size",
    "Sundry": "title, material, part",
    "Yarn": "title, fleece, breed, twist, count, dyes",
    "Photo": "alt, credit",
    "Part": "made in",
    "Band": "lot",
    "Piece": "title, structure, made of, signed, edition, at, story, care, subject, photos, "
    "distinguishing, withdrawn",
    "YarnUse": "use, name, lot, fleece",
    "Show": "title, place, address, hours, web, outlet, words",
    "Wall": "name",
    "CatalogueAsked": "size, essay, paper, printer profile",
    "Sale": "at",
    "Printing": "tag size, sheet",
    "StudioFile": "studio, maker, mark, place, public contact, origin, responsible person, "
    "statement, about, phrases, deposit",
    "Printed": "paper, title, address, price, digest, issue, chain",  # the program's own
}


def kinds(kind: type[Record]) -> Iterator[type[Record]]:
    """Every kind of record that a maker writes: those that no other kind is made from."""
    for below in kind.__subclasses__():
        yield from kinds(below) if below.__subclasses__() else [below]


def takes_free_text(kind: type[Record], name: str) -> bool:
    """Whether a word nobody knows can stand in a field: by itself, in a list, or under itself."""
    field, word = kind.model_fields[name], Written(CANARY, Place("x.yaml", 1, 1))
    reader = TypeAdapter(Annotated[(field.annotation, None, *field.metadata)])
    shapes = (word, Items(word.place, [word]), Fields(word.place, [(word, word)]))
    for value in shapes:
        with suppress(Slip, ValidationError):
            return CANARY in repr(reader.validate_python(value, context=Habits()))
    return False


def with_canary(record: object, found: set[tuple[str, str]]) -> None:
    """Notes each field of each kind that holds a canary, all through a record."""
    if isinstance(record, Record):
        for name, field in type(record).model_fields.items():
            value = getattr(record, name)
            if CANARY in repr(value):
                found.add((type(record).__name__, field.alias or name))
            with_canary(value, found)
    elif isinstance(record, dict):
        for each in record.values():
            with_canary(each, found)
    elif isinstance(record, (list, tuple)):
        for each in record:
            with_canary(each, found)


def _ways(folder: Path) -> Iterator[Record]:
    """What publish.yaml says, one way after another."""
    for text in (PUBLISH, *OTHER_WAYS):
        (folder / "studio" / "publish.yaml").write_text(text, encoding="utf-8")
        book, _ = read_book(folder)
        assert book is not None and book.publishing is not None
        yield book.publishing


def test_every_field_for_free_words_is_told_or_has_a_canary(tmp_path: Path) -> None:
    _write(tmp_path)
    book, _ = read_book(tmp_path / "pieces")
    assert book is not None
    held: set[tuple[str, str]] = set()
    lots = (book.fleece, book.dyestuffs, book.mordants, book.yarns, book.sundries, book.outlets)
    files = (book.light_tests, book.baths, book.pieces, book.commissions, book.shows)
    for part in (book.studio, *lots, *files, *_ways(tmp_path / "pieces")):
        with_canary(dict(part) if isinstance(part, Mapping) else part, held)
    free = {
        (kind.__name__, field.alias or name)
        for kind in kinds(Record)
        for name, field in kind.model_fields.items()
        if not (field.alias or "").startswith("\0") and takes_free_text(kind, name)
    }
    told = {(kind, word) for kind, words in TOLD.items() for word in words.split(", ")}
    assert len(free) > 80
    assert sorted(free - told - held) == []
    assert sorted(told - free) == []
