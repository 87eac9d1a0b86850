"""Which links are lost, from when to when."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction

from synclint.day.schedule import Step
from synclint.rig.model import Device, End, Event, Link, Setup
from synclint.rig.names import NameFormError, read_reference


@dataclass(frozen=True, slots=True)
class Outage:
    """Links that are lost from one instant to another."""

    links: frozenset[int]
    """Which, by identity."""
    start: Fraction
    end: Fraction | None
    """None where they never come back."""

    def holds(self, at: Fraction) -> bool:
        """Whether they are lost at an instant."""
        return self.start <= at and (self.end is None or at < self.end)


_EVER_SINCE = Fraction(-(10**12))
"""Before any day: since when what has not arrived is not there."""


def outages(setup: Setup, steps: Iterable[Step]) -> tuple[Outage, ...]:
    """All that is lost in some steps."""
    return tuple(
        Outage(frozenset(map(id, links_of(setup, step.event))), step.at, step.until)
        for step in steps
        if step.what == "link lost" and step.event is not None
    )


def darkened(setup: Setup, steps: Sequence[Step]) -> Iterator[Outage]:
    """What goes dark behind a device that is off or away: all that it drives on, which a passive loop-through is not.

    Devices that make a pace of their own are told by their states.
    """
    driven: dict[str, set[int]] = {}
    for link in setup.links:
        if drives_on(setup.devices[link.source.device], link):
            driven.setdefault(link.source.device, set()).add(id(link))
    seen: set[str] = set()
    for step in steps:
        for key in step.keys if step.what in ("power off", "leave", "arrive") else ():
            links, new = frozenset(driven.get(key, ())), key not in seen
            seen.add(key)
            if links and step.what != "arrive":
                yield Outage(links, step.at, step.until or _back(step, key, steps))
            elif links and new and step.what == "arrive":
                yield Outage(links, _EVER_SINCE, step.at)


def _back(gone: Step, key: str, steps: Iterable[Step]) -> Fraction | None:
    """When a device arrives that left and nobody said for how long."""
    later = (step.at for step in steps if step.what == "arrive" and key in step.keys and step.at >= gone.at)
    return next(later, None) if gone.what == "leave" else None


def drives_on(device: Device, link: Link) -> bool:
    """Whether a device gives on at a link what comes in elsewhere, by its own power."""
    if device.through:
        return not device.passive.value
    return any(
        port.loop.value == link.source.port and port.timing.loop_through.value == "active"
        for port in device.ports.values()
    )


def links_of(setup: Setup, event: Event) -> Iterator[Link]:
    """The links that an event names: by their ends, or all that arrive at a device by air or network."""
    out, into = set(_ends(event.words("from"))), set(_ends(event.words("to")))
    for link in setup.links:
        by_device = link.target.device in event.of and (link.by != "lead" or not (out or into))
        by_ends = (out or into) and (not out or str(link.source) in out) and (not into or str(link.target) in into)
        if by_device or by_ends:
            yield link


def _ends(references: Iterable[str]) -> Iterator[str]:
    """The ends of links that some references name, ranges written out."""
    for text in references:
        try:
            reference = read_reference(text)
        except NameFormError:
            continue
        yield from (str(End(device, port)) for device in reference.devices for port in reference.ports)
