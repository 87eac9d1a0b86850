"""Sums of clock errors: what is shared cancels, what is not adds up, and nothing is ever rounded."""

from fractions import Fraction as F

import pytest
from hypothesis import given
from hypothesis import strategies as st

from synclint.trade.clocks import ErrorSum, Oscillator, Unknown, known, once, paced_by, total, within

MS = F(1, 1000)
HOUR = F(3600)


def clock(name: str, ppm: str, varying: str = "0") -> Oscillator:
    return Oscillator(within(("rate", name), F(ppm)), F(varying))


def test_one_ppm_is_3_6_ms_an_hour() -> None:
    assert paced_by(clock("a", "1"), F(0), HOUR).worst == F("3.6") * MS
    assert paced_by(clock("a", "0.2"), HOUR, 13 * HOUR).worst == F("8.64") * MS  # 0.2 × 12 × 3.6


def test_a_fixed_part_and_one_that_wanders_add_up() -> None:
    assert paced_by(clock("a", "0.5", "0.2"), F(0), 10 * HOUR).worst == F("25.2") * MS  # (0.5 + 0.2) × 10 × 3.6


def test_no_time_gathers_no_error() -> None:
    assert paced_by(clock("a", "1"), HOUR, HOUR) == ErrorSum()
    assert paced_by(clock("a", "1"), HOUR, F(0)) == ErrorSum()


def test_two_clocks_part_by_the_sum_of_both() -> None:
    apart = paced_by(clock("a", "20"), F(0), 45 * F(60)) - paced_by(clock("b", "0.5"), F(0), 45 * F(60))
    assert apart.worst == F("55.35") * MS  # 20.5 × 0.75 × 3.6


def test_what_is_shared_cancels() -> None:
    shared = paced_by(clock("a", "20", "10"), F(0), HOUR) + once(within(("jam",), MS)) + known(F(2))
    assert (shared - shared).worst == 0
    assert (shared - shared).oscillators == ()
    assert (shared - shared).shares == ()


def test_a_fixed_rate_cancels_over_other_moments_and_one_that_wanders_does_not() -> None:
    morning, evening = F(0), 10 * HOUR
    fixed, wandering = clock("a", "1"), clock("b", "0", "1")
    assert (paced_by(fixed, morning, HOUR) - paced_by(fixed, evening, evening + HOUR)).worst == 0
    apart = paced_by(wandering, morning, HOUR) - paced_by(wandering, evening, evening + HOUR)
    assert apart.worst == F("7.2") * MS  # 3.6 on either side
    lapped = paced_by(wandering, morning, 3 * HOUR) - paced_by(wandering, HOUR, 4 * HOUR)
    assert lapped.worst == F("7.2") * MS  # the first hour and the last; the two between are the same moments


def test_the_same_moments_twice_count_twice() -> None:
    once_over = paced_by(clock("a", "1", "1"), F(0), HOUR)
    assert (once_over + once_over).worst == 2 * once_over.worst
    assert (once_over + once_over - once_over).worst == once_over.worst


def test_a_jam_that_takes_a_whole_frame_is_late_by_up_to_one() -> None:
    frame = F(1, 25)
    one, other = (once(Unknown(("jam", name), F(0), frame)) for name in "ab")
    assert one.worst == frame
    assert (one.middle, one.spread) == (frame / 2, frame / 2)
    assert (one - other).worst == frame  # one just in time and the other a frame late
    assert (one - other).middle == 0
    assert (one + known(frame)).worst == 2 * frame
    assert (one - known(frame)).worst == frame


def test_a_measured_clock_is_off_by_what_was_measured_and_as_much_as_that_may_be_wrong() -> None:
    measured = Oscillator(Unknown(("rate", "a"), F("0.26"), F("0.36")), F(0))  # +0.31 ppm within 0.05
    error = paced_by(measured, F(0), 10 * HOUR)
    assert error.middle == F("11.16") * MS  # 0.31 × 10 × 3.6
    assert error.spread == F("1.8") * MS  # 0.05 × 10 × 3.6
    assert error.worst == F("12.96") * MS


def test_what_is_known_shifts_and_does_not_spread() -> None:
    error = known(F(3)) - once(within(("jam",), F(1)))
    assert [error.middle, error.spread, error.worst] == [3, 1, 4]
    assert (-error).middle == -3
    assert (-error).worst == 4


def test_stretches_one_after_the_other_are_summed() -> None:
    oscillator = clock("a", "1", "0.5")
    error = total([paced_by(oscillator, F(0), HOUR), paced_by(oscillator, HOUR, 3 * HOUR)])
    error += paced_by(oscillator, 5 * HOUR, 6 * HOUR)
    assert error.worst == F("1.5") * 4 * F("3.6") * MS  # four hours of both its parts


