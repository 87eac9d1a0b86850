"""Sound on its way through the air."""

from fractions import Fraction
from typing import Final

SPEED_OF_SOUND: Final = Fraction(343)
"""Metres a second in air at 20 °C (from memory)."""


def sound_delay(metres: Fraction) -> Fraction:
    """Give the seconds that sound takes over a distance: 0.11662 s for 40 m, a frame of 25 for 13.72 m (CALC)."""
    return metres / SPEED_OF_SOUND
