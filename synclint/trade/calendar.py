"""The calendar: a day's clock time as an instant that days, zones and midnights cannot confuse."""

from __future__ import annotations

from datetime import UTC, date, datetime, timedelta
from fractions import Fraction
from functools import cache
from math import floor
from zoneinfo import ZoneInfo, available_timezones

_DAY = 86_400


class ZoneError(ValueError):
    """A time zone that the tz database does not have."""


@cache
def zone_named(name: str) -> ZoneInfo:
    """The rules of a zone of the IANA tz database, such as `Europe/Lisbon`; raises ZoneError."""
    try:
        return ZoneInfo(name)
    except (KeyError, ValueError, OSError):
        raise ZoneError(f"{name[:60]} is no zone of the tz database") from None


@cache
def zone_names() -> tuple[str, ...]:
    """All zones of the tz database, in order; it takes long to ask for them, so ask only where one is wrong."""
    return tuple(sorted(available_timezones()))


def morrow(day: date) -> date:
    """The day after a day; the last of the calendar has none and stays."""
    return day if day == date.max else day + timedelta(days=1)


def instant(day: date, seconds: Fraction, zone: str | None) -> Fraction:
    """Seconds of real time since 1970-01-01T00:00Z of a clock time, given in seconds after a day's midnight.

    Without a zone the clock is taken to stand at UTC, which is right for differences. Of a clock time that occurs
    twice the first is meant; one that the clocks skip is counted on from before the step (as in PEP 495). Raises
    ZoneError.
    """
    if zone is None:
        return _midnight(day) + seconds
    whole = floor(seconds)
    try:
        local = datetime(day.year, day.month, day.day) + timedelta(seconds=whole)
    except OverflowError:
        raise ZoneError(f"{day} and {whole} s after it is past the end of the calendar") from None
    since = local.replace(tzinfo=zone_named(zone)) - datetime(1970, 1, 1, tzinfo=UTC)
    return since.days * _DAY + since.seconds + (seconds - whole)


def clock_at(at: Fraction, day: date, zone: str | None) -> Fraction:
    """Give the clock time of an instant in seconds after a day's midnight, more than 86,400 of them on the next day.

    It is what `instant` was given; without a zone the clock stands at UTC. Raises ZoneError.
    """
    if zone is None:
        return at - _midnight(day)
    whole = floor(at)
    try:
        there = datetime(1970, 1, 1, tzinfo=UTC) + timedelta(seconds=whole)
        local = there.astimezone(zone_named(zone)).replace(tzinfo=None)
    except OverflowError:
        raise ZoneError(f"{whole} s after 1970 is past the end of the calendar") from None
    since = local - datetime(day.year, day.month, day.day)
    return since.days * _DAY + since.seconds + (at - whole)


def _midnight(day: date) -> int:
    """Seconds from 1970-01-01T00:00Z to the midnight at which a day begins at UTC."""
    return (day.toordinal() - date(1970, 1, 1).toordinal()) * _DAY
