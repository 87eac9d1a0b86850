"""Devices whose reference is gone while they record: since when, until when, and what took it away."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from fractions import Fraction

from synclint.day.moments import Roll
from synclint.day.outages import drives_on, links_of
from synclint.day.outcome import OUTSIDE
from synclint.day.schedule import Step
from synclint.rig.graphs import Ending, Feed
from synclint.rig.model import Link
from synclint.rules.framework import Case
from synclint.rules.moments import clock_of

_HOLDS = frozenset({"tuned generator", "compensated generator", "wireless master", "sync generator", "network leader"})
"""Made to go on by itself without a jump: what hangs on it keeps its reference."""


@dataclass(frozen=True, slots=True)
class Fall:
    """A device that records for a time without the reference that it is set to."""

    key: str
    roll: Roll
    lost_at: Fraction
    back_at: Fraction | None
    """When it follows again; None where it does not before the end of the days."""
    cause: Step | None

    @property
    def whole_take(self) -> bool:
        """Whether nothing changes within the take, so that nothing shows in it."""
        back = self.back_at
        return self.lost_at <= self.roll.start and (back is None or back >= self.roll.end)

    @property
    def back_in_take(self) -> bool:
        """Whether it takes up its reference again while it records."""
        return self.back_at is not None and self.roll.start < self.back_at < self.roll.end


def falls(case: Case) -> tuple[Fall, ...]:
    """All takes in which a device has lost its reference."""
    return case.once(_falls)


def fell(case: Case, keys: Iterable[str], roll: Roll | None) -> bool:
    """Whether one of some devices records a part of a take without its reference, which is told by rules of its own."""
    return roll is not None and any((key, id(roll)) in case.once(_fallen) for key in keys)


def _fallen(case: Case) -> frozenset[tuple[str, int]]:
    return frozenset((fall.key, id(fall.roll)) for fall in falls(case))


def _falls(case: Case) -> tuple[Fall, ...]:
    return tuple(fall for roll in case.run.rolls for key in roll.devices for fall in _in_roll(case, key, roll))


def _in_roll(case: Case, key: str, roll: Roll) -> Iterator[Fall]:
    device = case.setup.devices.get(key)
    home = _home(case, key)
    if device is None or home is None or not device.records or device.trigger.value:
        return
    for start, end, pace in case.phases.paces.between(key, roll.start, roll.end):
        if not _is_lost(case, key, start, pace, home):
            continue
        lost_at, back_at = _stretch(case, key, start, end, home)
        yield Fall(key, roll, lost_at, back_at, what_broke(case, key, lost_at))


def _home(case: Case, key: str) -> str | None:
    """Whose oscillator paces a device while nothing is lost; None for one that runs by itself at all times."""
    root = case.clock.root_of(key)
    if not root.generates:
        return None
    if root.ending is Ending.OUTSIDE:
        return OUTSIDE
    return root.device if root.device != key else None


def _is_lost(case: Case, key: str, at: Fraction, pace: str, home: str) -> bool:
    """Whether a device runs without its reference at an instant at which something paces it."""
    state, set_at_first = case.run.at(key, at), case.setup.devices[key].clock.source.value
    if pace == home or not state.working or state.device.clock.source.value != set_at_first:
        return False
    held_by = case.setup.devices.get(pace)
    return pace == key or held_by is None or held_by.cls.value not in _HOLDS


def _stretch(case: Case, key: str, start: Fraction, end: Fraction, home: str) -> tuple[Fraction, Fraction | None]:
    """From when to when a device is without its reference, beyond the take on either side."""
    history = case.phases.paces.history(key)
    lost_at, back_at = start, None
    for pace in history:
        if pace.since <= start:
            lost_at = pace.since
        elif pace.since >= end and _has_it(case, key, pace.since, pace.key, home):
            back_at = pace.since
            break
    return lost_at, back_at


def _has_it(case: Case, key: str, at: Fraction, pace: str, home: str) -> bool:
    return case.run.at(key, at).working and not _is_lost(case, key, at, pace, home)


def chain_of(case: Case, key: str) -> tuple[Feed, ...]:
    """The feeds along which a pace comes to a device, the last hop first."""
    found: list[Feed] = []
    seen = {key}
    while feeds := case.clock.listened.get(key, ()):
        found.append(feeds[0])
        key = feeds[0].source
        if key in seen:
            break
        seen.add(key)
    return tuple(found)


def what_broke(case: Case, key: str, at: Fraction) -> Step | None:
    """What took a device's reference away: the last thing at or before an instant that its chain cannot do without."""
    links = [link for feed in chain_of(case, key) for link in feed.links]
    drivers = set(drivers_of(case, key))
    ids = set(map(id, links))
    found = None
    for step in case.run.steps:
        if step.at > at:
            break
        gone = step.what in ("power off", "leave") and not drivers.isdisjoint(step.keys)
        lost = step.what == "link lost" and step.event is not None
        if gone or (
            lost and step.event is not None and any(id(link) in ids for link in links_of(case.setup, step.event))
        ):
            found = step
    return found


def drivers_of(case: Case, key: str) -> Iterator[str]:
    """The devices without whose power no pace comes to another: those that give it, and those that drive it on."""
    for feed in chain_of(case, key):
        yield feed.source
        yield from (link.source.device for link in feed.links[1:] if _drives(case, link))


def _drives(case: Case, link: Link) -> bool:
    return drives_on(case.setup.devices[link.source.device], link)


def cause_told(case: Case, fall: Fall) -> str:
    """What happened, in words: `gen is switched off at 11:10`."""
    step = fall.cause
    if step is None:
        back = fall.back_at
        return f"it is there only from {clock_of(case, back)} on" if back is not None else "it is not there"
    at = clock_of(case, step.at)
    if step.what == "link lost":
        return f"the link is lost at {at}"
    drivers = list(drivers_of(case, fall.key))
    who = next((key for key in drivers if key in step.keys), step.keys[0] if step.keys else "")
    device, named = case.setup.devices.get(who), case.setup.called(who)
    if step.what == "leave":
        return f"{named} leaves at {at}"
    gives = any(feed.source == who for feed in chain_of(case, fall.key))
    if device is not None and device.fed_by in step.keys:
        return (
            f"{named}, which runs on the battery of {case.setup.called(device.fed_by or '')}, goes off with it at {at}"
        )
    loop = "" if gives else ", which drives the line on,"
    return f"{named}{loop} is switched off at {at}"
