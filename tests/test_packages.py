"""What leaves this folder as a package: the source archive builds the demo, the wheel works alone.

The wheel is made from the unpacked archive, as an installer would make it.
"""

from __future__ import annotations

import os
import re
import shutil
import subprocess
import sys
import tarfile
import tomllib
import zipfile
from pathlib import Path

import pytest

from provenance import __version__

ROOT = Path(__file__).parent.parent
NAME = f"provenance_studio-{__version__}"
OF_THE_DEMO = ("provenance", "templates", "pieces", ".ci")
MADE = ("__pycache__", "printed.yaml", ".printed", ".provenance.lock")


def package(source: Path, target: str, into: Path) -> None:
    words = [sys.executable, "-m", "hatchling", "build", "-t", target, "-d", str(into)]
    subprocess.run(words, cwd=source, check=True, capture_output=True)


@pytest.fixture(scope="module")
def unpacked(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The source archive, unpacked."""
    folder = tmp_path_factory.mktemp("archive")
    package(ROOT, "sdist", folder)
    with tarfile.open(folder / f"{NAME}.tar.gz") as archive:
        # Debian 12 has Python 3.11.2, which has no such filter yet; the archive is our own.
        how = {"filter": "data"} if hasattr(tarfile, "data_filter") else {}
        archive.extractall(folder, **how)
    return folder / NAME


@pytest.fixture(scope="module")
def installed(unpacked: Path) -> Path:
    """The wheel, unpacked as an installer does."""
    package(unpacked, "wheel", unpacked.parent)
    folder = unpacked.parent / "installed"
    with zipfile.ZipFile(unpacked.parent / f"{NAME}-py3-none-any.whl") as wheel:
        wheel.extractall(folder)
    return folder


def names_below(folder: Path) -> set[str]:
    """Every file below a folder but what runs leave behind."""
    made = {*MADE, "papers", "certificates"} if folder.name == "pieces" else {*MADE}
    files = (path.relative_to(folder) for path in folder.rglob("*") if path.is_file())
    return {name.as_posix() for name in files if not made & set(name.parts)}


def provenance(code: Path, home: Path, *words: str) -> subprocess.CompletedProcess[str]:
    """A command of the code in that folder and of no other."""
    env = os.environ | {"PYTHONPATH": str(code), "XDG_CACHE_HOME": str(home / "cache")}
    called = [sys.executable, "-P", "-m", "provenance.commands.main", *words]
    return subprocess.run(called, cwd=home, env=env, capture_output=True, text=True, check=False)


def code_of(code: Path, home: Path) -> Path:
    env = os.environ | {"PYTHONPATH": str(code)}
    words = [sys.executable, "-P", "-c", "import provenance; print(provenance.__file__)"]
    said = subprocess.run(words, cwd=home, env=env, capture_output=True, text=True, check=True)
    return Path(said.stdout.strip())


@pytest.mark.parametrize("folder", OF_THE_DEMO)
def test_the_archive_has_all_that_the_demo_is_made_from(unpacked: Path, folder: str) -> None:
    here = names_below(ROOT / folder)
    assert here
    assert names_below(unpacked / folder) == here
    for name in here:
        assert (unpacked / folder / name).read_bytes() == (ROOT / folder / name).read_bytes()


@pytest.mark.skipif(not shutil.which("make"), reason="needs make")
@pytest.mark.parametrize("goal", ["demo", "test"])
def test_make_finds_in_the_archive_what_it_asks_for(unpacked: Path, goal: str) -> None:
    """A dry run stops at the first prerequisite that is not there."""
    words = ["make", "--dry-run", goal]
    env = {name: value for name, value in os.environ.items() if not name.startswith("MAKE")}
    said = subprocess.run(words, cwd=unpacked, env=env, capture_output=True, text=True, check=False)
    assert (said.returncode, said.stderr) == (0, "")
    assert f"sh .ci/setup {goal}" in said.stdout
    project = tomllib.loads((unpacked / "pyproject.toml").read_text(encoding="utf-8"))["project"]
    assert (unpacked / project["readme"]).is_file()
    setup = (unpacked / ".ci/setup").read_text(encoding="utf-8")
    assert re.findall(r"--constraint ([^\s']+)", setup) == [".ci/constraints.txt"] * 2


def test_the_archives_own_code_reads_the_demo(unpacked: Path, tmp_path: Path) -> None:
    assert code_of(unpacked, tmp_path) == unpacked / "provenance" / "__init__.py"
    said = provenance(unpacked, tmp_path, "--studio", str(unpacked / "pieces"), "check")
    assert said.returncode == 0, said.stdout + said.stderr
    assert "no mistakes" in said.stdout


def test_the_archive_has_nothing_of_this_machine(unpacked: Path) -> None:
    top = {path.name for path in unpacked.iterdir()}
    assert top == {
        ".ci", ".gitignore", ".readme", "DEVELOPERS.md", "LICENSE", "Makefile", "PKG-INFO",
        "README.md", "pieces", "provenance", "pyproject.toml", "site", "templates", "tests",
    }  # fmt: skip
    with tarfile.open(unpacked.with_suffix(unpacked.suffix + ".tar.gz")) as archive:
        names = {part for name in archive.getnames() for part in name.split("/")}
    assert not names & {*MADE, ".venv", ".provenance-files"}
    assert not (unpacked / "pieces" / "papers").exists()
    assert [path.name for path in (unpacked / "site").iterdir()] == ["README.md"]


def test_the_wheel_has_code_words_tables_and_templates(installed: Path) -> None:
    wanted = {f"templates/{name}" for name in names_below(ROOT / "templates")}
    wanted |= names_below(ROOT / "provenance")
    assert names_below(installed / "provenance") == wanted
    for folder in ("language", "reference/tables", "templates/site", "reference/LICENCES.md"):
        assert any(name.startswith(folder) for name in wanted), folder
    assert {path.name for path in installed.iterdir()} == {"provenance", f"{NAME}.dist-info"}


def test_the_wheel_says_what_it_is(installed: Path) -> None:
    info = installed / f"{NAME}.dist-info"
    assert "provenance = provenance.commands.main:run" in (info / "entry_points.txt").read_text()
    said = (info / "METADATA").read_text(encoding="utf-8")
    assert f"\nVersion: {__version__}\n" in said
    assert (info / "licenses" / "LICENSE").is_file()


def test_the_wheel_works_elsewhere(installed: Path, tmp_path: Path) -> None:
    assert code_of(installed, tmp_path) == installed / "provenance" / "__init__.py"
    started = provenance(installed, tmp_path, "start", "studio")
    assert started.returncode == 0, started.stderr
    checked = provenance(installed, tmp_path, "check")
    assert checked.returncode == 0, checked.stdout
    assert "no mistakes" in checked.stdout


def test_every_library_that_is_asked_for_has_a_tested_version() -> None:
    project = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))["project"]
    asked = [*project["dependencies"], *project["optional-dependencies"]["test"]]
    lines = (ROOT / ".ci" / "constraints.txt").read_text(encoding="utf-8").splitlines()
    pinned = {plain(line.partition("==")[0]) for line in lines if not line.startswith("#")}
    assert all(re.fullmatch(r"[\w.-]+==[\w.]+|#.*", line) for line in lines)
    assert {plain(re.split(r"[\[<>=]", each)[0]) for each in asked} - pinned == set()


def plain(name: str) -> str:
    """A package's name as indexes compare it."""
    return re.sub(r"[-_.]+", "-", name).lower()
