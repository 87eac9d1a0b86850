"""What a `set` event changes of a device: the settings it names, over those that were in force."""

from __future__ import annotations

from dataclasses import fields, replace
from typing import Any, TypeVar

from synclint.findings import Fact
from synclint.rig.model import ClockSide, Device, Patch, PictureSide, SoundSide, TimecodeSide

T = TypeVar("T")
Side = TypeVar("Side", TimecodeSide, ClockSide, PictureSide, SoundSide)


def patched(device: Device, patch: Patch) -> Device:
    """The device with the settings of an event in force."""
    return replace(
        device,
        timecode=_over(device.timecode, patch.timecode),
        clock=_over(device.clock, patch.clock),
        picture=_over(device.picture, patch.picture) if device.picture and patch.picture else device.picture,
        sound=_over(device.sound, patch.sound) if device.sound and patch.sound else device.sound,
        timecode_on=_newer(device.timecode_on, patch.timecode_on),
        trigger=_newer(device.trigger, patch.trigger),
        plays_speed=_newer(device.plays_speed, patch.plays_speed),
    )


def _newer(old: Fact[T], new: Fact[T]) -> Fact[T]:
    """The fact in force once an event has written one; where it says what was so before, that still stands."""
    if not new.written or (old.stated and old.value == new.value):
        return old
    return new


def _over(old: Side, new: Side) -> Side:
    """A side of a device with each fact that the event writes in the place of the old one."""
    written: dict[str, Any] = {}
    for each in fields(new):
        fact = getattr(new, each.name)
        if isinstance(fact, Fact) and fact.written:
            written[each.name] = _newer(getattr(old, each.name), fact)
    return replace(old, **written)
