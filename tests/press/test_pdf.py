"""Papers judged by readers that had no part in making them: pikepdf, PDFium, zxing-cpp."""

import hashlib
import io
import os
import random
import subprocess
import sys
from datetime import date, datetime, timedelta, timezone
from pathlib import Path

import pikepdf
import pypdfium2
import pytest
import zxingcpp
from PIL import Image, ImageFilter

from provenance.build.letters import site_letters
from provenance.language.phrases import british
from provenance.press.codes.qr import code_for, mm
from provenance.press.letters import fonts
from provenance.press.pdf.codes import check_codes
from provenance.press.pdf.joining import joined
from provenance.press.pdf.render import Attached, render_pdf
from provenance.problems import Slip

tell = british().tell

ROOT = Path(__file__).parents[2]
SITE = "https://brackenfold.example"
CODE = code_for(SITE, "2026-014")
STATEMENT = b'{"number": "2026-014", "title": "Saltmarsh"}'
BODY = """<h1>Saltmarsh</h1>
<p class="story">Fleece of the dale: é ß Ł ā ğ ő ș Ω λ № ½ × − “ ” … €</p>
<p>Plain <em>slanted Łā</em> <strong>strong</strong>
<a href="https://brackenfold.example/2026-014/">page</a></p>
<table><tr><th scope="col">Lot</th><th scope="col">g</th></tr>
<tr><td>marsh-green</td><td>412</td></tr></table>
<img src="front.jpg" alt="Tall hanging" style="width: 60mm">
<img src="code.png" alt="Code to the page" class="code">"""
STYLE = """@page { size: A4; margin: 20mm }
body { font-family: "Studio Sans", "Studio Serif"; font-size: 10pt }
h1, .story { font-family: "Studio Serif", "Studio Sans" }
.code { width: 16.5mm; image-rendering: pixelated }"""


def photo():
    into = io.BytesIO()
    Image.linear_gradient("L").convert("RGB").save(into, "JPEG")
    return into.getvalue()


ASSETS = {"style.css": STYLE.encode(), "front.jpg": photo(), "code.png": CODE}


def page(body=BODY, lang=' lang="en-GB"', title="Certificate of Saltmarsh"):
    head = f'<meta charset="utf-8"><title>{title}</title><link rel="stylesheet" href="style.css">'
    return f"<!doctype html><html{lang}><head>{head}</head><body>{body}</body></html>"


def paper(html=None, assets=None, **settings):
    settings = {
        "archival": True,
        "identifier": b"one",
        "created": date(2026, 11, 25),
        "attachments": [Attached("certificate.json", STATEMENT, "The signed statement")],
    } | settings
    return render_pdf(html or page(), ASSETS if assets is None else assets, **settings)


def fault(html=None, assets=None):
    with pytest.raises(Slip) as caught:
        paper(html, assets)
    return tell(caught.value.what)


@pytest.fixture(scope="module")
def letters(kept_cache):
    """The site's letters, cut once for all workers."""
    return site_letters()


def styled(style):
    return {**ASSETS, "style.css": f"{STYLE}\n{style}".encode()}


@pytest.fixture(scope="module")
def archival():
    return paper()


# PDF/A-3a and PDF/UA-1: the structure that ISO 19005-3 and ISO 14289-1 ask for


def test_what_the_file_claims_and_carries(archival):
    with pikepdf.open(io.BytesIO(archival)) as pdf:
        root = pdf.Root
        # Read first: pikepdf writes the dates anew once it has opened the XMP packet.
        assert str(pdf.docinfo.CreationDate) == str(pdf.docinfo.ModDate) == "D:20261125000000Z"
        with pdf.open_metadata() as claims:
            assert claims.pdfa_status == "3A"
            assert claims["pdfuaid:part"] == "1"
            assert claims["dc:title"] == "Certificate of Saltmarsh"
            assert claims["xmp:CreateDate"] == "2026-11-25T00:00:00Z"
        assert len(pdf.trailer.ID) == 2
        assert [intent.S for intent in root.OutputIntents] == ["/GTS_PDFA1"]
        assert root.MarkInfo.Marked
        assert "/StructTreeRoot" in root
        assert str(root.Lang) == "en-GB"
        assert root.ViewerPreferences.DisplayDocTitle
        assert "/Encrypt" not in pdf.trailer
        assert str(root.Metadata.Type) == "/Metadata"


def test_the_syntax_is_sound(archival):
    with pikepdf.open(io.BytesIO(archival)) as pdf:
        assert pdf.check_pdf_syntax() == []


