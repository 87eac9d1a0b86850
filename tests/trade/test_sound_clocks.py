"""Clocks of digital sound, and short times."""

from fractions import Fraction as Fr

import pytest
from hypothesis import given
from hypothesis import strategies as st

from synclint.trade.phase import parse_phase, say_phase
from synclint.trade.quantities import QuantityError
from synclint.trade.sound_clocks import GRADE_1, GRADE_2, seconds_to_a_slip


@pytest.mark.parametrize(
    ("ppm", "hertz", "seconds"),
    [
        (10, 48_000, Fr(100, 48)),  # 0.48 samples a second
        (20, 48_000, Fr(100, 96)),
        (-10, 48_000, Fr(100, 48)),
        (1, 44_100, Fr(10_000, 441)),  # 22.7 s
        (0, 48_000, None),
        (10, 0, None),
    ],
)
def test_slips(ppm: int, hertz: int, seconds: Fr | None) -> None:
    assert seconds_to_a_slip(Fr(ppm), Fr(hertz)) == seconds


def test_a_device_follows_whatever_is_of_its_grade() -> None:
    assert all(grade.accuracy < grade.capture for grade in (GRADE_1, GRADE_2))


@pytest.mark.parametrize(
    ("text", "seconds"),
    [("10 us", Fr(1, 10**5)), ("10 µs", Fr(1, 10**5)), ("-250 ns", Fr(-1, 4 * 10**6)), ("1.5 ms", Fr(3, 2000))],
)
def test_short_times(text: str, seconds: Fr) -> None:
    assert parse_phase(text) == seconds
    assert say_phase(seconds) == text.replace("µ", "u")


@pytest.mark.parametrize("text", ["10", "10 s", "us", "", "10 lines", "1,5 ms", "9" * 70 + " us"])
def test_what_is_no_short_time(text: str) -> None:
    with pytest.raises(QuantityError):
        parse_phase(text)


def test_nothing_is_said_as_nothing() -> None:
    assert say_phase(Fr(0)) == "0 ms"


@given(st.fractions(min_value=-1, max_value=1, max_denominator=10**9))
def test_a_short_time_is_read_back(seconds: Fr) -> None:
    assert abs(parse_phase(say_phase(seconds, 12)) - seconds) <= abs(seconds) / 10**6 + Fr(1, 10**12)
