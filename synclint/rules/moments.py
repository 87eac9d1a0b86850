"""Moments of the days as rules speak of them: clock times, takes, and who is in one together."""

from __future__ import annotations

from collections.abc import Iterable
from fractions import Fraction

from synclint.day import clocktime
from synclint.day.forecast import TakeOffset
from synclint.day.moments import Roll
from synclint.findings import listed
from synclint.rules.framework import Case
from synclint.rules.wording import ppm_sum
from synclint.trade.clocks import MILLION
from synclint.trade.quantities import say_clock, say_duration, say_number, say_ppm


def clock_of(case: Case, instant: Fraction) -> str:
    """An instant of the days as a clock time: `12:10`, with its date where there are several days."""
    return clocktime.clock_of(case.setup, instant)


def clocks_moved(case: Case, start: Fraction, end: Fraction) -> str:
    """That the clocks on the wall are moved between two instants: `the clocks go back by 1 h at 02:00`; else empty."""
    moved = clocktime.moved_between(case.setup, start, end)
    if moved is None:
        return ""
    by, at = moved
    return f"the clocks go {'back' if by < 0 else 'forward'} by {say_duration(abs(by))} at {say_clock(at)}"


def length_told(case: Case, start: Fraction, end: Fraction) -> str:
    """How long it is from one instant to another, in real time, with what the clocks on the wall hide of it."""
    moved = clocks_moved(case, start, end)
    return f"{say_duration(end - start)}{f' ({moved})' if moved else ''}"


def rolls_told(case: Case, rolls: Iterable[Roll], what: str = "roll") -> str:
    """Takes by their times: `the roll at 11:30`, `the rolls at 11:30 and 15:05`."""
    times = list(dict.fromkeys(clock_of(case, roll.start) for roll in sorted(rolls, key=lambda roll: roll.start)))
    return f"the {what}{'' if len(times) == 1 else 's'} at {listed(times)}"


def minutes_of(rolls: Iterable[Roll]) -> Fraction:
    """How many minutes some takes last together."""
    return sum((roll.length for roll in rolls), Fraction(0)) / 60


def in_frames(case: Case, seconds: Fraction) -> str:
    """A time with its length in frames of the project: `360 ms (9 frames at 25)`."""
    rate = case.setup.project.rate.value
    if rate is None:
        return say_duration(seconds)
    frames = seconds * rate.rate.fps
    said = say_number(frames, 2)
    if said.isdigit() and frames != int(said):
        said = say_number(frames, 3)  # 1.04 frames are more than the one that is tolerated
    return f"{say_duration(seconds)} ({said} {'frame' if said == '1' else 'frames'} at {rate.rate.name})"


def clocks_told(case: Case, take: TakeOffset) -> str:
    """By how much the clocks that pace two recordings may differ: `40 ppm between their clocks`, and what wanders."""
    if take.slip is None or take.end == take.start:
        return ""
    ppm = take.slip.worst * MILLION / (take.end - take.start)
    paces = {case.phases.paces.at(key, take.start) for key in (take.first, take.second)}
    known = [case.setup.devices[key] for key in paces if key in case.setup.devices]
    accuracy = ppm_sum(*(device.clock.accuracy for device in known))
    wander = ppm_sum(*(case.phases.varying(device.key) for device in known))
    split = f": {say_ppm(accuracy)} of accuracy, {say_ppm(wander)} that wander" if accuracy and wander else ""
    return f"{say_ppm(ppm)} between their clocks{split if ppm == (accuracy or 0) + (wander or 0) else ''}"
