"""HEIC and AVIF as phones write them: upright once, their colours kept, nothing of the file told.

The HEIC files were made by `photos/make_photos.py`, the AVIF ones here by Pillow. What a turn
means is Pillow's own turning by EXIF (tag 0x0112); what a colour is, colour-science's (Display P3,
SMPTE EG 432-1; CIEDE2000).
"""

import io
import struct
import warnings
from pathlib import Path

import numpy
import pytest
from PIL import Image, ImageOps

from provenance.language.phrases import british
from provenance.press.pictures.credit import Credit
from provenance.press.pictures.photos import exports, for_print, open_photo, pixels, renditions
from provenance.press.pictures.profiles import _P3_PRIMARIES
from provenance.problems import Slip

with warnings.catch_warnings():
    warnings.simplefilter("ignore")
    import colour

tell = british().tell
PHOTOS = Path(__file__).parent / "photos"
CREDIT = Credit(creator="Isla Wren", rights="© 2026 Isla Wren")
SECRETS = (b"HOMECANARY", b"GPSCANARY", b"XMPCANARY")


def quartered():
    image = Image.new("RGB", (80, 60))
    for number, tint in enumerate(("red", "lime", "blue", "white")):
        x, y = number % 2 * 40, number // 2 * 30
        image.paste(tint, (x, y, x + 40, y + 30))
    return image


