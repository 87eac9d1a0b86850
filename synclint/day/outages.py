"""Which links are lost, from when to when."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from fractions import Fraction

from synclint.day.schedule import Step
from synclint.rig.model import End, Event, Link, Setup
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


def outages(setup: Setup, steps: Iterable[Step]) -> tuple[Outage, ...]:
    """All that is lost in some steps."""
    return tuple(
        Outage(frozenset(map(id, links_of(setup, step.event))), step.at, step.until)
        for step in steps
        if step.what == "link lost" and step.event is not None
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
