"""What stands in the days and cannot have happened so."""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction

from synclint.day.moments import Clash, Contradiction
from synclint.findings import (
    WHO,
    Amount,
    Cost,
    Edit,
    Fix,
    Hurts,
    Level,
    Mended,
    Mention,
    Path,
    Record,
    SetValue,
    either,
)
from synclint.rules.day_windows import set_anew
from synclint.rules.framework import Case, Rule, Yielded, rule
from synclint.rules.moments import clock_of
from synclint.rules.wording import PRACTICE
from synclint.trade.quantities import say_duration

_DAY = 86_400
_BEFORE_CALL = Fraction(2 * 3600)
"""For how long before the call a crew may well set up (common practice, no source)."""
_HALF_DAY = Fraction(_DAY, 2)


@rule(
    Record(
        name="events-contradict",
        summary="The day tells of something that cannot have happened as it is written",
        level=Level.ERROR,
        hurts=Hurts.DAY,
        mended=Mended.MORNING,
        why="All that is computed of a day goes by its events in their order. Where two of them cannot both be true, "
        "nothing that comes after them is to be trusted, and on set somebody will do the wrong one.",
        sources=(PRACTICE,),
        answers=("events of the day that contradict each other", "a device used while it is off or not there"),
    )
)
def events_contradict(case: Case) -> Iterator[Yielded]:
    """Tell of all that the run through the days could not make sense of."""
    for clash in case.run.contradictions:
        if _sets_up(case, clash):
            continue
        called = (case.setup.called(clash.key),) if clash.key is not None else ()
        yield events_contradict.record.finding(
            at=clash.at,
            level=_level(clash),
            says=clash.says,
            who=called or _named(case, clash),
            cause=(clash.kind, clash.at, clash.says),
            also=(Mention(clash.other, "what it contradicts"),) if clash.other else (),
            costs=_cost(case, clash),
            fix=_fix(case, clash),
        )


@rule(
    Record(
        name="done-before-the-call",
        summary="Events of the day stand before its call",
        level=Level.NOTE,
        hurts=Hurts.HABIT,
        mended=Mended.MORNING,
        why="Sound sets up before the others are called. Who reads the sheet by the call misses what was done before "
        "it, and batteries are counted from the call.",
        sources=(PRACTICE,),
        answers=("set up before the call",),
    )
)
def done_before_the_call(case: Case) -> Iterator[Yielded]:
    """What a crew does in the two hours before its call, told once a day."""
    days: dict[Path, list[Contradiction]] = {}
    for clash in case.run.contradictions:
        if _sets_up(case, clash):
            days.setdefault(clash.at.path[:2], []).append(clash)
    for clashes in days.values():
        first = min(clashes, key=lambda each: each.instant)
        seconds = first.seconds or Fraction(0)
        call = case.setup.days[int(first.at.path[1])].call.text
        yield done_before_the_call.record.finding(
            at=first.at,
            says=f"the work begins at {clock_of(case, first.instant)}, before the day's call at {call}",
            costs=_minutes(
                f"batteries run {say_duration(seconds)} longer than from the call", "before the call", seconds
            ),
            fix=Fix("Write the call at which the first of the crew sets up"),
            also=tuple(Mention(each.at, "before it too") for each in clashes if each is not first),
        )


def _sets_up(case: Case, clash: Contradiction) -> bool:
    """Whether a crew only sets up before its call."""
    rolls = clash.event is not None and clash.event.do.value == "roll"
    early = clash.kind is Clash.EARLY and (clash.seconds or _DAY) <= _BEFORE_CALL
    return early and not rolls and not _past_midnight(case, clash)


def _named(case: Case, clash: Contradiction) -> tuple[str, ...]:
    """The devices that an event names, where it is not about all."""
    event = clash.event
    return () if event is None or event.of_all else tuple(case.setup.called(key) for key in event.of)


def _level(clash: Contradiction) -> Level:
    """An error, but for a take that runs into the evening."""
    return Level.NOTE if clash.kind in (Clash.LATE, Clash.REPEATED) else Level.ERROR


# --- what it costs ---------------------------------------------------------------------------------------------


def _cost(case: Case, clash: Contradiction) -> Cost:
    """Which minutes of what are not to be trusted."""
    seconds = clash.seconds or Fraction(0)
    match clash.kind:
        case Clash.EARLY:
            says, name = f"it is {say_duration(seconds)} before anybody is there", "before the call"
        case Clash.LATE:
            says, name = f"{say_duration(seconds)} more than the day has", "after the wrap"
        case Clash.BACKWARDS:
            says = f"it would end {say_duration(seconds)} before it begins, so it is left out of all that is computed"
            name = "end before the beginning"
        case Clash.SKIPPED | Clash.REPEATED:
            says, name = f"who reads it by another clock is {say_duration(seconds)} off", "may be off"
        case Clash.OVERLAP:
            says = f"for {say_duration(seconds)} {WHO} would record two takes at once"
            name = "two takes at once"
        case Clash.CUT_SHORT:
            says = f"the last {say_duration(seconds)} of the take have no file of {WHO}"
            name = "without a file"
        case _:
            return _open_until(case, clash)
    return _minutes(says, name, seconds)


