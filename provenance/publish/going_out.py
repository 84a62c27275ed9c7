"""What publishing would change at a place, told before and after.

In: an open place, the site's folder, files and address. Out: a `Proposal` with its plan, what
lies in the way, and sentences that tell it; then what was sent.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction
from functools import cached_property
from pathlib import Path

from provenance.build.seen import endings_of
from provenance.problems import Said, row
from provenance.publish.copy_list import is_of_copy
from provenance.publish.manifest import Manifest
from provenance.publish.place import Place, Whole
from provenance.publish.plan import Item, Plan, plan
from provenance.publish.refused import Refused
from provenance.publish.sending import Sent, Tell, send
from provenance.publish.site_files import outgoing, public_files

_SHOWN = 8
_MANY = 10  # pages, or a quarter of all: so many gone are asked about by themselves


@dataclass(frozen=True)
class Proposal:
    """What would go to a place: `to` tells the place, `there` is what lies there of ours."""

    place: Place | Whole
    to: str
    site: Sent
    there: Manifest
    plan: Plan

    @cached_property
    def in_the_way(self) -> tuple[str, ...]:
        """Files there that are not ours and hold something else than those that would replace
        them."""
        names = [item.name for item in self.plan.new]
        return self.place.foreign(outgoing(self.site.folder, names, self.site.files))

    @property
    def is_done(self) -> bool:
        """Whether the place holds the site already."""
        return not self.plan and self.there == self.site.manifest

    @property
    def loses_many(self) -> bool:
        """Whether visitors would lose more pages than a day's work takes away."""
        pages = sum(name.endswith(".html") for name in self.there.files)
        gone = sum(item.name.endswith(".html") for item in self.plan.gone)
        return gone >= _MANY or 4 * gone > pages > 0

    def json(self) -> dict[str, object]:
        """What is new, changed, gone, by name."""
        kinds = ("new", "changed", "gone")
        return {
            "to": self.to,
            **{kind: [each.name for each in getattr(self.plan, kind)] for kind in kinds},
        }

    def told(self, *, whole: bool) -> Iterator[Said]:
        """The same in sentences, with weights; each page or the first few, other files by kind."""
        yield Said("publishing.to", place=self.to)
        for kind in ("new", "changed", "gone"):
            if items := getattr(self.plan, kind):
                yield Said(f"publishing.{kind}", **weighed(items))
                yield from _listed([item.name for item in items], whole=whole)
        if self.in_the_way:
            names = self.in_the_way
            told = row(names[:_SHOWN])
            yield Said("publishing.foreign", number=len(names), names=told)
        if self.loses_many:
            pages = sum(item.name.endswith(".html") for item in self.plan.gone)
            yield Said("publishing.loses", number=pages)

    def carry_out(self, tell: Tell) -> None:
        """Send it."""
        send(self.place, self.plan, self.site, self.there, tell)

    def done(self) -> Iterator[Said]:
        """What went up and where it is to be seen."""
        sent = (*self.plan.new, *self.plan.changed)
        yield Said("publishing.sent", **weighed(sent), place=self.to, gone=len(self.plan.gone))
        if self.site.address:
            yield Said("publishing.seen_at", address=self.site.address)


def proposal(place: Place | Whole, to: str, folder: Path, address: str) -> Proposal:
    """What would go from a site's folder to a place; Refused where copies of records lie there,
    which publishing would take away."""
    site, there = Sent(folder, public_files(folder), address), place.manifest()
    if any(is_of_copy(name) for name in there.files):
        raise Refused(Said("publishing.copies_there", place=to), Said("publishing.another_folder"))
    return Proposal(place, to, site, there, plan(site.files, there))


def weighed(items: Sequence[Item]) -> dict[str, object]:
    """How many files, and their megabytes to a tenth."""
    tenths = -(-sum(item.size for item in items) * 10 // 1_000_000)
    return {"number": len(items), "size": Fraction(tenths, 10)}


def _listed(names: Sequence[str], *, whole: bool) -> Iterator[Said]:
    """Pages one by one, other files in a line, as a build tells them."""
    pages = [name for name in names if name.endswith(".html")]
    others = [name for name in names if not name.endswith(".html")]
    shown = pages if whole else pages[:_SHOWN]
    yield from (Said("publishing.page", name=name) for name in shown)
    if more := len(pages) - len(shown):
        yield Said("build.more", count=str(more))
    if others:
        yield Said("build.others", number=len(others), files=endings_of(others))
