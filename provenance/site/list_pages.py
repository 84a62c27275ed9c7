"""The home page, the lists of work, dyes, fleeces and places: pages with many pieces on them.

In: the whole site. Out: for each page what it comes from, and the values it is filled with.
"""

from collections.abc import Iterator
from datetime import date
from functools import partial

from provenance.site.front import front, opening, who
from provenance.site.lists import choices, listings
from provenance.site.places import OutletView, fleece_views
from provenance.site.scale import ALL_TO_SCALE, all_to_scale
from provenance.site.shows import ShowView, of_show
from provenance.site.structured import studio_structured
from provenance.site.whole import Asked, Site, Values, stamps


def pages_of_lists(site: Site) -> Iterator[Asked]:
    """Every page with many pieces on it."""
    yield _home(site)
    yield from _work(site)
    yield from _dyes(site)
    fleeces = fleece_views(site.fleeces, site.listed)
    became = tuple((each.of, stamps(each.pieces)) for each in fleeces)
    yield "fleeces/", "site/fleeces.html", (site.edge, became), partial(dict, fleeces=fleeces)
    yield _where(site)
    yield from _shows(site)


def _where(site: Site) -> Asked:
    """Places and exhibitions with their works, what has days first and by those; past exhibitions
    by name."""
    ahead = [view for view in site.show_views if not view.is_past]
    past = [view for view in site.show_views if view.is_past]
    shown = ([view.stamp for view in ahead], [view.line for view in past])
    stops: list[ShowView | OutletView] = [*ahead, *site.outlet_views]
    stops.sort(key=lambda each: each.of.first or date.max)
    given: Values = partial(dict, outlets=site.outlet_views, stops=stops, past=past)
    return "where/", "site/where.html", (site.edge, site.outlet_stamps, *shown), given


def _shows(site: Site) -> Iterator[Asked]:
    """The page of each exhibition; two of one address have one."""
    for path, view in {view.of.path: view for view in site.show_views}.items():
        cover = None if view.lead else site.cover
        edge = () if view.pieces else site.edge  # that of the newest works, where it lists none
        shown = (view.stamp, stamps([cover] if cover else []), edge)
        yield path, "site/show.html", shown, partial(of_show, site.studio, view, cover)


def _home(site: Site) -> Asked:
    shown, studio = front(site.listed), site.studio
    line, words = who(studio, site.listed), opening(studio, site.words)
    ahead = [view for view in site.show_views if not view.is_past]
    home = {"shows": ahead, "outlets": site.outlet_views, "who": line, "intro": words,
            "front": shown, "structured": studio_structured(studio)}  # fmt: skip
    opens = (
        [view.line for view in ahead],
        line,
        words,
        shown.works,
        shown.works_for_sale,
        stamps(shown.shown),
    )
    return "", "site/home.html", (site.edge, site.outlet_stamps, opens), lambda: home


def _work(site: Site) -> Iterator[Asked]:
    lists = listings(site.studio.phrases, site.listed, site.dye_views)
    ways = tuple((each.group, each.name, each.path, len(each.pieces)) for each in lists)
    parts = choices(lists)
    for each in lists:
        shown = (ways, each.name, stamps(each.pieces), site.edge)
        given: Values = partial(dict, listing=each, whole=lists[0], choices=parts)
        yield each.path, "site/work.html", shown, given
    to_scale = partial(all_to_scale, site.studio, site.listed)
    yield ALL_TO_SCALE, "site/to_scale.html", (site.edge, stamps(site.listed)), to_scale


def _dyes(site: Site) -> Iterator[Asked]:
    dyes = tuple((dye.of, len(dye.pieces)) for dye in site.dye_views)
    yield "dyes/", "site/dyes.html", (site.edge, dyes), partial(dict, dyes=site.dye_views)
    for dye in site.dye_views:
        shown = (site.edge, dye.of, stamps(dye.pieces))
        yield dye.path, "site/dye.html", shown, partial(dict, dye=dye)
