"""What of the days cannot have happened as written, seen once they have been run through."""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import fields
from fractions import Fraction

from synclint.day.clocktime import clock_of
from synclint.day.moments import Clash, Contradiction, Roll, State
from synclint.day.schedule import Step
from synclint.findings import WHO, Fact, either
from synclint.rig.model import Event, Setup

_SETS = frozenset({"set", "set clock", "jam"})


def clashes(
    setup: Setup, steps: Iterable[Step], rolls: Iterable[Roll], histories: Mapping[str, Sequence[State]]
) -> Iterator[Contradiction]:
    """What two events say differently of one moment, takes that lie over each other, and what comes after the wrap."""
    steps, rolls = list(steps), list(rolls)
    yield from _said_twice(steps)
    yield from _overlapping(setup, rolls)
    yield from _cut_short(setup, rolls, histories)
    yield from _late(setup, steps)


def _said_twice(steps: Iterable[Step]) -> Iterator[Contradiction]:
    """Two events of one instant that set one device differently."""
    at_once: dict[tuple[Fraction, str, str], list[Event]] = {}
    for step in steps:
        if step.event is not None and step.what in _SETS and not step.event.of_all:
            for key in step.keys:
                at_once.setdefault((step.at, step.what, key), []).append(step.event)
    for (instant, what, key), events in at_once.items():
        first, *others = events
        for other in others:
            differs = _differs(what, first, other)
            if differs:
                says = f"{WHO} {either('is', 'are')} {'jammed' if what == 'jam' else 'set'} twice at {other.at.text}, "
                yield Contradiction(Clash.TWICE, other.place, says + differs, instant, other, key, None, first.place)


def _differs(what: str, first: Event, second: Event) -> str:
    """What two events of one kind say differently, in words; nothing where they agree."""
    if what != "set":
        one, other = ("".join(event.words("from")) or "what reaches it" for event in (first, second))
        return f"from {one} and from {other}" if one != other else ""
    if first.patch is None or second.patch is None:
        return ""
    for side in ("timecode", "clock", "picture", "sound"):
        one, other = getattr(first.patch, side), getattr(second.patch, side)
        for each in fields(one) if one is not None and other is not None else ():
            here, there = getattr(one, each.name), getattr(other, each.name)
            if isinstance(here, Fact) and here.written and there.written and here.value != there.value:
                return f"to {here.text} and to {there.text}"
    return ""


def _overlapping(setup: Setup, rolls: Sequence[Roll]) -> Iterator[Contradiction]:
    """Takes of one device that begin before the one before has ended."""
    latest: dict[str, Roll] = {}
    for roll in sorted(rolls, key=lambda each: each.start):
        for key in roll.devices:
            before = latest.get(key)
            if before is None or before.end <= roll.start:
                latest[key] = roll
                continue
            over = min(before.end, roll.end) - roll.start
            says = (
                f"{WHO} {either('rolls', 'roll')} at {clock_of(setup, roll.start)} while still in the take of "
                f"{clock_of(setup, before.start)}, which ends at {clock_of(setup, before.end)}"
            )
            yield Contradiction(
                Clash.OVERLAP, roll.event.place, says, roll.start, roll.event, key, over, before.event.place
            )
            latest[key] = max(before, roll, key=lambda each: each.end)


def _cut_short(
    setup: Setup, rolls: Iterable[Roll], histories: Mapping[str, Sequence[State]]
) -> Iterator[Contradiction]:
    """Takes in which a device is switched off or leaves."""
    for roll in rolls:
        for key in roll.devices:
            states = histories[key]
            first = bisect_right(states, roll.start, key=lambda state: state.since)
            last = bisect_left(states, roll.end, first, key=lambda state: state.since)
            gone = next((state for state in states[first:last] if not state.working), None)
            if gone is not None:
                what = either("is switched off", "are switched off") if gone.present else either("leaves", "leave")
                says = (
                    f"{WHO} {what} at {clock_of(setup, gone.since)}, in the middle of the take from "
                    f"{clock_of(setup, roll.start)} to {clock_of(setup, roll.end)}"
                )
                left = roll.end - gone.since
                yield Contradiction(
                    Clash.CUT_SHORT, roll.event.place, says, gone.since, roll.event, key, left, gone.cause
                )


def _late(setup: Setup, steps: Iterable[Step]) -> Iterator[Contradiction]:
    """Events that begin, and takes that end, after the wrap of their day."""
    for step in steps:
        day, event = setup.days[step.day], step.event
        if event is None or step.logged or day.wrap.value is None or event.at.value is None:
            continue
        if step.what != event.do.value:
            continue  # the end of what is told of by its beginning
        end = event.until if step.what == "roll" and event.until.value is not None else event.at
        over = (end.value or Fraction(0)) - day.wrap.value
        if over > 0:
            says = f"the {step.what} of {event.at.text} goes on until {end.text}, after the wrap at {day.wrap.text}"
            if end is event.at:
                says = f"the {step.what} of {event.at.text} comes after the wrap at {day.wrap.text}"
            yield Contradiction(Clash.LATE, end.place, says, step.at, event, None, over, day.wrap.place)
