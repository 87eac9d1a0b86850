"""The error of each device's time at any moment, as an exact sum over what nobody knows."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction
from functools import cached_property
from itertools import accumulate, pairwise
from typing import Any

from synclint.day.moments import Carried, Handed, Timeline
from synclint.day.paces import Paces
from synclint.day.run import OUTSIDE, Run
from synclint.findings import Fact, Place
from synclint.rig.assumed import VARYING_WHY, varying_of
from synclint.rig.graphs import ClockGraph
from synclint.rig.offsets import FixedOffset, offsets_of
from synclint.trade.clocks import MILLION, ErrorSum, Oscillator, Unknown, known, once, paced_by, total, within

_WHOLE_FRAME = frozenset({"SDI timecode", "HDMI timecode", "data timecode"})
"""What carries a number and no frame edge: the device that takes it keeps a frame phase of its own."""

_LTC_JAM = Fraction(1, 10_000)
"""What a jam by LTC leaves where nobody states it, in seconds (common practice, no source)."""

_NOTHING = ErrorSum()


@dataclass(frozen=True, slots=True)
class Phase:
    """The error of a device's time at a moment, in seconds, and the line of time that it is the error of."""

    line: Timeline
    error: ErrorSum
    facts: tuple[Fact[Any], ...]
    """What its numbers rest on."""
    lacking: tuple[str, ...]
    """The devices whose clock accuracy nobody states."""


@dataclass(frozen=True, slots=True)
class Offset:
    """How far one device's time is from another's at a moment."""

    error: ErrorSum
    """By how much the first is ahead, in seconds."""
    facts: tuple[Fact[Any], ...]

    @property
    def worst(self) -> Fraction:
        """The most that the two can be apart, in seconds."""
        return self.error.worst


@dataclass(frozen=True, slots=True)
class _Reached:
    """The error of a time just after it was last handed on, and from there the same after each further hand."""

    error: ErrorSum
    users: frozenset[str]
    """The devices whose oscillators it rests on."""
    then: dict[Handed, _Reached]


