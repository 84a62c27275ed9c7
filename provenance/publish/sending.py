"""A site is sent to a place, in an order that leaves it whole at every moment.

In: a place, the site's folder and files, what lies there. Out: the place holds the site. First the
manifest says what is on its way (so that after a killed run nothing of ours is taken for
foreign), then come assets, pages, lists; at last what is gone is taken away, and the manifest is
that of the site. What was sent is noted in the manifest now and then: run again, it goes on from
there. A few files are brought beside their places together, where the place can do that, and then
moved in that order.
"""

import time
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from pathlib import Path

from provenance.publish.manifest import Held, Manifest
from provenance.publish.place import Ahead, Outgoing, Place, Whole, is_little
from provenance.publish.plan import Plan, Step
from provenance.publish.site_files import outgoing

Tell = Callable[[int, int], None]  # done, of how many
_NOTED_AFTER = 10.0  # seconds between two notes of what is there already
_AT_ONCE = 256  # files handed over between two looks at the clock


@dataclass(frozen=True, slots=True)
class Sent:
    """The site that is to lie there: its folder, its files, its address."""

    folder: Path
    files: Mapping[str, Held]
    address: str

    @property
    def manifest(self) -> Manifest:
        """What the place says of it in the end."""
        return Manifest(self.files, self.address)


def send(place: Place | Whole, plan: Plan, site: Sent, there: Manifest, tell: Tell) -> None:
    """Have the place hold the site; Refused where it can't."""
    if isinstance(place, Whole):
        files = outgoing(site.folder, sorted(site.files), site.files)
        place.send(files, site.manifest.to_bytes())
        tell(len(files), len(files))
    elif plan or there.site != site.address:
        _Way(place, plan, site, dict(there.files), tell).go()


@dataclass(slots=True)
class _Way:
    """One site on its way: `known` is what the manifest says at each moment."""

    place: Place
    plan: Plan
    site: Sent
    known: dict[str, Held]
    tell: Tell
    done: int = 0
    noted: float = field(default_factory=time.monotonic)

    def go(self) -> None:
        coming = {item.name: Held("", item.size) for item in (*self.plan.new, *self.plan.changed)}
        if coming:
            self.known |= coming
            self._note()
            self._bring(coming)
        for step in Step:
            self._put([item.name for item in self.plan.of(step)])
        for steps in ((Step.LISTS, Step.PAGES), (Step.ASSETS,)):  # no page without its pictures
            gone = [item.name for item in self.plan.gone if item.step in steps]
            if gone:  # still on the manifest that lies there, so that a run killed here owns them
                self.place.remove(gone)
        self.place.put_manifest(self.site.manifest.to_bytes())

    def _bring(self, names: Iterable[str]) -> None:
        files = outgoing(self.site.folder, sorted(names), self.site.files)
        if isinstance(self.place, Ahead) and is_little(files):
            self.place.bring(files, self.site.manifest.to_bytes())

    def _put(self, names: Sequence[str]) -> None:
        files = outgoing(self.site.folder, names, self.site.files)
        for at in range(0, len(files), _AT_ONCE):
            self._put_some(files[at : at + _AT_ONCE])

    def _put_some(self, files: Sequence[Outgoing]) -> None:
        self.place.put(files, self._told)
        self.known |= {file.name: file.held for file in files}
        if time.monotonic() - self.noted > _NOTED_AFTER:
            self._note()

    def _told(self, more: int) -> None:
        self.done += more
        self.tell(self.done, len(self.plan.new) + len(self.plan.changed))

    def _note(self) -> None:
        self.place.put_manifest(Manifest(self.known, self.site.address).to_bytes())
        self.noted = time.monotonic()