def _open_until(case: Case, clash: Contradiction) -> Cost:
    """What is unknown of a device until it is next set, or for the take that it cannot have rolled in."""
    event = clash.event
    do = event.do.value if event else "jam"
    if event is not None and do == "roll" and event.until.value is not None and event.at.value is not None:
        length = event.until.value - event.at.value
        says = f"of the take from {event.at.text} to {event.until.text}, {say_duration(length)}, {WHO} "
        return _minutes(says + either("has no file", "have no files"), "without a file", length)
    until, told = set_anew(case, clash.key or "", clash.instant)
    length = until - clash.instant
    from_to = f"from {clock_of(case, clash.instant)} to {told}, {say_duration(length)}"
    if clash.kind is Clash.TWICE:
        return _minutes(f"which of the two holds {from_to}, nobody can tell", "unknown", length)
    if do == "compare":
        return _minutes(f"how far {WHO} {either('is', 'are')} off is not read, {from_to}", "not compared", length)
    if do in ("jam", "set clock"):
        says = f"{WHO} {either('goes', 'go')} on with whatever {either('it', 'they')} had, {from_to}"
        return _minutes(says, "on a time not set", length)
    return _minutes(f"what {WHO} {either('does', 'do')} {from_to} is not to be told", "unknown", length)


def _minutes(says: str, name: str, seconds: Fraction) -> Cost:
    return Cost(says, (Amount(name, float(seconds / 60), "min"),), float(seconds))


# --- what to do ------------------------------------------------------------------------------------------------


def _past_midnight(case: Case, clash: Contradiction) -> bool:
    """Whether a time before the call is one of the night after, that lacks its `+1`."""
    event, step = clash.event, next((each for each in case.run.steps if each.event is clash.event), None)
    if event is None or step is None or event.at.value is None:
        return False
    wrap = case.setup.days[step.day].wrap.value
    return wrap is not None and event.at.value + _DAY <= wrap


def _fix(case: Case, clash: Contradiction) -> Fix:
    """How the day is written so that it can happen."""
    event = clash.event
    match clash.kind:
        case Clash.EARLY if event and _past_midnight(case, clash):
            later = f"{event.at.text} +1"
            return Fix(f"Write {later} if it is after midnight", _plus_one(case, clash, later))
        case Clash.EARLY:
            return Fix("Write the call at which the first of the crew sets up, or the time at which this happens")
        case Clash.LATE:
            return Fix("Move the wrap, or wrap before it")
        case Clash.BACKWARDS if event and (clash.seconds or 0) > _HALF_DAY and "+" not in event.until.text:
            later = f"{event.until.text} +1"
            return Fix(f"Write until: {later} if it ends after midnight", _plus_one(case, clash, later))
        case Clash.BACKWARDS:
            return Fix("Write when it ends, or when it begins")
        case Clash.OVERLAP | Clash.CUT_SHORT:
            return Fix(f"Write when {WHO} {either('stops', 'stop')}, as a take of its own if the others go on")
        case Clash.SKIPPED | Clash.REPEATED:
            return Fix(
                "Write the day in UTC (zone: UTC, and all its times), which never moves, or a time outside that hour"
            )
        case Clash.TWICE:
            return Fix("Take one of the two out, or write which comes first")
        case Clash.NO_SOURCE:
            return Fix(f"Say what {WHO} {either('is', 'are')} jammed from (from:), and link it")
        case Clash.SOURCE_GONE:
            return Fix(f"Switch its source on first, or jam {WHO} from another (from:)")
        case _:
            return _presence(case, clash)


def _plus_one(case: Case, clash: Contradiction, text: str) -> tuple[Edit, ...]:
    return (SetValue(clash.at, text),) if clash.at.span.file == case.setup.file else ()


def _presence(case: Case, clash: Contradiction) -> Fix:
    """Where a device must be, and be on, for what it is said to do."""
    event = clash.event
    do = event.do.value if event else "jam"
    without = f"take {WHO} out of the {do} at {event.at.text if event else '?'}"
    if clash.kind is Clash.NOT_THERE:
        return Fix(f"Write when {WHO} {either('arrives', 'arrive')}, or {without}")
    state = case.run.at(clash.key, clash.instant) if clash.key else None
    off = next((each for each in case.run.steps if state and each.event and each.event.place == state.cause), None)
    if off is not None and off.what == "power off" and off.event is not None and not off.event.until.written:
        return Fix(f"Write at the power off of {off.event.at.text} until when it lasts (until:), or {without}")
    if off is not None and off.what == "power off" and off.event is not None:
        return Fix(f"Put the {do} after {off.event.until.text}, or {without}")
    return Fix(f"Write when {WHO} {either('is', 'are')} on again, or {without}")


RULES: tuple[Rule, ...] = (events_contradict, done_before_the_call)
