"""What tests of deeds share: a small studio by the sea of heather, and the commands as a maker
calls them."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from provenance.commands.main import main

DAY = "1795608000"  # 2026-11-25
STUDIO = """\
studio: Brackenfold
maker: Isla Wren
site: https://brackenfold.example
pay: {any: 18.00}
prices: {round up to: 5}
"""
OUTLETS = """\
studio: {kind: studio, card fee: 1.75 %}
dale-fair: {kind: fair, dates: 2026-11-21 to 2026-11-22, card fee: 1.75 %}
harbour-gallery: {kind: gallery, commission: 45 %}
"""
YARNS = """\
grey-2ply: {fibre: wool, weight: 2 kg, cost: 80.00}
black-2ply:
  fibre: wool
  weight: 500 g      # two skeins
  cost: 30.00
"""
BLOCK = """\
number: 2026-001
title: Ebb
kind: scarf
size: 180 x 28 cm
finished: 2026-10-01
yarns: [{use: weft, lot: grey-2ply, weight: 190 g}]
hours: {weaving: 6}
price: 480        # settled with the gallery
at: dale-fair
status: available
"""
FLOW = (
    "{number: 2026-002, title: Fret, kind: scarf, size: 180 x 28 cm, finished: 2026-10-02, "
    "yarns: [{use: weft, lot: grey-2ply, weight: 210 g}], hours: {weaving: 7}, price: 300, "
    "at: dale-fair}\n"
)
BARE = """\
number: 2026-003
title: Hoar
kind: scarf
size: 180 x 28 cm
yarns: [{use: weft, lot: black-2ply, weight: 200 g}]
hours: {weaving: 6}
"""
FILES = {
    "studio/studio.yaml": STUDIO,
    "studio/outlets.yaml": OUTLETS,
    "studio/yarns.yaml": YARNS,
    "2026-001-ebb.yaml": BLOCK,
    "2026-002-fret.yaml": FLOW,
    "2026-003-hoar.yaml": BARE,
}
Say = Callable[..., Result]


@pytest.fixture
def folder(
    write_studio: Callable[[dict[str, str]], Path], monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> Path:
    monkeypatch.setenv("SOURCE_DATE_EPOCH", DAY)
    monkeypatch.chdir(tmp_path)
    return write_studio(FILES)


@pytest.fixture
def say(folder: Path) -> Say:
    """`say("sell", ...)`: a command as a maker gives it, written unasked unless told otherwise."""

    def said(*words: str, yes: bool = True, code: int = 0) -> Result:
        asked = ("--yes",) if yes else ()
        result = CliRunner().invoke(
            main, ["--studio", str(folder), *words, *asked], catch_exceptions=False
        )
        assert result.exit_code == code, result.output
        return result

    return said


@pytest.fixture
def here(folder: Path) -> Callable[[], Mapping[str, bytes]]:
    """Every record as it is now, by name; what the program keeps for itself is left out."""

    def read() -> Mapping[str, bytes]:
        kept = {path: path.relative_to(folder).as_posix() for path in folder.rglob("*.yaml")}
        return {name: path.read_bytes() for path, name in sorted(kept.items())
                if name != "studio/deeds.yaml"}  # fmt: skip

    return read


def text_of(folder: Path, name: str) -> str:
    return (folder / name).read_bytes().decode()
