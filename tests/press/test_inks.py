"""A paper in a printer's own inks: nothing of RGB is left, black is black ink alone."""

import io
import re
from datetime import date

import page as page_validation
import pikepdf
import pytest
from PIL import Image, ImageCms

from provenance.language.phrases import phrases_for
from provenance.press.pdf.inks import HEAVY, in_inks, rgb_in
from provenance.press.pdf.render import render_pdf
from provenance.press.pictures.inks import Press
from provenance.problems import Slip
from tests.press.made_profile import made_profile

SVG = (
    b'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 4 4" width="4" height="4">'
    b'<rect width="2" height="4" fill="#2f4a6d"/><rect x="2" width="2" height="4" fill="#b04a2f" '
    b'opacity="0.5"/></svg>'
)


def jpeg(colour=(176, 74, 47)):
    into = io.BytesIO()
    Image.new("RGB", (40, 30), colour).save(into, "JPEG", quality=95)
    return into.getvalue()


def png(mode, colour):
    into = io.BytesIO()
    Image.new(mode, (9, 9), colour).save(into, "PNG")
    return into.getvalue()


@pytest.fixture(scope="module")
def press():
    return Press(made_profile(), "printer.icc")


@pytest.fixture(scope="module")
def paper():
    """A photo, a drawing behind, one with alpha, one in grey, black and coloured letters."""
    html = (
        '<html lang="en"><head><title>Low water</title><style>@page{size:80mm 80mm}'
        "h1{color:#000} p{color:#4a6d2f;border-top:1mm solid #777} "
        "div{height:9mm;background:url(edge.svg)}</style></head><body><h1>Low water</h1><p>Ebb</p>"
        '<div></div><img src="a.jpg" alt="A"><img src="b.png" alt="B"><img src="c.png" alt="C">'
        "</body></html>"
    )
    assets = {
        "a.jpg": jpeg(), "edge.svg": SVG, "b.png": png("RGBA", (20, 90, 60, 128)),
        "c.png": png("RGB", (0, 0, 0)),
    }  # fmt: skip
    return render_pdf(html, assets, archival=True, created=date(2027, 3, 4))


@pytest.fixture(scope="module")
def made(paper, press):
    return in_inks(paper, press)


def opened(content):
    return pikepdf.open(io.BytesIO(content))


def pictures(document):
    for thing in document.objects:
        if isinstance(thing, pikepdf.Stream) and thing.get("/Subtype") == "/Image":
            yield thing


def drawn(document):
    for page in document.pages:
        yield from pikepdf.parse_content_stream(page)
    for thing in document.objects:
        if isinstance(thing, pikepdf.Stream) and thing.get("/Subtype") == "/Form":
            yield from pikepdf.parse_content_stream(thing)


def test_what_is_rgb_is_seen(paper):
    with opened(paper) as document:
        found = set(rgb_in(document))
    assert {"rg", "/Image /ColorSpace"} <= found


def test_no_rgb_is_left(made):
    with opened(made.content) as document:
        assert list(rgb_in(document)) == []
        spaces = {str(each.ColorSpace) for each in pictures(document)}
        assert spaces == {"/DeviceCMYK", "/DeviceGray"}
        strokes = [(str(op), [str(one) for one in o]) for o, op in drawn(document)]
    assert not {op for op, _ in strokes} & {"rg", "RG", "g", "G", "sc", "SC"}
    assert {o[0] for op, o in strokes if op in ("cs", "CS")} <= {"/Pattern"}
    assert b"DeviceRGB" not in made.content


def test_black_letters_are_black_ink_alone(made):
    with opened(made.content) as document:
        inks = {tuple(map(float, o)) for o, op in drawn(document) if str(op) == "k"}
    assert (0, 0, 0, 1) in inks
    assert (0, 0, 0, round(1 - 0x77 / 255, 4)) in inks
    assert any(sum(ink[:3]) > 0 for ink in inks)  # the green of the words, the edge's blue


def test_a_drawn_picture_without_colour_is_black_alone(made):
    with opened(made.content) as document:
        sizes = {(int(p.Width), str(p.ColorSpace)) for p in pictures(document) if p.Width == 9}
    assert sizes == {(9, "/DeviceCMYK"), (9, "/DeviceGray")}


