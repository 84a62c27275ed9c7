"""The maker's own light tests: a strip of a lot in the window, beside a strip that is known."""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import Annotated

from pydantic import model_validator

from provenance.problems import Place, Said, Slip
from provenance.records.fields import Day, Name, OneOf, Reads, Text
from provenance.records.reading import Named
from provenance.records.text import Written

# Without a blue wool strip: a yarn whose behaviour is known. Turmeric goes first; a deep indigo
# hardly moves, so that it stands above all that a window can tell.
KNOWN_YARNS = {"turmeric": 1, "indigo": 5}


@dataclass(frozen=True, slots=True)
class Beside:
    """The blue wool of the strip beside it; `dye` where a dyed yarn stands for one."""

    blue_wool: int
    dye: str
    place: Place


def _beside(text: Written) -> Beside:
    said = " ".join(text.lower().split())
    found = re.fullmatch(r"(?:blue wool )?([1-8])", said)
    if found:
        return Beside(int(found[1]), "", text.place)
    if said.removeprefix("deep ") in KNOWN_YARNS:
        dye = said.removeprefix("deep ")
        return Beside(KNOWN_YARNS[dye], dye, text.place)
    raise Slip(Said("record.beside", text=text), Said("record.write_beside"))


class LightTest(Named):
    """A strip of a lot in the light, half of it covered, beside a strip that is known."""

    lot: Name
    on: Annotated[Written, OneOf("window", "outdoors")] = Written("window")
    from_: Day
    to: Day | None = None
    beside: Annotated[Beside, Reads(_beside)] | None = None
    changed: Annotated[Written, OneOf("more", "same", "less")] | None = None
    notes: Text | None = None

    @model_validator(mode="after")
    def _fits_together(self) -> LightTest:
        if self.to is not None and self.to <= self.from_:
            raise Slip(Said("record.test_days"), Said("record.write_test_days"))
        if self.changed is not None and (self.to is None or self.beside is None):
            raise Slip(Said("record.test_half"), Said("record.write_test"), self.changed.place)
        return self
