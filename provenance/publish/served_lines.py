"""What came of opening the printed addresses, in lines for the maker and as data for programs.

In: `Served`. Out: sentences, wrong addresses first named; the same as JSON.
"""

from collections import Counter
from collections.abc import Iterator, Sequence
from pathlib import Path
from typing import Any

from provenance.problems import Said, Words, row
from provenance.publish.served import Opened, Served

_SHOWN = 5


def served_lines(
    served: Served, rules: Sequence[Path], *, is_only_other_way: bool = False
) -> Iterator[Words]:
    """Each address with what is wrong, then what the server might do better, then the count."""
    for each in served.opened:
        if not each.is_well:
            yield from _wrong(each)
        elif each.led_to:
            yield Said("served.led", address=each.address, to=each.led_to)
    yield from _remarks(served)
    for folder in rules:
        yield Said("served.rules", folder=str(folder))
    if is_only_other_way:
        yield Said("served.other_way")
    well = sum(each.is_well for each in served.opened if each.number)
    printed = sum(bool(each.number) for each in served.opened)
    if printed:
        yield Said("served.counted", well=str(well), number=printed)
    elif served.is_well:
        yield Said("served.none_printed" if served.opened else "served.no_address")


def _wrong(each: Opened) -> Iterator[Words]:
    key = each.verdict.replace(" ", "_")
    told = {"address": each.address, "why": each.why, "to": each.led_to}
    opened = Said("served.at", opened=each.opened) if each.opened != each.address else ""
    yield Said("served.wrong", what=Said(f"served.is_{key}", **told), at=opened)
    if key != "other_facts":
        yield Said("served.remedy", remedy=Said(f"served.mend_{key}"))
    for differs in each.differs:
        nothing = Said("build.nothing")
        printed, served = differs.printed or nothing, differs.served or nothing
        yield Said("served.differs", word=differs.word, printed=printed, served=served)


def _remarks(served: Served) -> Iterator[Words]:
    count = Counter(remark for each in served.opened for remark in each.remarks)
    for remark in sorted(count):
        pages = [each.opened for each in served.opened if remark in each.remarks]
        more = ["..."] if pages[_SHOWN:] else []
        told = row((*pages[:_SHOWN], *more)) if count[remark] < len(served.opened) else ""
        pages_said = told or Said("served.all_pages")
        yield Said("served.remark", what=Said(f"served.worth_{remark}"), pages=pages_said)


def served_data(served: Served, rules: Sequence[Path]) -> dict[str, Any]:
    """The same for programs."""
    return {
        "site": served.site,
        "at": served.at,
        "well": served.is_well,
        "addresses": [
            {
                "number": each.number,
                "address": each.address,
                "opened": each.opened,
                "verdict": each.verdict,
                "led to": each.led_to,
                "why": each.why,
                "differs": [
                    {"what": one.word, "printed": one.printed, "served": one.served}
                    for one in each.differs
                ],
                "remarks": list(each.remarks),
            }
            for each in served.opened
        ],
        "redirects": [str(folder) for folder in rules],
    }
