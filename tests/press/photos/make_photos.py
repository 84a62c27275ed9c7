"""Makes the HEIC files beside it, once: `pip install pillow-heif`, then run it.

They are committed because the library that can write HEIC (pillow-heif, with x265) is not asked for
by anything else here; what the program itself uses only reads. Drawn by us; made with pillow-heif
1.8.1, libheif 1.23.6, x265 4.3. A phone writes the same way: a turn of the picture (`irot`, `imir`)
and the same turn in EXIF, which must not count a second time; a thumbnail; ten bits a channel.
"""

from pathlib import Path

import pillow_heif
from PIL import Image, ImageCms, ImageOps

HERE = Path(__file__).parent
P3 = {
    b"rXYZ": (0.51512, 0.24120, -0.00105),
    b"gXYZ": (0.29198, 0.69225, 0.04189),
    b"bXYZ": (0.15710, 0.06657, 0.78407),
}
WIDE = (222, 92, 61)  # a colour in Display P3


def quartered():
    image = Image.new("RGB", (80, 60))
    for number, colour in enumerate(("red", "lime", "blue", "white")):
        x, y = number % 2 * 40, number // 2 * 30
        image.paste(colour, (x, y, x + 40, y + 30))
    return image


def phone_exif(orientation):
    exif = Image.Exif()
    exif[0x0112] = orientation
    exif[0x013B] = "HOMECANARY"
    exif.get_ifd(0x8825).update({1: "N", 2: (54.0, 12.0, 30.0), 27: b"GPSCANARY"})
    return exif.tobytes()


def display_p3():
    made = bytearray(ImageCms.ImageCmsProfile(ImageCms.createProfile("sRGB")).tobytes())
    for row in range(int.from_bytes(made[128:132], "big")):
        entry = 132 + 12 * row
        offset = int.from_bytes(made[entry + 4 : entry + 8], "big") + 8
        for place, part in enumerate(P3.get(bytes(made[entry : entry + 4]), ())):
            number = round(part * 65536).to_bytes(4, "big", signed=True)
            made[offset + 4 * place : offset + 4 * place + 4] = number
    return bytes(made)


def deep(colour):
    """Ten bits a channel: what eight bits hold, times 257, is sixteen."""
    row = b"".join((value * 257).to_bytes(2, "little") for value in colour)
    return pillow_heif.from_bytes("RGB;16", (48, 48), row * 48 * 48)


def main():
    pillow_heif.register_heif_opener()
    image = quartered()
    for turn in range(1, 9):
        settings = {"xmp": b"<x>XMPCANARY</x>", "thumbnails": [32]}
        image.save(HERE / f"turn-{turn}.heic", exif=phone_exif(turn), quality=90, **settings)
    fine = {"quality": -1, "chroma": 444}
    deep(WIDE).save(HERE / "wide-profile.heic", icc_profile=display_p3(), **fine)
    numbers = {"matrix_coefficients": 6, "full_range_flag": 1, "color_primaries": 12}
    deep(WIDE).save(HERE / "wide-numbers.heic", transfer_characteristics=13, **numbers, **fine)
    deep(WIDE).save(HERE / "high-range.heic", transfer_characteristics=16, **numbers, **fine)
    others = [ImageOps.flip(image)]
    image.save(HERE / "several.heic", save_all=True, append_images=others, primary_index=1)


main()
