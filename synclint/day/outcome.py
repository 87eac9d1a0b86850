"""What came of running the days: every device's states, and what took place."""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction

from synclint.day.moments import Contradiction, Roll, State
from synclint.day.schedule import Step
from synclint.findings import Place
from synclint.rig.graphs import Feed
from synclint.rig.model import Event, Setup

OUTSIDE = "outside"
"""The root of a time that comes from outside the rig."""


@dataclass(frozen=True, slots=True)
class Jam:
    """A jam that took place: which event, from what to what."""

    at: Fraction
    event: Event | None
    """None where the days tell of no jam at all, and one at each call is taken for granted."""
    target: str
    source: str


@dataclass(frozen=True, slots=True)
class Comparison:
    """A device read against another."""

    at: Fraction
    event: Event
    device: str
    against: str
    read_by: str


@dataclass(frozen=True, slots=True)
class Unsure:
    """Something that the run had to take for granted, for want of a fact."""

    device: str
    at: Place
    lacks: str


@dataclass(frozen=True)
class Run:
    """The days of a setup, run through."""

    setup: Setup
    start: Fraction
    end: Fraction
    histories: Mapping[str, tuple[State, ...]]
    """For each device its states in order; each holds until the next begins."""
    steps: tuple[Step, ...]
    rolls: tuple[Roll, ...]
    jams: tuple[Jam, ...]
    comparisons: tuple[Comparison, ...]
    contradictions: tuple[Contradiction, ...]
    unsure: tuple[Unsure, ...]
    jams_taken_for_granted: bool
    feeds: Mapping[str, tuple[Feed, ...]]
    """What reached the port that each device listened to, at the end of the days."""

    def at(self, key: str, instant: Fraction) -> State:
        """A device at an instant; of a change at that very instant, what comes after it."""
        states = self.histories[key]
        return states[max(0, bisect_right(states, instant, key=lambda state: state.since) - 1)]

    def before(self, key: str, instant: Fraction) -> State:
        """A device just before an instant: of a change at that very instant, what was there until then."""
        states = self.histories[key]
        return states[max(0, bisect_left(states, instant, key=lambda state: state.since) - 1)]

    def between(self, key: str, start: Fraction, end: Fraction) -> tuple[State, ...]:
        """The states that a device goes through from one instant to another, the first as it stands at the start."""
        states = self.histories[key]
        first = max(0, bisect_right(states, start, key=lambda state: state.since) - 1)
        last = bisect_left(states, end, lo=first, key=lambda state: state.since)
        return states[first : max(last, first + 1)]
