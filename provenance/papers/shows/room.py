"""What all papers of a show share: its works as they hang, wall by wall, and a picture of each.

In: the public studio, a show, its works in hanging order. Out: pages in one style; a picture that
is never missing: a work without a photo is drawn to its proportions, with the colours of its edge.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from html import escape
from itertools import groupby
from typing import Any

from provenance.papers.format import format_for
from provenance.papers.sheets.frame import Page, Sheets, whole_view
from provenance.press.codes.qr import Code
from provenance.press.drawings.selvedge import bar_svg
from provenance.public.piece import PublicPiece
from provenance.public.show import PublicShow

_BAR = 0.12  # how much of a drawn work its edge takes, from the left
_SQUARE = (1.0, 1.0)  # the sides of a work that nobody measured


@dataclass(frozen=True)
class Room(Sheets):
    """A show and its works, in the order they hang in."""

    show: PublicShow

    def told(self, name: str, **values: Any) -> str:
        """A phrase of a show's papers."""
        return self.phrases.say(f"exhibition.{name}", **values)

    @property
    def where(self) -> str:
        """Place and days in one line."""
        return ", ".join(filter(None, (self.show.place, self.show.days)))

    @property
    def walls(self) -> list[tuple[str, tuple[PublicPiece, ...]]]:
        """The works of each wall, from the left; under no name those that no wall is known of."""
        on = {work.number: wall.title for wall in self.show.walls for work in wall.works}
        groups = groupby(self.pieces, lambda each: on.get(each.number, ""))
        return [(wall, tuple(works)) for wall, works in groups]

    def wall_of(self, number: str) -> str:
        """The name of a work's wall; '' where none is known."""
        return next((w for w, works in self.walls if number in {e.number for e in works}), "")

    def page(self, name: str, title: str, values: Mapping[str, Any], **how: Any) -> Page:
        """A page about the show; `how` as in `Page`."""
        shared = {
            "outlet": self.show.title,
            "where": self.where,
            "walls": self.walls,
            "show": self.show,
            "told": self.told,
            "count": self.phrases.say("show.works", number=len(self.pieces)),
        }
        return Page(name, title, {**shared, **values}, folder="shows", **how)

    def picture(
        self, each: PublicPiece, box_mm: tuple[float, float], assets: dict[str, bytes | Code]
    ) -> dict[str, str]:
        """Its whole view within a box; where there is none, a drawing of its proportions."""
        photo = whole_view(self, each, box_mm, assets)
        if photo:
            return photo
        high, wide = each.measures.sides[:2] if each.measures else _SQUARE
        scale = min(box_mm[0] / float(wide), box_mm[1] / float(high))
        width, height = float(wide) * scale, float(high) * scale
        name = f"drawn-{each.number}.svg"
        assets[name] = self._drawn(each, width, height)
        told = "no_photo_drawn" if each.measures else "no_photo"
        return {"file": name, "alt": self.told(told, title=each.title), "width": f"{width:.2f}"}

    def _drawn(self, each: PublicPiece, width: float, height: float) -> bytes:
        """An outline, its edge at the left."""
        black = format_for(self.studio).is_black
        bar = bar_svg(each.stripes, width * _BAR, height, upright=True, black=black).decode()
        return (
            f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {width:.2f} {height:.2f}" '
            f'width="{width:.2f}mm" height="{height:.2f}mm"><title>{escape(each.title)}</title>'
            f'{bar if each.stripes else ""}<rect x="0.15" y="0.15" width="{width - 0.3:.2f}" '
            f'height="{height - 0.3:.2f}" fill="none" stroke="#000" stroke-width="0.3"/></svg>'
        ).encode()
