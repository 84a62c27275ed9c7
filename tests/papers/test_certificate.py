"""The certificate judged by readers that had no part in making it: pikepdf, PDFium, zxing-cpp.

Structure: ISO 19005-3 (PDF/A-3) and ISO 14289-1 (PDF/UA-1), the points a program can see.
Object ID: the categories of ICOM (archives.icom.museum/object-id/heritage/object.html).
"""

import io
import re
import shutil
from dataclasses import replace
from datetime import date
from fractions import Fraction
from pathlib import Path

import pikepdf
import pypdfium2
import pytest
import zxingcpp
from PIL import Image

from provenance.build.certificates import PAPER, certificates_due, noted
from provenance.build.certificates import issue_of as next_issue
from provenance.figures.flow.gather import studio_flow
from provenance.papers.certificates import fitting
from provenance.papers.certificates import page as certificate_page
from provenance.papers.certificates.certificate import (
    Issue,
    certificate_of,
    digest_of,
    paper_name,
)
from provenance.papers.certificates.page import Seal, certificate_pdf
from provenance.papers.format import Format, format_for
from provenance.press.letters.faces import SANS, SERIF
from provenance.press.pdf.render import Attached
from provenance.public.border import Border
from provenance.public.piece import public_piece
from provenance.records.book import read_book
from provenance.studio import Studio, Worked
from tests.papers.letters_on import sizes_on

DEMO = Path(__file__).parents[2] / "pieces"
TODAY = date(2026, 11, 25)
MM = 72 / 25.4
# The eleven categories as ICOM names them, then the two of its additions that we print.
ICOM = (
    "Photographs", "Type of object", "Measurements", "Materials and techniques",
    "Inscriptions and markings", "Date or period", "Maker", "Subject", "Title",
    "Distinguishing features", "Description", "Inventory number", "Date documented",
)  # fmt: skip


def photo(path, size=(1600, 2000)):
    path.parent.mkdir(parents=True, exist_ok=True)
    Image.linear_gradient("L").resize(size).convert("RGB").save(path, "JPEG")


@pytest.fixture(scope="session")
def demo(tmp_path_factory):
    """The demo studio, with stand-in photos where there are none."""
    folder = tmp_path_factory.mktemp("demo") / "pieces"
    shutil.copytree(
        DEMO,
        folder,
        ignore=shutil.ignore_patterns("papers", "printed.yaml", ".printed", "certificates"),
    )
    book, problems = read_book(folder)
    assert not [each for each in problems if not each.is_remark]
    for piece in book.pieces.values():
        for each in piece.photos:
            if not (folder / "photos" / each.file).exists():
                photo(folder / "photos" / each.file)
    return setting_of(folder)


def setting_of(folder, today=TODAY):
    book, _ = read_book(folder)
    return Border(Studio(book, studio_flow(book), {}, today))


A4 = Format()


def issue_of(setting, certificate):
    before = setting.studio.printed(PAPER, certificate.number)
    return next_issue(before, certificate, setting.studio.today)


def paper(setting, number, sheet=A4, seal=None):
    certificate = certificate_of(setting.house, setting.piece(number))
    issue = issue_of(setting, certificate)
    return certificate_pdf(setting.house, certificate, issue, sheet, seal)


def made_numbers(setting):
    return [number for number, piece in setting.studio.book.pieces.items() if piece.can_be_costed]


def words_of(content):
    document = pypdfium2.PdfDocument(content)
    return " ".join(" ".join(page.get_textpage().get_text_range() for page in document).split())


def codes_on(page):
    """What a camera reads there; at 200 dpi a module is five dots wide."""
    shown = page.render(scale=200 / 72, grayscale=True).to_pil()
    return [code.text for code in zxingcpp.read_barcodes(shown)]


def page_count(content):
    return len(pypdfium2.PdfDocument(content))


