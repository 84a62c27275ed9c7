"""The weft-faced and piled pieces: hangings and rugs, where the weft draws the picture.

One function per piece; each gives the `Piece` that the pictures are made from. Sizes, setts and
lots follow the piece's record. Rows count from the top of the picture.
"""

from dataclasses import replace

import noise
import numpy as np
from cloths import Piece
from patterns import lots, mark, only
from weave import PLAIN, Cloth, Plan
from yarns import Yarn

Array = np.ndarray


def hanging(
    size: tuple[float, float], picks: float, yarns: list[Yarn], weft: Plan, seed: int
) -> Cloth:
    """A weft-faced hanging, 3 ends to the cm; its linen warp is the last yarn."""
    height, width = size
    warp = only(len(yarns) - 1)
    return Cloth(width, height, 3, picks, yarns, warp, weft, PLAIN, weft_faced=True, seed=seed)


def hatch(end: Array, pick: Array, share: Array, seed: int) -> Array:
    """Whether the coming colour is thrown at this pick: rarely at first, then nearly always."""
    order = np.array([0, 8, 4, 12, 2, 10, 6, 14, 1, 9, 5, 13, 3, 11, 7, 15])
    threshold = (order[(pick // 2) % 16] + 0.5) / 16
    return share > threshold


def ebb() -> Piece:
    """2025-019: deep water paling to foam, colour after colour in single picks."""
    yarns = lots("deep-water", "mid-water", "shallows", "foam", "linen-warp")

    def weft(end: Array, pick: Array) -> Array:
        y = pick / 14 + 0.16 * noise.sample(noise.tile(8, 8, 101), end * 1.1, pick * 0.12)
        level = np.interp(y, [0, 15, 36, 45, 63, 70, 85, 96], [0, 0, 1, 1, 2, 2, 3, 3])
        below = np.floor(level).astype(np.int32)
        lot = below + hatch(end, pick, level - below, 1)
        lot = np.where(y > 86, 3, lot)
        line = ((y > 88.6) & (y < 88.95)) | ((y > 91.4) & (y < 91.9))
        lot = np.where(line, 2, lot)
        return mark(lot, end, pick, (168, 1296), 1)

    return Piece("2025-019", hanging((96, 62), 14, yarns, weft, 19))


def stones(x: Array, course: Array, joints: list[Array]) -> Array:
    """0 to 4 for each stone of a wall: which skein it was woven from."""
    stone = np.zeros(x.shape, np.int64)
    for k, places in enumerate(joints):
        stone = np.where(course == k, np.searchsorted(places, x) + 40 * k, stone)
    return (noise.hashed(stone, 77) * 5).astype(np.int64)


def fold_wall() -> Piece:
    """2025-021: courses of stones in Herdwick grey with cream joints, brick at both ends."""
    yarns = lots("herdwick-rug", "swaledale-rug", "brick", "cotton-warp")
    skeins = [replace(yarns[0], colour=shade) for shade in ("#54504c", "#686460")]
    rng = np.random.default_rng(21)
    courses = rng.uniform(5.0, 9.2, 17)
    edges = 12.2 + np.concatenate([[0], np.cumsum(courses)]) * 120.6 / courses.sum()
    joints = [np.cumsum(rng.uniform(8, 20, 14)) - rng.uniform(0, 14) for _ in edges]

    def weft(end: Array, pick: Array) -> Array:
        shake = 0.16 * noise.sample(noise.tile(8, 8, 102), end * 2.2, pick * 2.0)
        x, y = end / 3 + shake, pick / 5 + shake
        course = np.clip(np.searchsorted(edges, y) - 1, 0, len(edges) - 2)
        joint = np.minimum(y - edges[course], edges[course + 1] - y) < 0.42
        for k, places in enumerate(joints):
            here = course == k
            at = np.clip(np.searchsorted(places, x), 1, len(places) - 1)
            near = np.minimum(np.abs(x - places[at - 1]), np.abs(x - places[at])) < 0.45
            joint = joint | (here & near)
        joint &= (y > 12.8) & (y < 132.2)
        stone = stones(x, course, joints)
        lot = np.where(joint, 1, np.choose(stone, [0, 4, 0, 5, 0]))
        lot = np.where((y < 12.2) | (y > 132.8), 0, lot)
        end_y = np.minimum(y, 145 - y)
        lot = np.where((end_y > 2.4) & (end_y < 11.4), 2, lot)
        lot = np.where((end_y > 6.4) & (end_y < 7.4), 1, lot)
        return mark(lot, end, pick, (246, 669), 1, 2)

    cloth = Cloth(
        88, 145, 3, 5, [*yarns, *skeins], only(3), weft, PLAIN, weft_faced=True, seed=21, edge=0.12
    )
    return Piece("2025-021", cloth, "knotted", 6, 0.8)


def gathering() -> Piece:
    """2026-003: pile rug, three brick lozenges in a grey field, turf border."""
    yarns = lots("herdwick-rug", "brick", "swaledale-rug", "turf", "swaledale-warp")

    def weft(end: Array, pick: Array) -> Array:
        x, y = end / 1.7, pick / 1.7
        rim = np.minimum(np.minimum(x, 75 - x), np.minimum(y, 120 - y))
        lot = np.where(rim < 9, 3, np.where(rim < 10.6, 2, 0))
        for k in range(3):
            far = np.abs(x - 37.5) / 20.5 + np.abs(y - (12 + 16 + 32 * k)) / 14.6
            lot = np.where(far < 1, 1, lot)
            lot = np.where(far < 0.40, 2, lot)
        return lot

    cloth = Cloth(75, 120, 1.7, 1.7, yarns, only(4), weft, PLAIN, pile=1.5, seed=33, edge=0.2)
    return Piece("2026-003", cloth, halo=2.4)


def slope(x: Array, at: float) -> Array:
    """A step that leans a little, as a cut face does: 0 before it, 1 after."""
    return np.clip((x - at) / 2.2 + 0.5, 0, 1)


def peat_hag() -> Piece:
    """2026-006: slate sky, a line of light, heather skyline, bracken, steps of peat."""
    yarns = lots("peat", "bracken", "slate", "heather", "furze", "linen-warp")

    def weft(end: Array, pick: Array) -> Array:
        x, y = end / 3, pick / 13
        y = y + 0.12 * noise.sample(noise.tile(8, 8, 103), end * 2.0, pick * 0.2)
        sky = 27 + 4.2 * np.sin(x / 70 * np.pi * 1.25 + 0.5) - 2.0 * np.sin(x / 70 * np.pi * 2.6)
        bracken = sky + 9 + 1.6 * np.sin(x / 11 + 1)
        wobble = 0.35 * np.sin(x / 2.3) + 0.3 * np.sin(x / 6.1 + 2)
        face = 51 + wobble + 8.5 * slope(x, 22) + 9.0 * slope(x, 46)
        lot = np.where(y < sky, 2, np.where(y < bracken, 3, 1))
        lot = np.where((y > 21.4) & (y < 22.3) & (y < sky), 4, lot)
        lot = np.where(y > face, 0, lot)
        for drop, left, right in ((15.5, 17, 40), (29.5, 12, 34)):
            edge = 51 + drop + wobble + 8.5 * slope(x, left) + 9.0 * slope(x, right)
            lot = np.where((y > edge) & (y < edge + 0.8), 1, lot)
        return mark(lot, end, pick, (190, 1368), 1)

    return Piece("2026-006", hanging((110, 70), 13, yarns, weft, 36))


def lambing_snow() -> Piece:
    """2026-012: white clasped with grey in four steps, slate above, one red square."""
    yarns = lots("gotland-2ply", "foam", "slate", "haw", "linen-warp")

    def weft(end: Array, pick: Array) -> Array:
        x, y = end / 3, pick / 13.5
        step = np.clip((y - 12) / 20, 0, 3.999)
        part, whole = step % 1.0, np.floor(step)
        start = np.choose(whole.astype(np.int32), [24.0, 37.0, 29.0, 46.0])
        join = start + 21 * part + 0.9 * (noise.hashed(pick // 2, 12) - 0.5)
        lot = np.where(x < join, 0, 1)
        lot = np.where(y < 12 + 0.1 * noise.sample(noise.tile(8, 8, 104), end * 2.0, pick), 2, lot)
        lot = np.where((x > 61.2) & (x < 65.2) & (y > 80.5) & (y < 83.5), 3, lot)
        return mark(lot, end, pick, (207, 1190), 2)

    return Piece("2026-012", hanging((92, 74), 13.5, yarns, weft, 42))


def hill(x: Array) -> Array:
    """The skyline of Saltmarsh, cm above its lowest: one hill right of the middle."""
    rise = 17 * np.exp(-(((x - 53) / 12.5) ** 2)) + 5 * np.exp(-(((x - 17) / 13) ** 2))
    return rise + 1.6 * np.sin(x / 9) + 3.2 * np.exp(-(((x - 82) / 9) ** 2))


def saltmarsh() -> Piece:
    """2026-014: tide lines over one hill, rust at the foot hatched with marsh green."""
    names = ("storm-blue", "rain-blue", "foam", "furze", "lichen", "marsh-green", "rust")
    yarns = lots(*names, "linen-warp")
    lines = [
        (30, 1.0, 1),
        (41, 1.0, 2),
        (47, 1.02, 1),
        (55, 0.98, 3),
        (64, 0.95, 4),
        (72.5, 0.9, 5),
    ]

    def weft(end: Array, pick: Array) -> Array:
        x, y = end / 3, pick / 13
        shape = hill(x) + 0.1 * noise.sample(noise.tile(8, 8, 105), end * 1.7, pick * 0.2)
        lot = np.zeros(np.broadcast(end, pick).shape, np.int32)
        for start, swell, number in lines:
            lot = np.where(y > start - swell * shape + 5, number, lot)
        foot = 93 - 0.75 * shape + 4
        hatching = ((x * 0.9 + y * 1.9) % 6.2 < 1.25) & (y > foot + 3.5)
        lot = np.where(y > foot, np.where(hatching, 5, 6), lot)
        return mark(lot, end, pick, (238, 1545), 2)

    return Piece("2026-014", hanging((124, 86), 13, yarns, weft, 44))
