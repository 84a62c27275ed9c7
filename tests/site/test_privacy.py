"""A unique word in every private field, searched for in every public byte and metadata."""

from __future__ import annotations

import io
import re
import subprocess
import zlib
from collections.abc import Callable
from pathlib import Path

import pytest
from PIL import Image

Command = Callable[..., subprocess.CompletedProcess[str]]
Once = Callable[[str, Callable[[Path], None]], Path]

CANARY = "XQZWVKJ"

STUDIO = f"""
studio: Test Studio
maker: Ann Tester
place: Nowhere
site: https://test.example
contact: {{email: open@test.example, phone: "{CANARY}PHONE", post: "{CANARY}POST"}}
public contact: [email]
labels for: [UK]
pay: {{any: 31.41, weaving: 27.18}}
overhead: 13.37 %
profit: 10 %
heat: 0.77 per hour
"""
FLEECE = f"""
grey-2025:
  breed: Gotland
  from: "{CANARY}FARM, {CANARY}ADDRESS, Far Dale"
  address: {CANARY}ADDRESS2
  weight: 3 kg
  cost: 66.61
  notes: {CANARY}FLEECENOTE
  kept: {CANARY}FLEECEKEPT
"""
DYES = f"""
weld:
  species: Reseda luteola
  got: "grown, {CANARY}GOT"
  from: {CANARY}DYEFROM
  weight: 500 g
  cost: 12.34
  notes: {CANARY}DYENOTE
  permit: {CANARY}PERMIT
"""
YARNS = f"""
grey:
  fleece: {{grey-2025: 1 kg}}
  weight: 500 g
  notes: {CANARY}YARNNOTE
warp:
  fibre: linen
  from: "{CANARY}MILL"
  weight: 1 kg
  cost: 41.14
"""
OUTLETS = f"""
shop:
  kind: gallery
  place: Harbour
  address: {CANARY}OUTLETADDRESS
  commission: 45 %
  terms: {{payment: "{CANARY}TERMS"}}
  contact: {{post: "{CANARY}OUTLETPOST", email: "{CANARY}@shop.example"}}
  fees: {{table: 61.61}}
  notes: {CANARY}OUTLETNOTE
"""
BATH = f"""
dyed: [{{yarn: grey, weight: 300 g, becomes: gold, colour: "#b09020"}}]
steps: [{{dyes: {{weld: 50 %}}, notes: {CANARY}STEPNOTE}}]
notes: {CANARY}BATHNOTE
kept: {CANARY}BATHKEPT
"""
PIECE = f"""
number: 2026-001
title: Open title
kind: hanging
structure: plain weave
finished: 2026-05-01
size: 50 x 40 cm
yarns:
  - {{use: weft, lot: gold, weight: 200 g, notes: {CANARY}USENOTE}}
  - {{use: warp, lot: warp, weight: 100 g}}
hours: {{weaving: 12}}
price: 450
at: shop
status: sold
sale:
  on: 2026-06-01
  price: 432.10
  to: "{CANARY}TO, Leeds"
  buyer: {{name: "{CANARY}BUYER", email: "{CANARY}@buyer.example", post: "{CANARY}BUYERPOST"}}
  notes: {CANARY}SALENOTE
history:
  - {{on: 2026-05-02, event: "Open event"}}
  - {{on: 2026-05-03, event: "{CANARY}EVENT", public: no}}
photos: [{{file: {CANARY}-home.jpg, alt: "A cloth"}}]
notes: {CANARY}NOTES
kept: {CANARY}KEPT
story: Open story.
"""
COMMISSION = f"""
number: 2026-C01
client: {{name: "{CANARY}CLIENT", email: "{CANARY}@client.example"}}
like: 2026-001
sizes: 60 x 40 cm
notes: {CANARY}WISH
"""
FIGURES = ("66.61", "31.41", "27.18", "12.34", "41.14", "432.10", "61.61", "13.37", "0.77")


@pytest.fixture(scope="session")
def built(once: Once, kept_cache: Path, provenance: Command) -> Path:
    """The studio with its canaries, built, with tag and certificate."""

    def build(home: Path) -> None:
        _write(home)
        for words in (("build",), ("certificate", "2026-001")):
            said = provenance(home, "--studio", str(home / "pieces"), *words, cache=kept_cache)
            assert said.returncode == 0, said.stdout + said.stderr

    return once("canaries", build)


def _write(home: Path) -> None:
    texts = {
        "studio/studio.yaml": STUDIO, "studio/fleece.yaml": FLEECE, "studio/dyestuffs.yaml": DYES,
        "studio/yarns.yaml": YARNS, "studio/outlets.yaml": OUTLETS, "dyebook/gold.yaml": BATH,
        "2026-001.yaml": PIECE, "commissions/2026-C01.yaml": COMMISSION,
    }  # fmt: skip
    for name, text in texts.items():
        path = home / "pieces" / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(text, encoding="utf-8")
    photos = home / "pieces" / "photos"
    photos.mkdir()
    exif = Image.Exif()
    exif[0x010E] = f"{CANARY}EXIF"
    exif[0x013B] = f"{CANARY}ARTIST"
    Image.effect_noise((900, 700), 40).convert("RGB").save(
        photos / f"{CANARY}-home.jpg", exif=exif, comment=f"{CANARY}COMMENT".encode()
    )


def bytes_of(path: Path) -> bytes:
    """A file as a searcher sees it: PDF streams inflated, picture metadata spelled out."""
    raw = path.read_bytes()
    if path.suffix == ".pdf":
        for stream in re.findall(rb"stream\r?\n(.*?)\r?\nendstream", raw, re.DOTALL):
            try:
                raw += zlib.decompress(stream)
            except zlib.error:
                continue
    if path.suffix in (".jpg", ".avif", ".webp"):
        with Image.open(io.BytesIO(raw)) as image:
            raw += repr(image.info).encode() + repr(dict(image.getexif())).encode()
    return raw


def test_no_private_word_or_figure_reaches_the_site(built: Path) -> None:
    files = [path for path in (built / "site").rglob("*") if path.is_file()]
    assert any(path.suffix == ".avif" for path in files)
    for path in files:
        found = bytes_of(path)
        assert CANARY.encode() not in found, path
        assert CANARY not in path.name
        if path.suffix in (".html", ".json", ".jsonld", ".xml", ".txt"):
            for figure in FIGURES:
                assert figure.encode() not in found, (path, figure)


def test_no_private_word_reaches_a_certificate(built: Path) -> None:
    papers = list((built / "pieces" / "papers").rglob("certificate*.pdf"))
    assert papers
    for path in papers:
        assert CANARY.encode() not in bytes_of(path), path
