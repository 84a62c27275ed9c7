"""Hours of a new piece, from the maker's own finished pieces: likely, low and high.

In: finished pieces with their hours by stage (`History`), and the new piece's structure, kind,
area and weight. Out: an `HoursEstimate` that says what it rests on. The rules:

- **Which pieces.** Those of the same structure and kind; with fewer than three, those of the same
  structure; then those of the same kind; then all.
- **A stage that follows size** is a line through log hours against log area by least squares.
  Below five pieces (`SLOPED`), and where all pieces are of nearly one size, a slope would be
  guessed from nothing and cost a degree of freedom that is dear (t is 3.08 with one, 1.89 with
  two): hours are then taken in proportion to area, and what that gets wrong is part of the scatter
  that the range is made from.
- **A stage that follows weight** (scouring to dyeing) is in proportion to the grams of the piece:
  the same line with slope one.
- **The total.** Stages of one piece share their luck (a hard warp is slow to wind, to thread and to
  weave), so stage intervals must not be added. Instead each finished piece's total is set against
  the sum of its own stage lines; the log ratios hold whatever correlation there is. What they say
  of the new piece, and how few of them lean on a prior, stands in `level`. Slopes cost up to one
  degree of freedom more, by the share of the hours whose stages have one (how far, `SLOPELESS`
  says, set by simulated studios), and their own doubt widens the range away from the mean size.
- **Like a piece.** The hours of a piece to be made again weigh most: see `level`.
- **One or two pieces** show no scatter: the interval is then the likely hours divided and
  multiplied by a stated factor (`WIDENED`), which is ours: it would hold 80 % of pieces that
  differ from their trend by about a third.
"""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction
from math import exp, fsum, log, sqrt

from provenance.figures.estimate.level import SCATTER, STRENGTH, Level, Off, level_of, pooled
from provenance.figures.estimate.line import Line, line_through, mean, t_quantile
from provenance.figures.estimate.pool import (
    ENOUGH,
    History,
    comparable,
    kin_of,
    pool_for,
    stages_of,
    traits_of,
    unknown_sorts,
)
from provenance.figures.working import half_up, in_turn, plain
from provenance.problems import Said, Slip, Words, named, row, sort

HELD = 0.8  # share of new pieces between low and high
SIZES = 3
SLOPED = 5  # pieces that a slope can be learnt from as well
WIDENED = {1: 2.0, 2: 1.75}  # pieces known -> factor either way
ONE_SIZE = 1.2  # largest over smallest area, below which no slope is fitted
SLOPELESS = 1.25  # see the module notes; set by simulated studios
MOST = 100.0  # factor either way beyond which a range says nothing more
FARTHEST = 30.0  # log hours; keeps absurd sizes from overflowing, far beyond any lifetime
FOLLOW_WEIGHT = frozenset((
    "sorting", "scouring", "washing", "picking", "combing", "carding", "blending", "spinning",
    "plying", "skeining", "winding", "gathering", "extracting", "mordanting", "dyeing", "rinsing",
))  # fmt: skip


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
        taken = piece.log_hours.get(self.name)
        return 0.0 if taken is None else taken - self.at(piece)


def estimate(
    history: Sequence[History], structure: str, kind: str, area: Fraction, grams: Fraction | None,
    like: str = "",
) -> HoursEstimate:  # fmt: skip
    """Hours for the next piece, of `area` cm² and `grams`, and like the one of a number, if any;
    raises Slip where nothing is known yet."""
    turn = max((piece.turn for piece in history), default=0) + 1
    return estimate_of(history, History(kind, structure, area, grams, {}, turn), like)


def estimate_of(history: Sequence[History], wanted: History, like: str = "") -> HoursEstimate:
    """Hours for a piece that is not made yet; raises Slip where nothing is known."""
    usable = [piece for piece in history if piece.area_cm2 > 0 and piece.total > 0]
    if not usable:
        raise Slip(Said("hours_slip.nothing_known"), Said("hours_slip.write_hours"))
    if wanted.area_cm2 <= 0:
        raise Slip(Said("hours_slip.no_size"), Said("cloth_slip.write_size"))
    alike, likeness = pool_for(usable, wanted.structure, wanted.kind)
    pool = comparable(alike)
    stages = _stages(pool, wanted)
    ratios = _ratios(stages, pool)
    level = _level(pool, ratios, stages, wanted, like)
    pace = exp(level.middle - mean(ratios))
    rows = {stage.name: _hundredth(stage.hours(wanted) * pace) for stage in stages}
    likely = sum(rows.values(), Fraction(0))
    low, high = map(_hundredth, _interval(pool, stages, wanted, level))
    said = [*_basis(pool, likeness, stages, wanted), *_leanings(pool, level, like)]
    low, high, count = min(low, likely), max(high, likely), len(pool)
    return HoursEstimate(rows, likely, low, high, in_turn(said), count, is_thin=count < ENOUGH)


def _stages(pool: Sequence[History], wanted: History) -> list[_Stage]:
    """A line for every stage that at least half of the pieces went through."""
    weighed = bool(wanted.grams) and all(piece.grams for piece in pool)
    stages = []
    for name in stages_of(pool):
        went = [piece for piece in pool if name in piece.log_hours]
        if 2 * len(went) >= len(pool):
            stages.append(_stage(name, went, by_weight=weighed and name in FOLLOW_WEIGHT))
    return stages


