"""The second place: where it is, that it is none of the public ones, how copies lie there.

In: studio/publish.yaml, what this machine remembers, ways to ask for a pass-phrase. Out: an open
place and a way of storing. Copies are locked unless `encrypted: no` says otherwise, in a folder
too: clients and buyers are in them, a stick is lost and a synchronised folder lies on a stranger's
machine, and which of these a folder is can't be told. No copy goes where the site is served from.
"""

import hashlib
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path, PurePosixPath
from tempfile import TemporaryDirectory
from typing import cast

from provenance.problems import Place, Problem, Said
from provenance.publish.copy_list import lists_in
from provenance.publish.giving import Gives, fetched
from provenance.publish.locked import AGE, KEY, Locked, Opens, Plain, Stores, new_key, open_key
from provenance.publish.manifest import Manifest
from provenance.publish.refused import Refused
from provenance.publish.remembered import Remembered
from provenance.records.publishing import S3, Host, Publishing, SecondPlace, expanded

Asks = Callable[[], str]  # for a pass-phrase


def second_of(publishing: Publishing | None, folder: Path) -> SecondPlace:
    """The second place; a Slip where none is named, or where strangers would read it."""
    second = publishing.second_place if publishing else None
    if publishing is None or second is None:
        raise Refused(Said("second_place.none"), Said("second_place.name_one"))
    word = ""
    if _is_public(publishing, second, folder):
        word = "public"
    elif second.folder and _folder(second.folder, folder).is_relative_to(folder.resolve()):
        word = "inside"
    if word:
        what = Said(f"second_place.{word}", place=told_of(second))
        place = Place(f"{folder.name}/studio/publish.yaml")
        raise Problem(place, what, Said("second_place.elsewhere")).as_slip()
    return second


def told_of(second: SecondPlace) -> str:
    """The place in a word, as a maker knows it."""
    if second.sftp:
        return f"{second.sftp.host}:{second.sftp.folder}"
    if second.s3:
        return f"s3://{second.s3.bucket}/{second.s3.prefix}".rstrip("/")
    return str(second.folder)


def _is_public(publishing: Publishing, second: SecondPlace, folder: Path) -> bool:
    """Whether it lies in a folder, or is a store, from which the site is served."""
    if second.folder:
        served = [folder.resolve().parent / "site"]
        served += [_folder(publishing.folder, folder)] if publishing.folder else []
        here = _folder(second.folder, folder)
        return any(here.is_relative_to(each) for each in served)
    if second.sftp:
        hosts = [each for each in (publishing.sftp, publishing.rsync) if each]
        return any(_is_within(second.sftp, each) for each in hosts)
    return bool(second.s3 and publishing.s3 and _is_same(second.s3, publishing.s3))


def _folder(path: str, folder: Path) -> Path:
    return expanded(path, folder).resolve()


def _is_within(one: Host, served: Host) -> bool:
    inner, outer = PurePosixPath(one.folder), PurePosixPath(served.folder)
    return one.host.lower() == served.host.lower() and inner.is_relative_to(outer)


def _is_same(one: S3, served: S3) -> bool:
    return (one.bucket, one.endpoint) == (served.bucket, served.endpoint)


def refuse_site(manifest: Manifest) -> None:
    """Where a site was put, no copy goes, whatever the settings say by now."""
    if manifest.site or "index.html" in manifest.files:
        raise Refused(Said("second_place.site_there"), Said("second_place.elsewhere"))


def is_locked(manifest: Manifest) -> bool:
    """Whether copies that lie there are locked."""
    return KEY in manifest.files or any(name.endswith(AGE) for name in lists_in(manifest.files))


def way_of_storing(
    place: Gives, second: SecondPlace, known: Remembered, new: Asks, again: Asks
) -> tuple[Stores, Remembered]:
    """How a copy is stored there, and what to remember of it. The pass-phrase is asked for once:
    `new` for the first copy at a place, `again` where this machine has forgotten."""
    manifest, where = place.manifest(), told_of(second)
    refuse_site(manifest)
    wants = second.encrypted
    if lists_in(manifest.files) and wants != is_locked(manifest):
        word = "was_locked" if is_locked(manifest) else "was_plain"
        raise Refused(Said(f"second_place.{word}"), Said("second_place.other_folder"))
    if not wants:
        return Plain(), Remembered(known.day, known.quiet_until, where)
    held, is_known = manifest.files.get(KEY), known.place == where and bool(known.key)
    digest = hashlib.sha256(known.key.encode()).hexdigest()
    if is_known and (held.digest == digest if held else lists_in(manifest.files)):
        recipient, key = known.recipient, known.key.encode()
    elif held or lists_in(manifest.files):
        key = _key_at(place)
        recipient = open_key(key, again()).recipient
    else:
        recipient, key = new_key(new())
    now = Remembered(known.day, known.quiet_until, where, recipient, key.decode())
    return Locked(recipient), now


def opens_of(place: Gives, name: str, ask: Asks) -> Opens:
    """What opens the copy of a list."""
    return open_key(_key_at(place), ask()) if name.endswith(AGE) else Opens()


def _key_at(place: Gives) -> bytes:
    with TemporaryDirectory(prefix="provenance-") as room:
        found = fetched(place, [KEY], Path(room)).get(KEY)
        if found is None:
            raise Refused(Said("second_place.no_key", name=KEY), Said("second_place.other_folder"))
        return found.read_bytes()


@contextmanager
def opened(second: SecondPlace, folder: Path) -> Iterator[Gives]:
    """The place, open."""
    from provenance.publish.opening import place_for

    settings = Publishing(sftp=second.sftp, folder=second.folder, s3=second.s3)
    with place_for(settings, folder) as place:
        yield cast(Gives, place)


def names_in(folder: Path | None) -> list[str]:
    """Lists in a folder that was brought here by hand, perhaps without its hidden manifest."""
    found = (folder / "lists").glob("*") if folder else ()
    return [f"lists/{path.name}" for path in found]
