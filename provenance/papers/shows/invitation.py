"""The invitation to a show: a card of two sides for the press, in two sizes, and one to send.

In: the public studio, a show, its works in hanging order. Out: PDFs with 3 mm bleed and marks
outside it; the smaller card also cut to its trim, for screens. On one side a work, whole, its wall
running over the edge, its yarns along the left; on the other the words of the record. A show that
is over invites nobody. Sizes: ISO 216 A6, and 99 x 210 mm for the long envelope; in the United
States 4 x 6 in and 4 x 9 1/4 in for the No. 10 envelope (from memory).
"""

from collections.abc import Sequence
from typing import Any

from provenance.papers.sheets.frame import Paper, Slips
from provenance.press.codes.qr import CLEAR, MODULE_MM, Code, address_of, code_of, mm
from provenance.press.drawings.selvedge import bar_svg
from provenance.press.pdf.boxes import with_marks
from provenance.press.pdf.render import render_pdf
from provenance.press.pdf.screen import for_screen
from provenance.press.pictures.photos import for_print, open_photo
from provenance.press.templates import render, source
from provenance.problems import Slip
from provenance.public.edge import stripes_of
from provenance.public.piece import PublicPiece
from provenance.public.show import PublicShow
from provenance.public.studio import PublicStudio

Size = tuple[float, float]
BLEED = 3.0
SIZES: dict[str, Size] = {"a6": (105.0, 148.0), "long": (99.0, 210.0)}
AMERICAN: dict[str, Size] = {"4x6": (101.6, 152.4), "4x9": (101.6, 234.95)}
EDGE = 7.0  # mm of the work's yarns along its left
_FOOT = 24.0  # mm kept for the title below the picture
_ANY = "0"


def invitation(
    studio: PublicStudio, show: PublicShow, pieces: tuple[PublicPiece, ...], slips: Slips
) -> list[Paper]:
    """The cards; none for a show that is over, or that has no days yet."""
    if show.first is None or show.state(studio.today) == "past" or not pieces:
        return []
    sizes = AMERICAN if studio.phrases.is_american else SIZES
    papers = []
    for turn, (name, size) in enumerate(sizes.items()):
        flat = _card(studio, show, pieces, size, slips)
        printed = with_marks(flat, size, BLEED, show.title)
        said = studio.phrases.say("invitation.to_print", size=_told(size))
        papers.append(Paper(f"invitation-{name}.pdf", printed, said))
        if not turn:
            said = studio.phrases.say("invitation.to_send")
            papers.append(Paper("invitation-to-send.pdf", for_screen(flat, {}), said))
    return papers


def _told(size: Size) -> str:
    return f"{size[0]:g} × {size[1]:g} mm"


def _card(
    studio: PublicStudio, show: PublicShow, pieces: Sequence[PublicPiece], size: Size, slips: Slips
) -> bytes:
    """Both sides, with bleed."""
    say = studio.phrases.say
    assets: dict[str, bytes | Code] = {
        "invitation.css": source("shows/invitation.css", studio.templates)
    }
    lead, picture = _picture(studio, pieces, size, assets, slips)
    high = size[1] + 2 * BLEED
    assets["edge.svg"] = bar_svg(lead.stripes, EDGE + BLEED, high, upright=True)
    all_works = stripes_of([(s.colour, s.share) for each in pieces for s in each.stripes])
    assets["works.svg"] = bar_svg(all_works, EDGE + BLEED, high, upright=True)
    context = {
        "language": studio.phrases.language, "studio": studio, "show": show, "lead": lead,
        "width": size[0], "height": size[1], "bleed": BLEED, "edge": EDGE, "picture": picture,
        "is_long": size[1] > 2 * size[0], "where": [show.where, show.street],
        "american": studio.phrases.is_american,
        "say": lambda name, **values: say(f"invitation.{name}", **values),
        "code": _code(studio, show, assets),
    }  # fmt: skip
    html = render("shows/invitation.html", context, studio.templates)
    return render_pdf(html, assets, archival=True, created=studio.today)


def _picture(
    studio: PublicStudio, pieces: Sequence[PublicPiece], size: Size,
    assets: dict[str, bytes | Code], slips: Slips,
) -> tuple[PublicPiece, dict[str, Any] | None]:  # fmt: skip
    """The first work with a photo of the whole, and that photo, right of its edge: as wide as the
    card where its height allows."""
    wide, high = size[0] - EDGE + BLEED, size[1] - _FOOT + BLEED
    for piece in pieces:
        for photo in (each for each in piece.photos if each.view == "whole"):
            try:
                seen = open_photo(studio.folder, photo.path)
                width = min(wide, high * seen.width / seen.height)
                assets["work.jpg"] = for_print(seen, width)
            except Slip as slip:
                slips.append((piece.number, photo.file, slip))
                continue
            sides = {"width": width, "height": width * seen.height / seen.width}
            return piece, {"alt": photo.alt or piece.title, **sides}
    return pieces[0], None


def _code(
    studio: PublicStudio, show: PublicShow, assets: dict[str, bytes | Code]
) -> dict[str, Any] | None:
    """The code that leads to the show's page on the site, where there is a site."""
    if not studio.site:
        return None
    home = address_of(studio.site, _ANY).removesuffix(f"{_ANY}/")
    code = assets["code.png"] = code_of(f"{home}{show.path}")
    words = f"{studio.site.partition('://')[2].rstrip('/')}/{show.path}"
    edge, alt = CLEAR * MODULE_MM, studio.phrases.say("invitation.code", address=words)
    return {"width": mm(code), "edge": edge, "words": words, "alt": alt}
