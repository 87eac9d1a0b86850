"""What the comparisons of a log show: how fast each clock gains on the one it was jammed from, and how sure that is.

Readings of two clocks since the later of their jams are points of one line. The jam is a point too: 0 within what a jam
may leave. What a follower shows is its source's time, so a reading of it is one of its source, its fixed offset taken
out. The rates of several jams are pooled: what is fixed of a clock's rate keeps for the day.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from fractions import Fraction
from functools import cached_property
from typing import Any

from synclint.day.clocktime import day_clocks
from synclint.day.moments import Carried, State
from synclint.day.phases import Phases
from synclint.day.run import Run
from synclint.findings import Fact
from synclint.rig.log import Entry, Log
from synclint.trade.clocks import MILLION, ErrorSum, Oscillator, Unknown
from synclint.trade.fit import Break, Line, Point, Rates, fit, off_the_line, pooled
from synclint.trade.quantities import Offset

_SCOPE = Fraction(1, 10_000)
"""How well two edges are read on a scope, in seconds (common practice, no source)."""
_MOST_READINGS = 200
"""More of two clocks since one jam are read by no hand; it bounds the work."""
_A_FRAME = Offset(frames=Fraction(1))
"""How well displays and recorded clips are read, to either side."""


@dataclass(frozen=True, slots=True)
class Reading:
    """One comparison, as a reading of the two clocks behind what was compared."""

    at: Fraction
    """The instant."""
    offset: Fraction
    """By how many seconds the one clock was ahead of the other."""
    within: Fraction
    """How far off that may be, to either side, in seconds."""
    entry: Entry


@dataclass(frozen=True, slots=True)
class Stated:
    """How two clocks may run apart by what is stated of them: from where to where in ppm, and how far it wanders."""

    low: Fraction
    high: Fraction
    wander: Fraction


@dataclass(frozen=True)
class Measured:
    """Two clocks from the later of their jams on: the readings, and the line through them."""

    device: str
    against: str
    since: Fraction
    """The instant of the jam."""
    of_source: bool
    """Whether `against` keeps the time that `device` was jammed from."""
    jam: Point
    """What the jam may have left."""
    readings: tuple[Reading, ...]
    """In the order of time; at least one."""
    stated: Stated | None
    """None where nobody states how accurate one of the clocks is."""
    clocks: tuple[str, ...]
    """The devices whose own oscillators part the two."""
    facts: tuple[Fact[Any], ...]
    """What is stated of those."""
    lacking: tuple[str, ...]
    """The devices of which nobody states it."""

    @cached_property
    def points(self) -> tuple[Point, ...]:
        """The jam, and the readings in seconds since it."""
        return (self.jam, *(Point(each.at - self.since, each.offset, each.within) for each in self.readings))

    @cached_property
    def broken(self) -> Break | None:
        """From which point on they are off the line of those before (point 0 is the jam, point 1 the first reading)."""
        if self.stated is None:
            return off_the_line(self.points)
        wander = self.stated.wander
        return off_the_line(self.points, wander, Rates(self.stated.low - wander, self.stated.high + wander))

    @cached_property
    def kept(self) -> tuple[Point, ...]:
        """The points that the line is drawn through: without what is off, and on one side of a restart."""
        broken = self.broken
        if broken is None:
            return self.points
        if broken.alone is not False:
            return (*self.points[: broken.index], *self.points[broken.index + 1 :])
        return self.points[: broken.index] if broken.index > 1 else self.points[broken.index :]

    @cached_property
    def line(self) -> Line | None:
        """The line through what is kept; None where that is of one moment."""
        return fit(self.kept) if len({each.at for each in self.kept}) > 1 else None

    @property
    def shift(self) -> Fraction | None:
        """By how many seconds the readings step where they leave the line; None where they do not."""
        if self.broken is None or self.line is None:
            return None
        if self.broken.alone is False and self.broken.index == 1:
            return self.line.start - self.jam.offset
        off = self.points[self.broken.index :] if self.broken.alone is False else (self.points[self.broken.index],)
        return sum(self.line.residuals(off), Fraction(0)) / len(off)

    @property
    def off(self) -> Reading | None:
        """The first reading that is off the line."""
        return self.readings[self.broken.index - 1] if self.broken is not None else None

    def expected(self, at: Fraction) -> Fraction | None:
        """Where the line has the offset at an instant, in seconds."""
        return self.line.at(at - self.since) if self.line is not None else None


@dataclass(frozen=True, slots=True)
class Relative:
    """How fast one clock was measured to gain on another, all jams of the days together."""

    device: str
    against: str
    line: Line
    """The pooled rate with its uncertainty, in ppm; its start is that of the last jam."""
    stated: Stated | None
    of_source: bool
    fits: tuple[Measured, ...]
    """One for each jam, in the order of time."""

    @property
    def outside(self) -> bool:
        """Whether no rate of the 95 % interval is one that the clocks are stated to keep."""
        if self.stated is None:
            return False
        low, high = self.line.interval
        return low > self.stated.high + self.stated.wander or high < self.stated.low - self.stated.wander

    @property
    def inside(self) -> bool:
        """Whether all of the 95 % interval is what the clocks are stated to keep."""
        if self.stated is None:
            return False
        low, high = self.line.interval
        return low >= self.stated.low - self.stated.wander and high <= self.stated.high + self.stated.wander

    @property
    def tells(self) -> bool:
        """Whether it narrows what is stated, or contradicts it."""
        fixed = self.oscillator.fixed
        return self.stated is None or (fixed.low, fixed.high) != (self.stated.low, self.stated.high)

    @property
    def oscillator(self) -> Oscillator:
        """The relative rate for a forecast: the 95 % interval, cut to what is stated where the two agree.

        What wanders comes on top for the whole time since the jam; that holds for as long again as was measured. With
        it no bound is wider than by what is stated, which holds too.
        """
        low, high = self.line.interval
        wander = self.stated.wander if self.stated is not None else Fraction(0)
        if self.stated is not None and not self.outside:
            low, high = (min(max(each, self.stated.low), self.stated.high) for each in (low, high))
        return Oscillator(Unknown(("measured", self.device, self.against), low, high), wander)


@dataclass(frozen=True, slots=True)
class Unused:
    """A comparison that says nothing of a rate, and why."""

    entry: Entry
    device: str
    why: str


@dataclass(frozen=True)
class Measurements:
    """All that the comparisons of a log show."""

    fits: tuple[Measured, ...] = ()
    unused: tuple[Unused, ...] = ()

    @cached_property
    def relatives(self) -> Mapping[tuple[str, str], Relative]:
        """For each two clocks that were compared how fast the first gains on the second."""
        found: dict[tuple[str, str], list[Measured]] = {}
        for each in self.fits:
            found.setdefault((each.device, each.against), []).append(each)
        relatives = {}
        for pair, fits in found.items():
            lines = [each.line for each in fits if each.line is not None]
            if lines:
                last = fits[-1]
                relatives[pair] = Relative(*pair, pooled(lines), last.stated, last.of_source, tuple(fits))
        return relatives

    @cached_property
    def oscillators(self) -> Mapping[tuple[str, str], Oscillator]:
        """The measured rates by device and source, for `Phases`; those that tell no more than is stated left out."""
        return {pair: each.oscillator for pair, each in self.relatives.items() if each.of_source and each.tells}

    def of(self, device: str) -> Measured | None:
        """The last that is known of a device against its source."""
        return next((each for each in reversed(self.fits) if each.device == device and each.of_source), None)


def measure(run: Run, phases: Phases, log: Log | None) -> Measurements:
    """Fit a line to the comparisons of a log; `phases` are those of what is stated."""
    return _Measuring(run, phases).measure(log) if log is not None else Measurements()


class _Measuring:
    """Sorts readings by the clocks they are of; one use only."""

    def __init__(self, run: Run, phases: Phases) -> None:
        self.run = run
        self.phases = phases
        self.clocks = day_clocks(run.setup)
        self.unused: list[Unused] = []
        self.readings: dict[tuple[Any, ...], list[Reading]] = {}
        self.jammed: dict[tuple[str, Fraction], int] = {}
        """For each device and instant which entry of the log is the last jam of it."""
        self.bases: dict[tuple[Any, ...], tuple[str, Carried, str, Carried]] = {}

    def measure(self, log: Log) -> Measurements:
        for number, entry in enumerate(log.entries):
            if entry.jams:
                for key in (*entry.event.of, *(self.run.histories if entry.event.of_all else ())):
                    self.jammed[key, self._instant(entry)] = number
        for number, entry in enumerate(log.entries):
            for key in entry.event.of if entry.compares else ():
                why = self._sort(entry, key, self._instant(entry), number)
                if why:
                    self.unused.append(Unused(entry, key, why))
        fits = [fitted for key in self.readings if (fitted := self._fitted(key)) is not None]
        return Measurements(tuple(sorted(fits, key=lambda each: each.since)), tuple(self.unused))

    def _instant(self, entry: Entry) -> Fraction:
        return self.clocks[entry.day].instant(entry.event.at.value or Fraction(0))

    def _state(self, key: str, at: Fraction, number: int) -> State:
        """A device when it was compared: before a jam of the same minute that stands further down in the log."""
        again = self.jammed.get((key, at), -1) > number
        return self.run.before(key, at) if again else self.run.at(key, at)

    def _sort(self, entry: Entry, key: str, at: Fraction, number: int) -> str:
        """Put a reading with those of the same clocks since the same jams; or say why it is of no use."""
        called, other = self.run.setup.called, entry.against.value
        if other is None or other not in self.run.histories or key not in self.run.histories or key == other:
            return "it is not of two clocks"
        if entry.offset.value is None:
            return "it does not say what it showed"
        one, two = self._state(key, at, number), self._state(other, at, number)
        if one.time is None or two.time is None:
            gone, state = (key, one) if one.time is None else (other, two)
            why = "was not there" if not state.present else "had no time to be read" if state.powered else "was off"
            return f"{called(gone)} {why} then"
        if one.time.line != two.time.line:
            return f"the times of {called(key)} and {called(other)} do not come from one master"
        if _writer(key, one.time) == _writer(other, two.time):
            return f"{called(key)} and {called(other)} show the time of one clock"
        read = self._read(entry, key)
        if read is None:
            return f"no rate is stated for {called(key)} that would tell how long a frame is"
        offset = read[0] - (self._fixed(key, one.time) - self._fixed(other, two.time))
        reading = Reading(at, offset, read[1], entry)
        return self._enter((_writer(key, one.time), one.time), (_writer(other, two.time), two.time), reading)

    def _enter(self, one: tuple[str, Carried], other: tuple[str, Carried], reading: Reading) -> str:
        """Enter a reading as one of the clock that was jammed from the other, whichever way it was written."""
        if _keeper(other[1]) == one[0] and _keeper(one[1]) != other[0]:
            one, other, reading = other, one, replace(reading, offset=-reading.offset)
        group = (one[0], other[0], one[1].line, one[1].hands, other[1].hands)
        self.bases[group] = (*one, *other)
        entered = self.readings.setdefault(group, [])
        if len(entered) == _MOST_READINGS:
            return f"there are more than {_MOST_READINGS} readings of the two since one jam"
        entered.append(reading)
        return ""

    def _fixed(self, key: str, time: Carried) -> Fraction:
        """By how much what a device shows is ahead of the clock behind it at all times."""
        return self.phases.fixed(key, time.through[:-1]) if time.through else Fraction(0)

    def _read(self, entry: Entry, key: str) -> tuple[Fraction, Fraction] | None:
        """What a comparison showed, and within how much, both in seconds; None where frames have no length.

        Whole frames of two counters that change at different instants tell their difference to a frame either way.
        """
        said = self.run.setup.devices[key].timecode.rate.value or self.run.setup.project.rate.value
        within = entry.within.value or (Offset(seconds=_SCOPE) if entry.read_by.value == "scope" else _A_FRAME)
        found = []
        for each in (entry.offset.value or _A_FRAME, within):
            if each.seconds is not None:
                found.append(each.seconds)
            elif said is not None:
                found.append(each.in_seconds(said.counted.rate))
            else:
                return None
        return found[0], found[1]

    def _fitted(self, group: tuple[Any, ...]) -> Measured | None:
        first, time, second, base = self.bases[group]
        since = max(time.set_at, base.set_at)
        start = self._error(first, time, since) - self._error(second, base, since)
        later = self._error(first, time, since + MILLION) - self._error(second, base, since + MILLION)
        grown = later - start
        users = {oscillator.fixed.name[1] for oscillator in grown.oscillators}
        users |= {each.name[1] for each in grown.terms if each.name[0] == "tuned"}
        devices = self.run.setup.devices
        lacking = tuple(sorted(key for key in users if devices[key].clock.accuracy.value is None))
        return Measured(
            device=first,
            against=second,
            since=since,
            of_source=_keeper(time) == second,
            jam=Point(Fraction(0), start.middle, start.spread),
            readings=tuple(sorted(self.readings[group], key=lambda each: each.at)),
            stated=None if lacking else _stated(grown),
            clocks=tuple(sorted(users)),
            facts=self.phases.facts_of(users),
            lacking=lacking,
        )

    def _error(self, writer: str, time: Carried, at: Fraction) -> ErrorSum:
        """The error of a clock's own counter at an instant."""
        return self.phases.of_time(writer, Carried(time.line, time.hands), at).error


def _writer(key: str, time: Carried) -> str:
    """The clock that makes the time that a device shows."""
    return time.through[-1] if time.through else key


def _keeper(time: Carried) -> str | None:
    """The clock whose counter a time was last jammed from."""
    if not time.hands or time.hands[-1].let_go:
        return None
    return time.hands[-2].target if len(time.hands) > 1 else time.line.root


def _stated(grown: ErrorSum) -> Stated:
    """What two clocks may part by in a million seconds is their relative rate in ppm."""
    fixed = sum((abs(times) * each.spread for each, times in grown.terms.items()), Fraction(0))
    wander = Fraction(0)
    for oscillator, stretches in grown.paced.items():
        alone = ErrorSum(paced={Oscillator(oscillator.fixed, Fraction(0)): stretches})
        fixed += alone.spread
        wander += ErrorSum(paced={oscillator: stretches}).spread - alone.spread
    return Stated(grown.middle - fixed, grown.middle + fixed, wander)
