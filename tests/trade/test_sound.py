"""Sound on its way through the air (343 m/s at 20 °C, from memory)."""

from fractions import Fraction

import pytest

from synclint.trade.sound import sound_delay


@pytest.mark.parametrize(
    ("metres", "milliseconds"),
    # 1/343 s is 2.9155 ms; 40/343 s is 116.618 ms; 13.72 m are 40 ms, a frame of 25 (arithmetic)
    [(0, 0), (1, 2.9155), (40, 116.618), (Fraction("13.72"), 40)],
)
def test_what_sound_takes_over_a_distance(metres: Fraction, milliseconds: float) -> None:
    assert float(sound_delay(Fraction(metres)) * 1000) == pytest.approx(milliseconds, abs=1e-3)