def test_nothing_acts_and_nothing_is_smoothed(archival):
    with pikepdf.open(io.BytesIO(archival)) as pdf:
        pictures = 0
        for thing in pdf.objects:
            if not isinstance(thing, pikepdf.Dictionary | pikepdf.Stream):
                continue
            assert thing.get("/S") not in ("/JavaScript", "/Launch")
            if thing.get("/Subtype") == "/Image":
                pictures += 1
                assert thing.get("/Interpolate", False) is False
        assert pictures == 2


def test_every_font_is_ours_and_inside(archival):
    with pikepdf.open(io.BytesIO(archival)) as pdf:
        found = [
            thing
            for thing in pdf.objects
            if isinstance(thing, pikepdf.Dictionary) and thing.get("/Type") == "/FontDescriptor"
        ]
        assert found
        for font in found:
            assert "/FontFile2" in font or "/FontFile3" in font
            family = str(font.FontName).partition("+")[2]
            assert family.startswith(("Studio-Sans", "Studio-Serif"))


def test_every_figure_has_words(archival):
    with pikepdf.open(io.BytesIO(archival)) as pdf:
        figures = [
            thing
            for thing in pdf.objects
            if isinstance(thing, pikepdf.Dictionary) and thing.get("/S") == "/Figure"
        ]
        assert sorted(str(figure.Alt) for figure in figures) == ["Code to the page", "Tall hanging"]
        kinds = {
            str(thing.get("/S")) for thing in pdf.objects if isinstance(thing, pikepdf.Dictionary)
        }
        assert {"/H1", "/P", "/Table", "/TH", "/TD", "/Link"} <= kinds


def test_the_statement_travels_inside(archival):
    with pikepdf.open(io.BytesIO(archival)) as pdf:
        (name,) = pdf.attachments
        assert name == "certificate.json"
        spec = pdf.attachments[name]
        assert spec.get_file().read_bytes() == STATEMENT
        assert spec.obj.AFRelationship == "/Data"
        assert spec.get_file().mime_type == "application/json"
        assert [one.objgen for one in pdf.Root.AF] == [spec.obj.objgen]


def test_a_file_rewritten_by_another_program_is_still_read(archival):
    for streams in (pikepdf.ObjectStreamMode.disable, pikepdf.ObjectStreamMode.generate):
        into = io.BytesIO()
        with pikepdf.open(io.BytesIO(archival)) as pdf:
            pdf.save(into, object_stream_mode=streams)
        assert check_codes(into.getvalue(), [CODE]) == 1


def test_what_the_file_says_of_itself_can_be_read_by_any_program(archival):
    with pikepdf.open(io.BytesIO(archival)) as pdf:
        assert "/Filter" not in pdf.Root.Metadata
    assert archival.count(b'pdfaid:part="3" pdfaid:conformance="A"') == 1
    assert archival.count(b"<pdfuaid:part>1</pdfuaid:part>") == 1


def test_all_letters_are_drawn_and_can_be_copied(archival):
    document = pypdfium2.PdfDocument(archival)
    text = document[0].get_textpage().get_text_range()
    for sign in "éßŁāğőșΩλ№½×−“”…€":
        assert sign in text


def test_a_sheet_for_the_printer_is_plain():
    with pikepdf.open(io.BytesIO(paper(archival=False, attachments=[]))) as pdf:
        assert "/StructTreeRoot" not in pdf.Root
        assert len(pdf.pages) == 1


# The same bytes everywhere


SHOW = """
import hashlib, sys
sys.path.insert(0, sys.argv[1])
from test_pdf import paper
print(hashlib.sha256(paper() + paper(archival=False)).hexdigest())
"""


def test_the_same_bytes_in_any_folder_zone_and_order(tmp_path):
    seen = set()
    for number, zone in enumerate(("UTC", "Asia/Kathmandu", "America/St_Johns")):
        folder = tmp_path / f"plätz {number}"
        folder.mkdir()
        settings = {
            "TZ": zone,
            "PYTHONHASHSEED": str(number),
            "PYTHONPATH": str(ROOT),
            "TMPDIR": str(folder),
        }
        done = subprocess.run(
            [sys.executable, "-c", SHOW, str(Path(__file__).parent)],
            cwd=folder,
            env={**os.environ, **settings},
            capture_output=True,
            text=True,
            check=True,
        )
        assert done.stderr == ""
        assert list(folder.iterdir()) == []
        seen.add(done.stdout)
    assert seen == {hashlib.sha256(paper() + paper(archival=False)).hexdigest() + "\n"}


