"""The editor that is shipped is what its source gives; it is light and keeps its licence."""

from __future__ import annotations

import shutil
import subprocess
from pathlib import Path

import pytest

from tests.conftest import ROOT

SOURCE = ROOT / "templates" / "desk" / "editor-src"
SHIPPED = ROOT / "templates" / "desk" / "editor.js"


def test_it_is_light_and_says_whose_it_is() -> None:
    text = SHIPPED.read_text(encoding="utf-8")
    assert len(text.encode()) <= 400_000
    assert text.startswith("/*\n" + (SOURCE / "LICENCE.txt").read_text(encoding="utf-8").rstrip())


def test_its_source_gives_it_again(tmp_path: Path) -> None:
    """Without network: with the libraries that lie beside the source, or nothing is said."""
    if not shutil.which("node"):
        pytest.skip("needs node")
    if not (SOURCE / "node_modules").is_dir():
        pytest.skip("needs its libraries: npm ci in templates/desk/editor-src")
    made = tmp_path / "editor.js"
    subprocess.run(["node", SOURCE / "build.mjs", made], check=True)
    assert made.read_bytes() == SHIPPED.read_bytes()