def corners(image):
    wide, high = image.size
    places = [(x * wide // 4, y * high // 4) for y in (1, 3) for x in (1, 3)]
    return [tuple(round(value / 255) for value in image.getpixel(place)) for place in places]


def seen(folder, name):
    width, height, content = pixels(open_photo(folder, name), 2000)
    return Image.frombytes("RGB", (width, height), content)


def avif_of(turn):
    exif = Image.Exif()
    exif[0x0112] = turn
    exif[0x013B] = "HOMECANARY"
    exif.get_ifd(0x8825).update({1: "N", 2: (54.0, 12.0, 30.0), 27: b"GPSCANARY"})
    made = io.BytesIO()
    quartered().save(made, "AVIF", exif=exif.tobytes(), xmp=b"<x>XMPCANARY</x>")
    return made.getvalue()


@pytest.fixture(params=["heic", "avif"])
def photo_turned(request, tmp_path):
    """A phone's photo with a turn: its folder and name."""

    def photo(turn):
        if request.param == "heic":
            return PHOTOS, f"turn-{turn}.heic"
        (tmp_path / "a.avif").write_bytes(avif_of(turn))
        return tmp_path, "a.avif"

    return photo


@pytest.mark.parametrize("turn", range(1, 9))
def test_it_stands_upright_and_is_never_turned_twice(photo_turned, turn):
    exif = Image.Exif()
    exif[0x0112] = turn
    truth = io.BytesIO()
    quartered().save(truth, "PNG", exif=exif.tobytes())
    truth = ImageOps.exif_transpose(Image.open(truth))
    folder, name = photo_turned(turn)
    looked_at, image = open_photo(folder, name), seen(folder, name)
    assert (looked_at.width, looked_at.height) == image.size == truth.size
    assert corners(image) == corners(truth)


def test_nothing_of_the_file_comes_along(photo_turned):
    folder, name = photo_turned(6)
    content = (folder / name).read_bytes()
    assert all(secret in content for secret in SECRETS)
    photo = open_photo(folder, name)
    made = [one.content for one in renditions(photo, CREDIT)]
    entry = next(exports(photo, 60, "JPEG", [90], 300)).content
    for picture in [*made, for_print(photo, 20), entry]:
        assert not any(secret in picture for secret in (*SECRETS, b"Exif\x00\x00", b"ICC_PROFILE"))
        with Image.open(io.BytesIO(picture)) as image:
            assert not dict(image.getexif()) and "icc_profile" not in image.info


@pytest.mark.parametrize("name", ["wide-profile.heic", "wide-numbers.heic"])
def test_wide_colours_of_ten_bits_become_srgb(name):
    wide = numpy.array([222, 92, 61]) / 255
    there = colour.RGB_COLOURSPACES["Display P3"]
    truth = colour.XYZ_to_Lab(colour.RGB_to_XYZ(wide, there, apply_cctf_decoding=True))
    shown = numpy.array(seen(PHOTOS, name).getpixel((24, 24))) / 255
    here = colour.RGB_COLOURSPACES["sRGB"]
    lab = colour.XYZ_to_Lab(colour.RGB_to_XYZ(shown, here, apply_cctf_decoding=True))
    assert colour.delta_E(lab, truth, method="CIE 2000") < 0.6
    unread = colour.XYZ_to_Lab(colour.RGB_to_XYZ(wide, here, apply_cctf_decoding=True))
    assert colour.delta_E(unread, truth, method="CIE 2000") > 3  # what leaving P3 aside would show


def test_the_primaries_of_display_p3_are_those_of_the_standard():
    # Seen from D50 by Bradford, as ICC.1 asks; columns are red, green, blue.
    there = colour.RGB_COLOURSPACES["Display P3"]
    d50 = numpy.array([0.3457, 0.3585])
    adapted = colour.chromatic_adaptation(
        there.matrix_RGB_to_XYZ.T,
        colour.xy_to_XYZ(there.whitepoint),
        colour.xy_to_XYZ(d50),
        transform="Bradford",
    )
    assert numpy.allclose(adapted, list(_P3_PRIMARIES.values()), atol=0.0003)


def test_high_dynamic_range_is_refused_with_a_way_out():
    with pytest.raises(Slip) as caught:
        seen(PHOTOS, "high-range.heic")
    assert tell(caught.value.what) == (
        "the photo 'high-range.heic' is of high dynamic range, which paper and most screens cannot "
        "show"
    )
    assert tell(caught.value.remedy) == "export it as a JPEG and name that file"


def test_of_several_pictures_the_main_one_is_seen():
    # The second was marked as the main one: the first, upside down.
    assert corners(seen(PHOTOS, "several.heic")) == corners(ImageOps.flip(quartered()))


def test_a_heic_cut_short_is_told_so(tmp_path):
    whole = (PHOTOS / "turn-1.heic").read_bytes()
    for size in (100, len(whole) // 2, len(whole) - 40):
        (tmp_path / "a.heic").write_bytes(whole[:size])
        with pytest.raises(Slip) as caught:
            seen(tmp_path, "a.heic")
        assert tell(caught.value.what) == "the photo 'a.heic' is cut short or damaged"


def test_a_film_is_no_picture(tmp_path):
    film = struct.pack(">I", 20) + b"ftypqt  \x00\x00\x00\x00qt  " + bytes(100)
    (tmp_path / "a.heic").write_bytes(film)
    with pytest.raises(Slip) as caught:
        open_photo(tmp_path, "a.heic")
    assert tell(caught.value.what) == "'a.heic' is not a picture that can be read"


@pytest.mark.parametrize("name", ["a.jpg", "a.png", "a", "a.HEIC.jpeg"])
def test_a_phones_photo_under_any_name(tmp_path, name):
    """Messengers send HEIC and PNG as .jpg: what the file holds counts."""
    (tmp_path / name).write_bytes((PHOTOS / "turn-1.heic").read_bytes())
    assert corners(seen(tmp_path, name)) == corners(quartered())


@pytest.mark.parametrize("kind", ["jpg", "png", "webp", "tif", "avif", "heic"])
def test_whether_a_file_is_whole_is_seen_without_its_pixels(tmp_path, kind):
    path = tmp_path / f"a.{kind}"
    if kind == "heic":
        path.write_bytes((PHOTOS / "turn-1.heic").read_bytes())
    else:
        quartered().resize((640, 480)).save(path)
    whole = path.read_bytes()
    # Phones hang films and notes on: all of the picture is there.
    path.write_bytes(whole + b"TRAILER" * 5)
    assert open_photo(tmp_path, path.name).width in (80, 640)
    for size in (len(whole) - 1, len(whole) * 2 // 3):
        path.write_bytes(whole[:size])
        with pytest.raises(Slip) as caught:
            open_photo(tmp_path, path.name)
        assert caught.value.what.key in ("picture.damaged", "picture.no_picture")


def test_the_thumbnail_in_the_head_does_not_pass_for_the_picture(tmp_path):
    small, exif = io.BytesIO(), Image.Exif()
    quartered().save(small, "JPEG")
    exif[0x9286] = small.getvalue()
    path = tmp_path / "a.jpg"
    quartered().resize((640, 480)).save(path, exif=exif.tobytes())
    whole = path.read_bytes()
    assert whole.count(b"\xff\xd9") == 2
    path.write_bytes(whole[:-20])
    with pytest.raises(Slip) as caught:
        open_photo(tmp_path, "a.jpg")
    assert tell(caught.value.what) == "the photo 'a.jpg' is cut short or damaged"
