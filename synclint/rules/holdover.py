"""What happens while a link is lost: who runs on by its own clock, for how long that holds, and who falls silent."""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Iterator
from dataclasses import dataclass, replace
from fractions import Fraction
from typing import Any

from synclint.day.forecast import Gathering
from synclint.day.moments import Roll
from synclint.day.phases import Offset
from synclint.day.schedule import Step
from synclint.findings import (
    WHO,
    Amount,
    Confirmed,
    Cost,
    Fact,
    Finding,
    Fix,
    Hurts,
    Level,
    Mended,
    Mention,
    Place,
    Record,
    Source,
    either,
    listed,
)
from synclint.rules.clock_words import clocks_told
from synclint.rules.day_windows import end_told
from synclint.rules.drift import meetings
from synclint.rules.fixed_delays import off_for_good
from synclint.rules.framework import Case, Rule, Yielded, rule
from synclint.rules.generations import deciding
from synclint.rules.lead_window import Cut, lead_window, outside_rolls
from synclint.rules.lost_lines import is_special
from synclint.rules.moments import clock_of, in_frames
from synclint.rules.wording import PRACTICE
from synclint.trade.quantities import say_duration

_SUM = Source("ms = 3.6 × ppm × hours, both clocks added: exact arithmetic", Confirmed.ARITHMETIC)


@dataclass(frozen=True, slots=True)
class _Lost:
    """A follower whose link is lost, from when to when."""

    key: str
    start: Fraction
    end: Fraction
    place: Place
    for_good: bool
    """Whether nobody says that it comes back."""


@dataclass(frozen=True, slots=True)
class _Apart:
    """How far one that goes on by itself gets from another that it is to agree with, and by when."""

    carrier: str
    other: str
    at: Fraction
    offset: Offset
    where: str
    also: tuple[Mention, ...]
    failing: tuple[tuple[Gathering, Roll | None], ...] = ()
    """All that must agree and are past the tolerance by their end on account of it, in the order of time."""


@rule(
    Record(
        name="no-link-for-too-long",
        summary="A link is lost for longer than a follower keeps the time by itself",
        level=Level.ERROR,
        hurts=Hurts.POST,
        mended=Mended.SET,
        why="A wireless follower is as good as its own clock while the link is gone: 0.5 ppm on either side keep half "
        "a frame at 24 for some six hours, 20 ppm for a quarter of an hour. A receiver without a generator stops at "
        "once.",
        sources=(_SUM, PRACTICE),
        answers=("link loss: no generator", "hold-over longer than the budget"),
    )
)
def no_link_for_too_long(case: Case) -> Iterator[Yielded]:
    """A follower leaves the tolerance while its link is lost, or has no time at all."""
    for lost in _losses(case):
        silent = _silent(case, lost)
        apart = _apart(case, lost)
        if silent is not None:
            yield silent
        elif apart is not None:
            yield _drifted(case, lost, apart)


def _losses(case: Case) -> Iterator[_Lost]:
    """All followers that a lost link leaves to themselves."""
    for step in case.run.steps:
        if step.what != "link lost" or step.event is None:
            continue
        for key, states in case.run.histories.items():
            index = bisect_left(states, step.at, key=lambda state: state.since)
            if index == len(states) or states[index].since != step.at:
                continue
            state, was = states[index], states[index - 1].time if index else None
            if was is None or not was.through or not state.working:
                continue
            hands = state.time.hands if state.time is not None else ()
            if state.time is None or (hands and hands[-1].let_go and hands[-1].target == key):
                yield _lost(case, step, key, index)


def _lost(case: Case, step: Step, key: str, index: int) -> _Lost:
    """A follower with the time until it follows again, or is given a time anew."""
    states = case.run.histories[key]
    end = next((later.since for later in states[index + 1 :] if later.time != states[index].time), case.run.end)
    place = step.event.place if step.event else case.setup.place
    return _Lost(key, step.at, end, place, step.until is None)


# --- one that has no time at all -------------------------------------------------------------------------------


def _silent(case: Case, lost: _Lost) -> Finding | None:
    """The finding on a follower that has no clock of its own to go on with, where it matters."""
    if case.run.at(lost.key, lost.start).time is not None:
        return None
    seconds, also = Fraction(0), []
    for gathering, roll in meetings(case):
        over = min(gathering.end, lost.end) - max(gathering.start, lost.start)
        if over > 0 and lost.key in gathering.keys:
            seconds += over
            also += [Mention(roll.event.place, "a take without timecode")] if roll else []
    if not seconds:
        return None
    device = case.setup.devices[lost.key]
    return no_link_for_too_long.record.finding(
        at=lost.place,
        says=f"the link to {WHO} is lost at {clock_of(case, lost.start)}, and {either('it has', 'they have')} no clock "
        "to go on with: the timecode stops",
        who=(device.called,),
        cause=("silent", lost.place),
        costs=Cost(
            f"{say_duration(seconds)} of what {WHO} {either('records', 'record')} bear no timecode at all",
            (Amount("without timecode", float(seconds / 60), "min"),),
            float(seconds),
        ),
        fix=Fix(f"Put a box with a generator of its own on {WHO}, jammed in the morning, so that code goes on"),
        also=also,
    )


# --- one that goes on by its own clock -------------------------------------------------------------------------


