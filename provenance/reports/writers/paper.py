"""Reports on paper, for the maker's binder: archival PDFs, workings in small type.

In: a report that is filed, the border. Out: the bytes of a PDF. Tables of half a page stand in two
columns; names of lots and outlets are spoken (harbour-gallery, Harbour gallery), and days are in
the form of the language. Private: such a paper never leaves the studio.
"""

from collections.abc import Callable
from dataclasses import replace
from itertools import groupby

from provenance.papers.format import Format
from provenance.papers.sheets.frame import Page, sheet_pdf
from provenance.press.codes.qr import Code
from provenance.press.pictures.photos import for_print, open_photo
from provenance.problems import Slip
from provenance.public.border import Border
from provenance.public.names import capital, spoken
from provenance.public.studio import PublicStudio
from provenance.records.checks_names import photo_path
from provenance.reports.report import Filed, Report, Table, shown_by
from provenance.reports.writers.ready import ReadyPhrases
from provenance.reports.writers.workings import workings

_THUMB_MM = (10.0, 11.5)


def as_paper(report: Report, filed: Filed, border: Border, sheet: Format | None = None) -> bytes:
    """The PDF; Slip says what of it cannot be printed."""
    house, thumbs = border.house, dict[str, bytes | Code]()
    own = house.phrases
    tell = ReadyPhrases(own.language, own.currency, own.words).tell
    if sheet:
        house = replace(house, sheet=sheet.name, is_black=sheet.is_black)
    shown = shown_by("paper", report.parts)
    groups = groupby(shown, lambda part: isinstance(part, Table) and part.is_half)
    values = {
        "report": report,
        "piece": filed.piece,
        "groups": [(is_half, list(found)) for is_half, found in groups],
        "workings": [] if filed.is_brief else list(workings(report, house.phrases)),
        "tell": tell,
        "spoken": spoken,
        "capital": capital,
        "thumb": _thumbs(house, thumbs),
    }
    page = Page("report", house.phrases.tell(filed.about), values, assets=thumbs)
    return sheet_pdf(house, page, (border.piece(filed.piece),) if filed.piece else ())


def _thumbs(
    house: PublicStudio, thumbs: dict[str, bytes | Code]
) -> Callable[[str], dict[str, str] | None]:
    """Small pictures for the template; a photo that can't be read has none, `check` says why."""

    def thumb(file: str) -> dict[str, str] | None:
        try:
            photo = open_photo(house.folder, photo_path(file))
            width = min(_THUMB_MM[0], _THUMB_MM[1] * photo.width / photo.height)
            name = f"thumb-{len(thumbs)}.jpg"
            thumbs[name] = for_print(photo, width, dpi=200)
        except Slip:
            return None
        return {"file": name, "width": f"{width:.2f}"}

    return thumb
