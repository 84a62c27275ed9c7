"""The site's letters, cut down once and kept: cutting takes seconds and never changes.

In: the installed fonts. Out: font files by name, from the cache where they are, else cut by
workers.
"""

from collections.abc import Mapping, Sequence
from importlib.metadata import version

from provenance.build.cache import keep, kept
from provenance.press.letters.fonts import site_font, site_font_names
from provenance.workers import workers

RECIPE = "1"
_SIGNATURE = b"wOF2"
_PACKAGES = ("fonttools", "font-source-sans-pro", "font-source-serif-pro", "brotli")


def site_letters(names: Sequence[str] = site_font_names()) -> Mapping[str, bytes]:
    """Font files of the site, all unless some are named; a damaged one in the cache is cut anew."""
    folder = f"letters/{'-'.join([RECIPE, *map(_version, _PACKAGES)])}"
    found = {name: _whole(kept(f"{folder}/{name}")) for name in names}
    missing = [name for name, content in found.items() if not content]
    if missing:
        with workers(len(missing)) as pool:
            for name, content in zip(missing, pool.map(site_font, missing), strict=True):
                found[name] = content
                keep(f"{folder}/{name}", content)
    return found


def _whole(content: bytes) -> bytes:
    """The file, if it is whole: WOFF2 says its own length in bytes 8 to 12."""
    whole = int.from_bytes(content[8:12], "big")
    return content if content[:4] == _SIGNATURE and whole == len(content) else b""


def _version(package: str) -> str:
    try:
        return version(package)
    except ModuleNotFoundError:
        return "0"
