"""How one dye stands light as it is in a piece: its dyestuff, mordants, fibre and depth of shade.

In: a dye of a yarn. Out: its blue wool range and how that is known: rated in what could be read,
expected (the table's word without a source), assumed of its family, or from the maker's own window.
Rules: a range on wool, at full depth, from `tables/dyes.toml`; of several mordants the least
counts, lifted by a metal beside it; a pale dyeing and plant fibre are one class lower, a further
exhaust bath again one, silk half a one (Elnagar, Tera and Mohamed); tin half a one lower on plant
fibre and with onion; iron, copper and chrome lift by less than a class (Guérin, Tse and Dignard
2023; Crews 1982), never above 4 (Padfield and Landi 1966), and no mordant helps a dye of blue wool
1. Half a class moves one end of the range, as only whole classes have a dose.
"""

import math
from dataclasses import dataclass
from fractions import Fraction

from provenance.figures.light.window import WindowTest
from provenance.reference.dyes import Dye, find_dye, is_lake
from provenance.reference.light import family_range, most_by_metal, plant_range, shift, weak_on_tin
from provenance.reference.mordants import family_of
from provenance.reference.sourced import Span

WORST, BEST = 1, 8
_METALS = frozenset({"iron", "copper", "chrome"})


@dataclass(frozen=True, slots=True)
class DyeInPiece:
    """A dye as it is in the piece: the maker's name for it, its species, its yarn's mordants.

    `fibre` is wool (any hair), silk or cellulose, the weakest of the yarn; `paler` counts a pale
    dyeing and each further exhaust bath; `own` is the maker's window test of the yarn's lot.
    """

    name: str
    species: str = ""
    mordants: frozenset[str] = frozenset()
    fibre: str = "wool"
    paler: int = 0
    own: WindowTest | None = None

    @property
    def row(self) -> Dye | None:
        """What the table of dyes has: by its species, else by its name; of a lake, nothing."""
        if is_lake(self.name):
            return None
        return (find_dye(self.species) if self.species else None) or find_dye(self.name)


@dataclass(frozen=True, slots=True)
class Rating:
    """Blue wool range of one dye; `basis` is rated, expected, assumed or own.

    `source` and `sure` are empty where nothing was read; `kind` is the family it is assumed of.
    """

    dye: str
    blue_wool: tuple[int, int]
    basis: str
    source: str = ""
    sure: str = ""
    kind: str = ""
    disagree: bool = False
    fades_early: bool = False
    of: DyeInPiece = DyeInPiece("")

    @property
    def is_rated(self) -> bool:
        """Whether a test was read, or was the maker's own."""
        return self.basis in ("rated", "own")


@dataclass(frozen=True, slots=True)
class _Base:
    """What the tables give before fibre and depth are counted; `on`: by which of their rows."""

    spans: tuple[Span, ...]
    basis: str
    on: tuple[str, ...] = ()
    kind: str = ""

    @property
    def ends(self) -> tuple[int, int]:
        """The least of the ends."""
        ends = [(span.low or WORST, span.high or BEST) for span in self.spans]
        return int(min(low for low, _ in ends)), int(min(high for _, high in ends))

    @property
    def by_metal(self) -> bool:
        """Whether a row of iron, copper or chrome gives an end of the range."""
        low, high = self.ends
        ends = {row: (span.low, span.high) for row, span in zip(self.on, self.spans, strict=False)}
        return any(ends[row][0] == low or ends[row][1] == high for row in _METALS & ends.keys())

    @property
    def is_sourced(self) -> bool:
        """Whether every range in it was read somewhere."""
        return all(span.sure != "memory" for span in self.spans)


def rating(dye: DyeInPiece) -> Rating:
    """How a dye of a piece stands light."""
    row = dye.row
    base = _base(row, dye)
    ends = _moved(base, row, dye)
    source = "; ".join(dict.fromkeys(span.source for span in base.spans))
    found = Rating(
        dye.name, ends, base.basis,
        source=source if base.is_sourced else "",
        sure=base.spans[0].sure if base.is_sourced else "",
        kind=base.kind,
        disagree=bool(row and set(base.on) & set(row.disagree)),
        fades_early=bool(row and row.fades_early),
        of=dye,
    )  # fmt: skip
    return _tested(found, dye.own) if dye.own else found


def _base(row: Dye | None, dye: DyeInPiece) -> _Base:
    """The ranges of the table that fit; with none, that of the dye's family."""
    plant = None if row else plant_range(dye.species) or plant_range(dye.name)
    known = dict(row.light) if row else {"any": plant} if plant else {}
    own = [each for each in _conditions(dye) if each in known]
    on = own[:1] or _by_mordant(known, dye)
    spans = tuple(known[each] for each in on)
    if not spans:
        kind = row.light_family if row else "any"
        return _Base((family_range(kind),), "assumed", kind=kind)
    is_read = all(span.sure != "memory" for span in spans)
    return _Base(spans, "rated" if is_read else "expected", tuple(on))


def _conditions(dye: DyeInPiece) -> list[str]:
    return [*(["pale"] if dye.paler else []), *(["cellulose"] if dye.fibre == "cellulose" else [])]


def _by_mordant(known: dict[str, Span], dye: DyeInPiece) -> list[str]:
    """The row of each mordant family in the yarn, else the row for any."""
    families = {family_of(name) for name in dye.mordants} - {"none"}
    rows = [family if family in known else "any" for family in sorted(families)] or ["any"]
    return list(dict.fromkeys(each for each in rows if each in known))


def _moved(base: _Base, row: Dye | None, dye: DyeInPiece) -> tuple[int, int]:
    """The range as fibre, depth and mordants move it; a half moves one end."""
    by = _lower(base, row, dye) + _higher(base, dye)
    low, high = base.ends
    if by > 0 and high > WORST:
        return low, max(high, min(math.ceil(high + by), most_by_metal()))
    by = min(by, Fraction(0))
    return max(math.floor(low + by), WORST), max(math.ceil(high + by), WORST)


def _lower(base: _Base, row: Dye | None, dye: DyeInPiece) -> Fraction:
    counted = set(base.on) & {"pale", "cellulose"}
    by = shift("pale") * (dye.paler - ("pale" in counted))
    if dye.fibre != "wool" and not counted:
        by += shift(dye.fibre)
    is_harmed = dye.fibre == "cellulose" or (row is not None and row.name in weak_on_tin())
    has_tin = any(family_of(name) == "tin" for name in dye.mordants)
    return by + (shift("tin") if has_tin and is_harmed and "tin" not in base.on else 0)


def _higher(base: _Base, dye: DyeInPiece) -> Fraction:
    """A metal lifts what the table gives for any mordant, or for a worse one beside it."""
    is_of_mordants = bool(base.on) and not set(base.on) & {"pale", "cellulose"}
    is_lifted = (is_of_mordants and not base.by_metal) or base.kind not in ("", "any")
    metals = {family_of(name) for name in dye.mordants} & _METALS
    return shift("metal") if is_lifted and metals else Fraction(0)


def _tested(found: Rating, own: WindowTest) -> Rating:
    """The range within what the maker's own window test leaves open."""
    least, most = own.bounds
    low, high = (min(max(end, least), most) for end in found.blue_wool)
    return Rating(
        found.dye, (low, high), "own", fades_early=found.fades_early, of=found.of
    )  # fmt: skip
