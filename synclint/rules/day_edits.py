"""What is written into the days so that a fault is mended: a jam, a comparison, an event at another time."""

from __future__ import annotations

from collections.abc import Collection, Iterable
from fractions import Fraction
from math import ceil

from synclint.day.clocktime import DayClock, day_clocks
from synclint.findings import AddItem, AddKey, Edit, Place, SetValue
from synclint.rig.model import Event
from synclint.rules.framework import Case
from synclint.trade.times import say_clock

_MINUTE = 60
_LATEST = 10 * 86_400
"""Seconds after a day's midnight that can no more be written as a time of that day (`01:20 +1`)."""


def jam_added(
    case: Case, keys: Iterable[str], source: str, after: Fraction, before: Fraction | None = None
) -> tuple[Edit, ...]:
    """A jam of some devices at the first full minute from an instant on, and not after another one.

    There is none where the days tell of no jam and one at each call is taken for granted, if only for those that the
    log leaves out: with the first that is told, nothing is any more. Nor is there one at the very minute at which one
    of these devices jams others: nobody could see which of the two comes first.
    """
    jammed = tuple(keys)
    granted = case.run.jams_taken_for_granted or any(jam.event is None for jam in case.run.jams)
    if granted or source not in case.setup.devices:
        return ()
    taken = {jam.at for jam in case.run.jams if jam.source in jammed}
    return _added(case, f"do: jam, of: [{', '.join(jammed)}], from: {source}", after, before, taken)


def clip_compared(
    case: Case, keys: Iterable[str], against: str, after: Fraction, before: Fraction | None = None
) -> tuple[Edit, ...]:
    """A comparison of some devices by a recorded clip, at the first full minute from an instant on."""
    if against not in case.setup.devices:
        return ()
    words = f"do: compare, of: [{', '.join(keys)}], against: {against}, read_by: recorded clip"
    return _added(case, words, after, before)


def _added(
    case: Case, words: str, after: Fraction, before: Fraction | None, taken: Collection[Fraction] = ()
) -> tuple[Edit, ...]:
    """An event, added to the day that an instant is on; none where it would be at an instant that is taken."""
    clock = _day_of(case, after)
    at = _time_of_day(clock, after, before) if clock is not None else None
    if clock is None or at is None or clock.instant(at) in taken:
        return ()
    return (AddItem(clock.day.place, f"{{at: {say_clock(at)}, {words}}}", "events"),)


def _day_of(case: Case, at: Fraction) -> DayClock | None:
    """The last day whose call is past at an instant, the first in the file where none is."""
    clocks = day_clocks(case.setup)
    begun = [clock for clock in clocks if clock.call <= at]
    return max(begun, key=lambda clock: clock.call, default=next(iter(clocks), None))


def _time_of_day(clock: DayClock, at: Fraction, before: Fraction | None) -> Fraction | None:
    """An instant as a time of a day: a full minute, or a second where that would come too late."""
    for step in (_MINUTE, 1):
        shown = Fraction(ceil(clock.shows(at) / step) * step)
        if 0 <= shown < _LATEST and (before is None or clock.instant(shown) <= before):
            return shown
    return None


def moved_to(case: Case, event: Event, at: Fraction) -> tuple[Edit, ...]:
    """An event at another time of its day."""
    clock = next((clock for clock in day_clocks(case.setup) if event in clock.day.events), None)
    shown = _time_of_day(clock, at, None) if clock is not None else None
    return (SetValue(event.at.place, say_clock(shown)),) if shown is not None and event.at.stated else ()


def said_under(event: Event, key: str, value: str) -> tuple[Edit, ...]:
    """An event with another value under a key, or with the key."""
    node = event.under(key)
    if node is None:
        return (AddKey(event.place, key, value),)
    return (SetValue(Place((*event.place.path, key), node.span), value),)
