"""The fixed offset of a device's labels: how large it is, what is done about it, and what is left of it.

Signs are those of the format: + is a label that is later than it should be, ahead. `amount` is so before any
correction, post subtracts what it was told, and the menu of a camera adds what was entered there:

    left = amount + entered - subtracted by post
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction
from functools import cached_property
from typing import Any

from synclint.findings import Fact
from synclint.rig.delays import Delays, Difference, delays_of
from synclint.rig.model import Device, Setup
from synclint.trade.quantities import Offset, say_number
from synclint.trade.rates import Rate

MENU, POST = "camera menu", "post"
_NONE = Fraction(0)


@dataclass(frozen=True, slots=True)
class Entry:
    """What is entered somewhere so that labels come right."""

    where: str
    """`camera menu` or `post`."""
    seconds: Fraction
    """What the menu adds to the labels, or what post subtracts from them."""
    written: str
    """The same with its sign, in frames where it is whole frames or parts of one that people say."""


@dataclass(frozen=True)
class FixedOffset:
    """By how much a device's labels are ahead at all times, and who corrects that."""

    device: Device
    delays: Delays
    rate: Rate | None
    """What its offsets in frames are counted in."""
    told: Fact[Offset] | None
    """What post was told to subtract of this device's labels; None where post was not told of it."""
    post_was_told: bool
    """Whether post was told of any offsets, so that one it was not told of is not corrected."""

    @cached_property
    def stated(self) -> Fraction | None:
        """What the setup says, in seconds."""
        return self.seconds(self.device.offset)

    @cached_property
    def computed(self) -> Difference | None:
        """What the ways of picture and timecode come to; None where the device has no label."""
        return self.delays.label_error

    @cached_property
    def amount(self) -> Fraction | None:
        """By how many seconds its labels are ahead before any correction: as said, else by its ways, else unknown."""
        if self.stated is not None:
            return self.stated
        if self.device.offset.written:
            return None
        if self.computed is not None and self.computed.seconds:
            return self.computed.seconds
        if self.told is not None:
            return self.seconds(self.told)  # who told post has measured it
        entered = self.seconds(self.device.offset_entered)
        return -entered if entered is not None else None

    @cached_property
    def entered(self) -> Fraction:
        """By how many seconds its menu moves its labels, + being later."""
        said = self.seconds(self.device.offset_entered)
        if said is not None:
            return said
        return -(self.amount or _NONE) if self.device.offset_corrected_in.value == MENU else _NONE

    @cached_property
    def subtracted(self) -> Fraction:
        """How many seconds post subtracts."""
        if self.told is not None:
            return self.seconds(self.told) or _NONE
        trusted = self.device.offset_corrected_in.value == POST and not self.post_was_told
        return (self.amount or _NONE) if trusted else _NONE

    @cached_property
    def left(self) -> Fraction:
        """By how many seconds its labels are ahead once all is corrected that anybody says."""
        return (self.amount or _NONE) + self.entered - self.subtracted

    @property
    def entry(self) -> Entry | None:
        """What is to be entered, and where: in the menu where the setup says so, else in post; None if all is right."""
        if not self.amount:
            return None
        if self.device.offset_corrected_in.value == MENU:
            return Entry(MENU, -self.amount, self.written(-self.amount))
        return Entry(POST, self.amount, self.written(self.amount))

    @cached_property
    def handed_on(self) -> Fraction:
        """By how many seconds the timecode that it gives on is ahead of what it follows: late pictures are no part."""
        return self.delays.behind if self.stated is None and not self.corrected else self.uncorrected

    @cached_property
    def uncorrected(self) -> Fraction:
        """By how many seconds its labels are ahead where nobody corrects that; zero where somebody does, be it ill."""
        return _NONE if self.corrected else self.left

    @property
    def corrected(self) -> bool:
        """Whether anybody is said to correct it, rightly or not."""
        return bool(self.entered or self.subtracted)

    @property
    def facts(self) -> tuple[Fact[Any], ...]:
        """What the amount rests on."""
        if self.stated is not None:
            return (self.device.offset,)
        return self.computed.facts if self.computed is not None else ()

    def seconds(self, fact: Fact[Offset]) -> Fraction | None:
        """An offset in seconds, frames lasting what they last at the device's rate."""
        if fact.value is None:
            return None
        if fact.value.seconds is not None:
            return fact.value.seconds
        if not fact.value.frames:
            return _NONE
        return None if self.rate is None else fact.value.in_seconds(self.rate)

    @property
    def half_a_frame(self) -> Fraction | None:
        """How long half a frame of its labels lasts, from which on a label may be that of another picture."""
        return None if self.rate is None else self.rate.frame / 2

    def written(self, seconds: Fraction) -> str:
        """An offset as it is written in a setup, with its sign: `+2 frames`, `-1/2 frame`, `+20 ms`."""
        frames = seconds * self.rate.fps if self.rate is not None else None
        sign = "+" if seconds > 0 else ""
        if frames is not None and frames.denominator == 1:
            return f"{sign}{frames} {'frame' if abs(frames) == 1 else 'frames'}"
        if frames is not None and frames.denominator <= _PARTS:
            return f"{sign}{frames} frame" if abs(frames) < 1 else f"{sign}{frames} frames"
        return f"{sign}{say_number(seconds * 1000, 6, 3)} ms"


_PARTS = 4
"""Down to quarters an offset is written in frames."""


def offsets_of(setup: Setup) -> Mapping[str, FixedOffset]:
    """The fixed offset of every device with a clock."""
    told, project = setup.project.post_corrects.value, setup.project.rate.value
    found = {}
    for key, delays in delays_of(setup).items():
        device = setup.devices[key]
        rate = device.timecode.rate.value or project
        counted = rate.rate if rate is not None else device.picture.shot_at.value if device.picture else None
        found[key] = FixedOffset(device, delays, counted, (told or {}).get(key), told is not None)
    return found
