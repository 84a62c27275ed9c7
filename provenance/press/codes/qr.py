"""The QR code that leads from a printed paper to the page of a piece.

In: the studio's site and a piece's number. Out: a `Code`: its address, modules and a picture of
one pixel a module with the four clear modules of ISO/IEC 18004 around. The only door to qrcode.

Scheme and host have no case (RFC 3986, 6.2.2.1) and a number is digits and hyphens, so the address
is written in capitals, in the compact alphanumeric mode. A path has case: a site that lies in a
folder with letters of its own ('/isla/') keeps its spelling and takes the byte mode, which is
larger; `Code.is_compact` says which. The level of correction starts at M and is raised as far as
the symbol does not grow, or as there is room for its modules.
"""

import io
from dataclasses import dataclass
from decimal import Decimal
from functools import lru_cache
from typing import Any
from urllib.parse import quote, urlsplit

from provenance.problems import Said, Slip

CLEAR = 4
LARGEST_VERSION = 10
MODULE_MM = Decimal("0.5")
LEAST_MODULE_MM = Decimal("0.45")
COMPACT = frozenset("0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZ $%*+-./:")


@dataclass(frozen=True, slots=True)
class Code:
    """A QR code: `modules` counts one side without the clear edge, `png` includes the edge."""

    address: str
    version: int
    level: str
    modules: int
    png: bytes

    @property
    def is_compact(self) -> bool:
        return _is_compact(self.address)


def code_for(site_url: str, number: str, most: int = 0) -> Code:
    """The code for the page of a piece, `SITE/NUMBER/`; Slip if the site has no usable address."""
    return code_of(address_of(site_url, number), most)


def address_of(site_url: str, number: str) -> str:
    """The address as it stands in the code: in capitals wherever case does not matter."""
    split = urlsplit(site_url.strip())
    if split.scheme not in ("http", "https") or not split.hostname or split.query or split.fragment:
        raise Slip(Said("qr.no_site", site=site_url), Said("qr.site_like"))
    if not number or set(number) - set("0123456789-"):
        raise Slip(Said("qr.no_number", given=number), Said("qr.number_like"))
    folder = quote(split.path.strip("/"), safe="/~%")
    path = f"/{folder}/{number}/" if folder else f"/{number}/"
    return f"{split.scheme}://{_host(split.netloc, site_url)}".upper() + path


@lru_cache(maxsize=4096)
def code_of(address: str, most: int = 0) -> Code:
    """The code for an address of ASCII characters, spelt as given; where `most` modules a side are
    more than it needs, it grows up to that for the sake of correction."""
    from qrcode.exceptions import DataOverflowError  # type: ignore[import-untyped]

    if not _is_compact(address):
        scheme, _, rest = address.partition("://")
        host, slash, path = rest.partition("/")
        address = f"{scheme.lower()}://{host.lower()}{slash}{path}"
    try:
        least = _version(address, "M")
    except (ValueError, DataOverflowError):  # more than the largest code of all can hold
        least = LARGEST_VERSION + 1
    if least > LARGEST_VERSION:
        what = Said("qr.too_long", address=address, count=len(address))
        raise Slip(what, Said("qr.shorter"))
    largest = max(least, (most - 17) // 4)
    level = next(level for level in "HQM" if _version(address, level) <= largest)
    rows = _coded(address, level).get_matrix()
    return Code(address, _version(address, level), level, len(rows) - 2 * CLEAR, _png(rows))


def mm(code: Code, module_mm: Decimal = MODULE_MM) -> Decimal:
    """Side of the printed picture in millimetres, clear edge included."""
    return (code.modules + 2 * CLEAR) * module_mm


def _host(netloc: str, site_url: str) -> str:
    try:
        return netloc.encode("idna").decode("ascii")
    except UnicodeError:
        raise Slip(Said("qr.no_site", site=site_url), Said("qr.check_host")) from None


def _is_compact(address: str) -> bool:
    return set(address) <= COMPACT


def _version(address: str, level: str) -> int:
    return int(_coded(address, level).version)


def _coded(address: str, level: str) -> Any:
    """The code of an address, with its clear edge, in the least version that holds it."""
    from qrcode import QRCode, constants  # type: ignore[import-untyped]
    from qrcode.util import MODE_8BIT_BYTE, MODE_ALPHA_NUM, QRData  # type: ignore[import-untyped]

    code = QRCode(error_correction=getattr(constants, f"ERROR_CORRECT_{level}"), border=CLEAR)
    mode = MODE_ALPHA_NUM if _is_compact(address) else MODE_8BIT_BYTE
    code.add_data(QRData(address.encode("ascii"), mode=mode), optimize=0)
    return code


def _png(rows: list[list[bool]]) -> bytes:
    """Grey, eight bits, one pixel a module: WeasyPrint keeps that as it is."""
    from PIL import Image

    dark = bytes(0 if is_dark else 255 for row in rows for is_dark in row)
    return _saved(Image.frombytes("L", (len(rows), len(rows)), dark))


def twice(code: Code) -> bytes:
    """Two pixels a module: a code that is smaller than tags may have is no address to check."""
    from PIL import Image

    with Image.open(io.BytesIO(code.png)) as picture:
        side = picture.width * 2
        return _saved(picture.resize((side, side), Image.Resampling.NEAREST))


def _saved(picture: Any) -> bytes:
    into = io.BytesIO()
    picture.save(into, "PNG")
    return into.getvalue()
