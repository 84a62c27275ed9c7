"""Hours of a new piece: the line against NIST, t against scipy, the range against simulation."""

from __future__ import annotations

import random
import runpy
import tomllib
from dataclasses import replace
from fractions import Fraction
from math import exp, fsum, log, sqrt
from pathlib import Path

import numpy as np
import pytest
import scipy.optimize
import scipy.stats
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from provenance.figures.estimate.hours import WIDENED, estimate
from provenance.figures.estimate.level import Off, level_of
from provenance.figures.estimate.line import line_through, t_quantile
from provenance.figures.estimate.pool import History
from provenance.figures.estimate.score import Score, leave_one_out, score
from provenance.language.phrases import british
from provenance.problems import Slip

tell = british().tell
STUDIOS_APART = runpy.run_path(
    str(Path(__file__).parents[1] / "benchmarks" / "bench_hours.py"), run_name="bench_hours"
)
ASSUMED = (
    "; few pieces may agree by chance, so the range also takes in a guess of this program's own: "
    "that pieces of one sort differ by about 23 %; it counts as 8 pieces more"
)
FEW = "too few to see how hours grow with size, so they go in proportion to it"
NORRIS = tomllib.loads(
    (Path(__file__).parents[1] / "truth" / "nist_norris.toml").read_text(encoding="utf-8")
)


# ----------------------------------------------------------------------- the line and Student's t


def scatter(line, xs, ys) -> float:
    """Residual standard deviation: by all points less what was fitted, one mean or a slope too."""
    left = fsum((y - line.at(x)) ** 2 for x, y in zip(xs, ys, strict=True))
    return sqrt(left / (len(xs) - 1 - line.has_own_slope))


def margin_at(line, xs, ys, new) -> float:
    """Half the interval that holds 80 % of new observations at a place."""
    spread = fsum((x - line.x_mean) ** 2 for x in xs)
    away = (new - line.x_mean) ** 2 / spread if line.has_own_slope else 0
    freedom = len(xs) - 1 - line.has_own_slope
    return t_quantile(0.9, freedom) * scatter(line, xs, ys) * sqrt(1 + 1 / len(xs) + away)


def test_the_line_has_the_certified_values_of_nist():
    """NIST StRD, linear regression, Norris: 36 points, certified to 15 digits."""
    xs, ys = [x for _, x in NORRIS["points"]], [y for y, _ in NORRIS["points"]]
    line = line_through(xs, ys)
    assert len(xs) == 36
    deviation, spread = scatter(line, xs, ys), fsum((x - line.x_mean) ** 2 for x in xs)
    for worked, key in (
        (line.at(0), "B0"),
        (line.slope, "B1"),
        (deviation, "residual_deviation"),
        (deviation * sqrt(1 / 36 + line.x_mean**2 / spread), "B0_deviation"),
        (deviation / sqrt(spread), "B1_deviation"),
    ):
        assert worked == pytest.approx(float(NORRIS[key]), rel=1e-11)


@pytest.mark.parametrize("freedom", [1, 1.25, 2, 2.5, 3, 4, 7, 12, 34, 120, 1000])
@pytest.mark.parametrize("share", [0.01, 0.3, 0.51, 0.6, 0.8, 0.9, 0.95, 0.975, 0.999])
def test_students_t_agrees_with_scipy(share, freedom):
    assert t_quantile(share, freedom) == pytest.approx(
        float(scipy.stats.t.ppf(share, freedom)), rel=1e-10
    )


def test_students_t_of_the_printed_tables():
    """The tables at the back of any statistics book: 90 % one-sided."""
    for freedom, printed in ((1, 3.078), (2, 1.886), (3, 1.638), (10, 1.372), (30, 1.310)):
        assert t_quantile(0.9, freedom) == pytest.approx(printed, abs=5e-4)
    assert t_quantile(0.5, 5) == pytest.approx(0, abs=1e-12)


