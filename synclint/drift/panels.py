"""The lines and marks of the picture, a panel a day."""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction
from math import floor

from synclint.day.clocktime import DayClock, clock_of, day_clocks
from synclint.day.schedule import Step
from synclint.drift.bounds import Bounds
from synclint.drift.values import Curve, Hour, Mark, Panel, Point

_HOUR = 3600


def panels(bounds: Bounds, points: tuple[Point, ...]) -> Iterator[Panel]:
    """A panel for each day of which the hours are known."""
    run = bounds.forecast.run
    clocks = day_clocks(run.setup)
    for index, clock in enumerate(clocks):
        steps = [step for step in run.steps if step.day == index and step.event is not None]
        start, end = _span(clock, steps, run.end if len(clocks) == 1 else None)
        if end <= start:
            continue
        yield Panel(
            title=str(clock.date) if clock.day.date.value is not None else f"Day {index + 1}",
            zone=clock.zone or "",
            start=start,
            end=end,
            hours=tuple(_hours(clock, start, end)),
            curves=tuple(_curves(bounds, start, end)),
            jams=tuple(_jams(bounds, start, end)),
            breaks=tuple(_marks(steps, "break")),
            takes=tuple(_marks(steps, "roll")),
            points=tuple(point for point in points if start <= point.at <= end),
        )


def _span(clock: DayClock, steps: list[Step], end: Fraction | None) -> tuple[Fraction, Fraction]:
    """From when to when a day goes: call to wrap, and what is told before and after."""
    instants = [step.at for step in steps] + [step.until for step in steps if step.until is not None]
    # What is switched off to the next call has its end there, and that is another day.
    same_day = [at for at in instants if at <= clock.call + _LONGEST_DAY]
    wrap = clock.day.wrap.value
    last = [clock.instant(wrap)] if wrap is not None else [end] if end is not None else []
    return min([clock.call, *same_day]), max([clock.call, *last, *same_day])


def _hours(clock: DayClock, start: Fraction, end: Fraction) -> Iterator[Hour]:
    """Every full hour that the clock of a day shows between two instants."""
    hour = floor(clock.shows(start) / _HOUR)
    while (at := clock.instant(Fraction(hour * _HOUR))) <= end:
        if at >= start:
            yield Hour(at, hour % 24)
        hour += 1


def _curves(bounds: Bounds, start: Fraction, end: Fraction) -> Iterator[Curve]:
    """The devices' lines, those that are the same together; the master itself has none."""
    found: dict[object, tuple[list[str], Curve]] = {}
    for key in bounds.keys:
        master = bounds.master_of(key)
        if key == master:
            continue
        vertices, blanks = bounds.vertices(key, master, start, end), bounds.blanks(key, master, start, end)
        if any(vertex.seconds is not None for vertex in vertices) or any(blank.unknown for blank in blanks):
            alike = (vertices, tuple((blank.start, blank.end, blank.unknown) for blank in blanks))
            found.setdefault(alike, ([], Curve((), vertices, blanks)))[0].append(bounds.called(key))
    yield from (Curve(tuple(who), curve.vertices, curve.blanks) for who, curve in found.values())


def _jams(bounds: Bounds, start: Fraction, end: Fraction) -> Iterator[Mark]:
    """The jams, those of one moment together: who is jammed then."""
    at_once: dict[Fraction, list[str]] = {}
    for jam in bounds.forecast.run.jams:
        if start <= jam.at <= end:
            at_once.setdefault(jam.at, []).append(bounds.called(jam.target))
    setup = bounds.forecast.setup
    for at, who in sorted(at_once.items()):
        many = f"{len(who)} devices" if len(who) > 1 else who[0]
        yield Mark(at, at, f"jam {clock_of(setup, at).rpartition(' ')[2]}, {many}")


def _marks(steps: list[Step], what: str) -> Iterator[Mark]:
    for step in steps:
        if step.what == what and step.until is not None and step.event is not None:
            scene = "".join(step.event.words("scene"))
            yield Mark(step.at, step.until, f"scene {scene}" if scene else what)


_LONGEST_DAY = Fraction(24 * _HOUR)
"""From call on; what ends later belongs to another day."""