def _stage(name: str, went: Sequence[History], *, by_weight: bool) -> _Stage:
    xs = [_size(piece, by_weight=by_weight) for piece in went]
    ys = [piece.log_hours[name] for piece in went]
    sloped = not by_weight and len(went) >= SLOPED and max(xs) - min(xs) >= log(ONE_SIZE)
    # Two sizes are two points: a line through them says how two pieces differ, not how hours grow.
    sloped = sloped and len({round(x, 2) for x in xs}) >= SIZES
    return _Stage(name, line_through(xs, ys, None if sloped else 1.0), by_weight)


def _ratios(stages: Sequence[_Stage], pieces: Sequence[History]) -> list[float]:
    """How far the hours of each piece lie off the sum of its stage lines, as logs."""
    return [log(each.total / fsum(stage.hours(each) for stage in stages)) for each in pieces]


def _level(
    pool: Sequence[History], ratios: Sequence[float], stages: Sequence[_Stage], wanted: History,
    like: str,
) -> Level:  # fmt: skip
    """How far off the stage lines the new piece will be; see `level`."""
    traits, every = traits_of(pool, wanted), [*pool, wanted]

    def off(piece: History, left: float) -> Off:
        before = sum(other.turn < piece.turn for other in every)
        return Off(tuple(getattr(piece, trait) for trait in traits), before, left)

    offs = list(map(off, pool, ratios))
    knows_turns = len({piece.turn for piece in pool}) > 1
    new = off(wanted, 0.0)
    turn = new.turn if knows_turns else offs[0].turn
    its = next((each for each, piece in zip(offs, pool, strict=True) if like == piece.number), None)
    slopes = 1 - max(1 - fsum(share for _, share in _sloped(stages, wanted)), 0.0) ** SLOPELESS
    return level_of(offs, new.sort, turn, like=its if like else None, slopes=slopes)


def _sloped(stages: Sequence[_Stage], wanted: History) -> list[tuple[_Stage, float]]:
    """Stages whose slope was learnt, each with its share of the hours."""
    expected = fsum(stage.hours(wanted) for stage in stages)
    return [(each, each.hours(wanted) / expected) for each in stages if each.line.has_own_slope]


def _interval(
    pool: Sequence[History], stages: Sequence[_Stage], wanted: History, level: Level
) -> tuple[float, float]:
    """Low and high of the total; see the module's notes."""
    middle = fsum(stage.hours(wanted) for stage in stages) * exp(level.middle)
    factor = WIDENED.get(len(pool)) or exp(_margin(pool, stages, wanted, level))
    return middle / factor, middle * factor


def _margin(
    pool: Sequence[History], stages: Sequence[_Stage], wanted: History, level: Level
) -> float:
    """Half the interval of the total's log."""
    variance = level.variance + _doubt_of_slopes(pool, _sloped(stages, wanted), wanted)
    return min(t_quantile((1 + HELD) / 2, level.freedom) * sqrt(variance), log(MOST))


def _doubt_of_slopes(
    pool: Sequence[History], sloped: Sequence[tuple[_Stage, float]], wanted: History
) -> float:
    """What is not known of the slopes, away from the mean size."""
    if not sloped:
        return 0.0
    lefts = [fsum(share * stage.left(piece) for stage, share in sloped) for piece in pool]
    scatter = SCATTER * fsum(share for _, share in sloped)
    sizes = [piece.log_area for piece in pool]
    middle = mean(sizes)
    away = (wanted.log_area - middle) ** 2 / fsum((size - middle) ** 2 for size in sizes)
    return pooled(fsum(left**2 for left in lefts), len(pool) - 2, scatter) * away


def _basis(
    pool: Sequence[History], likeness: Said, stages: Sequence[_Stage], wanted: History
) -> Iterator[Said]:
    """Which pieces the estimate rests on, and how the lines go through them."""
    count = len(pool)
    areas = [piece.area_cm2 for piece in pool]
    yield Said("hours.pieces", number=count, likeness=likeness)
    if count < ENOUGH:
        yield Said("hours.too_few", factor=plain(Fraction(WIDENED[count])))
    elif not min(areas) <= wanted.area_cm2 <= max(areas):
        yield Said("hours.sizes", least=plain(min(areas), 0), most=plain(max(areas), 0))
    if ENOUGH <= count < SLOPED:
        yield Said("hours.in_proportion")
    for each in unknown_sorts(pool, wanted):
        if each == wanted.kind:
            yield Said("hours.new_kind", kind=sort(each))
        else:
            yield Said("hours.new_structure", structure=each)
    if kin := kin_of(pool, wanted):
        yield Said("hours.kin", number=len(kin))
    rare = [name for name in stages_of(pool) if name not in {stage.name for stage in stages}]
    if rare:
        yield Said("hours.left_out", stages=row(named("activity", each) for each in rare))


def _leanings(pool: Sequence[History], level: Level, like: str) -> Iterator[Said]:
    """What was assumed, and what was seen of the maker's pace."""
    if any(like == piece.number for piece in pool if like):
        yield Said("hours.like", piece=like)
    if level.shows_drift:
        word = "faster" if level.drift < 0 else "slower"
        change = Fraction(abs(exp(level.drift) - 1) * 100)
        yield Said(f"hours.{word}", share=plain(change, 0))
    if len(pool) >= ENOUGH and level.freedom < 3 * STRENGTH:
        scatter = plain(Fraction(SCATTER) * 100, 0)
        yield Said("hours.assumed", share=scatter, number=plain(Fraction(STRENGTH)))


def _hundredth(hours: float) -> Fraction:
    return Fraction(half_up(Fraction(hours), 2))


def _size(piece: History, *, by_weight: bool) -> float:
    """The log of what the hours of a stage follow."""
    return log(piece.grams or 1) if by_weight else piece.log_area
