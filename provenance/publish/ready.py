"""Whether a site can go out: where to, and whether it is of the records as they are.

In: the studio, the site's folder. Out: what publish.yaml says, or Refused with what to do first.
"""

import os
from pathlib import Path

from provenance.build.made_of import is_made_of
from provenance.output import LIST_NAME
from provenance.problems import Said
from provenance.publish.kept_apart import is_public, told_of
from provenance.publish.refused import Refused
from provenance.records.publishing import Publishing, expanded
from provenance.studio import Studio


def settings_for(studio: Studio, site: Path) -> Publishing:
    """Where the site goes; Refused where nobody said so, or the site is not that of the records."""
    settings, records = studio.book.publishing, studio.book.folder
    if settings is None and (records / "studio" / "publish.yaml").is_file():
        raise Refused(Said("publishing.unread"), Said("publishing.check_first"))
    if settings is None or not settings.way:
        raise Refused(Said("publishing.nowhere"), Said("publishing.say_where"))
    if not (site / LIST_NAME).is_file():
        raise Refused(Said("publishing.no_site", folder=str(site)), Said("publishing.build_first"))
    if not is_made_of(studio, site):
        raise Refused(Said("publishing.older"), Said("publishing.build_first"))
    if settings.folder:
        _refuse_own(expanded(settings.folder, records), records, site)
    if settings.second_place and is_public(settings, settings.second_place, records):
        what = Said("second_place.public", place=told_of(settings.second_place))
        raise Refused(what, Said("second_place.elsewhere"))
    return settings


def _refuse_own(place: Path, records: Path, site: Path) -> None:
    """A site is not published onto itself, nor among the records, nor above either."""
    there = Path(os.path.realpath(place))
    for own in (Path(os.path.realpath(records)), Path(os.path.realpath(site))):
        if there.is_relative_to(own) or own.is_relative_to(there):
            what = Said("publishing.own_folder", folder=str(place))
            raise Refused(what, Said("publishing.another_folder"))
