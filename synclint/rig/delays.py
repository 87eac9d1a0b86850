"""What the delays on the way of picture, sound and timecode make of a device's labels: one value a device.

A recording's fixed label error is the delay of its picture, or of its sound where it takes no picture, minus that of
its timecode: + is a label later than the picture it sits on. What both go through delays neither against the other, so
timecode that is embedded in the picture gives none.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, replace
from fractions import Fraction
from typing import Any

from synclint.findings import Fact
from synclint.rig.model import OWN_CLOCK, Device, End, Setup
from synclint.rig.paths import Paths, Signal, Step, Way, between

CAMERAS = frozenset(
    {
        "cinema camera",
        "compact cinema camera",
        "shoulder camcorder",
        "small camera",
        "action camera",
        "phone",
        "drone camera",
    }
)
"""The classes that take pictures themselves, whatever is plugged into them."""

_NONE = Fraction(0)


@dataclass(frozen=True, slots=True)
class Difference:
    """How much later one thing reaches a device than another: + is the first later."""

    seconds: Fraction | None
    """None where nobody says how long something on the way takes that only one of the two goes through."""
    content: Way | None
    """The way of the picture or sound; None where the device takes it itself."""
    other: Way | None
    """The way of what it is compared with; None where that does not come by any."""
    late: tuple[Step, ...]
    """What only the first goes through and takes time."""
    early: tuple[Step, ...]
    """What only the other goes through and takes time."""
    lacks: tuple[Step, ...]
    """What takes nobody knows how long."""

    @property
    def facts(self) -> tuple[Fact[Any], ...]:
        """The delays that it rests on."""
        return tuple(step.delay for step in (*self.late, *self.early))


def difference(content: Way | None, other: Way | None) -> Difference:
    """How much later what comes by one way is than what comes by another."""
    mine, theirs = between(content, other)
    lacks = tuple(step for step in (*mine, *theirs) if step.seconds is None)
    apart = _sum(mine) - _sum(theirs)
    late, early = (tuple(step for step in steps if step.seconds) for steps in (mine, theirs))
    return Difference(None if lacks else apart, content, other, late, early, lacks)


def _sum(steps: Iterable[Step]) -> Fraction:
    return sum((step.seconds or _NONE for step in steps), _NONE)


@dataclass(frozen=True, slots=True)
class Delays:
    """How picture, sound and timecode reach a device, and what that makes of its labels."""

    key: str
    pictures: tuple[Way, ...]
    """Empty where it takes its pictures itself, or none."""
    sounds: tuple[Way, ...]
    timecodes: tuple[Way, ...]
    """Empty where it counts by itself."""
    labels: tuple[Difference, ...]
    """By how much its labels are ahead of its picture or sound, for each way by which these come."""
    cut: bool = False
    """Whether there are more ways than were followed."""

    @property
    def label_error(self) -> Difference | None:
        """By how much its labels are ahead: that of most ways, of as many the least; None where it has no labels."""
        known = [each for each in self.labels if each.seconds is not None]
        if not known:
            return next(iter(self.labels), None)
        counts = Counter(each.seconds for each in known)
        return max(known, key=lambda each: (counts[each.seconds], -abs(each.seconds or _NONE)))

    @property
    def behind(self) -> Fraction:
        """By how many seconds the timecode that it hands on is off, none or below none, as far as anybody says."""
        late = [difference(None, way).seconds for way in self.timecodes if not way.embedded]
        return max((each for each in late if each is not None), default=_NONE)

    def of_sound(self, sound: Way) -> tuple[Difference, ...]:
        """How much later each of its pictures comes than a sound: + is the sound early."""
        return tuple(difference(picture, sound) for picture in self.pictures or (None,))


def delays_of(setup: Setup) -> Mapping[str, Delays]:
    """The delays of every device with a clock."""
    paths = Paths(setup)
    return {key: _delays(paths, device) for key, device in setup.devices.items() if not device.through}


def _delays(paths: Paths, device: Device) -> Delays:
    pictures = paths.into(device.key, Signal.PICTURE) if takes_pictures_in(device) else ()
    sounds = tuple(_sounds(paths, device))
    timecodes = tuple(_timecodes(paths, device))
    contents: tuple[Way | None, ...] = pictures or (None,)
    if device.picture is None and device.sound is not None:
        contents = (_earliest(sounds),)
    labelled = timecodes or device.timecode.source.value == OWN_CLOCK
    cut = device.key in paths.cut
    pairs = [pair for content in contents for pair in _pairs(content, timecodes)] if labelled else []
    return Delays(device.key, pictures, sounds, timecodes, tuple(difference(*pair) for pair in pairs), cut)


def takes_pictures_in(device: Device) -> bool:
    """Whether a device that records pictures records those that come in, and takes none itself."""
    return device.picture is not None and device.cls.value not in CAMERAS


def _earliest(sounds: tuple[Way, ...]) -> Way | None:
    """The sound that comes first: microphones with hops of their own are late by themselves and not the recording."""
    known = [way for way in sounds if way.seconds is not None]
    return min(known, key=lambda way: way.seconds or _NONE, default=None)


def _pairs(content: Way | None, timecodes: tuple[Way, ...]) -> Iterator[tuple[Way | None, Way | None]]:
    """A picture with the timecode that labels it: what is embedded comes along with its own picture."""
    if not timecodes:
        yield content, None
        return
    shared = {way: _shared(content, way) if way.embedded else 0 for way in timecodes}
    most = max(shared.values())
    yield from ((content, way) for way in timecodes if shared[way] == most)


def _shared(one: Way | None, other: Way) -> int:
    """Along how many leads, counted from the end, two ways are the same."""
    count = 0
    for mine, theirs in zip(reversed(one.links if one else ()), reversed(other.links), strict=False):
        if mine is not theirs:
            break
        count += 1
    return count


def labelled_on_a_track(device: Device) -> bool:
    """Whether what labels a recording is timecode recorded as sound."""
    on = device.timecode_on.value
    tracks = (device.sound.tracks.value if device.sound else None) or {}
    if on is None:
        return device.timecode.source.value is None and "LTC" in tracks.values()
    return "file" not in on and any(tracks.get(track) == "LTC" for track in on)


def _timecodes(paths: Paths, device: Device) -> Iterator[Way]:
    """The ways of the timecode that labels a device."""
    source = device.timecode.source.value
    if labelled_on_a_track(device):
        lag = _lag(device)
        ways = (way for way in paths.into(device.key, Signal.TIMECODE) if not way.embedded)
        yield from (replace(way, steps=(*way.steps, *lag)) for way in ways)
    elif source is not None and source != OWN_CLOCK:
        yield from paths.at(End(device.key, source), Signal.TIMECODE)


def _sounds(paths: Paths, device: Device) -> Iterator[Way]:
    """The ways of the sound that a device records; its own microphone is one where it is known to come late."""
    if device.sound is None:
        return
    lag = _lag(device)
    ways = paths.into(device.key, Signal.SOUND)
    yield from (replace(way, steps=(*way.steps, *lag)) for way in ways)
    if not ways and lag:
        yield Way(device.key, (), lag)


def _lag(device: Device) -> tuple[Step, ...]:
    """What a camera itself takes to lay its sound beside its picture."""
    sound, picture = device.sound, device.picture
    if sound is None or sound.lag.value is None or picture is None:
        return ()
    rate = picture.shot_at.value
    lag = sound.lag.value
    seconds = lag.seconds if lag.seconds is not None else lag.in_seconds(rate) if rate is not None else None
    return (Step(device.key, f"the sound path of {device.called}", sound.lag, seconds),)
