"""Yarns found in photos by colour, held against the drawing that made the photos.

`tests/demo/truth/` says for every photo of the demo which yarn lies where (`tests/demo/truth.py`).
A name is right when its yarn has the most of the pixel, or of the square that a finger covers; of
two that cross, both must be there.
"""

from __future__ import annotations

import io
from dataclasses import dataclass
from functools import cache
from pathlib import Path

import numpy as np
import pytest
from PIL import Image

from provenance.figures.colour.cloth import Photo, _distances, seen
from provenance.figures.colour.photo import lab_of
from provenance.figures.colour.sights import Sight, Yarn, groups_of, sights
from provenance.figures.colour.space import Lab, Lch, delta_e, from_lch, hex_of
from provenance.figures.flow.gather import studio_flow
from provenance.public.border import Border
from provenance.public.glass import PublicYarn, in_sight
from provenance.public.piece import PublicPiece
from provenance.records.book import read_book
from provenance.studio import Studio

ROOT = Path(__file__).parents[2]
TRUTH = ROOT / "tests" / "demo" / "truth"
PHOTOS = ROOT / "pieces" / "photos"
NAMES = sorted(path.stem for path in TRUTH.glob("*.png"))
CLOSE = [name for name in NAMES if not name.endswith("room")]
BOX = Image.Resampling.BOX
PALE = ("2026-010-whole",)  # a white shawl before a white wall
BRUSHED = "2026-013"  # its silver hairs lie over all of it
_FINGER = 5  # pixels


@cache
def border() -> Border:
    from datetime import date

    book, _ = read_book(ROOT / "pieces")
    assert book is not None
    return Border(Studio(book, studio_flow(book), {}, date(2026, 11, 25)))


@cache
def facts_of(number: str) -> PublicPiece:
    return border().piece(number)


@dataclass(frozen=True)
class Told:
    """How many pixels are named, how many of them rightly; how much cloth there is, and how much of
    it is named."""

    named: int
    right: int
    cloth: int
    cloth_named: int

    def __add__(self, other: Told) -> Told:
        pairs = zip(vars(self).values(), vars(other).values(), strict=True)
        return Told(*(one + two for one, two in pairs))


def shares_of(truth: Image.Image) -> np.ndarray:
    """How much of each lot there is at each pixel, from a truth picture."""
    table = np.asarray(truth).astype(int)
    lots = truth.info["lots"].split()
    shares = np.zeros((*table.shape[:2], len(lots) + 1))
    rows, columns = np.mgrid[: table.shape[0], : table.shape[1]]
    most = table[..., 2] / 255
    shares[rows, columns, table[..., 1]] = np.where(table[..., 1] > 0, 1 - most, 0)
    shares[rows, columns, table[..., 0]] = np.where(table[..., 0] > 0, most, 0)
    return shares[..., 1:]


def under_a_finger(shares: np.ndarray) -> np.ndarray:
    """The mean of the square round each pixel."""
    wide = np.pad(shares, ((2, 2), (2, 2), (0, 0)), mode="edge")
    height, width = shares.shape[:2]
    offsets = [(a, b) for a in range(_FINGER) for b in range(_FINGER)]
    return sum(wide[a : a + height, b : b + width] for a, b in offsets) / len(offsets)


def lots_of(number: str) -> dict[str, PublicYarn]:
    """The yarns of a piece by their lots, as the drawing calls them."""
    strands = [each for each in border().studio.piece(number).strands if each.grams]
    return dict(zip([each.lot for each in strands], facts_of(number).yarns, strict=True))


def judged(name: str, photo: Image.Image) -> Told:
    truth = Image.open(TRUTH / f"{name}.png")
    shares = shares_of(truth)
    lots = truth.info["lots"].split()
    known = [lots.index(lot) for lot, yarn in lots_of(name[:8]).items() if yarn.is_seen]
    facts = facts_of(name[:8])
    yarns = [Yarn(yarn.colour, yarn.runs) for yarn in in_sight(facts.yarns)]
    under = [yarn.colour for yarn in facts.yarns if not yarn.is_seen]
    small = np.asarray(photo.convert("RGB").resize(truth.size, BOX))
    shot = Photo(small, name.endswith("detail"), name.endswith("room"))
    found = seen(shot, yarns, under)
    round_about, right = under_a_finger(shares), np.zeros(found.shape, bool)
    for number, sight in enumerate(sights(yarns), 1):
        places = [known[n] for n in sight.yarns]
        right |= (found == number) & rightly(sight, shares, round_about, places)
    cloth = shares.sum(axis=2) > 0
    named = found > 0
    return Told(*(int(each.sum()) for each in (named, right, cloth, named & cloth)))


def rightly(
    sight: Sight, shares: np.ndarray, round_about: np.ndarray, places: list[int]
) -> np.ndarray:
    if sight.is_crossing:
        return (round_about[..., places] >= 0.15).all(axis=-1)
    here, near = shares[..., places].sum(axis=-1), round_about[..., places].sum(axis=-1)
    most_here = (here >= shares.max(axis=-1)) & (here >= 0.5)
    return most_here | ((near >= round_about.max(axis=-1)) & (near >= 0.4))