def test_what_two_times_have_been_through_together_cancels() -> None:
    past = total(
        [paced_by(clock("a", "1"), F(0), HOUR), paced_by(clock("a", "1"), 2 * HOUR, 3 * HOUR), once(within(("j",), MS))]
    )
    one, other = (
        past + paced_by(clock("a", "1"), 4 * HOUR, 5 * HOUR),
        past + paced_by(clock("b", "2"), 4 * HOUR, 5 * HOUR),
    )
    assert (one - other).worst == 3 * F("3.6") * MS  # an hour of a at 1 ppm, and of b at 2 ppm
    assert [each.fixed.name for each in (past + one - past - past).oscillators] == [("rate", "a")]
    assert not (past - past).oscillators


def test_shares_tell_the_largest_first() -> None:
    error = total(
        [paced_by(clock("a", "1"), F(0), HOUR), paced_by(clock("b", "2"), F(0), HOUR), once(within(("jam",), 5 * MS))]
    )
    assert [(share.name, share.seconds) for share in error.shares] == [
        (("rate", "b"), F("7.2") * MS),
        (("jam",), 5 * MS),
        (("rate", "a"), F("3.6") * MS),
    ]
    assert sum(share.seconds for share in error.shares) == error.spread


def test_nothing_is_rounded() -> None:
    assert paced_by(clock("a", "1/3"), F(0), F(1, 7)).worst == F(1, 21_000_000)


ppm = st.fractions(0, 50, max_denominator=10)
moments = st.integers(0, 48).map(lambda halves: halves * F(1800))


@st.composite
def sums(draw: st.DrawFn) -> ErrorSum:
    """A time that went through a few hands, over a few clocks and jams that others may share."""
    parts = []
    for _ in range(draw(st.integers(0, 4))):
        name = draw(st.sampled_from("abc"))
        start, end = sorted((draw(moments), draw(moments)))
        # A clock is what it is: its bounds hang on its name alone.
        parts.append(paced_by(clock(name, str("abc".index(name) + 1), str("abc".index(name))), start, end))
        parts.append(once(within(("jam", draw(st.sampled_from("xyz"))), MS)))
    parts.append(known(draw(st.sampled_from([F(0), F(1), F(-2)]))))
    return total(parts)


@given(sums(), sums())
def test_apart_is_the_same_from_either_side(one: ErrorSum, other: ErrorSum) -> None:
    assert (one - other).worst == (other - one).worst
    assert (one - other).middle == -(other - one).middle


@given(sums(), sums(), sums())
def test_two_are_never_farther_apart_than_by_way_of_a_third(one: ErrorSum, other: ErrorSum, third: ErrorSum) -> None:
    assert (one - other).worst <= (one - third).worst + (third - other).worst


@given(sums(), sums())
def test_in_which_order_errors_are_added_is_all_the_same(one: ErrorSum, other: ErrorSum) -> None:
    assert (one + other).worst == (other + one).worst
    assert (one + other - other).worst == one.worst


@given(sums())
def test_nothing_is_apart_from_itself(one: ErrorSum) -> None:
    assert (one - one).worst == 0


@given(sums(), st.data())
def test_no_choice_of_the_unknowns_is_worse_than_the_worst(error: ErrorSum, data: st.DataObject) -> None:
    """The worst case against errors drawn at will: rates that keep their fixed part and wander from hour to hour."""
    value = error.constant
    for unknown, times in error.terms.items():
        value += times * data.draw(st.sampled_from([unknown.low, unknown.middle, unknown.high]))
    for oscillator, stretches in error.paced.items():
        fixed = data.draw(st.sampled_from([oscillator.fixed.low, oscillator.fixed.middle, oscillator.fixed.high]))
        wander = data.draw(st.lists(st.sampled_from([-1, 0, 1]), min_size=48, max_size=48))
        for each in stretches:
            halves = range(int(each.start / 1800), int(each.end / 1800))
            gathered = sum((fixed + wander[half] * oscillator.varying for half in halves), F(0)) * 1800
            value += each.times * gathered / 1_000_000
    assert abs(value) <= error.worst


@pytest.mark.parametrize("sign", [1, -1])
def test_the_worst_is_reached(sign: int) -> None:
    # a: fixed 1 ppm over 2 h against 1 h, so 1 h of it; wandering 0.5 ppm over 3 h in all. jam: 1 ms.
    oscillator = clock("a", "1", "0.5")
    error = paced_by(oscillator, F(0), 2 * HOUR) - paced_by(oscillator, 5 * HOUR, 6 * HOUR) + once(within(("jam",), MS))
    assert error.worst == F("3.6") * MS + F("5.4") * MS + MS
    reached = sign * (F(1) * (2 - 1) + F("0.5") * 2 + F("0.5") * 1) * F("3.6") * MS + sign * MS
    assert abs(reached) == error.worst
