"""Addresses in words that are gone: a page that leads on, so that no old link is dead.

In: the pages of the site before, and the new ones. Out: for each page that went (a list that is
empty now, a renamed page of words) a page that leads to the nearest place still there.
"""

from collections.abc import Container, Iterable, Iterator

from provenance.press.templates import render
from provenance.site.shown import edge_style
from provenance.site.whole import Site


def moved_pages(
    site: Site, before: Iterable[str], names: Container[str]
) -> Iterator[tuple[str, bytes]]:
    """Path and bytes of a leading-on page for every page that would vanish."""
    for name in sorted(before):
        if name.endswith("/index.html") and name not in names:
            yield name, _leading_on(site, name, _nearest(name, names)).encode("utf-8")


def _nearest(name: str, names: Container[str]) -> str:
    """The closest folder above that has a page; the home page at last. Exhibitions are listed among
    the places."""
    parts = name.split("/")[:-2]
    if parts == ["shows"] and "shows/index.html" not in names:
        parts = ["where"]
    while parts and "/".join([*parts, "index.html"]) not in names:
        parts.pop()
    return "/".join([*parts, "index.html"])


def _leading_on(site: Site, name: str, to: str) -> str:
    up = "../" * name.count("/")
    context = {
        "studio": site.studio,
        "say": site.studio.phrases.say,
        "to": up + to,
        "root": up,
        "look": site.look,
        "edge": edge_style(site.listed),
    }
    return render("site/moved.html", context, site.studio.templates)
