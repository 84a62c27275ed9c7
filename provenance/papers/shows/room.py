"""What all papers of a show share: its works as they hang, wall by wall, and a picture of each.

In: the public studio, a show, its works in hanging order. Out: pages in one style; a picture that
is never missing: a work without a photo is drawn to its proportions, with the colours of its edge.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cached_property
from html import escape
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
        return ", ".join(filter(None, (self.show.where, self.show.days)))

    @property
    def walls(self) -> list[tuple[str, tuple[PublicPiece, ...]]]:
        """The works of each wall, from the left; under no name those that no wall is known of. A
        set of which several hang stands as often as they do."""
        known = {each.number: each for each in self.pieces}
        walls = [
            (wall.title, tuple(known[work.number] for work in wall.works if work.number in known))
            for wall in self.show.walls
        ]
        rest = tuple(each for each in self.pieces if each.number not in self.on_walls)
        return [(wall, works) for wall, works in (*walls, ("", rest)) if works]

    @cached_property
    def on_walls(self) -> frozenset[str]:
        """The numbers of the works that hang on a wall."""
        return frozenset(work.number for wall in self.show.walls for work in wall.works)

    @property
    def hung(self) -> list[tuple[str, PublicPiece]]:
        """Each thing that hangs with its wall, in their order; '' where none is known."""
        return [(wall, each) for wall, works in self.walls for each in works]

    def items(self, each: PublicPiece) -> int:
        """How many things one line of a list is: on a wall the one that hangs there; of a set
        without a wall all that are left."""
        is_set = each.made > 1 and each.number not in self.on_walls
        return max(each.left, 1) if is_set else 1

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
