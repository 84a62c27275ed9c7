"""The second place: where it is, that it is none of the public ones, how copies lie there.

In: studio/publish.yaml, what this machine remembers, ways to ask for a pass-phrase. Out: an open
place and a way of storing. Copies are locked unless `encrypted: no` says otherwise, in a folder
too: clients and buyers are in them, a stick is lost and a synchronised folder lies on a stranger's
machine, and which of these a folder is can't be told. No copy goes where the site is served from.
"""

import hashlib
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import cast

from provenance.problems import Place, Problem, Said
from provenance.publish.copy_list import lists_in
from provenance.publish.giving import Gives, fetched
from provenance.publish.kept_apart import folder_of, is_public, told_of
from provenance.publish.locked import AGE, KEY, Locked, Opens, Plain, Stores, new_key, open_key
from provenance.publish.manifest import Manifest
from provenance.publish.refused import Refused
from provenance.publish.remembered import Remembered
from provenance.publish.restoring import Checked, Told, check, check_lists
from provenance.records.publishing import Publishing, SecondPlace

Asks = Callable[[], str]  # for a pass-phrase


def second_of(publishing: Publishing | None, folder: Path) -> SecondPlace:
    """The second place; a Slip where none is named, or where strangers would read it."""
    second = publishing.second_place if publishing else None
    if publishing is None or second is None:
        raise Refused(Said("second_place.none"), Said("second_place.name_one"))
    word = ""
    if is_public(publishing, second, folder):
        word = "public"
    elif second.folder and folder_of(second.folder, folder).is_relative_to(folder.resolve()):
        word = "inside"
    if word:
        what = Said(f"second_place.{word}", place=told_of(second))
        place = Place(f"{folder.name}/studio/publish.yaml")
        raise Problem(place, what, Said("second_place.elsewhere")).as_slip()
    return second


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
    wants, lists = second.encrypted, lists_in(manifest.files)
    if lists and wants != is_locked(manifest):
        word = "was_locked" if is_locked(manifest) else "was_plain"
        raise Refused(Said(f"second_place.{word}"), Said("second_place.other_folder"))
    if not wants:
        return Plain(), Remembered(known.day, known.quiet_until, where)
    held, is_known = manifest.files.get(KEY), known.place == where and bool(known.key)
    digest = hashlib.sha256(known.key.encode()).hexdigest()
    # a key that lies there opens copies, whether the manifest knows of it or was lost
    there = None if held and is_known and held.digest == digest else _key_there(place)
    if is_known and (there in (None, known.key.encode())) and (there or held or lists):
        recipient, key = known.recipient, known.key.encode()
    elif there is not None:
        recipient, key = open_key(there, again()).recipient, there
    elif held or lists:
        raise _no_key()
    else:
        recipient, key = new_key(new())
    now = Remembered(known.day, known.quiet_until, where, recipient, key.decode())
    return Locked(recipient), now


def opens_of(place: Gives, name: str, ask: Asks) -> Opens:
    """What opens the copy of a list."""
    return open_key(_key_at(place), ask()) if name.endswith(AGE) else Opens()


def checked_at(place: Gives, source: Path | None, ask: Asks, told: Told) -> Checked:
    """All that lies there read again, in a folder without its hidden manifest by the lists."""
    names = lists_in(names_in(source))
    if names and not place.manifest().files:
        return check_lists(place, opens_of(place, names[-1], ask), names, told)
    return check(place, told)


def _key_at(place: Gives) -> bytes:
    key = _key_there(place)
    if key is None:
        raise _no_key()
    return key


def _no_key() -> Refused:
    return Refused(Said("second_place.no_key", name=KEY), Said("second_place.other_folder"))


def _key_there(place: Gives) -> bytes | None:
    """The key that lies at a place; None where none does."""
    with TemporaryDirectory(prefix="provenance-") as room:
        found = fetched(place, [KEY], Path(room)).get(KEY)
        return found.read_bytes() if found else None


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