def test_colours_are_those_of_the_profile(made, press):
    """LittleCMS on its own, from sRGB by way of the same profile, is the second opinion."""
    other = ImageCms.profileToProfile(
        Image.new("RGB", (1, 1), (0x2F, 0x4A, 0x6D)), ImageCms.createProfile("sRGB"),
        ImageCms.ImageCmsProfile(io.BytesIO(made_profile())), 1, "CMYK",
        flags=ImageCms.Flags.BLACKPOINTCOMPENSATION,
    ).getpixel((0, 0))  # fmt: skip
    wanted = tuple(round(ink / 255, 4) for ink in other)
    assert press.colour(0x2F / 255, 0x4A / 255, 0x6D / 255) == wanted
    with opened(made.content) as document:
        inks = {tuple(map(float, o)) for o, op in drawn(document) if str(op) == "k"}
    assert any(ink == pytest.approx(wanted, abs=1e-3) for ink in inks)


def test_a_photo_looks_the_same_by_the_profile(made):
    """The JPEG in inks, read as a PDF reader does (Decode turns it), back to sRGB."""
    with opened(made.content) as document:
        photo = next(each for each in pictures(document) if each.get("/Filter") == "/DCTDecode")
        assert [int(n) for n in photo.Decode] == [1, 0] * 4
        raw = Image.open(io.BytesIO(photo.read_raw_bytes()))  # Pillow turns it as Decode does
    profile = ImageCms.ImageCmsProfile(io.BytesIO(made_profile()))
    back = ImageCms.profileToProfile(raw, profile, ImageCms.createProfile("sRGB"), 1, "RGB")
    assert back.getpixel((20, 15)) == pytest.approx((176, 74, 47), abs=12)


def test_the_press_is_named_and_nothing_false_is_claimed(made, paper):
    with opened(made.content) as document:
        (intent,) = document.Root.OutputIntents
        assert intent.DestOutputProfile.read_bytes() == made_profile()
        assert int(intent.DestOutputProfile.N) == 4 and intent.S == "/GTS_PDFX"
        assert str(intent.OutputConditionIdentifier) == "Press of the tests"
        about = document.Root.Metadata.read_bytes()
        assert "/GTS_PDFXVersion" not in document.docinfo
    assert b"pdfaid:part" not in about and b"pdfuaid:part" in about
    with opened(paper) as document:
        assert b"pdfaid:part" in document.Root.Metadata.read_bytes()


def test_it_stays_tagged(made, tmp_path):
    (tmp_path / "a.pdf").write_bytes(made.content)
    told = str(page_validation.validate_pdf(str(tmp_path / "a.pdf"), profile="ua1"))
    assert "no failures" in told and re.search(r"Rules: [0-9]+ passed, 0 failed", told)


def test_the_heaviest_coat(paper, press):
    """Half of what three inks share is black here: near-black is 50 % of four inks and no more."""
    assert 0 < in_inks(paper, press).most <= HEAVY
    full = Press(made_profile(), "printer.icc").photo(Image.new("RGB", (8, 8), (1, 0, 0)))
    c, m, y, k = Image.open(io.BytesIO(full.content)).getpixel((0, 0))
    assert full.most == pytest.approx((c + m + y + k) * 100 / 255, abs=4) and full.most > 200


def test_the_same_again(paper, press, made):
    assert in_inks(paper, press).content == made.content


def test_what_can_not_be_turned_stops_it(press):
    document, into = pikepdf.new(), io.BytesIO()
    document.add_blank_page()
    document.pages[0].Contents = document.make_stream(b"/DeviceRGB cs 1 0 0 sc 0 0 9 9 re f")
    document.save(into)
    with pytest.raises(Slip) as slip:
        in_inks(into.getvalue(), press)
    assert told(slip) == "these colours of the paper could not be turned into inks: /DeviceRGB"


@pytest.mark.parametrize(
    ("content", "said"),
    [
        (b"no profile", "printer.icc is no colour profile (ICC)"),
        (
            ImageCms.ImageCmsProfile(ImageCms.createProfile("sRGB")).tobytes(),
            "printer.icc is a profile for RGB, not for the inks of a press (CMYK)",
        ),
        (made_profile(kind=b"scnr"),
         "printer.icc is a profile for CMYK, but not one of a press"),
        (made_profile()[:600], "printer.icc can't be used as a profile: cannot build transform"),
    ],
)  # fmt: skip
def test_what_is_no_profile_of_a_press(content, said):
    with pytest.raises(Slip) as slip:
        Press(content, "printer.icc")
    assert told(slip).startswith(said)


def told(slip):
    return phrases_for("en-GB", "GBP", {}, None).tell(slip.value.what)
