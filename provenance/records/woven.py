"""How a piece was woven: its bands from the top, its sett, work shared with other pieces."""

from collections.abc import Mapping
from typing import Annotated, ClassVar

from provenance.problems import Said, Slip, did_you_mean
from provenance.records import quantities as q
from provenance.records.amounts import HoursMaking
from provenance.records.fields import Name, OneOf, OneOrMore, PieceNumber
from provenance.records.reading import Record
from provenance.records.text import Written


class Band(Record):
    """A band of the cloth as it was woven: of which yarn, how long."""

    looks_like: ClassVar[Said] = Said("such.band")

    lot: Name
    for_: q.Centimetres

    def among(self, yarns: Mapping[str, int]) -> int:
        """Which of a piece's yarns it is of; Slip where it is of none."""
        if self.lot not in yarns:
            what = Said("record.band_of_none", lot=self.lot)
            raise Slip(what, did_you_mean(self.lot, yarns), self.lot.place)
        return yarns[str(self.lot)]


class SettNoted(Record):
    """Ends and picks, for later quotations."""

    ends: q.PerCentimetre | None = None
    picks: q.PerCentimetre | None = None


class SharedWork(Record):
    """Hours of work done for several pieces at once, such as one warp for ten towels."""

    with_: Annotated[tuple[PieceNumber, ...], OneOrMore()]
    by: Annotated[Written, OneOf("weight", "length", "number")] = Written("number")
    hours: HoursMaking