def test_the_interval_of_a_new_point_agrees_with_scipy_and_numpy():
    rng = np.random.default_rng(3)
    xs = rng.normal(9, 0.6, 11)
    ys = 0.8 * xs - 4 + rng.normal(0, 0.3, 11)
    line, theirs = line_through(xs.tolist(), ys.tolist()), scipy.stats.linregress(xs, ys)
    assert line.slope == pytest.approx(theirs.slope, rel=1e-12)
    assert line.at(0) == pytest.approx(theirs.intercept, rel=1e-12)
    design = np.stack([np.ones(11), xs], axis=1)
    left = ys - design @ np.linalg.lstsq(design, ys, rcond=None)[0]
    for new in (8.0, 9.1, 11.0):
        row = np.array([1, new])
        spread = sqrt(left @ left / 9 * (1 + row @ np.linalg.inv(design.T @ design) @ row))
        wanted = scipy.stats.t.ppf(0.9, 9) * spread
        assert margin_at(line, xs, ys, new) == pytest.approx(wanted, rel=1e-9)


def test_the_interval_with_a_given_slope():
    """With the slope given: the interval of a new value about a mean, t (n - 1) s √(1 + 1/n)."""
    xs, ys = [1.0, 2.0, 4.0], [1.2, 1.9, 4.4]
    line = line_through(xs, ys, 1.0)
    left = [y - x for x, y in zip(xs, ys, strict=True)]
    spread = np.std(left, ddof=1) * sqrt(1 + 1 / 3)
    wanted = scipy.stats.t.ppf(0.9, 2) * spread
    assert margin_at(line, xs, ys, 9.0) == pytest.approx(wanted, rel=1e-9)


# --------------------------------------------------------------------------- what is estimated


def piece(area, hours, grams=None, structure="twill", kind="throw") -> History:
    taken = {stage: Fraction(str(amount)) for stage, amount in hours.items()}
    return History(
        kind, structure, Fraction(area), None if grams is None else Fraction(grams), taken
    )


def test_pieces_on_a_perfect_line_are_continued():
    """Hours as the square root of the area, dyeing by weight; the range is the prior's: by hand.

    8 x 0.23² / (8 + 5 - 2 + free) of each, and its share by slopes: about a third either way.
    """
    done = [
        piece(area, {"weaving": Fraction(area) ** 0.5, "dyeing": grams / 100}, grams)
        for area, grams in ((1600, 250), (2500, 400), (4900, 700), (6400, 900), (10000, 800))
    ]
    found = estimate(done, "twill", "throw", Fraction(3600), Fraction(500))
    assert list(found.stages.items()) == [("weaving", 60), ("dyeing", 5)]
    assert found.likely == 65
    assert 1.25 < found.high / found.likely < 1.4
    assert found.high / found.likely == pytest.approx(found.likely / found.low, rel=1e-3)
    assert tell(found.basis) == (
        "5 finished pieces of the same structure and kind (twill, throw)" + ASSUMED
    )
    assert (found.pieces, found.is_thin) == (5, False)


@pytest.mark.parametrize(("count", "grows"), [(3, 4), (4, 4), (5, 2)])
def test_below_five_pieces_hours_go_in_proportion_to_size(count, grows):
    """Hours that are the square root of the area: four times the area takes twice as long."""
    sizes = (2500, 3600, 4900, 6400, 8100)[:count]
    done = [piece(area, {"weaving": Fraction(area) ** 0.5}) for area in sizes]

    def asked(area):
        return estimate(done, "twill", "throw", Fraction(area), None)

    assert float(asked(40000).likely / asked(10000).likely) == pytest.approx(grows, rel=1e-3)
    assert ("so they go in proportion to it" in tell(asked(3000).basis)) == (count < 5)


