"""Sizes made one from the other, files encoded once: what it must not cost."""

from __future__ import annotations

import io
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from PIL import Image

from provenance.press.pictures import ladder
from provenance.press.pictures.credit import Credit
from provenance.press.pictures.photos import open_photo, renditions

DEMO = Path(__file__).parents[2] / "pieces" / "photos"
CREDIT = Credit("Isla Wren", "© 2026 Isla Wren")

QUALITIES = {"avif": [q for q, _ in ladder._AVIF], "jpeg": [q for q, _ in ladder._JPEG]}


@dataclass
class File:
    """One that was encoded, of what and how."""

    image: Image.Image
    kind: str
    settings: dict[str, Any]
    weight: int


@pytest.fixture
def files(monkeypatch: pytest.MonkeyPatch) -> list[File]:
    """Every file that is encoded."""
    found: list[File] = []
    save = ladder.saved

    def saved(image: Image.Image, kind: str, **settings: Any) -> bytes:
        content = save(image, kind, **settings)
        if "xmp" in settings:  # not a few rows, to foretell what a file will weigh
            found.append(File(image, kind.lower(), settings, len(content)))
        return content

    monkeypatch.setattr(ladder, "saved", saved)
    return found


def noise_of(size: tuple[int, int], spread: float) -> Image.Image:
    """The same noise in every run."""
    grey = np.random.default_rng(7).normal(128, spread, size[::-1])
    return Image.fromarray(grey.clip(0, 255).astype(np.uint8))


def threads(folder: Path, kind: str, width: int) -> Path:
    """A photo with threads to be seen."""
    size = (width, width * 3 // 4)
    with Image.open(DEMO / "2026-014-detail.jpg") as image:
        image = image.convert("RGB").resize(size, Image.Resampling.BICUBIC)
    noise = noise_of(size, 24)
    image = Image.merge("RGB", [Image.blend(band, noise, 0.2) for band in image.split()])
    path = folder / f"a.{kind}"
    image.save(path, **({"quality": 92} if kind == "jpg" else {"compress_level": 1}))
    return path


def off(one: Image.Image, other: Image.Image) -> Any:
    return np.abs(np.asarray(one, np.int16) - np.asarray(other, np.int16))


def sharpness(image: Image.Image) -> float:
    """How much pixels differ from their neighbours."""
    rows = np.asarray(image.convert("L"), np.int16)
    return float(np.abs(np.diff(rows, axis=0)).mean() + np.abs(np.diff(rows, axis=1)).mean())


# Decoded at a half, and whole.
@pytest.mark.parametrize(("kind", "width"), [("jpg", 3300), ("png", 2000)])
def test_no_eye_tells_the_ladder_from_a_direct_resize(tmp_path, files, kind, width):
    """Held against Pillow's own LANCZOS from the whole photo: what the ladder takes away is less
    than what the JPEG made of it then takes, and it is as sharp."""
    path = threads(tmp_path, kind, width)
    made = renditions(open_photo(tmp_path, path.name), CREDIT, formats=("jpeg",))
    assert [each.width for each in made] == [480, 960, 1600]
    with Image.open(path) as whole:
        for each in list(files):
            direct = whole.resize(each.image.size, Image.Resampling.LANCZOS)
            taken = off(each.image, direct)
            packed = Image.open(io.BytesIO(ladder.saved(direct, "JPEG", quality=80)))
            assert taken.mean() < off(packed, direct).mean()
            assert taken.mean() < 2 and np.percentile(taken, 99.9) < 14
            assert sharpness(each.image) == pytest.approx(sharpness(direct), rel=0.1)


def test_a_photo_is_read_once(tmp_path, monkeypatch):
    path = threads(tmp_path, "jpg", 1600)
    reads: list[Path] = []
    read = Path.read_bytes
    monkeypatch.setattr(Path, "read_bytes", lambda each: reads.append(each) or read(each))
    renditions(open_photo(tmp_path, "a.jpg"), CREDIT)
    assert reads == [path]


def test_each_file_is_encoded_once(files):
    renditions(open_photo(DEMO, "2026-014-whole.jpg"), CREDIT)
    made = [(file.image.width, file.kind) for file in files]
    assert len(made) == len(set(made)) == 6


def last(files: list[File], width: int, kind: str) -> File:
    return [file for file in files if (file.image.width, file.kind) == (width, kind)][-1]


def test_the_quality_is_the_best_that_fits(tmp_path, files):
    """The next better one would be too heavy, or nearly: what a photo weighs is foretold within a
    fifth."""
    photo = open_photo(tmp_path, threads(tmp_path, "png", 1600).name)
    lowered = 0
    for one in renditions(photo, CREDIT):
        most = next(most for width, most in ladder._MOST_BYTES if one.width <= width)
        file = last(files, one.width, one.format)
        assert len(one.content) == file.weight <= most
        better = [q for q in QUALITIES[one.format] if q > file.settings["quality"]]
        if better:
            lowered += 1
            settings = {**file.settings, "quality": better[-1]}
            assert len(ladder.saved(file.image, one.format.upper(), **settings)) > most * 0.8
    assert lowered


def test_noise_keeps_within_its_bytes_or_is_as_low_as_it_goes(tmp_path, files):
    noise_of((1000, 1400), 120).convert("RGB").save(tmp_path / "a.jpg", quality=92)
    made = renditions(open_photo(tmp_path, "a.jpg"), CREDIT)
    for one in made:
        most = next(most for width, most in ladder._MOST_BYTES if one.width <= width)
        quality = last(files, one.width, one.format).settings["quality"]
        assert len(one.content) <= most or quality == QUALITIES[one.format][-1]
    assert len(files) <= 12
