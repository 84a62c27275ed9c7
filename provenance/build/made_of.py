"""Which records the site in its place was made of.

In: the studio, the folder of its site. Out: whether the site that lies there is of the records as
they are now. A digest of them is noted after each build, in the platform's cache, and in doubt the
answer is no. What build itself writes (printed numbers, deeds) and where the site goes make no
other site.
"""

import os
from pathlib import Path

from provenance.build.memo import Memo
from provenance.build.opening import named_photos
from provenance.build.site_files import listed
from provenance.digest import digest_of
from provenance.language.phrases import templates_of
from provenance.press.templates import own_texts
from provenance.records.publishing import PUBLISH
from provenance.studio import Studio

_NAME, _YES = "site made of", "yes"
_NOT_OF_SITE = ("printed.yaml", f"{PUBLISH}.yaml", "deeds.yaml")


def note_made_of(studio: Studio, memo: Memo, site: Path) -> None:
    """Note that the site that lies there now is of these records."""
    memo.put(_NAME, _key(studio, site), _YES)


def is_made_of(studio: Studio, site: Path) -> bool:
    """Whether it is."""
    with Memo(studio.book.folder) as memo:
        return bool(memo.get(_NAME, _key(studio, site)) == _YES)


def _key(studio: Studio, site: Path) -> str:
    place, book = Path(os.path.realpath(site)), studio.book
    read = [pair for pair in sorted(book.digests.items()) if not pair[0].endswith(_NOT_OF_SITE)]
    photos = [(name, _state(book.folder / name)) for name in named_photos(book)]
    texts = own_texts(templates_of(book))
    return digest_of(str(place), listed(place), read, photos, book.pages, texts)


def _state(path: Path) -> tuple[int, int]:
    """How a photo lies there: size and time; zeros where it can't be had."""
    try:
        found = path.stat()
    except OSError:
        return 0, 0
    return found.st_size, found.st_mtime_ns
