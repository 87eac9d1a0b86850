"""How long something holds in a day: until it is set anew, or until the wrap."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction

from synclint.day.clocktime import DayClock, day_clocks
from synclint.rules.framework import Case
from synclint.rules.moments import clock_of


@dataclass(frozen=True, slots=True)
class Window:
    """A day of the shoot, from its call to its wrap, as instants; without a wrap, to the last that is told of it."""

    call: Fraction
    wrap: Fraction
    wrap_stated: bool


def windows(case: Case) -> tuple[Window, ...]:
    """The days as written, each with its call and its wrap."""
    return case.once(_windows)


def _windows(case: Case) -> tuple[Window, ...]:
    """The windows of all days; a day that nobody ends lasts until its last event is over."""
    return tuple(_window(case, index, clock) for index, clock in enumerate(day_clocks(case.setup)))


def _window(case: Case, index: int, clock: DayClock) -> Window:
    if clock.day.wrap.value is not None:
        return Window(clock.call, clock.instant(clock.day.wrap.value), wrap_stated=True)
    ends = [step.until or step.at for step in case.run.steps if step.day == index]
    return Window(clock.call, max([clock.call, *ends]), wrap_stated=False)


def window_at(case: Case, instant: Fraction) -> Window | None:
    """The day that an instant is on: the last whose call is past, the first where none is."""
    days = windows(case)
    begun = [day for day in days if day.call <= instant]
    return max(begun, key=lambda day: day.call) if begun else next(iter(days), None)


def rest_of_day(case: Case, instant: Fraction) -> Fraction:
    """The instant at which the day of an instant ends; itself where nobody tells of anything later."""
    day = window_at(case, instant)
    return max(instant, day.wrap) if day else instant


def end_told(case: Case, instant: Fraction) -> str:
    """The end of a day in words: `the wrap (19:00)`, or `the end of the day`."""
    day = window_at(case, instant)
    return f"the wrap ({clock_of(case, day.wrap)})" if day and day.wrap_stated else "the end of the day"


def shooting_parts(case: Case, start: Fraction, end: Fraction) -> Iterator[tuple[Fraction, Fraction]]:
    """The stretches of a span that lie within a day's call and wrap."""
    for day in windows(case):
        first, last = max(start, day.call), min(end, day.wrap)
        if first < last:
            yield first, last


def set_anew(case: Case, key: str, instant: Fraction) -> tuple[Fraction, str]:
    """When a device is next jammed or set by hand after an instant, or its day ends; with the words for it."""
    jams = ((jam.at, "the jam") for jam in case.run.jams if jam.target == key)
    by_hand = (step for step in case.run.steps if step.what == "set clock" and key in step.keys)
    sets = ((step.at, "the setting by hand") for step in by_hand)
    end = rest_of_day(case, instant)
    # Of both at one instant the jam, which comes after the setting.
    following = min((each for each in (*jams, *sets) if instant < each[0] <= end), default=None)
    if following is None:
        return end, end_told(case, instant)
    at, what = following
    return at, f"{what} at {clock_of(case, at)}"
