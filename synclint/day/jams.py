"""When to jam again: how long a round of jams holds, and the fewest rounds that hold the whole of the days."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from fractions import Fraction
from functools import cached_property

from synclint.day.clocktime import day_clocks
from synclint.day.forecast import Forecast, Gathering, Pair
from synclint.day.moments import Carried, Timeline
from synclint.day.phases import Phases
from synclint.day.run import Run, run_days
from synclint.day.schedule import Instead
from synclint.day.telling import ONE_ROUND
from synclint.rig.graphs import ClockGraph, TimecodeGraph
from synclint.rig.log import Log
from synclint.rig.model import Setup
from synclint.trade.clocks import Oscillator


@dataclass(frozen=True, slots=True)
class Breach:
    """The first moment at which a pair that must agree may leave the tolerance, and which pair."""

    at: Fraction
    pair: Pair
    lost: bool = False
    """Whether the two have no bound: one is on the time that their master had before it was set anew."""


@dataclass(frozen=True, slots=True)
class Round:
    """A jam of all from their master, at a moment of the day."""

    at: Fraction
    in_break: bool
    by: Fraction | None
    """By when it must be done at the latest, outside of rolls; None where the days hold without it."""
    by_lead: tuple[tuple[str, str], ...] = ()
    """The devices that are jammed by a lead because their link is lost then, each with its source."""
    others: bool = True
    """Whether any others are jammed in it."""


@dataclass(frozen=True, slots=True)
class Plan:
    """The rounds that hold the days, after those of the first morning or on top of all that are written."""

    holds: bool
    """Whether the days hold with the jams that are written."""
    first_breach: Breach | None
    """The first moment at which they do not."""
    morning_breach: Breach | None
    """The first moment at which the morning's jams alone would not do."""
    rounds: tuple[Round, ...]
    """The fewest rounds that hold the days from the morning on; empty where the morning's jams do."""
    possible: bool
    """Whether rounds of jams can hold the days at all."""


@dataclass(frozen=True, slots=True)
class _Candidate:
    at: Fraction
    in_break: bool


@dataclass(frozen=True, slots=True)
class _Way:
    """Some rounds, and how the days go on after the last of them."""

    rounds: tuple[Round, ...]
    since: Fraction
    until: Fraction | None
    """The first moment at which they do not hold."""
    times: tuple[Carried | None, ...] = ()
    """What time each device has right after it, or had last."""
    unhandy: int = 0
    """How many rounds are neither in a break nor at the end of a roll."""

    @property
    def rank(self) -> tuple[int, int, tuple[Fraction, ...]]:
        """How many rounds are outside of breaks, how many at no natural moment, and when: the less the better."""
        outside = sum(not each.in_break for each in self.rounds)
        return outside, self.unhandy, tuple(each.at for each in self.rounds)