def posterior_predictive(squares, worth, new_variance) -> float:
    """Half the 80 % interval of a new value: normal data of unknown variance with an inverse-gamma
    prior on it (8 pieces' worth of 0.23), worked with scipy on the joint of both, not with t:
    variance ~ InvGamma(a, b), new ~ N(0, variance x new_variance), by quadrature."""
    belief = scipy.stats.invgamma((8 + worth) / 2, scale=(8 * 0.23**2 + squares) / 2)

    def below(margin):
        return belief.expect(lambda v: scipy.stats.norm.cdf(margin / np.sqrt(v * new_variance)))

    return scipy.optimize.brentq(lambda margin: below(margin) - 0.9, 1e-3, 9)


def test_with_three_pieces_the_range_is_the_posterior_predictive_one():
    """Fixed slope: n - 1 = 2 degrees of freedom from the log hours for a square centimetre."""
    done = [piece(area, {"weaving": h}) for area, h, _ in THREE]
    found = estimate(done, "twill", "throw", Fraction(6000), None)
    squares = 3 * np.var([log(h / area) for area, h, _ in THREE])
    margin = posterior_predictive(squares, 2, 4 / 3)
    assert log(found.high / found.low) / 2 == pytest.approx(margin, abs=1e-3)
    assert found.high / found.low < 3


def test_a_stage_is_the_textbook_interval():
    areas, hours = [2000, 5000, 6000, 9000, 15000], [9, 14, 21, 22, 41]
    done = [piece(*pair) for pair in zip(areas, ({"weaving": h} for h in hours), strict=True)]
    found = estimate(done, "twill", "throw", Fraction(8000), None)
    xs, ys = np.log(areas), np.log(hours)
    fit = scipy.stats.linregress(xs, ys)
    middle = fit.intercept + fit.slope * log(8000)
    left = ys - fit.intercept - fit.slope * xs
    away = (log(8000) - xs.mean()) ** 2 / ((xs - xs.mean()) ** 2).sum()
    margin = posterior_predictive((left**2).sum(), 3, 1 + 1 / 5 + away)
    # with one stage the total is that stage
    assert found.stages == {"weaving": found.likely}
    for ours, theirs in ((found.likely, 0), (found.low, -margin), (found.high, margin)):
        assert float(ours) == pytest.approx(exp(middle + theirs), abs=0.005)


def test_stages_add_up_to_the_likely_hours():
    rng = random.Random(2)
    done = [simulated(rng, "mixed", 0.2, 0.2) for _ in range(8)]
    found = estimate(done, "twill", "throw", Fraction(9000), Fraction(700))
    assert sum(found.stages.values()) == found.likely
    assert found.low < found.likely < found.high
    # stages share a piece's luck: the range of the total is not the sum of the stages' ranges
    low, high = summed_ranges(done, Fraction(9000), Fraction(700))
    assert found.low > low
    assert found.high < high


def summed_ranges(done, area, grams) -> tuple[Fraction, Fraction]:
    """The ranges of all stages added up: each stage estimated as if it were the only one."""
    ranges = [
        estimate([replace(each, hours={stage: each.hours[stage]}) for each in done],
                 "twill", "throw", area, grams)
        for stage in done[0].hours
    ]  # fmt: skip
    return sum(each.low for each in ranges), sum(each.high for each in ranges)


@pytest.mark.parametrize("stage", ["spinning", "blending"])
def test_weight_stages_double_with_the_weight_and_ignore_the_size(stage):
    done = [piece(area, {stage: h, "weaving": 9}, g) for area, h, g in THREE]
    light = estimate(done, "twill", "throw", Fraction(5000), Fraction(400)).stages[stage]
    heavy = estimate(done, "twill", "throw", Fraction(9000), Fraction(800)).stages[stage]
    assert float(heavy / light) == pytest.approx(2, rel=2e-3)


THREE = ((4000, 12, 400), (6000, 14, 520), (8000, 27, 800))


