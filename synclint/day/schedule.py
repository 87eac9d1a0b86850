"""The events of all days as steps in one order, each at its instant, with what cannot be so told."""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction

from synclint.day.clocktime import DayClock, day_clocks
from synclint.day.moments import Clash, Contradiction
from synclint.rig.log import Log
from synclint.rig.model import Event, Setup

# Of steps at one instant what ends comes before what begins, and a setting before the jam that wants it.
_ORDER = (
    "roll ends",
    "power back",
    "link back",
    "arrive",
    "move",
    "set",
    "set clock",
    "jam",
    "compare",
    "link lost",
    "power off",
    "leave",
    "break",
    "roll",
)
_RANK = {what: rank for rank, what in enumerate(_ORDER)}
_ENDS = {"power off": "power back", "link lost": "link back", "leave": "arrive"}
"""What the `until` of an event brings."""
_LASTING = frozenset({"power off", "link lost"})
"""What ends by the next day's call where nobody says when."""
_NEEDS_END = frozenset({"roll", "break"})


@dataclass(frozen=True, slots=True)
class Step:
    """Something that happens at an instant (seconds since 1970-01-01T00:00Z)."""

    at: Fraction
    what: str
    event: Event | None
    """None for the jam at the call that is taken for granted."""
    day: int
    keys: tuple[str, ...]
    until: Fraction | None = None
    spared: frozenset[str] = frozenset()
    """Of a jam of all, the devices that were jammed at another time, as the log tells."""
    logged: bool = False
    """Whether it took place, as the log tells, and is no plan."""


@dataclass(frozen=True, slots=True)
class Steps:
    """All that happens, in order."""

    steps: tuple[Step, ...]
    start: Fraction
    end: Fraction
    late: frozenset[str]
    """The devices that are not there until they arrive."""
    granted: bool
    """Whether the days tell of no jam and one at each call is taken for granted."""
    contradictions: tuple[Contradiction, ...]


@dataclass(frozen=True, slots=True)
class Instead:
    """Other jams than those that are written: none after an instant but rounds of all at some instants."""

    after: Fraction
    rounds: tuple[Fraction, ...] = ()


def schedule(setup: Setup, instead: Instead | None = None, log: Log | None = None) -> Steps:
    """Put the events of all days in their order, with other jams than those written where some are asked for.

    What a log tells of a device on a day, jams or comparisons, replaces what is planned of it up to the day's last
    entry; what is planned for later stays.
    """
    contradictions: list[Contradiction] = []
    steps: list[Step] = []
    clocks = day_clocks(setup)
    calls = sorted(clock.call for clock in clocks)
    for index, clock in enumerate(clocks):
        for event in clock.day.events:
            steps += _steps_of(event, clock, index, calls, contradictions)
    granted = not any(step.what == "jam" for step in steps)
    if granted:
        steps += (Step(clock.call, "jam", None, index, ()) for index, clock in enumerate(clocks))
    if log is not None:
        steps = [*_replaced(steps, clocks, log)]
    if instead is not None:
        steps = [step for step in steps if step.what != "jam" or step.logged or step.at <= instead.after]
        steps += (Step(at, "jam", None, 0, ()) for at in instead.rounds)
    steps = [*_with_fed(setup, steps)]
    steps.sort(key=lambda step: (step.at, _RANK[step.what]))  # of like ones at one instant, as written
    instants = [step.at for step in steps]
    wraps = [clock.instant(clock.day.wrap.value) for clock in clocks if clock.day.wrap.value is not None]
    return Steps(
        steps=tuple(steps),
        start=min([*instants, *calls], default=Fraction(0)),
        end=max([*instants, *(step.until for step in steps if step.until), *wraps, *calls], default=Fraction(0)),
        late=frozenset(_late(steps)),
        granted=granted,
        contradictions=tuple(contradictions),
    )


def _replaced(steps: Iterable[Step], clocks: Sequence[DayClock], log: Log) -> Iterator[Step]:
    """The planned steps that stand beside a log, and the jams and comparisons of the log."""
    logged: dict[tuple[int, str], set[str]] = {}
    until: dict[int, Fraction] = {}
    for entry in log.entries:
        event, at = entry.event, clocks[entry.day].instant(entry.event.at.value or Fraction(0))
        what = event.do.value or ""
        logged.setdefault((entry.day, what), set()).update(event.of)
        until[entry.day] = max(until.get(entry.day, at), at)
        yield Step(at, what, event, entry.day, event.of, logged=True)
    for step in steps:
        done = logged.get((step.day, step.what), set())
        if not done or step.at > until[step.day]:
            yield step
            continue
        keys = tuple(key for key in step.keys if key not in done)
        if keys or step.event is None:
            yield replace(step, keys=keys, spared=frozenset(done))


def _with_fed(setup: Setup, steps: Iterable[Step]) -> Iterator[Step]:
    """The steps, where a device is switched off or on with those that run on its power alone."""
    fed: dict[str, list[str]] = {}
    for key, device in setup.devices.items():
        if device.fed_by is not None:
            fed.setdefault(device.fed_by, []).append(key)
    for step in steps:
        if not fed or step.what not in ("power off", "power back"):
            yield step
            continue
        keys = dict.fromkeys(step.keys)
        pending = [*step.keys]
        while pending:
            more = [key for key in fed.get(pending.pop(), ()) if key not in keys]
            keys.update(dict.fromkeys(more))
            pending += more
        yield replace(step, keys=tuple(keys))


def _next_call(calls: Sequence[Fraction], after: Fraction) -> Fraction | None:
    """The next call after an instant, at which what was switched off is on again."""
    index = bisect_right(calls, after)
    return calls[index] if index < len(calls) else None


def _steps_of(
    event: Event, clock: DayClock, index: int, calls: Sequence[Fraction], contradictions: list[Contradiction]
) -> Iterator[Step]:
    """The steps that one event comes to; one whose times contradict each other is told and left out."""
    what, at, until = event.do.value, event.at.value, event.until.value
    if what not in _RANK or at is None or (until is None and what in _NEEDS_END):
        return
    start, day = clock.instant(at), clock.day
    if day.call.value is not None and at < day.call.value:
        says = f"{event.at.text} is before the day's call at {day.call.text}"
        early = day.call.value - at
        contradictions.append(
            Contradiction(Clash.EARLY, event.at.place, says, start, event, None, early, day.call.place)
        )
    end = clock.instant(until) if until is not None else _next_call(calls, start) if what in _LASTING else None
    # By the clock or in truth: on a night on which the clocks change these may differ.
    if until is not None and end is not None and (until <= at or end <= start):
        says = f"the {what} of {event.at.text} ends at {event.until.text}, before it begins"
        contradictions.append(
            Contradiction(Clash.BACKWARDS, event.until.place, says, start, event, None, start - end, event.at.place)
        )
        return
    step = Step(start, what, event, index, event.of, end)
    yield step
    if end is not None and what in _ENDS:
        yield replace(step, at=end, what=_ENDS[what], until=None)


def _late(steps: Sequence[Step]) -> Iterator[str]:
    """The devices of which the first that is told is that they arrive."""
    seen: set[str] = set()
    for step in steps:
        if step.what in ("arrive", "leave"):
            yield from (key for key in step.keys if key not in seen and step.what == "arrive")
            seen.update(step.keys)
