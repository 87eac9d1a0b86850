"""How times, clock times, rates and frequencies are said."""

from fractions import Fraction as Fr

import pytest

from synclint.trade.quantities import say_clock, say_duration, say_frequency, say_number, say_ppm


@pytest.mark.parametrize(
    ("seconds", "said"),
    [
        (Fr(0), "0 s"),
        (Fr("3.6"), "3.6 s"),
        (Fr("0.15"), "150 ms"),
        (Fr(1001, 48_000), "20.9 ms"),
        (Fr(1001, 24_000), "41.7 ms"),
        (Fr(25_025, 3), "2 h 19 min"),
        (Fr(1001, 24), "41.7 s"),
        (Fr("0.00018"), "0.18 ms"),
        (Fr("0.02222"), "22.2 ms"),
        (Fr(2700), "45 min"),
        (Fr(86_400), "24 h"),
        (Fr("86399.9136"), "24 h"),
        (Fr(150), "2 min 30 s"),
        (Fr(1000), "16 min 40 s"),
        (Fr("0.9996"), "1 s"),
        (Fr("0.99949"), "999 ms"),
        (Fr("59.96"), "1 min"),
        (Fr("59.94"), "59.9 s"),
        (Fr("3599.5"), "1 h"),
        (Fr("-3.6"), "-3.6 s"),
        (Fr(-1, 10**12), "0 ms"),
    ],
)
def test_say_duration(seconds: Fr, said: str) -> None:
    """By hand: three digits below a minute, halves rounded up; 25025/3 s = 8341.7 s = 2 h 19.03 min."""
    assert say_duration(seconds) == said


@pytest.mark.parametrize(
    ("seconds", "said"),
    [
        (25_200, "07:00"),
        (46_034, "12:47:14"),
        (91_200, "01:20 +1"),
        (Fr("46034.99"), "12:47:14"),
        (0, "00:00"),
        (-600, "23:50 -1"),
    ],
)
def test_say_clock(seconds: int | Fr, said: str) -> None:
    assert say_clock(Fr(seconds)) == said


def test_half_a_frame_between_the_boxes_at_1247() -> None:
    """A jammed at 07:00, B at 07:10, 0.5 ppm each, 0.2 ppm master, 0.1 ms a jam: past 20.854 ms at 12:47 (arithmetic).

    By hand: 0.2 x 600 + 0.5 x (t + 600) + 0.5 t = 20,854.17 - 200 us, so t = 20,234.17 s after 07:10, 12:47:14.
    """
    after = (Fr(1001, 48_000) - Fr("0.0002")) * 1_000_000 - Fr("0.2") * 600 - Fr("0.5") * 600
    assert say_clock(Fr(25_800) + after) == "12:47:14"


def test_say_ppm_and_frequency_and_number() -> None:
    """By hand; 48,000 / 1.001 = 47,952.047952 Hz."""
    assert say_ppm(Fr("0.2")) == "0.2 ppm"
    assert say_ppm(Fr("0.31"), signed=True) == "+0.31 ppm"
    assert say_ppm(Fr("-0.31"), signed=True) == "-0.31 ppm"
    assert say_ppm(Fr(0), signed=True) == "0 ppm"
    assert say_frequency(Fr(48_000)) == "48 kHz"
    assert say_frequency(Fr(48_000_000, 1001)) == "47.952048 kHz"
    assert say_frequency(Fr(868_300_000)) == "868.3 MHz"
    assert say_frequency(Fr(50)) == "50 Hz"
    assert say_number(Fr(123_456)) == "123456"
    assert say_number(Fr(2, 3)) == "0.667"
    assert say_number(Fr("0.0005")) == "0.0005"
