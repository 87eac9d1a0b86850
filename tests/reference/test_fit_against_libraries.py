"""Lines through readings beside numpy and scipy: the weighted fit, its uncertainty, and all lines that there are."""

from fractions import Fraction as F
from random import Random

import numpy as np
import pytest
from scipy.optimize import curve_fit, linprog

from synclint.trade.fit import Point, fit, rates_through


def drawn(chance: Random, count: int) -> list[Point]:
    """A jam and some readings of a clock, by scope and by display, in the order of time."""
    rate = F(chance.randint(-3000, 3000), 1000)
    read = [Point(F(0), F(0), F(1, 10_000))]
    for at in sorted(chance.sample(range(600, 40_000), count)):
        within = F(chance.choice((100, 500, 41_708)), 10**6)
        wrong = within * chance.randint(-1000, 1000) / 1000
        read.append(Point(F(at), rate * at / 10**6 + wrong, within))
    return read


@pytest.mark.parametrize("seed", range(40))
def test_the_weighted_fit_is_that_of_numpy_and_scipy(seed: int) -> None:
    chance = Random(seed)
    read = drawn(chance, chance.randint(2, 12))
    line = fit(read)
    t = np.array([float(each.at) for each in read])
    y = np.array([float(each.offset) for each in read])
    sigma = np.array([float(each.variance) ** 0.5 for each in read])
    design = np.stack([np.ones_like(t), t / 1e4], axis=1) / sigma[:, None]
    (start, slope), *_ = np.linalg.lstsq(design, y / sigma, rcond=None)
    assert float(line.rate) == pytest.approx(slope / 1e4 * 1e6, rel=1e-6, abs=1e-9)
    assert float(line.start) == pytest.approx(start, rel=1e-6, abs=1e-12)
    _, covariance = curve_fit(lambda x, a, b: a + b * x, t / 1e4, y, p0=(0, 0), sigma=sigma, absolute_sigma=True)
    # its slopes are found by steps
    assert line.rate_uncertainty == pytest.approx(covariance[1, 1] ** 0.5 / 1e4 * 1e6, rel=1e-3)


@pytest.mark.parametrize("seed", range(60))
def test_the_rates_of_all_lines_are_the_ends_of_a_linear_program(seed: int) -> None:
    chance = Random(1000 + seed)
    read = drawn(chance, chance.randint(1, 7))
    if seed % 3 == 0:  # one is misread by a frame
        one = chance.randrange(1, len(read))
        read[one] = Point(read[one].at, read[one].offset + F(1, 24), read[one].within)
    # Milliseconds and hours, so that all numbers are of one size: a + b t within each reading.
    rows = [[sign, sign * float(each.at / 3600)] for each in read for sign in (1, -1)]
    ends = [float((sign * each.offset + each.within) * 1000) for each in read for sign in (1, -1)]
    low, high = (linprog([0, sign], A_ub=rows, b_ub=ends, bounds=[(None, None)] * 2) for sign in (1, -1))
    found = rates_through(read)
    assert found.possible == (low.status == 0)
    if found.possible:
        assert found.low is not None
        assert found.high is not None
        assert float(found.low) == pytest.approx(low.x[1] / 3.6, abs=1e-6)
        assert float(found.high) == pytest.approx(high.x[1] / 3.6, abs=1e-6)