def _apart(case: Case, lost: _Lost) -> _Apart | None:
    """The pair that gets farthest past the tolerance on account of a lost link."""
    worst, tolerance, failing = None, case.tolerance, []
    if tolerance is None:
        return None
    for gathering, roll in meetings(case):
        start, end = max(gathering.start, lost.start), min(gathering.end, lost.end)
        if start >= end:
            continue
        alone = [key for key in gathering.keys if _rests_on(case, key, lost, start)]
        where = f"the end of the roll at {clock_of(case, end)}" if roll and end == roll.end else clock_of(case, end)
        where = end_told(case, end) if roll is None and end == gathering.end else where
        also = (Mention(roll.event.place, "the take"),) if roll else ()
        fails = False
        for one in alone:
            for other in gathering.keys:
                offset = None if other in alone else _before(case, one, other, end)
                if offset is not None and offset.worst > tolerance:
                    fails = True
                    if worst is None or offset.worst > worst.offset.worst:
                        worst = _Apart(one, other, end, offset, where, also)
        failing += [(gathering, roll)] if fails else []
    return replace(worst, failing=tuple(failing)) if worst is not None else None


def _rests_on(case: Case, key: str, lost: _Lost, at: Fraction) -> bool:
    """Whether a device shows the time of one that was left to itself."""
    state = case.run.at(key, at)
    time = state.time
    if time is None or not time.hands or is_special(state.device):
        return False
    last = time.hands[-1]
    return last.let_go and last.target == lost.key and last.at == lost.start


def _before(case: Case, one: str, other: str, at: Fraction) -> Offset | None:
    """How far two devices are apart just before an instant."""
    if case.forecast.is_slate(one) and case.forecast.is_slate(other):
        return None
    first, second = (case.run.before(key, at) for key in (one, other))
    if first.time is None or second.time is None or is_special(second.device):
        return None
    if off_for_good(case, one) or off_for_good(case, other):
        return None
    return case.phases.apart(case.phases.of_time(one, first.time, at), case.phases.of_time(other, second.time, at))


def _drifted(case: Case, lost: _Lost, apart: _Apart) -> Finding:
    """The finding on a follower that goes too far by its own clock."""
    tolerance, facts = case.tolerance or Fraction(0), apart.offset.facts
    left = case.forecast.leaves(apart.carrier, apart.other, tolerance, lost.start, apart.at)
    holds = (apart.at if left is None else left) - lost.start
    behind = [case.setup.called(key) for key in _behind(case, lost)]
    hang = f", and {listed(behind)} with {either('it', 'them')}" if behind else ""
    carrier = case.setup.called(apart.carrier)
    said = f"for {say_duration(lost.end - lost.start)}" if not lost.for_good else "and not told to come back"
    return no_link_for_too_long.record.finding(
        at=lost.place,
        says=f"the link to {WHO} is lost at {clock_of(case, lost.start)} {said}, and {either('it keeps', 'they keep')} "
        f"the time by {either('its own clock', 'their own clocks')} for {say_duration(holds)} only{hang}",
        who=(case.setup.called(lost.key),),
        cause=("lost", lost.place, say_duration(holds), tuple(behind)),
        costs=Cost(
            f"by {apart.where} {carrier} may be {in_frames(case, apart.offset.worst)} from "
            f"{case.setup.called(apart.other)}, where {say_duration(tolerance)} is tolerated"
            f"{clocks_told(case, apart.offset)}",
            (
                Amount("apart at worst", float(apart.offset.worst * 1000), "ms"),
                Amount("keeps the time for", float(holds / 3600), "h"),
            ),
            float(apart.offset.worst),
        ),
        fix=Fix(f"{_cure(case, lost, apart, lost.start + holds)}{_better_clock(case, lost.key)}"),
        decided_by=_deciding(case, facts),
        numbers_from=deciding(facts),
        also=apart.also,
    )


def _cure(case: Case, lost: _Lost, apart: _Apart, left: Fraction) -> str:
    """To bring it back into range, or to jam it by a lead: late enough to hold to the end, and not in a roll."""
    (first, roll), failing = apart.failing[0], [gathering for gathering, _ in apart.failing]
    if roll is not None and first.start <= lost.start:
        return f"Keep {WHO} in range through the roll at {clock_of(case, first.start)}"
    until = first.start if roll is not None else left
    by = f"before the roll at {clock_of(case, until)}" if roll is not None else f"by {clock_of(case, until)}"
    time = case.run.at(lost.key, lost.start).time
    former = time.hands[-1].source if time is not None else ""
    carriers = tuple(key for key in case.run.histories if _rests_on(case, key, lost, lost.start))
    cut = Cut(lost.key, lost.start, lost.end, former, carriers, (apart.carrier, apart.other))
    window = lead_window(case, cut, failing, outside_rolls(case, until), rolls=roll is not None)
    back = f"Bring {WHO} back into range {by}"
    if window is None:
        return back
    jam = f"{back}, or jam {either('it', 'them')} from {case.setup.called(window.source)} by a lead"
    if not window.whole and roll is None:
        return f"{jam} by then, and again at least every {say_duration(window.holds_for)} while the link is gone"
    by = clock_of(case, window.until) if roll is None or window.until < until else "that roll"
    again = "" if window.whole else ", and again before each later roll while the link is gone"
    return f"{jam} between {clock_of(case, window.since)} and {by}{again}"


def _better_clock(case: Case, key: str) -> str:
    """What a box would do for one with a coarse clock."""
    accuracy = case.setup.devices[key].clock.accuracy.value
    coarse = accuracy is not None and accuracy >= _COARSE
    return f"; a jammed box with a compensated clock on {WHO} would keep it for hours" if coarse else ""


_COARSE = Fraction(5)


def _deciding(case: Case, facts: tuple[Fact[Any], ...]) -> tuple[Fact[Any], ...]:
    return (case.setup.project.tolerance, *deciding(facts))


def _behind(case: Case, lost: _Lost) -> list[str]:
    """Those that follow one live which was left to itself."""
    return [key for key in case.run.histories if key != lost.key and _rests_on(case, key, lost, lost.start)]


RULES: tuple[Rule, ...] = (no_link_for_too_long,)
