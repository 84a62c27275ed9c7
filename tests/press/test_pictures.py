"""Photos of every kind a camera or a trickster makes; what comes out is read by other readers."""

import hashlib
import io
import os
import random
import shutil
import struct
import subprocess
import sys
import zlib
from pathlib import Path
from xml.etree import ElementTree

import pytest
from PIL import Image, ImageCms, ImageFilter, ImageOps, PngImagePlugin

from provenance.language.phrases import british
from provenance.press.pictures.credit import Credit
from provenance.press.pictures.photos import for_print, open_photo, pixels, renditions
from provenance.problems import Slip

tell = british().tell

ROOT = Path(__file__).parents[2]
CREDIT = Credit(
    creator="Isla Wren",
    rights="© 2026 Isla Wren",
    credit_line="Isla Wren / Brackenfold",
    title="Saltmarsh, the whole",
    alt="Tall hanging in olive & rust <bands>",
    terms="https://brackenfold.example/about/",
    piece_title="Saltmarsh",
    piece_maker="Isla Wren",
    piece_year="2026",
    piece_number="2026-014",
)
QUARTERS = ("red", "lime", "blue", "white")


def quartered(size=(80, 60)):
    image = Image.new("RGB", size)
    wide, high = size[0] // 2, size[1] // 2
    for number, colour in enumerate(QUARTERS):
        image.paste(colour, (number % 2 * wide, number // 2 * high, size[0], size[1]))
    image.paste("blue", (0, high, wide, size[1]))
    return image


def cloth(width, height):
    """Coarse and fine noise, every thread to be seen: harder to pack than most photographs."""
    fine = Image.effect_noise((width, height), 60).filter(ImageFilter.GaussianBlur(1.5))
    coarse = Image.effect_noise((width // 16, height // 16), 120).resize((width, height))
    return Image.merge("RGB", [Image.blend(fine, coarse, share) for share in (0.6, 0.5, 0.4)])


def save(folder, name, image=None, **settings):
    (image or quartered()).save(folder / name, **settings)
    return name


def corners(width, height, content):
    image = Image.frombytes("RGB", (width, height), content)
    places = [(x * width // 4, y * height // 4) for y in (1, 3) for x in (1, 3)]
    return [tuple(round(value / 255) for value in image.getpixel(place)) for place in places]


def slip_of(folder, name, use=open_photo):
    with pytest.raises(Slip) as caught:
        use(folder, name)
    return tell(caught.value.what), tell(caught.value.remedy)


def decode(folder, name):
    return pixels(open_photo(folder, name), 2000)


# What is refused, and in which words


def test_a_photo_that_is_missing(tmp_path):
    assert slip_of(tmp_path, "front.jpg") == (
        f"there is no photo 'front.jpg' in {tmp_path.name}/",
        "check the name and its ending",
    )


@pytest.mark.parametrize(
    "name", ["../a.jpg", "/etc/hosts", "x/../../a.jpg", "C:\\a.jpg", "con.jpg", "a\x00.jpg", ""]
)
def test_a_name_that_leads_elsewhere(tmp_path, name):
    save(tmp_path, "a.jpg")
    (tmp_path / "photos").mkdir()
    with pytest.raises(Slip):
        open_photo(tmp_path / "photos", name)


def test_a_link_that_leads_out(tmp_path):
    save(tmp_path, "a.jpg")
    photos = tmp_path / "photos"
    photos.mkdir()
    (photos / "a.jpg").symlink_to(tmp_path / "a.jpg")
    (photos / "deep").symlink_to(tmp_path)
    for name in ("a.jpg", "deep/a.jpg"):
        assert slip_of(photos, name) == (
            f"'{name}' is a link that leads out of photos/",
            "put the file itself there, not a link",
        )


@pytest.mark.parametrize("kind", ["jpg", "png", "webp", "tif", "avif"])
@pytest.mark.parametrize("has_weasyprint", [False, True])
def test_a_photo_cut_short(tmp_path, kind, has_weasyprint):
    if has_weasyprint:
        import weasyprint  # noqa: F401  (it lets cut pictures pass, for the whole process)
    save(tmp_path, f"a.{kind}", cloth(320, 240))
    whole = (tmp_path / f"a.{kind}").read_bytes()
    (tmp_path / f"a.{kind}").write_bytes(whole[: len(whole) * 2 // 3])
    said, remedy = slip_of(tmp_path, f"a.{kind}", decode)
    assert said in (
        f"the photo 'a.{kind}' is cut short or damaged",
        f"'a.{kind}' is not a picture that can be read",
    )
    assert remedy


def test_a_photo_far_too_large(tmp_path):
    # A PNG of a few bytes that claims 20,000 by 20,000 pixels.
    def chunk(kind, content):
        body = kind + content
        return struct.pack(">I", len(content)) + body + struct.pack(">I", zlib.crc32(body))

    for side, said in ((12_000, "has 144 million pixels"), (60_000, "claims to be far too large")):
        head = struct.pack(">IIBBBBB", side, side, 8, 2, 0, 0, 0)
        content = chunk(b"IHDR", head) + chunk(b"IDAT", b"") + chunk(b"IEND", b"")
        (tmp_path / "a.png").write_bytes(b"\x89PNG\r\n\x1a\n" + content)
        assert slip_of(tmp_path, "a.png")[0] == f"the photo 'a.png' {said}"


def test_what_is_no_picture(tmp_path):
    (tmp_path / "a.jpg").write_text("number: 2026-014\n")
    (tmp_path / "b.jpg").write_bytes(b"")
    (tmp_path / "c.jpg").mkdir()
    assert slip_of(tmp_path, "a.jpg")[0] == "'a.jpg' is not a picture that can be read"
    assert slip_of(tmp_path, "b.jpg")[0] == "the photo 'b.jpg' is cut short or damaged"
    assert slip_of(tmp_path, "c.jpg")[0] == f"there is no photo 'c.jpg' in {tmp_path.name}/"


def test_a_photo_wrongly_named_is_read_all_the_same(tmp_path):
    save(tmp_path, "a.jpg", format="PNG")
    assert open_photo(tmp_path, "a.jpg").width == 80
    save(tmp_path, "B.JPEG")
    assert open_photo(tmp_path, "B.JPEG").width == 80


@pytest.mark.parametrize("kind", ["EPS", "GIF", "BMP", "PPM"])
def test_other_kinds_are_not_even_looked_into(tmp_path, kind):
    save(tmp_path, "a.jpg", format=kind)
    assert slip_of(tmp_path, "a.jpg")[0] == "'a.jpg' is not a picture that can be read"


def test_damage_anywhere_is_a_slip_or_a_picture_never_a_crash(tmp_path):
    chance = random.Random(3)
    for kind in ("jpg", "png", "webp", "tif", "avif"):
        save(tmp_path, f"a.{kind}", exif=Image.Exif().tobytes())
        whole = (tmp_path / f"a.{kind}").read_bytes()
        for _ in range(60):
            broken = bytearray(whole)
            for _ in range(chance.randint(1, 8)):
                broken[chance.randrange(len(broken))] = chance.randrange(256)
            (tmp_path / f"b.{kind}").write_bytes(broken)
            try:
                decode(tmp_path, f"b.{kind}")
            except Slip as slip:
                assert tell(slip.what) and tell(slip.remedy)


# Upright and in sRGB


@pytest.mark.parametrize("kind", ["jpg", "png", "tif", "webp", "avif"])
@pytest.mark.parametrize("orientation", range(1, 9))
def test_the_photo_stands_upright(tmp_path, kind, orientation):
    exif = Image.Exif()
    exif[0x0112] = orientation
    save(tmp_path, f"a.{kind}", exif=exif.tobytes(), **({"quality": 95} if kind != "tif" else {}))
    # Pillow's own turning of the JPEG is the measure for all kinds (EXIF 2.32, tag 274).
    save(tmp_path, "truth.jpg", exif=exif.tobytes(), quality=95)
    with Image.open(tmp_path / "truth.jpg") as image:
        truth = ImageOps.exif_transpose(image)
    width, height, content = decode(tmp_path, f"a.{kind}")
    looked_at = open_photo(tmp_path, f"a.{kind}")
    assert (width, height) == truth.size == (looked_at.width, looked_at.height)
    assert corners(width, height, content) == corners(*truth.size, truth.tobytes())


def middle(folder, name):
    width, height, content = decode(folder, name)
    at = (height // 2 * width + width // 2) * 3
    return tuple(content[at : at + 3])


def near(one, other, within=3):
    return all(abs(a - b) <= within for a, b in zip(one, other, strict=True))


@pytest.mark.parametrize(
    ("mode", "colour", "kind", "seen"),
    [
        ("L", 128, "png", (128, 128, 128)),
        ("1", 1, "png", (255, 255, 255)),
        ("P", 0, "png", (0, 0, 0)),
        ("LA", (0, 0), "png", (255, 255, 255)),
        ("RGBA", (255, 0, 0, 0), "png", (255, 255, 255)),
        ("RGBA", (255, 0, 0, 128), "webp", (255, 127, 127)),
        ("CMYK", (0, 255, 255, 0), "jpg", (255, 0, 0)),
        ("CMYK", (0, 0, 0, 255), "tif", (0, 0, 0)),
        ("I;16", 32896, "png", (128, 128, 128)),
        ("I;16", 65535, "tif", (255, 255, 255)),
    ],
)
def test_every_kind_of_pixel_becomes_srgb(tmp_path, mode, colour, kind, seen):
    settings = {"lossless": True} if kind == "webp" else {}
    save(tmp_path, f"a.{kind}", Image.new(mode, (40, 40), colour), **settings)
    assert near(middle(tmp_path, f"a.{kind}"), seen)


def test_transparency_by_a_single_palette_colour(tmp_path):
    image = Image.new("RGB", (8, 8), "red").quantize(4)
    save(tmp_path, "a.png", image, transparency=image.getpixel((4, 4)))
    assert middle(tmp_path, "a.png") == (255, 255, 255)


def test_an_embedded_profile_is_honoured(tmp_path):
    # A profile made by hand: sRGB with red and blue swapped. A reader that ignores it sees red.
    profile = bytearray(ImageCms.ImageCmsProfile(ImageCms.createProfile("sRGB")).tobytes())
    count = struct.unpack(">I", profile[128:132])[0]
    tags = {bytes(profile[132 + 12 * n : 136 + 12 * n]): 132 + 12 * n for n in range(count)}
    red, blue = tags[b"rXYZ"] + 4, tags[b"bXYZ"] + 4
    profile[red : red + 8], profile[blue : blue + 8] = (
        profile[blue : blue + 8],
        profile[red : red + 8],
    )
    save(tmp_path, "a.png", Image.new("RGB", (9, 9), "red"), icc_profile=bytes(profile))
    save(tmp_path, "b.png", Image.new("RGB", (9, 9), "red"))
    save(tmp_path, "c.png", Image.new("RGB", (9, 9), "red"), icc_profile=b"no profile at all")
    assert near(middle(tmp_path, "a.png"), (0, 0, 255))
    assert near(middle(tmp_path, "b.png"), (255, 0, 0))
    assert near(middle(tmp_path, "c.png"), (255, 0, 0))


# Public pictures


def test_sizes_go_up_to_the_photos_own(tmp_path):
    save(tmp_path, "a.jpg", cloth(1200, 900))
    made = renditions(open_photo(tmp_path, "a.jpg"), CREDIT)
    assert [(one.width, one.height, one.format) for one in made] == [
        (480, 360, "avif"),
        (480, 360, "jpeg"),
        (960, 720, "avif"),
        (960, 720, "jpeg"),
        (1200, 900, "avif"),
        (1200, 900, "jpeg"),
    ]
    for one in made:
        with Image.open(io.BytesIO(one.content)) as image:
            assert (*image.size, image.format.lower()) == (one.width, one.height, one.format)
            assert image.mode == "RGB"


def test_a_small_photo_is_never_made_larger(tmp_path):
    save(tmp_path, "a.png", quartered((300, 200)))
    made = renditions(open_photo(tmp_path, "a.png"), CREDIT, formats=("jpeg",))
    assert [(one.width, one.height) for one in made] == [(300, 200)]


def test_one_of_each_fits_the_first_view(tmp_path):
    # The first view of a page is 300 KB at most; its picture may take two thirds.
    save(tmp_path, "a.jpg", cloth(2400, 3000))
    for one in renditions(open_photo(tmp_path, "a.jpg"), CREDIT):
        assert len(one.content) <= 205_000, (one.width, one.format)


SECRETS = [
    b"HOMECANARY",
    b"GPSCANARY",
    b"COMMENTCANARY",
    b"XMPCANARY",
    b"TRAILCANARY",
    b"IPTCCANARY",
]


def seeded(folder, name):
    """A photo with a secret in every corner that a camera or a program writes into."""
    exif = Image.Exif()
    exif[0x013B] = "HOMECANARY"
    exif[0x8298] = "HOMECANARY"
    exif.get_ifd(0x8825).update({1: "N", 2: (54.0, 12.0, 30.0), 27: b"GPSCANARY"})
    settings = {"exif": exif.tobytes(), "xmp": b"<x>XMPCANARY</x>"}
    if name.endswith("jpg"):
        settings["comment"] = b"COMMENTCANARY"
    if name.endswith("png"):
        notes = PngImagePlugin.PngInfo()
        notes.add_text("Comment", "COMMENTCANARY")
        settings = {"exif": exif.tobytes(), "pnginfo": notes}
    save(folder, name, **settings)
    content = (folder / name).read_bytes()
    if name.endswith("jpg"):
        iptc = (
            b"Photoshop 3.0\x008BIM\x04\x04" + bytes(5) + b"\x0f\x1c\x02\x5a\x00\x0aIPTCCANARY\x00"
        )
        content = content[:2] + b"\xff\xed" + struct.pack(">H", len(iptc) + 2) + iptc + content[2:]
        content += b"TRAILCANARY"
    (folder / name).write_bytes(content)
    assert sum(secret in content for secret in SECRETS) >= (2 if name.endswith("tif") else 3)


@pytest.mark.parametrize("name", ["a.jpg", "a.png", "a.webp", "a.tif", "a.avif"])
def test_nothing_of_the_file_comes_along(tmp_path, name):
    seeded(tmp_path, name)
    photo = open_photo(tmp_path, name)
    public = [one.content for one in renditions(photo, CREDIT)]
    for content in [*public, for_print(photo, 20)]:
        assert not any(secret in content for secret in SECRETS)
        with Image.open(io.BytesIO(content)) as image:
            assert not dict(image.getexif())
            assert "comment" not in image.info
            assert "icc_profile" not in image.info
            assert "photoshop" not in image.info


def test_the_credit_is_all_that_is_written(tmp_path):
    # Field names: IPTC Photo Metadata Standard 2025.1.
    save(tmp_path, "a.jpg")
    for one in renditions(open_photo(tmp_path, "a.jpg"), CREDIT):
        with Image.open(io.BytesIO(one.content)) as image:
            packet = image.info["xmp"]
        spaces = {
            "rdf": "http://www.w3.org/1999/02/22-rdf-syntax-ns#",
            "dc": "http://purl.org/dc/elements/1.1/",
            "core": "http://iptc.org/std/Iptc4xmpCore/1.0/xmlns/",
            "ext": "http://iptc.org/std/Iptc4xmpExt/2008-02-29/",
            "photoshop": "http://ns.adobe.com/photoshop/1.0/",
            "rights": "http://ns.adobe.com/xap/1.0/rights/",
        }
        tree = ElementTree.fromstring(packet)

        def text(path, tree=tree, spaces=spaces):
            return tree.findtext(f".//{path}", namespaces=spaces)

        assert text("dc:creator/rdf:Seq/rdf:li") == "Isla Wren"
        assert text("dc:rights/rdf:Alt/rdf:li") == "© 2026 Isla Wren"
        assert text("dc:title/rdf:Alt/rdf:li") == "Saltmarsh, the whole"
        assert text("photoshop:Credit") == "Isla Wren / Brackenfold"
        assert text("rights:WebStatement") == "https://brackenfold.example/about/"
        assert text("core:AltTextAccessibility/rdf:Alt/rdf:li") == CREDIT.alt
        piece = "ext:ArtworkOrObject/rdf:Bag/rdf:li/"
        assert text(f"{piece}ext:AOTitle/rdf:Alt/rdf:li") == "Saltmarsh"
        assert text(f"{piece}ext:AOCreator/rdf:Seq/rdf:li") == "Isla Wren"
        assert text(f"{piece}ext:AODateCreated") == "2026"
        assert text(f"{piece}ext:AOSourceInvNo") == "2026-014"
        assert text(f"{piece}ext:AOCopyrightNotice") == "© 2026 Isla Wren"


@pytest.mark.skipif(not shutil.which("exiftool"), reason="exiftool is not on this machine")
def test_exiftool_reads_our_fields_and_no_others(tmp_path):
    seeded(tmp_path, "a.jpg")
    made = renditions(open_photo(tmp_path, "a.jpg"), CREDIT, formats=("jpeg",))
    (tmp_path / "out.jpg").write_bytes(made[-1].content)
    done = subprocess.run(
        ["exiftool", "-G1", "-s", "-a", str(tmp_path / "out.jpg")],
        capture_output=True,
        text=True,
        check=True,
    )
    groups = {line[1:].partition("]")[0] for line in done.stdout.splitlines()}
    assert not any(group.startswith(("GPS", "IFD0", "ExifIFD", "IPTC", "ICC")) for group in groups)
    assert "Saltmarsh" in done.stdout and "2026-014" in done.stdout


# For print and for measuring


def test_print_is_three_hundred_to_the_inch(tmp_path):
    save(tmp_path, "a.jpg", cloth(3000, 2000))
    photo = open_photo(tmp_path, "a.jpg")
    # 80 mm at 300 an inch: 80 / 25.4 x 300 = 944.88.
    with Image.open(io.BytesIO(for_print(photo, 80))) as image:
        assert image.size == (945, 630)
        assert image.format == "JPEG"
    with Image.open(io.BytesIO(for_print(photo, 500))) as image:
        assert image.size == (3000, 2000)


def test_pixels_are_rows_of_three(tmp_path):
    save(tmp_path, "a.png", quartered((400, 200)))
    width, height, content = pixels(open_photo(tmp_path, "a.png"), 100)
    assert (width, height, len(content)) == (100, 50, 15_000)
    assert corners(width, height, content) == [(1, 0, 0), (0, 1, 0), (0, 0, 1), (1, 1, 1)]


SHOW = """
import hashlib, sys
from pathlib import Path
from provenance.press.pictures.credit import Credit
from provenance.press.pictures.photos import for_print, open_photo, renditions
photo = open_photo(Path(sys.argv[1]), "a é.jpg")
content = b"".join(one.content for one in renditions(photo, Credit("Isla Wren", "©")))
print(hashlib.sha256(content + for_print(photo, 50)).hexdigest())
"""


def test_the_same_bytes_anywhere(tmp_path):
    seen = set()
    for number, zone in enumerate(("UTC", "Asia/Kathmandu", "America/St_Johns")):
        folder = tmp_path / f"place {number}"
        folder.mkdir()
        image = quartered((700, 500)).filter(ImageFilter.GaussianBlur(20))
        save(folder, "a é.jpg", image)
        os.utime(folder / "a é.jpg", (number, number))
        settings = {
            "TZ": zone,
            "PYTHONHASHSEED": str(number),
            "LC_ALL": ("C", "C.UTF-8")[number % 2],
        }
        done = subprocess.run(
            [sys.executable, "-c", SHOW, str(folder)],
            cwd=ROOT,
            env={**os.environ, **settings},
            capture_output=True,
            text=True,
            check=True,
        )
        seen.add(done.stdout)
    assert len(seen) == 1
    assert len(seen.pop().strip()) == len(hashlib.sha256().hexdigest())
