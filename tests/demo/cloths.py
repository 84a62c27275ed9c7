"""Whole pieces as textures: cloth with its fringes, woven in bands and averaged down.

In: a `Piece`. Out: its `Texture`, its fringes included.
Weaving a blanket thread by thread takes a minute, so results are kept in the temporary folder
under a digest of the cloth and of the programs that wove it.
"""

import hashlib
import tempfile
from dataclasses import dataclass, fields
from pathlib import Path

import numpy as np
import relief
from fringe import fringe
from scipy.ndimage import gaussian_filter
from surfaces import Texture
from weave import Cloth, Swatch, weave

Array = np.ndarray
TOLD: dict[str, Texture] = {}  # by the number of the piece
RELIEF_GAIN = 1.06  # what `relief.lit` adds on the whole; divided out so that records stay true


@dataclass(frozen=True, slots=True)
class Piece:
    """One finished piece: number, cloth, fringe at both ends, hairiness; `told` when it is woven to
    say which yarn lies where and not to be looked at."""

    number: str
    cloth: Cloth
    fringe: str = ""  # twisted, knotted or none
    fringe_length: float = 0.0
    halo: float = 0.3
    told: bool = False

    @property
    def fine(self) -> float:
        """Texture pixels per cm: enough for a picture of the whole piece."""
        return 28.0 if self.cloth.width < 50 else 20.0 if self.cloth.width < 90 else 13.0

    @property
    def length(self) -> float:
        """Cloth and both fringes, cm."""
        return self.cloth.height + 2 * self.fringe_length


def reach(cloth: Cloth) -> float:
    """About one yarn's thickness (cm): the scale on which relief throws shade."""
    return (
        0.30 if cloth.pile else (0.09 if cloth.weft_faced else 0.55 / max(cloth.ends, cloth.picks))
    )


def part(piece: Piece, x: tuple[float, float], y: tuple[float, float], pixels: float) -> Swatch:
    """A window of the piece at full thread resolution; y = 0 where the cloth begins."""
    cloth = piece.cloth
    columns = x[0] + (np.arange(round((x[1] - x[0]) * pixels)) + 0.5) / pixels
    rows = y[0] + (np.arange(round((y[1] - y[0]) * pixels)) + 0.5) / pixels
    swatch = weave(cloth, columns, rows, pixels)
    if piece.fringe:
        swatch = with_fringe(piece, swatch, (x, y))
    return swatch


def with_fringe(piece: Piece, swatch: Swatch, window: tuple) -> Swatch:
    """Put whichever fringe falls into the window below (or above) the cloth."""
    (x0, _), (y0, y1) = window
    px = swatch.pixels
    for seed, edge, sign in ((1, piece.cloth.height, 1), (2, 0.0, -1)):
        inside = y1 > edge if sign > 0 else y0 < edge
        if not inside:
            continue
        ends = fringe(piece.cloth, piece.fringe, piece.fringe_length, px, piece.cloth.seed + seed)
        first = round(x0 * px)
        width = swatch.height.shape[1]
        for name in ("colour", "height", "cover", "sheen", "lot"):
            strip = getattr(ends, name)[::sign]
            paste(getattr(swatch, name), strip, (edge, sign), (y0, first, width), px)
    return swatch


def paste(target: Array, strip: Array, edge: tuple[float, int], at: tuple, px: float) -> None:
    """Copy fringe rows into a window whose first row is at y0 and first column at `first`."""
    y0, first, width = at
    start = edge[0] if edge[1] > 0 else edge[0] - len(strip) / px
    row = round((start - y0) * px)
    lo, hi = max(row, 0), min(row + len(strip), len(target))
    left, right = max(first, 0), min(first + width, strip.shape[1])
    if hi > lo and right > left:
        target[lo:hi, left - first : right - first] = strip[lo - row : hi - row, left:right]


def woven(piece: Piece) -> Texture:
    """The whole piece, lit and averaged down to its `fine` pixels per cm, from the cache."""
    if piece.told:
        if piece.number not in TOLD:
            TOLD[piece.number] = weave_told(piece)
        return TOLD[piece.number]
    target = piece.fine
    key = hashlib.sha256(fingerprint(piece, target).encode()).hexdigest()[:24]
    store = Path(tempfile.gettempdir()) / "cloth-cache" / f"{key}.npz"
    if store.exists():
        kept = np.load(store)
        seen = (kept[name].astype(np.float32) for name in ("colour", "cover", "shares"))
        colour, cover, shares = seen
        return Texture(colour, cover, shares=shares)
    texture = weave_whole(piece, target)
    store.parent.mkdir(exist_ok=True)
    parts = {name: getattr(texture, name) for name in ("colour", "cover", "shares")}
    np.savez(store, **{name: part.astype(np.float16) for name, part in parts.items()})
    return texture


