"""Works drawn to scale beside a thing whose size everybody knows."""

from provenance.press.drawings.scale.drawing import (
    Drawing,
    ToScale,
    measure_drawing,
    scale_drawing,
)

__all__ = ["Drawing", "ToScale", "measure_drawing", "scale_drawing"]
