"""Yarns of the demo studio, as their records describe them.

In: the record folder. Out: a `Yarn` for a lot's name: its colour from the records, and the
character of the fibre it was spun from (sheen, hairiness, fleck), which no record writes down.
"""

from functools import lru_cache
from pathlib import Path

import yaml
from yarns import Yarn

RECORDS = Path(__file__).parents[2] / "pieces"

CHARACTER: dict[str, dict] = {
    "gotland-2ply": {"lustre": 0.30, "heather": 0.50, "fuzz": 0.5, "twist": 2.4},
    "gotland-mohair": {"lustre": 0.50, "heather": 0.40, "fuzz": 1.6, "twist": 2.2, "slub": 0.16},
    "wensleydale-2ply": {"lustre": 0.42, "heather": 0.30, "fuzz": 0.3, "twist": 2.2},
    "foam": {"lustre": 0.42, "heather": 0.22, "fuzz": 0.3, "twist": 2.2, "fleck": "#f2ebdb"},
    "bfl-2ply": {"lustre": 0.24, "heather": 0.20, "fuzz": 0.3, "twist": 3.0},
    "bfl-silk": {"lustre": 0.70, "heather": 0.15, "fuzz": 0.25, "twist": 3.4},
    "shetland-moorit": {"lustre": 0.06, "heather": 0.60, "fuzz": 0.7, "twist": 2.6},
    "herdwick-rug": {
        "lustre": 0.08,
        "heather": 0.75,
        "fuzz": 0.8,
        "fleck": "#9b968d",
        "twist": 1.3,
    },
    "swaledale-rug": {"lustre": 0.10, "heather": 0.40, "fuzz": 0.8, "twist": 1.3},
    "swaledale-warp": {"lustre": 0.12, "heather": 0.25, "fuzz": 0.4, "plies": 3, "twist": 2.4},
    "linen-warp": {"lustre": 0.35, "heather": 0.30, "fuzz": 0.1, "slub": 0.25, "twist": 3.0},
    "cotton-warp": {"lustre": 0.05, "heather": 0.08, "fuzz": 0.1, "twist": 3.5},
    "wool-warp": {"lustre": 0.15, "heather": 0.14, "fuzz": 0.3, "twist": 4.0},
}


@lru_cache(maxsize=1)
def colours() -> dict[str, tuple[str, str]]:
    """Lot -> (colour, the lot it was dyed from or itself)."""
    spun = yaml.safe_load((RECORDS / "studio" / "yarns.yaml").read_text())
    known = {name: (str(lot["colour"]), name) for name, lot in spun.items() if "colour" in lot}
    for path in sorted((RECORDS / "dyebook").glob("*.yaml")):
        bath = yaml.safe_load(path.read_text())
        for dyed in bath["dyed"]:
            colour = dyed.get("colour") or bath.get("colour")
            if colour:
                known[dyed["becomes"]] = (str(colour), dyed["yarn"])
    return known


def origin(lot: str) -> str:
    """The undyed yarn a lot goes back to."""
    base = colours()[lot][1]
    return lot if base == lot else origin(base)


def yarn(lot: str) -> Yarn:
    """A lot as a yarn to weave with."""
    colour = colours()[lot][0]
    base = origin(lot)
    character = dict(CHARACTER[base])
    if base != lot:
        character.pop("fleck", None)
        character["heather"] = 0.75 * character["heather"]
    return Yarn(colour=colour, lot=lot, **character)


def written_out(number: str, place: int, base: str) -> Yarn:
    """A yarn dyed for one piece and written out in its record, the `place`-th of its yarns."""
    path = next(RECORDS.glob(f"{number}-*.yaml"))
    entry = yaml.safe_load(path.read_text())["yarns"][place]
    return Yarn(colour=str(entry["colour"]), lot=str(entry["fleece"]), **CHARACTER[base])
