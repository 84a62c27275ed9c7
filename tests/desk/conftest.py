"""What tests of the desk's hands share: a small studio, the hands on it, and the same at a
terminal."""

from __future__ import annotations

import base64
import io
from collections.abc import Callable, Mapping
from datetime import date
from pathlib import Path
from typing import Any

import pytest
from PIL import Image

from provenance.build.opening import open_studio
from provenance.desk.hands import Hands
from provenance.language.phrases import british
from provenance.public.border import Border
from tests.deeds.conftest import DAY, FILES

TODAY = date(2026, 11, 25)
COMMISSION = """\
number: 2026-C01
client: {name: Petra}
asked: 2026-11-20
kind: shawl
sizes: [180 x 60 cm]
sett: {ends: 6 per cm, picks: 6 per cm}
yarn: {warp: grey-2ply, weft: grey-2ply}
status: quoted     # by post
"""
SMALL: Mapping[str, str] = {
    **FILES,
    "studio/yarns.yaml": FILES["studio/yarns.yaml"].replace(
        "weight: 2 kg", "weight: 2 kg, length: 8 km"
    ),
    "commissions/2026-C01.yaml": COMMISSION,
}


@pytest.fixture
def folder(
    write_studio: Callable[[dict[str, str]], Path], monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> Path:
    monkeypatch.setenv("SOURCE_DATE_EPOCH", DAY)
    monkeypatch.chdir(tmp_path)
    return write_studio(dict(SMALL))


def hands_on(folder: Path, *, only_look: bool = False) -> Hands:
    def ask(work: Callable[[Border], Any]) -> Any:
        return work(Border(open_studio(folder, TODAY)))

    return Hands(folder, lambda: TODAY, ask, only_look=only_look)


@pytest.fixture
def hands(folder: Path) -> Hands:
    return hands_on(folder)


def all_of(folder: Path) -> dict[str, bytes]:
    """Every record as it is now, the journal with it."""
    files = (path for path in folder.rglob("*") if path.is_file() and path.suffix == ".yaml")
    return {path.relative_to(folder).as_posix(): path.read_bytes() for path in sorted(files)}


def told(slip: Any) -> tuple[str, str]:
    return british().tell(slip.what), british().tell(slip.remedy)


def picture(kind: str = "JPEG", *, turn: int = 0, gps: bool = False, colour: int = 90) -> bytes:
    exif = Image.Exif()
    if turn:
        exif[0x0112] = turn
    if gps:
        exif.get_ifd(0x8825).update({1: "N", 2: (54.0, 12.0, 30.0)})
    file = io.BytesIO()
    Image.new("RGB", (64, 40), (colour, 60, 40)).save(file, kind, exif=exif.tobytes())
    return file.getvalue()


def sent(data: bytes) -> str:
    return base64.b64encode(data).decode()