@pytest.fixture(scope="session")
def papers(demo, once):
    """Every certificate of the demo, made once for all workers."""

    def make(folder):
        for number in made_numbers(demo):
            (folder / f"{number}.pdf").write_bytes(paper(demo, number))

    folder = once("certificates", make)
    return {number: (folder / f"{number}.pdf").read_bytes() for number in made_numbers(demo)}


@pytest.fixture(scope="session")
def saltmarsh(papers):
    return papers["2026-014"]


# Every piece of the demo studio


def test_each_piece_of_the_demo_takes_a_front_and_the_record_overleaf(papers, demo):
    assert len(papers) >= 14
    for number, content in papers.items():
        assert page_count(content) == 2, number
        first, second = (
            " ".join(page.get_textpage().get_text_range().split())
            for page in pypdfium2.PdfDocument(content)
        )
        assert "The record of this piece is overleaf." in first and "Isla Wren" in first
        assert "Inventory number" in second and "Inventory number" not in first
        assert ("blue wool" in second) == bool(demo.piece(number).light_sources)
        assert "memory" not in first + second


def test_every_object_id_heading_stands_there_with_words_or_is_named_as_lacking(papers):
    for number, content in papers.items():
        _, _, said = words_of(content).partition("Record, after Object ID")
        lacking = said.partition("Not recorded ")[2].casefold()
        for heading in ICOM:
            after = said.partition(f"{heading} ")[2]
            is_told = bool(after) and not after.startswith((*ICOM, "not recorded"))
            assert is_told != (heading.casefold() in lacking[:60]), (number, heading)
        assert said.casefold().count("not recorded") <= 1
    assert "Not recorded Subject, distinguishing features" in words_of(papers["2026-014"])


def test_punctuation_is_explained_only_where_there_was_more_than_one_owner(papers, demo):
    for number, content in papers.items():
        explained = "Semicolon: passed on directly" in words_of(content)
        assert explained == ("; " in demo.piece(number).provenance), number
    assert any("; " in demo.piece(number).provenance for number in papers)


def test_the_facts_of_a_piece_are_told_in_words(saltmarsh):
    said = words_of(saltmarsh)
    for phrase in (
        "Brackenfold, Eskrigg Dale", "Certificate, first issue, 25 November 2026",
        "Saltmarsh Isla Wren Hanging, 2026. One of a kind.", "Maker Isla Wren, Eskrigg Dale",
        "H 124 × W 86 cm (48 7/8 × 33 7/8 in)", "796 g", "weft-faced plain weave",
        "wren mark, lower right".capitalize(), "Indigo (Indigofera tinctoria)",
        "weld (Reseda luteola)", "madder (Rubia tinctorum)", "Mordanted with alum; in the baths: ",
        "3 ends and 13 picks per cm; weft: 2-ply", "Hanging bar (oak), hanging tape (cotton)",
        "of Gotland fleece, Low Eskrigg Farm, shorn 18 June 2025", "Weaving 61 h",
        "blue wool 1 to 3", "vacuum lightly", "Isla Wren, Eskrigg Dale, 2026.",
        "and signed it with a small wren.", "Eskrigg Dale, 25 November 2026",
        "Facts as recorded by the maker. No warranty of colour.",
        "brackenfold.example/2026-014/",
    ):  # fmt: skip
        assert phrase in said, phrase


def test_hours_are_left_out_where_the_maker_wishes(demo):
    piece = demo.studio.book.pieces["2026-014"].model_copy(update={"hours_on_certificate": False})
    facts = public_piece(demo, Worked(demo.studio, piece))
    certificate = certificate_of(demo.house, facts)
    assert "By hand" not in [row.label for row in certificate.record]
    assert certificate.tree.piece.mass == "796 g"


def test_every_code_leads_to_its_piece(papers):
    for number, content in papers.items():
        page = pypdfium2.PdfDocument(content)[0]
        assert codes_on(page) == [f"HTTPS://BRACKENFOLD.EXAMPLE/{number}/"]


