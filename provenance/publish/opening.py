"""From what publish.yaml says to an open place.

In: the record, the record folder. Out: a place, open until the block ends. Each engine, and the
library behind it, is loaded only when its way is the one written.
"""

from collections.abc import Iterator
from contextlib import AbstractContextManager, contextmanager
from pathlib import Path

from provenance.publish.place import Place, Whole
from provenance.records.publishing import Publishing, expanded


def place_for(settings: Publishing, records: Path) -> AbstractContextManager[Place | Whole]:
    """The public place, open; Refused where it can't be reached. `records` is where paths that do
    not begin at the top begin."""
    if settings.sftp:
        from provenance.publish.sftp import sftp_place

        return sftp_place(settings.sftp)
    if settings.rsync:
        from provenance.publish.rsync import rsync_place

        return rsync_place(settings.rsync)
    if settings.git:
        from provenance.publish.git import git_place

        return git_place(settings.git)
    if settings.s3:
        from provenance.publish.s3 import s3_place

        return s3_place(settings.s3)
    return _folder(settings, records)


@contextmanager
def _folder(settings: Publishing, records: Path) -> Iterator[Place]:
    from provenance.publish.folder import FolderPlace

    yield FolderPlace(expanded(settings.folder or "", records))


def told_place(settings: Publishing) -> str:
    """The place in one line: what --only-tell and JSON call "to"."""
    for way in ("sftp", "rsync"):
        if host := getattr(settings, way):
            user = f"{host.user}@" if host.user else ""
            port = f":{host.port}" if host.port else ""
            return f"{way}://{user}{host.host}{port}/{str(host.folder).lstrip('/')}"
    if settings.git:
        return f"{settings.git.remote} {settings.git.branch}"
    if settings.s3:
        parts = (settings.s3.endpoint or "s3:/", settings.s3.bucket, settings.s3.prefix)
        return "/".join(str(part) for part in parts if part)
    return str(settings.folder)