class Phases:
    """The errors of all devices through the days."""

    def __init__(
        self, run: Run, clock: ClockGraph, measured: Mapping[tuple[str, str], Oscillator] | None = None
    ) -> None:
        """Take the run, who paces whom, and how fast devices were measured to gain on what they were jammed from."""
        self.run = run
        self.clock = clock
        self.measured = measured or {}
        self.paces = Paces(run, clock)
        self._oscillators: dict[str, Oscillator] = {}
        self._varying: dict[str, Fact[Fraction]] = {}
        self._looked_at: Fraction | None = None
        self._seen: dict[str, Phase | None] = {}
        self._stretch: tuple[Fraction, Fraction] | None = None
        self._paced: dict[str, tuple[ErrorSum, frozenset[str]]] = {}
        self._begun: dict[Timeline, _Reached] = {}

    def but(self, key: str, oscillator: Oscillator) -> Phases:
        """The same errors with another rate error of one device's own oscillator."""
        other = Phases(self.run, self.clock, self.measured)
        other.paces = self.paces
        other._oscillators[key] = oscillator
        return other

    def at(self, key: str, instant: Fraction) -> Phase | None:
        """The error of a device's time at an instant; None where it has no time."""
        # Whoever looks at pairs asks for each of them at one instant as often as there are others.
        if self._looked_at != instant:
            self._looked_at, self._seen = instant, {}
        if key not in self._seen:
            time = self.run.at(key, instant).time
            self._seen[key] = self.of_time(key, time, instant) if time is not None else None
        return self._seen[key]

    def offset(self, first: str, second: str, instant: Fraction) -> Offset | None:
        """How far two devices are apart at an instant.

        None where it has no bound: one has no time, they carry different lines of time, or nobody states the accuracy
        of a clock that matters.
        """
        return self.apart(self.at(first, instant), self.at(second, instant))

    def apart(self, one: Phase | None, other: Phase | None) -> Offset | None:
        """How far apart two errors are, where that has a bound."""
        if one is None or other is None or one.line != other.line:
            return None
        error = one.error - other.error
        # What a clock that both share is like is of no account.
        users = {oscillator.fixed.name[1] for oscillator in error.oscillators}
        if not users.isdisjoint((*one.lacking, *other.lacking)):
            return None
        return Offset(error, self.facts_of(users))

    def of_time(self, key: str, carried: Carried, instant: Fraction) -> Phase:
        """The error at an instant of a time that a device carries, or might carry."""
        error, users = self._carried(carried, (key, *carried.through), instant)
        error += known(self.fixed(key, carried.through))
        devices = self.run.setup.devices
        lacking = tuple(each for each in sorted(users) if devices[each].clock.accuracy.value is None)
        return Phase(carried.line, error, self.facts_of(users), lacking)

    def fixed(self, key: str, through: Sequence[str]) -> Fraction:
        """By how many seconds the labels of a device that follows others live are ahead at all times.

        What a follower adds that nobody corrects: to its own labels the delay of its picture less that of its
        timecode, to what it hands on the delay of its timecode alone.
        """
        return self.offsets[key].uncorrected + sum((self._handed_on(each) for each in through), Fraction(0))

    def _handed_on(self, key: str) -> Fraction:
        """By how much what a device gives on is ahead of what it follows."""
        return self.offsets[key].handed_on

    @cached_property
    def offsets(self) -> Mapping[str, FixedOffset]:
        """The fixed offset of every device, and what is left of it."""
        return offsets_of(self.run.setup)

    def facts_of(self, users: Iterable[str]) -> tuple[Fact[Any], ...]:
        """What is known of the oscillators of some devices."""
        devices = self.run.setup.devices
        return tuple(fact for each in sorted(users) for fact in (devices[each].clock.accuracy, self.varying(each)))

    def _carried(self, carried: Carried, chain: Sequence[str], instant: Fraction) -> tuple[ErrorSum, frozenset[str]]:
        """The sum behind a time that came live along a chain, and the devices whose oscillators it rests on."""
        by_air, receivers, moment = self._by_air(chain, carried.set_at, instant, "live")
        if carried.line.root == OUTSIDE and not carried.hands:
            return by_air, receivers
        before, users = self._up_to(carried.line, carried.hands)
        more, pacers = self._ticking(carried.line, carried.hands, chain[-1], carried.set_at, moment)
        return before + more + by_air, users | pacers | receivers

    def _by_air(
        self, chain: Sequence[str], since: Fraction, instant: Fraction, hand: str
    ) -> tuple[ErrorSum, frozenset[str], Fraction]:
        """What receivers along a chain add that are set by radio again and again, and when the counter was heard last.

        Each is a jam every so often, and at worst the next one is just due: it has the time of its source of so long
        ago, the error of that jam, and what its own clock gathered since. A new time at the counter is sent at once.
        What one was `hand`ed is of another such jam than what it shows live right after.
        """
        error, users, moment = _NOTHING, frozenset[str](), instant
        for receiver, source in pairwise(chain):
            every = self.resync_every(source, receiver)
            if every is not None:
                heard = min(moment, max(moment - every, since))
                more, pacers = self.paced(receiver, heard, moment)
                name = ("resync", receiver, source, hand, str(instant - moment))
                error, users = error + once(self.jam_unknown(name, receiver, source)) + more, users | pacers
                moment = heard
        return error, users, moment

    def resync_every(self, source: str, receiver: str) -> Fraction | None:
        """Seconds between two settings of a device by radio; None where it follows at every moment."""
        return self._resyncs.get((source, receiver))

    def own_part(self, key: str, carried: Carried, instant: Fraction) -> ErrorSum:
        """What of a time that was handed on is the device's own: the error of that, and its clock since."""
        chain = (key, *carried.through)
        if carried.through:
            return self._by_air(chain[:2], carried.set_at, instant, "live")[0]
        hand = carried.hands[-1]
        since = carried.hands[-2].at if len(carried.hands) > 1 else carried.line.since
        error = self._hand(hand)
        if hand.let_go:
            error += self._by_air((hand.target, hand.source), since, hand.at, str(hand.at))[0]
        relative = self.relative(carried.hands, carried.line, key, carried.set_at, instant)
        return error + (self.paced(key, carried.set_at, instant)[0] if relative is None else relative)

    def paces_behind(self, key: str, carried: Carried) -> Iterator[Fraction]:
        """The instants at which another clock begins to pace a device, or one that its time came from."""
        keepers = {carried.line.root, *(hand.target for hand in carried.hands)} - {OUTSIDE}
        for each in dict.fromkeys((key, *carried.through, *sorted(keepers))):
            yield from (pace.since for pace in self.paces.history(each)[1:])

    def lags(self, chain: Sequence[str]) -> tuple[Fraction, ...]:
        """How old what a device shows is where it comes to it by radio, once for each radio on the way."""
        every = (self.resync_every(source, receiver) for receiver, source in pairwise(chain))
        return tuple(accumulate(each for each in every if each))

    def instants_behind(self, key: str, carried: Carried) -> Iterator[Fraction]:
        """All instants at which the error of a time takes a new course, but those that move along with it."""
        yield from (carried.line.since, *self.paces_behind(key, carried))
        for hand in carried.hands:
            chain = (hand.source, *hand.through)
            lags = self.lags((hand.target, *chain) if hand.let_go else chain)
            yield from (hand.at - lag for lag in (Fraction(0), *lags))

    def _up_to(self, line: Timeline, hands: tuple[Handed, ...]) -> tuple[ErrorSum, frozenset[str]]:
        """The error of a time at the moment at which it was last handed on, with the error of that hand."""
        reached = self._begun.setdefault(line, _Reached(_NOTHING, frozenset(), {}))
        for n, hand in enumerate(hands):
            if hand not in reached.then:
                reached.then[hand] = self._handed(line, hands[:n], hand, reached)
            reached = reached.then[hand]
        return reached.error, reached.users

    def _handed(self, line: Timeline, before: tuple[Handed, ...], hand: Handed, reached: _Reached) -> _Reached:
        """What comes of a time that has been through some hands by one hand more."""
        keeper, since = (before[-1].target, before[-1].at) if before else (line.root, line.since)
        chain = (hand.source, *hand.through)
        chain = (hand.target, *chain) if hand.let_go else chain
        by_air, receivers, moment = self._by_air(chain, since, hand.at, str(hand.at))
        more, pacers = self._ticking(line, before, keeper, since, moment)
        error = total((reached.error, more, by_air, self._hand(hand)))
        return _Reached(error, reached.users | pacers | receivers, {})

    def _ticking(
        self, line: Timeline, hands: tuple[Handed, ...], keeper: str, start: Fraction, end: Fraction
    ) -> tuple[ErrorSum, frozenset[str]]:
        """What the counter of a device gathers over a stretch: at its own rate, or at one that follows its source's."""
        gains: list[Oscillator | Unknown] = []
        while (gain := self._gain(hands, line, keeper)) is not None:
            gains.append(gain)
            hands = hands[:-1]
            keeper = hands[-1].target if hands else line.root
        ticks, users = self.paced(keeper, start, end)
        return total((ticks, *_gained(gains, start, end))), users

    def relative(
        self, hands: tuple[Handed, ...], line: Timeline, keeper: str, start: Fraction, end: Fraction
    ) -> ErrorSum | None:
        """What a device gains over a stretch on the counter that it was jammed from, measured or tuned to it.

        None where all that is known is its own rate.
        """
        gain = self._gain(hands, line, keeper)
        return None if gain is None else total(_gained([gain], start, end))

    def _gain(self, hands: tuple[Handed, ...], line: Timeline, keeper: str) -> Oscillator | Unknown | None:
        """The rate, in ppm, at which a device gains on the counter that it was jammed from, measured or tuned to it."""
        if not self._goes_by_itself(hands, keeper):
            return None
        source = hands[-2].target if len(hands) > 1 else line.root
        if (keeper, source) in self.measured:
            return self.measured[keeper, source]
        bound = self.run.setup.devices[keeper].clock.tunes_to.value
        return None if bound is None else within(("tuned", keeper, str(hands[-1].at)), bound)

    def _goes_by_itself(self, hands: tuple[Handed, ...], keeper: str) -> bool:
        """Whether a counter was jammed and is paced by its own oscillator."""
        if not hands or hands[-1].let_go or hands[-1].target != keeper:
            return False
        return self.paces.at(keeper, hands[-1].at) == keeper

    def paced(self, keeper: str, start: Fraction, end: Fraction) -> tuple[ErrorSum, frozenset[str]]:
        """What the counter of a device gathers from one instant to another, and whose oscillators pace it."""
        if self._stretch != (start, end):
            self._stretch, self._paced = (start, end), {}
        if keeper not in self._paced:
            self._paced[keeper] = self._ticks(keeper, start, end)
        return self._paced[keeper]

    def _ticks(self, keeper: str, start: Fraction, end: Fraction) -> tuple[ErrorSum, frozenset[str]]:
        if keeper == OUTSIDE:
            return _NOTHING, frozenset()  # time from outside is right, and so is a pace from there
        error, users = _NOTHING, set()
        for since, until, pace in self.paces.between(keeper, start, end):
            if pace != OUTSIDE:
                error += paced_by(self.oscillator(pace), since, until)
                users.add(pace)
        return error, frozenset(users)

    def oscillator(self, key: str) -> Oscillator:
        """The rate error of a device's own oscillator; one that nobody states is within zero, and told as lacking."""
        if key not in self._oscillators:
            clock = self.run.setup.devices[key].clock
            fixed = within(("rate", key), clock.accuracy.value or Fraction(0))
            if clock.runs.value is not None:
                rate, uncertainty = clock.runs.value
                fixed = Unknown(("rate", key), rate - uncertainty, rate + uncertainty)
            self._oscillators[key] = Oscillator(fixed, self.varying(key).value or Fraction(0))
        return self._oscillators[key]

    def varying(self, key: str) -> Fact[Fraction]:
        """How far a device's rate wanders through the day, in ppm, as stated or by its class."""
        if key not in self._varying:
            device = self.run.setup.devices[key]
            share = varying_of(device.cls.value) if device.clock.accuracy.assumed else Fraction(0)
            self._varying[key] = device.clock.varying.else_assume(share, VARYING_WHY)
        return self._varying[key]

    def pace_of(self, key: str) -> str:
        """The device whose oscillator paces the counter of another while nothing is lost or switched off."""
        root = self.clock.root_of(key)
        return root.device if root.generates else key

    def _hand(self, hand: Handed) -> ErrorSum:
        """The error of one jam; a follower that is let go goes on without one."""
        if hand.let_go:
            return _NOTHING
        name = ("jam", hand.target, hand.source, str(hand.at))
        return once(self.jam_unknown(name, hand.target, hand.source))

    def jam_unknown(self, name: tuple[str, ...], target: str, source: str) -> Unknown:
        """How far off a jam may leave a device: within its stated error, or up to a frame where it takes a number."""
        side = self.run.setup.devices[target].timecode
        # By whichever lead it comes, what its input takes is of that kind.
        carries = self._carries.get((source, target), self._carries.get(("", target)))
        rate = side.rate.value or self.run.setup.project.rate.value
        stated = side.jam_error.value
        if stated is not None and stated.seconds is not None:
            return within(name, stated.seconds)
        if rate is None:
            return within(name, _LTC_JAM)
        if stated is not None:
            return within(name, stated.in_seconds(rate.counted.rate))
        if carries in _WHOLE_FRAME:
            return Unknown(name, Fraction(0), rate.counted.rate.frame)
        return within(name, _LTC_JAM)

    @cached_property
    def _resyncs(self) -> dict[tuple[str, str], Fraction]:
        """How often a radio sets the time, from each device to each that it is set by."""
        every: dict[Place, Fraction] = {}
        for group in self.run.setup.radio_groups:
            if group.resync_every.value is not None and group.resync_sets.value != "clock":
                every[group.place] = group.resync_every.value
        found: dict[tuple[str, str], Fraction] = {}
        for key, feeds in self.run.feeds.items() if every else ():
            for feed in feeds:
                hops = [every[link.place] for link in feed.links if link.by == "radio" and link.place in every]
                if hops:
                    found.setdefault((feed.source, key), max(hops))
        return found

    @cached_property
    def _carries(self) -> dict[tuple[str, str], str]:
        """What timecode comes as, from each device to each that hears it; from `` what it hears first."""
        found: dict[tuple[str, str], str] = {}
        for key, feeds in self.run.feeds.items():
            for feed in feeds:
                found.setdefault((feed.source, key), feed.last.carries.value or "")
                found.setdefault(("", key), feed.last.carries.value or "")
        return found


def _gained(rates: Iterable[Oscillator | Unknown], start: Fraction, end: Fraction) -> Iterator[ErrorSum]:
    """What comes of some rates over a stretch."""
    share = (end - start) / MILLION
    for rate in rates:
        yield paced_by(rate, start, end) if isinstance(rate, Oscillator) else ErrorSum(terms={rate: share})
