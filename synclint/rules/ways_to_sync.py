"""By what post lays a camera's clips to the sound, as far as the setup says: shared by the rules that ask for it."""

from __future__ import annotations

from typing import Any

from synclint.findings import AddKey, Edit, Fact, Place, SetValue
from synclint.rig.graphs import paced_from
from synclint.rig.model import LABEL_CARRIERS, Device, End, Setup
from synclint.rig.recordings import NO_WAY
from synclint.rules.framework import Case
from synclint.rules.hand_work import rolls_of

TIMECODE, SCRATCH = "timecode", "scratch sound"

MARKS = ("slate", "clap", "display in picture", "flash")
"""What can be found in a picture, with or without sound."""

PICTURES = frozenset({"picture", "SDI timecode", "HDMI timecode"})
"""What brings a camera's pictures to a recorder."""


def ways(case: Case, device: Device) -> tuple[str, ...] | None:
    """All ways to lay a device's clips that anybody planned, the first one first; None where nobody planned any."""
    project = case.setup.project
    first = device.handover.sync_by if device.handover.sync_by.value is not None else project.post_sync_by
    if first.value is None and project.post_second_way.value is None:
        return None
    if first.value == (NO_WAY,):
        return first.value
    return tuple(dict.fromkeys((*(first.value or ()), *(project.post_second_way.value or ()))))


def own_ways(case: Case, device: Device) -> tuple[str, ...] | None:
    """The ways planned for a device: its own where it says any, which then hold alone; else those of the project."""
    own = device.handover.sync_by.value
    return own if own is not None else ways(case, device)


def cameras(case: Case) -> tuple[Device, ...]:
    """The cameras whose clips somebody lays to sound, where there is more than one recording to bring together."""
    return case.once(_cameras)


def _cameras(case: Case) -> tuple[Device, ...]:
    every = [device for device in case.setup.devices.values() if device.records and not device.trigger.value]
    several = every if len(every) > 1 else ()
    filming = (device for device in several if device.picture is not None and not device.through)
    return tuple(device for device in filming if is_laid(case, device))


def is_laid(case: Case, device: Device) -> bool:
    """Whether anybody lays a device's clips to sound: not where the setup says nobody, or all its takes are MOS."""
    if own_ways(case, device) == (NO_WAY,):
        return False
    rolls = rolls_of(case).get(device.key, ())
    return not rolls or any(roll.event.sync_sound for roll in rolls)


def keeps_label(case: Case, device: Device) -> bool | None:
    """Whether a device keeps timecode in what it records; None where nobody can tell."""
    on, tracks = device.timecode_on.value, (device.sound.tracks.value if device.sound else None) or {}
    if on is not None:
        return bool(on) and on != ("none",)
    if "LTC" in tracks.values() or device.timecode.source.value is not None or case.timecode.arriving.get(device.key):
        return True
    if device.timecode.able_modes.value == ():
        return False
    said = [port.takes.written or port.gives.written for port in device.ports.values()]
    takes = (port.takes.value or () for port in device.ports.values())
    if said and all(said) and all(LABEL_CARRIERS.isdisjoint(each) for each in takes):
        return False
    return None


def shows_a_display(setup: Setup) -> bool:
    """Whether anything in the rig shows timecode to the cameras: a slate, or a screen."""
    return any(
        device.cls.value == "timecode slate" or device.screen_timecode.value is True
        for device in setup.devices.values()
    )


def camera_behind(case: Case, recorder: Device) -> Device | None:
    """The camera whose pictures a recorder records; None for a device that takes pictures of its own."""
    paced = paced_from(recorder)
    is_recorder = recorder.cls.value == "video recorder"
    found: dict[str, Device] = {}
    for port in recorder.ports.values():
        if PICTURES.isdisjoint(port.takes.value or ()) or not (is_recorder or port.key == paced):
            continue
        for feed in case.clock.feeds_at(End(recorder.key, port.key)):
            source = case.setup.devices[feed.source]
            if feed.last.carries.value in PICTURES and source.picture is not None and source is not recorder:
                found[source.key] = source
    return next(iter(found.values())) if len(found) == 1 else None


# --- edits ------------------------------------------------------------------------------------------------------


def is_own(case: Case, device: Device, place: Place) -> bool:
    """Whether a place is in the device's own entry of the setup, and in no kit and no device that it is like."""
    return place.span.file == case.setup.file and place.path[:2] == device.handover.place.path[:2]


def sync_by_edit(case: Case, device: Device, value: str) -> tuple[Edit, ...]:
    """The edit that gives a device ways to sync of its own."""
    return set_edit(case, device, device.handover.sync_by, device.handover.place, "sync_by", value)


def set_edit(case: Case, device: Device, fact: Fact[Any], parent: Place, key: str, value: str) -> tuple[Edit, ...]:
    """The edit that gives a key a value: where it stands in the device's own entry, else added to its parent there.

    `parent` is the mapping that holds the key: the device itself or its `records`, wherever it may stand.
    """
    if fact.written and is_own(case, device, fact.place):
        return (SetValue(fact.place, value),)
    place = device.handover.place
    if place.span.file != case.setup.file:
        return ()
    if is_own(case, device, parent) and parent.path != place.path:
        return (AddKey(parent, key, value),)
    return (AddKey(place, key, value),) if key == "sync_by" else (AddKey(place, "records", f"{{{key}: {value}}}"),)
