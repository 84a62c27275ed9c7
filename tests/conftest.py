"""What many tests share: the demo studio copied aside, and its site built once for all workers."""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path

import pytest
from hypothesis import HealthCheck, settings

from provenance.build.letters import site_letters
from provenance.lock import lock

ROOT = Path(__file__).parent.parent
_NOT_PAPERS = shutil.ignore_patterns("papers")
# The same examples in every run, however slow the machine: a suite that fails by chance is none.
# `pytest --hypothesis-profile hunt tests/records` looks for new ones.
_SLOW = [HealthCheck.too_slow]
settings.register_profile("suite", derandomize=True, deadline=None, suppress_health_check=_SLOW)
settings.register_profile("hunt", max_examples=2000, deadline=None, suppress_health_check=_SLOW)
settings.load_profile("suite")
DEMO_DAY = "1795608000"  # 2026-11-25


@pytest.fixture(scope="session")
def shared_folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """One folder for all workers of this run."""
    base = tmp_path_factory.getbasetemp()
    return base.parent if os.environ.get("PYTEST_XDIST_WORKER") else base


@pytest.fixture(scope="session")
def kept_cache(shared_folder: Path) -> Path:
    """One cache for every studio that tests build: letters are cut once for all workers."""
    cache = shared_folder / "kept-cache"
    with lock(cache, "letters", wait=400.0), pytest.MonkeyPatch.context() as patch:
        patch.setenv("XDG_CACHE_HOME", str(cache))
        site_letters()
    return cache


@pytest.fixture(scope="session")
def demo_site(shared_folder: Path, kept_cache: Path) -> Path:
    """The demo studio's site, built by the command as a maker would; its records beside it."""
    home = shared_folder / "demo-studio"
    with lock(shared_folder, "demo site", wait=400.0):
        if not (home / "done").exists():
            shutil.rmtree(home, ignore_errors=True)
            shutil.copytree(
                ROOT / "pieces", home / "pieces", ignore=shutil.ignore_patterns("papers")
            )
            (home / "pieces" / "studio" / "printed.yaml").unlink(missing_ok=True)
            words = ("--studio", str(home / "pieces"), "build")
            said = run_provenance(home, *words, cache=kept_cache)
            assert said.returncode == 0, said.stdout + said.stderr
            (home / "said").write_text(said.stdout)
            (home / "done").touch()
    return home / "site"


def run_provenance(
    home: Path, *words: str, cache: Path | None = None
) -> subprocess.CompletedProcess[str]:
    """A command as a process of its own, on the demo's day, with its own cache unless given one."""
    kept = str(cache or home / "cache")
    env = os.environ | {"SOURCE_DATE_EPOCH": DEMO_DAY, "XDG_CACHE_HOME": kept}
    return subprocess.run(
        [sys.executable, "-m", "provenance.commands.main", *words],
        capture_output=True,
        text=True,
        env=env,
        cwd=home,
        check=False,
    )


@pytest.fixture
def provenance() -> Callable[..., subprocess.CompletedProcess[str]]:
    """`provenance(home, word, ...)`: a command as a process, as a maker calls it."""
    return run_provenance


@pytest.fixture
def write_studio(tmp_path: Path) -> Callable[[dict[str, str]], Path]:
    """Writes a studio from name -> text; a plain studio file is added when none is given."""

    def write(files: dict[str, str]) -> Path:
        folder = tmp_path / "pieces"
        texts = {"studio/studio.yaml": "studio: Test\nmaker: Ann Tester\n", **files}
        for name, text in texts.items():
            path = folder / name
            path.parent.mkdir(parents=True, exist_ok=True)
            path.write_text(text, encoding="utf-8")
        return folder

    return write