def test_dates_are_given_and_in_universal_time():
    late = datetime(2026, 11, 25, 1, 30, 0, 999, tzinfo=timezone(timedelta(hours=2)))
    with pikepdf.open(io.BytesIO(paper(created=late))) as pdf:
        assert str(pdf.docinfo.CreationDate) == "D:20261124233000Z"


def test_the_identifier_is_told_from_what_is_given():
    one, other = paper(identifier=b"one"), paper(identifier=b"other")
    with pikepdf.open(io.BytesIO(one)) as first, pikepdf.open(io.BytesIO(other)) as second:
        assert bytes(first.trailer.ID[0]) != bytes(second.trailer.ID[0])


# What stops a paper


@pytest.mark.parametrize(
    ("hostile", "asked"),
    [
        ('<link rel="attachment" href="file:///etc/passwd">', "file:///etc/passwd"),
        ('<a rel="attachment" href="https://evil.example/">x</a>', "https://evil.example/"),
        ('<img alt="" src="../secret.txt">', "secret.txt"),
        ('<img alt="" src="file:///etc/passwd">', "file:///etc/passwd"),
        ('<img alt="" src="http://evil.example/x.png">', "http://evil.example/x.png"),
        ('<img alt="" src="data:image/png;base64,AAAA">', "data:image/png;base64,AAAA"),
        ('<p style="background: url(file:///etc/passwd)">x</p>', "file:///etc/passwd"),
        ('<style>@import "http://evil.example/x.css";</style>', "http://evil.example/x.css"),
        ('<base href="file:///etc/"><img alt="" src="passwd">', "file:///etc/style.css"),
        ('<object data="file:///etc/passwd"></object>', "file:///etc/passwd"),
    ],
)
def test_the_page_may_ask_for_its_own_files_only(hostile, asked):
    said = fault(page(hostile + BODY))
    assert said.startswith("the page asks for '")
    assert said.endswith("', which is not one of its own files")
    if "<base" not in hostile:
        assert asked in said


def test_a_drawing_may_not_reach_out_either():
    spaces = 'xmlns="http://www.w3.org/2000/svg" xmlns:xlink="http://www.w3.org/1999/xlink"'
    picture = '<image width="9" height="9" xlink:href="file:///etc/passwd"/>'
    drawing = f'<svg {spaces} width="9" height="9">{picture}</svg>'.encode()
    body = BODY + '<img src="lineage.svg" alt="lineage">'
    with pytest.raises(Slip):
        paper(page(body), {**ASSETS, "lineage.svg": drawing})


def test_characters_without_letters_are_named():
    assert fault(page(BODY + "<p>🧶 and 羊</p>")) == (
        "these characters cannot be printed: 羊 (U+7F8A), 🧶 (U+1F9F6)"
    )
    assert fonts.missing_characters("é ß Ł ā Ω λ\n🧶") == {"🧶"}


def test_narrow_spaces_and_joiners_are_no_obstacle():
    text = "10\u202f%, re\u2011dye, joined\u200d\ufe0f\u200b, soft\u00adhyphen"
    document = pypdfium2.PdfDocument(paper(page(BODY + f"<p>{text}</p>")))
    assert "re‐dye" in document[0].get_textpage().get_text_range()


def test_a_font_of_the_machine_is_refused():
    said = fault(page(), styled('em { font-family: "DejaVu Sans", serif }'))
    assert said.startswith("the letters ")
    assert "a (U+0061)" in said


def test_a_character_out_of_the_stylesheet_is_found_too():
    said = fault(page(), styled('p::before { content: "🧶" }'))
    assert "U+1F9F6" in said


@pytest.mark.parametrize(
    ("html", "assets", "said"),
    [
        (page(lang=""), None, "a paper needs a language and a title"),
        (page(title=" "), None, "a paper needs a language and a title"),
        (
            page(BODY.replace(' alt="Tall hanging"', "")),
            None,
            "the picture front.jpg has no words for those who cannot see it",
        ),
        (
            page(),
            {**ASSETS, "front.jpg": b"no picture"},
            "the paper cannot be printed as it should be: "
            "Failed to load image at 'https://build.invalid/front.jpg': ",
        ),
        (
            page(),
            styled("p { shade: 3}"),
            "the paper cannot be printed as it should be: "
            "Ignored `shade: 3` at 5:5, unknown property.",
        ),
    ],
)
def test_whatever_is_amiss_stops_the_paper(html, assets, said):
    assert fault(html, assets) == said


