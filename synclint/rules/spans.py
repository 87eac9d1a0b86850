"""What the rules about speed and stamps say alike: how long, how far apart, and when on the clock."""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction
from math import floor

from synclint.findings import Fact
from synclint.rig.model import Device, Setup
from synclint.rules.framework import Case
from synclint.rules.label_rates import HOUR
from synclint.trade.labels import label_speed
from synclint.trade.quantities import say_clock, say_duration, say_number
from synclint.trade.rates import Count, LabelRate

DAY = Fraction(86_400)
PULLS = (Fraction(1000, 1001), Fraction(1001, 1000))
"""Pull-down and pull-up."""

_SAME = Fraction(2, 1_000_000)
"""A header holds 47,952 for 47,952.048, 1 ppm beside it."""


def say_percent(share: Fraction) -> str:
    """A share as per cent: 0.1 %, 8.8 %, 4.17 %."""
    return f"{say_number(share * 100, 3, 2)} %"


_SPEEDS = {
    Fraction(4): "at four times the speed",
    Fraction(2): "at twice the speed",
    Fraction(1, 2): "at half the speed",
    Fraction(1, 4): "at a quarter of the speed",
}


def say_speed(speed: Fraction) -> str:
    """A speed against life: 8.84 % fast, at half the speed."""
    return _SPEEDS.get(speed) or f"{say_percent(abs(speed - 1))} {'fast' if speed > 1 else 'slow'}"


def nearly(first: Fraction, second: Fraction) -> bool:
    """Whether two rates are one as far as a header can tell."""
    return abs(first / second - 1) <= _SAME


def recorders(setup: Setup) -> Iterator[Device]:
    """The devices whose files count: not what only passes signals on, and not what only starts others."""
    for device in setup.devices.values():
        if not device.through and not device.trigger.value:
            yield device


def take_of(case: Case, *devices: Device) -> Fact[Fraction] | None:
    """The longest take that these devices record together: the day's, or what one of them stops at."""
    known = [fact for fact in (case.setup.longest_take, *(each.longest_take for each in devices)) if fact]
    stated = [fact for fact in known if fact.value is not None]
    return min(stated, key=lambda fact: fact.value or Fraction(0), default=None)


def same_labels(first: LabelRate, second: LabelRate) -> bool | None:
    """Whether two rates count one label the same way; None where DF or NDF was left unsaid and decides it."""
    one, two = first.counted, second.counted
    if one.rate != two.rate:
        return False
    if one.count_needed and (one.count is None or two.count is None):
        return None
    return _drops(one) == _drops(two)


def _drops(rate: LabelRate) -> bool:
    return rate.count is Count.DF and rate.count_allowed


def shift_at(label_seconds: Fraction, first: LabelRate, second: LabelRate) -> Fraction:
    """How far apart in real seconds two rates put a label: 50.4 s at 14:00:00 for 24 and 23.976.

    A label at a rate stands for a number of frames, and frames for real time since midnight.
    """
    return label_seconds * abs(1 / label_speed(first) - 1 / label_speed(second))


def clock_cost(case: Case, first: LabelRate, second: LabelRate) -> tuple[str, Fraction, Fraction]:
    """How far apart two rates put a file: in words for this day, a timecode hour, and at most.

    Where labels are the time of day the day's call and wrap say which labels there are.
    """
    hour = shift_at(HOUR, first, second)
    day = case.setup.longest_day
    if case.setup.project.timecode_as.value != "time of day" or day is None:
        at_two = shift_at(14 * HOUR, first, second)
        return f"{say_duration(hour)} for each hour on the timecode, {say_exact(at_two)} at 14:00:00", hour, at_two
    call, wrap = day.call.value or Fraction(0), day.wrap.value or DAY
    first_label, last_label = min(call, DAY), min(wrap, DAY)
    ends = "just before midnight" if wrap >= DAY else f"at wrap ({say_clock(last_label)})"
    last = shift_at(last_label, first, second)
    began = shift_at(first_label, first, second)
    words = f"{say_exact(began)} at call ({say_clock(first_label)}) and {say_exact(last)} {ends}"
    return f"{words}, {say_duration(hour)} for each hour on the timecode", hour, last


def say_exact(seconds: Fraction) -> str:
    """Seconds to a tenth up to two minutes, 50.4 s and 86.4 s, where whole ones would hide frames."""
    tenths = floor(seconds * 10 + Fraction(1, 2))
    if not 10 <= tenths < 1200:
        return say_duration(seconds)
    return f"{tenths // 10}.{tenths % 10} s".replace(".0 s", " s")
