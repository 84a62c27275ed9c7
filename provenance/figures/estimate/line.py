"""A straight line through points, and Student's t.

In: numbers x and y. Out: a `Line` by least squares, and the quantiles of t. Plain floats and exact
sums (`math.fsum`), centred first, so that the certified values of NIST's reference data come out
to all the digits a float can hold. Rules: any textbook of regression (Draper & Smith, Applied
Regression Analysis); incomplete beta function by Lentz's continued fraction (NIST Digital Library
of Mathematical Functions 8.17.22).
"""

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cache
from math import exp, fsum, lgamma, log


@dataclass(frozen=True, slots=True)
class Line:
    """y = y_mean + slope (x - x_mean)."""

    slope: float
    x_mean: float
    y_mean: float
    has_own_slope: bool  # fitted, not given

    def at(self, x: float) -> float:
        return self.y_mean + self.slope * (x - self.x_mean)


def line_through(xs: Sequence[float], ys: Sequence[float], slope: float | None = None) -> Line:
    """The line by least squares through at least two points of different x; or one of a given
    slope through at least one point: on log scales 1 is proportion."""
    x_mean, y_mean, is_fitted = mean(xs), mean(ys), slope is None
    if slope is None:
        both = fsum((x - x_mean) * (y - y_mean) for x, y in zip(xs, ys, strict=True))
        slope = both / fsum((x - x_mean) ** 2 for x in xs)
    return Line(slope, x_mean, y_mean, is_fitted)


def mean(numbers: Sequence[float]) -> float:
    """The arithmetic mean of one number or more."""
    return fsum(numbers) / len(numbers)


@cache
def t_quantile(share: float, freedom: float) -> float:
    """Student's t that this share (0 to 1) lies below; freedom need not be whole."""
    if share < 0.5:
        return -t_quantile(1 - share, freedom)
    low, high = 0.0, 1.0
    while _t_share(high, freedom) < share:
        low, high = high, high * 2
    while low < (middle := (low + high) / 2) < high:
        if _t_share(middle, freedom) < share:
            low = middle
        else:
            high = middle
    return middle


def _t_share(t: float, freedom: float) -> float:
    """The share of Student's distribution below t (t at least 0)."""
    return 1 - _beta_share(freedom / (freedom + t * t), freedom / 2, 0.5) / 2


def _beta_share(x: float, a: float, b: float) -> float:
    """The regularized incomplete beta function I_x(a, b)."""
    if x <= 0 or x >= 1:
        return float(x >= 1)
    if x > (a + 1) / (a + b + 2):
        return 1 - _beta_share(1 - x, b, a)
    front = exp(lgamma(a + b) - lgamma(a) - lgamma(b) + a * log(x) + b * log(1 - x))
    return front / a / _fraction(x, a, b)


def _fraction(x: float, a: float, b: float) -> float:
    """The continued fraction of the incomplete beta function, by Lentz's method."""
    value, upper, lower = 1.0, 1.0, 0.0
    for step in range(1, 500):
        m = step // 2
        if step % 2:
            term = -(a + m) * (a + b + m) * x / ((a + 2 * m) * (a + 2 * m + 1))
        else:
            term = m * (b - m) * x / ((a + 2 * m - 1) * (a + 2 * m))
        lower = 1 / (1 + term * lower)
        upper = 1 + term / upper
        value *= upper * lower
        if abs(upper * lower - 1) < 1e-16:
            break
    return value