def test_without_weights_every_stage_follows_size():
    done = [piece(area, {"spinning": h}, g) for area, h, g in THREE]
    one, two = (estimate(done, "twill", "throw", Fraction(area), None) for area in (5000, 10000))
    assert float(two.likely / one.likely) == pytest.approx(2, rel=2e-3)
    unweighed = [*done, piece(5000, {"spinning": 15})]
    light, heavy = (
        estimate(unweighed, "twill", "throw", Fraction(5000), Fraction(grams))
        for grams in (450, 900)
    )
    assert light.stages == heavy.stages


def test_pieces_of_one_size_scale_in_proportion():
    done = [piece(5000, {"weaving": hours}) for hours in (10, 11, 12)]
    found = estimate(done, "twill", "throw", Fraction(10000), None)
    middle = 2 * (10 * 11 * 12) ** (1 / 3)
    margin = posterior_predictive(3 * np.var(np.log([10, 11, 12])), 2, 4 / 3)
    assert float(found.likely) == pytest.approx(middle, abs=0.005)
    assert float(found.high) == pytest.approx(middle * exp(margin), abs=0.005)
    assert tell(found.basis) == (
        "3 finished pieces of the same structure and kind (twill, throw); "
        f"their sizes are 5000 to 5000 cm²; {FEW}{ASSUMED}"
    )


def test_the_nearest_kin_are_asked_first():
    def many(structure, kind, hours):
        return [
            piece(area, {"weaving": hours * area / 1000}, None, structure, kind)
            for area in (4000, 5000, 7000)
        ]

    done = [*many("twill", "throw", 2), *many("pile", "rug", 9), *many("plain", "scarf", 1)]

    def asked(structure, kind):
        return estimate(done, structure, kind, Fraction(6000), None)

    assert tell(asked("pile", "rug").basis) == (
        f"3 finished pieces of the same structure and kind (pile, rug); {FEW}{ASSUMED}"
    )
    assert asked("pile", "throw").likely == 54
    assert tell(asked("pile", "throw").basis) == (
        f"3 finished pieces of the same structure (pile); {FEW}; "
        f"none is a throw, so the range is widened{ASSUMED}"
    )
    assert asked("lace", "rug").likely == 54
    assert tell(asked("lace", "rug").basis) == (
        f"3 finished pieces of the same kind (rug), whatever their structure; {FEW}; "
        f"none is lace, so the range is widened{ASSUMED}"
    )
    assert tell(asked("", "scarf").basis) == (
        f"3 finished pieces of the same kind (scarf), whatever their structure; {FEW}{ASSUMED}"
    )
    assert asked("lace", "bag").pieces == 9
    assert tell(asked("", "").basis) == ("9 finished pieces of every kind and structure" + ASSUMED)


def test_a_structure_not_yet_made_widens_the_range():
    """By hand: twice the variance among sorts, which is 0.3² where one sort is known."""
    done = [piece(area, {"weaving": h}) for area, h, _ in THREE]
    known = estimate(done, "", "throw", Fraction(6000), None)
    new = estimate(done, "lace", "throw", Fraction(6000), None)
    assert new.likely == known.likely
    ours, theirs = (log(found.high / found.low) / 2 for found in (new, known))
    t = scipy.stats.t.ppf(0.9, 10)
    assert ours == pytest.approx(sqrt(theirs**2 + t**2 * 2 * 0.3**2), rel=1e-3)
    mixed = [replace(each, structure=sort) for each, sort in zip(done, "abc", strict=True)]
    several = estimate(mixed, "lace", "throw", Fraction(6000), None)
    assert several.high / several.low > known.high / known.low


