"""Clocks of digital sound: how true a grade of reference is, what follows it, and how often two clocks slip."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from typing import Final

MILLION: Final = 1_000_000


@dataclass(frozen=True, slots=True)
class Grade:
    """A grade of AES11: within how many ppm it runs in the long term, and which devices lock to it."""

    number: int
    accuracy: Fraction
    """Parts per million, one way or the other (AES11-2009 5.2.1, as tabulated in secondary texts, not read)."""
    capture: Fraction
    """Parts per million over which a device follows (AES11-2009 5.2.2, as tabulated in secondary texts, not read)."""


GRADE_1: Final = Grade(1, Fraction(1), Fraction(2))
GRADE_2: Final = Grade(2, Fraction(10), Fraction(50))


def seconds_to_a_slip(ppm: Fraction, sample_rate: Fraction) -> Fraction | None:
    """Give the seconds in which two clocks, `ppm` apart, part by one sample at a rate in hertz; None if never.

    10 ppm at 48 kHz is 0.48 samples a second, one in 2.08 s (arithmetic).
    """
    return MILLION / (abs(ppm) * sample_rate) if ppm and sample_rate else None
