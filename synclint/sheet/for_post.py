"""What post finds in the files of each device, and what it must do with them."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import fields

from synclint.day.clocktime import clock_of
from synclint.findings import listed
from synclint.rig.model import Device, Setup
from synclint.rig.offsets import FixedOffset, offsets_of
from synclint.rig.recordings import NO_WAY
from synclint.sheet.crew import NOT_STATED, Given, offset_told
from synclint.sheet.values import PostLine
from synclint.trade.quantities import say_frequency

NONE_STATED = "none stated"


def post_lines(given: Given) -> tuple[PostLine, ...]:
    """A line for each device that records, alike ones together."""
    offsets = offsets_of(given.setup)
    folded: dict[tuple[object, ...], list[str]] = {}
    for device in given.setup.devices.values():
        if not device.records or device.trigger.value or device.through:
            continue
        line = _line(given, device, offsets.get(device.key))
        alike = tuple(getattr(line, each.name) for each in fields(line) if each.name != "devices")
        folded.setdefault(alike, []).append(device.called)
    return tuple(PostLine(tuple(who), *alike) for alike, who in folded.items())  # type: ignore[arg-type]  # as they stood


def _line(given: Given, device: Device, offset: FixedOffset | None) -> PostLine:
    setup = given.setup
    return PostLine(
        devices=(device.called,),
        files="; ".join(_files(device)) or NOT_STATED,
        label=_label(setup, device),
        track=_tracks(device),
        do="; ".join([*_off_speed(given, device), *_do(setup, device, offset)]),
        offset=offset_told(offset) or NONE_STATED,
    )


def _files(device: Device) -> Iterator[str]:
    """What the files are: the picture's rate, the sound's samples, the reel."""
    picture, sound = device.picture, device.sound
    if picture is not None:
        shot, played = picture.shot_at.value, picture.played_at.value
        if picture.variable.value:
            yield "picture at a rate that varies"
        elif shot is not None:
            plays = f" played at {played.name}" if played is not None and played != shot else ""
            yield f"picture {shot.name}{plays}"
        else:
            yield "picture, rate not stated"
    if sound is not None and sound.sample_rate.value is not None:
        stamped = sound.stamped.value
        odd = f" stamped {say_frequency(stamped)}" if stamped and stamped != sound.sample_rate.value else ""
        yield f"sound {say_frequency(sound.sample_rate.value)}{odd}"
    if device.handover.own.reel.value is not None:
        yield f"reel {device.handover.own.reel.value}"


def _label(setup: Setup, device: Device) -> str:
    """Where the label is and at which rate it counts."""
    places = device.timecode_on.value
    if places is None:
        return NOT_STATED
    if places in ((), ("none",)):
        return "none"
    rate = device.timecode.rate.value or setup.project.rate.value
    return f"{listed(places)}, counting {rate.name}" if rate is not None else listed(places)


def _tracks(device: Device) -> str:
    tracks = (device.sound.tracks.value if device.sound else None) or {}
    return ", ".join(f"{side}: {what}" for side, what in tracks.items())


def _off_speed(given: Given, device: Device) -> Iterator[str]:
    """From when to when its clips play at another speed than they were shot at, and are laid to no sound."""
    states = given.run.histories.get(device.key, ())
    for state, after in zip(states, (*states[1:], None), strict=True):
        picture = state.device.picture
        shot, played = (picture.shot_at.value, picture.played_at.value) if picture else (None, None)
        if shot is None or played is None or shot.counted == played.counted:
            continue
        start = f" from {clock_of(given.setup, state.since)}" if state.since > given.run.start else ""
        end = f" to {clock_of(given.setup, after.since)}" if after is not None else ""
        yield f"off speed{start}{end} ({shot.name} played at {played.name}): do not group those clips"


def _do(setup: Setup, device: Device, offset: FixedOffset | None) -> list[str]:
    """What to do with the files, in an order that an assistant can follow."""
    places, steps = device.timecode_on.value or (), []
    ways = device.handover.sync_by.value
    if ways == (NO_WAY,):
        return ["nothing to lay: no sound goes with it"]
    on_track = [place for place in places if place not in ("file", "none")]
    if on_track:
        steps.append(f"decode LTC on {listed(on_track)} before any transcode, and keep all tracks")
    if offset is not None and offset.amount and offset.subtracted:
        steps.append(f"subtract {offset.written(offset.subtracted)} from every label")
    if places and places != ("none",):
        steps.append("group by timecode, and check head and tail of one clip")
    second = ways or setup.project.post_second_way.value or ()
    if not places or places == ("none",):
        steps.append(f"lay by {listed(second)}" if second else "lay by eye and ear: nothing else is written")
    elif second:
        steps.append(f"if that fails: {listed(second)}")
    return steps
