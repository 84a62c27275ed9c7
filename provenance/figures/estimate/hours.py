"""Hours of a new piece, from the maker's own finished pieces: likely, low and high.

In: finished pieces with their hours by stage (`History`), and the new piece's structure, kind,
area and weight. Out: an `HoursEstimate` that says what it rests on. The rules:

- **Which pieces.** Those of the same structure and kind; with fewer than three, those of the same
  structure; then those of the same kind; then all. Where none of them has the structure, or the
  kind, asked for, the range is widened on the log scale: stretched by `NEW_SORT` where the pieces
  are of several others, whose differences are in the scatter already; and where all are of one
  other, by `APART`, added as independent doubts are (in squares). Both are ours: kinds would
  differ by about a third.
- **A stage that follows size** is a line through log hours against log area by least squares.
  Below five pieces (`SLOPED`), and where all pieces are of nearly one size, a slope would be
  guessed from nothing and cost a degree of freedom that is dear (t is 3.08 with one, 1.89 with
  two): hours are then taken in proportion to area, and what that gets wrong is part of the scatter
  that the range is made from.
- **A stage that follows weight** (scouring to dyeing) is in proportion to the grams of the piece:
  the same line with slope one.
- **The total.** Stages of one piece share their luck (a hard warp is slow to wind, to thread and to
  weave), so stage intervals must not be added. Instead each finished piece's total is set against
  the sum of its own stage lines; the scatter of those log ratios holds whatever correlation there
  is. The mean costs one degree of freedom, the slopes up to one more, by the share of the hours
  whose stages have one (how far, `SLOPELESS` says, set by simulated studios), and with mixed
  stages Satterthwaite's rule gives the freedom of t; the slopes' own doubt widens the interval
  away from the mean size.
- **Kin in a mixed pool.** Where the pool is of several kinds or structures, and one or a few of
  its pieces are more like the new one than the rest, all hours are moved towards theirs: by k of
  k + 1 parts for k such pieces, as if sorts differed among themselves as much as pieces of one sort
  do (the usual shrinkage of a random effect; that ratio is ours). The range keeps its width.
- **Never narrower** than a tenth either way (`LEAST`, ours): three pieces may agree by chance, and
  no two warps are that much alike.
- **One or two pieces** show no scatter: the interval is then the likely hours divided and
  multiplied by a stated factor (`WIDENED`), which is ours: it would hold 80 % of pieces that
  differ from their trend by about a third.
"""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction
from math import exp, fsum, log, sqrt

from provenance.figures.estimate.line import Line, line_through, mean, t_quantile
from provenance.figures.estimate.pool import (
    ENOUGH,
    History,
    comparable,
    kin_of,
    pool_for,
    stages_of,
    unknown_sorts,
    widened,
)
from provenance.figures.working import half_up, in_turn, plain
from provenance.problems import Said, Slip, Words, named, row, sort

HELD = 0.8  # share of new pieces between low and high
SIZES = 3
SLOPED = 5  # pieces that a slope can be learnt from as well
WIDENED = {1: 2.0, 2: 1.75}  # pieces known -> factor either way
ONE_SIZE = 1.2  # largest over smallest area, below which no slope is fitted
SLOPELESS = 1.25  # see the module notes; set by simulated studios
LEAST = 1.1  # factor either way below which no range is named
MOST = 100.0  # factor either way beyond which a range says nothing more
FARTHEST = 30.0  # log hours; keeps absurd sizes from overflowing, far beyond any lifetime
FOLLOW_WEIGHT = frozenset(
    {"sorting", "scouring", "washing", "picking", "combing", "carding", "spinning", "plying"}
    | {"skeining", "winding", "gathering", "extracting", "mordanting", "dyeing", "rinsing"}
)


@dataclass(frozen=True, slots=True)
class HoursEstimate:
    """Hours of a new piece: `stages` has the likely ones of each, to a hundredth, and `likely` is
    their sum; 80 % of pieces fall in low to high.

    `pieces` is how many finished pieces it rests on; `is_thin` that a stated factor stands in for
    what could not be learnt from them.
    """

    stages: Mapping[str, Fraction]
    likely: Fraction
    low: Fraction
    high: Fraction
    basis: Words
    pieces: int
    is_thin: bool


@dataclass(frozen=True, slots=True)
class _Stage:
    """One stage's line, with what it reads off a piece (log area or log grams)."""

    name: str
    line: Line
    by_weight: bool

    def at(self, piece: History) -> float:
        return self.line.at(_size(piece, by_weight=self.by_weight))

    def hours(self, piece: History) -> float:
        return exp(min(max(self.at(piece), -FARTHEST), FARTHEST))

    def left(self, piece: History) -> float:
        """How far the piece's log hours lie off the line; 0 where it lacks the stage."""
        taken = piece.hours.get(self.name, 0)
        return log(taken) - self.at(piece) if taken > 0 else 0.0


def estimate(
    history: Sequence[History], structure: str, kind: str, area: Fraction, grams: Fraction | None
) -> HoursEstimate:
    """Hours for a new piece of `area` cm² and `grams`; raises Slip where nothing is known yet."""
    usable = [piece for piece in history if piece.area_cm2 > 0 and piece.total > 0]
    if not usable:
        raise Slip(Said("hours_slip.nothing_known"), Said("hours_slip.write_hours"))
    if area <= 0:
        raise Slip(Said("hours_slip.no_size"), Said("cloth_slip.write_size"))
    like, likeness = pool_for(usable, structure, kind)
    pool = comparable(like)
    wanted = History(kind, structure, area, grams, {})
    stages = _stages(pool, wanted)
    pace = _pace(pool, stages, kin_of(pool, wanted))
    rows = {stage.name: _hundredth(stage.hours(wanted) * pace) for stage in stages}
    likely = sum(rows.values(), Fraction(0))
    low, high = (_hundredth(end * pace) for end in _interval(pool, stages, wanted))
    basis, count = in_turn(_basis(pool, likeness, stages, wanted)), len(pool)
    return HoursEstimate(
        rows, likely, min(low, likely), max(high, likely), basis, count, is_thin=count < ENOUGH
    )


