"""How offsets are said wherever drift is told: milliseconds, frames, rates."""

from __future__ import annotations

from fractions import Fraction
from math import floor

from synclint.drift.values import Drift
from synclint.trade.quantities import say_duration, say_ppm

_DOWN = 1000
"""A needed accuracy is rounded down to a thousandth of a ppm."""


def said(seconds: Fraction) -> str:
    """An offset or a length with its unit: `20.9 ms`, `45 min`."""
    return say_duration(seconds)


def milliseconds(seconds: Fraction) -> str:
    """An offset in milliseconds without the unit, for a table: `20.9`, `0.1`, `1,234.0`; what is less is said so."""
    return _to_places(seconds * 1000, 1)


def frames(seconds: Fraction, frame: Fraction) -> str:
    """An offset in frames without the unit, for a table: `0.50`, `1.26`."""
    return _to_places(seconds / frame, 2)


def _to_places(value: Fraction, places: int) -> str:
    size = 10**places
    rounded = floor(value * size + Fraction(1, 2))
    if value and not rounded:
        return f"<{1 / size:.{places}f}"
    return f"{rounded // size:,}.{rounded % size:0{places}}"


def length(seconds: Fraction) -> str:
    """How long something may be, never said longer than it is."""
    return said(Fraction(floor(seconds))) if seconds >= 1 else said(seconds)


def tolerance(drift: Drift) -> str:
    """The tolerance as it is written, and in milliseconds where that is another thing."""
    told = said(drift.tolerance or Fraction(0))
    return told if told == drift.tolerance_said else f"{drift.tolerance_said} ({told})"


def ppm(rate: Fraction, *, signed: bool = False) -> str:
    """A rate with its unit: `0.5 ppm`."""
    return say_ppm(rate, signed=signed)


def needed_ppm(rate: Fraction) -> str:
    """An accuracy that is wanted, never said laxer than it is."""
    return say_ppm(Fraction(floor(rate * _DOWN), _DOWN)) if rate * _DOWN >= 1 else "less than 0.001 ppm"


def odds(share: Fraction) -> str:
    """A probability as people say it: `7 in 10`, `1 in 40`, `certain`, `none`."""
    if share >= 1:
        return "certain"
    if share <= 0:
        return "none"
    if share * 20 >= 1:
        return f"{min(max(floor(share * 10 + Fraction(1, 2)), 1), 9)} in 10"
    return f"1 in {floor(1 / share)}"
