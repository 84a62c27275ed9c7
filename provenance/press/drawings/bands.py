"""The shapes of the lineage: a band that bends from one place to another, and a striped bar."""

from collections.abc import Sequence

Point = tuple[float, float]


def band_path(start: Point, end: Point, size: float, colour: str) -> str:
    """A band as a path with level ends; its points are of its upper edge, all in em.

    Hair-thin ones stay visible.
    """
    (x, y), (end_x, end_y), size = start, end, max(size, 0.12)
    bend = (x + end_x) / 2
    return (
        f'<path fill="{colour}" d="M{x:.2f} {y:.2f}C{bend:.2f} {y:.2f} {bend:.2f} {end_y:.2f} '
        f"{end_x:.2f} {end_y:.2f}v{size:.2f}C{bend:.2f} {end_y + size:.2f} {bend:.2f} "
        f'{y + size:.2f} {x:.2f} {y + size:.2f}z"/>'
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
