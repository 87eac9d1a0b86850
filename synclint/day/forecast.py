"""How far apart devices are at worst through the days: at any moment, inside a take, and when a tolerance is left."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from enum import Enum
from fractions import Fraction
from functools import cached_property
from itertools import combinations, pairwise

from synclint.day.moments import Handed, Roll, State
from synclint.day.phases import Offset, Phases
from synclint.day.run import Run, records_ltc
from synclint.day.widest import widest_pair
from synclint.rig.model import Device
from synclint.trade.clocks import ErrorSum, Oscillator, Unknown, within

_MOST_IN_PAIRS = 200
"""How many devices that are together are told pair by pair."""


class Kind(Enum):
    """What two devices are to each other."""

    SOUND = "camera to sound"
    CAMERAS = "camera to camera"
    SLATE = "to the slate"
    OTHER = "sound to sound"


@dataclass(frozen=True, slots=True)
class Pair:
    """Two devices whose times must agree: they roll together, or one shows its time to the other."""

    first: str
    second: str
    kind: Kind


@dataclass(frozen=True, slots=True)
class Gathering:
    """Devices whose times must agree from one instant to another."""

    keys: tuple[str, ...]
    start: Fraction
    end: Fraction


@dataclass(frozen=True, slots=True)
class Vertex:
    """A point of a worst case that runs straight from one such point to the next; None where it has no bound."""

    at: Fraction
    worst: Fraction | None


@dataclass(frozen=True, slots=True)
class TakeOffset:
    """Two recordings of a take: how far off their labels are at its start, how far they slip, and both at its end."""

    first: str
    second: str
    start: Fraction
    end: Fraction
    label: Offset | None
    """None where the labels have no bound; the slip then stands alone."""
    slip: Offset | None
    """None where nobody states the accuracy of a clock that paces one of them; no slip where one clock paces both."""
    total: Fraction | None
    """The worst case at the end of the take, in seconds, what the two parts share counted once."""


@dataclass(frozen=True, slots=True)
class Worst:
    """A pair at the moment at which it is farthest apart."""

    first: str
    second: str
    at: Fraction
    offset: Offset


class Forecast:
    """The worst cases of a setup's days."""

    def __init__(self, run: Run, phases: Phases) -> None:
        """Take the run and the errors of its devices."""
        self.run = run
        self.phases = phases
        self.setup = run.setup

    # --- who must agree ---

    @cached_property
    def takes(self) -> tuple[Roll, ...]:
        """The rolls of which sound is to be used with picture."""
        return tuple(roll for roll in self.run.rolls if roll.event.sync_sound)

    @cached_property
    def labelled(self) -> tuple[str, ...]:
        """The devices that put a time on something: on a file, on a track, or before a lens."""
        return tuple(key for key in self.run.histories if self.shows_time(self.setup.devices[key]))

    @staticmethod
    def shows_time(device: Device) -> bool:
        """Whether a device puts a time on its files or tracks, or shows it to the cameras."""
        slate = device.cls.value == "timecode slate"
        own = device.timecode.source.value is not None and device.timecode.mode.value != "record run"
        return records_ltc(device) or ((own and (slate or device.records)) and not device.trigger.value)

    @cached_property
    def slates(self) -> tuple[str, ...]:
        """The devices that show their time to the cameras; they need not agree with one another."""
        return tuple(key for key in self.labelled if self.is_slate(key))

    def slates_of(self, roll: Roll) -> tuple[str, ...]:
        """The slates that are shown in a take: those of the units in it, all where these have none of their own."""
        units = {self.setup.devices[key].unit.value for key in roll.devices}
        own = tuple(key for key in self.slates if self.setup.devices[key].unit.value in units)
        return own or self.slates

    @cached_property
    def gatherings(self) -> tuple[Gathering, ...]:
        """Who must agree from when to when: who rolls together, with the slates; all that show a time where none does.

        In the order of their starts.
        """
        if not self.takes:
            return (Gathering(self.labelled, self.run.start, self.run.end),)
        labelled = frozenset(self.labelled)
        found = []
        for roll in self.takes:
            keys = (*(key for key in roll.devices if key in labelled), *self.slates_of(roll))
            found.append(Gathering(tuple(dict.fromkeys(keys)), roll.start, roll.end))
        return tuple(sorted(found, key=lambda gathering: gathering.start))

    @cached_property
    def pairs(self) -> tuple[Pair, ...]:
        """The pairs that roll together, with the slates of the setup; all that record where no roll is told.

        Where more than 200 are together only those of each with the master, or else with the first that takes no
        picture, and with the first slate; nobody would read the rest. The widest of all is found without them.
        """
        order = {key: index for index, key in enumerate(self.setup.devices)}
        slates = frozenset(self.slates)
        found: dict[tuple[str, str], Pair] = {}
        for gathering in self.gatherings:
            keys = sorted(gathering.keys, key=order.__getitem__)
            for first, second in combinations(keys, 2) if len(keys) <= _MOST_IN_PAIRS else self._hub_and_spokes(keys):
                if not (first in slates and second in slates) and (first, second) not in found:
                    found[first, second] = Pair(first, second, self.kind_of(first, second))
        return tuple(found.values())

    def _hub_and_spokes(self, keys: Sequence[str]) -> Iterator[tuple[str, str]]:
        """The pairs of each of some devices with the one that all are to agree with, and with the slate."""
        master = self.setup.project.master_timecode.value
        alone = (key for key in keys if self.setup.devices[key].picture is None and not self.is_slate(key))
        hub = master if master in keys else next(alone, keys[0])
        hubs = [key for key in keys if key == hub or key in self.slates[:1]]
        places = {key: place for place, key in enumerate(keys)}
        for one in hubs:
            for other in keys:
                if places[other] > places[one]:
                    yield one, other
                elif other not in hubs:
                    yield other, one

    def is_slate(self, key: str) -> bool:
        """Whether a device shows its time to the cameras."""
        return self.setup.devices[key].cls.value == "timecode slate"

    def kind_of(self, first: str, second: str) -> Kind:
        """What two devices are to each other."""
        devices = [self.setup.devices[key] for key in (first, second)]
        if self.is_slate(first) or self.is_slate(second):
            return Kind.SLATE
        cameras = sum(device.picture is not None for device in devices)
        return (Kind.OTHER, Kind.SOUND, Kind.CAMERAS)[cameras]

    # --- through the days ---

    def curve(self, first: str, second: str, start: Fraction, end: Fraction) -> tuple[Vertex, ...]:
        """The worst case of a pair from one instant to another; two points at one instant are a step."""
        found: list[Vertex] = []
        for since, until, one, other in self._together(first, second, start, end):
            found += self._stretch(first, second, since, until, one, other)
        return tuple(found)

    def _together(
        self, first: str, second: str, start: Fraction, end: Fraction
    ) -> Iterator[tuple[Fraction, Fraction, State, State]]:
        """The stretches over which neither of two devices changes."""
        edges = {start, end}
        for key in (first, second):
            edges |= {at for at in self.turns_of(key) if start < at < end}
        for since, until in pairwise(sorted(edges)):
            yield since, until, self.run.at(first, since), self.run.at(second, since)

    def turns_of(self, key: str) -> frozenset[Fraction]:
        """The instants at which a device changes, or the course of its error against any other's does."""
        if key not in self._turns_of:
            states = self.run.histories[key]
            found = {state.since for state in states}
            for state in states:
                if state.time is not None:
                    lags = self.phases.lags((key, *state.time.through))
                    found |= {*self.phases.paces_behind(key, state.time)}
                    # What is a while old passes each change so much later.
                    found |= {at + lag for lag in lags for at in self._instants}
            self._turns_of[key] = frozenset(found)
        return self._turns_of[key]

    @cached_property
    def _turns_of(self) -> dict[str, frozenset[Fraction]]:
        return {}

    @cached_property
    def _instants(self) -> frozenset[Fraction]:
        """All instants at which any error takes a new course."""
        behind = self.phases.instants_behind
        times = ((key, state.time) for key, states in self.run.histories.items() for state in states)
        return frozenset(at for key, time in times if time is not None for at in behind(key, time))

    def _apart(self, first: str, second: str, one: State, other: State, at: Fraction) -> Offset | None:
        """How far apart two states are at an instant within both, or at their end."""
        if one.time is None or other.time is None:
            return None
        return self.phases.apart(self.phases.of_time(first, one.time, at), self.phases.of_time(second, other.time, at))

    def _stretch(
        self, first: str, second: str, since: Fraction, until: Fraction, one: State, other: State
    ) -> list[Vertex]:
        """The worst case over one stretch: straight but where an unknown's share turns."""
        begin, end = (self._apart(first, second, one, other, at) for at in (since, until))
        if begin is None or end is None:
            return [Vertex(since, None), Vertex(until, None)]
        turns = [since, *_turns(begin.error, end.error, since, until), until]
        return [Vertex(at, (self._apart(first, second, one, other, at) or begin).worst) for at in turns]

    def leaves(self, first: str, second: str, tolerance: Fraction, start: Fraction, end: Fraction) -> Fraction | None:
        """The first instant at which a pair may be farther apart than a tolerance, in seconds; None if it never is."""
        before: Vertex | None = None
        for vertex in self.curve(first, second, start, end):
            if vertex.worst is not None and vertex.worst > tolerance:
                if before is None or before.worst is None or before.at == vertex.at or before.worst > tolerance:
                    return vertex.at
                rise = vertex.worst - before.worst
                return before.at + (vertex.at - before.at) * (tolerance - before.worst) / rise
            before = vertex
        return None

    def held_until(self, first: str, second: str, tolerance: Fraction, at: Fraction) -> Fraction:
        """Until when the last jams of a pair before an instant, at which it is past a tolerance, hold it within."""
        jams = [hand.at for hand in (*self.jams_behind(first, at), *self.jams_behind(second, at))]
        left = self.leaves(first, second, tolerance, max(jams, default=self.run.start), at)
        return at if left is None else left

    def jams_behind(self, key: str, at: Fraction) -> tuple[Handed, ...]:
        """The last jam of a device, or of what it follows, before an instant; none where it was never jammed."""
        time = self.run.before(key, at).time
        return tuple(hand for hand in time.hands if not hand.let_go)[-1:] if time else ()

    @cached_property
    def edges(self) -> tuple[Fraction, ...]:
        """The instants at which a worst case can be largest: at each change, at ends of rolls and of the days."""
        found = set[Fraction]().union(*map(self.turns_of, self.run.histories))
        found |= {roll.end for roll in self.run.rolls} | {self.run.start, self.run.end}
        return tuple(sorted(at for at in found if self.run.start <= at <= self.run.end))

    def just_before(self, key: str, at: Fraction) -> State:
        """A device as it is up to an instant, before whatever happens then."""
        return self.run.before(key, at)

    def widest(self, keys: Iterable[str], at: Fraction) -> Worst | None:
        """The two of some devices that may be farthest apart just before an instant, without looking at every pair."""
        return self._widest(((key, self.just_before(key, at)) for key in keys), at)

    def _widest(self, states: Iterable[tuple[str, State]], at: Fraction) -> Worst | None:
        found = widest_pair(self.phases, states, at, self.slates)
        if found is None:
            return None
        first, second = sorted(found[:2], key=self._order.__getitem__)
        offset = found[2] if first == found[0] else Offset(-found[2].error, found[2].facts)
        return Worst(first, second, at, offset)

    @cached_property
    def _order(self) -> dict[str, int]:
        return {key: index for index, key in enumerate(self.setup.devices)}

    @cached_property
    def worst_of_all(self) -> Worst | None:
        """The worst pair of the days among those that must agree."""
        cases = (worst for gathering in self.gatherings for worst in self.worst_in(gathering))
        return max(cases, key=lambda worst: worst.offset.worst, default=None)

    def worst_in(self, gathering: Gathering) -> Iterator[Worst]:
        """The worst pair of a gathering at each moment at which it may be worst, where any has a bound then."""
        for since, until, states in self._still(gathering):
            # Between two changes a worst case is convex: it is largest at the one or at the other.
            for at in (since, until):
                worst = self._widest(states, at)
                if worst is not None:
                    yield worst

    def _still(self, gathering: Gathering) -> Iterator[tuple[Fraction, Fraction, list[tuple[str, State]]]]:
        """The stretches of a gathering over which nothing changes, with what its devices are then."""
        inside = set[Fraction]().union(*map(self.turns_of, gathering.keys))
        inside = {at for at in inside if gathering.start < at < gathering.end}
        for since, until in pairwise(sorted({gathering.start, *inside, gathering.end})):
            yield since, until, [(key, self.run.at(key, since)) for key in gathering.keys]

    def first_beyond(self, gathering: Gathering, tolerance: Fraction) -> tuple[Fraction, Pair] | None:
        """The first instant at which two that must agree may be farther apart than a tolerance, and which two."""
        for since, until, states in self._still(gathering):
            worst = self._widest(states, since)
            if worst is not None and worst.offset.worst > tolerance:
                return since, self._pair(worst)
            at, worst, found = until, self._widest(states, until), None
            # Those that are beyond it now were within it at the start and left it once; the first is found backwards.
            while worst is not None and worst.offset.worst > tolerance:
                left = self.leaves(worst.first, worst.second, tolerance, since, at)
                if left is None:
                    break
                at, found = left, self._pair(worst)
                worst = self._widest(states, at)
            if found is not None:
                return at, found
        return None

    def _pair(self, worst: Worst) -> Pair:
        return Pair(worst.first, worst.second, self.kind_of(worst.first, worst.second))

    # --- inside a take ---

    def take(self, first: str, second: str, start: Fraction, length: Fraction) -> TakeOffset:
        """Two recordings that begin at an instant and last some seconds."""
        end = start + length
        label = self.phases.offset(first, second, start)
        slip = self._slip(first, second, start, end)
        total = (label.error + slip.error).worst if label is not None and slip is not None else None
        return TakeOffset(first, second, start, end, label, slip, total)

    def _slip(self, first: str, second: str, start: Fraction, end: Fraction) -> Offset | None:
        """How far the clocks that pace two recordings part; None where nobody states the accuracy of one."""
        error = self.phases.paced(first, start, end)[0] - self.phases.paced(second, start, end)[0]
        pacers = {oscillator.fixed.name[1] for oscillator in error.oscillators}
        if not pacers:
            return Offset(ErrorSum(), ())
        if any(self.setup.devices[key].clock.accuracy.value is None for key in pacers):
            return None
        return Offset(error, self.phases.facts_of(pacers))

    def needed_accuracy(self, worst: Worst, key: str, tolerance: Fraction) -> Fraction | None:
        """The accuracy in ppm at which a device alone would keep a pair within a tolerance, all others as they are.

        None where no accuracy of it would do.
        """
        pace, error = self.phases.pace_of(key), worst.offset.error
        mine = self.phases.oscillator(pace)
        if mine not in error.oscillators:
            return None
        stretches = error.paced[mine]
        others = ErrorSum(error.constant, error.terms, {each: to for each, to in error.paced.items() if each != mine})
        share, wander = self._wandering(pace)
        others += ErrorSum(paced={Oscillator(within(mine.fixed.name, Fraction(0)), wander): stretches})
        one_ppm = Unknown(mine.fixed.name, -Fraction(1), Fraction(1))
        a_ppm = ErrorSum(paced={Oscillator(one_ppm, share): stretches}).spread
        left = tolerance - others.worst
        return left / a_ppm if left > 0 and a_ppm else None

    def at_accuracy(self, key: str, ppm: Fraction) -> Forecast:
        """The same days with another accuracy of the clock that paces a device, in ppm."""
        pace = self.phases.pace_of(key)
        share, wander = self._wandering(pace)
        rate = within(self.phases.oscillator(pace).fixed.name, ppm)
        return Forecast(self.run, self.phases.but(pace, Oscillator(rate, share * ppm + wander)))

    def _wandering(self, pace: str) -> tuple[Fraction, Fraction]:
        """How far a clock wanders: as a share of its accuracy where that is assumed of its class, or in ppm."""
        wandering, accuracy = self.phases.varying(pace), self.setup.devices[pace].clock.accuracy.value
        if wandering.assumed and accuracy:
            return (wandering.value or Fraction(0)) / accuracy, Fraction(0)
        return Fraction(0), wandering.value or Fraction(0)


def _turns(begin: ErrorSum, end: ErrorSum, since: Fraction, until: Fraction) -> list[Fraction]:
    """The instants between two at which an unknown, or the middle, changes its sign; there the worst case bends."""
    pairs = [(begin.middle, end.middle)]
    last = end.coefficients
    pairs += [(value, last.get(name, value)) for name, value in begin.coefficients.items()]
    return sorted(
        {since + (until - since) * a / (a - b) for a, b in pairs if (a < 0 < b) or (b < 0 < a)} - {since, until}
    )
