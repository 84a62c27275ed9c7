"""Hours of a new piece, from the maker's own finished pieces: likely, low and high.

In: finished pieces with their hours by stage (`History`), and the new piece's structure, kind,
area and weight. Out: an `HoursEstimate` that says what it rests on. The rules:

- **Which pieces.** Those of the same structure and kind; with fewer than three, those of the same
  structure; then those of the same kind; then all. Where none of them has the structure, or the
  kind, asked for, the range is widened on the log scale: stretched by `NEW_SORT` where the pieces
  are of several others, whose differences are in the scatter already; and where all are of one
  other, by `APART`, added as independent doubts are (in squares). Both are ours: kinds would
  differ by about a third.
- **A stage that follows size** is a line through log hours against log area by least squares,
  with the t-interval of a new observation. Below five pieces (`SLOPED`), and where all pieces are
  of nearly one size, a slope would be guessed from nothing and cost a degree of freedom that is
  dear (t is 3.08 with one, 1.89 with two): hours are then taken in proportion to area, and what
  that gets wrong is part of the scatter that the range is made from.
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

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction
from math import exp, fsum, log, sqrt

from provenance.figures.estimate.line import Line, least_squares, t_quantile, with_slope
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
Sorts = Sequence[tuple[str, int]]


@dataclass(frozen=True, slots=True)
class StageHours:
    """Hours of one stage, each to a hundredth; `follows` is 'size' or 'weight'."""

    stage: str
    likely: Fraction
    low: Fraction
    high: Fraction
    follows: str


@dataclass(frozen=True, slots=True)
class HoursEstimate:
    """Hours of a new piece: `likely` is the sum of the stages; 80 % of pieces fall in low to high.

    `pieces` is how many finished pieces it rests on; `is_thin` that a stated factor stands in for
    what could not be learnt from them.
    """

    stages: tuple[StageHours, ...]
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
    size: Callable[[History], float]
    by_weight: bool

    @property
    def has_slope(self) -> bool:
        return self.line.freedom == self.line.points - 2

    def hours(self, piece: History) -> float:
        return exp(min(max(self.line.at(self.size(piece)), -FARTHEST), FARTHEST))

    def margin(self, piece: History) -> float:
        if self.line.points < ENOUGH:
            return log(WIDENED[self.line.points])
        return _bounded(self.line.margin(self.size(piece), HELD))

    def left(self, piece: History) -> float:
        """How far the piece's log hours lie off the line; 0 where it lacks the stage."""
        taken = piece.hours.get(self.name, 0)
        return log(taken) - self.line.at(self.size(piece)) if taken > 0 else 0.0


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
    sorts = list(unknown_sorts(pool, wanted))
    kin = kin_of(pool, wanted) if len(pool) >= ENOUGH else []
    pace = _pace(pool, stages, kin)
    rows = tuple(_row(stage, wanted, sorts, pace) for stage in stages)
    likely = sum((row.likely for row in rows), Fraction(0))
    low, high = (end * pace for end in _interval(pool, stages, wanted, sorts))
    return HoursEstimate(
        stages=rows,
        likely=likely,
        low=min(_hundredth(low), likely),
        high=max(_hundredth(high), likely),
        basis=in_turn(_basis(pool, likeness, stages, wanted)),
        pieces=len(pool),
        is_thin=len(pool) < ENOUGH,
    )


def _stages(pool: Sequence[History], wanted: History) -> list[_Stage]:
    """A line for every stage that at least half of the pieces went through."""
    names = stages_of(pool)
    weighed = bool(wanted.grams) and all(piece.grams for piece in pool)
    stages = []
    for name in names:
        went = [piece for piece in pool if piece.hours.get(name, 0) > 0]
        if 2 * len(went) >= len(pool):
            stages.append(_stage(name, went, by_weight=weighed and name in FOLLOW_WEIGHT))
    return stages


