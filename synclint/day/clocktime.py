"""The clock on the wall: each day's clock times as instants, and instants as that day's clock shows them."""

from __future__ import annotations

import threading
from bisect import bisect_right
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from fractions import Fraction
from math import ceil, floor

from synclint.rig.model import Day, Setup
from synclint.trade.calendar import ZoneError, clock_at, instant, morrow
from synclint.trade.times import say_clock

_QUARTER = 900
"""Seconds."""

_NO_DATE = date(1970, 1, 1)
"""The date of a first day that has none."""


@dataclass(frozen=True, slots=True)
class DayClock:
    """The clock of one day: where its midnight lies, and in which zone it runs."""

    day: Day
    date: date
    zone: str | None
    """None where nobody says, or nobody knows the zone that is said: the clock is then taken to stand at UTC."""

    def instant(self, seconds: Fraction) -> Fraction:
        """Seconds since 1970-01-01T00:00Z of a time that the clock shows, in seconds after the day's midnight."""
        try:
            return instant(self.date, seconds, self.zone)
        except ZoneError:
            return instant(self.date, seconds, None)

    def shows(self, at: Fraction) -> Fraction:
        """What the clock shows at an instant, in seconds after the day's midnight."""
        try:
            return clock_at(at, self.date, self.zone)
        except ZoneError:
            return clock_at(at, self.date, None)

    @property
    def call(self) -> Fraction:
        """The instant of the day's call; its midnight where nobody says."""
        return self.instant(self.day.call.value or Fraction(0))


class _Calendar:
    """The clocks of all days of a setup, and which of them an instant belongs to."""

    def __init__(self, setup: Setup) -> None:
        found: list[DayClock] = []
        for day in setup.days:
            on = day.date.value or (morrow(found[-1].date) if found else _NO_DATE)
            found.append(DayClock(day, on, day.zone.value or setup.project.zone.value))
        self.setup = setup
        self.clocks = tuple(found)
        self.by_call = sorted(((clock.call, clock) for clock in found), key=lambda item: item[0])

    def of(self, at: Fraction) -> DayClock | None:
        """The clock of the last day whose call is past, of the first in the file where none is."""
        index = bisect_right(self.by_call, at, key=lambda item: item[0])
        return self.by_call[index - 1][1] if index else next(iter(self.clocks), None)


class _Latest(threading.local):
    """The calendar of the setup that was asked for last: a check asks for the same one thousands of times.

    Each thread has its own, as two may check two setups at once; and nobody gets that of a setup but with the setup.
    """

    calendar: _Calendar | None = None


_latest = _Latest()


def _calendar(setup: Setup) -> _Calendar:
    calendar = _latest.calendar
    if calendar is None or calendar.setup is not setup:
        calendar = _latest.calendar = _Calendar(setup)
    return calendar


def day_clocks(setup: Setup) -> tuple[DayClock, ...]:
    """The clock of each day; one without a date is the morrow of the day before it in the file."""
    return _calendar(setup).clocks


def clock_of(setup: Setup, at: Fraction) -> str:
    """An instant of the days as a clock time: `12:10`, with its date where there are several days."""
    return _said(_calendar(setup).of(at), at, several=len(setup.days) > 1)


def moved_between(setup: Setup, start: Fraction, end: Fraction) -> tuple[Fraction, Fraction] | None:
    """By how many seconds the clocks on the wall are moved between two instants, and what they show when they are.

    Forward counts positive; None where they are not moved. Clocks are moved on whole quarters of an hour.
    """
    clock = _calendar(setup).of(start)
    if clock is None or clock.shows(end) - clock.shows(start) == end - start:
        return None
    ahead = clock.shows(start) - start
    low, high = floor(start / _QUARTER), ceil(end / _QUARTER)
    while high - low > 1:
        middle = (low + high) // 2
        low, high = (
            (middle, high) if clock.shows(Fraction(middle * _QUARTER)) - middle * _QUARTER == ahead else (low, middle)
        )
    at = Fraction(high * _QUARTER)
    return clock.shows(at) - at - ahead, at + ahead


def said_by(clocks: Sequence[DayClock], at: Fraction) -> str:
    """An instant as the clock of its day shows it: the last whose call is past, the first where none is."""
    begun = (clock for clock in clocks if clock.call <= at)
    clock = max(begun, key=lambda each: each.call, default=next(iter(clocks), None))
    return _said(clock, at, several=len(clocks) > 1)


def _said(clock: DayClock | None, at: Fraction, *, several: bool) -> str:
    if clock is None:
        return say_clock(at)
    said = say_clock(clock.shows(at))
    return f"{clock.day.date.value} {said}" if several and clock.day.date.value is not None else said
