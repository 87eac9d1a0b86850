"""How far devices are from their master, with the reason in words where nobody can say."""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction
from functools import cached_property
from itertools import pairwise

from synclint.day.clocktime import clock_of
from synclint.day.forecast import Forecast
from synclint.day.moments import Carried, Origin, State
from synclint.day.phases import Offset, Phase
from synclint.day.run import OUTSIDE
from synclint.drift.values import Blank, Bound, Cell, Vertex
from synclint.findings import listed

_BY_EYE = {
    Origin.RUNNING: "set by eye",
    Origin.LEFT: "never jammed",
    Origin.SET: "set by hand",
    Origin.CALENDAR: "on its calendar clock",
    Origin.ZERO: "started from zero",
    Origin.LAST: "started from its last value",
    Origin.RESTARTED: "restarted without a jam",
    Origin.TAKES: "counts its own takes",
    Origin.OUTSIDE: "time from outside",
}
_OUTSIDE_CALLED = "time from outside"


@dataclass(frozen=True)
class Bounds:
    """Worst cases of single devices against the master that they are to agree with."""

    forecast: Forecast

    # --- who is the master ---

    @cached_property
    def keys(self) -> tuple[str, ...]:
        """The devices that carry a time at some moment, in the order of the file."""
        histories = self.forecast.run.histories
        return tuple(key for key, states in histories.items() if any(state.time is not None for state in states))

    def master_of(self, key: str) -> str:
        """What a device is told against: its unit's own master, or the master of the rig."""
        setup, histories = self.forecast.setup, self.forecast.run.histories
        unit = setup.units.get(setup.devices[key].unit.value or "")
        if unit is not None and unit.shares_timecode.value is False and unit.master.value in histories:
            return unit.master.value or ""
        return self.master

    @cached_property
    def master(self) -> str:
        """The master that is meant; where none is, the root of the time that most devices end their days with."""
        setup, run = self.forecast.setup, self.forecast.run
        meant = setup.project.master_timecode.value
        if meant in run.histories:
            return meant or ""
        last = (run.histories[key][-1].time for key in self.keys)
        roots = Counter(time.line.root for time in last if time is not None)
        return roots.most_common(1)[0][0] if roots else OUTSIDE

    def called(self, key: str) -> str:
        """A device, or the outside, as people call it."""
        return _OUTSIDE_CALLED if key == OUTSIDE else self.forecast.setup.called(key)

    # --- at a moment ---

    def before(self, key: str, other: str, at: Fraction) -> Bound:
        """How far a device may be from another just before an instant."""
        return self._bound(key, self._just_before(key, at), other, self._just_before(other, at), at)

    def after(self, key: str, other: str, at: Fraction) -> Bound:
        """How far a device may be from another from an instant on."""
        return self._bound(key, self._from(key, at), other, self._from(other, at), at)

    def _just_before(self, key: str, at: Fraction) -> State | None:
        return None if key == OUTSIDE else self.forecast.run.before(key, at)

    def _from(self, key: str, at: Fraction) -> State | None:
        return None if key == OUTSIDE else self.forecast.run.at(key, at)

    def _bound(self, key: str, one: State | None, other: str, two: State | None, at: Fraction) -> Bound:
        offset = self._offset(key, one, other, two, at)
        if offset is not None:
            return Bound(offset.worst)
        return Bound(None, self.why(key, one, other, two, at))

    def _phase(self, key: str, state: State | None, at: Fraction) -> Phase | None:
        return self.forecast.phases.of_time(key, state.time, at) if state is not None and state.time else None

    def _offset(self, key: str, one: State | None, other: str, two: State | None, at: Fraction) -> Offset | None:
        first = self._phase(key, one, at)
        if other != OUTSIDE:
            return self.forecast.phases.apart(first, self._phase(other, two, at))
        if first is None or first.line.root != OUTSIDE or first.lacking:
            return None
        return Offset(first.error, first.facts)

    def why(self, key: str, one: State | None, other: str, two: State | None, at: Fraction) -> str:
        """Why nobody can say how far two devices are apart."""
        for who, state in ((key, one), (other, two)):
            reason = self._absent(state) if who != OUTSIDE else ""
            if reason:
                return reason if who == key else f"{self.called(other)} {reason}"
        first, second = self._phase(key, one, at), self._phase(other, two, at)
        if first is None or (second is not None and first.line != second.line) or (second is None and other != OUTSIDE):
            return f"no bound: {self._origin(one, other, two)}"
        lacking = dict.fromkeys([*first.lacking, *(second.lacking if second else ())])
        if lacking:
            return f"no bound: nobody states the accuracy of {listed(map(self.called, lacking))}"
        return f"no bound: {self._origin(one, other, two)}"

    @staticmethod
    def _absent(state: State | None) -> str:
        """Why a device shows no time at all."""
        if state is None or state.time is not None:
            return ""
        if not state.present:
            return "not there"
        return "off" if not state.powered else "no timecode"

    def _origin(self, one: State | None, other: str, two: State | None) -> str:
        """How the time that is not the master's came to be."""
        time = one.time if one else None
        if time is None:
            return "no timecode"
        if two is not None and two.time is not None and time.line.root == two.time.line.root:
            return self._anew(time, two.time)
        if time.line.root == other:
            return f"{self.called(other)} has another time by now"
        if time.line.origin is Origin.LEFT and any(jam.target == time.line.root for jam in self.forecast.run.jams):
            return "not yet jammed"
        return _BY_EYE[time.line.origin]

    def _anew(self, one: Carried, other: Carried) -> str:
        """What the device did that both times come from, so that one of the two is of before and one of after it."""
        newer = max((one.line, other.line), key=lambda line: line.since)
        did = "was set anew" if newer.origin is Origin.SET else "lost its time"
        return f"{self.called(newer.root)} {did} at {clock_of(self.forecast.setup, newer.since)}"

    # --- all days long ---

    def cells(self, key: str, other: str, moments: Sequence[Fraction]) -> tuple[Cell, ...]:
        """The worst case of two devices up to each of some moments, and from it on: read off its line."""
        line = self.line(key, other)
        found = []
        for at in moments:
            before, after = _up_to(line, at), _from_on(line, at)
            found.append(
                Cell(
                    Bound(before) if before is not None else self.before(key, other, at),
                    Bound(after) if after is not None else self.after(key, other, at),
                )
            )
        return tuple(found)

    def line(self, key: str, other: str) -> tuple[Vertex, ...]:
        """The line of two devices' worst case through all days."""
        if (key, other) not in self._lines:
            run = self.forecast.run
            self._lines[key, other] = self.vertices(key, other, run.start, run.end)
        return self._lines[key, other]

    @cached_property
    def _lines(self) -> dict[tuple[str, str], tuple[Vertex, ...]]:
        return {}

    # --- over a stretch ---

    def stretches(self, key: str, other: str, start: Fraction, end: Fraction) -> Iterator[tuple[Fraction, Fraction]]:
        """The stretches over which neither of two devices changes."""
        edges = {start, end}
        for each in (key, other):
            edges |= {at for at in (() if each == OUTSIDE else self.forecast.turns_of(each)) if start < at < end}
        yield from pairwise(sorted(edges))

    def vertices(self, key: str, other: str, start: Fraction, end: Fraction) -> tuple[Vertex, ...]:
        """The line of a device's worst case against another, from point to point."""
        if other != OUTSIDE:
            curve = self.forecast.curve(key, other, start, end)
            return tuple(Vertex(each.at, each.worst) for each in curve)
        found: list[Vertex] = []
        for since, until in self.stretches(key, other, start, end):
            found += [Vertex(since, self.after(key, other, since).seconds)]
            found += [Vertex(until, self.before(key, other, until).seconds)]
        return tuple(found)

    def blanks(self, key: str, other: str, start: Fraction, end: Fraction) -> tuple[Blank, ...]:
        """Where that line has no bound, and where there is nothing to have one; like neighbours are one."""
        found: list[Blank] = []
        for since, until in self.stretches(key, other, start, end):
            one, two = self._from(key, since), self._from(other, since)
            bound = self._bound(key, one, other, two, since)
            if bound.seconds is not None:
                continue
            unknown = not self._absent(one)
            if found and found[-1].end == since and found[-1].why == bound.why:
                since = found.pop().start  # noqa: PLW2901 - it goes on
            found.append(Blank(since, until, bound.why, unknown))
        return tuple(found)


def _up_to(line: Sequence[Vertex], at: Fraction) -> Fraction | None:
    """What a line has just before an instant; None where it has no bound, or is not told of."""
    index = bisect_left(line, at, key=lambda vertex: vertex.at)
    return _between(line[index - 1], line[index], at) if 0 < index < len(line) else None


def _from_on(line: Sequence[Vertex], at: Fraction) -> Fraction | None:
    """What a line has from an instant on; None where it has no bound, or is not told of."""
    index = bisect_right(line, at, key=lambda vertex: vertex.at)
    return _between(line[index - 1], line[index], at) if 0 < index < len(line) else None


def _between(one: Vertex, other: Vertex, at: Fraction) -> Fraction | None:
    if one.seconds is None or other.seconds is None:
        return None
    return one.seconds + (other.seconds - one.seconds) * (at - one.at) / (other.at - one.at)
