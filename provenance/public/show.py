"""An exhibition as others may know it: where and when, what hangs where, the words it shows.

In: the view and a show's record. Out: `PublicShow`. No notes, no terms, no value of any work;
street and hours of its outlet only where that record says that they are public.
A wall that can't be hung as it is written (too full) is still told, with gaps below nothing; a work
without a size hangs on no wall, and is in `numbers` all the same.
"""

from dataclasses import dataclass
from datetime import date, datetime, time
from fractions import Fraction
from typing import Literal

from provenance.figures.hanging import FIXINGS, SAFETY, each_fixing_holds, hang, to_millimetre
from provenance.figures.hanging_checks import sized
from provenance.public.names import capital, outlet_title
from provenance.public.view import View
from provenance.records.lots import Outlet
from provenance.records.printing import tag_field
from provenance.records.shows import CatalogueAsked, Opening, Show, Wall, page_named, show_path
from provenance.reference.light import yearly_limit
from provenance.studio import Worked

__all__ = [
    "FIXINGS", "SAFETY", "CatalogueWish", "Hung", "PublicShow", "PublicWall", "public_show",
    "to_millimetre",
]  # fmt: skip
State = Literal["before", "during", "past"]


@dataclass(frozen=True, slots=True)
class Hung:
    """One work on a wall. Lengths in cm, exact: `left` from the wall's left end to the work's left
    edge; `centre`, `top`, `bottom` and `hook` above the floor. `holds` is what each of its two
    fixings must hold, in grams; None where its weight is not known."""

    number: str
    left: Fraction
    width: Fraction
    height: Fraction
    centre: Fraction
    top: Fraction
    hook: Fraction
    bottom: Fraction
    holds: Fraction | None = None

    @property
    def middle(self) -> Fraction:
        """From the wall's left end to the middle of the work."""
        return self.left + self.width / 2


@dataclass(frozen=True, slots=True)
class PublicWall:
    """A wall and its works from the left; cm. `gaps` are n + 1, ends too; `is_equal` unless the
    maker gave gaps. `lux` is the most light that its most sensitive work bears, `most_sensitive`
    the number of that work, `sensitivity` its class (high, medium, low); None and '' without works.
    A work whose materials or dyes nobody knows counts as the most sensitive, without a class: ''.
    `name` is as written, else `wall 2`. `height` where the record says how high the wall is."""

    name: str
    width: Fraction
    works: tuple[Hung, ...]
    gaps: tuple[Fraction, ...]
    lux: int | None
    most_sensitive: str
    sensitivity: str
    centre: Fraction
    height: Fraction | None
    is_equal: bool

    @property
    def title(self) -> str:
        """Its name at the head of a page: North."""
        return capital(self.name)


@dataclass(frozen=True, slots=True)
class CatalogueWish:
    """What the record asks of the printed catalogue. `size` as written: A5, A4, or width x height
    (`148 x 210 mm`); `essay` the name of its page, `essay_title` and `essay_text` (Markdown) what
    stands there, '' where there is none; `bleed` in cm, None where silent; `printer_profile` a file
    in the record folder; `paper` as written (`115 g coated`)."""

    size: str
    essay: str
    essay_title: str
    essay_text: str
    paper: str | None
    copies: int | None
    isbn: str
    bleed: Fraction | None
    printer_profile: str
    binding: str


@dataclass(frozen=True, slots=True)
class PublicShow:
    """One exhibition. `name` is its file's; `outlet` the name of its outlet or ''; `words` the
    Markdown of the room text and `words_title` its title, '' if none; `days` and `opening` in
    words; `numbers` every work in hanging order: walls in order, then `works:`. By the habits of
    the outlet its labels have prices, and codes that lead to the works' pages."""

    name: str
    title: str
    place: str
    outlet: str
    outlet_title: str
    street: str
    hours: str
    web: str
    first: date | None
    last: date | None
    days: str
    opening: str
    opening_at: datetime | None
    words: str
    words_title: str
    centre_line: Fraction
    walls: tuple[PublicWall, ...]
    numbers: tuple[str, ...]
    catalogue: CatalogueWish | None
    shows_prices: bool = True
    has_codes: bool = False

    @property
    def path(self) -> str:
        """The permanent address of its page, from the root of the site."""
        return show_path(self.name)

    @property
    def where(self) -> str:
        """Where it is, with the name of the house: Harbour gallery, Sandrigg."""
        return where(self.outlet_title, self.place)

    def state(self, today: date) -> State:
        """Where it stands on a day. A show without dates is to come."""
        return state_on(self.first, self.last, today)


def state_on(first: date | None, last: date | None, today: date) -> State:
    """Where a show of these days stands on a day."""
    if first is None or today < first:
        return "before"
    return "past" if last and today > last else "during"


def where(outlet: str, place: str) -> str:
    """A place with the name of the outlet there, which it may hold already."""
    named = "" if outlet.casefold() in place.casefold() else outlet
    return ", ".join(filter(None, (named, place)))


def where_of(view: View, show: Show) -> str:
    """The same of a record, which may name its outlet alone."""
    outlet = view.book.outlets.get(str(show.outlet)) if show.outlet else None
    return where(outlet_title(outlet) if outlet else "", _place(show, outlet))