@pytest.mark.parametrize(("count", "factor"), [(1, "2"), (2, "1.75")])
def test_one_or_two_pieces_are_said_to_be_few(count, factor):
    done = [piece(5000, {"weaving": 20, "finishing": 4}) for _ in range(count)]
    found = estimate(done, "twill", "throw", Fraction(10000), None)
    assert found.likely == 48
    assert (found.low, found.high) == (
        round(48 / Fraction(factor), 2),
        48 * Fraction(factor),
    )
    assert (found.pieces, found.is_thin) == (count, True)
    assert tell(found.basis) == (
        f"{count} finished piece{'s' * (count > 1)} of every kind and structure; "
        f"too few to learn from, so low and high are the likely hours divided and "
        f"multiplied by {factor}"
    )
    assert WIDENED[count] == float(factor)


def test_rare_stages_are_left_out_and_named():
    done = [
        piece(area, {"weaving": h, **extra})
        for (area, h, _), extra in zip(THREE, RARE, strict=True)
    ]
    found = estimate(done, "twill", "throw", Fraction(6000), None)
    assert list(found.stages) == ["weaving", "fringe"]
    assert tell(found.basis) == (
        f"3 finished pieces of the same structure and kind (twill, throw); {FEW}; "
        f"left out, since fewer than half had it: mending{ASSUMED}"
    )


RARE = ({"fringe": 2, "mending": 3}, {"fringe": 1}, {})


def test_pieces_that_share_no_stage_are_compared_whole():
    done = [
        piece(area, {stage: h})
        for (area, h, _), stage in zip(THREE, ("weaving", "work", "all"), strict=True)
    ]
    found = estimate(done, "twill", "throw", Fraction(6000), None)
    assert list(found.stages) == ["making"]


def test_nothing_to_go_by():
    for history in ([], [piece(0, {"weaving": 3})], [piece(500, {})]):
        with pytest.raises(Slip) as caught:
            estimate(history, "twill", "throw", Fraction(6000), None)
        assert tell(caught.value.what) == "no finished piece with its hours to estimate from"
        assert tell(caught.value.remedy) == "write the hours of one finished piece, stage by stage"
    with pytest.raises(Slip) as caught:
        estimate([piece(500, {"weaving": 3})], "twill", "throw", Fraction(0), None)
    assert tell(caught.value.what) == "a piece to be estimated has a size"


AMOUNTS = st.fractions(min_value=Fraction(1, 100), max_value=10**6)
PIECES = st.builds(
    History,
    st.sampled_from(["rug", "throw"]),
    st.sampled_from(["twill", "pile", ""]),
    AMOUNTS,
    st.none() | AMOUNTS,
    st.dictionaries(st.sampled_from(["weaving", "spinning", "design"]), AMOUNTS, min_size=1),
)


@settings(deadline=None, suppress_health_check=[HealthCheck.too_slow])  # on a busy machine
@given(st.lists(PIECES, min_size=1, max_size=7), PIECES)
def test_any_history_gives_an_ordered_range(history, new):
    found = estimate(history, new.structure, new.kind, new.area_cm2, new.grams)
    assert 0 <= found.low <= found.likely <= found.high
    assert sum(found.stages.values()) == found.likely


# ------------------------------------------------------------------ does the range keep its word?

# stage: hours at 1 m² or 1 kg, and the power of the area (None: in proportion to weight)
STUDIOS = {
    "mixed": {
        "design": (6, 0.3),
        "warping": (5, 0.7),
        "weaving": (30, 0.9),
        "finishing": (4, 0.5),
        "spinning": (20, None),
        "dyeing": (5, None),
    },
    "bought yarn": {"warping": (6, 0.6), "weaving": (40, 1.1), "fringe": (5, 0.5)},
    "spinner": {"carding": (9, None), "spinning": (26, None), "weaving": (15, 0.8)},
    "felt": {"felting": (12, 1.0)},
}


