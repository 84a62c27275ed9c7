"""`publish`: from records and a built site to a folder, with what it refuses before."""

from __future__ import annotations

import contextlib
import json
import shutil
import subprocess
from pathlib import Path

from click.testing import CliRunner

from provenance.commands.main import main
from tests.conftest import DEMO_DAY


def test_a_site_is_published(kept_cache: Path, tmp_path: Path) -> None:
    """A small studio of its own: nothing said, nothing built, told, sent, changed and not built."""
    home, there = tmp_path, tmp_path / "there"
    studio = home / "pieces" / "studio"
    studio.mkdir(parents=True)
    (studio / "studio.yaml").write_text("studio: Brackenfold\nmaker: Isla Wren\n")

    def run(*words: str) -> subprocess.CompletedProcess[str]:
        env = {"SOURCE_DATE_EPOCH": DEMO_DAY, "XDG_CACHE_HOME": str(kept_cache)}
        with contextlib.chdir(home):
            said = CliRunner().invoke(main, list(words), env=env, catch_exceptions=False)
        return subprocess.CompletedProcess(words, said.exit_code, said.stdout, said.stderr)

    said = run("publish")
    assert said.returncode == 1 and "nothing says where the site goes" in said.stderr
    (studio / "publish.yaml").write_text("folder: ../there\n")
    said = run("publish")
    assert said.returncode == 1 and "there is no built site in" in said.stderr
    assert run("build").returncode == 0
    said = run("publish", "--yes")
    assert said.returncode == 1 and "there is no folder" in said.stderr and not there.exists()
    there.mkdir()
    told = json.loads(run("publish", "--only-tell", "--json").stdout)
    assert set(told) == {"to", "new", "changed", "gone"} and told["to"] == "../there"
    assert "index.html" in told["new"] and ".studio" not in told["new"]
    assert list(there.iterdir()) == []
    said = run("publish")
    assert said.returncode == 2 and list(there.iterdir()) == []
    said = run("publish", "--yes")
    assert said.returncode == 0, said.stderr
    assert (there / "index.html").read_bytes() == (home / "site" / "index.html").read_bytes()
    assert "The place holds the site already" in run("publish", "--yes").stdout
    (studio / "studio.yaml").write_text("studio: Brackenfold\nmaker: Isla Wren\nplace: Eskrigg\n")
    said = run("publish", "--yes")
    assert said.returncode == 1 and "not built from these records as they are now" in said.stderr
    shutil.rmtree(there)
