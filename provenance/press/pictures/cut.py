"""A work shown at its size: its photo cut to the cloth.

In: a photo of a whole work, its yarns, its sides. Out: a JPEG of the cloth alone, just as wide and
high as it is to be printed; None where the cloth can't be told from what lies around it.
"""

from fractions import Fraction

from provenance.press.pictures.photos import Upright, cut_for_print, pixels
from provenance.press.pictures.threads import Cloth

_LONGER = 320  # pixels in which the cloth is looked for: its edge is found to 0.3 % of the photo
_WITHIN = 0.003  # of the photo, by which the cut stays inside the edge that was found


def cut_to_cloth(
    photo: Upright, cloth: Cloth, wide: Fraction, mm: tuple[float, float], *, grey: bool = False
) -> bytes | None:
    """The cloth at `mm` (width, height); `wide` is the width of the work for a height of one."""
    from provenance.figures.colour.cloth import Photo
    from provenance.figures.colour.cut import cloth_box
    from provenance.figures.colour.photo import pixels_of

    small = Photo(pixels_of(*pixels(photo, _LONGER)), filled=False)
    box = cloth_box(small, cloth.yarns, cloth.under, float(wide))
    if box is None:
        return None
    left, top, right, lower = box
    inside = (left + _WITHIN, top + _WITHIN, right - _WITHIN, lower - _WITHIN)
    return cut_for_print(photo, inside, mm, dpi=300, grey=grey)
