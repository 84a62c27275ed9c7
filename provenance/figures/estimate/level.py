"""How high the hours of a new piece lie above the stage lines, and how far they may stray.

In: finished pieces as `Off`s (how far each one's log hours lie off the lines, its sort, its turn
in the making), the new piece's sort and turn. Out: a `Level`: the middle of what the new piece's
log hours will be, with variance and degrees of freedom for Student's t. The rules:

- **Scatter** of pieces of one sort. Few pieces may agree by chance, so what they show is set
  beside a prior (inverse gamma on the variance, which is the conjugate one): as if `STRENGTH`
  pieces more had been seen to differ by `SCATTER`. The range is the posterior-predictive one:
  Gelman et al., Bayesian Data Analysis, 3rd ed., 3.3 (from memory): Student's t with the degrees
  of freedom of both, on the pooled variance.
- **Learning.** Hours may rise or fall from piece to piece; the slope over the last `RECENT` pieces
  (of a sort of which there are more, the older ones have no say) is a regression shrunk towards
  none, by `DRIFT` (ridge, the same conjugate prior), and goes on for the new piece; its own doubt
  widens the range.
- **Sorts** in a mixed pool differ by a random effect: its variance is that of the sorts' means
  less their own doubt, beside a prior of `SORTS` worth `SORTS_STRENGTH` sorts more. The new piece
  is moved towards the pieces of its own sort by the usual shrinkage; a sort never made has the
  whole difference as its doubt.
- **The like.** A piece made again shares its design with the one it is like: `DESIGN` of what sets
  that one apart from its fellows is carried over.

`SCATTER`, `STRENGTH`, `DRIFT`, `SORTS`, `SORTS_STRENGTH` and `DESIGN` are assumed: ours, from no
study. The first two were set for makers whose pieces differ by a little under a quarter, to be held
whether their first pieces agree or not, after runs of simulated studios (from 0.22 and 5, by way of
0.24 and 8): the studios of `tests/benchmarks/bench_hours.py` are apart from the code, not unseen by
it. The price: very even makers are held more often than promised while they have few pieces, very
uneven ones less.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from itertools import groupby
from math import fsum, sqrt
from typing import NamedTuple

from provenance.figures.estimate.line import mean

SCATTER = 0.23  # of log hours among pieces of one sort: about a quarter either way
STRENGTH = 8.0  # pieces that this counts for
DRIFT = 0.04  # of log hours from one piece to the next
RECENT = 16  # pieces over which a drift is looked for
SORTS = 0.3  # of log hours among sorts: about a third
SORTS_STRENGTH = 2.0  # sorts that this counts for
DESIGN = 0.6  # share of a piece's own deviation that goes with its design
NOTICED = 0.02  # drift that is worth a word


class Off(NamedTuple):
    """A finished piece: its sort, how many of the pool were made before it, its log hours less
    what the stage lines say."""

    sort: tuple[str, ...]
    turn: float
    left: float


@dataclass(frozen=True, slots=True)
class Level:
    """Log hours of the new piece above the stage lines: t with `freedom` about `middle`.

    `drift` is the change of log hours from one piece to the next; `shows_drift` that it is more
    than its own doubt.
    """

    middle: float
    variance: float
    freedom: float
    drift: float
    shows_drift: bool


def pooled(squares: float, worth: float, prior: float = SCATTER) -> float:
    """A variance from squares worth so many pieces, beside the prior scatter's."""
    return (STRENGTH * prior**2 + squares) / (STRENGTH + worth)


def level_of(
    offs: Sequence[Off], sort: tuple[str, ...], turn: float, *, like: Off | None, slopes: float
) -> Level:
    """The level of a new piece; `slopes` is how many pieces' worth the stage lines' slopes cost."""
    by_sort = groupby(sorted(offs), lambda off: off.sort)
    sorts = {name: _recent(list(each)) for name, each in by_sort}
    counts = {name: len(each) for name, each in sorts.items()}
    first = max([turn, *(off.turn for off in offs)]) - RECENT
    sums = [_sums(each, first) for each in sorts.values()]
    across, both, up = (fsum(each[i] for each in sums) for i in range(3))
    steady = across + (SCATTER / DRIFT) ** 2
    drift = both / steady
    worth = max(sum(counts.values()) - len(sorts) - slopes, 0.0)
    variance = pooled(up - drift * both, worth)
    now = max(turn, first)
    raised = {
        name: mean([off.left + drift * (now - max(off.turn, first)) for off in each])
        for name, each in sorts.items()
    }
    apart = _apart(raised, counts, variance)
    middle, doubt = _among(raised, counts, sort, variance, apart)
    away = now - mean([max(off.turn, first) for off in sorts.get(sort, offs)])
    own = variance
    if like:
        its, _ = _among(raised, counts, like.sort, variance, apart)
        middle += DESIGN * (like.left + drift * (now - max(like.turn, first)) - its)
        own *= 1 - DESIGN**2
        doubt *= (1 - DESIGN) ** 2 if like.sort == sort else 1
    whole = own + doubt + variance * away**2 / steady
    shows = abs(drift) > max(NOTICED, sqrt(variance / steady))
    return Level(middle, whole, STRENGTH + worth, drift, shows)


def _recent(offs: Sequence[Off]) -> list[Off]:
    """The newest of a sort; all of them where nobody knows which those are."""
    since = sorted(off.turn for off in offs)[-RECENT:][0]
    return [off for off in offs if off.turn >= since]


def _sums(offs: Sequence[Off], first: float) -> tuple[float, float, float]:
    """Sums of squares and products of turn and log hours about their means."""
    turns = [max(off.turn, first) for off in offs]
    middle, level = mean(turns), mean([off.left for off in offs])
    both = [(turn - middle, off.left - level) for turn, off in zip(turns, offs, strict=True)]
    return fsum(x * x for x, _ in both), fsum(x * y for x, y in both), fsum(y * y for _, y in both)


def _apart(
    raised: Mapping[tuple[str, ...], float],
    counts: Mapping[tuple[str, ...], int],
    variance: float,
) -> float:
    """The variance among sorts."""
    middle = mean(list(raised.values()))
    squares = fsum((level - middle) ** 2 for level in raised.values())
    chance = variance * fsum(1 / each for each in counts.values()) * (1 - 1 / len(counts))
    known = SORTS_STRENGTH + len(raised) - 1
    return (SORTS_STRENGTH * SORTS**2 + max(squares - chance, 0.0)) / known


def _among(
    raised: Mapping[tuple[str, ...], float],
    counts: Mapping[tuple[str, ...], int],
    sort: tuple[str, ...],
    variance: float,
    apart: float,
) -> tuple[float, float]:
    """The level of one sort among all, and the variance of what is not known of it."""
    weights = {name: 1 / (apart + variance / count) for name, count in counts.items()}
    whole = fsum(weights.values())
    middle = fsum(weight * raised[name] for name, weight in weights.items()) / whole
    count = counts.get(sort, 0)
    own = count * apart / (count * apart + variance)
    middle += own * (raised.get(sort, middle) - middle)
    return middle, apart * (1 - own) + (1 - own) ** 2 / whole