def _place(show: Show, outlet: Outlet | None) -> str:
    return str(show.place or (outlet and outlet.place) or "")


def public_show(view: View, show: Show) -> PublicShow:
    """What others may know of a show; works that no record is of are left out."""
    outlet = view.book.outlets.get(str(show.outlet)) if show.outlet else None
    street = str(outlet.address or "") if outlet and outlet.public else ""
    title, text = _page(view, str(show.words or ""))
    fields = {tag_field(str(word)) for word in outlet.tag_fields} if outlet else set()
    return PublicShow(
        name=str(show.name), title=str(show.title),
        place=_place(show, outlet),
        outlet=str(outlet.name) if outlet else "",
        outlet_title=outlet_title(outlet) if outlet else "",
        street=str(show.address or street),
        hours=_of_either(show, outlet, "hours"), web=_of_either(show, outlet, "web"),
        first=show.dates.first if show.dates else None,
        last=show.dates.last if show.dates else None,
        days=view.phrases.days(show.dates.first, show.dates.last) if show.dates else "",
        opening=_opening(view, show.opening) if show.opening else "",
        opening_at=show.opening.moment if show.opening else None,
        words=text, words_title=title,
        centre_line=show.eye,
        walls=tuple(_wall(view, show, each) for each in show.walls),
        numbers=tuple(dict.fromkeys(str(n) for n in show.hung if n in view.book.pieces)),
        catalogue=_catalogue(view, show.catalogue) if show.catalogue else None,
        shows_prices=not fields or "price" in fields,
        has_codes="code" in fields if fields else outlet is None or outlet.tag_kind == "own",
    )  # fmt: skip


def _of_either(show: Show, outlet: Outlet | None, word: str) -> str:
    """A word of the show, else of its outlet."""
    return str(getattr(show, word) or (outlet and getattr(outlet, word)) or "")


def _opening(view: View, opening: Opening) -> str:
    day = view.phrases.day(opening.on)
    if not opening.at:
        return day
    at = view.phrases.clock(time.fromisoformat(opening.at))
    return view.phrases.say("show.opening", day=day, time=at)


def _page(view: View, file: str) -> tuple[str, str]:
    """Title and text of a page by its file; twice '' where there is none."""
    page = view.book.pages.get(page_named(file)) if file else None
    return (page.title, page.text) if page else ("", "")


def _wall(view: View, show: Show, wall: Wall) -> PublicWall:
    turn = 1 + next(turn for turn, each in enumerate(show.walls) if each is wall)
    name = str(wall.name or "") or view.phrases.say("show.wall", number=turn)
    hung = list(sized(view.book, wall))
    centre = wall.middle(show.eye)
    hanging = hang(Fraction(wall.width), [work for _, work in hung], centre, wall.gaps)
    works = tuple(
        Hung(str(number), at.left, work.width, work.height, at.centre, at.top, at.hook, at.bottom,
             _holds(view, number))
        for (number, work), at in zip(hung, hanging.works, strict=True)
    )  # fmt: skip
    first, sensitivity = _most_sensitive(view, [each.number for each in works])
    return PublicWall(
        name=name, width=Fraction(wall.width), works=works,
        gaps=hanging.gaps, lux=yearly_limit(sensitivity or "high").most_lux if first else None,
        most_sensitive=first, sensitivity=sensitivity, centre=centre,
        height=Fraction(wall.height) if wall.height else None, is_equal=not wall.gaps,
    )  # fmt: skip


def _most_sensitive(view: View, numbers: list[str]) -> tuple[str, str]:
    """The work that bears the least light, and its class. One whose materials nobody knows
    may be as sensitive as any: it goes before all but those that are known to be so, without a
    class."""
    found = {number: view.studio.piece(number) for number in numbers}
    known = {number: _class(each) for number, each in found.items()}
    order = ("high", "", "medium", "low")
    first = min(known, key=lambda number: order.index(known[number]), default="")
    return first, known.get(first, "")


def _class(worked: Worked) -> str:
    """Its sensitivity to light; '' where its materials, or the dyes of a mill, may hide more."""
    is_known = worked.strands and not worked.light.has_mill_dye
    return worked.light.sensitivity if is_known or worked.light.sensitivity == "high" else ""


def _holds(view: View, number: str) -> Fraction | None:
    grams = view.book.pieces[number].weight
    return each_fixing_holds(Fraction(grams)) if grams else None


def _catalogue(view: View, asked: CatalogueAsked) -> CatalogueWish:
    title, text = _page(view, str(asked.essay or ""))
    return CatalogueWish(
        size=str(asked.size), essay=page_named(str(asked.essay or "")), essay_title=title,
        essay_text=text, paper=str(asked.paper) if asked.paper else None,
        copies=int(asked.copies) if asked.copies else None, isbn=str(asked.isbn or ""),
        bleed=Fraction(asked.bleed) if asked.bleed is not None else None,
        printer_profile=str(asked.printer_profile or ""), binding=str(asked.binding or "stapled"),
    )  # fmt: skip
