"""Lines through readings: the sums by hand, what the interval promises, and which readings cannot be on a line."""

from fractions import Fraction as F
from random import Random

import pytest

from synclint.trade.fit import ANY_RATE, Break, Line, Point, Rates, fit, off_the_line, pooled, rates_through

HOUR = 3600
MS = F(1, 1000)


def points(*read: tuple[float, float, float]) -> list[Point]:
    """Readings as hours, milliseconds and milliseconds either way."""
    return [Point(F(str(at)) * HOUR, F(str(offset)) * MS, F(str(within)) * MS) for at, offset, within in read]


def test_the_variance_of_a_reading_is_that_of_a_uniform_error() -> None:
    # Uniform over a width w = 2 × 6: w² / 12 = 144 / 12 = 12.
    assert Point(F(0), F(0), F(6)).variance == 12


def test_a_line_by_hand() -> None:
    # Equal weights, variance 3² / 3 = 3. N = 3, Σt = 3, Σt² = 5, Σy = 4, Σty = 7, N Σt² - (Σt)² = 6:
    # b = (3 × 7 - 3 × 4) / 6 = 3/2, a = (5 × 4 - 3 × 7) / 6 = -1/6, var b = 3 × 3 / 6 = 3/2.
    read = [Point(F(0), F(0), F(3)), Point(F(1), F(1), F(3)), Point(F(2), F(3), F(3))]
    line = fit(read)
    assert line == Line(F(-1, 6), F(3, 2) * 10**6, F(3, 2) * 10**12)
    assert line.residuals(read) == (F(1, 6), F(-1, 3), F(1, 6))
    assert line.at(F(4)) == F(35, 6)
    assert line.rate_uncertainty == pytest.approx(1.5**0.5 * 10**6)


def test_a_jam_and_one_reading_by_hand() -> None:
    # 3 ms in 5 h 34 min (20,040 s) are 0.1497 ppm; the two errors of 0.1 ms have the variance 0.01 / 3 ms² each,
    # together √(2 × 0.01 / 3) = 0.08165 ms, which over 20,040 s is 0.004074 ppm.
    line = fit([Point(F(0), F(0), MS / 10), Point(F(20_040), 3 * MS, MS / 10)])
    assert line.rate == F(3000, 20_040)
    assert line.rate_uncertainty == pytest.approx(0.0040743, rel=1e-4)
    low, high = line.interval
    assert float(high - line.rate) == pytest.approx(1.96 * 0.0040743, rel=1e-4)
    assert line.rate - low == high - line.rate


def test_a_point_of_one_moment_has_no_rate() -> None:
    with pytest.raises(ValueError, match="two moments"):
        fit(points((1, 3, 0.1), (1, 4, 0.1)))


def test_a_perfect_reading_is_taken_for_a_very_good_one() -> None:
    assert fit([Point(F(0), F(0), F(0)), Point(F(10**6), F(1), F(0))]).rate == 1


def test_the_interval_holds_the_true_rate_as_often_as_it_says() -> None:
    chance = Random(20260614)
    jam, frame, rate, draws, held = 100, 40_000, F(43, 100), 2000, 0  # microseconds; a frame at 25 is 40 ms
    for _ in range(draws):
        left = F(chance.randint(-jam, jam), 10**6)
        read = [Point(F(0), left, F(jam, 10**6))]  # the jam is taken for 0 and is not: as good as read wrong
        for hour in range(1, 11):
            within = jam if hour % 4 == 0 else frame
            wrong = F(chance.randint(-within, within), 10**6)
            read.append(Point(F(hour * HOUR), rate * hour * HOUR / 10**6 + wrong, F(within, 10**6)))
        low, high = fit(read).interval
        held += low <= rate <= high
    assert 0.93 * draws <= held <= 0.97 * draws


def test_the_interval_holds_with_displays_alone() -> None:
    chance = Random(7)
    frame, rate, draws, held, total = 41_708, F(-21, 10), 2000, 0, F(0)
    for _ in range(draws):
        read = [Point(F(0), F(0), F(1, 10_000))]
        for hour in range(1, 10):
            wrong = F(chance.randint(-frame, frame), 10**6)
            read.append(Point(F(hour * HOUR), rate * hour * HOUR / 10**6 + wrong, F(frame, 10**6)))
        line = fit(read)
        total += line.rate
        held += line.interval[0] <= rate <= line.interval[1]
    assert 0.93 * draws <= held <= 0.97 * draws
    # The mean of 2,000 is as sure as one divided by √2000; four of those are hardly ever passed.
    assert abs(float(total / draws - rate)) < 4 * line.rate_uncertainty / draws**0.5


