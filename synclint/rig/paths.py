"""The ways by which pictures, sound and timecode reach a device, and how late they come by each."""

from __future__ import annotations

from collections import deque
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from enum import Enum
from fractions import Fraction
from functools import cached_property
from itertools import islice

from synclint.findings import Fact, Place
from synclint.rig.model import LABEL_CARRIERS, Device, End, Link, Setup
from synclint.trade.quantities import Offset
from synclint.trade.rates import Rate
from synclint.trade.references import ReferenceFormatError, parse_reference

EMBEDDED = frozenset({"SDI timecode", "HDMI timecode"})
"""Timecode that lies in the picture it labels."""

PICTURES = frozenset({"picture", *EMBEDDED})
"""What brings pictures."""

_SOUND = frozenset({"sound", "digital sound"})

AT_ONCE_WHY = "sound and LTC pass at once unless a delay is stated (common practice, no source)"
"""On what it rests that a splitter of sound or LTC takes no time."""

_MOST_WAYS = 64
"""By how many ways a signal is followed to one port; it bounds the work on a rig that is all knot."""

_MOST_IN_ALL = 512
"""By how many ways a signal is followed to all ports of one device."""

_MOST_SOCKETS = 1000
"""How many sockets are looked at for one port."""


class Signal(Enum):
    """What is followed."""

    PICTURE = "picture"
    SOUND = "sound"
    TIMECODE = "timecode"


_CARRIED_BY: Mapping[Signal, frozenset[str]] = {
    Signal.PICTURE: PICTURES,
    Signal.SOUND: _SOUND | PICTURES,  # sound may be embedded on the way
    Signal.TIMECODE: LABEL_CARRIERS,
}


@dataclass(frozen=True, slots=True)
class Step:
    """Something on a way that may hold up what passes it."""

    key: str
    """The device that it is, or the radio group."""
    called: str
    delay: Fact[Offset]
    seconds: Fraction | None
    """By how much what passes comes out later; None where nobody says."""


@dataclass(frozen=True, slots=True)
class Way:
    """One way from a source to a device."""

    source: str
    links: tuple[Link, ...]
    """From the source to the device, in order."""
    steps: tuple[Step, ...]

    @property
    def port(self) -> str:
        """The port at which it arrives, or an empty text for what comes from the device itself."""
        return self.links[-1].target.port if self.links else ""

    @property
    def lacks(self) -> tuple[Step, ...]:
        """What holds it up for nobody knows how long."""
        return tuple(step for step in self.steps if step.seconds is None)

    @property
    def seconds(self) -> Fraction | None:
        """How late it comes, or None where nobody says."""
        return None if self.lacks else sum((step.seconds or Fraction(0) for step in self.steps), Fraction(0))

    @property
    def late(self) -> tuple[Step, ...]:
        """The steps that are known to take time."""
        return tuple(step for step in self.steps if step.seconds)

    @property
    def embedded(self) -> bool:
        """Whether a timecode arrives inside of a picture."""
        return bool(self.links) and self.links[-1].carries.value in EMBEDDED


