"""The shapes of the lineage: a band that bends from one place to another, and a striped bar."""

from collections.abc import Sequence
from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Band:
    """From (x, y) to (end x, end y), of one thickness; y is its upper edge. In em."""

    x: float
    y: float
    end_x: float
    end_y: float
    size: float


def band_path(band: Band, colour: str) -> str:
    """A band as a path with level ends; hair-thin ones stay visible."""
    size = max(band.size, 0.12)
    bend = (band.x + band.end_x) / 2
    return (
        f'<path fill="{colour}" d="M{band.x:.2f} {band.y:.2f}C{bend:.2f} {band.y:.2f} {bend:.2f} '
        f"{band.end_y:.2f} {band.end_x:.2f} {band.end_y:.2f}v{size:.2f}C{bend:.2f} "
        f"{band.end_y + size:.2f} {bend:.2f} {band.y + size:.2f} {band.x:.2f} "
        f'{band.y + size:.2f}z"/>'
    )


def bar(
    stripes: Sequence[tuple[str, float]], x: float, y: float, width: float, height: float
) -> str:
    """Stripes side by side, widths in proportion."""
    whole = sum(amount for _, amount in stripes) or 1.0
    shapes = []
    for colour, amount in stripes:
        part = width * amount / whole
        shapes.append(
            f'<rect x="{x:.2f}" y="{y:.2f}" width="{part:.2f}" height="{height:.2f}" '
            f'fill="{colour}"/>'
        )
        x += part
    return "".join(shapes)
