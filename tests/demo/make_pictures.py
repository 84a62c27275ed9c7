"""Make the demo studio's pictures: `python tests/demo/make_pictures.py [NUMBER ...] [--draft]`.

In: the records in pieces/ (yarn colours) and the designs here. Out: pieces/photos/NUMBER-VIEW.jpg
and beside the tests truth/NUMBER-VIEW.png, which yarn lies where; with --truth that alone. A number
may carry a view (`2026-014-room`). The same records give the same pictures.
"""

import io
import sys
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import details
import hangings
import lengths
import materials
import rooms
import wholes
from cloths import Piece, lots_of
from details import Window
from lots import RECORDS, written_out
from photograph import finish, photograph
from PIL import Image
from PIL.PngImagePlugin import PngInfo
from surfaces import Drape
from truth import truth
from wholes import Shot

PHOTOS = RECORDS / "photos"
TRUTH = Path(__file__).parent / "truth"
LIMIT = 235_000  # bytes

Make = Callable[[Piece], Shot]

PIECES: dict[str, Callable[[], Piece]] = {
    "2025-019": hangings.ebb,
    "2025-021": hangings.fold_wall,
    "2025-023": lengths.haws,
    "2025-024": lengths.frost_ruts,
    "2026-001": lengths.intake,
    "2026-002": lengths.charm,
    "2026-003": hangings.gathering,
    "2026-006": hangings.peat_hag,
    "2026-007": lengths.heft,
    "2026-008": lambda: lengths.cobbles(written_out("2026-008", 1, "gotland-2ply")),
    "2026-009": lengths.first_cut,
    "2026-010": lengths.fret,
    "2026-012": hangings.lambing_snow,
    "2026-013": lengths.owl_light,
    "2026-014": hangings.saltmarsh,
    "2026-015": lengths.eleven_pots,
}

SCARF = Drape(gather=0.62, open=0.5, folds=1.7, front=0.53, radius=1.5, swing=1.2)
SHAWL = Drape(gather=0.75, open=0.5, folds=2.6, front=0.76, radius=1.5)
BLANKET = Drape(gather=0.26, open=0.40, folds=2.6, front=0.52, radius=2.0, step=0.8)

WHOLE: dict[str, Make] = {
    "2025-019": wholes.on_wall,
    "2025-021": wholes.from_above,
    "2025-023": lambda piece: wholes.scarf(piece, SCARF),
    "2025-024": lambda piece: wholes.pegged(piece, replace(SCARF, gather=1.15, front=0.56)),
    "2026-001": lambda piece: wholes.over_pole(piece, BLANKET),
    "2026-002": lambda piece: wholes.scarf(piece, replace(SCARF, folds=1.1, swing=-1.4)),
    "2026-003": wholes.from_above,
    "2026-006": wholes.on_wall,
    "2026-007": lambda piece: wholes.from_above(piece, 0.9),
    "2026-008": wholes.on_bench,
    "2026-009": lambda piece: wholes.over_pole(piece, replace(BLANKET, folds=1.9)),
    "2026-010": lambda piece: wholes.scarf(piece, SHAWL),
    "2026-012": wholes.on_wall,
    "2026-013": lambda piece: wholes.scarf(piece, replace(SHAWL, front=0.44, folds=2.0)),
    "2026-014": wholes.on_wall,
    "2026-015": lambda piece: wholes.on_wall(piece, 0.6),
}

ROOM: dict[str, Make] = {
    "2025-019": rooms.ebb,
    "2025-021": rooms.fold_wall,
    "2026-001": rooms.intake,
    "2026-003": rooms.gathering,
    "2026-006": rooms.peat_hag,
    "2026-007": rooms.heft,
    "2026-009": rooms.first_cut,
    "2026-012": rooms.lambing_snow,
    "2026-014": rooms.saltmarsh,
}

