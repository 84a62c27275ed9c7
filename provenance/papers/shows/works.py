"""A work as it hangs, drawn to scale: its own picture cut to the cloth, else its edge.

In: public facts of a piece, its size on the sheet in mm. Out: an asset of the page and its words.
"""

from provenance.papers.format import format_for
from provenance.press.codes.qr import Code
from provenance.press.drawings.selvedge import bar_svg
from provenance.press.pictures.cut import cut_to_cloth
from provenance.press.pictures.photos import open_photo
from provenance.press.pictures.threads import cloth_of
from provenance.problems import Slip
from provenance.public.piece import PhotoFacts, PublicPiece
from provenance.public.studio import PublicStudio

Assets = dict[str, bytes | Code]
Slips = list[tuple[str, str, Slip]]


def as_hung(
    studio: PublicStudio,
    piece: PublicPiece,
    mm: tuple[float, float],
    assets: Assets,
    slips: Slips,
) -> dict[str, str]:
    """File and words of the picture, which is put among the assets: the cloth alone, `mm` wide and
    high; stripes of the edge where there is no photo of the whole, or the cloth can't be found;
    file '' where nothing is known of it but its size."""
    whole = next((photo for photo in piece.photos if photo.view == "whole"), None)
    content = _cut(studio, piece, whole, mm, slips) if whole else None
    if content is None or whole is None:
        if not piece.stripes:
            return {"file": "", "alt": studio.phrases.say("plan.outline_of", title=piece.title)}
        name = f"cloth-{piece.number}.svg"
        black = format_for(studio).is_black
        assets[name] = bar_svg(piece.stripes, *mm, upright=True, black=black)
        return {"file": name, "alt": studio.phrases.say("plan.stripes_of", title=piece.title)}
    name = f"cloth-{piece.number}.jpg"
    assets[name] = content
    return {"file": name, "alt": whole.alt or piece.title}


def _cut(
    studio: PublicStudio,
    piece: PublicPiece,
    whole: PhotoFacts,
    mm: tuple[float, float],
    slips: Slips,
) -> bytes | None:
    if piece.measures is None:
        return None
    wide = piece.measures.width / piece.measures.height
    black = format_for(studio).is_black
    try:
        photo = open_photo(studio.folder, whole.path)
        return cut_to_cloth(photo, cloth_of(piece.yarns, whole.view), wide, mm, grey=black)
    except Slip as slip:
        slips.append((piece.number, whole.file, slip))
        return None
