"""The files of the built site that go to the public place.

In: the site folder as `build` left it. Out: what each file holds, by name. What the program keeps
there for itself stays (`.studio`, `.printed`, its list); what hosts read at the top of a site goes
with it. A file that is not on the list, or was changed by hand, stops it, as it stops a build.
"""

from collections.abc import Iterable, Mapping
from pathlib import Path

from provenance.output.holding import digest, look_into, read_list, refuse
from provenance.problems import Said
from provenance.publish.manifest import Held
from provenance.publish.place import Outgoing
from provenance.publish.refused import Refused

_HIDDEN_YET_SERVED = (".nojekyll", ".htaccess")
_NOT_SERVED = ("README.md",)  # the maker's own, left in peace at the top of the folder


def public_files(site: Path) -> dict[str, Held]:
    """What every file of the site holds that is served; Refused where no site was built."""
    known = read_list(site)
    if not known:
        raise Refused(Said("publishing.no_site", folder=str(site)), Said("publishing.build_first"))
    holding = look_into(site, known)
    refuse(site.name, holding.makers)
    found = {name: known[name] for name in holding.ours if is_served(name)}
    found |= {name: digest(site / name) for name in holding.in_peace if is_served(name)}
    if missing := known.keys() - set(holding.ours):
        what = Said("publishing.lacks", name=min(missing), folder=site.name)
        raise Refused(what, Said("publishing.build_first"))
    return {name: Held(digest, (site / name).stat().st_size) for name, digest in found.items()}


def is_served(name: str) -> bool:
    """Whether a file of the site folder is for the public."""
    if name in _HIDDEN_YET_SERVED or name.startswith(".well-known/"):
        return True
    return name not in _NOT_SERVED and not any(part.startswith(".") for part in name.split("/"))


def outgoing(site: Path, names: Iterable[str], files: Mapping[str, Held]) -> list[Outgoing]:
    """Files of the site as an engine takes them."""
    return [Outgoing(name, site / name, files[name]) for name in names]