def test_links_into_the_site_are_dropped_on_paper():
    body = BODY + '<p><a href="/2026-015/">next</a> <a href="mailto:a@b.example">ask</a></p>'
    with pikepdf.open(io.BytesIO(paper(page(body)))) as pdf:
        links = [str(note.A.URI) for note in pdf.pages[0].Annots if "/A" in note]
    assert sorted(links) == ["https://brackenfold.example/2026-014/", "mailto:a@b.example"]


# Codes


OTHER = code_for(SITE, "2026-015")
ADDRESS = CODE.address


@pytest.mark.parametrize(
    ("html", "assets", "said"),
    [
        (
            page(),
            styled(".code { width: 14mm }"),
            f"the code for {ADDRESS} is printed 14.0 mm wide, too small to scan",
        ),
        (
            page(),
            styled(".code { height: 12mm }"),
            f"the code for {ADDRESS} is stretched: 16.5 by 12.0 mm",
        ),
        (
            page(),
            styled(".code { position: absolute; left: -25mm }"),
            f"the code for {ADDRESS} runs over the edge of page 1",
        ),
        (
            page(BODY.replace("code.png", "front.jpg")),
            None,
            f"the code for {ADDRESS} is not on the paper",
        ),
        (
            page(),
            {**ASSETS, "code.png": OTHER.png},
            f"page 1 carries a code that should not be there: {OTHER.address}",
        ),
        (
            page(),
            {**ASSETS, "other.png": OTHER},
            f"the code for {OTHER.address} is not on the paper",
        ),
    ],
)
def test_a_code_that_is_not_right_stops_the_paper(html, assets, said):
    assert fault(html, assets) == said


def spoilt(content, change):
    """The archival paper with the code's picture changed by another program, after it was made."""
    into = io.BytesIO()
    with pikepdf.open(io.BytesIO(content)) as pdf:
        for thing in pdf.objects:
            if isinstance(thing, pikepdf.Stream) and thing.get("/Width") == 33:
                pixels = bytearray(pikepdf.PdfImage(thing).as_pil_image().tobytes())
                change(pixels)
                thing.write(bytes(pixels))
        pdf.save(into)
    return into.getvalue()


def test_a_code_changed_in_the_finished_file_is_noticed(archival):
    def nothing(pixels):
        pass

    def in_the_edge(pixels):
        pixels[33 * 2 + 5] = 0

    def no_corner(pixels):
        for row in range(4, 11):
            pixels[33 * row + 4 : 33 * row + 11] = b"\xff" * 7

    assert check_codes(spoilt(archival, nothing), [CODE]) == 1
    with pytest.raises(Slip) as caught:
        check_codes(spoilt(archival, in_the_edge), [CODE])
    assert tell(caught.value.what) == "a code on page 1 has something in its clear edge"
    with pytest.raises(Slip) as caught:
        check_codes(spoilt(archival, no_corner), [CODE])
    assert tell(caught.value.what) == "a code on page 1 cannot be read: the code is damaged"


def test_every_single_broken_module_is_noticed(archival):
    # A reader forgives a few: they are kept for dirt and wear.
    chance = random.Random(18004)
    for _ in range(24):
        at = 33 * chance.randrange(4, 29) + chance.randrange(4, 29)

        def one_module(pixels, at=at):
            pixels[at] ^= 255

        with pytest.raises(Slip) as caught:
            check_codes(spoilt(archival, one_module), [CODE])
        assert tell(caught.value.what) == "a code on page 1 cannot be read: the code is damaged"


@pytest.mark.parametrize(
    ("style", "said"),
    [
        (".story { position: absolute; left: 4mm; top: 5mm; background: #444 }", "damaged"),
        (".story { position: absolute; left: 0.5mm; top: 5mm; font-size: 3pt }", "edge"),
        (".code { opacity: 0.1 }", "damaged"),
    ],
)
def test_what_is_printed_over_a_code_is_seen(style, said):
    body = BODY.replace('<p class="story">', "<p>").replace(
        '<img src="code.png" alt="Code to the page" class="code">',
        '<div style="position: relative"><img src="code.png" alt="Code" class="code">'
        '<span class="story">word</span></div>',
    )
    assert (
        fault(page(body), styled(style))
        == {
            "damaged": "a code on page 1 cannot be read: the code is damaged",
            "edge": "a code on page 1 has something in its clear edge",
        }[said]
    )


