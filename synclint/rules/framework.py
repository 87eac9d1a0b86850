"""What a rule is: a function over the Case with its record beside it."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from fractions import Fraction
from functools import cached_property
from typing import Any, TypeVar

from synclint.day.forecast import Forecast
from synclint.day.jams import Plan, Planner
from synclint.day.measured import Measurements, measure
from synclint.day.phases import Phases
from synclint.day.run import Run, run_days
from synclint.findings import CheckLine, Finding, Record, Unjudged
from synclint.rig.graphs import ClockGraph, TimecodeGraph
from synclint.rig.log import Log
from synclint.rig.model import Setup

T = TypeVar("T")

Yielded = Finding | Unjudged | CheckLine

MAIN_UNIT = "main"
"""The unit of every device that is in no other."""


@dataclass(frozen=True)
class Case:
    """All that a rule may look at; each part is built when it is first asked for."""

    setup: Setup
    log: Log | None = None
    """What was done on the day, where a log of it is given."""

    @cached_property
    def _made(self) -> dict[Callable[[Case], Any], Any]:
        return {}

    def once(self, make: Callable[[Case], T]) -> T:
        """What a function makes of this case; it is made when it is first asked for, and then kept for all rules."""
        if make not in self._made:
            self._made[make] = make(self)
        made: T = self._made[make]
        return made

    @cached_property
    def timecode(self) -> TimecodeGraph:
        """Which device labels which."""
        return TimecodeGraph(self.setup)

    @cached_property
    def clock(self) -> ClockGraph:
        """Which oscillator paces which device."""
        return ClockGraph(self.setup)

    def domain_of(self, key: str) -> str:
        """The unit whose timecode a device shares: `main`, or a unit that declares a timecode of its own."""
        return self._domains_of[key]

    @cached_property
    def _domains_of(self) -> Mapping[str, str]:
        return {key: self._domain_of(key) for key in self.setup.devices}

    def _domain_of(self, key: str) -> str:
        setup = self.setup
        unit = setup.devices[key].unit.value
        if unit is None:
            root = self.timecode.root_of(key).device
            unit = setup.devices[root].unit.value
            if unit is None:
                unit = self._led.get(root, MAIN_UNIT)
        declared = setup.units.get(unit)
        return unit if declared is not None and declared.shares_timecode.value is False else MAIN_UNIT

    @cached_property
    def _led(self) -> Mapping[str, str]:
        """The unit that each master is the master of; where it is of several, the first."""
        units = reversed(tuple(self.setup.units.values()))
        return {unit.master.value: unit.key for unit in units if unit.master.value is not None}

    @cached_property
    def domains(self) -> Mapping[str, tuple[str, ...]]:
        """The devices that share a timecode, by unit; through-things are in none."""
        found: dict[str, list[str]] = {}
        for device in self.setup.devices.values():
            if not device.through:
                found.setdefault(self.domain_of(device.key), []).append(device.key)
        return {unit: tuple(keys) for unit, keys in found.items()}

    @cached_property
    def recorded_as_sound(self) -> Mapping[str, tuple[str, ...]]:
        """For each clock at a root, the devices that record its timecode as sound and listen to none."""
        found: dict[str, list[str]] = {}
        for key, feeds in self.timecode.arriving.items():
            device = self.setup.devices[key]
            tracks = (device.sound.tracks.value if device.sound else None) or {}
            if feeds and device.timecode.source.value is None and "LTC" in tracks.values():
                found.setdefault(self.timecode.root_of(feeds[0].source).device, []).append(key)
        return {root: tuple(keys) for root, keys in found.items()}

    @cached_property
    def labelled_by(self) -> Mapping[str, tuple[str, ...]]:
        """For each clock that labels others, which, those that record its timecode as sound included, in file order."""
        order = {key: index for index, key in enumerate(self.setup.devices)}
        found: dict[str, set[str]] = {root: set(keys) for root, keys in self.timecode.followers.items()}
        for root, keys in self.recorded_as_sound.items():
            if self.timecode.root_of(root).generates:
                found.setdefault(root, set()).update(keys)
        return {root: tuple(sorted(keys, key=order.__getitem__)) for root, keys in found.items()}

    @cached_property
    def label_givers(self) -> frozenset[str]:
        """The devices whose timecode reaches another one, otherwise than to be compared."""
        feeds = (feed for arriving in self.timecode.arriving.values() for feed in arriving)
        return frozenset(feed.source for feed in feeds if not feed.last.only_compares)

    def is_fed_by(self, key: str, source: str) -> bool:
        """Whether timecode reaches a device from another with no third between."""
        return any(feed.source == source for feed in self.timecode.arriving.get(key, ()))

    @property
    def frame(self) -> Fraction | None:
        """How long a frame of the project lasts, in seconds."""
        rate = self.setup.project.rate.value
        return rate.rate.frame if rate else None

    @cached_property
    def run(self) -> Run:
        """The days, run through."""
        return run_days(self.setup, self.timecode, log=self.log)

    @cached_property
    def measured(self) -> Measurements:
        """How fast clocks gain on each other by the comparisons of the log."""
        return measure(self.run, Phases(self.run, self.clock), self.log)

    @cached_property
    def phases(self) -> Phases:
        """How far each device's time may be off, at any moment of the days; by the log where it has measured that."""
        return Phases(self.run, self.clock, self.measured.oscillators)

    @cached_property
    def forecast(self) -> Forecast:
        """How far apart devices may be through the days."""
        return Forecast(self.run, self.phases)

    @cached_property
    def tolerance(self) -> Fraction | None:
        """How far the clocks of two recordings may be apart, in seconds; None where nobody says the project's rate."""
        return self.setup.project.tolerance_seconds

    @cached_property
    def further_jams(self) -> Plan | None:
        """When to jam again besides the jams that are written; None where nobody can say what is tolerated."""
        if self.tolerance is None:
            return None
        rates = self.measured.oscillators
        graphs = (self.timecode, self.clock)
        return Planner(self.setup, *graphs, self.tolerance, self.log, rates, keep_written=True).plan

    @property
    def day_seconds(self) -> Fraction | None:
        """The longest day of the shoot, call to wrap, or None where no day says."""
        day = self.setup.longest_day
        return day.length if day else None

    @property
    def take_seconds(self) -> Fraction | None:
        """The longest take of the shoot, or None where no day says."""
        fact = self.setup.longest_take
        return fact.value if fact else None


Check = Callable[[Case], Iterator[Yielded]]


@dataclass(frozen=True)
class Rule:
    """A rule with its record; calling it runs it."""

    record: Record
    check: Check

    def __call__(self, case: Case) -> Iterator[Yielded]:
        """Yield what the rule finds in this case."""
        return self.check(case)

    @property
    def name(self) -> str:
        """The trade words for the fault, such as `timecode-loop`."""
        return self.record.name


def rule(record: Record) -> Callable[[Check], Rule]:
    """Make a function a rule with this record."""

    def make(check: Check) -> Rule:
        return Rule(record, check)

    return make
