"""How often a range of hours that is sold as 80 % holds: studios drawn apart from the code.

Run it by hand: `PYTHONPATH=. python tests/benchmarks/bench_hours.py [STUDIOS]`; it prints a table.
Nothing here is shared with `figures/estimate` but the shape of a finished piece: makers differ in
how even they are (from careful to loose), in the law of their luck (lognormal, gamma, or stage by
stage with a warp that goes wrong), in how hours grow with size, in whether they learn, and in how
far their kinds lie apart. The maker's own scatter is drawn from 0.12 to 0.38, evenly, which is a
guess of ours: no study of it was found.
"""

from __future__ import annotations

import random
import sys
from collections.abc import Iterator
from fractions import Fraction
from math import exp, log, sqrt
from typing import NamedTuple

from provenance.figures.estimate.hours import estimate
from provenance.figures.estimate.pool import History

LAWS = ("lognormal", "gamma", "stages")
LEARNING = {"steady": 0.0, "learns 3 %": 0.03, "learns 6 %": 0.06, "learns by doublings": None}
SCATTERS = (0.12, 0.38)
EVENNESS = {"careful": (0.12, 0.2), "middling": (0.2, 0.3), "loose": (0.3, 0.38)}
KINDS = ("throw", "rug", "scarf", "shawl", "hanging")
SPLIT = {"winding": 0.12, "threading": 0.18, "weaving": 0.55, "hemming": 0.15}


class Studio(NamedTuple):
    """One maker, as drawn: what her pieces will be like."""

    law: str
    scatter: float
    grows: float
    learning: str
    pace: dict[str, float]


def studio(rng: random.Random, learning: str, scatter: tuple[float, float] = SCATTERS) -> Studio:
    apart = rng.uniform(0.15, 0.45)
    return Studio(
        rng.choice(LAWS), rng.uniform(*scatter), rng.uniform(0.75, 1.1), learning,
        {kind: rng.gauss(0, apart) for kind in KINDS},
    )  # fmt: skip


def luck(rng: random.Random, law: str, scatter: float) -> dict[str, float]:
    """Factors on the hours of each stage; their sum strays by about `scatter` on the log scale."""
    if law == "lognormal":
        factor = rng.lognormvariate(0, scatter)
        return dict.fromkeys(SPLIT, factor)
    if law == "gamma":
        shape = 1 / scatter**2
        return dict.fromkeys(SPLIT, rng.gammavariate(shape, 1 / shape))
    shared = rng.lognormvariate(0, scatter * 0.75)
    factors = {stage: shared * rng.lognormvariate(0, scatter) for stage in SPLIT}
    if rng.random() < 0.08:
        factors["threading"] *= 1.8  # a warp that goes wrong
    return factors


def learnt(learning: str, made: int) -> float:
    """What the hours come to after so many pieces, as a factor."""
    a_piece = LEARNING[learning]
    if a_piece is None:
        return (made + 1) ** log(0.88, 2)  # a factor of 0.88 at each doubling, after Wright 1936
    return (1 - a_piece) ** made


def a_piece(
    rng: random.Random, maker: Studio, kind: str, made: int, design: float = 0.0
) -> History:
    """What she makes next of a kind, after so many pieces."""
    area = 8000 * rng.lognormvariate(0, 0.35)
    base = 30 * (area / 8000) ** maker.grows * exp(maker.pace[kind] + design)
    base *= learnt(maker.learning, made)
    lucky = luck(rng, maker.law, maker.scatter)
    hours = {stage: hundredth(base * part * lucky[stage]) for stage, part in SPLIT.items()}
    return History(kind, "twill", hundredth(area), None, hours, made + 1, str(made + 1))


def hundredth(amount: float) -> Fraction:
    return max(Fraction(round(100 * amount), 100), Fraction(1, 100))


def agree(pieces: list[History]) -> bool:
    """Whether hours for the area lie within a factor of 1.2: few pieces that agree, by chance."""
    rates = [float(each.total / each.area_cm2) for each in pieces]
    return max(rates) / min(rates) <= 1.2


