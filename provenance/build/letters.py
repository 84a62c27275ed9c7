"""The site's letters, cut down once and kept: cutting takes seconds and never changes.

In: the installed fonts. Out: font files by name, from the cache where they are, else cut by
workers.
"""

import hashlib
from collections.abc import Mapping, Sequence
from importlib.metadata import version

from provenance.build.cache import keep, kept
from provenance.press.letters.fonts import site_font, site_font_names
from provenance.workers import workers

RECIPE = "2"
_DIGEST = 32  # bytes
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
                keep(f"{folder}/{name}", hashlib.sha256(content).digest() + content)
    return found


def _whole(kept: bytes) -> bytes:
    """The file, if no bit of it has changed; its digest stands before it."""
    digest, content = kept[:_DIGEST], kept[_DIGEST:]
    return content if hashlib.sha256(content).digest() == digest else b""


def _version(package: str) -> str:
    try:
        return version(package)
    except ModuleNotFoundError:
        return "0"