def fingerprint(piece: Piece, target: float) -> str:
    """Everything a texture depends on: sizes, yarns, plans, design and the programs' text."""
    here = Path(__file__).parent
    names = (
        "weave",
        "yarns",
        "relief",
        "fringe",
        "cloths",
        "noise",
        *["pile"] * bool(piece.cloth.pile),
    )
    texts = [(here / f"{name}.py").read_text() for name in names]
    cloth = piece.cloth
    end, pick = np.meshgrid(
        np.arange(int(cloth.width * cloth.ends)), np.arange(int(cloth.height * cloth.picks))
    )
    design = [f(end, pick).astype(np.int8).tobytes() for f in (cloth.warp, cloth.weft)]
    drawing = hashlib.sha256(design[0] + design[1] + cloth.plan.tobytes()).hexdigest()
    plain = [
        getattr(cloth, f.name) for f in fields(cloth) if f.name not in ("warp", "weft", "plan")
    ]
    ends = (piece.number, piece.fringe, piece.fringe_length)
    return repr((texts, plain, ends, drawing, target))


def weave_whole(piece: Piece, target: float) -> Texture:
    """Weave in bands of rows with a margin, light each, average, and stack."""
    cloth = piece.cloth
    per_thread = 16.0 if cloth.pile else 4.2
    fold = max(int(np.ceil(per_thread * max(cloth.ends, cloth.picks) / target)), 1)
    pixels = target * fold
    top, bottom = -piece.fringe_length, cloth.height + piece.fringe_length
    rows = round((bottom - top) * target)
    band = max(int(6e6 / (cloth.width * pixels * fold)), 1)
    margin = int(np.ceil(1.5 * reach(cloth) * pixels / fold)) + 1
    colours, covers, shares = [], [], []
    for start in range(0, rows, band):
        stop = min(start + band, rows)
        y = top + (start - margin) / target, top + (stop + margin) / target
        swatch = part(piece, (0.0, cloth.width), y, pixels)
        picture = relief.lit(swatch, reach(cloth))
        cover = swatch.cover.astype(np.float32)
        cut = slice(margin * fold, (margin + stop - start) * fold)
        colour, kept = averaged(picture[cut], cover[cut], fold)
        colours.append(colour / RELIEF_GAIN)
        covers.append(kept)
        shares.append(shares_of(cloth, swatch.lot[cut], fold))
    return Texture(*map(np.concatenate, (colours, covers)), shares=np.concatenate(shares))


def weave_told(piece: Piece) -> Texture:
    """Which yarn lies where in the whole piece, from a few points of each thread."""
    cloth, fold = piece.cloth, 2
    pixels = 1.3 * max(cloth.ends, cloth.picks) * (2.0 if cloth.pile else 1.0)
    top, bottom = -piece.fringe_length, cloth.height + piece.fringe_length
    rows = round((bottom - top) * pixels / fold)
    band = max(int(2e6 / (cloth.width * pixels * fold)), 1)
    shares, covers = [], []
    for start in range(0, rows, band):
        y = top + start * fold / pixels, top + min(start + band, rows) * fold / pixels
        swatch = part(piece, (0.0, cloth.width), y, pixels)
        shares.append(shares_of(cloth, swatch.lot, fold).astype(np.float32))
        height, width = (size // fold for size in swatch.lot.shape)
        blocks = swatch.cover[: height * fold, : width * fold].reshape(height, fold, width, fold)
        covers.append(blocks.mean((1, 3), dtype=np.float32))
    told = np.concatenate(shares)
    return Texture(told[..., :1].repeat(3, -1), np.concatenate(covers), shares=told)


def lots_of(cloth: Cloth) -> list[str]:
    """The lots of a cloth, each once; two shades of one lot are one."""
    return list(dict.fromkeys(yarn.lot for yarn in cloth.yarns))


def shares_of(cloth: Cloth, lot: Array, fold: int) -> Array:
    """How much of each lot is seen in every block of `fold` pixels."""
    names = lots_of(cloth)
    table = np.array([names.index(yarn.lot) for yarn in cloth.yarns] + [-1], np.int8)
    seen = table[lot]
    h, w = seen.shape[0] // fold, seen.shape[1] // fold
    blocks = seen[: h * fold, : w * fold].reshape(h, fold, w, fold)
    planes = [(blocks == k).mean((1, 3), dtype=np.float32) for k in range(len(names))]
    return np.stack(planes, -1).astype(np.float16)


def averaged(picture: Array, cover: Array, fold: int) -> tuple[Array, Array]:
    """Softened, then blocks of `fold` pixels averaged, counting only pixels where there is cloth.

    Softening first keeps the regular beads from beating against the pixel grid (moire).
    """
    h, w = cover.shape[0] // fold, cover.shape[1] // fold
    soft = 0.42 * fold
    weight = gaussian_filter(cover, soft)[: h * fold, : w * fold]
    total = weight.reshape(h, fold, w, fold).mean((1, 3))
    planes = []
    for k in range(3):
        plane = gaussian_filter(picture[..., k] * cover, soft)[: h * fold, : w * fold]
        planes.append(plane.reshape(h, fold, w, fold).mean((1, 3)) / np.maximum(total, 1e-6))
    return np.stack(planes, -1).astype(np.float32), total.astype(np.float32)