def test_a_module_of_the_code_is_between_0_6_and_0_7_mm(saltmarsh):
    page = pypdfium2.PdfDocument(saltmarsh)[0]
    boxes = [each.get_bounds() for each in images(page)]
    widths = [(right - left) / MM for left, _, right, _ in boxes]
    assert min(widths) / (25 + 8) == pytest.approx(0.65, abs=0.01)


# PDF/A-3a and PDF/UA-1


@pytest.fixture
def parts(saltmarsh):
    """Every dictionary of the file."""
    with pikepdf.open(io.BytesIO(saltmarsh)) as pdf:
        yield [each for each in pdf.objects if isinstance(each, pikepdf.Dictionary)]


def test_claims_and_structure(saltmarsh):
    pdf = pikepdf.open(io.BytesIO(saltmarsh))
    with pdf.open_metadata() as meta:
        assert meta.pdfa_status == "3A"
        assert meta["{http://www.aiim.org/pdfua/ns/id/}part"] == "1"
    assert str(pdf.Root.OutputIntents[0].S) == "/GTS_PDFA1"
    assert "/ID" in pdf.trailer and not pdf.is_encrypted
    assert bool(pdf.Root.MarkInfo.Marked) and bool(pdf.Root.ViewerPreferences.DisplayDocTitle)
    assert str(pdf.Root.Lang) == "en-GB"
    assert str(pdf.docinfo["/Title"]) == "Certificate 2026-014 Saltmarsh"
    assert str(pdf.docinfo["/CreationDate"]).startswith("D:20261125")
    for thing in pdf.objects:
        if isinstance(thing, (pikepdf.Dictionary, pikepdf.Stream)):
            assert not {"/JS", "/JavaScript", "/Launch", "/AA"} & set(thing.keys())


def test_fonts_are_embedded_and_ours(parts):
    described = [each for each in parts if each.get("/Type") == "/FontDescriptor"]
    assert len(described) >= 3
    for each in described:
        assert {"/FontFile2", "/FontFile3"} & set(each.keys())
        family = str(each.FontName).partition("+")[2].replace("-", " ")
        assert family.startswith((SANS, SERIF, "Source Sans Pro", "Source Serif Pro"))


def test_pictures_are_not_smoothed_and_all_are_told(saltmarsh, parts):
    pdf = pikepdf.open(io.BytesIO(saltmarsh))
    pictures = [
        each
        for each in pdf.objects
        if isinstance(each, pikepdf.Stream) and each.get("/Subtype") == "/Image"
    ]
    assert pictures and all(each.get("/Interpolate") is False for each in pictures)
    figures = [each for each in parts if each.get("/S") == "/Figure"]
    told = [str(each.Alt) for each in figures]
    assert len(told) == 3
    assert told[0].startswith("Tall hanging of curved bands")
    assert told[1].startswith("Code that leads to the page of 2026-014")
    assert told[2].startswith("Gotland fleece") and "Madder (Rust, 130 g)" in told[2]


def test_facts_are_a_table_with_headings(parts):
    tags = [str(each.get("/S")) for each in parts if "/S" in each]
    assert {"/Table", "/TH", "/TD", "/H1", "/H2", "/P"} <= set(tags)
    assert tags.count("/H1") == 1


def test_a_seal_travels_inside_and_its_key_is_printed(demo, saltmarsh):
    seal = Seal("Key 7K3F Q9M2.", Attached("certificate.json", b"{}", "The statement"))
    sealed = paper(demo, "2026-014", seal=seal)
    pdf = pikepdf.open(io.BytesIO(sealed))
    assert pdf.attachments["certificate.json"].get_file().read_bytes() == b"{}"
    assert "Key 7K3F Q9M2." in words_of(sealed)
    assert not pikepdf.open(io.BytesIO(saltmarsh)).attachments
    assert "Key" not in words_of(saltmarsh) and "seal" not in words_of(saltmarsh)
    assert page_count(sealed) == page_count(saltmarsh)


# Where things stand: nothing over anything else, nothing outside the page