def _stage(name: str, went: Sequence[History], *, by_weight: bool) -> _Stage:
    size = _log_grams if by_weight else _log_area
    xs = [size(piece) for piece in went]
    ys = [log(piece.hours[name]) for piece in went]
    sloped = not by_weight and len(went) >= SLOPED and max(xs) - min(xs) >= log(ONE_SIZE)
    # Two sizes are two points: a line through them says how two pieces differ, not how hours grow.
    sloped = sloped and len({round(x, 2) for x in xs}) >= SIZES
    line = least_squares(xs, ys) if sloped else with_slope(xs, ys, 1.0)
    return _Stage(name, line, size, by_weight)


def _pace(pool: Sequence[History], stages: Sequence[_Stage], kin: Sequence[History]) -> float:
    """Hours of kin as a factor of what the pool would have them, half-way for one of them."""
    if not kin:
        return 1.0

    def mean(pieces: Sequence[History]) -> float:
        ratios = (log(piece.total / _sum_of_lines(stages, piece)) for piece in pieces)
        return fsum(ratios) / len(pieces)

    return exp((mean(kin) - mean(pool)) * len(kin) / (len(kin) + 1))


def _interval(
    pool: Sequence[History], stages: Sequence[_Stage], wanted: History, sorts: Sorts
) -> tuple[float, float]:
    """Low and high of the total; see the module's notes."""
    expected = fsum(stage.hours(wanted) for stage in stages)
    if len(pool) < ENOUGH:
        return expected / WIDENED[len(pool)], expected * WIDENED[len(pool)]
    ratios = [log(piece.total / _sum_of_lines(stages, piece)) for piece in pool]
    mean = fsum(ratios) / len(pool)
    margin = widened(_margin(pool, stages, wanted, [ratio - mean for ratio in ratios]), sorts)
    return expected * exp(mean - margin), expected * exp(mean + margin)


def _margin(
    pool: Sequence[History], stages: Sequence[_Stage], wanted: History, ratios: Sequence[float]
) -> float:
    """Half the interval of the total's log, from the scatter of the log ratios about their mean."""
    expected = fsum(stage.hours(wanted) for stage in stages)
    sloped = [(stage, stage.hours(wanted) / expected) for stage in stages if stage.has_slope]
    share = fsum(share for _, share in sloped)
    free = max(1 - share, 0.0) ** SLOPELESS
    worth = len(pool) - 2 + free
    freedom = worth**2 / (len(pool) - 2 + free**2)
    variance = fsum(ratio**2 for ratio in ratios) / worth * (1 + 1 / len(pool))
    if sloped:
        by_slopes = [fsum(share * stage.left(piece) for stage, share in sloped) for piece in pool]
        sizes = with_slope([_log_area(piece) for piece in pool], ratios, 0.0)
        away = (_log_area(wanted) - sizes.x_mean) ** 2 / sizes.x_spread
        variance += fsum(part**2 for part in by_slopes) / (len(pool) - 2) * away
    return _bounded(t_quantile((1 + HELD) / 2, freedom) * sqrt(variance))


def _bounded(margin: float) -> float:
    return min(max(margin, log(LEAST)), log(MOST))


def _sum_of_lines(stages: Sequence[_Stage], piece: History) -> float:
    return fsum(stage.hours(piece) for stage in stages)


def _row(stage: _Stage, wanted: History, sorts: Sorts, pace: float) -> StageHours:
    hours, factor = stage.hours(wanted) * pace, exp(widened(stage.margin(wanted), sorts))
    return StageHours(
        stage.name,
        likely=_hundredth(hours),
        low=_hundredth(hours / factor),
        high=_hundredth(hours * factor),
        follows="weight" if stage.by_weight else "size",
    )


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
        is_kind = each == wanted.kind
        yield (
            Said("hours.new_kind", kind=sort(each))
            if is_kind
            else Said("hours.new_structure", structure=each)
        )
    if count >= ENOUGH and (kin := kin_of(pool, wanted)):
        yield Said("hours.kin", number=len(kin))
    rare = [name for name in stages_of(pool) if name not in {stage.name for stage in stages}]
    if rare:
        yield Said("hours.left_out", stages=row(named("activity", each) for each in rare))


def _hundredth(hours: float) -> Fraction:
    return Fraction(half_up(Fraction(hours), 2))


def _log_area(piece: History) -> float:
    return log(piece.area_cm2)


def _log_grams(piece: History) -> float:
    return log(piece.grams or 1)
