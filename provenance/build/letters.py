"""The site's letters, cut down once and kept: cutting takes seconds and never changes.

In: the installed fonts. Out: font files by name, from the cache where they are, else cut by
workers.
"""

import hashlib
from collections.abc import Callable, Mapping, Sequence
from concurrent.futures import Executor
from functools import cache
from importlib.metadata import version

from provenance.build.cache import keep, kept
from provenance.press.letters.fonts import site_font, site_font_names
from provenance.workers import workers

Letters = Callable[[], Mapping[str, bytes]]  # font files by name
RECIPE = "2"
_DIGEST = 32  # bytes
_PACKAGES = ("fonttools", "font-source-sans-pro", "font-source-serif-pro", "brotli")


def begin_letters(pool: Executor, names: Sequence[str] = site_font_names()) -> Letters:
    """Have workers cut what the cache does not hold whole; gives what waits for all of them."""
    found = _held(names)
    cutting = {name: pool.submit(site_font, name) for name, held in found.items() if not held}

    def letters() -> Mapping[str, bytes]:
        while cutting:
            name, begun = cutting.popitem()
            content = found[name] = begun.result()
            keep(f"{_folder()}/{name}", hashlib.sha256(content).digest() + content)
        return found

    return letters


def site_letters(names: Sequence[str] = site_font_names()) -> Mapping[str, bytes]:
    """Font files of the site, all unless some are named; a damaged one in the cache is cut anew."""
    found = _held(names)
    if all(found.values()):
        return found
    with workers(len(names)) as pool:
        return begin_letters(pool, names)()


def _held(names: Sequence[str]) -> dict[str, bytes]:
    return {name: _whole(kept(f"{_folder()}/{name}")) for name in names}


@cache
def _folder() -> str:
    return f"letters/{'-'.join([RECIPE, *map(_version, _PACKAGES)])}"


def _whole(kept: bytes) -> bytes:
    """The file, if no bit of it has changed; its digest stands before it."""
    digest, content = kept[:_DIGEST], kept[_DIGEST:]
    return content if hashlib.sha256(content).digest() == digest else b""


def _version(package: str) -> str:
    try:
        return version(package)
    except ModuleNotFoundError:
        return "0"