def images(page):
    kinds = pypdfium2.raw.FPDF_PAGEOBJ_IMAGE
    return list(page.get_objects(filter=[kinds], max_depth=4))


def boxes_of(page):
    text = page.get_textpage()
    text.get_text_range()
    return [text.get_rect(at) for at in range(text.count_rects())]


def overlap(one, other, by=0.7):
    """Whether two boxes (left, bottom, right, top) share more than a hair, in points."""
    wide = min(one[2], other[2]) - max(one[0], other[0])
    high = min(one[3], other[3]) - max(one[1], other[1])
    return wide > by and high > by


def check_places(content):
    for page in pypdfium2.PdfDocument(content):
        width, height = page.get_size()
        words, pictures = boxes_of(page), [each.get_bounds() for each in images(page)]
        for left, bottom, right, top in [*words, *pictures]:
            assert left >= 14 * MM and right <= width - 14 * MM, (left / MM, right / MM)
            assert bottom >= 7 * MM and top <= height - 7 * MM, (bottom / MM, top / MM)
        for at, one in enumerate(words):
            assert not [other for other in words[at + 1 :] if overlap(one, other)]
            assert not [other for other in pictures if overlap(one, other)]


def test_nothing_overlaps_in_the_demo(papers):
    for content in papers.values():
        check_places(content)


def test_the_check_of_places_can_fail(demo, monkeypatch):
    plain = certificate_page.source
    squashed = b"\n.statement { position: relative; top: -30mm }"
    monkeypatch.setattr(certificate_page, "source", lambda name, own: plain(name, own) + squashed)
    with pytest.raises(AssertionError):
        check_places(paper(demo, "2026-014"))


DYES = ("madder", "weld", "indigo", "cochineal", "walnut", "chamomile", "onion skins", "logwood")
MANY_DYES = "".join(f"{name}: {{weight: 9 kg}}\n" for name in DYES)


def yarns(count, dyes=2, fleeces=99):
    """`count` yarns, spun in place from a fleece of their own, or from so many, and dyed `dyes`
    times over."""
    lines = []
    for at in range(count):
        chosen = ", ".join(f"{DYES[(at + step) % len(DYES)]}: 20 %" for step in range(dyes))
        lines.append(
            f"  - {{use: weft, fleece: fleece-{at % fleeces}, weight: {40 + at} g,"
            f" colour: '#{at * 2:02x}7a38', mordants: {{alum: 12 %}}, dyes: {{{chosen}}}}}\n"
        )
    return "".join(lines)


def fleeces(count, breed="Bluefaced Leicester crossed with Wensleydale"):
    return "".join(
        f"fleece-{at}: {{fibre: wool, breed: {breed}, from: Farm {at} of the upper dale,"
        f" public: yes, shorn: 2025-06-18, weight: 9 kg, scoured: 55 %}}\n"
        for at in range(count)
    )


SITE = "studio: Brackenfold\nmaker: Isla Wren\nplace: Eskrigg Dale\nmark: a small wren\n"
WITH_SITE = SITE + "site: https://brackenfold.example\n"


def piece(title="Saltmarsh", count=2, dyes=1, more="", fleeces=99):
    return (
        f"number: 2026-014\ntitle: {title!r}\nkind: hanging\nstructure: weft-faced plain weave\n"
        f"finished: 2026-09-14\nsize: 124 x 86 x 4 cm\nweight: 590 g\nsigned: wren mark\n"
        f"yarns:\n{yarns(count, dyes, fleeces)}hours: {{weaving: 61, design: 6}}\n"
        f"price: 1450\n{more}"
    )