DETAIL: dict[str, Window] = {
    "2025-019": Window(30, 23, 9.5),
    "2025-021": Window(81, 14, 17, turn=-8),
    "2025-023": Window(15, 9.5, 7.5, turn=-9),
    "2025-024": Window(14, 24.5, 9.0, turn=7),
    "2026-001": Window(11.5, 11.5, 11.5, turn=-5),
    "2026-002": Window(14, 9.0, 8.0, turn=8),
    "2026-003": Window(25, 37, 22, turn=-4),
    "2026-006": Window(52, 23.6, 9.5, turn=-5),
    "2026-007": Window(55, 31.5, 10.0, turn=6),
    "2026-008": Window(20, 20, 9.5, turn=-7),
    "2026-009": Window(50, 30.2, 8.5, turn=6),
    "2026-010": Window(30, 86.5, 8.5, turn=-6),
    "2026-012": Window(60.5, 82.0, 10.5, turn=-4),
    "2026-013": Window(30, 20, 8.0, turn=7),
    "2026-014": Window(40, 45.5, 11.5, turn=-5),
    "2026-015": Window(22, 31.5, 12.0, turn=7),
}


def shot(number: str, view: str, told: bool = False) -> Shot:
    """One picture set up: `whole`, `detail` or `room`."""
    piece = replace(PIECES[number](), told=told)
    if view == "whole":
        return WHOLE[number](piece)
    if view == "room":
        return ROOM[number](piece)
    return details.close_up(piece, DETAIL[number])


def take(ready: Shot, number: str, view: str, draft: bool) -> Image.Image:
    """Photograph and develop one picture."""
    camera = ready.camera
    if draft:
        small = camera.pixels[0] // 2, camera.pixels[1] // 2
        camera = replace(camera, pixels=small, blur=camera.blur / 2)
    fine = 1.5 if view == "detail" else 2.0
    picture = photograph(ready.surfaces, ready.room, camera, fine)
    seed = int(number.replace("-", "")) + len(view)
    return Image.fromarray(finish(picture, seed, 0.0 if view == "detail" else 0.7))


def squeezed(picture: Image.Image) -> bytes:
    """JPEG bytes at the best quality that stays under the limit."""
    for quality in range(90, 50, -2):
        buffer = io.BytesIO()
        picture.save(buffer, "JPEG", quality=quality, optimize=True, progressive=True)
        if buffer.tell() <= LIMIT:
            break
    return buffer.getvalue()


def wanted(names: list[str]) -> list[tuple[str, str]]:
    """(number, view) of the pictures asked for; all of them when nothing is named."""
    every = [
        (n, v) for n in PIECES for v in ("whole", "detail", "room") if v != "room" or n in ROOM
    ]
    if not names:
        return every
    return [(n, v) for n, v in every if n in names or v in names or f"{n}-{v}" in names]


def main() -> None:
    """Make the pictures named on the command line."""
    draft, only_truth = "--draft" in sys.argv, "--truth" in sys.argv
    folder = Path(sys.argv[sys.argv.index("--to") + 1]) if "--to" in sys.argv else PHOTOS
    folder.mkdir(parents=True, exist_ok=True)
    TRUTH.mkdir(exist_ok=True)
    materials.grain_kept = 0.1 if only_truth else 1.0
    for number, view in wanted([a for a in sys.argv[1:] if a[0] != "-" and a != str(folder)]):
        lots = PngInfo()
        lots.add_text("lots", " ".join(lots_of(PIECES[number]().cloth)))
        truth(shot(number, view, told=True)).save(
            TRUTH / f"{number}-{view}.png", optimize=True, pnginfo=lots
        )
        if only_truth:
            print(f"{number}-{view}.png", flush=True)
            continue
        data = squeezed(take(shot(number, view), number, view, draft))
        (folder / f"{number}-{view}.jpg").write_bytes(data)
        print(f"{number}-{view}.jpg {len(data) // 1000} kB", flush=True)


if __name__ == "__main__":
    main()
