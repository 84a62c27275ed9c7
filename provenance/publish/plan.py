"""What must be done so that a place holds the site: new, changed, gone, and in which step.

In: the site's files and the manifest of the place. Out: a frozen `Plan`. What a page needs comes
before the page, the page before what lists it: a visitor never meets one without the other.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from enum import IntEnum

from provenance.publish.manifest import Held, Manifest

_LISTS = ("feed.xml", "sitemap.xml", "robots.txt")


class Step(IntEnum):
    """The order in which files go up; the manifest and what is taken away come after."""

    ASSETS = 1
    PAGES = 2
    LISTS = 3


@dataclass(frozen=True, slots=True)
class Item:
    """A file of the plan; `size` in bytes (of what goes, what it had)."""

    name: str
    size: int
    step: Step


@dataclass(frozen=True, slots=True)
class Plan:
    """What is new, changed and gone, each by name. `gone` is on the manifest and no more in the
    site."""

    new: tuple[Item, ...]
    changed: tuple[Item, ...]
    gone: tuple[Item, ...]

    def __bool__(self) -> bool:
        return bool(self.new or self.changed or self.gone)

    def of(self, step: Step) -> tuple[Item, ...]:
        """What is to be put in a step."""
        return tuple(item for item in (*self.new, *self.changed) if item.step is step)


def plan(site: Mapping[str, Held], there: Manifest) -> Plan:
    """The difference between a site and what lies there."""
    known = there.files
    new = [name for name in site if name not in known]
    changed = [name for name in site if name in known and known[name] != site[name]]
    gone = [name for name in known if name not in site]
    return Plan(_items(new, site), _items(changed, site), _items(gone, known))


def step_of(name: str) -> Step:
    """When a file goes up: pages; then front page, pages at the top of a section, feed and lists,
    which all lead to pages; what pages are made of before them."""
    folder, _, last = name.rpartition("/")
    is_list = last == "index.html" and "/" not in folder and not folder[:1].isdigit()
    if is_list or last in _LISTS:
        return Step.LISTS
    return Step.PAGES if last.endswith(".html") else Step.ASSETS


def _items(names: list[str], held: Mapping[str, Held]) -> tuple[Item, ...]:
    return tuple(Item(name, held[name].size, step_of(name)) for name in sorted(names))