PHOTO = "photos: [{file: front.jpg, view: whole, alt: A tall hanging}]\n"
TEN_PHOTOS = "photos:\n" + "".join(
    f"  - {{file: {name}.jpg, view: {view}, alt: A tall hanging}}\n"
    for name, view in [("front", "whole"), *((f"near-{at}", "detail") for at in range(9))]
)
SIXTY = "The long way round by the marsh road when the fold is under it"
EXTREMES = {
    "twelve yarns": ({}, piece(count=12, more=PHOTO)),
    "thirty yarns, ten photos": (
        {"studio/fleece.yaml": fleeces(5, "Gotland")},
        piece(SIXTY, count=30, more=TEN_PHOTOS, fleeces=5),
    ),
    "forty yarns": ({}, piece(count=40, more=PHOTO)),
    "ninety yarns": ({}, piece(count=90, more=PHOTO)),
    "sixty letters": ({}, piece(SIXTY, more=PHOTO)),
    "three hundred letters": ({}, piece((SIXTY + " ") * 5, more=PHOTO)),
    "one endless word": ({}, piece("Salt" * 60, more=PHOTO)),
    "eight dyes on every yarn": ({}, piece(count=6, dyes=8, more=PHOTO)),
    "no site": ({"studio/studio.yaml": SITE}, piece(more=PHOTO)),
    "no photo, no site, one yarn": ({"studio/studio.yaml": SITE}, piece(count=1)),
    "long care": ({}, piece(more=PHOTO + "care: " + "Keep it from sun and moth. " * 120)),
    "long statement": (
        {"studio/studio.yaml": WITH_SITE + "statement: " + "I made it by hand. " * 200 + "\n"},
        piece(more=PHOTO),
    ),
    "long names": (
        {
            "studio/studio.yaml": f"studio: {'Bracken' * 20}\nmaker: {'Isla ' * 40}\n"
            f"place: {'Eskrigg Dale ' * 30}\nsite: https://brackenfold.example\n"
        },
        piece(more=PHOTO),
    ),
    "many subjects in other letters": (
        {},
        piece(
            "Łąka, Śnieg, Übergang, Ωμέγα, ā ē ī",
            more=f"{PHOTO}subject: {'the marsh ' * 60}\ndistinguishing: {'a mended end ' * 60}\n",
        ),
    ),
    "a long number": ({}, piece(more=PHOTO).replace("2026-014", "20260914-0000-1111-2")),
}


def squeeze(text):
    """Without spaces and hyphens, which the ends of lines take or leave."""
    return re.sub(r"[\s\x02\ufffe-]", "", text)


SHEETS = (Format("A4"), Format("Letter", is_black=True), Format("Letter"), Format(is_black=True))
# Each extreme on one sheet, the sheets in turn; what is longest to be said on the shortest too.
SHORTENED = ("forty yarns", "ninety yarns")  # each of a fleece of its own with a long name
ON_SHEETS = [(name, SHEETS[at % len(SHEETS)]) for at, name in enumerate(EXTREMES)]
ON_SHEETS += [(name, SHEETS[1]) for name in ("thirty yarns, ten photos", "long names")]


@pytest.mark.parametrize(("name", "sheet"), ON_SHEETS)
def test_two_pages_hold_it_and_nothing_overlaps_or_is_cut_off(name, sheet, write_studio):
    files, record = EXTREMES[name]
    folder = write_studio(
        {
            "studio/studio.yaml": WITH_SITE,
            "studio/dyestuffs.yaml": MANY_DYES,
            "studio/mordants.yaml": "alum: {weight: 9 kg}\n",
            "studio/fleece.yaml": fleeces(90),
            "2026-014.yaml": record,
            **files,
        }
    )
    photo(folder / "photos" / "front.jpg", (900, 2400) if "site" in name else (2400, 1500))
    for at in range(9 if "ten photos" in name else 0):
        photo(folder / "photos" / f"near-{at}.jpg", (40, 30))
    setting = setting_of(folder)
    (number,) = setting.studio.book.pieces
    content = paper(setting, number, sheet)
    certificate = certificate_of(setting.house, setting.piece(number))
    check_places(content)
    assert page_count(content) == 2
    said = words_of(content)
    assert ("Shortened to these two pages." in said) == (name in SHORTENED)
    if name not in SHORTENED:
        squeezed = squeeze(said)
        rows = (line for row in certificate.record for line in row.lines)
        told = (certificate.light, certificate.care, *certificate.light_sources)
        for text in (certificate.title, certificate.maker, certificate.statement, *rows, *told):
            assert squeeze(text) in squeezed
    codes = [code for page in pypdfium2.PdfDocument(content) for code in codes_on(page)]
    assert codes == ([certificate.address] if setting.studio.book.studio.site else [])