def simulated(rng, studio, shared, own, structure="twill", tempo=0.0) -> History:
    """A piece whose stages share one stroke of luck and each have their own."""
    size = rng.gauss(0, 0.5)
    weight = size + rng.gauss(log(0.8), 0.25)
    luck = tempo + rng.gauss(0, shared)
    hours = {
        stage: hundredths(
            base * exp((weight if power is None else power * size) + luck + rng.gauss(0, own))
        )
        for stage, (base, power) in STUDIOS[studio].items()
    }
    area, grams = hundredths(10000 * exp(size)), hundredths(1000 * exp(weight))
    return History("throw", structure, area, grams, hours)


def hundredths(amount: float) -> Fraction:
    return Fraction(round(100 * amount), 100)


def held(rng, studio, count, luck) -> bool:
    """One studio: a history of `count` pieces of each of two structures, and one new piece."""
    tempi = {"twill": rng.gauss(0, 0.3), "pile": rng.gauss(0.8, 0.3)}
    history = [
        simulated(rng, studio, *luck, structure, tempo)
        for structure, tempo in tempi.items()
        for _ in range(count)
    ]
    structure = rng.choice(list(tempi))
    new = simulated(rng, studio, *luck, structure, tempi[structure])
    found = estimate(history, structure, "throw", new.area_cm2, new.grams)
    return found.low <= new.total <= found.high


LUCK = ((0.25, 0.1), (0.05, 0.3), (0.15, 0.2))  # shared by the stages, own to each: log deviations


def test_eighty_in_a_hundred_new_pieces_fall_within_the_range():
    """2,000 studios of four trades, histories of 3 to 20 pieces, luck shared and not: 77-83 %."""
    rng = random.Random(1909)
    grid = [(s, n, luck) for s in STUDIOS for n in (3, 4, 6, 10, 20) for luck in LUCK]
    hits: dict[object, list[bool]] = {}
    for turn in range(2040):
        studio, count, luck = grid[turn % len(grid)]
        hit = held(rng, studio, count, luck)
        for group in ("all", studio, count, luck):
            hits.setdefault(group, []).append(hit)
    coverage = {group: sum(found) / len(found) for group, found in hits.items()}
    assert 0.77 <= coverage.pop("all") <= 0.83
    # no group of some 400 to 700 strays by more than chance allows (three standard errors)
    for group, share in coverage.items():
        assert abs(share - 0.8) < 0.01 + 3 * sqrt(0.16 / len(hits[group])), (group, share)


@pytest.mark.parametrize("count", [3, 4, 5, 8, 20])
def test_the_range_holds_at_every_size_of_history(count):
    """1,000 studios at each size, in the hardest of the trades (stages by size and by weight).

    Its makers are a little evener than the prior's (0.16 to 0.26 in all, where 0.23 is assumed), so
    they are held a little more often than eight times in ten: 80 to 86 %.
    """
    rng = random.Random(count)
    hits = [held(rng, "mixed", count, LUCK[turn % 3]) for turn in range(1000)]
    assert 0.78 <= sum(hits) / 1000 <= 0.87


def test_a_kind_never_made_before_is_held_too():
    """Kinds that differ by about a third: near 80 %, though nothing can be learnt of the kind."""
    rng = random.Random(17)
    hits = 0
    for turn in range(1000):
        luck = LUCK[turn % 3]
        done = [simulated(rng, "mixed", *luck) for _ in range((3, 6, 12)[turn % 3])]
        new = simulated(rng, "mixed", *luck, tempo=rng.gauss(0, 0.33) - rng.gauss(0, 0.2))
        found = estimate(done, "twill", "shawl", new.area_cm2, new.grams)
        hits += found.low <= new.total <= found.high
    assert 0.75 <= hits / 1000 <= 0.9


