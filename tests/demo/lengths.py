"""The pieces where warp and weft both show: scarves, shawls, blankets, cushion, cloth.

One function per piece; each gives the `Piece` that the pictures are made from. Sizes, setts and
lots follow the piece's record. Rows count from the top of the picture.
"""

import numpy as np
from cloths import Piece
from patterns import lots, only, sequence, stripes
from weave import PLAIN, TWILL, Cloth, herringbone
from yarns import Yarn

Array = np.ndarray


def haws() -> Piece:
    """2025-023: madder over walnut, straw stripes in pairs."""
    yarns = lots("bark", "haw", "straw")
    near = [(9, 9.9, 2), (11.1, 12.0, 2), (17, 17.9, 2), (19.1, 20.0, 2)]
    far = [(180 - b, 180 - a, n) for a, b, n in near]
    cloth = Cloth(
        28, 180, 6, 5, yarns, only(0), stripes(5, near + far, 1, 1), TWILL, seed=23, lead=0.25
    )
    return Piece("2025-023", cloth, "twisted", 8, 0.35)


def frost_ruts() -> Piece:
    """2025-024: brown herringbone on cream, bands of cream alone."""
    yarns = lots("wool-warp", "shetland-moorit", "bfl-2ply")
    bands = [(10 + 16 * k, 14 + 16 * k, 2) for k in range(11)]
    cloth = Cloth(28, 182, 6, 5, yarns, only(0), stripes(5, bands, 1, 1), herringbone(12), seed=24)
    return Piece("2025-024", cloth, "twisted", 8, 0.45)


def paired(start: float, total: float, number: int, every: float = 22.0) -> list:
    """A broad and a narrow stripe side by side, again and again."""
    bands = []
    while start < total:
        bands += [(start, start + 4, number), (start + 5.2, start + 6.2, number)]
        start += every
    return bands


def intake() -> Piece:
    """2026-001: peaty plaid with amber warp stripes and straw weft bands."""
    yarns = lots("bark", "amber", "shetland-moorit", "straw")
    warp = stripes(7, paired(8, 140, 1), 0, 0)
    weft = stripes(5.4, paired(8, 190, 3), 2, 1)
    cloth = Cloth(140, 190, 7, 5.4, yarns, warp, weft, TWILL, seed=31)
    return Piece("2026-001", cloth, halo=0.6)


def charm() -> Piece:
    """2026-002: goldfinch stripes, nine times, never the same height twice."""
    yarns = lots("bark", "straw", "shetland-moorit", "haw", "bfl-2ply")
    rng = np.random.default_rng(2)
    heights: list[tuple[float, int]] = []
    for _ in range(9):
        heights += [(rng.uniform(4, 8.5), 2), (rng.uniform(1.2, 3), 4)]
        heights += [(rng.uniform(0.9, 1.6), 3), (rng.uniform(6, 12), 1)]
    scale = 178 / sum(h for h, _ in heights)
    bands = sequence([(h * scale, n) for h, n in heights])
    cloth = Cloth(28, 178, 6, 5, yarns, only(0), stripes(5, bands, 2, 1), TWILL, seed=32, lead=0.2)
    return Piece("2026-002", cloth, "twisted", 8, 0.35)


def heft() -> Piece:
    """2026-007: silver herringbone, a sloe band with heather inside it near each end."""
    yarns = lots("wool-warp", "gotland-2ply", "sloe", "heather")
    bands = [(31, 44, 2), (35.5, 39.5, 3), (106, 119, 2), (110.5, 114.5, 3)]
    weft = stripes(4.5, bands, 1, 1)
    cloth = Cloth(110, 150, 6, 4.5, yarns, only(0), weft, herringbone(18), seed=37, lead=0.85)
    return Piece("2026-007", cloth, "knotted", 7, 0.7)


def cobbles(onion: Yarn) -> Piece:
    """2026-008: squares of green and onion brown, flecked with the cream warp."""
    yarns = [*lots("swaledale-warp", "marsh-green"), onion]

    def weft(end: Array, pick: Array) -> Array:
        return 1 + (np.floor(end / 15) + np.floor(pick / 20)).astype(np.int32) % 2

    cloth = Cloth(45, 45, 3, 4, yarns, only(0), weft, PLAIN, seed=38, lead=1.5)
    return Piece("2026-008", cloth, halo=0.5)


def first_cut() -> Piece:
    """2026-009: windowpane of sallow green on cream, every second weft line straw."""
    yarns = lots("wool-warp", "sallow", "bfl-2ply", "straw")
    warp = stripes(7, [(9.4 + 20 * k, 10.6 + 20 * k, 1) for k in range(7)], 0, 0)
    green = [(9.4 + 40 * k, 10.6 + 40 * k, 1) for k in range(5)]
    straw = [(28.5 + 40 * k, 31.5 + 40 * k, 3) for k in range(4)]
    cloth = Cloth(140, 180, 7, 5.4, yarns, warp, stripes(5.4, green + straw, 2, 1), TWILL, seed=39)
    return Piece("2026-009", cloth, halo=0.6)


def thrift_lines(length: float, seed: int) -> list[tuple[float, float, int]]:
    """Single picks that come closer, a closed band, and single picks again, about the middle."""
    middle, band = length / 2, 4.5
    bands = [(middle - band, middle + band, 2)]
    gap, at = 0.36, band + 0.5
    while at < length / 6:
        bands += [(middle - at - 0.17, middle - at, 2), (middle + at, middle + at + 0.17, 2)]
        at, gap = at + gap + 0.17, gap * 1.17
    return bands


def fret() -> Piece:
    """2026-010: open blue-grey shawl with a thrift-pink breath across its middle."""
    yarns = lots("bfl-silk", "fret", "thrift")
    weft = stripes(6, thrift_lines(190, 10), 1, 1)
    cloth = Cloth(60, 190, 6, 6, yarns, only(0), weft, PLAIN, seed=40, fill=0.66, behind="#9c9a96")
    return Piece("2026-010", cloth, "twisted", 10, 0.4)


def owl_light() -> Piece:
    """2026-013: blue-black over silver mohair, beaten closer towards both ends."""
    yarns = lots("gotland-mohair", "nightfall")
    cloth = Cloth(
        60,
        190,
        4,
        4,
        yarns,
        only(0),
        only(1),
        TWILL,
        seed=43,
        lead=0.85,
        fill=0.86,
        beat=1.0,
        behind="#6b6a6a",
    )
    return Piece("2026-013", cloth, "knotted", 10, 6.5)


def eleven_pots() -> Piece:
    """2026-015: one band for each pot of the year, cream between."""
    names = ("deep-water", "mid-water", "furze", "lichen", "marsh-green", "straw", "haw", "rust")
    yarns = lots("wool-warp", *names, "bracken", "heather", "peat")
    heights: list[tuple[float, int]] = [(2.0, 0)]
    for k in range(11):
        heights += [(4.6, k + 1), (0.74, 0)]
    bands = sequence(heights)
    cloth = Cloth(45, 60, 6, 5, yarns, only(0), stripes(5, bands, 0, 1), PLAIN, seed=45, lead=0.55)
    return Piece("2026-015", cloth, halo=0.4)
