"""Short times, by which a picture is early or late against its reference: read into seconds, and said again."""

from __future__ import annotations

from fractions import Fraction
from typing import Final

from synclint.trade.reading import Form
from synclint.trade.times import say_number

_PHASE: Final = Form(
    "short time",
    "10 us",
    {"ns": Fraction(1, 10**9), "us": Fraction(1, 10**6), "µs": Fraction(1, 10**6), "ms": Fraction(1, 1000)},
    signed=True,
)


def parse_phase(text: str) -> Fraction:
    """Read a short time in seconds: 10 us, -250 ns, 1.5 ms. Raises QuantityError."""
    return _PHASE.read(text)


def say_phase(seconds: Fraction, digits: int = 3) -> str:
    """Write a short time given in seconds, to some digits: 10 us, 250 ns, 1.5 ms."""
    for unit, size in (("ms", 1000), ("us", 10**6)):
        if abs(seconds) * size >= 1 or not seconds:
            return f"{say_number(seconds * size, digits)} {unit}"
    return f"{say_number(seconds * 10**9, digits)} ns"
