"""Photos that lost something on their way, and odd ones that lost nothing.

libjpeg reads a JPEG with its middle gone to the end, fills the rest with grey and warns of it,
which Pillow hides: every one of these was published. What no decoder can know is not asked for
here: a flipped bit may make other numbers that can be read.
"""

from __future__ import annotations

import io
import random
from collections.abc import Callable
from pathlib import Path

import numpy as np
import pytest
from PIL import Image, ImageFilter

from provenance.language.phrases import british
from provenance.press.pictures.credit import Credit
from provenance.press.pictures.photos import for_print, look_into, open_photo, renditions
from provenance.problems import Slip

DEMO = Path(__file__).parents[2] / "pieces" / "photos"
PHONES = Path(__file__).parent / "photos"
CREDIT = Credit("Isla Wren", "© 2026 Isla Wren")


def cloth(width: int = 800, height: int = 600) -> Image.Image:
    """Noise with threads to be seen, the same in every run."""
    grey = np.random.default_rng(7).normal(128, 60, (height, width))
    fine = Image.fromarray(grey.clip(0, 255).astype(np.uint8))
    fine = fine.filter(ImageFilter.GaussianBlur(1.5))
    coarse = fine.resize((width // 16, height // 16)).resize((width, height))
    return Image.merge("RGB", [Image.blend(fine, coarse, share) for share in (0.6, 0.5, 0.4)])


def file_of(image: Image.Image, kind: str = "JPEG", **settings: object) -> bytes:
    into = io.BytesIO()
    image.save(into, kind, **settings)
    return into.getvalue()


def scan_of(content: bytes) -> int:
    return content.index(b"\xff\xda") + 14


KINDS: dict[str, Callable[[], bytes]] = {
    "baseline": lambda: file_of(cloth(), quality=90),
    "progressive": lambda: file_of(cloth(), quality=90, progressive=True),
    "restarts": lambda: file_of(cloth(), quality=90, restart_marker_blocks=5),
    "4:4:4": lambda: file_of(cloth(), quality=95, subsampling=0),
    "4:2:2": lambda: file_of(cloth(), quality=80, subsampling=1),
    "grey": lambda: file_of(cloth().convert("L"), quality=90),
    "CMYK": lambda: file_of(cloth().convert("CMYK"), quality=90),
    "RGB": lambda: file_of(cloth(), quality=90, keep_rgb=True),
    "two in one": lambda: file_of(cloth(), "MPO", save_all=True, append_images=[cloth(320, 240)]),
    "odd sides": lambda: file_of(cloth(801, 603), quality=90),
}
LOSSES: dict[str, Callable[[bytes], bytes]] = {
    "middle": lambda whole: whole[: len(whole) // 3] + whole[2 * len(whole) // 3 :],
    "half": lambda whole: whole[: len(whole) // 2] + b"\xff\xd9",
    "block": lambda whole: whole[: len(whole) // 2] + bytes(4096) + whole[len(whole) // 2 + 4096 :],
    "end": lambda whole: whole[: scan_of(whole) + (len(whole) - scan_of(whole)) * 9 // 10],
}


def slip_of(folder: Path, content: bytes, name: str = "a.jpg") -> str:
    """What is said of a photo; nothing when it is well."""
    (folder / name).write_bytes(content)
    try:
        look_into(open_photo(folder, name))
    except Slip as slip:
        return british().tell(slip.what)
    return ""


@pytest.mark.parametrize("loss", LOSSES)
@pytest.mark.parametrize("kind", [kind for kind in KINDS if kind != "two in one"])
def test_a_jpeg_that_lost_a_part(tmp_path, kind, loss):
    content = LOSSES[loss](KINDS[kind]())
    assert slip_of(tmp_path, content) == "the photo 'a.jpg' is cut short or damaged"


def test_no_picture_and_no_paper_is_made_of_one(tmp_path):
    (tmp_path / "a.jpg").write_bytes(LOSSES["middle"](KINDS["baseline"]()))
    for use in (lambda photo: renditions(photo, CREDIT), lambda photo: for_print(photo, 60)):
        with pytest.raises(Slip):
            use(open_photo(tmp_path, "a.jpg"))


@pytest.mark.parametrize("kind", KINDS)
def test_a_whole_jpeg_of_any_make(tmp_path, kind):
    whole = KINDS[kind]()
    assert slip_of(tmp_path, whole) == ""
    assert slip_of(tmp_path, whole + b"\0" * 300 + b"a phone's film") == ""


@pytest.mark.parametrize("filling", [b"\0", b"\0" * 20, b"\xff", b"\xff" * 500])
def test_bytes_before_the_end_that_some_phones_write(tmp_path, filling):
    whole = KINDS["baseline"]()
    assert slip_of(tmp_path, whole[:-2] + filling + whole[-2:]) == ""


def test_notes_and_profiles_of_cameras_are_let_alone(tmp_path):
    exif = Image.Exif()
    exif[0x010F] = "Camera"
    whole = file_of(cloth(), quality=90, exif=exif.tobytes(), icc_profile=b"none" * 100)
    note = b"\xff\xe4\x00\x10a maker's note"
    adobe = b"\xff\xee\x00\x0eAdobe\x00\x64\x00\x00\x00\x00\x01"
    for content in (whole, whole[:2] + note + whole[2:], whole[:2] + adobe + whole[2:]):
        assert slip_of(tmp_path, content) == ""


def test_the_demos_photos_and_those_of_phones_are_whole(tmp_path):
    for path in [*sorted(DEMO.glob("*.jpg"))[::7], *sorted(PHONES.glob("*.jpg"))]:
        assert slip_of(tmp_path, path.read_bytes()) == "", path.name


def test_a_flipped_bit_is_a_slip_or_a_picture(tmp_path):
    """Most are heard; those that are not can be read as another picture."""
    chance, heard = random.Random(7), 0
    whole = KINDS["progressive"]()
    for _ in range(40):
        broken = bytearray(whole)
        broken[chance.randrange(scan_of(whole), len(whole) - 2)] ^= 1 << chance.randrange(8)
        heard += bool(slip_of(tmp_path, bytes(broken)))
    assert heard >= 5


@pytest.mark.parametrize("kind", ["PNG", "WEBP", "TIFF", "AVIF"])
def test_other_files_cut_short(tmp_path, kind):
    settings = {"compression": "tiff_deflate"} if kind == "TIFF" else {}
    whole = file_of(cloth(), kind, **settings)
    assert slip_of(tmp_path, whole) == ""
    for part in (0.5, 0.95):
        assert slip_of(tmp_path, whole[: int(len(whole) * part)]) != ""


@pytest.mark.parametrize("at", [0.4, 0.97])
def test_a_png_says_a_sum_of_all_it_holds(tmp_path, at):
    whole = bytearray(file_of(cloth(), "PNG"))
    whole[int(len(whole) * at)] ^= 16
    assert slip_of(tmp_path, bytes(whole)) == "the photo 'a.jpg' is cut short or damaged"


def test_a_name_longer_than_any_file_s_is_told(tmp_path):
    """A system refuses even to look for it."""
    for name in ("9" * 900, f"{'ß' * 200}.jpg", "a/" * 2500 + "a.jpg"):
        with pytest.raises(Slip) as slip:
            open_photo(tmp_path, name)
        assert british().tell(slip.value.what).endswith("is a longer name than a file can have")
