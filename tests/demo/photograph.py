"""A photograph: light, exposure, focus, and the darkroom.

In: surfaces, a `Room`, a `Camera`. Out: linear light, then an 8-bit picture.
"""

import numpy as np
from camera import Camera, lens
from film import Film, develop, expose, shrunk
from light import Room, light_up
from scipy.ndimage import gaussian_filter, map_coordinates
from surfaces import Surface

Array = np.ndarray


def photograph(surfaces: list[Surface], room: Room, camera: Camera, fine: float = 2.0) -> Array:
    """The finished picture in linear light, one array (rows, columns, rgb)."""
    view = lens(camera, fine)
    film = Film((int(camera.pixels[1] * fine), int(camera.pixels[0] * fine)))
    lights = light_up(surfaces, room, view, film.shape)
    hero = [lit.reshape(-1, 3) for lit, s in zip(lights, surfaces, strict=True) if s.hero]
    bright = np.concatenate(hero).mean(1)
    level = float(np.quantile(bright[bright > 0], 0.85))
    for surface, lit in zip(surfaces, lights, strict=True):
        shine = np.full_like(lit, surface.glow) if surface.glow else lit * (room.gain / level)
        expose(film, surface, shine, view, room)
    picture, depth = develop(film)
    if camera.blur:
        picture = out_of_focus(picture, depth, camera.blur * fine, view.distance)
    return smaller(picture, camera.pixels)


def out_of_focus(picture: Array, depth: Array, amount: float, focus: float) -> Array:
    """Blur that grows with the distance from the plane of focus, in a few blended layers."""
    blur = amount * gaussian_filter(np.abs(np.minimum(depth, 1e4) - focus), 6)
    levels = [0.0, 1.2, 2.6, 5.0, 9.0, 15.0]
    layers = [picture] + [gaussian_filter(picture, (s, s, 0)) for s in levels[1:]]
    out = np.zeros_like(picture)
    for k, layer in enumerate(layers):
        below = levels[k - 1] if k else -1.0
        above = levels[k + 1] if k + 1 < len(levels) else 1e9
        rise = np.clip((blur - below) / (levels[k] - below), 0, 1)
        fall = 1 - np.clip((blur - levels[k]) / (above - levels[k]), 0, 1)
        out += layer * np.minimum(rise, fall)[..., None]
    return out


def smaller(picture: Array, pixels: tuple[int, int]) -> Array:
    """Film to picture size, by averaging (half-pixel exact) with a light Gaussian beforehand."""
    fy, fx = picture.shape[0] / pixels[1], picture.shape[1] / pixels[0]
    if fy == 2:  # soften just enough that a rib near the pixel pitch cannot beat against it
        picture = gaussian_filter(picture, (0.95, 0.95, 0))
    if fy == int(fy) and fx == int(fx):
        return shrunk(picture, pixels[1], pixels[0])
    soft = gaussian_filter(picture, (0.42 * fy, 0.42 * fx, 0))
    r = (np.arange(pixels[1]) + 0.5) * fy - 0.5
    c = (np.arange(pixels[0]) + 0.5) * fx - 0.5
    grid = np.meshgrid(r, c, indexing="ij")
    planes = np.moveaxis(soft, -1, 0)
    parts = [map_coordinates(plane, grid, order=1, mode="nearest") for plane in planes]
    return np.stack(parts, -1)


def finish(picture: Array, seed: int, sharpen: float = 0.0, vignette: float = 0.10) -> Array:
    """From linear light to an 8-bit photograph: shoulder, bloom, vignette, sharpening, grain."""
    bloom = gaussian_filter(picture, (14, 14, 0))
    picture = 0.965 * picture + 0.035 * bloom
    rows, columns = picture.shape[:2]
    y, x = np.mgrid[-1 : 1 : rows * 1j, -1 : 1 : columns * 1j]
    picture = picture * (1 - vignette * ((x * x + y * y) / 2) ** 1.3)[..., None]
    knee = 0.62
    over = np.clip(picture - knee, 0, None)
    picture = np.minimum(picture, knee) + over / (1 + over / (1.06 - knee))
    picture = np.clip(picture, 0, 1)
    tone = np.where(picture <= 0.0031308, picture * 12.92, 1.055 * picture ** (1 / 2.4) - 0.055)
    tone = tone + sharpen * (tone - gaussian_filter(tone, (1.3, 1.3, 0)))
    rng = np.random.default_rng(seed)
    grain = gaussian_filter(rng.standard_normal((rows, columns)), 0.6)
    tone = tone + (0.007 * grain * (0.4 + tone.mean(-1)))[..., None]
    return (np.clip(tone, 0, 1) * 255 + 0.5).astype(np.uint8)