def kinds_for(rng: random.Random, case: str, count: int) -> tuple[list[str], str]:
    """The kinds of the pieces made, in turn, and the kind asked for."""
    if case == "same":
        return ["throw"] * count, "throw"
    if case == "new, of one":
        return ["throw"] * count, "rug"
    new = "hanging"
    others = [rng.choice(KINDS[:4]) for _ in range(count)]
    if case == "mixed, seen":
        others[rng.randrange(count)] = new
    return others, new


def holds(rng: random.Random, case: str, count: int, maker: Studio) -> bool:
    """Whether one more piece lies in the range that the finished ones give."""
    kinds, wanted = kinds_for(rng, case, count)
    done = [a_piece(rng, maker, kind, made) for made, kind in enumerate(kinds)]
    return within(rng, maker, done, wanted)


def within(rng: random.Random, maker: Studio, done: list[History], kind: str) -> bool:
    new = a_piece(rng, maker, kind, len(done))
    found = estimate(done, "twill", kind, new.area_cm2, None)
    return found.low <= new.total <= found.high


def agreeing(rng: random.Random, count: int, scatter: tuple[float, float] = SCATTERS) -> bool:
    """The same of a maker whose few pieces happen to agree."""
    while True:
        maker = studio(rng, "steady", scatter)
        done: list[History] = []
        while len(done) < count and (len(done) < 2 or agree(done)):
            done.append(a_piece(rng, maker, "throw", len(done)))
        if agree(done):
            return within(rng, maker, done, "throw")


def again(rng: random.Random, count: int) -> bool:
    """A piece made again: part of what set it apart goes with its design, from 4 to 8 tenths."""
    maker = studio(rng, "steady")
    share = rng.uniform(0.4, 0.8)
    rest = maker._replace(scatter=maker.scatter * sqrt(1 - share))
    designs = [rng.gauss(0, maker.scatter * sqrt(share)) for _ in range(count)]
    done = [a_piece(rng, rest, "throw", made, design) for made, design in enumerate(designs)]
    which = rng.randrange(count)
    new = a_piece(rng, rest, "throw", count, designs[which])
    found = estimate(done, "twill", "throw", new.area_cm2, None, str(which + 1))
    return found.low <= new.total <= found.high


CASES = ("same", "new, of one", "mixed, seen", "mixed, new")
COUNTS = (3, 4, 5, 10, 20)
QUARTER = (0.25, 0.25)


def line(name: str, shares: list[str]) -> str:
    return f"{name:36}" + "".join(f"{share:>7}" for share in shares)


def share(hits: list[bool]) -> str:
    return f"{100 * sum(hits) / len(hits):.1f}"


def table(studios: int) -> Iterator[str]:
    """Coverage in per cent, by case; each cell has its own seed."""
    turns = range(studios)
    yield line("", [str(count) for count in COUNTS])
    for case in CASES:
        for learning in LEARNING:
            rngs = [random.Random(f"{case} {learning} {count}") for count in COUNTS]
            yield line(f"{case}, {learning}", [
                share([holds(rng, case, count, studio(rng, learning)) for _ in turns])
                for rng, count in zip(rngs, COUNTS, strict=True)
            ])  # fmt: skip
    for name, scatter in (EVENNESS | {"all by a quarter": QUARTER}).items():
        rngs = [random.Random(f"{name} {count}") for count in COUNTS]
        yield line(f"same, steady, {name}", [
            share([holds(rng, "same", count, studio(rng, "steady", scatter)) for _ in turns])
            for rng, count in zip(rngs, COUNTS, strict=True)
        ])  # fmt: skip
    few = COUNTS[:3]
    for name, scatter in (("", SCATTERS), (", all by a quarter", QUARTER)):
        rngs = [random.Random(f"agree {name} {count}") for count in few]
        yield line(f"pieces agree{name}", [
            share([agreeing(rng, count, scatter) for _ in turns])
            for rng, count in zip(rngs, few, strict=True)
        ])  # fmt: skip
    rngs = [random.Random(f"again {count}") for count in COUNTS]
    yield line("made again, like one", [
        share([again(rng, count) for _ in turns]) for rng, count in zip(rngs, COUNTS, strict=True)
    ])  # fmt: skip


if __name__ == "__main__":
    for each in table(int(sys.argv[1]) if len(sys.argv) > 1 else 1000):
        print(each)
