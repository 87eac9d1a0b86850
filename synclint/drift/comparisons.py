"""What the comparisons of a log show, for people and for the picture."""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction

from synclint.day.clocktime import clock_of
from synclint.day.measured import Measured, Measurements, Reading, Relative
from synclint.drift.bounds import Bounds
from synclint.drift.values import MeasuredRate, Point
from synclint.trade.quantities import say_duration


def points(bounds: Bounds, measured: Measurements) -> tuple[Point, ...]:
    """The readings of clocks against their masters, in the order of time."""
    found = [point for each in measured.fits for point in _points(bounds, each)]
    return tuple(sorted(found, key=lambda point: (point.at, point.devices)))


def _points(bounds: Bounds, fitted: Measured) -> Iterator[Point]:
    if fitted.against == bounds.master_of(fitted.device):
        device, sign = fitted.device, 1
    elif fitted.device == bounds.master_of(fitted.against):
        device, sign = fitted.against, -1
    else:
        return  # of two followers, and the picture shows each against the master
    for reading in fitted.readings:
        offset = sign * reading.offset
        clock = clock_of(bounds.forecast.setup, reading.at)
        says = f"{bounds.called(device)} {_signed(offset)} ± {say_duration(reading.within)} at {clock}"
        says += ", off the line" if reading is fitted.off else ""
        yield Point(reading.at, (bounds.called(device),), offset, reading.within, says)


def _signed(offset: Fraction) -> str:
    return f"{'+' if offset > 0 else ''}{say_duration(offset)}"


def rates(bounds: Bounds, measured: Measurements) -> tuple[MeasuredRate, ...]:
    """The measured rates beside what is stated."""
    return tuple(_rate(bounds, each) for each in measured.relatives.values())


def _rate(bounds: Bounds, relative: Relative) -> MeasuredRate:
    stated = relative.stated
    low, high = relative.line.interval
    return MeasuredRate(
        device=bounds.called(relative.device),
        against=bounds.called(relative.against),
        rate=relative.line.rate,
        low=low,
        high=high,
        stated=None if stated is None else (stated.low - stated.wander, stated.high + stated.wander),
        outside=relative.outside,
        readings=sum(len(each.readings) for each in relative.fits),
        off=tuple(_off(bounds, each, each.off) for each in relative.fits if each.off is not None),
        inside=relative.inside,
    )


def _off(bounds: Bounds, fitted: Measured, reading: Reading) -> str:
    """What lies off the line, and what that says."""
    clock = clock_of(bounds.forecast.setup, reading.at)
    by = "" if fitted.shift is None else f" by {say_duration(abs(fitted.shift))}"
    causes = {True: "misread", False: "restarted or set anew", None: "misread, restarted or set anew"}
    cause = causes[fitted.broken.alone if fitted.broken is not None else None]
    return f"{clock} is off the line{by}: {cause}"


def unused(bounds: Bounds, measured: Measurements) -> tuple[str, ...]:
    """The comparisons that say nothing of a rate, and why."""
    found = []
    for each in measured.unused:
        other = each.entry.against.value
        beside = f" with {bounds.called(other)}" if other and other in bounds.forecast.setup.devices else ""
        what = f"the comparison of {bounds.called(each.device)}{beside} at {each.entry.event.at.text}"
        found.append(f"{what} says nothing of a rate: {each.why}")
    return tuple(found)
