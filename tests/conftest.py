"""What many tests share: the demo studio copied aside, and its site built once for all workers."""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import pytest
from hypothesis import HealthCheck, settings

from provenance.lock import lock
from provenance.press.pdf.ready import get_ready
from tests.in_chromium import chromium

ROOT = Path(__file__).parent.parent
_NOT_PAPERS = shutil.ignore_patterns("papers", ".printed", "printed.yaml", "certificates")
# The same examples in every run, however slow the machine: a suite that fails by chance is none.
# `pytest --hypothesis-profile hunt tests/records` looks for new ones.
_SLOW = [HealthCheck.too_slow]
settings.register_profile("suite", derandomize=True, deadline=None, suppress_health_check=_SLOW)
settings.register_profile("hunt", max_examples=2000, deadline=None, suppress_health_check=_SLOW)
settings.load_profile("suite")
DEMO_DAY = "1795608000"  # 2026-11-25
# What signs the demo: the key that the W3C publishes for trying (tests/truth/seal/).
DEMO_KEY = "z3u2en7t5LR2WtQH5PfFqMqwVHBeXouLzo6haApm8XHqvjxq"
Once = Callable[[str, Callable[[Path], None]], Path]


@pytest.fixture(scope="session")
def shared_folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """One folder for all workers of this run."""
    base = tmp_path_factory.getbasetemp()
    return base.parent if os.environ.get("PYTEST_XDIST_WORKER") else base


@pytest.fixture(scope="session")
def once(shared_folder: Path) -> Once:
    """`once(name, make)`: a folder that the first worker to ask fills, and all others read."""

    def made(name: str, make: Callable[[Path], None]) -> Path:
        folder, done = shared_folder / name, shared_folder / f"{name} is made"
        with lock(shared_folder / "turns" / name, name, wait=600.0):
            if not done.exists():
                shutil.rmtree(folder, ignore_errors=True)
                folder.mkdir()
                make(folder)
                done.touch()
        return folder

    return made


@pytest.fixture(scope="session", autouse=True)
def cache(shared_folder: Path) -> Iterator[Path]:
    """One cache for all that tests make, beside the maker's own: letters are cut once."""
    folder = shared_folder / "cache"
    with pytest.MonkeyPatch.context() as patch:
        patch.setenv("XDG_CACHE_HOME", str(folder))
        patch.setenv("XDG_CONFIG_HOME", str(shared_folder / "config"))
        patch.setenv("PROVENANCE_KEY", DEMO_KEY)
        yield folder


@pytest.fixture(scope="session")
def kept_cache(once: Once, cache: Path) -> Path:
    """The same, with the site's letters in it: for studios that are built."""

    def cut(_: Path) -> None:
        from provenance.build.letters import site_letters

        site_letters()

    once("letters", cut)
    get_ready()  # else every build's workers would load the same libraries anew
    return cache


@pytest.fixture(scope="session")
def demo_site(once: Once, kept_cache: Path) -> Path:
    """The demo studio's site, built by the command as a maker would; its records beside it."""

    def build(home: Path) -> None:
        shutil.copytree(ROOT / "pieces", home / "pieces", ignore=_NOT_PAPERS)
        (home / "pieces" / "studio" / "printed.yaml").unlink(missing_ok=True)
        words = ("--studio", str(home / "pieces"), "build")
        said = run_provenance(home, *words, cache=kept_cache)
        assert said.returncode == 0, said.stdout + said.stderr
        (home / "said").write_text(said.stdout)

    return once("demo-studio", build) / "site"


@pytest.fixture(scope="module")
def browser() -> Iterator[Any]:
    """Chromium, open for the tests of one module."""
    with chromium() as opened:
        yield opened


def run_provenance(
    home: Path, *words: str, cache: Path | None = None, **env: str
) -> subprocess.CompletedProcess[str]:
    """A command as a process of its own, on the demo's day, with its own cache unless given one."""
    kept = str(cache or home / "cache")
    env = {**os.environ, "SOURCE_DATE_EPOCH": DEMO_DAY, "XDG_CACHE_HOME": kept, **env}
    return subprocess.run(
        [sys.executable, "-m", "provenance.commands.main", *words],
        capture_output=True,
        text=True,
        env=env,
        cwd=home,
        check=False,
    )


@pytest.fixture(scope="session")
def provenance() -> Callable[..., subprocess.CompletedProcess[str]]:
    """`provenance(home, word, ...)`: a command as a process, as a maker calls it."""
    return run_provenance


@pytest.fixture
def write_studio(tmp_path: Path) -> Callable[[dict[str, str]], Path]:
    """Writes a studio from name -> text; a plain studio file is added when none is given."""
    return lambda files: _written(tmp_path / "pieces", files)


@pytest.fixture(scope="session")
def write_studio_in() -> Callable[[Path, dict[str, str]], Path]:
    """The same in a folder of one's own, for studios that several tests read."""
    return _written


def _written(folder: Path, files: dict[str, str]) -> Path:
    texts = {"studio/studio.yaml": "studio: Test\nmaker: Ann Tester\n", **files}
    for name, text in texts.items():
        path = folder / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(text, encoding="utf-8")
    return folder
