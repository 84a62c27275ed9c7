"""Baths that hang on each other in a chain longer than any dyer's: a slip, told at its place.

In: the baths as they were read. Out: those that can be reckoned with, and the first one too many of
each chain as a problem; it and what hangs on it count as baths that could not be read. A lot is
dyed over a few times, a bath exhausted some ten times; the limit is ours.
"""

from collections import deque
from collections.abc import Mapping

from provenance.problems import Said
from provenance.records.baths import Bath
from provenance.records.folder import Reading
from provenance.records.text import Written

LONGEST = 60
Links = Mapping[str, Mapping[str, Written]]


def without_long_chains(reading: Reading, baths: Mapping[str, Bath]) -> dict[str, Bath]:
    """The baths at most so many steps away from yarn that was bought or spun."""
    links = _links(baths)
    depths = _depths(links)
    kept = {name: bath for name, bath in baths.items() if depths.get(name, 0) <= LONGEST}
    for name in baths.keys() - kept.keys():
        reading.mark_broken("baths", name)
        for entry in baths[name].dyed:
            reading.mark_broken("lots", str(entry.becomes))
        if depths[name] == LONGEST + 1:
            word = next(word for home, word in links[name].items() if depths[home] == LONGEST)
            what = Said("sense.long_chain", most=LONGEST, name=str(word))
            reading.problems.add(word.place, what, Said("sense.look_for_slip"))
    return kept


def _links(baths: Mapping[str, Bath]) -> Links:
    """Of each bath those it takes from, and the word that says so."""
    home: dict[str, str] = {}
    for name, bath in baths.items():
        for entry in bath.dyed:
            home.setdefault(str(entry.becomes), name)
    links: dict[str, dict[str, Written]] = {name: {} for name in baths}
    for name, bath in baths.items():
        for entry in bath.dyed:
            if source := home.get(str(entry.yarn)):
                links[name].setdefault(source, entry.yarn)
        if left := bath.exhaust_of:
            source = str(left) if left in baths else home.get(str(left))
            if source:
                links[name].setdefault(source, left)
    return links


def _depths(links: Links) -> dict[str, int]:
    """How many steps each bath is away from its start; baths in a circle have no depth."""
    waits = {name: len(sources) for name, sources in links.items()}
    targets: dict[str, list[str]] = {name: [] for name in links}
    for name, sources in links.items():
        for source in sources:
            targets[source].append(name)
    depths = {name: 1 for name, count in waits.items() if not count}
    ready = deque(depths)
    while ready:
        source = ready.popleft()
        for name in targets[source]:
            waits[name] -= 1
            if not waits[name]:
                depths[name] = 1 + max(depths[each] for each in links[name])
                ready.append(name)
    return depths
