"""Killed at any moment and run again it ends equal; whoever reads meanwhile meets whole pages."""

from __future__ import annotations

import random
import subprocess
import sys
import threading
from pathlib import Path

from provenance.publish.sftp import sftp_place
from tests.publish.a_place import held, host_of, lacking, pages, publish, served, write_site
from tests.publish.servers import Sshd

KILLS = 20
_CHILD = """\
import sys
from pathlib import Path
from provenance.publish.sftp import sftp_place
from tests.publish.a_place import host_of, publish
from tests.publish.servers import Sshd
port, user, key, known, folder, site, last = sys.argv[1:]
sshd = Sshd(int(port), user, Path(key), Path(known), Path(folder))
def tell(done, whole):
    print(done, flush=True)
    if done >= int(last):
        sys.stdin.read()
with sftp_place(host_of(sshd, Path(folder))) as place:
    print("open", flush=True)
    publish(place, Path(site), tell)
"""


def test_killed_at_random_moments(sshd: Sshd, tmp_path: Path) -> None:
    there, chance = tmp_path / "served", random.Random(16)
    there.mkdir()
    site, met, ended = tmp_path / "site", [], threading.Event()

    def read() -> None:
        while not ended.wait(0.002):
            met.extend(lacking(there))

    visitor = threading.Thread(target=read)
    visitor.start()
    files: dict[str, bytes] = {}
    try:
        with sftp_place(host_of(sshd, there)) as place:
            for turn in range(KILLS):
                files = pages(10 - turn % 3, f"mark{turn}")
                write_site(site, files)
                _killed(sshd, there, site, chance.randrange(0, 22))
                if turn % 4 == 3:  # else killed again on top of it, with another site
                    publish(place, site)
                    assert held(there) == served(files), turn
            publish(place, site)
    finally:
        ended.set()
        visitor.join()
    assert held(there) == served(files)
    assert met == []


def _killed(sshd: Sshd, there: Path, site: Path, last: int) -> None:
    """A run that is killed when so many files are there."""
    told = (sshd.port, sshd.user, sshd.key, sshd.known_hosts, there, site, last)
    child = subprocess.Popen([sys.executable, "-c", _CHILD, *map(str, told)],
                             stdin=subprocess.PIPE, stdout=subprocess.PIPE, text=True,
                             cwd=Path(__file__).parents[2])  # fmt: skip
    assert child.stdout
    for line in child.stdout:
        if line.strip() != "open" and int(line) >= last:
            break
        if last == 0:
            break
    child.kill()
    child.wait()
    child.communicate()
