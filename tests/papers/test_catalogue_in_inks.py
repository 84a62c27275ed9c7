"""The catalogue in the inks of a press whose profile the record names."""

from __future__ import annotations

import io
from pathlib import Path
from typing import Any

import pikepdf
import pytest

from provenance.press.pdf.inks import rgb_in
from tests.papers.test_catalogue import FILES, Home, run, studio
from tests.press.made_profile import made_profile

WISH = "catalogue: {size: A5, paper: 130 g coated, printer profile: printer.icc}"


@pytest.fixture(scope="module")
def folder(write_studio_in: Any, tmp_path_factory: pytest.TempPathFactory) -> Path:
    home = studio(write_studio_in, tmp_path_factory.mktemp("inks") / "pieces")
    (home / "shows" / "press.yaml").write_text(f"title: Press\nworks: [2026-001]\n{WISH}\n")
    assert "2026-001.yaml" in FILES or any("2026-001" in text for text in FILES.values())
    return home


def test_a_file_in_inks_lies_beside_the_one_in_srgb(folder: Path) -> None:
    (folder / "printer.icc").write_bytes(made_profile())
    made = Home(folder, "--show", "press")
    assert list(made.data["files"]) == ["printer", "screen", "booklet", "printer-cmyk"]
    with pikepdf.open(io.BytesIO(made.file("printer-cmyk"))) as pdf:
        assert list(rgb_in(pdf)) == []
        (intent,) = pdf.Root.OutputIntents
        assert intent.DestOutputProfile.read_bytes() == made_profile()
        inked = [list(map(float, page.trimbox)) for page in pdf.pages]
    with pikepdf.open(io.BytesIO(made.file("printer"))) as pdf:
        assert list(rgb_in(pdf)) != []
        assert inked == [list(map(float, page.trimbox)) for page in pdf.pages]
    told = run(folder, "catalogue", "--show", "press").output
    assert "colours are in CMYK by the profile Press of the tests" in told
    assert "the heaviest coat of ink is" in told
    assert "130 g coated paper is 0.1 mm thick" in told


def test_a_profile_that_is_none_is_told(folder: Path) -> None:
    (folder / "printer.icc").write_bytes(b"no profile at all")
    told = run(folder, "catalogue", "--show", "press", code=2).output
    assert "printer.icc is no colour profile (ICC)" in told
