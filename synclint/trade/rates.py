"""Frame rates and the way their labels are counted.

A rate is an exact number of frames a second: 23.976 is the trade's word for 24000/1001 and never the decimal
(CALC: the decimal 23.976 is 1 ppm off, 86.4 ms a day).
"""

import re
from dataclasses import dataclass
from enum import StrEnum
from fractions import Fraction
from math import ceil
from typing import Final

TEXT_LIMIT: Final = 40
"""Characters that the text of a rate may have."""

FASTEST: Final = 10_000
"""Frames a second above which a text is not taken for a rate (a design choice, no source)."""

TOP_COUNTED: Final = 30
"""Frames a second above which LTC counts groups of frames (ST 2059-1 by way of a secondary text)."""

_THOUSANDTH: Final = Fraction(1000, 1001)

# Only these have a slowed-down twin in the trade; 25, 50 and 100 have none.
_TWINNED: Final = (24, 30, 48, 60, 72, 90, 96, 120, 144, 180, 192, 240)

# 23.97 is the written form farthest from its rate (by 0.00603); no integer rate is nearer than 0.02 to any of these.
_CLOSE: Final = Fraction(65, 10_000)

_RATE_TEXT: Final = re.compile(
    r"(?P<number>[0-9]{1,9}(?:\.[0-9]{1,9})?|[0-9]{1,9}/[0-9]{1,9})(?P<suffix>p| *fps)?",
    re.IGNORECASE | re.ASCII,
)
_LABEL_RATE_TEXT: Final = re.compile(r"(?P<rate>[^a-z]*?(?:p|fps)?) *(?P<count>ndf|df)?", re.IGNORECASE | re.ASCII)


class Count(StrEnum):
    """How labels are counted: every number used, or some dropped to keep near the wall clock."""

    NDF = "NDF"
    DF = "DF"


class RateError(ValueError):
    """A text that gives no frame rate, with the text in `text`."""

    def __init__(self, text: str, message: str) -> None:
        """Keep at most the first characters of the text, and the message."""
        super().__init__(message)
        self.text = text[:TEXT_LIMIT]


class UnreadableRateError(RateError):
    """A text that is not written as a frame rate."""


class AmbiguousRateError(RateError):
    """A text such as 24p that people use for two rates, both in `candidates`, the slower one first."""

    def __init__(self, text: str, candidates: "tuple[Rate, Rate]") -> None:
        """Name both rates in the message."""
        slow, fast = candidates
        super().__init__(text, f"{text} is said of {slow.name} and of {fast.name}: write the one that is meant")
        self.candidates = candidates


