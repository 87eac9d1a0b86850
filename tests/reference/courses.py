"""The course of all counters through a story, as equations between quantities; nothing of the program is used here.

Seconds and parts per million make microseconds; so all quantities are in microseconds, and rates in ppm. Every counter
is a quantity at each of many moments, bound to that of the moment before by the rate that its oscillator has between
the two; an oscillator's rate is a fixed unknown and one more for each piece between two moments.
"""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from collections.abc import Hashable, Iterator
from dataclasses import dataclass, field, replace
from fractions import Fraction
from itertools import pairwise
from typing import TypeVar

from tests.reference.stories import CALL, HOLD, Happening, Rig, Story

Sum = dict[Hashable, Fraction]
"""Quantities and unknowns with their factors; what is known stands under `1`."""

LTC_JAM = Fraction(100)
MICRO = 1_000_000

T = TypeVar("T")


@dataclass(frozen=True)
class Counter:
    """A counter from one setting to the next."""

    name: tuple[int, int]
    """The device, and how often it was set before."""
    line: Hashable
    since: Fraction
    start: Sum = field(compare=False)
    goes: tuple[tuple[Hashable, ...], int]
    """Unknown differences of rate that come on top, and whose oscillator it goes by in the end."""


@dataclass(frozen=True)
class Course:
    """The story from one happening to the next."""

    at: Fraction
    present: tuple[bool, ...]
    off: tuple[bool, ...]
    lost: tuple[bool, ...]
    counters: tuple[Counter, ...]

    def works(self, number: int) -> bool:
        """Whether a device is there and switched on."""
        return self.present[number] and not self.off[number]