def test_kin_in_a_mixed_pool_pull_the_hours_towards_theirs():
    """One rug among hangings, twice as quick for its size: by hand, shrinkage of a random effect.

    Scatter: 8 x 0.23² / (8 + 2) of three hangings that agree. Sorts: two, (log 2)² / 2 apart, less
    the chance of it, beside 2 x 0.3². The rug is moved by n apart / (n apart + scatter).
    """
    hangings = [piece(area, {"weaving": area / 100}, kind="hanging") for area in (4000, 6000, 9000)]
    rug = piece(6000, {"weaving": 30}, kind="rug")
    found = estimate([*hangings, rug], "twill", "rug", Fraction(6000), None)
    scatter = 8 * 0.23**2 / 10
    apart = (2 * 0.3**2 + log(2) ** 2 / 2 - scatter * (1 + 1 / 3) / 2) / 3
    few, many = 1 / (apart + scatter), 1 / (apart + scatter / 3)
    middle = -log(2) * few / (few + many)
    moved = middle + (-log(2) - middle) * apart / (apart + scatter)
    assert float(found.likely) == pytest.approx(60 * exp(moved), rel=1e-3)
    assert found.low < 30 < found.likely < 60
    assert tell(found.basis) == (
        f"4 finished pieces of the same structure (twill); {FEW}; "
        f"moved towards the one among them most like it{ASSUMED}"
    )


def test_the_piece_it_is_like_weighs_most():
    """Four throws, one of them twice as slow for its size: 6 tenths of what sets it apart."""
    done = [
        replace(piece(5000, {"weaving": hours}), number=f"2026-00{n}")
        for n, hours in enumerate((20, 20, 20, 40), 1)
    ]
    plain, like = (
        estimate(done, "twill", "throw", Fraction(10000), None, number)
        for number in ("", "2026-004")
    )
    middle = 40 * 2 ** (1 / 4)
    assert float(plain.likely) == pytest.approx(middle, rel=1e-3)
    assert float(like.likely) == pytest.approx(middle**0.4 * 80**0.6, rel=1e-3)
    assert like.high / like.low < plain.high / plain.low
    assert "; 2026-004, which it is like, counts most; " in tell(like.basis)
    unknown = estimate(done, "twill", "throw", Fraction(10000), None, "2026-009")
    assert (unknown.likely, tell(unknown.basis)) == (plain.likely, tell(plain.basis))


def test_a_maker_who_learns_is_noticed():
    """Each piece takes 6 % less than the one before: by hand, a slope shrunk by (0.23 / 0.04)²."""
    done = [
        replace(piece(5000, {"weaving": 40 * Fraction(94, 100) ** n}), turn=n) for n in range(10)
    ]
    found = estimate(done, "twill", "throw", Fraction(5000), None)
    slope = log(0.94) * 82.5 / (82.5 + 33.0625)
    assert float(found.likely) == pytest.approx(40 * 0.94**4.5 * exp(5.5 * slope), rel=1e-3)
    said = "each piece took about 4 % less than the one before, and so will this one"
    assert said in tell(found.basis)
    backwards = estimate(
        [replace(each, turn=-each.turn) for each in done], "twill", "throw", Fraction(5000), None
    )
    assert "took about 5 % more than the one before" in tell(backwards.basis)
    alike = estimate([replace(each, turn=0) for each in done], "twill", "throw",
                     Fraction(5000), None)  # fmt: skip
    assert "than the one before" not in tell(alike.basis)


def test_what_was_long_ago_says_nothing_of_the_drift():
    """Thirty pieces: quicker by the piece over the first fourteen, level over the last sixteen."""
    offs = [Off(("throw",), n, -0.04 * min(n, 14)) for n in range(30)]
    level = level_of(offs, ("throw",), 30, like=None, slopes=0)
    assert level.drift == pytest.approx(0, abs=1e-12)
    assert level.middle == pytest.approx(-0.56)
    assert not level.shows_drift