@dataclass(frozen=True, order=True, slots=True)
class Rate:
    """An exact frame rate in frames a second, ordered from slow to fast."""

    fps: Fraction

    def __post_init__(self) -> None:
        """Refuse what is no rate: RateError unless it is above zero."""
        if self.fps <= 0:
            raise RateError(str(self.fps), f"a rate of {self.fps} frames a second does not exist")

    @property
    def name(self) -> str:
        """The trade's name, 23.976 for 24000/1001; other rates as a decimal if exact, else as a fraction."""
        if self.fps.denominator == 1:
            return str(self.fps.numerator)
        if self.fps / _THOUSANDTH in _TWINNED:
            return _decimal(round(self.fps * 1000))
        if 1000 % self.fps.denominator == 0:
            return _decimal(int(self.fps * 1000))
        return f"{self.fps.numerator}/{self.fps.denominator}"

    @property
    def nominal(self) -> int:
        """Frames in a second of labels: 24 at 23.976, 60 at 59.94, else the next whole number."""
        return -(-self.fps.numerator // self.fps.denominator)

    @property
    def fractional(self) -> bool:
        """Whether the rate is a whole number over 1.001."""
        return self.fps.denominator != 1 and (self.fps / _THOUSANDTH).denominator == 1

    @property
    def frame(self) -> Fraction:
        """The length of a frame in seconds."""
        return 1 / self.fps

    @property
    def counted(self) -> "Rate":
        """The rate at which labels count: itself up to 30, above that the rate of groups of frames.

        50 counts as 25, 59.94 as 29.97, 60 as 30, 48 as 24, 47.952 as 23.976 (pairs: ST 12-1:2014 12, as cited in
        libavutil). Groups of three, four and more above 60 (72 as 24, 100 as 25, 120 as 30) are ST 12-3 from memory.
        A rate outside these families is divided by the smallest number that brings it to 30 or less.
        """
        if self.fps <= TOP_COUNTED:
            return self
        least = ceil(self.fps / TOP_COUNTED)
        for group in range(least, 2 * least):
            if self.fps / group in _COUNTED_RATES:
                return Rate(self.fps / group)
        return Rate(self.fps / least)

    @property
    def family(self) -> Fraction:
        """What rates have in common that one label serves, in frames a second: equal for 25 and 50, 29.97 and 59.94."""
        return self.counted.fps


_COUNTED_RATES: Final = frozenset(
    {Fraction(24_000, 1001), Fraction(24), Fraction(25), Fraction(30_000, 1001), Fraction(30)}
)

# Over 1001. Looked up for every label, and a fraction is slow to hash.
_DROP_NUMERATORS: Final = (30_000, 60_000)


@dataclass(frozen=True, order=True, slots=True)
class LabelRate:
    """A frame rate in frames a second and how its labels are counted, with None for a count that is not said."""

    rate: Rate
    count: Count | None = None

    @property
    def name(self) -> str:
        """As it is said aloud: 29.97 DF, 23.976 NDF, 25."""
        return self.rate.name if self.count is None else f"{self.rate.name} {self.count}"

    @property
    def drop(self) -> bool:
        """Whether drop frame is said, allowed at this rate or not."""
        return self.count is Count.DF

    @property
    def counted(self) -> "LabelRate":
        """The rate at which labels count, up to 30 frames a second, with the same count: 59.94 DF gives 29.97 DF."""
        return LabelRate(self.rate.counted, self.count)

    @property
    def count_allowed(self) -> bool:
        """Whether the count exists at this rate: DF does at 29.97 and 59.94 only (libavutil and OpenTimelineIO)."""
        return not self.drop or self.count_needed

    @property
    def count_needed(self) -> bool:
        """Whether the rate (29.97 and 59.94) leaves open which count is meant, be it said here or not."""
        return self.rate.fps.denominator == 1001 and self.rate.fps.numerator in _DROP_NUMERATORS


def _decimal(thousandths: int) -> str:
    whole, part = divmod(thousandths, 1000)
    return f"{whole}.{part:03}".rstrip("0").rstrip(".")


def _shown(text: str) -> str:
    cut = text if len(text) <= TEXT_LIMIT else text[:TEXT_LIMIT] + "..."
    return cut if cut.isprintable() else ascii(cut)


def _unreadable(text: str) -> UnreadableRateError:
    shown = _shown(text) if text.strip() else "an empty text"
    return UnreadableRateError(text, f"{shown} is not a frame rate: write one such as 23.976, 25 or 29.97")


def _named(number: str) -> Fraction:
    """Take a decimal near a rate over 1.001 for that rate, in frames a second."""
    fps = Fraction(number)
    if "." in number:
        for whole in _TWINNED:
            exact = whole * _THOUSANDTH
            if abs(fps - exact) < _CLOSE:
                return exact
    return fps


def parse_rate(text: str) -> Rate:
    """Read a frame rate in frames a second: 23.976, 25, 24000/1001, 50p, 96 fps.

    23.97, 23.976, 23.98 and 24000/1001 are one rate, and so on for every decimal close to a rate over 1.001
    (OpenTimelineIO reads them so). Plain 24, 30, 60 are exact. Any other number above 0 and up to 10,000 is an exact
    off-speed rate. Raises AmbiguousRateError for 24p, 30p, 48p, 60p and the like, whose use for two rates is common
    practice without a source, and UnreadableRateError for all else.
    """
    clean = text.strip(" ")
    match = _RATE_TEXT.fullmatch(clean) if len(text) <= TEXT_LIMIT else None
    if match is None:
        raise _unreadable(text)
    try:
        fps = _named(match["number"])
    except ZeroDivisionError:
        raise _unreadable(text) from None
    if not 0 < fps <= FASTEST:
        raise UnreadableRateError(text, f"{clean} is not a frame rate: it must be above 0 and at most {FASTEST}")
    if (match["suffix"] or "").lower() == "p" and fps in _TWINNED:
        raise AmbiguousRateError(clean, (Rate(fps * _THOUSANDTH), Rate(fps)))
    return Rate(fps)


def parse_label_rate(text: str) -> LabelRate:
    """Read a rate in frames a second and its count, in one breath: 23.976 NDF, 29.97 DF, 25.

    25 DF is read too; `LabelRate.count_allowed` tells that it does not exist. Raises the errors of `parse_rate`.
    """
    match = _LABEL_RATE_TEXT.fullmatch(text.strip(" ")) if len(text) <= TEXT_LIMIT else None
    if match is None:
        raise _unreadable(text)
    rate = match["rate"]
    if not rate.strip(" "):
        raise _unreadable(text)
    return LabelRate(parse_rate(rate), Count(match["count"].upper()) if match["count"] else None)