def photo_of(name: str) -> Image.Image:
    return Image.open(PHOTOS / f"{name}.jpg")


@cache
def as_taken(name: str) -> Told:
    """What is told of a photo as it was taken, looked at once."""
    return judged(name, photo_of(name))


def in_all(told: list[Told]) -> Told:
    return sum(told[1:], told[0])


def test_every_photo_of_the_demo_has_its_truth() -> None:
    assert sorted(path.stem for path in PHOTOS.glob("*.jpg")) == NAMES


@pytest.mark.parametrize("name", NAMES)
def test_what_is_named_is_right(name: str) -> None:
    told = as_taken(name)
    assert told.right >= 0.95 * told.named
    least = 0.05 if name in PALE else 0.4 if name in CLOSE else 0.0  # among things little is sure
    assert told.cloth_named >= least * told.cloth


def test_of_all_photos_nearly_all_is_right_and_most_is_named() -> None:
    told = in_all([as_taken(name) for name in CLOSE])
    assert told.right >= 0.98 * told.named
    assert told.cloth_named >= 0.75 * told.cloth


def light(coded: np.ndarray) -> np.ndarray:
    return np.where(coded <= 0.04045, coded / 12.92, ((coded + 0.055) / 1.055) ** 2.4)


def spoilt(
    photo: Image.Image, cast: tuple[float, float, float], shade: float, noise: float, quality: int
) -> Image.Image:
    """The photo taken in other light, from bright to dark across, noisy and squeezed."""
    small = photo.convert("RGB").reduce(2)
    linear = light(np.asarray(small) / 255) * np.array(cast)
    linear = linear * np.linspace(1 + shade, 1 - shade, small.width)[None, :, None]
    coded = np.where(linear <= 0.0031308, 12.92 * linear, 1.055 * linear ** (1 / 2.4) - 0.055)
    grain = np.random.default_rng(5).normal(0, noise, linear.shape)
    made = Image.fromarray(np.clip(coded * 255 + grain, 0, 255).astype(np.uint8))
    into = io.BytesIO()
    made.save(into, "JPEG", quality=quality)
    return Image.open(into)


LIGHTS = {
    "noise and JPEG": ((1.0, 1.0, 1.0), 0.0, 8.0, 60),
    "warm": ((1.15, 1.0, 0.85), 0.0, 3.0, 80),
    "cool": ((0.88, 1.0, 1.14), 0.0, 3.0, 80),
    "shaded": ((1.0, 1.0, 1.0), 0.2, 3.0, 80),
    "dark": ((0.8, 0.8, 0.8), 0.0, 3.0, 80),
}
SOME = [name for name in CLOSE if name[:8] in ("2025-021", "2025-023", "2026-006", "2026-014")]


@pytest.mark.parametrize("kind", LIGHTS)
def test_other_light_and_noise_do_not_make_it_wrong(kind: str) -> None:
    told = in_all([judged(name, spoilt(photo_of(name), *LIGHTS[kind])) for name in SOME])
    assert told.right >= 0.95 * told.named
    assert told.cloth_named >= 0.5 * told.cloth


def patches(*colours: str, size: int = 32) -> np.ndarray:
    """Squares of plain colour side by side."""
    squares = [
        np.full((size, size, 3), tuple(bytes.fromhex(each[1:])), np.uint8) for each in colours
    ]
    return np.concatenate(squares, axis=1)


def test_a_grey_photo_names_no_coloured_yarn() -> None:
    grey = np.asarray(photo_of("2026-014-whole").convert("L").convert("RGB").resize((205, 256)))
    yarns = [Yarn("#c3a23c", "weft"), Yarn("#9a4b2c", "weft"), Yarn("#6f7a38", "weft")]
    assert not seen(Photo(grey, False), yarns).any()


def test_one_yarn_and_a_stranger() -> None:
    found = seen(Photo(patches("#9a4b2c", "#2e4257"), True), [Yarn("#9a4b2c")])
    assert (found[4:-4, 4:28] == 1).all()
    assert (found[4:-4, 36:60] == 0).all()


def test_yarns_of_nearly_one_colour_are_told_as_either() -> None:
    yarns = [Yarn("#8b2f2f"), Yarn("#8d3030"), Yarn("#2e4257")]
    assert sights(yarns) == (Sight((0, 1)), Sight((2,)))
    found = seen(Photo(patches("#8c3030", "#2e4257"), True), yarns)
    assert {*found[:, :28].ravel()} == {1}
    assert {*found[:, 36:].ravel()} == {2}


def test_more_alike_than_can_be_told_say_nothing() -> None:
    yarns = [Yarn(f"#8b2f{n:02x}") for n in range(0x2A, 0x2F)]
    assert sights(yarns) == (Sight((0, 1, 2, 3, 4)),)
    assert not seen(Photo(patches("#8b2f2c"), True), yarns).any()


