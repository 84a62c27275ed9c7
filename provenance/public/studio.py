"""The studio's public side, by allow-list.

In: the view. Out: `PublicStudio`, what pages and papers for others are written from besides the
pieces; a contact only when it is marked public. `folder` is where the originals of photos lie, for
the press alone.
"""

from dataclasses import dataclass
from datetime import date
from pathlib import Path

from provenance.language.phrases import Phrases, templates_of
from provenance.public.label import address_line, responsible_line
from provenance.public.names import studio_title
from provenance.public.view import View
from provenance.records.seal_keys import SealKey


@dataclass(frozen=True, slots=True)
class PublicKey:
    """A key of the studio's seal as Multikey text, the days from and until it was used
    (`2026-11-25`; '' for one in use), and the day it was withdrawn."""

    key: str
    since: str
    until: str
    withdrawn: str


@dataclass(frozen=True)
class PublicStudio:
    """Name, maker, place, mark, public contacts; the language; how its papers are printed.

    `address` and `responsible` stand where the law of a market asks for them; `keys` are those that
    its statements are signed with, the one in use first.
    """

    name: str
    maker: str
    place: str
    mark: str
    about: str
    origin: str
    site: str
    currency: str
    email: str
    phone: str
    post: str
    markets: tuple[str, ...]
    address: str
    responsible: str
    tax: str
    tax_share: str
    sheet: str
    is_black: bool
    phrases: Phrases
    today: date
    templates: Path | None
    folder: Path
    keys: tuple[PublicKey, ...] = ()


def public_studio(view: View) -> PublicStudio:
    """What may be said of the studio; `tax` is none, included or added."""
    file, phrases = view.book.studio, view.phrases
    public = {str(way): str(file.contact.get(way, "")) for way in file.public_contact}
    return PublicStudio(
        name=studio_title(phrases, file),
        maker=str(file.maker),
        place=str(file.place or ""),
        mark=str(file.mark or ""),
        about=str(file.about or ""),
        origin=str(file.origin or ""),
        site=str(file.site or ""),
        currency=str(file.currency),
        email=public.get("email", ""),
        phone=public.get("phone", ""),
        post=public.get("post", ""),
        markets=view.markets,
        address=address_line(view),
        responsible=responsible_line(view),
        tax=file.prices.tax.way,
        tax_share=phrases.percent(file.prices.tax.share * 100),
        sheet=str(file.tags.sheet),
        is_black=bool(file.tags.black_only),
        phrases=phrases,
        today=view.studio.today,
        templates=templates_of(view.book),
        folder=view.book.folder,
        keys=tuple(map(_key, view.book.keys)),
    )


def _key(line: SealKey) -> PublicKey:
    days = (str(day or "") for day in (line.from_, line.until, line.withdrawn))
    return PublicKey(str(line.key), *days)
