"""A studio small enough to be built a thousand times: four pieces, two photos, two outlets.

In: an empty folder. Out: `home/pieces` with records that have no mistake, and a table to be brought
in. `edit` is an evening's work on them, so that a build and a printing have something to do.
"""

from __future__ import annotations

from pathlib import Path

from PIL import Image

STUDIO = """\
studio: Brackenfold
maker: Isla Wren
site: https://brackenfold.example
contact: {email: isla@brackenfold.example}
public contact: [email]
pay: {any: 18.00}
prices: {round up to: 5}
labels for: [UK]
"""
OUTLETS = """\
studio: {kind: studio, card fee: 1.75 %}
dale-fair: {kind: fair, dates: 2026-11-28 to 2026-11-29, card fee: 1.75 %}
harbour-gallery: {kind: gallery, commission: 45 %}
"""
YARNS = """\
grey-2ply: {fibre: wool, from: "a mill in Eskrigg Dale", weight: 3 kg, cost: 120.00}
black-2ply:
  fibre: wool
  weight: 900 g      # three skeins
  cost: 40.00
"""
PIECE = """\
number: {number}
title: {title}
kind: scarf
structure: plain weave
size: 180 x 28 cm
finished: 2026-10-0{day}
yarns:
  - {{use: warp, lot: grey-2ply, weight: 90 g}}
  - {{use: weft, lot: black-2ply, weight: 100 g}}
hours: {{weaving: 6, finishing: 1}}
price: {price}
at: {at}
status: available
{photos}"""
COMMISSION = """\
number: 2026-C01
client: {name: Ada Fellgate, email: ada@fellgate.example, post: "3 Larch Row, Thornbeck"}
asked: 2026-11-10
title: Grey for the stair
like: 2026-001
sizes: [180 x 28 cm, 200 x 30 cm]
yarn: {warp: grey-2ply, weft: black-2ply}
offer: [420, 460]
pay in: thirds
valid: 30 days
"""
TABLE = """\
Number,Title,Kind,Finished,Size,Price
2025-001,Rime,scarf,2025-10-03,180 x 28 cm,280
2025-002,Sleet,scarf,2025-11-14,180 x 28 cm,300
2025-003,Thaw,scarf,2025-12-01,180 x 28 cm,310
"""
PIECES = (
    ("2026-001", "Ebb", 480, "harbour-gallery", True),
    ("2026-002", "Fret", 300, "dale-fair", True),
    ("2026-003", "Hoar", 320, "harbour-gallery", False),
)
LAST = ("2026-004", "Lamb", 340, "dale-fair", False)


def write_studio(home: Path) -> Path:
    """The records of a studio that has built nothing yet; gives their folder."""
    folder = home / "pieces"
    (folder / "photos").mkdir(parents=True)
    texts = {"studio/studio.yaml": STUDIO, "studio/outlets.yaml": OUTLETS,
             "studio/yarns.yaml": YARNS, "commissions/2026-C01.yaml": COMMISSION,
             "pages/about.md": "# About\n\nOne loom by a beck.\n"}  # fmt: skip
    for name, text in texts.items():
        path = folder / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(text)
    for each in PIECES:
        _piece(folder, *each)
    (home / "before.csv").write_text(TABLE)
    return folder


def edit(home: Path) -> None:
    """A title and a price are changed, a photo is taken, a piece is finished."""
    folder = home / "pieces"
    _change(folder / "2026-001.yaml", "title: Ebb", "title: Ebb and flow")
    _change(folder / "2026-002.yaml", "price: 300", "price: 330")
    _change(folder / "2026-003.yaml", "status: available", "status: available\n" + _photo("003"))
    _picture(folder / "photos" / "003.jpg", 3)
    _piece(folder, *LAST)


def _change(path: Path, old: str, new: str) -> None:
    text = path.read_text()
    assert text.count(old) == 1
    path.write_text(text.replace(old, new))


def _piece(folder: Path, number: str, title: str, price: int, at: str, has_photo: bool) -> None:
    day = number[-1]
    words = {"number": number, "title": title, "day": day, "price": price, "at": at}
    photos = _photo(f"00{day}") if has_photo else ""
    (folder / f"{number}.yaml").write_text(PIECE.format(photos=photos, **words))
    if has_photo:
        _picture(folder / "photos" / f"00{day}.jpg", int(day))


def _photo(name: str) -> str:
    return f'photos: [{{file: {name}.jpg, alt: "A grey scarf, folded"}}]\n'


def _picture(path: Path, turn: int) -> None:
    shades = Image.linear_gradient("L").resize((400, 300)).rotate(90 * turn)
    Image.merge("RGB", (shades, shades, shades)).save(path, quality=80)