def test_letters_are_large_enough_for_a_wall_and_a_hand(papers):
    for number, content in papers.items():
        front, record = map(sizes_on, pypdfium2.PdfDocument(content))
        assert min(front) >= 8 and min(record) >= 8, number
        assert "byhand" in front[14.0], number  # the statement
        assert max(front) >= 20, number
        # Of the record only sources and drawing are smaller than its letters, and of these most
        # pieces have the largest.
        assert set(record) <= {8.0, 8.2, 8.3, 8.5, 8.8, 9.0}, number
    bodies = [max(sizes_on(pypdfium2.PdfDocument(each)[1])) for each in papers.values()]
    assert bodies.count(9.0) >= len(bodies) - 2


def test_the_photo_is_whole_and_90_mm_at_least(papers, demo):
    for number, content in papers.items():
        sides = [each.get_bounds() for each in images(pypdfium2.PdfDocument(content)[0])]
        if not demo.piece(number).photos:
            continue
        left, bottom, right, top = max(sides, key=lambda box: box[2] - box[0])
        assert max(right - left, top - bottom) / MM >= 90, number
        photo = demo.house.folder / demo.piece(number).photos[0].path
        with Image.open(photo) as shown:
            assert (right - left) / (top - bottom) == pytest.approx(
                shown.width / shown.height, rel=0.01
            )


# Black ink


def test_in_black_only_no_colour_is_left(demo):
    content = paper(demo, "2026-014", Format(is_black=True))
    shown = pypdfium2.PdfDocument(content)[0].render(scale=1).to_pil().convert("RGB")
    for red, green, blue in {colour for _, colour in shown.getcolors(1_000_000)}:
        assert max(red, green, blue) - min(red, green, blue) <= 2, (red, green, blue)
    strip = shown.crop((2, 2, 26, shown.height - 2)).convert("L")
    assert {strip.getpixel((x, y)) < 128 for x in range(24) for y in range(0, 800)} == {True, False}


