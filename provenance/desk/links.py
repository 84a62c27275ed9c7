"""Links from what is told at the desk to the record it is about, at its line.

In: places of records, slips, deeds. Out: addresses of the desk, and plain dicts.
"""

from typing import Any
from urllib.parse import quote

from provenance.deeds.deed import Deed, hunks_of
from provenance.language.phrases import Phrases
from provenance.problems import Place, Said, Slip

STALE = ("deed.changed", "deed.taken", "desk_hands.stale")


def href(place: Place) -> str:
    """Where the desk shows a place: the file lies in the record folder, whose name comes first."""
    path = place.file.partition("/")[2]
    line = f"?line={place.line}" if place.line else ""
    return f"/at/{quote(path)}{line}" if path else ""


def refusal(slip: Slip, phrases: Phrases) -> dict[str, Any]:
    """What can't be done and what could be, in words."""
    place = slip.place
    return {
        "what": phrases.tell(slip.what), "remedy": phrases.tell(slip.remedy),
        "place": place.short if place else "", "href": href(place) if place else "",
    }  # fmt: skip


def is_stale(slip: Slip) -> bool:
    """Whether something has changed since it was shown."""
    return isinstance(slip.what, Said) and slip.what.key in STALE


def shown(deed: Deed, phrases: Phrases) -> dict[str, Any]:
    """What a deed says of itself, and the lines that go and come."""
    hunks = (hunk for change in deed.changes for hunk in hunks_of(change))
    changes = [
        {"place": hunk.place.short, "href": href(hunk.place), "gone": [*hunk.gone],
         "new": [*hunk.new]}
        for hunk in hunks
    ]  # fmt: skip
    return {"told": [phrases.tell(words) for words in deed.told], "changes": changes}
