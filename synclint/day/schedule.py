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
from synclint.trade.times import say_clock

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
    tried: bool = False
    """Whether it is a round of jams that is tried out; who has lost a link is jammed in it too, by a lead."""


@dataclass(frozen=True, slots=True)
class Steps:
    """All that happens, in order."""

    steps: tuple[Step, ...]
    start: Fraction
    end: Fraction
    late: frozenset[str]
    """The devices that are not there until they arrive."""
    granted: bool
    """Whether neither the days nor the log tell of a jam, and all there are is one at each call, taken for granted."""
    contradictions: tuple[Contradiction, ...]


@dataclass(frozen=True, slots=True)
class Instead:
    """Other jams than those that are written: none after an instant but rounds of all at some instants."""

    after: Fraction
    rounds: tuple[Fraction, ...] = ()


def schedule(setup: Setup, instead: Instead | None = None, log: Log | None = None) -> Steps:
    """Put the events of all days in their order, with other jams than those written where some are asked for.

    What a log tells of a device on a day (jams, comparisons, when it was off) replaces what is planned of that up to
    the day's last entry; what is planned for later stays. A jam that is taken for granted stays for those alone of
    which the log tells of none that day.
    """
    contradictions: list[Contradiction] = []
    steps: list[Step] = []
    clocks = day_clocks(setup)
    calls = sorted(clock.call for clock in clocks)
    for index, clock in enumerate(clocks):
        for event in clock.day.events:
            steps += _steps_of(event, clock, index, calls, contradictions)
    if not any(step.what == "jam" for step in steps):
        steps += (Step(clock.call, "jam", None, index, ()) for index, clock in enumerate(clocks))
    if log is not None:
        logged = [
            (entry.day, [*_steps_of(entry.event, clocks[entry.day], entry.day, calls, contradictions, logged=True)])
            for entry in log.entries
        ]
        steps = [*_replaced(steps, clocks, logged)]
    granted = not any(step.what == "jam" and step.event is not None for step in steps)
    if instead is not None:
        steps = [step for step in steps if step.what != "jam" or step.logged or step.at <= instead.after]
        steps += (Step(at, "jam", None, 0, (), tried=True) for at in instead.rounds)
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


def _replaced(
    steps: Iterable[Step], clocks: Sequence[DayClock], entries: Iterable[tuple[int, Sequence[Step]]]
) -> Iterator[Step]:
    """The planned steps that stand beside a log, and the steps of its entries, each with its day."""
    logged: dict[tuple[int, str], set[str]] = {}
    until: dict[int, Fraction] = {}
    for day, done_then in entries:
        yield from done_then
        for step in done_then[:1]:
            logged.setdefault((day, step.what), set()).update(step.keys)
            until[day] = max(until.get(day, step.at), step.at)
    for step in steps:
        # What ends something goes with what began it.
        what = {end: begin for begin, end in _ENDS.items()}.get(step.what, step.what)
        begun = step.event.at.value if step.event is not None else None
        at = step.at if begun is None or what == step.what else clocks[step.day].instant(begun)
        done = logged.get((step.day, what), set())
        if not done or (step.event is not None and at > until[step.day]):
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
    event: Event,
    clock: DayClock,
    index: int,
    calls: Sequence[Fraction],
    contradictions: list[Contradiction],
    *,
    logged: bool = False,
) -> Iterator[Step]:
    """The steps that one event comes to; one whose times contradict each other is told and left out."""
    what, at, until = event.do.value, event.at.value, event.until.value
    if what not in _RANK or at is None or (until is None and what in _NEEDS_END):
        return
    start, day = clock.instant(at), clock.day
    contradictions += () if logged else _off_the_clock(event, clock, at, start)
    if day.call.value is not None and at < day.call.value and not logged:
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
    step = Step(start, what, event, index, event.of, end, logged=logged)
    yield step
    if end is not None and what in _ENDS:
        yield replace(step, at=end, what=_ENDS[what], until=None)


_STEPS = (Fraction(1800), Fraction(3600))
"""By how many seconds the clocks on the wall are moved."""


def _off_the_clock(event: Event, clock: DayClock, at: Fraction, start: Fraction) -> Iterator[Contradiction]:
    """A time of day that does not exist in the night in which the clocks are moved, or exists twice."""
    place, shown = event.at.place, clock.shows(start)
    if shown != at:
        says = f"the clocks skip {event.at.text} that night; {say_clock(shown)} is taken for it"
        yield Contradiction(Clash.SKIPPED, place, says, start, event, None, shown - at)
    again = next((step for step in _STEPS if clock.shows(start + step) == at), None)
    if again is not None:
        says = f"the clocks show {event.at.text} twice that night; the first is taken for it"
        yield Contradiction(Clash.REPEATED, place, says, start, event, None, again)


def _late(steps: Sequence[Step]) -> Iterator[str]:
    """The devices of which the first that is told is that they arrive."""
    seen: set[str] = set()
    for step in steps:
        if step.what in ("arrive", "leave"):
            yield from (key for key in step.keys if key not in seen and step.what == "arrive")
            seen.update(step.keys)