class Paths:
    """The ways of a setup's signals; a lead that is plugged only to compare is none."""

    def __init__(self, setup: Setup) -> None:
        """Take the setup."""
        self.setup = setup
        self._into: dict[End, list[Link]] = {}
        for link in setup.links:
            if not link.only_compares:
                self._into.setdefault(link.target, []).append(link)
        self._ports: dict[str, dict[str, None]] = {}
        for end in self._into:
            self._ports.setdefault(end.device, {})[end.port] = None
        self.cut: set[str] = set()
        """The devices to which there are more ways than were followed."""
        self._groups = {group.place: group for group in setup.radio_groups}

    def into(self, key: str, signal: Signal) -> tuple[Way, ...]:
        """All ways by which a signal reaches any port of a device."""
        ways = (way for port in self._ports.get(key, ()) for way in self.at(End(key, port), signal))
        found = self._first(ways, _MOST_IN_ALL, key)
        return _own_sound(found) if signal is Signal.SOUND else found

    def at(self, end: End, signal: Signal) -> tuple[Way, ...]:
        """All ways by which a signal reaches a port."""
        return self._first(self._ways(end, signal), _MOST_WAYS, end.device)

    def _first(self, ways: Iterator[Way], most: int, key: str) -> tuple[Way, ...]:
        """The first of some ways to a device; it is noted where there are more."""
        found = tuple(islice(ways, most))
        if next(ways, None) is not None:
            self.cut.add(key)
        return found

    @cached_property
    def _passed(self) -> Mapping[End, tuple[str, ...]]:
        """For each output of a through-thing, and each loop-through, the inputs that it gives on."""
        found: dict[End, tuple[str, ...]] = {}
        for device in self.setup.devices.values():
            for into, outs in device.passes.items():
                for out in outs:
                    found[End(device.key, out)] = (*found.get(End(device.key, out), ()), into)
            for port in device.ports.values():
                if port.loop.value:
                    found[End(device.key, port.loop.value)] = (port.key,)
        return found

    def _ways(self, end: End, signal: Signal) -> Iterator[Way]:
        """Every way to a socket that comes by none twice, the shortest first where they are of one source."""
        looked_at = 0
        pending: deque[tuple[End, tuple[Link, ...], frozenset[End]]] = deque([(end, (), frozenset({end}))])
        while pending and looked_at < _MOST_SOCKETS:
            here, onward, been = pending.popleft()
            looked_at += 1
            for link in self._carrying(here, signal):
                links = (link, *onward)
                inputs = self._passed.get(link.source)
                through = self.setup.devices[link.source.device].through
                if inputs is None and not through:
                    yield self._way(links, end, signal)
                for port in inputs or ():
                    socket = End(link.source.device, port)
                    if socket not in been:
                        pending.append((socket, links, been | {socket}))
        if pending:
            self.cut.add(end.device)

    def _carrying(self, end: End, signal: Signal) -> list[Link]:
        links = [link for link in self._into.get(end, ()) if link.carries.value in _CARRIED_BY[signal]]
        # A lead for sound says where the sound comes from; what is embedded in a picture beside it is not used.
        return [link for link in links if link.carries.value in _SOUND] or links if signal is Signal.SOUND else links

    # --- how late ---

    def _way(self, links: tuple[Link, ...], end: End, signal: Signal) -> Way:
        return Way(links[0].source.device, links, tuple(self._steps(links, self.setup.devices[end.device], signal)))

    def _steps(self, links: tuple[Link, ...], target: Device, signal: Signal) -> Iterator[Step]:
        source = self.setup.devices[links[0].source.device]
        gives_late = source.delay.value is not None and links[0].carries.value in (*PICTURES, *_SOUND)
        if gives_late and not source.through:
            yield self._step(source, source.delay, None, links, target)
        for index, link in enumerate(links):
            group = self._groups.get(link.place) if link.by == "radio" else None
            if group is not None and signal is not Signal.TIMECODE:
                name = f"the radio of {group.key}"
                yield Step(group.key, name, group.delay, self._seconds(group.delay, None, links, None, target))
            if index:
                device = self.setup.devices[link.source.device]
                if device.through:
                    yield self._step(device, _delay_of(device, links[index - 1], link), index, links, target)

    def _step(
        self, device: Device, delay: Fact[Offset], index: int | None, links: tuple[Link, ...], target: Device
    ) -> Step:
        seconds = self._seconds(delay, index, links, device, target)
        return Step(device.key, device.called, delay, seconds)

    def _seconds(
        self, delay: Fact[Offset], index: int | None, links: tuple[Link, ...], device: Device | None, target: Device
    ) -> Fraction | None:
        """A delay in seconds, its frames being those of the picture that is held up."""
        if delay.value is None:
            return None
        if delay.value.seconds is not None:
            return delay.value.seconds
        if not delay.value.frames:
            return Fraction(0)
        rate = self._frames(index, links, device, target)
        return None if rate is None else delay.value.in_seconds(rate)

    def _frames(self, index: int | None, links: tuple[Link, ...], device: Device | None, target: Device) -> Rate | None:
        """The picture rate at a step: of the device that it is, of what goes in, of a lead, camera or recorder."""
        near = links if index is None else (links[index - 1], *links[index:], *reversed(links[: index - 1]))
        own = device.timecode.rate.value if device is not None and device.through else None
        formats = (frame_rate(link) for link in near)
        source = self.setup.devices[links[0].source.device]
        pictures = (each.picture.shot_at.value for each in (source, target) if each.picture is not None)
        labels = (each.timecode.rate.value for each in (target, source))
        project = self.setup.project.rate.value
        said = (
            *(each.rate for each in (own,) if each),
            *formats,
            *pictures,
            *(each.rate for each in (*labels, project) if each),
        )
        return next((rate for rate in said if rate is not None), None)


def _delay_of(device: Device, into: Link, out: Link) -> Fact[Offset]:
    """How long a through-thing holds up what goes in by one lead and out by another."""
    if device.delay.written:
        return device.delay
    if device.passive.value:
        return Fact(Offset(seconds=Fraction(0)), device.passive.place, text=device.passive.text)
    if PICTURES.isdisjoint((into.carries.value, out.carries.value)):
        return device.delay.else_assume(Offset(seconds=Fraction(0)), AT_ONCE_WHY)
    return device.delay


def frame_rate(link: Link) -> Rate | None:
    """The pictures a second of what a lead carries, where its format says."""
    if link.format.value is None:
        return None
    try:
        return parse_reference(link.format.value).frame_rate
    except ReferenceFormatError:
        return None


def _own_sound(ways: tuple[Way, ...]) -> tuple[Way, ...]:
    """Of the ways along which sound may come those that begin or end in a lead for sound."""
    begin = tuple(way for way in ways if way.links[0].carries.value in _SOUND)
    ports = {way.port for way in begin}
    end = (way for way in ways if way.links[-1].carries.value in _SOUND and way.port not in ports)
    return (*begin, *end)


def between(one: Way | None, other: Way | None) -> tuple[tuple[Step, ...], tuple[Step, ...]]:
    """What only the one of two ways goes through, and what only the other; what both share delays neither."""
    mine, theirs = (way.steps if way else () for way in (one, other))
    shared = {step.key for step in mine} & {step.key for step in theirs}
    kept = (tuple(step for step in steps if step.key not in shared) for steps in (mine, theirs))
    return next(kept), next(kept)


def place_of(step: Step, way: Way) -> Place:
    """Where to look for what holds a way up: at the delay itself, where the setup says it."""
    return step.delay.place if step.delay.stated else way.links[-1].place
