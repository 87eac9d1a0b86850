"""Sentences that many rules say alike."""

from __future__ import annotations

from fractions import Fraction

from synclint.findings import Confirmed, Fact, Source
from synclint.rules.framework import Case
from synclint.trade.quantities import say_duration

PRACTICE = Source("common practice, no source", Confirmed.PRACTICE)
"""What a rule rests on that the trade does and nobody has written down."""


def a_day(case: Case) -> str:
    """The longest day in words: `the day of 12 h 30 min`, or `the day` where none says how long it is."""
    seconds = case.day_seconds
    return f"the day of {say_duration(seconds)}" if seconds else "the day"


def ppm_sum(*facts: Fact[Fraction]) -> Fraction | None:
    """The worst case of independent clocks, their errors in ppm added; None where one is unknown."""
    values = [fact.value for fact in facts]
    return sum((value for value in values if value is not None), Fraction(0)) if None not in values else None
