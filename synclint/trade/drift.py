"""What a rate error in parts per million comes to."""

from fractions import Fraction
from typing import Final

MILLION: Final = 1_000_000


def drift_seconds(ppm_sum: Fraction, seconds: Fraction | int) -> Fraction:
    """Give the seconds by which clocks part in some seconds, at the sum of their errors in ppm.

    1 ppm is 3.6 ms an hour (CALC).
    """
    return ppm_sum * seconds / MILLION


def seconds_until(ppm_sum: Fraction, budget_seconds: Fraction) -> Fraction | None:
    """Give the seconds until clocks part by a budget in seconds, at the sum of their errors in ppm; None if never.

    A frame at 23.976 at 5 ppm: 8341.7 s, 2 h 19 min (CALC).
    """
    return abs(budget_seconds * MILLION / ppm_sum) if ppm_sum else None
