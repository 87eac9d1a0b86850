"""Sizes of files: read exactly into bytes, and said again for people."""

from __future__ import annotations

from fractions import Fraction
from math import floor
from typing import Final

from synclint.trade.reading import Form
from synclint.trade.times import say_number

_SIZE: Final = Form(
    "size",
    "4 GiB",
    {"mb": Fraction(10**6), "mib": Fraction(2**20), "gb": Fraction(10**9), "gib": Fraction(2**30)},
)
_GIB: Final = 2**30


def parse_size(text: str) -> int:
    """Read the size of a file in whole bytes: 2 GB (10^9), 4 GiB (2^30). Raises QuantityError."""
    size = floor(_SIZE.read(text))
    if size <= 0:
        raise _SIZE.error(text.strip(" "), "holds nothing")
    return size


def say_size(size: int) -> str:
    """Write bytes in the unit that file limits are told in: 4 GiB, 3.81 GiB."""
    return f"{say_number(Fraction(size, _GIB))} GiB"