def test_the_selvedge_runs_from_edge_to_edge(saltmarsh):
    shown = pypdfium2.PdfDocument(saltmarsh)[0].render(scale=2).to_pil().convert("RGB")
    white = (255, 255, 255)
    for y in (0, shown.height // 2, shown.height - 1):
        assert shown.getpixel((0, y)) != white
        assert shown.getpixel((int(9.5 * MM * 2), y)) != white
        assert shown.getpixel((int(10.6 * MM * 2), y)) == white


# Sheet, issue, what is due


def test_the_sheet_is_the_studios_own_or_the_one_asked_for(demo):
    assert format_for(demo.house) == Format("A4")
    assert format_for(demo.house, "letter", black=True) == Format("Letter", is_black=True)
    page = pypdfium2.PdfDocument(paper(demo, "2026-014", Format("Letter")))[0]
    assert [side / 72 for side in page.get_size()] == pytest.approx([8.5, 11])


def test_an_issue_stays_until_what_it_says_changes(demo):
    certificate = certificate_of(demo.house, demo.piece("2026-014"))
    first = issue_of(demo, certificate)
    assert (first.number, first.on, first.is_new) == (1, TODAY, True)
    later = Border(replace(demo.studio, today=date(2027, 3, 1), _kept={}))
    assert digest_of(certificate_of(later.house, later.piece("2026-014"))) == first.digest
    changed = replace(certificate, title="Salt marsh")
    assert digest_of(changed) != first.digest


def test_lines_of_printed_yaml_count_the_issues(write_studio):
    files = {"studio/fleece.yaml": fleeces(2), "2026-014.yaml": piece()}
    folder = write_studio(files)
    setting = setting_of(folder, date(2026, 9, 14))
    certificate = certificate_of(setting.house, setting.piece("2026-014"))
    entry = noted(certificate, issue_of(setting, certificate))
    kept = folder / "studio" / "printed.yaml"
    kept.write_text(entry)

    setting = setting_of(folder)
    same = issue_of(setting, certificate)
    assert same == Issue(1, date(2026, 9, 14), digest_of(certificate), is_new=False)
    changed = replace(certificate, title="Salt marsh")
    assert issue_of(setting, changed) == Issue(2, TODAY, digest_of(changed), is_new=True)
    assert "issue 2, 25 November 2026" in words_of(
        certificate_pdf(setting.house, changed, issue_of(setting, changed), Format())
    )


def test_certificates_are_due_for_pieces_sold_or_shown(demo, tmp_path):
    folder = tmp_path / "pieces"
    shutil.copytree(demo.studio.book.folder, folder)
    due = certificates_due(setting_of(folder))
    assert {"2026-014", "2025-019"} <= set(due)  # at a gallery; sold
    assert not {"2026-015", "2026-017"} & set(due)  # not for sale, here; on the loom

    setting = setting_of(folder)
    certificate = certificate_of(setting.house, setting.piece("2026-014"))
    entry = noted(certificate, issue_of(setting, certificate))
    (folder / "studio" / "printed.yaml").write_text(entry)
    assert "2026-014" in certificates_due(setting_of(folder))  # noted, but the file is not there
    (folder / "papers").mkdir()
    (folder / "papers" / paper_name("2026-014")).write_bytes(b"%PDF-")
    assert "2026-014" not in certificates_due(setting_of(folder))
    record = folder / "2026-014-saltmarsh.yaml"
    record.write_text(record.read_text().replace("weight: 796 g", "weight: 790 g"))
    assert "2026-014" in certificates_due(setting_of(folder))


# Statement of authorship: no more than the record says


@pytest.mark.parametrize(
    ("line", "said"),
    [
        ("lot: spun", "I made this piece by hand, from fleece to finished cloth."),
        ("lot: top-yarn", "I spun and wove this piece by hand."),
        ("lot: shop", "I wove this piece by hand."),
        ("lot: shop, dyes: {madder: 5 %}", "I dyed yarn for this piece and wove it by hand."),
    ],
)
def test_the_statement_says_no_more_than_the_record(line, said, write_studio):
    setting = setting_of(
        write_studio(
            {
                "studio/dyestuffs.yaml": MANY_DYES,
                "studio/fleece.yaml": "raw: {fibre: wool, weight: 9 kg, scoured: 50 %}\n"
                "top: {fibre: wool, weight: 9 kg, scoured: 100 %}\n",
                "studio/yarns.yaml": "spun: {fleece: {raw: 2 kg}, weight: 900 g}\n"
                "top-yarn: {fleece: {top: 1 kg}, weight: 900 g}\n"
                "shop: {fibre: wool, weight: 1 kg}\n",
                "2026-014.yaml": f"number: 2026-014\ntitle: A\nkind: rug\nsize: 9 x 9 cm\n"
                f"yarns: [{{use: weft, weight: 90 g, {line}}}]\nhours: {{weaving: 5}}\n",
            }
        )
    )
    assert certificate_of(setting.house, setting.piece("2026-014")).statement == said


def test_where_nothing_seems_to_have_room_the_closest_way_is_taken(demo, monkeypatch):
    for of in ("_body", "_record_high"):
        monkeypatch.setattr(fitting, of, lambda *_: Fraction(10**6))
    assert "Shortened to these two pages." in words_of(paper(demo, "2026-014"))


def test_after_many_tries_the_closest_way_is_taken(demo, monkeypatch):
    monkeypatch.setattr(certificate_page, "_TRIES", 1)
    monkeypatch.setattr(certificate_page, "PAGES", 3)  # which no way takes
    assert "Shortened to these two pages." in words_of(paper(demo, "2026-014"))
