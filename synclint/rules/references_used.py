"""Which device hangs on which reference, in which format, and what it is where that does not hold it."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction
from typing import Any

from synclint.findings import WHO, AddKey, Amount, Cost, Edit, Fact, SetValue, either
from synclint.rig.graphs import Feed, Root
from synclint.rig.model import Device, Link, Port
from synclint.rules.framework import Case
from synclint.rules.label_rates import meant_rate, stretch_of
from synclint.rules.wording import ppm_sum
from synclint.trade.drift import drift_seconds
from synclint.trade.quantities import say_duration, say_ppm
from synclint.trade.rates import Rate
from synclint.trade.references import Reference, ReferenceFormatError, Sync, parse_reference

VIDEO = frozenset({"black burst", "tri-level"})
"""What carries a reference that is named by lines and rate."""

CARRIER = {Sync.BI_LEVEL: "black burst", Sync.TRI_LEVEL: "tri-level"}

_HOUR = 3600


@dataclass(frozen=True, slots=True)
class OnReference:
    """A device that takes its pace from a reference by lead, as it is plugged and as it is named."""

    device: Device
    port: Port | None
    feed: Feed
    link: Link
    """The last link on the way that says its format, or the last of all."""
    format: Reference | None

    @property
    def carries(self) -> str:
        """By which signal, in the words of a setup."""
        return self.link.carries.value or ""

    @property
    def output(self) -> str:
        """The device that gives it."""
        return self.feed.source


def link_with_format(feed: Feed) -> Link:
    """The last link on the way that says its format."""
    return next((link for link in reversed(feed.links) if link.format.written), feed.last)


def format_on(link: Link) -> Reference | None:
    """The format of the reference or picture on a link, where it is written so that it can be read."""
    try:
        return parse_reference(link.format.value) if link.format.value is not None else None
    except ReferenceFormatError:
        return None


def on_references(case: Case) -> tuple[OnReference, ...]:
    """All devices that are paced by black burst, tri-level, word clock or an AES reference."""
    return case.once(_on_references)


def _on_references(case: Case) -> tuple[OnReference, ...]:
    return tuple(_each(case))


def _each(case: Case) -> Iterator[OnReference]:
    for key, feeds in case.clock.listened.items():
        device = case.setup.devices[key]
        plugged = [feed for feed in feeds if not feed.last.only_compares]
        if plugged and plugged[0].last.carries.value in VIDEO | {"word clock", "AES reference"}:
            feed = plugged[0]
            link = link_with_format(feed)
            yield OnReference(device, device.ports.get(feed.port), feed, link, format_on(link))


def frame_rate_of(device: Device) -> Fact[Rate] | None:
    """At which rate a device takes or shows pictures, which its reference must suit; None where it does neither.

    A screen that is filmed is judged by the cameras that film it.
    """
    picture = device.picture
    if picture is None:
        shows = device.screen_refresh.written and not device.screen.filmed_by.written
        return device.screen_refresh if shows else None
    if picture.variable.value:
        return None
    shot, played = picture.shot_at, picture.played_at
    off_speed = stretch_of(shot.value, played.value) is not None
    # In slow motion the sensor runs as it likes and what goes out keeps to the rate of the reference.
    fact = played if off_speed else shot
    return Fact(meant_rate(device, fact), fact.place, fact.standing, fact.text, fact.why) if fact.value else None


def clocks_apart(case: Case, key: str, other: str) -> Fraction | None:
    """By how many ppm the own clocks of two devices may part; None where one is unknown."""
    devices = case.setup.devices
    return ppm_sum(devices[key].clock.accuracy, devices[other].clock.accuracy)


def unlocked(case: Case, device: Device, root: Root, so: str) -> Cost:
    """What it costs that a device runs by its own clock beside its reference, after the words `so`."""
    says = f"{so}{WHO} {either('runs on its own clock', 'run on their own clocks')} as if there were no reference"
    ppm = clocks_apart(case, device.key, root.device)
    if not ppm:
        return Cost(says)
    an_hour = drift_seconds(ppm, _HOUR)
    says += f" and {either('parts', 'part')} from it by up to {say_ppm(ppm)}, {say_duration(an_hour)} an hour"
    amounts = [Amount("parting", float(an_hour * 1000), "ms an hour")]
    take = case.take_seconds
    if take:
        over = drift_seconds(ppm, take)
        says += f" and {say_duration(over)} over the longest take of {say_duration(take)}"
        amounts.append(Amount("parting over the longest take", float(over * 1000), "ms"))
    return Cost(says, tuple(amounts), float(ppm))


def accuracies(case: Case, *keys: str) -> tuple[Fact[Any], ...]:
    """What is known of the clocks of some devices."""
    return tuple(case.setup.devices[key].clock.accuracy for key in keys)


def clock_edit(device: Device, fact: Fact[Any], key: str, value: str) -> Edit:
    """The edit that sets one thing below `clock` of a device.

    What a device takes over from another one is not changed there, but set anew below its own name.
    """
    own = device.place.path
    if fact.written and fact.place.path[: len(own)] == own and "able" not in fact.place.path:
        return SetValue(fact.place, value)
    if device.clock.place.path == (*own, "clock"):
        return AddKey(device.clock.place, key, value)
    return AddKey(device.handover.place, "clock", f"{{{key}: {value}}}")


def reference_edit(device: Device, source: str) -> Edit:
    """The edit that lets a device take its pace from a port of its own, or from its own clock."""
    return clock_edit(device, device.clock.source, "from", source)


def phase_edit(device: Device, wanted: str) -> Edit:
    """The edit that sets how far ahead of its reference a camera's pictures are."""
    return clock_edit(device, device.clock.phase, "phase", wanted)
