"""How long a site of 370 files takes to a bucket and to a branch, over a line with 50 ms of delay.

    .venv/bin/python tests/benchmarks/bench_stores.py [files] [milliseconds]

Sends a site of made-up pictures, pages and lists (20 MB) to the two stores that tests use and to a
git remote over OpenSSH's own sshd, through a line on which every byte is so late each way (a round
trip takes twice that). Told: the whole site into an empty place; the same again, nothing changed;
one piece changed (its page, its list, the front page, two pictures new, two gone). Goals: 10 s for
the whole, 2 s for one piece.
"""

from __future__ import annotations

import os
import random
import shlex
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable
from contextlib import AbstractContextManager
from pathlib import Path

ROOT = Path(__file__).parent.parent.parent
sys.path.insert(0, str(ROOT))

from provenance.publish.git import git_place  # noqa: E402
from provenance.publish.place import Place, Whole  # noqa: E402
from provenance.publish.s3 import s3_place  # noqa: E402
from provenance.publish.sending import Sent  # noqa: E402
from provenance.records.publishing import Git  # noqa: E402
from tests.publish.servers import delayed, running_sshd  # noqa: E402
from tests.publish.stores import (  # noqa: E402
    KEY,
    SECRET,
    publish,
    running_moto,
    running_rclone,
    sent,
    written,
)

Opened = Callable[[], AbstractContextManager[Place | Whole]]


def site_of(folder: Path, count: int, *, changed: bool = False) -> Sent:
    """Four pictures of 70 kB for each page of 9 kB, a feed and a front page."""
    chance = random.Random(14)
    files = {"index.html": f"front {changed}", "feed.xml": f"feed {changed}"}
    for page in range((count - 2) // 5):
        is_new = changed and page == 7
        files[f"1000-{page:03d}/index.html"] = f"page {page} {is_new} " + "words of it " * 750
        for picture in range(4):
            digest = f"{page:04x}{picture:03x}{int(is_new and picture < 2)}"
            name = f"pictures/1000-{page:03d}-{picture}-{digest}.avif"
            files[name] = digest + chance.randbytes(35_000).hex()
    return sent(folder, files)


def times(what: str, opened: Opened, home: Path, count: int) -> None:
    """Measure one way and tell it."""
    whole, next_one = site_of(home / "whole", count), site_of(home / "next", count, changed=True)
    told = []
    for site in (whole, whole, next_one):
        begun = time.perf_counter()
        with opened() as place:
            publish(place, site)
        told.append(time.perf_counter() - begun)
    names = ("whole", "unchanged", "one piece")
    size = sum(held.size for held in whole.files.values()) / 1e6
    said = ", ".join(f"{name} {took:.1f} s" for name, took in zip(names, told, strict=True))
    print(f"{what}, {len(whole.files)} files, {size:.1f} MB: {said}", flush=True)


def bench(home: Path, count: int, late: float) -> None:
    """The two stores, then the branch."""
    os.environ |= {"AWS_ACCESS_KEY_ID": KEY, "AWS_SECRET_ACCESS_KEY": SECRET,
                   "XDG_CACHE_HOME": str(home / "cache")}  # fmt: skip
    for running in (running_moto, running_rclone):
        place = home / running.__name__
        place.mkdir()
        with running(place) as store, delayed(store.port, late) as port:
            if running is running_moto:
                store.client().create_bucket(Bucket="brackenfold")
            where = store.settings("brackenfold", "www", port)
            times(f"S3 ({running.__name__[8:]})", lambda w=where: s3_place(w), place, count)  # type: ignore[misc]
    place = home / "git"
    place.mkdir()
    with running_sshd(place) as sshd, delayed(sshd.port, late) as port:
        subprocess.run(["git", "init", "-q", "--bare", str(sshd.folder / "site.git")], check=True)
        said = ("StrictHostKeyChecking=yes", f"UserKnownHostsFile={place / 'known'}")
        line = sshd.known_hosts.read_text().replace(f":{sshd.port} ", f":{port} ")
        (place / "known").write_text(line)
        words = ["ssh", "-F", "none", "-i", str(sshd.key), *(f"-o{each}" for each in said)]
        os.environ["GIT_SSH_COMMAND"] = shlex.join(words)
        remote = f"ssh://{sshd.user}@127.0.0.1:{port}{sshd.folder}/site.git"
        git = Git(remote=written(remote, 2), branch=written("pages", 3))
        times("git", lambda: git_place(git), place, count)


if __name__ == "__main__":
    with tempfile.TemporaryDirectory() as folder:
        number = [int(word) for word in sys.argv[1:]]
        bench(
            Path(folder), *(number[:1] or [370]), *([each / 1000 for each in number[1:]] or [0.05])
        )
