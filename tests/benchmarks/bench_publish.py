"""How long a site of 370 files takes to be up, and a change of one piece: SFTP and rsync, on
loopback and with 50 ms of delay a round trip.

`python -m tests.benchmarks.bench_publish [SITE]`: a site of that size is made where none is given.
Goals: 10 s for all of it, 2 s for one piece.
"""

from __future__ import annotations

import random
import shutil
import sys
import tempfile
import time
from collections.abc import Callable
from contextlib import AbstractContextManager
from pathlib import Path

from provenance.output.holding import digest, read_list
from provenance.publish.place import Place
from provenance.publish.rsync import rsync_place
from provenance.publish.sftp import sftp_place
from tests.publish.a_place import host_of, publish, write_site
from tests.publish.servers import Sshd, delayed, line_of, running_sshd

FILES, BYTES = 370, 20_700_000
DELAY = 0.05  # seconds a round trip
Open = Callable[..., AbstractContextManager[Place]]


def made_site(folder: Path) -> Path:
    """A site of the usual size: mostly pictures, of which no two are alike."""
    chance, files = random.Random(16), {"index.html": b"front"}
    for turn in range((FILES - 10) // 6):
        number = f"2026-{turn:03}"
        for size in range(5):
            files[f"pictures/{number}/{size}.avif"] = chance.randbytes(BYTES // 320)
        files[f"{number}/index.html"] = f"<p>{number}</p>".encode() * 800
    for turn in range(FILES - len(files)):
        files[f"dyes/{turn}/index.html"] = b"<p>dye</p>" * 300
    return write_site(folder, files)


def change_one(site: Path) -> None:
    """Another picture and its page, as a changed piece makes them; the lists change too."""
    known = read_list(site)
    number = next(name for name in sorted(known) if name[:1] == "2").partition("/")[0]
    picture = next(name for name in sorted(known) if name.startswith(f"pictures/{number}/"))
    (site / picture).rename(site / f"{picture}.new.avif")
    (site / f"{picture}.new.avif").write_bytes(random.Random(17).randbytes(60_000))
    for name in (f"{number}/index.html", "index.html"):
        (site / name).write_bytes((site / name).read_bytes() + b" ")
    names = [name for name in known if name != picture] + [f"{picture}.new.avif"]
    (site / ".provenance-files").write_text(
        "".join(sorted(f"{digest(site / name)}  {name}\n" for name in names)), encoding="utf-8"
    )


def measure(name: str, open_place: Open, sshd: Sshd, port: int, site: Path, aside: Path) -> None:
    """All of it, one piece, nothing."""
    there, known = aside / "there", aside / "known"
    known.write_text(line_of(sshd.known_hosts.with_name("host_key"), port))
    there.mkdir()
    shutil.copytree(site, aside / "site")
    told = []
    for change in (None, change_one, None):
        if change:
            change(aside / "site")
        began = time.monotonic()
        with open_place(host_of(sshd, there, port=port, **{"known hosts": known})) as place:
            publish(place, aside / "site")
        told.append(time.monotonic() - began)
    print(f"{name}: whole {told[0]:.1f} s, one piece {told[1]:.1f} s, nothing {told[2]:.1f} s")


def main() -> None:
    with tempfile.TemporaryDirectory() as home:
        aside = Path(home)
        site = Path(sys.argv[1]) if sys.argv[1:] else made_site(aside / "site")
        known = read_list(site)
        size = sum((site / name).stat().st_size for name in known)
        print(f"{len(known)} files, {size / 1e6:.1f} MB")
        (aside / "sshd").mkdir()
        with running_sshd(aside / "sshd") as sshd, delayed(sshd.port, DELAY / 2) as late:
            for where, port in (("loopback", sshd.port), ("50 ms", late)):
                for way, opened in (("sftp", sftp_place), ("rsync", rsync_place)):
                    own = aside / f"{way} {port}"
                    own.mkdir()
                    measure(f"{way}, {where}", opened, sshd, port, site, own)


if __name__ == "__main__":
    main()
