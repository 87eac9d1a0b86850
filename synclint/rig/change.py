"""What a `set` event changes of a device: the settings it names, over those that were in force."""

from __future__ import annotations

from dataclasses import fields, replace
from typing import Any, TypeVar

from synclint.findings import Fact
from synclint.rig.model import ClockSide, Device, Patch, PictureSide, SoundSide, TimecodeSide

Side = TypeVar("Side", TimecodeSide, ClockSide, PictureSide, SoundSide)


def patched(device: Device, patch: Patch) -> Device:
    """The device with the settings of an event in force."""
    return replace(
        device,
        timecode=_over(device.timecode, patch.timecode),
        clock=_over(device.clock, patch.clock),
        picture=_over(device.picture, patch.picture) if device.picture and patch.picture else device.picture,
        sound=_over(device.sound, patch.sound) if device.sound and patch.sound else device.sound,
        timecode_on=patch.timecode_on if patch.timecode_on.written else device.timecode_on,
        trigger=patch.trigger if patch.trigger.written else device.trigger,
    )


def _over(old: Side, new: Side) -> Side:
    """A side of a device with each fact that the event writes in the place of the old one."""
    written: dict[str, Any] = {}
    for each in fields(new):
        fact = getattr(new, each.name)
        if isinstance(fact, Fact) and fact.written:
            written[each.name] = fact
    return replace(old, **written)