@pytest.mark.parametrize("kin", [1, 2])
def test_a_mixed_pool_holds_too(kin):
    """Three kinds that differ by about a third, one or two pieces of the kind asked for."""
    rng = random.Random(kin)
    hits = 0
    for turn in range(1000):
        luck = LUCK[turn % 3]
        tempi = {kind: rng.gauss(0, 0.33) for kind in ("throw", "shawl", "rug")}
        counts = {"throw": 3, "rug": 2, "shawl": kin}
        done = [
            replace(simulated(rng, "mixed", *luck, tempo=tempi[kind]), kind=kind)
            for kind, count in counts.items()
            for _ in range(count)
        ]
        new = simulated(rng, "mixed", *luck, tempo=tempi["shawl"])
        found = estimate(done, "twill", "shawl", new.area_cm2, new.grams)
        hits += found.low <= new.total <= found.high
    assert 0.77 <= hits / 1000 <= 0.9


# ------------------------------------------- and for studios that were drawn apart from the code


def is_held(hits) -> bool:
    """78 to 84 %, but for what chance allows: two standard errors."""
    share, chance = sum(hits) / len(hits), 2 * sqrt(0.16 / len(hits))
    return 0.78 - chance <= share <= 0.84 + chance


def test_studios_drawn_apart_are_held():
    """1,280 of them, in groups by what was known, by how they learn, by how many pieces."""
    apart = STUDIOS_APART
    grid = [
        (c, way, n) for c in apart["CASES"] for way in apart["LEARNING"] for n in (3, 5, 10, 20)
    ]
    hits: dict[object, list[bool]] = {}
    rng = random.Random(10)
    for case, learning, count in 20 * grid:
        hit = apart["holds"](rng, case, count, apart["studio"](rng, learning))
        for group in (case, learning, count):
            hits.setdefault(group, []).append(hit)
    strayed = {group: sum(each) / len(each) for group, each in hits.items() if not is_held(each)}
    assert strayed == {}


@pytest.mark.parametrize("count", [3, 5])
def test_few_pieces_that_happen_to_agree_are_held(count):
    """Makers whose pieces differ by a quarter, and whose first ones agree within a factor of 1.2.

    Where makers differ in evenness, agreement is mostly of the even ones, who are held more often:
    86 to 92 %, says the benchmark.
    """
    rng = random.Random(count)
    quarter = STUDIOS_APART["QUARTER"]
    assert is_held([STUDIOS_APART["agreeing"](rng, count, quarter) for _ in range(300)])


def test_a_piece_made_again_is_held():
    rng = random.Random(3)
    assert is_held([STUDIOS_APART["again"](rng, (3, 5, 10)[turn % 3]) for turn in range(300)])


def test_adding_up_the_stages_ranges_would_not_do():
    """What the total's own interval is for: summed stage ranges hold far more than 80 %."""
    rng = random.Random(5)
    hits = 0
    for _ in range(300):
        done = [simulated(rng, "mixed", 0.0, 0.3) for _ in range(10)]
        new = simulated(rng, "mixed", 0.0, 0.3)
        low, high = summed_ranges(done, new.area_cm2, new.grams)
        hits += low <= new.total <= high
    assert hits / 300 > 0.9


def test_leave_one_out_of_simulated_studios():
    rng = random.Random(8)
    scores = [
        leave_one_out([simulated(rng, "mixed", 0.2, 0.2) for _ in range(12)]) for _ in range(40)
    ]
    assert all(found.tried == 12 for found in scores)
    assert 0.75 <= sum(found.inside for found in scores) / (40 * 12) <= 0.85


def test_leave_one_out_tries_only_what_can_be_tried():
    few = [piece(area, {"weaving": h}) for area, h, _ in THREE]
    assert leave_one_out(few) == Score(0, 0)
    assert leave_one_out([]) == Score(0, 0)
    four = [*few, piece(5000, {"weaving": 14}), piece(0, {"weaving": 9})]
    assert leave_one_out(four).tried == 4


def test_the_score_of_quotations():
    quoted = [(Fraction(10), Fraction(20), Fraction(hours)) for hours in (9, 10, 15, 20, 21)]
    assert score(quoted) == Score(3, 5)