class Courses:
    """All that the story comes to: bounds of the unknowns, and equations of what hangs on them."""

    def __init__(self, told: Story) -> None:
        """Run the story through."""
        self.told = told
        self.rigs = told.rigs
        self.bounds: dict[Hashable, tuple[Fraction, Fraction]] = {}
        self.equations: dict[Hashable, Sum] = {}
        self.courses = [self._dawn()]
        self.off_since: dict[int, int] = {}
        self.moments = sorted(self._moments())
        for each in told.happenings:
            self._happen(each)

    def _moments(self) -> set[Fraction]:
        """All moments at which any counter is read: what happens and is asked, and as much earlier as a radio lags."""
        read = {Fraction(CALL), *self.told.asked, *(Fraction(each.at) for each in self.told.happenings)}
        lags: list[set[Fraction]] = []
        for rig in self.rigs:
            before = lags[rig.source] if rig.follows and lags else {Fraction(0)}
            lags.append(before | {lag + (rig.every or 0) for lag in before})
        return {at - lag for at in read for lag in set().union(*lags) if at - lag >= CALL}

    # --- the story ---

    def _dawn(self) -> Course:
        late = {number for each in self.told.happenings if each.what == "arrive" for number in each.of}
        counters = tuple(
            Counter((number, 0), ("dawn", number), Fraction(CALL), {}, ((), number)) for number in range(len(self.rigs))
        )
        nobody = tuple(False for _ in self.rigs)
        return Course(
            Fraction(CALL), tuple(number not in late for number in range(len(self.rigs))), nobody, nobody, counters
        )

    def _happen(self, each: Happening) -> None:
        before = self.courses[-1]
        after = replace(before, at=Fraction(each.at))
        if each.what in ("off", "on"):
            after = replace(after, off=_put(before.off, each.of[0], each.what == "off"))
        if each.what in ("lost", "back"):
            after = replace(after, lost=_put(before.lost, each.of[0], each.what == "lost"))
        if each.what == "arrive":
            after = replace(after, present=_put(before.present, each.of[0], value=True))
        after = self._let_go(before, after)
        if each.what == "off":
            self.off_since[each.of[0]] = each.at
        if each.what == "on":
            after = self._woken(after, each.of[0])
        self.courses.append(after)
        if each.what in ("jam", "all"):
            self._jam(each)

    def _let_go(self, before: Course, after: Course) -> Course:
        """Whoever followed and no longer does goes on from what it showed, by its own clock."""
        counters = list(after.counters)
        for number in range(len(self.rigs)):
            if len(self.chain(before, number)) > 1 and len(self.chain(after, number)) < 2:
                shown = self._shown(before, number, after.at)
                line = before.counters[self.chain(before, number)[-1]].line
                counters[number] = self._set(before.counters[number], line, after.at, shown, ((), number))
        return replace(after, counters=tuple(counters))

    def _woken(self, course: Course, number: int) -> Course:
        """Who comes back after too long, or holds nothing, begins anew."""
        if self.rigs[number].holds and course.at - self.off_since[number] <= HOLD:
            return course
        old = course.counters[number]
        anew = self._set(old, ("anew", number, course.at), course.at, {}, ((), number))
        return replace(course, counters=_put(course.counters, number, anew))

    def _jam(self, each: Happening) -> None:
        if each.what == "jam":
            targets = [(number, each.source or 0) for number in each.of]
        else:
            targets = [(number, rig.source) for number, rig in enumerate(self.rigs) if rig.kind in ("box", "frame")]
        for target, source in targets:  # sources come before those that hear them
            course = self.courses[-1]
            if not course.works(target) or not course.works(source):
                continue
            writer = course.counters[self.chain(course, source)[-1]]
            error = ("jam", target, course.at)
            self.bounds[error] = self._jam_bounds(self.rigs[target])
            start = _plus(self._shown(course, source, course.at), {error: Fraction(1)})
            goes: tuple[tuple[Hashable, ...], int] = ((), target)
            if self.rigs[target].tunes_to is not None and self.pace(course, target) == target:
                tuned = ("tuned", target, course.at)
                bound = self.rigs[target].tunes_to or Fraction(0)
                self.bounds[tuned] = (-bound, bound)
                goes = ((*writer.goes[0], tuned), writer.goes[1])
            counter = self._set(course.counters[target], writer.line, course.at, start, goes)
            self.courses.append(replace(course, counters=_put(course.counters, target, counter)))

    def _jam_bounds(self, rig: Rig) -> tuple[Fraction, Fraction]:
        if rig.jam_error is None and rig.kind == "frame":
            return Fraction(0), self.told.frame * MICRO
        error = LTC_JAM if rig.jam_error is None else rig.jam_error * MICRO
        return -error, error

    @staticmethod
    def _set(old: Counter, line: Hashable, at: Fraction, start: Sum, goes: tuple[tuple[Hashable, ...], int]) -> Counter:
        return Counter((old.name[0], old.name[1] + 1), line, at, start, goes)

    # --- who hears whom ---

    def chain(self, course: Course, number: int) -> tuple[int, ...]:
        """A device, what it follows, what that follows, and so on to the one that goes by itself."""
        found = [number]
        while True:
            rig = self.rigs[found[-1]]
            works = course.works(found[-1]) and course.works(rig.source)
            if not rig.follows or course.lost[found[-1]] or not works:
                return tuple(found)
            found.append(rig.source)

    def pace(self, course: Course, number: int) -> int:
        """Whose oscillator a device goes by."""
        while course.works(number):
            rig = self.rigs[number]
            source = rig.paced if rig.paced is not None else rig.source if rig.kind == "steered" else None
            lost = rig.kind == "steered" and course.lost[number]
            if source is None or lost or not course.works(source):
                break
            number = source
        return number

    def course(self, at: Fraction) -> Course:
        """The story as it is from a moment on."""
        return self.courses[bisect_right(self.courses, at, key=lambda course: course.at) - 1]

    # --- what is shown ---

    def shown(self, number: int, at: Fraction) -> tuple[Hashable, Sum] | None:
        """What a device shows at a moment, and the line of time that it is on; None while it is off or away."""
        course = self.course(at)
        if not course.works(number):
            return None
        chain = self.chain(course, number)
        ahead: Sum = {1: self.rigs[number].ahead * MICRO}
        return course.counters[chain[-1]].line, _plus(self._shown(course, number, at), ahead)

    def _shown(self, course: Course, number: int, at: Fraction) -> Sum:
        """What a device shows by the counter that it goes by or lives on; a radio brings it late, and not just so."""
        chain = self.chain(course, number)
        counter = course.counters[chain[-1]]
        total: Sum = {}
        for receiver, source in pairwise(chain):
            rig = self.rigs[receiver]
            if rig.kind != "air" or rig.every is None:
                continue
            heard = max(at - rig.every, counter.since)
            error = ("resync", receiver, source, at)
            self.bounds[error] = self._jam_bounds(rig)
            total = _plus(total, {error: Fraction(1)}, self._gathered(((), receiver), heard, at))
            at = heard
        return _plus(total, {self._counted(counter, at): Fraction(1)})

    def _counted(self, counter: Counter, at: Fraction) -> Hashable:
        """The quantity that a counter is at a moment."""
        name = ("counter", counter.name, at)
        if name not in self.equations:
            if at == counter.since:
                self.equations[name] = counter.start
            else:
                before = self.moments[bisect_left(self.moments, at) - 1]
                gathered = self._gathered(counter.goes, before, at)
                self.equations[name] = _plus({self._counted(counter, before): Fraction(1)}, gathered)
        return name

    def _gathered(self, goes: tuple[tuple[Hashable, ...], int], start: Fraction, end: Fraction) -> Sum:
        """What a counter gathers between two moments."""
        tuned, number = goes
        total: Sum = dict.fromkeys(tuned, end - start)
        inside = self.moments[bisect_right(self.moments, start) : bisect_left(self.moments, end)]
        for since, until in pairwise([start, *inside, end]):
            pace = self.pace(self.course(since), number)
            total = _plus(total, {("fixed", pace): until - since, ("wander", pace, since): until - since})
            rig = self.rigs[pace]
            rate, within = rig.measured or (Fraction(0), rig.accuracy)
            self.bounds["fixed", pace] = (rate - within, rate + within)
            self.bounds["wander", pace, since] = (-rig.varying, rig.varying)
        return total

    def needed(self, wanted: Sum) -> Iterator[Hashable]:
        """All quantities and unknowns that a sum hangs on, those that others hang on first."""
        seen: set[Hashable] = set()
        pending: list[tuple[Hashable, bool]] = [(name, False) for name in wanted if name != 1]
        while pending:
            name, done = pending.pop()
            if done:
                yield name
            elif name not in seen:
                seen.add(name)
                pending.append((name, True))
                pending += [(each, False) for each in self.equations.get(name, {}) if each != 1]


def _put(values: tuple[T, ...], index: int, value: T) -> tuple[T, ...]:
    return (*values[:index], value, *values[index + 1 :])


def _plus(*sums: Sum) -> Sum:
    total: Sum = {}
    for each in sums:
        for name, factor in each.items():
            total[name] = total.get(name, Fraction(0)) + factor
    return total
