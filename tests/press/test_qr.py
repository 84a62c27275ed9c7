"""Codes against the standard's sizes, another program's reading, and their own picture."""

import io
import json
from decimal import Decimal
from pathlib import Path

import pytest
import zxingcpp
from PIL import Image

from provenance.language.phrases import british
from provenance.press.codes.qr import (
    LEAST_MODULE_MM,
    MODULE_MM,
    address_of,
    code_for,
    code_of,
    mm,
)
from provenance.problems import Slip

tell = british().tell

TRUTH = Path(__file__).parents[1] / "truth"
SIZES = json.loads((TRUTH / "qr-sizes.json").read_text(encoding="utf-8"))
SITE = "https://brackenfold.example"


def read(code):
    """What zxing-cpp makes of a code's picture."""
    image = Image.open(io.BytesIO(code.png))
    large = image.resize((image.width * 4, image.height * 4), Image.Resampling.NEAREST)
    (found,) = zxingcpp.read_barcodes(large)
    return found


def test_the_address_is_in_capitals_and_compact():
    code = code_for(SITE, "2026-014")
    assert (code.address, code.version, code.level, code.modules, code.is_compact) == (
        "HTTPS://BRACKENFOLD.EXAMPLE/2026-014/",
        2,
        "M",
        25,
        True,
    )


@pytest.mark.parametrize(
    ("site", "address", "is_compact"),
    [
        ("https://brackenfold.example/", "HTTPS://BRACKENFOLD.EXAMPLE/2026-014/", True),
        ("https://Wren.Example:8443", "HTTPS://WREN.EXAMPLE:8443/2026-014/", True),
        ("https://wren.example/WORK/", "HTTPS://WREN.EXAMPLE/WORK/2026-014/", True),
        # A path has case (RFC 3986, 6.2.2.1), so its letters stay as they are.
        ("https://host.example/isla", "https://host.example/isla/2026-014/", False),
        ("https://host.example/~isla/", "https://host.example/~isla/2026-014/", False),
        ("https://schäferei.example", "HTTPS://XN--SCHFEREI-2ZA.EXAMPLE/2026-014/", True),
    ],
)
def test_capitals_only_where_case_does_not_matter(site, address, is_compact):
    code = code_for(site, "2026-014")
    assert (code.address, code.is_compact) == (address, is_compact)
    assert read(code).text == address


@pytest.mark.parametrize(
    "site",
    [
        "",
        "brackenfold.example",
        "ftp://x.example",
        "https://",
        "https://x.example/?a=1",
        "https://x.example/#a",
    ],
)
def test_a_site_without_an_address_is_refused(site):
    with pytest.raises(Slip) as caught:
        address_of(site, "2026-014")
    assert tell(caught.value.what) == f"'{site}' is not the address of a site"


@pytest.mark.parametrize("number", ["", "2026/014", "2026-C03", "2026 014"])
def test_a_number_is_digits_and_hyphens(number):
    with pytest.raises(Slip) as caught:
        address_of(SITE, number)
    assert tell(caught.value.what) == f"'{number}' is not a number of digits and hyphens"


@pytest.mark.parametrize(
    "entry",
    [entry for entry in SIZES["urls"] if not set("#?") & set(entry["url"])],
    ids=lambda entry: entry["url"],
)
def test_versions_are_those_measured(entry):
    # tests/truth/qr-sizes.json, measured with PyPI qrcode 8.2.
    code = code_of(entry["url"])
    assert code.modules == entry["M"]["modules"]
    same_size = [level for level in "LMQH" if entry[level]["version"] == code.version]
    assert code.level == same_size[-1]


@pytest.mark.parametrize("name", [name for name in SIZES["capacity"] if name.endswith("M")])
def test_capacity_in_the_compact_mode(name):
    # ISO/IEC 18004 capacities; 2-M holds 38 on denso-wave's page too (qrcode.com, Information
    # capacity and versions).
    version, _ = name.split("-")
    full = "A" * SIZES["capacity"][name]["alnum"]
    assert code_of(full).version == int(version)
    assert code_of(full + "A").version == int(version) + 1


def test_the_worked_example_of_the_makers_of_the_code():
    # qrcode.com, "Point for setting the module size": 50 alphanumeric characters at level M make
    # version 3, 29 modules; at 0.254 mm the symbol is 7.366 mm, 9.398 mm with its margin.
    code = code_of("A" * 50)
    assert (code.version, code.modules) == (3, 29)
    assert code.modules * Decimal("0.254") == Decimal("7.366")
    assert mm(code, Decimal("0.254")) == Decimal("9.398")


def test_the_picture_is_one_pixel_a_module_with_four_clear():
    code = code_for(SITE, "2026-014")
    image = Image.open(io.BytesIO(code.png))
    assert (image.mode, image.size) == ("L", (33, 33))
    assert mm(code) == Decimal("16.5")
    clear = [(x, y) for x in range(33) for y in range(33) if not (4 <= x < 29 and 4 <= y < 29)]
    assert {image.getpixel(at) for at in clear} == {255}


def test_the_least_module_is_the_least_that_was_always_read():
    # tests/truth/qr-decode.json: trials with blur, noise, tilt and half the resolution.
    trials = json.loads((TRUTH / "qr-decode.json").read_text(encoding="utf-8"))
    at = {str(size): number for number, size in enumerate(trials["module_mm"])}
    hard = ("noise20", "noise30", "blur1", "blur2", "contrast0.5", "persp10", "half", "b1n10c.7p3")

    def is_always_read(size):
        return all(trials["percent_decoded"][trial][at[size]] == 100 for trial in hard)

    assert is_always_read(str(LEAST_MODULE_MM)) and is_always_read(f"{MODULE_MM}")
    assert not any(is_always_read(size) for size in at if float(size) < LEAST_MODULE_MM)


def test_another_program_reads_the_same():
    for number in ("1", "2026-014", "2026-999999999999"):
        for site in (
            SITE,
            "https://host.example/~isla",
            "https://a-very-long-name.of-a-studio.in-the.dale.example",
        ):
            code = code_for(site, number)
            found = read(code)
            assert (found.text, found.ec_level) == (code.address, code.level)


def test_too_long_an_address_is_refused():
    with pytest.raises(Slip) as caught:
        code_of("A" * 400)
    assert tell(caught.value.remedy) == "use a shorter address for the site"


def test_equal_addresses_give_equal_bytes():
    first = code_for(SITE, "2026-020").png
    code_of.cache_clear()
    assert code_for(SITE, "2026-020").png == first
    assert first.startswith(b"\x89PNG")