def test_rates_are_pooled_by_their_variances() -> None:
    # 1 ppm with variance 1 and 4 ppm with variance 2: (1 / 1 + 4 / 2) / (1 + 1/2) = 2, variance 1 / (3/2) = 2/3.
    both = pooled([Line(F(0), F(1), F(1)), Line(F(5), F(4), F(2))])
    assert both == Line(F(5), F(2), F(2, 3))


# --- which points cannot be on one line ---


def test_two_readings_leave_a_span_of_rates() -> None:
    # 7.2 ms ± 0.2 ms in an hour: 7.0 and 7.4 ms an hour are 1.944 and 2.056 ppm.
    assert rates_through(points((0, 0, 0.1), (1, 7.2, 0.1))) == Rates(F(7000, 3600), F(7400, 3600))
    # A clock that wanders by 0.5 ppm may be 1.8 ms off after an hour.
    assert rates_through(points((0, 0, 0.1), (1, 7.2, 0.1)), F(1, 2)) == Rates(F(5200, 3600), F(9200, 3600))


def test_readings_of_one_moment_agree_or_do_not() -> None:
    assert rates_through(points((1, 0, 0.1), (1, 0.2, 0.1))) == ANY_RATE
    assert not rates_through(points((1, 0, 0.1), (1, 0.3, 0.1))).possible


JAM = (0, 0, 0.1)


@pytest.mark.parametrize(
    ("read", "found"),
    [
        ([JAM, (1, 3.6, 0.1)], None),
        ([JAM, (3, 10.8, 0.1), (6, 21.6, 0.1)], None),
        ([JAM, (3, 10.9, 0.1), (6, 21.5, 0.1)], None),  # 0.1 ms off each, as they may be
        ([JAM, (3, 40, 40), (6, 0, 40)], None),  # displays, a frame either way
        ([JAM, (3, 50.8, 0.1), (6, 21.6, 0.1), (9, 32.4, 0.1)], Break(1, alone=True)),
        ([JAM, (3, 10.8, 0.1), (6, 61.6, 0.1), (9, 32.4, 0.1)], Break(2, alone=True)),
        ([JAM, (3, 10.8, 0.1), (6, 61.6, 0.1), (9, 72.4, 0.1)], Break(2, alone=False)),
        ([JAM, (3, 50.8, 0.1), (6, 61.6, 0.1), (9, 72.4, 0.1)], Break(1, alone=False)),
        ([JAM, (2, 7.2, 0.1), (3, 10.8, 0.1), (6, 61.6, 0.1)], Break(3, alone=None)),
    ],
)
def test_what_leaves_the_line(read: list[tuple[float, float, float]], found: Break | None) -> None:
    assert off_the_line(points(*read), likely=Rates(F(-2), F(2))) == found


def test_what_the_clocks_are_stated_to_keep_tells_which_of_two_readings_is_off() -> None:
    # 80 ms in 3 h are 7.4 ppm and 10.8 ms in 6 h half a ppm: only one of the two is what the clocks may do.
    read = points(JAM, (3, 80, 0.1), (6, 10.8, 0.1))
    assert off_the_line(read, likely=Rates(F(-1), F(1))) == Break(1, alone=True)
    turned = points(JAM, (3, 5.4, 0.1), (6, 90.8, 0.1))
    assert off_the_line(turned, likely=Rates(F(-1), F(1))) == Break(2, alone=None)


def test_a_clock_that_wanders_may_leave_the_line_by_as_much() -> None:
    read = points(JAM, (3, 10.8, 0.1), (6, 25, 0.1))
    assert off_the_line(read) is not None
    assert off_the_line(read, wander=F(1, 5)) is None


def test_readings_that_no_single_fault_explains_are_told_from_the_first_that_does_not_fit() -> None:
    read = points(JAM, (1, 3.6, 0.1), (2, 50, 0.1), (3, 10.8, 0.1), (4, -70, 0.1), (5, 18, 0.1))
    assert off_the_line(read, likely=Rates(F(-2), F(2))) == Break(2, alone=None)


def test_all_lines_through_readings_pass_through_every_two() -> None:
    read = points(JAM, (3, 10.8, 0.1), (6, 21.6, 0.1))
    # The last two demands: (10.8 - 0.2) / 3 h and (21.6 + 0.2) / 6 h are not the tightest; jam and last are.
    assert rates_through(read) == Rates(F(21_400, 6 * 3600), F(21_800, 6 * 3600))
