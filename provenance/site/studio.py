"""The studio's public side, by allow-list.

In: the setting. Out: what the site says of the studio; a contact only when it is marked public.
"""

from __future__ import annotations

from dataclasses import dataclass

from provenance.public.setting import Setting


@dataclass(frozen=True, slots=True)
class SiteStudio:
    """What the site says of the studio: name, maker, place, mark, and contacts marked public."""

    name: str
    maker: str
    place: str
    mark: str
    site: str
    language: str
    email: str
    phone: str
    post: str


def site_studio(setting: Setting) -> SiteStudio:
    """The studio's public side: a contact is shown only when it is among the public ones."""
    studio = setting.book.studio
    public = {str(way): str(studio.contact.get(way, "")) for way in studio.public_contact}
    return SiteStudio(
        name=str(studio.studio),
        maker=str(studio.maker),
        place=str(studio.place or ""),
        mark=str(studio.mark or ""),
        site=str(studio.site or ""),
        language=str(studio.language),
        email=public.get("email", ""),
        phone=public.get("phone", ""),
        post=public.get("post", ""),
    )
