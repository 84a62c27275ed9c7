"""The camera: where it stands, how it sees points, which way surfaces face it.

In: `Camera` and points in cm. Out: film coordinates and depths.
"""

from dataclasses import dataclass

import numpy as np

Array = np.ndarray


@dataclass(frozen=True, slots=True)
class Camera:
    """A camera with a shift lens: keeps uprights upright when it looks level."""

    eye: tuple[float, float, float]
    look: tuple[float, float, float]
    width: float  # cm seen across at the distance of `look`
    pixels: tuple[int, int]
    shift: tuple[float, float] = (0.0, 0.0)  # cm at that distance
    blur: float = 0.0  # film pixels of blur per cm out of focus


def unit(v: Array) -> Array:
    """The vector at length one."""
    v = np.asarray(v, np.float32)
    return v / np.linalg.norm(v)


@dataclass(frozen=True, slots=True)
class Lens:
    """The camera's axes and scale, worked out once."""

    eye: Array
    right: Array
    up: Array
    ahead: Array
    scale: float
    middle: tuple[float, float]
    distance: float


def lens(camera: Camera, fine: float) -> Lens:
    """Axes of the camera; `fine` film pixels to each pixel of the picture."""
    eye, look = np.asarray(camera.eye, np.float32), np.asarray(camera.look, np.float32)
    ahead = look - eye
    distance = float(np.linalg.norm(ahead))
    ahead = ahead / distance
    right = unit(np.cross(ahead, [0, 1, 0] if abs(ahead[1]) < 0.99 else [0, 0, -1]))
    up = np.cross(right, ahead)
    per_cm = camera.pixels[0] * fine / camera.width
    middle = (
        camera.pixels[0] * fine / 2 - camera.shift[0] * per_cm,
        camera.pixels[1] * fine / 2 + camera.shift[1] * per_cm,
    )
    return Lens(eye, right, up, ahead, per_cm * distance, middle, distance)


def project(points: Array, view: Lens) -> tuple[Array, Array, Array]:
    """Film x and y and the depth of points."""
    rel = points - view.eye
    depth = rel @ view.ahead
    safe = np.maximum(depth, 1.0)
    x = view.middle[0] + view.scale * (rel @ view.right) / safe
    y = view.middle[1] - view.scale * (rel @ view.up) / safe
    return x, y, np.where(depth > 1, depth, 1e9)


def normals(points: Array, eye: Array) -> Array:
    """Unit normals of a grid, turned to face the camera."""
    du, dv = np.gradient(points, axis=1), np.gradient(points, axis=0)
    n = np.cross(du, dv)
    n /= np.linalg.norm(n, axis=-1, keepdims=True) + 1e-9
    facing = ((eye - points) * n).sum(-1, keepdims=True)
    return np.where(facing < 0, -n, n).astype(np.float32)
