"""Video references: the lines, the rate and the scan that the name of a reference format says, and what follows.

A reference is named by its lines and by its field or frame rate: 525/59.94 for black burst, 1080/59.94i or
1080/23.98 PsF for tri-level. A device locks to a reference of its own family of rates: {25, 50}, {24}, {30, 60},
{29.97, 59.94}, {23.976} (from memory, as ST 170, BT.1700, ST 274 and ST 296 have it, and arithmetic).
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass
from enum import StrEnum
from fractions import Fraction
from math import gcd
from typing import Final

from synclint.trade.rates import TOP_COUNTED, Rate, parse_rate

TEXT_LIMIT: Final = 40
"""Characters that the name of a reference may have."""

_LINES: Final = ("480", "486", "525", "576", "625", "720", "1080", "2160")

_SYSTEMS: Final = {480: 525, 486: 525, 525: 525, 576: 625, 625: 625}
_RASTERS: Final = {720: 750, 1080: 1125, 2160: 2250}
"""Lines in all, those in blanking counted, by the visible ones (ST 274 and ST 296, from memory)."""
_LINE_LENGTHS: Final[Mapping[int, Mapping[int, int]]] = {
    525: {30: 858},
    625: {25: 864},
    720: {24: 4125, 25: 3960, 30: 3300, 50: 1980, 60: 1650},
    1080: {24: 2750, 25: 2640, 30: 2200, 48: 2750, 50: 2640, 60: 2200},
    2160: {24: 5500, 25: 5280, 30: 4400, 48: 5500, 50: 5280, 60: 4400},
}
"""Pixels in a line, those in blanking counted, by system and frame rate."""

TRI_LEVEL_MV: Final = 600
"""Millivolts peak to peak of tri-level sync into one 75 ohm: -300 and +300 (ST 240, read of in an article)."""

METRE_OF_CABLE: Final = Fraction(5, 10**9)
"""Seconds that a metre of coax or fibre takes: 5.05 ns at a velocity factor of 0.66 (from memory), rounded."""

# 1080/59.94i and 1080 59.94i, and the other order, 1080i/59.94 and 1080i59.94.
_FORMAT: Final = re.compile(
    rf"(?P<lines>{'|'.join(_LINES)})"
    r"(?: *(?P<before>psf|i|p) */? *|/ *| +/? *)"
    r"(?P<rate>[0-9]{1,3}(?:\.[0-9]{1,3})?|[0-9]{1,6}/1001)"
    r" *(?P<after>psf|i|p)?",
    re.IGNORECASE | re.ASCII,
)


class Scan(StrEnum):
    """How a picture is read out: in two fields, at once, or at once and sent as two segments."""

    INTERLACED = "i"
    PROGRESSIVE = "p"
    SEGMENTED = "PsF"


class Sync(StrEnum):
    """The pulse that a reference is made of: one step down, or down and up about blanking."""

    BI_LEVEL = "bi-level"
    TRI_LEVEL = "tri-level"


class ReferenceFormatError(ValueError):
    """A text that names no reference format, with the text in `text`."""

    def __init__(self, text: str) -> None:
        """Show the form."""
        shown = text[:TEXT_LIMIT] if text.isprintable() else ascii(text[:TEXT_LIMIT])
        super().__init__(
            f"{shown} is not a reference format: write one such as 1080/59.94i, 1080/23.98 PsF or 525/59.94"
        )
        self.text = text[:TEXT_LIMIT]


@dataclass(frozen=True, slots=True)
class Reference:
    """A reference format: its lines, its field or frame rate as named, and its scan where the name says it."""

    lines: int
    rate: Rate
    scan: Scan | None

    @property
    def name(self) -> str:
        """As it is written: 1080/59.94i, 1080/23.976 PsF, 525/59.94."""
        after = "" if self.scan is None else f" {self.scan}" if self.scan is Scan.SEGMENTED else str(self.scan)
        return f"{self.lines}/{self.rate.name}{after}"

    @property
    def system(self) -> int:
        """Its lines in all where the name says the visible ones of a bi-level format: 525 for 480, 625 for 576."""
        return _SYSTEMS.get(self.lines, self.lines)

    @property
    def sync(self) -> Sync:
        """Bi-level at 525 and 625 lines, tri-level above (ST 170, BT.1700, ST 274 and ST 296, from memory)."""
        return Sync.BI_LEVEL if self.system in _SYSTEMS.values() else Sync.TRI_LEVEL

    @property
    def fields(self) -> int:
        """How many fields make a frame: two where pictures are interlaced, as all bi-level ones are, else one."""
        return 2 if self.scan is Scan.INTERLACED or (self.scan is None and self.sync is Sync.BI_LEVEL) else 1

    @property
    def frame_rate(self) -> Rate:
        """Whole pictures a second; an interlaced format is named by its fields, or by its frames up to 30."""
        by_fields = self.fields == 2 and self.rate.fps > TOP_COUNTED
        return Rate(self.rate.fps / 2) if by_fields else self.rate

    @property
    def family(self) -> Fraction:
        """The family of rates that locks to it, as `Rate.family` gives it: 25 of 625/50, 30000/1001 of 1080/59.94i."""
        return self.rate.family

    @property
    def pixel_clock(self) -> Fraction | None:
        """Pixels a second with those in blanking, in hertz; None of a raster that is not known here.

        2200 × 1125 × 30 is 74.25 MHz and 858 × 525 × 30000/1001 is 13.5 MHz; line lengths from memory (ST 274, ST 296,
        BT.601).
        """
        pixels = _LINE_LENGTHS.get(self.system, {}).get(self.frame_rate.nominal)
        if pixels is None:
            return None
        return pixels * _RASTERS.get(self.system, self.system) * self.frame_rate.fps

    def is_like(self, other: Reference) -> bool:
        """Whether two names mean one signal: 525/59.94 and 525/59.94i; a scan that one leaves out is not compared."""
        if (self.system, self.sync) != (other.system, other.sync):
            return False
        if self.scan is None or other.scan is None:
            return other.rate in (self.rate, self.frame_rate) or self.rate == other.frame_rate
        return (self.scan, self.frame_rate) == (other.scan, other.frame_rate)


def parse_reference(text: str) -> Reference:
    """Read the name of a reference format: 1080/59.94i, 1080/23.98 PsF, 720/50p, 525/59.94, 625/50.

    The rate is the one named, a field rate where pictures are interlaced, and here 24p is plain 24: the trade writes
    1080/23.98p for the other. Raises ReferenceFormatError.
    """
    match = _FORMAT.fullmatch(text.strip(" ")) if len(text) <= TEXT_LIMIT else None
    if match is None or (match["before"] and match["after"]):
        raise ReferenceFormatError(text)
    scan = (match["before"] or match["after"] or "").lower()
    try:
        rate = parse_rate(match["rate"])
    except ValueError:
        raise ReferenceFormatError(text) from None
    return Reference(
        int(match["lines"]), rate, {"i": Scan.INTERLACED, "p": Scan.PROGRESSIVE, "psf": Scan.SEGMENTED}.get(scan)
    )


@dataclass(frozen=True, slots=True)
class Places:
    """On how many places of its own frame a camera may come to sit on a reference, and how far these lie apart."""

    count: int
    spacing: Fraction
    """Seconds from one to the next."""

    @property
    def farthest(self) -> Fraction:
        """How many seconds two cameras may be apart, the shorter way round the frame."""
        return self.count // 2 * self.spacing


def places_on(camera: Rate, reference: Reference) -> Places:
    """Give the places of a camera's frame that the frames of a reference leave open.

    4 frames of 23.976 last as long as 5 of 29.97, so that each of its frames may begin on any of five places, 1001/120
    ms = 8.34 ms apart: two such cameras are up to 16.7 ms apart (arithmetic).
    """
    own, others = camera.frame, reference.frame_rate.frame
    parts = own.denominator * others.denominator
    spacing = Fraction(gcd(own.numerator * others.denominator, others.numerator * own.denominator), parts)
    return Places(int(own / spacing), spacing)