def _stages(pool: Sequence[History], wanted: History) -> list[_Stage]:
    """A line for every stage that at least half of the pieces went through."""
    weighed = bool(wanted.grams) and all(piece.grams for piece in pool)
    stages = []
    for name in stages_of(pool):
        went = [piece for piece in pool if piece.hours.get(name, 0) > 0]
        if 2 * len(went) >= len(pool):
            stages.append(_stage(name, went, by_weight=weighed and name in FOLLOW_WEIGHT))
    return stages


def _stage(name: str, went: Sequence[History], *, by_weight: bool) -> _Stage:
    xs = [_size(piece, by_weight=by_weight) for piece in went]
    ys = [log(piece.hours[name]) for piece in went]
    sloped = not by_weight and len(went) >= SLOPED and max(xs) - min(xs) >= log(ONE_SIZE)
    # Two sizes are two points: a line through them says how two pieces differ, not how hours grow.
    sloped = sloped and len({round(x, 2) for x in xs}) >= SIZES
    return _Stage(name, line_through(xs, ys, None if sloped else 1.0), by_weight)


def _pace(pool: Sequence[History], stages: Sequence[_Stage], kin: Sequence[History]) -> float:
    """Hours of kin as a factor of what the pool would have them, half-way for one of them."""
    if not kin:
        return 1.0
    off = mean(_ratios(stages, kin)) - mean(_ratios(stages, pool))
    return exp(off * len(kin) / (len(kin) + 1))


def _ratios(stages: Sequence[_Stage], pieces: Sequence[History]) -> list[float]:
    """How far the hours of each piece lie off the sum of its stage lines, as logs."""
    return [log(each.total / fsum(stage.hours(each) for stage in stages)) for each in pieces]


def _interval(
    pool: Sequence[History], stages: Sequence[_Stage], wanted: History
) -> tuple[float, float]:
    """Low and high of the total; see the module's notes."""
    expected = fsum(stage.hours(wanted) for stage in stages)
    if len(pool) < ENOUGH:
        return expected / WIDENED[len(pool)], expected * WIDENED[len(pool)]
    ratios = _ratios(stages, pool)
    off = mean(ratios)
    margin = _margin(pool, stages, wanted, [ratio - off for ratio in ratios])
    margin = widened(margin, unknown_sorts(pool, wanted))
    return expected * exp(off - margin), expected * exp(off + margin)


def _margin(
    pool: Sequence[History], stages: Sequence[_Stage], wanted: History, ratios: Sequence[float]
) -> float:
    """Half the interval of the total's log, from the scatter of the log ratios about their mean."""
    expected = fsum(stage.hours(wanted) for stage in stages)
    sloped = [(each, each.hours(wanted) / expected) for each in stages if each.line.has_own_slope]
    share = fsum(share for _, share in sloped)
    free = max(1 - share, 0.0) ** SLOPELESS
    worth = len(pool) - 2 + free
    freedom = worth**2 / (len(pool) - 2 + free**2)
    variance = fsum(ratio**2 for ratio in ratios) / worth * (1 + 1 / len(pool))
    if sloped:
        by_slopes = [fsum(share * stage.left(piece) for stage, share in sloped) for piece in pool]
        sizes = [log(piece.area_cm2) for piece in pool]
        middle = mean(sizes)
        away = (log(wanted.area_cm2) - middle) ** 2 / fsum((size - middle) ** 2 for size in sizes)
        variance += fsum(part**2 for part in by_slopes) / (len(pool) - 2) * away
    margin = t_quantile((1 + HELD) / 2, freedom) * sqrt(variance)
    return min(max(margin, log(LEAST)), log(MOST))


def _basis(
    pool: Sequence[History], likeness: Said, stages: Sequence[_Stage], wanted: History
) -> Iterator[Said]:
    """What the estimate rests on."""
    count = len(pool)
    areas = [piece.area_cm2 for piece in pool]
    yield Said("hours.pieces", number=count, likeness=likeness)
    if count < ENOUGH:
        yield Said("hours.too_few", factor=plain(Fraction(WIDENED[count])))
    elif not min(areas) <= wanted.area_cm2 <= max(areas):
        yield Said("hours.sizes", least=plain(min(areas), 0), most=plain(max(areas), 0))
    if ENOUGH <= count < SLOPED:
        yield Said("hours.in_proportion")
    for each, _ in unknown_sorts(pool, wanted):
        if each == wanted.kind:
            yield Said("hours.new_kind", kind=sort(each))
        else:
            yield Said("hours.new_structure", structure=each)
    if kin := kin_of(pool, wanted):
        yield Said("hours.kin", number=len(kin))
    rare = [name for name in stages_of(pool) if name not in {stage.name for stage in stages}]
    if rare:
        yield Said("hours.left_out", stages=row(named("activity", each) for each in rare))


def _hundredth(hours: float) -> Fraction:
    return Fraction(half_up(Fraction(hours), 2))


def _size(piece: History, *, by_weight: bool) -> float:
    """The log of what the hours of a stage follow."""
    return log(piece.grams or 1) if by_weight else log(piece.area_cm2)