def test_a_code_may_lie_on_its_side_or_in_a_group():
    style = ".code { transform: rotate(%sdeg); opacity: %s; margin: 6mm }"
    for turn, ink in ((90, 1), (180, 0.9), (30, 1), (45, 0.9)):
        assert check_codes(paper(assets=styled(style % (turn, ink))), [CODE]) == 1


def test_papers_are_joined_page_after_page(sheet):
    one, _ = sheet
    other = paper(archival=False, attachments=[])
    whole = joined([one, other, one])
    assert joined([one]) == one
    assert joined([one, other, one]) == whole
    assert codes_on(whole) == codes_on(one) + codes_on(other) + codes_on(one)
    with pikepdf.open(io.BytesIO(whole)) as pdf:
        assert pdf.check_pdf_syntax() == []
        assert (str(pdf.docinfo.Title), str(pdf.Root.Lang)) == ("Certificate of Saltmarsh", "en-GB")
        assert "/Metadata" not in pdf.Root


def codes_on(content, spoil=lambda picture: picture):
    document = pypdfium2.PdfDocument(content)
    found = []
    for number in range(len(document)):
        picture = document[number].render(scale=300 / 72).to_pil().convert("L")
        found += [code.text for code in zxingcpp.read_barcodes(spoil(picture))]
    return found


def seen_by_a_phone(picture):
    """Blurred, noisy and turned, as in the trials of tests/truth/qr-decode.json."""
    chance = random.Random(7)
    picture = picture.rotate(12, fillcolor=255, expand=True).filter(ImageFilter.GaussianBlur(1))
    noise = Image.frombytes("L", picture.size, chance.randbytes(picture.width * picture.height))
    return Image.blend(picture, noise, 0.08)


@pytest.fixture(scope="module")
def sheet():
    codes = [code_for(SITE, f"2026-{number:03d}") for number in range(1, 13)]
    assets = {f"{number}.png": code for number, code in enumerate(codes)}
    assets["style.css"] = f"img {{ width: {mm(codes[0])}mm; margin: 8mm }}".encode()
    body = "".join(f'<img alt="code" src="{number}.png">' for number in range(12))
    return render_pdf(
        page(body), assets, archival=False, identifier=b"", created=date(2026, 11, 25)
    ), {code.address for code in codes}


def test_another_program_decodes_every_code_on_a_sheet(sheet):
    content, addresses = sheet
    assert set(codes_on(content)) == addresses
    assert len(codes_on(content)) == 12


def test_it_does_so_through_a_poor_camera(sheet):
    content, addresses = sheet
    assert set(codes_on(content, seen_by_a_phone)) == addresses


# Letters for the site


def test_the_site_letters_are_small_and_named_as_the_licence_asks(letters):
    # SIL Open Font License 1.1, condition 3: a changed copy may not bear the reserved name.
    from fontTools.ttLib import TTFont

    files = letters
    assert len(files) == 12
    for name, content in files.items():
        assert content[:4] == b"wOF2"
        assert len(content) < 26_000
        with TTFont(io.BytesIO(content)) as font:
            names = {record.nameID: str(record) for record in font["name"].names}
        assert {names[number].split()[0].partition("-")[0] for number in (1, 4, 6)} == {"Studio"}
        assert "Reserved Font Name" in names[0]
        assert "Open Font License" in names[13]
        assert name in fonts.site_font_css()
    first = sum(
        len(files[f"studio-{face}-near.woff2"])
        for face in ("sans-300", "sans-400", "sans-600", "serif-400")
    )
    assert first < 70_000


def test_the_site_letters_hold_what_their_rules_say(letters):
    import re

    from fontTools.ttLib import TTFont

    rules = re.findall(r'unicode-range:([^;]*);src:url\("([^"]*)"\)', fonts.site_font_css())
    for ranges, name in rules:
        with TTFont(io.BytesIO(letters[name])) as font:
            held = set(font.getBestCmap())
        claimed = set()
        for part in ranges.split(","):
            first, _, last = part.removeprefix("U+").partition("-")
            claimed |= set(range(int(first, 16), int(last or first, 16) + 1))
        assert claimed == held
        wanted = "Łāğőș" if "far" in name else "éß½×€"
        assert {ord(sign) for sign in wanted} <= held
        if "far" in name and "italic" not in name:
            assert {ord(sign) for sign in "Ωλ"} <= held


def test_the_site_letters_are_the_same_bytes_each_time(letters):
    """Cut by other processes for all workers, and here once more."""
    fonts.site_font.cache_clear()
    assert {name: fonts.site_font(name) for name in fonts.site_font_names()} == letters
