"""The truth of a picture: which yarn lies at each point, by the drawing that made the picture.

In: a shot. Out: a small picture whose pixels say the yarn there is most of (red: its place among
the piece's lots, from 1; 0 where there is no cloth), the one there is most of after it (green), and
how much of the whole the first takes (blue, 255 for all).
"""

from dataclasses import replace

import numpy as np
from camera import lens
from film import Film, develop, expose
from photograph import smaller
from PIL import Image
from surfaces import Surface, Texture
from wholes import Shot

Array = np.ndarray
LONGER = 256  # pixels


def truth(shot: Shot) -> Image.Image:
    """Lots in the order of the cloth's own."""
    first, *_ = (s.texture.shares for s in shot.surfaces if s.texture.shares is not None)
    count = first.shape[-1]
    width, height = shot.camera.pixels
    scale = LONGER / max(width, height)
    small = round(width * scale), round(height * scale)
    camera = replace(shot.camera, pixels=small, blur=0.0)
    view = lens(camera, 2)
    film = Film((small[1] * 2, small[0] * 2))
    for surface in shot.surfaces:
        expose(film, told(surface, count), np.ones((2, 2, 1), np.float32), view, shot.room)
    shares, _ = develop(film)
    return written(np.clip(smaller(shares, small), 0, 1))


def told(surface: Surface, count: int) -> Surface:
    """A surface that shows how much of each lot there is; a thing that is no cloth shows none."""
    shares = surface.texture.shares
    if shares is None:
        shares = np.zeros((2, 2, count), np.float32)
    texture = Texture(shares.astype(np.float32), surface.texture.cover)
    return replace(surface, texture=texture, polish=0.0)


def written(shares: Array) -> Image.Image:
    """Shares of lots as a picture; where cloth is less than half of a pixel there is none."""
    order = np.argsort(-shares, axis=-1, kind="stable")
    ranked = np.take_along_axis(shares, order, -1)
    there = shares.sum(-1) > 0.5
    second = order[..., 1] + 1 if shares.shape[-1] > 1 else np.zeros_like(order[..., 0])
    has_second = ranked[..., 1] > 0.05 if shares.shape[-1] > 1 else np.zeros_like(there)
    share = np.clip(ranked[..., 0] / np.maximum(shares.sum(-1), 1e-6), 0, 1)
    steps = np.round(share * 15) * 17  # sixteen steps are enough, and pack small
    planes = [np.where(there, order[..., 0] + 1, 0), np.where(there & has_second, second, 0)]
    planes.append(np.where(there, steps, 0))
    return Image.fromarray(np.stack(planes, -1).astype(np.uint8))
