"""Straight lines through readings of an offset: how fast one clock gains on another, and how sure that is.

The offset of one clock against another since a jam is y(t) = a + b t: `a` is what the jam left, `b` the relative rate.
The jam itself is a point, 0 within its error; each comparison is one more. An error that lies anywhere within ±h with
equal chance is uniform of width w = 2h and has the variance w² / 12 = h² / 3. A point counts with the weight
1 / variance, and with

    S = Σ weight    Sx = Σ weight t    Sy = Σ weight y    Sxx = Σ weight t²    Sxy = Σ weight t y    D = S Sxx - Sx²

the line of weighted least squares is

    a = (Sxx Sy - Sx Sxy) / D    b = (S Sxy - Sx Sy) / D    variance of a = Sxx / D    variance of b = S / D

(Press and others, *Numerical Recipes*, "Fitting Data to a Straight Line"; the formulas were read in open code that
implements them, and tests hold them to numpy and scipy.) The 95 % interval is b ± 1.96 of its standard uncertainty, as
for a normal distribution: the sum of several uniform errors comes close to one, and where a single wide reading decides
the interval is wider than that reading allows, never narrower.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from fractions import Fraction
from math import sqrt

from synclint.trade.clocks import MILLION

_NINETY_FIVE = 1.96
"""How many standard uncertainties to either side hold 95 % of a normal distribution."""
_FINEST = Fraction(1, 1_000_000)
"""No reading is better than a microsecond, whatever is said of it; a perfect one would outweigh all others."""
_DIGITS = 10**9
"""A billionth of a part per million: an interval that begins and ends there is exact enough, and short to work with."""


@dataclass(frozen=True, slots=True)
class Point:
    """An offset that was read at a moment, all in seconds."""

    at: Fraction
    """Seconds since the jam."""
    offset: Fraction
    """By how much the clock was read to be ahead."""
    within: Fraction
    """How far off the reading may be, to either side."""

    @property
    def variance(self) -> Fraction:
        """The variance of its error in seconds squared: that of a uniform one of width 2h, which is h² / 3."""
        return max(self.within, _FINEST) ** 2 / 3


@dataclass(frozen=True, slots=True)
class Line:
    """A line through points: what the jam left, in seconds, and the relative rate, in ppm, with its variance."""

    start: Fraction
    rate: Fraction
    rate_variance: Fraction

    @property
    def rate_uncertainty(self) -> float:
        """The standard uncertainty of the rate, in ppm."""
        return sqrt(self.rate_variance)

    @property
    def interval(self) -> tuple[Fraction, Fraction]:
        """From where to where, in ppm, the rate lies with 95 % confidence."""
        reach = Fraction(round(_NINETY_FIVE * self.rate_uncertainty * _DIGITS), _DIGITS)
        return self.rate - reach, self.rate + reach

    def at(self, seconds: Fraction) -> Fraction:
        """The offset in seconds, so many seconds after the jam."""
        return self.start + self.rate * seconds / MILLION

    def residual(self, point: Point) -> Fraction:
        """By how many seconds a point lies above the line."""
        return point.offset - self.at(point.at)

    def residuals(self, points: Iterable[Point]) -> tuple[Fraction, ...]:
        """By how many seconds each point lies above the line."""
        return tuple(map(self.residual, points))


def fit(points: Iterable[Point]) -> Line:
    """The line of weighted least squares; ValueError for points of fewer than two moments."""
    points = tuple(points)
    s = sx = sy = sxx = sxy = Fraction(0)
    for each in points:
        weight = 1 / each.variance
        s, sx, sy = s + weight, sx + weight * each.at, sy + weight * each.offset
        sxx, sxy = sxx + weight * each.at**2, sxy + weight * each.at * each.offset
    determinant = s * sxx - sx**2
    if not determinant:
        raise ValueError("a line wants points of two moments")
    return Line(
        start=(sxx * sy - sx * sxy) / determinant,
        rate=(s * sxy - sx * sy) * MILLION / determinant,
        rate_variance=s * MILLION**2 / determinant,
    )


def pooled(lines: Sequence[Line]) -> Line:
    """The rate of several lines together, each by its own variance; the start is that of the last.

    It is what one fit of all their points would give, with one rate and a start for each line.
    """
    weights = [1 / each.rate_variance for each in lines]
    rate = sum((weight * each.rate for weight, each in zip(weights, lines, strict=True)), Fraction(0)) / sum(weights)
    return Line(lines[-1].start, rate, 1 / sum(weights, Fraction(0)))


# --- which points cannot be on one line ------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class Rates:
    """The rates, in ppm, of all lines that pass through some readings; None where a side is open."""

    low: Fraction | None
    high: Fraction | None

    @property
    def possible(self) -> bool:
        """Whether there is such a line at all."""
        return self.low is None or self.high is None or self.low <= self.high

    def __and__(self, other: Rates) -> Rates:
        """The rates that are among both."""
        lows = [each for each in (self.low, other.low) if each is not None]
        highs = [each for each in (self.high, other.high) if each is not None]
        return Rates(max(lows, default=None), min(highs, default=None))


ANY_RATE = Rates(None, None)


def between(one: Point, other: Point, wander: Fraction = Fraction(0)) -> Rates:
    """The rates of all lines through two readings; a clock that wanders by so many ppm leaves the line by as much."""
    first, second = sorted((one, other), key=lambda point: point.at)
    apart, slack = second.at - first.at, sum((p.within + wander * p.at / MILLION for p in (one, other)), Fraction(0))
    rise = second.offset - first.offset
    if not apart:
        return ANY_RATE if abs(rise) <= slack else Rates(Fraction(1), Fraction(0))
    return Rates((rise - slack) * MILLION / apart, (rise + slack) * MILLION / apart)


def rates_through(points: Sequence[Point], wander: Fraction = Fraction(0)) -> Rates:
    """The rates of all lines that pass through every reading: those that pass through every two of them."""
    found = ANY_RATE
    for index, one in enumerate(points):
        for other in points[index + 1 :]:
            found &= between(one, other, wander)
    return found


@dataclass(frozen=True, slots=True)
class Break:
    """From which point on readings are off the line of those before.

    `alone` is True for a single one that those after it contradict, False where all later ones are shifted alike, and
    None for the last one, of which nobody can tell yet.
    """

    index: int
    alone: bool | None


def off_the_line(points: Sequence[Point], wander: Fraction = Fraction(0), likely: Rates = ANY_RATE) -> Break | None:
    """Where the readings leave their line; None where one line may pass through all of them.

    The first point is the jam and stands. `likely` are the rates that the clocks are stated to keep: where a line of
    such a rate explains the others, it tells which reading is off. Points are in the order of time.
    """
    whole = rates_through(points, wander)
    if whole.possible:
        return None
    for limit in (likely, ANY_RATE) if likely != ANY_RATE else (ANY_RATE,):
        alone = _one_too_many(points, wander, limit)
        if alone is not None and alone < len(points) - 1:
            return Break(alone, alone=True)
        step = _step(points, wander, limit)
        if step is not None and step < len(points) - 1:
            return Break(step, alone=False)
        if alone is not None:
            return Break(alone, alone=None)
    return Break(_first_off(points, wander), alone=None)


def _one_too_many(points: Sequence[Point], wander: Fraction, limit: Rates) -> int | None:
    """The point without which the others are on one line; of several the one that lies farthest from theirs."""
    found: list[tuple[Fraction, int]] = []
    for index in _suspects(points, wander):
        others = [*points[:index], *points[index + 1 :]]
        if (rates_through(others, wander) & limit).possible:
            several = len({each.at for each in others}) > 1
            distance = abs(fit(others).residual(points[index])) if several else Fraction(0)
            found.append((distance - points[index].within, index))
    return max(found, default=(Fraction(0), None))[1]


def _suspects(points: Sequence[Point], wander: Fraction) -> list[int]:
    """The points, the jam aside, that make the two tightest demands on the rate; one of them must be the wrong one."""
    lows: list[tuple[Fraction, int, int]] = []
    highs: list[tuple[Fraction, int, int]] = []
    for i, one in enumerate(points):
        for j, other in enumerate(points[i + 1 :], i + 1):
            rates = between(one, other, wander)
            if not rates.possible:
                return [index for index in (i, j) if index]
            if rates.low is not None and rates.high is not None:
                lows.append((rates.low, i, j))
                highs.append((rates.high, i, j))
    tightest = {*max(lows)[1:], *min(highs)[1:]}
    return sorted(index for index in tightest if index)


def _step(points: Sequence[Point], wander: Fraction, limit: Rates) -> int | None:
    """The first point from which on all are shifted alike: those before and those after it keep one rate."""
    before = [limit]
    for index in range(1, len(points)):
        before.append(before[-1] & _with_all(points[index], points[:index], wander))
    after = limit
    found = None
    for index in range(len(points) - 1, 0, -1):
        after &= _with_all(points[index], points[index + 1 :], wander)
        if (before[index - 1] & after).possible:
            found = index
    return found


def _with_all(point: Point, others: Iterable[Point], wander: Fraction) -> Rates:
    """The rates of lines through a point and each of some others."""
    found = ANY_RATE
    for each in others:
        found &= between(point, each, wander)
    return found


def _first_off(points: Sequence[Point], wander: Fraction) -> int:
    """The first point that no line through all before it passes through."""
    found = ANY_RATE
    for index in range(1, len(points)):
        found &= _with_all(points[index], points[:index], wander)
        if not found.possible:
            return index
    return len(points) - 1
