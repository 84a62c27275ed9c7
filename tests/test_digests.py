"""The digest of a file is known without reading it; a file that may have changed is read."""

from __future__ import annotations

import hashlib
import os
import time
from pathlib import Path

import pytest

from provenance.build.digests import FileDigests


@pytest.fixture(autouse=True)
def cache(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path / "cache"))
    return tmp_path / "cache"


@pytest.fixture
def reads(monkeypatch: pytest.MonkeyPatch) -> list[str]:
    """Every file that is read for its digest."""
    found: list[str] = []
    read = hashlib.file_digest
    monkeypatch.setattr(
        hashlib, "file_digest", lambda file, kind: found.append(file.name) or read(file, kind)
    )
    return found


@pytest.fixture
def later(monkeypatch: pytest.MonkeyPatch) -> None:
    """An hour later than the disk says: every file has lain still long enough."""
    now = time.time_ns
    monkeypatch.setattr(time, "time_ns", lambda: now() + 3600 * 10**9)


def of(path: Path) -> str:
    digests = FileDigests("photos")
    found = digests.of(path)
    digests.keep()
    return found


def sha(content: bytes) -> str:
    return hashlib.sha256(content).hexdigest()


@pytest.mark.usefixtures("later")
def test_an_untouched_file_is_read_once(tmp_path, reads):
    path = tmp_path / "a.jpg"
    path.write_bytes(b"one")
    assert [of(path), of(path), of(path)] == [sha(b"one")] * 3
    assert reads == [str(path)]


@pytest.mark.usefixtures("later")
@pytest.mark.parametrize("touch", ["size", "mtime", "ctime", "inode"])
def test_a_touched_file_is_read_again(tmp_path, reads, touch):
    path = tmp_path / "a.jpg"
    path.write_bytes(b"one")
    of(path)
    before = path.stat()
    if touch == "size":
        path.write_bytes(b"three")
    elif touch == "inode":
        (tmp_path / "b").write_bytes(b"two")
        (tmp_path / "b").replace(path)
    else:
        path.write_bytes(b"two")
    if touch != "mtime":  # the same time of writing, as a copying program sets it
        os.utime(path, ns=(before.st_atime_ns, before.st_mtime_ns))
    assert of(path) == sha(path.read_bytes())
    assert len(reads) == 2


def test_a_file_touched_just_now_may_be_touched_again_in_the_same_tick(tmp_path, reads, cache):
    path = tmp_path / "a.jpg"
    path.write_bytes(b"one")
    of(path)
    assert of(path) == sha(b"one")
    assert len(reads) == 2
    assert not [each for each in cache.rglob("*.json") if b"a.jpg" in each.read_bytes()]


@pytest.mark.usefixtures("later")
@pytest.mark.parametrize("harm", ["gone", "empty", "flipped", "list", "short"])
def test_a_doubtful_entry_is_a_miss(tmp_path, cache, reads, harm):
    path = tmp_path / "a.jpg"
    path.write_bytes(b"one")
    of(path)
    (kept,) = cache.rglob("*.json")
    content = kept.read_bytes()
    if harm == "gone":
        kept.unlink()
    elif harm == "flipped":
        kept.write_bytes(content.replace(sha(b"one").encode(), sha(b"two").encode()))
    else:
        body = {"empty": b"", "list": b"[1]", "short": b'{"%s": [1, 2]}' % bytes(path)}[harm]
        kept.write_bytes(sha(body).encode() + b"\n" + body)
    assert of(path) == sha(b"one")
    assert len(reads) == 2


@pytest.mark.usefixtures("later")
def test_files_that_are_gone_are_forgotten(tmp_path, cache):
    one, other = tmp_path / "a.jpg", tmp_path / "b.jpg"
    one.write_bytes(b"one")
    other.write_bytes(b"other")
    digests = FileDigests("photos")
    digests.of(one), digests.of(other)
    digests.keep()
    one.unlink()
    assert of(other) == sha(b"other")
    (tmp_path / "c.jpg").write_bytes(b"new")
    of(tmp_path / "c.jpg")
    (kept,) = cache.rglob("*.json")
    assert b"a.jpg" not in kept.read_bytes() and b"b.jpg" in kept.read_bytes()


def test_what_can_not_be_read_is_told(tmp_path):
    with pytest.raises(FileNotFoundError):
        of(tmp_path / "none.jpg")
    os.mkfifo(tmp_path / "pipe.jpg")
    for name in ("pipe.jpg", "."):
        with pytest.raises(OSError):
            of(tmp_path / name)
