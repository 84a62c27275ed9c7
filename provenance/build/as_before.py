"""Whether a build would make just what the last one left: then nothing is worked out at all.

In: the studio, read and reviewed as always, and the folder of its site. Out: what such a build
says, where all lies untouched that it reads (records, words, own templates, photos, the day, the
program) and writes (the site, papers). It is noted only after a build that found nothing wrong, and
whatever is in doubt is a miss.
"""

import os
from collections.abc import Iterator
from dataclasses import dataclass, replace
from pathlib import Path

from provenance.build.digests import PhotoDigests, state_of
from provenance.build.memo import Memo, memo_file
from provenance.build.opening import named_photos
from provenance.build.program import program
from provenance.build.secret_keys import STATEMENTS, keys_here
from provenance.build.seen import Built, due_tag_lines, site_lines
from provenance.build.site_files import Trusted, listed
from provenance.build.witnesses import DUE, tell_site
from provenance.digest import digest_of
from provenance.language.phrases import templates_of
from provenance.output import lies_as_listed
from provenance.press.templates import own_texts
from provenance.problems import Slip
from provenance.records.folder import OF_RECORDS
from provenance.studio import Studio

_NAME = "as before"


@dataclass(frozen=True, slots=True)
class Left:
    """What a build left: how many pages, pieces on them, and due tags; its photos in short."""

    pages: int
    pieces: int
    tags: int
    photos: str


def has_new_records(folder: Path) -> bool:
    """A guess before anything is read, by times alone: whether a record was written since facts
    were last worked out, so that there is something to make."""
    try:
        built = memo_file(folder).stat().st_mtime
        places = [folder, *(folder / each for each in OF_RECORDS if (folder / each).is_dir())]
        files = (path for place in places for path in place.iterdir() if path.is_file())
        return any(path.stat().st_mtime > built for path in files)
    except OSError:
        return False


def as_before(studio: Studio, target: Path) -> Built | None:
    """What a build says that changes nothing; None where there may be something to make."""
    site, folder = Path(os.path.realpath(target)), studio.book.folder
    with Memo(folder) as memo:
        left = memo.get(_NAME, _key(studio, site))
        if not isinstance(left, Left) or left.photos != _photos(studio, PhotoDigests(folder)):
            return None
        if not lies_as_listed(site, Trusted(memo, site)):
            return None
    tell_site(site, studio.book)
    tags = due_tag_lines(left.tags, folder / "papers" / DUE)
    built = Built(site, left.pages, left.pieces, (), ())
    return replace(built, lines=(*site_lines(built, only_tell=False), *tags))


def note_left(studio: Studio, memo: Memo, site: Built, photos: PhotoDigests, tags: int) -> None:
    """Note what a build left, once everything lies in its place; photos as it saw them."""
    if seen := _photos(studio, photos):
        left = Left(site.pages, site.pieces, tags, seen)
        memo.put(_NAME, _key(studio, site.folder), left)


def _key(studio: Studio, site: Path) -> str:
    """All that a build reads and writes but the photos, in short."""
    book = studio.book
    read = (sorted(book.digests.items()), book.pages, own_texts(templates_of(book)))
    lie = [*_papers(book.folder / "papers"), *_papers(book.folder / STATEMENTS), *keys_here(book)]
    written = (str(site), listed(site), lie)
    return digest_of(program(), studio.today, str(book.folder), *read, *written)


def _photos(studio: Studio, photos: PhotoDigests) -> str:
    """Every photo that records name, in short; '' where one can't be had."""
    try:
        found = [(name, photos.held(name)) for name in named_photos(studio.book)]
    except (OSError, Slip):
        return ""
    photos.keep()
    return digest_of(found)


def _papers(folder: Path) -> Iterator[tuple[str, str]]:
    """How every paper lies there."""
    for top, _, names in os.walk(folder):
        for path in (f"{top}/{name}" for name in names):
            yield path, str(state_of(os.lstat(path)))
