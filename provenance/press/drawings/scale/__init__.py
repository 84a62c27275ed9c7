"""Works drawn to scale beside a thing whose size everybody knows."""

from provenance.press.drawings.scale.drawing import (
    Drawing,
    Hanging,
    ToScale,
    measure_drawing,
    scale_drawing,
    wall_drawing,
)

__all__ = ["Drawing", "Hanging", "ToScale", "measure_drawing", "scale_drawing", "wall_drawing"]
