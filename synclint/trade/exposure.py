"""Cameras before a screen: how long a frame is exposed, how fast a seam wanders, and which rows see two pictures.

Times are in seconds, angles in degrees; everything is exact.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from fractions import Fraction
from math import ceil, floor
from typing import Final

from synclint.trade.rates import Rate
from synclint.trade.reading import NUMBER, Form
from synclint.trade.times import say_number

_SHUTTER: Final = Form("shutter", "180 deg", {})
_ANGLE: Final = re.compile(rf"({NUMBER}) *(?:deg|°)", re.IGNORECASE | re.ASCII)
_PART: Final = re.compile(rf"1/({NUMBER}) *s", re.IGNORECASE | re.ASCII)
_FULL: Final = 360
_MANY: Final = 1000
"""From how many pictures of a screen in one readout on the rows are no longer counted one by one."""


@dataclass(frozen=True, slots=True)
class Shutter:
    """How long a frame is exposed: as an angle of the frame in degrees, or in seconds, whichever was written."""

    angle: Fraction | None = None
    time: Fraction | None = None

    def seconds(self, rate: Rate) -> Fraction:
        """How long a frame at a rate is exposed: 180 deg at 24 is 1/48 s."""
        return self.time if self.time is not None else (self.angle or Fraction(0)) / _FULL * rate.frame

    def as_angle(self, seconds: Fraction, rate: Rate) -> str:
        """An exposure in the words that this one is written in, never longer than it: `172.8 deg` or `1/50 s`."""
        if self.time is not None:
            return f"1/{ceil(1 / seconds)} s"
        return f"{say_number(Fraction(floor(seconds / rate.frame * _FULL * 10), 10), 4)} deg"


def parse_shutter(text: str) -> Shutter:
    """Read a shutter: 180 deg, 172.8 deg, 1/48 s. Raises QuantityError."""
    clean = _SHUTTER.clean(text)
    angle, part = _ANGLE.fullmatch(clean), _PART.fullmatch(clean)
    value = Fraction(angle[1]) if angle else Fraction(part[1]) if part else None
    if value is None:
        raise _SHUTTER.error(clean, "is not a shutter")
    if not value or (angle and value > _FULL):
        raise _SHUTTER.error(clean, "lets no frame be exposed" if not value else "is more than a whole frame")
    return Shutter(angle=value) if angle else Shutter(time=1 / value)


def pictures_a_frame(refresh: Rate, camera: Rate) -> int:
    """How many pictures of a screen fall to a frame of a camera, as near as a whole number comes; one at least."""
    return max(1, round(refresh.fps / camera.fps))


def seam_travel(refresh: Rate, camera: Rate) -> Fraction | None:
    """Give the seconds in which a seam travels once through a camera's frame; None if it stands still.

    A screen at 24 before a camera at 23.976: 41.7 s; 60 before 59.94: 16.7 s (arithmetic).
    """
    off = abs(refresh.fps - pictures_a_frame(refresh, camera) * camera.fps)
    return 1 / off if off else None


@dataclass(frozen=True, slots=True)
class Window:
    """When a camera that reads out row by row looks: each row for `exposure`, the last one `readout` after the first.

    `opens` is when its first row opens, after the reference.
    """

    opens: Fraction
    exposure: Fraction
    readout: Fraction

    @property
    def length(self) -> Fraction:
        """From when the first row opens to when the last one closes."""
        return self.exposure + self.readout

    def shared_rows(self, changes: Fraction, period: Fraction) -> Fraction:
        """Give the share of rows, 0 to 1, that see two pictures of a screen that changes at an instant and each period.

        ValueError if the period is not above zero.
        """
        if period <= 0:
            raise ValueError("a screen that never changes has no period")
        if self.exposure >= period or self.readout > _MANY * period:
            return min(Fraction(1), self.exposure / period)
        first = changes + ceil((self.opens - changes) / period) * period
        stretches = []
        at = first
        while at < self.opens + self.length:
            # The row at `late` after the first is open from then on for the exposure.
            stretches.append((max(Fraction(0), at - self.exposure - self.opens), min(self.readout, at - self.opens)))
            at += period
        if not self.readout:
            return Fraction(any(self.opens < first + n * period for n in range(len(stretches))))
        return min(Fraction(1), _covered(stretches) / self.readout)

    def free_from(self, changes: Fraction, period: Fraction) -> tuple[Fraction, Fraction] | None:
        """Between which two instants within a period it may open so that no row sees two pictures; None if never."""
        room = period - self.length
        if room < 0:
            return None
        start = changes % period
        return start, start + room


def _covered(stretches: list[tuple[Fraction, Fraction]]) -> Fraction:
    """How much several stretches, in order of their starts, cover together."""
    total, reached = Fraction(0), Fraction(0)
    for start, end in stretches:
        total += max(Fraction(0), end - max(start, reached))
        reached = max(reached, end)
    return total
