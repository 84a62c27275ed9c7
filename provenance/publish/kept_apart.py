"""Whether a second place is kept apart from the public ones, from which strangers read.

In: studio/publish.yaml and the record folder. Out: yes or no, and the place in a word. Where two
ways of writing may mean one place, they do: a refused place costs a line in the settings, one that
is served costs clients and buyers their privacy.
"""

import posixpath
import re
from pathlib import Path, PurePosixPath

from provenance.publish.manifest import NAME
from provenance.records.publishing import Host, Publishing, SecondPlace, expanded

_HOME = re.compile(r"~(?:/|\Z)|/(?:home/[^/]+|Users/[^/]+|root)(?:/|\Z)")


def told_of(second: SecondPlace) -> str:
    """The place in a word, as a maker knows it."""
    if second.sftp:
        return f"{second.sftp.host}:{second.sftp.folder}"
    if second.s3:
        return f"s3://{second.s3.bucket}/{second.s3.prefix}".rstrip("/")
    return str(second.folder)


def is_public(publishing: Publishing, second: SecondPlace, folder: Path) -> bool:
    """Whether it lies in a folder, or is a store, from which the site is served."""
    if second.folder:
        served = [folder.resolve().parent / "site"]
        served += [folder_of(publishing.folder, folder)] if publishing.folder else []
        here = folder_of(second.folder, folder)
        return any(here.is_relative_to(each) for each in served) or _is_served(here)
    if second.sftp:
        hosts = [each for each in (publishing.sftp, publishing.rsync) if each]
        return any(_is_within(second.sftp, each) for each in hosts)
    # one store answers to many endpoints, so that the name of the bucket is enough
    return bool(second.s3 and publishing.s3 and second.s3.bucket == publishing.s3.bucket)


def folder_of(path: str, folder: Path) -> Path:
    """A folder as it is written in the settings of a record folder."""
    return expanded(path, folder).resolve()


def _is_served(here: Path) -> bool:
    """Whether a site was published into the folder, or one around it."""
    return any(
        (each / "index.html").is_file() and (each / NAME).is_file()
        for each in (here, *here.parents)
    )


def _is_within(one: Host, served: Host) -> bool:
    hosts = {each.host.lower().rstrip(".") for each in (one, served)}
    return len(hosts) == 1 and _there(one.folder).is_relative_to(_there(served.folder))


def _there(folder: str) -> PurePosixPath:
    """A folder of a host, from the home on that it lies in: `~/www`, `www`, `/home/isla/www`."""
    path = posixpath.normpath(re.sub("/+", "/", folder))
    return PurePosixPath(_HOME.sub("", path, count=1) if _HOME.match(path) else path)