class Planner:
    """Plans rounds of jams for a setup."""

    def __init__(
        self,
        setup: Setup,
        timecode: TimecodeGraph,
        clock: ClockGraph,
        tolerance: Fraction,
        log: Log | None = None,
        measured: Mapping[tuple[str, str], Oscillator] | None = None,
        *,
        keep_written: bool = False,
    ) -> None:
        """Take a setup, its graphs, the tolerance in seconds, and what a log tells with the rates measured by it.

        The rounds take the place of all jams that are written after the morning, or with `keep_written` come on top.
        """
        self.setup = setup
        self.timecode = timecode
        self.clock = clock
        self.tolerance = tolerance
        self.log = log
        self.measured = measured
        self.keep_written = keep_written

    def _forecast(self, instead: Instead | None = None) -> Forecast:
        run = run_days(self.setup, self.timecode, instead, self.log)
        return Forecast(run, Phases(run, self.clock, self.measured))

    @cached_property
    def planned(self) -> Forecast:
        """The days with the jams that are written."""
        return self._forecast()

    @cached_property
    def alone(self) -> Forecast:
        """The days with no jams but those of the morning."""
        return self.planned if self.keep_written else self._forecast(Instead(self.morning))

    @cached_property
    def since(self) -> Fraction:
        """The instant after which rounds are planned."""
        return self.planned.run.start if self.keep_written else self.morning

    def _instead(self, *rounds: Fraction) -> Instead:
        """The jams that are written and kept, with these rounds."""
        return Instead(self.planned.run.end if self.keep_written else self.morning, rounds)

    @cached_property
    def morning(self) -> Fraction:
        """The instant of the last jam before the first take, or of the first jam where no take is told.

        Where a log tells of jams it is that of the last of them: what is done is not planned anew.
        """
        run = self.planned.run
        logged = [step.at for step in run.steps if step.logged and step.what == "jam"]
        if logged:
            return max(logged)
        first_take = min((roll.start for roll in self.planned.takes), default=None)
        jams = sorted({jam.at for jam in run.jams})
        before = [at for at in jams if first_take is not None and at <= first_take]
        return before[-1] if before else jams[0] if jams else run.start

    def breach(self, forecast: Forecast, after: Fraction) -> Breach | None:
        """The first moment after an instant at which a pair that must agree may be out of tolerance."""
        best: Breach | None = None
        for gathering in self.windows(forecast, after):
            if best is not None and gathering.start >= best.at:
                continue
            found = forecast.first_beyond(gathering, self.tolerance)
            if found is not None and (best is None or found[0] < best.at):
                best = Breach(*found)
        return best

    def _first(self, forecast: Forecast, after: Fraction) -> Breach | None:
        """The first moment after an instant at which a round of jams is wanted, for either reason."""
        found = (self.breach(forecast, after), self.lost(forecast, after))
        return min((each for each in found if each is not None), key=lambda each: each.at, default=None)

    def lost(self, forecast: Forecast, after: Fraction) -> Breach | None:
        """The first take after an instant in which some have the time of before their master was set anew.

        It is told only where a round of jams would give them the new one. Where no take is told they have as long for
        it as a round takes.
        """
        best: Breach | None = None
        for gathering in self.windows(forecast, after):
            anew = {} if forecast.takes else {since + ONE_ROUND: since for since in _set_anew(forecast.run)}
            for at in sorted(at for at in (gathering.start, *anew) if gathering.start <= at <= gathering.end):
                if best is not None and best.at <= at:
                    break
                pair = self._on_two_times(forecast, gathering, at, anew.get(at, at))
                best = best if pair is None else Breach(at, pair, lost=True)
        return best

    def _on_two_times(self, forecast: Forecast, gathering: Gathering, at: Fraction, jam: Fraction) -> Pair | None:
        """One with an old time and one with the new of one master, where a round by an instant would mend that."""
        lines: dict[str, dict[Timeline, str]] = {}
        for key in gathering.keys:
            time = forecast.run.at(key, at).time
            if time is not None:
                lines.setdefault(time.line.root, {}).setdefault(time.line, key)
        for both in (each for each in lines.values() if len(each) > 1):
            *olds, new = sorted(both, key=lambda line: line.since)
            for old in olds:
                if both[old] in self._reached(self.latest_outside(jam, forecast.run)):
                    return Pair(both[old], both[new], forecast.kind_of(both[old], both[new]))
        return None

    def _reached(self, at: Fraction) -> frozenset[str]:
        """The devices that have the newest time of their master after a round of jams at an instant."""
        if at not in self._reaches:
            run = run_days(self.setup, self.timecode, self._instead(at), self.log)
            times = {key: run.at(key, at).time for key in run.histories}
            newest: dict[str, Fraction] = {}
            for time in filter(None, times.values()):
                newest[time.line.root] = max(time.line.since, newest.get(time.line.root, time.line.since))
            now = (key for key, time in times.items() if time and time.line.since == newest[time.line.root])
            self._reaches[at] = frozenset(now)
        return self._reaches[at]

    @cached_property
    def _reaches(self) -> dict[Fraction, frozenset[str]]:
        return {}

    def windows(self, forecast: Forecast, after: Fraction) -> Iterator[Gathering]:
        """When and who must agree after an instant: the takes, or from call to wrap where none is told."""
        for gathering in forecast.gatherings:
            hours = [(gathering.start, gathering.end)] if forecast.takes else self._working_hours()
            for start, end in hours:
                if end > after:
                    yield replace(gathering, start=max(start, after), end=end)

    def _working_hours(self) -> list[tuple[Fraction, Fraction]]:
        """Call to wrap of each day."""
        run = self.planned.run
        hours = []
        for clock in day_clocks(self.setup):
            wrap = clock.day.wrap.value
            end = clock.instant(wrap) if wrap is not None else run.end
            if end > clock.call:
                hours.append((clock.call, end))
        return hours or [(run.start, run.end)]

    @cached_property
    def plan(self) -> Plan:
        """The fewest rounds from the morning on, and whether the written ones hold."""
        first = self.breach(self.planned, self.planned.run.start)
        morning = self._first(self.alone, self.since)
        if morning is None:
            return Plan(first is None, first, None, (), possible=True)
        rounds = self._fewest(morning)
        return Plan(first is None, first, morning, self._told(rounds or ()), possible=rounds is not None)

    def _told(self, rounds: tuple[Round, ...]) -> tuple[Round, ...]:
        """The rounds, with who is jammed in each by a lead because a link is lost."""
        run = run_days(self.setup, self.timecode, self._instead(*(each.at for each in rounds)), self.log)
        found = []
        for each in rounds:
            jams = [jam for jam in run.jams if jam.at == each.at and jam.event is None]
            leads = [
                (jam.target, jam.source)
                for jam in jams
                if not any(feed.last.connected.value == "to jam" for feed in run.feeds[jam.target])
            ]
            found.append(replace(each, by_lead=tuple(leads), others=len(jams) > len(leads)))
        return tuple(found)

    def candidates(self) -> list[_Candidate]:
        """The moments at which a round may be jammed, never inside a roll.

        These are in breaks, at the ends of rolls, and when devices come or go, are switched on or off, lose a link or
        are set by hand.
        """
        run = self.planned.run
        found = {each for pair in self._breaks for each in pair} | {roll.end for roll in run.rolls}
        found |= {step.at for step in run.steps if step.what in _COMES_OR_GOES}
        return [
            _Candidate(at, self._in_break(at))
            for at in sorted(found)
            if at > self.since and self.latest_outside(at, run) == at
        ]

    @cached_property
    def _breaks(self) -> list[tuple[Fraction, Fraction]]:
        """From when to when each break is."""
        steps = self.planned.run.steps
        return [(step.at, step.until) for step in steps if step.what == "break" and step.until is not None]

    @staticmethod
    def latest_outside(at: Fraction, run: Run) -> Fraction:
        """The latest moment up to an instant that lies inside no roll."""
        while True:
            start = min((roll.start for roll in run.rolls if roll.start < at < roll.end), default=at)
            if start == at:
                return at
            at = start

    def _fewest(self, morning: Breach) -> tuple[Round, ...] | None:
        """The fewest rounds, breaks before working time, early before late; None where none hold.

        Level by level: after so many rounds the days go on in one of some ways, told apart by what time each device
        has; of rounds that lead to the same it is enough to keep the best.
        """
        candidates = self.candidates()
        level = [_Way((), self.since, morning.at)]
        for _ in range(_MOST_ROUNDS):
            reached: dict[object, _Way] = {}
            for way in level:
                for each in self._within(candidates, way):
                    further = self._further(way, each)
                    known = reached.get((each.at, further.times))
                    if known is None or further.rank < known.rank:
                        reached[each.at, further.times] = further
            done = [way for way in reached.values() if way.until is None]
            if done:
                return min(done, key=lambda way: way.rank).rounds
            level = [way for way in reached.values() if way.until is not None and way.until > way.since]
            if not level:
                return None
        return None

    def _within(self, candidates: list[_Candidate], way: _Way) -> list[_Candidate]:
        """The candidates after the last round of a way and up to its deadline, and the latest moment of all."""
        if way.until is None:
            return []
        run = self.planned.run
        ends = [min(end, way.until) for start, end in self._breaks if start <= way.until]
        late = {self.latest_outside(at, run) for at in (way.until, *ends)}
        found = {each.at: each for each in candidates if way.since < each.at <= way.until}
        found |= {at: _Candidate(at, self._in_break(at)) for at in late if way.since < at}
        return [found[at] for at in sorted(found)]

    def _in_break(self, at: Fraction) -> bool:
        return any(start <= at <= end for start, end in self._breaks)

    def _further(self, way: _Way, chosen: _Candidate) -> _Way:
        """How the days go on after one more round, and until when they hold."""
        at, run = chosen.at, self.planned.run
        by = self.latest_outside(way.until, run) if way.until is not None else None
        rounds = (*way.rounds, Round(at, chosen.in_break, by))
        # Where a round gives every device its time, those before it are of no account.
        key = (at,) if self._is_whole(at) else tuple(each.at for each in rounds)
        if key not in self._after:
            forecast = self._forecast(self._instead(*key))
            breach = self._first(forecast, at)
            self._after[key] = (breach.at if breach else None, tuple(_times(forecast.run, at)))
        handy = chosen.in_break or any(roll.end == at for roll in run.rolls)
        return _Way(rounds, at, *self._after[key], way.unhandy + (not handy))

    @cached_property
    def _after(self) -> dict[tuple[Fraction, ...], tuple[Fraction | None, tuple[Carried | None, ...]]]:
        return {}

    def _is_whole(self, at: Fraction) -> bool:
        """Whether a round gives a new time to every device but those whose counter began theirs."""
        if at not in self._whole:
            run = run_days(self.setup, self.timecode, self._instead(at), self.log)
            shown = (run.at(key, at).time for key in run.histories)
            self._whole[at] = all(time is not None and (not time.hands or time.set_at == at) for time in shown)
        return self._whole[at]

    @cached_property
    def _whole(self) -> dict[Fraction, bool]:
        return {}


def _times(run: Run, at: Fraction) -> Iterator[Carried | None]:
    """What time each device has at an instant, or had last."""
    for states in run.histories.values():
        yield next((state.time for state in reversed(states) if state.since <= at and state.time is not None), None)


def _set_anew(run: Run) -> Iterator[Fraction]:
    """The instants at which a time begins."""
    for states in run.histories.values():
        yield from dict.fromkeys(state.time.line.since for state in states if state.time is not None)


_COMES_OR_GOES = frozenset({"arrive", "leave", "power off", "power back", "link lost", "link back", "set clock"})
_MOST_ROUNDS = 48
"""More rounds than a day has half hours are no plan."""