def test_thirty_yarns() -> None:
    tones = [Lch(45 + 25 * (n % 2), 45, 12 * n) for n in range(30)]
    colours = [hex_of(from_lch(each)) for each in tones]
    yarns = [Yarn(colour) for colour in colours]
    found = seen(Photo(patches(*colours, size=12), True), yarns)
    for n, colour in enumerate(colours):
        said = found[6, 12 * n + 6]
        assert not said or n in sights(yarns)[said - 1].yarns, colour
    assert (found > 0).mean() > 0.5


def test_a_crossing_is_named_by_its_warp_and_its_weft() -> None:
    """Threads too fine to be seen: their mean in linear light, whatever it looks like."""
    yarns = [Yarn("#ece2ca", "warp"), Yarn("#4c3647", "weft"), Yarn("#9a4b2c", "weft")]
    assert sights(yarns)[3:] == (Sight((0, 1), True), Sight((0, 2), True))
    mixed = patches("#aea39f", "#cca887")  # 45 and 55 parts of light each
    found = seen(Photo(mixed, True), yarns)
    assert {*found[:, :28].ravel()} == {4}
    assert {*found[:, 36:].ravel()} == {5}


def test_distances_are_those_of_the_standard_where_lightness_is_equal() -> None:
    """`delta_e` is held against the pairs in tests/truth/; with kL = 2 lightness counts half."""
    pairs = [(Lab(50.0, 2.7, -79.8), Lab(50.0, 0.0, -82.7)), (Lab(50, 2.5, 0), Lab(50, 3.2, 0.3))]
    pairs += [(Lab(50, -1.0, 2.0), Lab(50, 0.0, 0.0)), (Lab(61, 20, -70), Lab(61, -30, 40))]
    for one, other in pairs:
        found = _distances(np.array([one]), np.array([other]))[0, 0]
        assert found == pytest.approx(delta_e(one, other), abs=1e-6)
    by_light = _distances(np.array([(40.0, 5, 5)]), np.array([(60.0, 5, 5)]))[0, 0]
    assert by_light == pytest.approx(delta_e(Lab(40, 5, 5), Lab(60, 5, 5)) / 2, abs=1e-6)


@pytest.mark.parametrize("size", [(1, 1), (3, 2), (1, 40)])
def test_tiny_photos(size: tuple[int, int]) -> None:
    pixels = np.full((*size, 3), (154, 75, 44), np.uint8)
    for filled in (True, False):
        assert seen(Photo(pixels, filled), [Yarn("#9a4b2c")]).shape == size


def test_no_yarns_no_names() -> None:
    assert not seen(Photo(patches("#9a4b2c"), True), []).any()


@pytest.mark.parametrize("name", NAMES)
def test_the_photos_of_the_demo_have_the_colours_of_their_yarns(name: str) -> None:
    """Where a yarn has the most of the cloth, the mean light of the photo is the mean of what its
    drawing laid there, in colours of the record: near it in hue, whatever the light."""
    truth = Image.open(TRUTH / f"{name}.png")
    shares, lots = shares_of(truth), truth.info["lots"].split()
    colours = {lot: yarn.colour for lot, yarn in lots_of(name[:8]).items()}
    bare = np.array([list(bytes.fromhex(colours[lot][1:])) for lot in lots])
    of_lots, small = light(bare / 255), photo_of(name).convert("RGB").resize(truth.size, BOX)
    photo = light(np.asarray(small) / 255)
    for number, lot in enumerate(lots):
        here = shares[..., number] >= max(0.5, float(np.quantile(shares[..., number], 0.9)))
        if here.sum() < 200:
            continue
        meant, found = (shares[here] @ of_lots).mean(axis=0), photo[here].mean(axis=0)
        one, other = (_lab(meant), _lab(found * meant.sum() / found.sum()))
        most = 9 if name.startswith(BRUSHED) else 7
        assert delta_e(one, other) < most, lot


def _lab(linear: np.ndarray) -> Lab:
    coded = np.where(linear <= 0.0031308, 12.92 * linear, 1.055 * linear ** (1 / 2.4) - 0.055)
    return Lab(*lab_of(coded.reshape(1, 1, 3) * 255)[0, 0].tolist())


def test_three_hundred_yarns_are_no_number_of_another() -> None:
    """A sight is one byte: those beyond are not named at all."""
    steps = (0, 60, 105, 145, 180, 215, 250)
    colours = [f"#{r:02x}{g:02x}{b:02x}" for r in steps for g in steps for b in steps][::-1][:300]
    yarns = [Yarn(colour) for colour in colours]
    told = sights(yarns)
    assert len(groups_of(yarns)) > len(told) == 250
    found = seen(Photo(patches(*colours, size=12), True), yarns)
    named = [(n, found[6, 12 * n + 6]) for n in range(len(colours))]
    assert [n for n, said in named if said and n not in told[said - 1].yarns] == []
    assert sum(said > 0 for _, said in named) > 200
