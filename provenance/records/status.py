"""Where a piece stands, as a record says it: `available`, `reserved until 2026-12-01`."""

import re
from dataclasses import dataclass
from datetime import date

from provenance.problems import Place, Said, Slip, did_you_mean
from provenance.records.fields import day
from provenance.records.text import Written

STATES = (
    "in progress", "available", "reserved", "sold", "not for sale", "commission", "withdrawn",
)  # fmt: skip


@dataclass(frozen=True, slots=True)
class Status:
    """`state` is one of STATES; `until` for a reservation, `commission` its number."""

    state: str
    place: Place
    until: date | None = None
    commission: str = ""


def read_status(text: Written) -> Status:
    """Where a piece stands, as a record says it."""
    plain = re.sub(r"\s+", " ", text).strip()
    if plain.lower() in STATES:
        return Status(plain.lower(), text.place)
    if found := re.fullmatch(r"reserved (?:until )?(\S+)", plain, re.IGNORECASE):
        return Status("reserved", text.place, until=day(found[1]))
    if found := re.fullmatch(r"commission ([\w-]+)", plain, re.IGNORECASE):
        return Status("commission", text.place, commission=found[1])
    raise Slip(Said("record.status", text=text), did_you_mean(plain, STATES))
