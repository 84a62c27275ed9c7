"""What `publish` sends: looked at, shown, asked about, sent.

In: where the command was called, the site's folder. Out: the place holds the site; or a Slip, where
it must not go up, or the end of the run, where the maker said no.
"""

from pathlib import Path

from provenance.commands.consent import ask, is_terminal
from provenance.commands.here import Here
from provenance.commands.voice import show
from provenance.problems import Said, Slip, WrongWish
from provenance.reports.writers.data import as_json


def publish_site(here: Here, site: Path, *, only_tell: bool, yes: bool, is_json: bool) -> None:
    """Send the site to its place, in our turn."""
    from provenance.publish.going_out import proposal
    from provenance.publish.opening import place_for, told_place
    from provenance.publish.ready import settings_for

    settings = settings_for(here.studio, site)
    address = str(here.studio.book.studio.site or "")
    with place_for(settings, here.folder) as place:
        found = proposal(place, told_place(settings), site, address)
        if is_json:
            show(as_json(found.json(), here.phrases))
        else:
            for words in found.told(whole=only_tell):
                here.say(words)
        _look(here, site, tuple(found.site.files), found.there.site)
        if only_tell:
            return
        if found.is_done:
            here.say(Said("publishing.as_it_is"))
            return
        _ask(here, loses_many=found.loses_many, yes=yes)
        with here.progress("publishing") as bar:
            found.carry_out(bar.tell)
        for words in found.done():
            here.say(words, err=is_json)


def _look(here: Here, site: Path, names: tuple[str, ...], there: str) -> None:
    """Tell what is wrong with a site, and what may be; Slip where it must not go up."""
    from provenance.publish.before import before

    found = before(here.border, site, there, names)
    here.tell((*found.refused, *found.asked))
    if found.refused:
        raise Slip(Said("served.mend_first", number=len(found.refused)))


def _ask(here: Here, *, loses_many: bool, yes: bool) -> None:
    if not yes:
        if not is_terminal():
            raise WrongWish(Said("deed.nobody"), Said("deed.say_yes"))
        ask(here, "publishing.ask_loss" if loses_many else "publishing.ask")
