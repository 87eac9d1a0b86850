"""Time that is lost with the power: at a change of battery, or in a break longer than a device keeps it."""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction
from typing import Any

from synclint.day.moments import Origin
from synclint.findings import (
    WHO,
    Amount,
    Cost,
    Fact,
    Finding,
    Fix,
    Hurts,
    Level,
    Mended,
    Mention,
    Record,
    Unjudged,
    either,
    listed,
)
from synclint.rig.model import Device, Event
from synclint.rules.day_edits import jam_added
from synclint.rules.framework import Case, Rule, Yielded, rule
from synclint.rules.lost_lines import (
    Loss,
    Use,
    behind,
    fed_off,
    first_use,
    losses,
    others_beside,
    source_of,
    use_amounts,
    use_kept,
    use_of,
    use_told,
)
from synclint.rules.moments import clock_of, length_told, minutes_of, rolls_told
from synclint.rules.wording import PRACTICE
from synclint.trade.quantities import say_duration

_STARTS = {
    Origin.CALENDAR: f"{either('comes', 'come')} back on {either('its own calendar clock', 'calendar clocks')}, whole "
    f"seconds away from the time {either('it', 'they')} had",
    Origin.ZERO: f"{either('comes', 'come')} back at 00:00:00:00",
    Origin.LAST: f"{either('goes', 'go')} on from where {either('it', 'they')} stopped",
    Origin.RESTARTED: f"{either('comes', 'come')} back with a time that nobody knows",
}
"""What a device shows that has lost its time, in words."""


@rule(
    Record(
        name="off-longer-than-it-keeps-time",
        summary="A device is off for longer than it keeps its time, and is used again without a jam",
        level=Level.ERROR,
        hurts=Hurts.POST,
        mended=Mended.SET,
        why="It comes back on its coarse calendar clock, or on none: seconds off from all that it jammed in the "
        "morning, while every display looks right.",
        sources=(PRACTICE,),
        answers=(
            "hold time shorter than the break",
            "recorder stamps itself anew from its calendar clock at power-up",
        ),
    )
)
def off_longer_than_it_keeps_time(case: Case) -> Iterator[Yielded]:
    """A device with a stated hold time was off for longer, and what it then carries is recorded beside others."""
    for loss in losses(case):
        device = case.setup.devices[loss.key]
        keeps = device.timecode.keeps_time_off
        if loss.off_since is None or keeps.value is None or fed_off(case, loss):
            continue
        use = use_of(case, loss.line)
        if use is None:
            continue
        if case.run.jams_taken_for_granted:
            yield _jams_unknown(case, off_longer_than_it_keeps_time, loss)
            continue
        off = loss.line.since - loss.off_since
        says = (
            f"{WHO} {either('is', 'are')} off for {length_told(case, loss.off_since, loss.line.since)} "
            f"from {clock_of(case, loss.off_since)}, "
            f"{either('keeps its', 'keep their')} time for {say_duration(keeps.value)}, and "
        )
        amounts = (Amount("off", float(off / 3600), "h"), Amount("keeps its time", float(keeps.value / 3600), "h"))
        yield _finding(case, off_longer_than_it_keeps_time, loss, use, (says, amounts, keeps))


@rule(
    Record(
        name="time-lost-with-power",
        summary="A device loses its time when it is switched off, and rolls again without a jam",
        level=Level.ERROR,
        hurts=Hurts.POST,
        mended=Mended.SET,
        why="After a change of battery it counts from zero or from its own clock and looks as it did before. With four "
        "changes a day that is four silent breaks.",
        sources=(PRACTICE,),
        answers=("timecode lost at power-cycle or battery swap",),
    )
)
def time_lost_with_power(case: Case) -> Iterator[Yielded]:
    """A device that forgets its time with the power was off, and what it then carries is recorded beside others."""
    for loss in losses(case):
        device = case.setup.devices[loss.key]
        if loss.off_since is None or device.timecode.keeps_time_off.value is not None or fed_off(case, loss):
            continue
        use = use_of(case, loss.line)
        if use is None:
            yield from _with_all_that_follow(case, loss)
            continue
        if case.run.jams_taken_for_granted:
            yield _jams_unknown(case, time_lost_with_power, loss)
            continue
        why = _why(loss.step.event)
        says = (
            f"{WHO} {either('loses its', 'lose their')} time when {either('it is', 'they are')} switched off at "
            f"{clock_of(case, loss.off_since)}{why}, and "
        )
        yield _finding(case, time_lost_with_power, loss, use, (says, (), device.timecode.loses_time_on))
    yield from _unsure(case)


def _with_all_that_follow(case: Case, loss: Loss) -> Iterator[Finding]:
    """The finding on a master that comes back on another time: all that follow it live agree, and are all wrong."""
    rolls, followers = [], dict[str, None]()
    for roll in case.run.rolls:
        at = max(roll.start, loss.line.since)
        times = [(key, case.run.at(key, at).time) for key in roll.devices] if at < roll.end else []
        on_it = [key for key, time in times if time is not None and time.line == loss.line and loss.key in time.through]
        if on_it:
            rolls.append(roll)
            followers.update(dict.fromkeys(on_it))
    if not rolls or loss.off_since is None:
        return
    inside = [roll for roll in rolls if roll.start < loss.line.since]
    back, minutes = clock_of(case, loss.line.since), minutes_of(rolls)
    jump = f"inside {rolls_told(case, inside)} their labels jump, and " if inside else ""
    yield time_lost_with_power.record.finding(
        at=loss.line.cause,
        level=None if inside else Level.WARNING,
        says=f"{WHO} loses its time when it is switched off at {clock_of(case, loss.off_since)}"
        f"{_why(loss.step.event)}, and {listed(map(case.setup.called, followers))} follow it to whatever it has at "
        f"{back}",
        who=(case.setup.called(loss.key),),
        costs=Cost(
            f"{jump}all agree on a wrong time, which no display shows: {say_duration(minutes * 60)} of takes from "
            f"{clock_of(case, max(rolls[0].start, loss.line.since))} on that nobody finds by the clock",
            (Amount("on a wrong time", float(minutes), "min"),),
            float(minutes),
        ),
        fix=Fix(
            f"Set {WHO} again as soon as it is back at {back}, before the next roll; or keep it on a second supply "
            "meanwhile"
        ),
        decided_by=(case.setup.devices[loss.key].timecode.loses_time_on,),
        also=tuple(Mention(roll.event.place, "a take on it") for roll in rolls),
    )


def _why(event: Event | None) -> str:
    """The reason that the day gives, in brackets."""
    words = " ".join(event.words("why")) if event else ""
    return f" ({words})" if words and len(words) <= 30 else ""


def _unsure(case: Case) -> Iterator[Yielded]:
    """The devices that were off, of which nobody says whether they keep their time, and which go on with it."""
    for step in case.run.steps:
        for key in step.keys if step.what == "power back" and not case.run.jams_taken_for_granted else ():
            state = case.run.histories[key] and case.run.at(key, step.at) if key in case.run.histories else None
            side = state.device.timecode if state else None
            if side is None or side.keeps_time_off.value is not None or side.loses_time_on.value is not None:
                continue
            # Its counter kept the time through the whole of the break, so far as anybody can tell.
            use = use_kept(case, key, step.at, step.at)
            if use is not None:
                called = case.setup.called(key)
                lacks = f"whether {called} keeps its time while it is off (able: timecode: loses_time_on)"
                yield Unjudged(time_lost_with_power.record, side.place, lacks, (called,))


def _jams_unknown(case: Case, which: Rule, loss: Loss) -> Unjudged:
    """The days tell of no jam at all, so that one after the power was back may only not be told."""
    called = case.setup.called(loss.key)
    lacks = f"whether {called} is jammed after it is back at {clock_of(case, loss.line.since)} (do: jam)"
    return Unjudged(which.record, loss.line.cause, lacks, (called,))


# --- the finding of both ---------------------------------------------------------------------------------------


def _finding(case: Case, which: Rule, loss: Loss, use: Use, told: tuple[str, tuple[Amount, ...], Fact[Any]]) -> Finding:
    """The finding on a device that lost its time."""
    device = case.setup.devices[loss.key]
    says, amounts, ability = told
    lead_in = _lead_stays(case, device)
    sure = not (lead_in or (use.rolls_before and not use.rolls))
    return which.record.finding(
        at=loss.line.cause,
        level=None if sure else Level.WARNING,
        says=f"{says}{_not_cured(case, loss, use)} before {use.before(case)}",
        who=(device.called,),
        cause=(loss.line.cause, use.when, loss.line.origin, ability.text, source_of(case, loss.key), lead_in),
        also=(Mention(ability.place, "what it keeps its time through"),),
        costs=_cost(case, loss, use, amounts),
        fix=_fix(case, loss, use, lead_in=lead_in),
        decided_by=(ability,),
    )


def _is_source(case: Case, loss: Loss, use: Use) -> bool:
    """Whether the time of those beside it was its own, so that they are to be jammed from it and not it from them."""
    return source_of(case, loss.key) is None and any(_was_of(case, key, loss.key, use.start) for key in use.beside)


def _was_of(case: Case, key: str, root: str, at: Fraction) -> bool:
    time = case.run.at(key, at).time
    return time is not None and time.line.root == root


def _not_cured(case: Case, loss: Loss, use: Use) -> str:
    """What was not done."""
    if _is_source(case, loss, use):
        others = _fed_by(case, loss, use)
        return (
            f"{listed(map(case.setup.called, others))} {'is' if len(others) == 1 else 'are'} not jammed from "
            f"{either('it', 'them')} again"
        )
    return f"{either('is', 'are')} not {'jammed' if source_of(case, loss.key) else 'set'} again"


def _fed_by(case: Case, loss: Loss, use: Use) -> tuple[str, ...]:
    """The devices that were jammed from one that lost its time, and still carry what it had before."""
    targets = dict.fromkeys(jam.target for jam in case.run.jams if jam.source == loss.key)
    old = tuple(key for key in targets if _was_of(case, key, loss.key, use.start) and not _is_on(case, key, loss, use))
    return old or use.beside


def _is_on(case: Case, key: str, loss: Loss, use: Use) -> bool:
    time = case.run.at(key, use.start).time
    return time is not None and time.line == loss.line


def _lead_stays(case: Case, device: Device) -> bool:
    """Whether a device set to `jam` has its lead in all the time, and may take the time anew as it comes on."""
    feeds = case.run.feeds.get(device.key, ())
    return device.timecode.mode.value == "jam" and any(feed.last.connected.value == "all day" for feed in feeds)


def _cost(case: Case, loss: Loss, use: Use, amounts: tuple[Amount, ...]) -> Cost:
    """How far off it is, as far as can be told, and how much is recorded so."""
    off, away = loss.line.since - (loss.off_since or loss.line.since), ""
    more: tuple[Amount, ...] = ()
    if loss.line.origin is Origin.LAST:
        away, more = f", {say_duration(off)} behind", (Amount("behind", float(off), "s"),)
    elif loss.line.origin is Origin.ZERO and case.setup.project.timecode_as.value == "time of day":
        away = f" where {clock_of(case, loss.line.since)} is meant"
    hang, beside = behind(case, use, loss.key), others_beside(case, use, loss.line)
    says = (
        f"{WHO} {_STARTS[loss.line.origin]}{away}: {use_told(case, use)}, "
        f"{'with ' + hang + ' on the same time, ' if hang else ''}beside {listed(map(case.setup.called, beside))} on "
        "another"
    )
    return Cost(says, (*more, *amounts, *use_amounts(use)), float(use.seconds))


def _fix(case: Case, loss: Loss, use: Use, *, lead_in: bool) -> Fix:
    """Keep it on, or jam after it is back."""
    back, first = clock_of(case, loss.line.since), first_use(case, use)
    on = f"keep {WHO} on a second supply meanwhile"
    roll = use.rolls[0].start if use.rolls else None
    if _is_source(case, loss, use):
        keys = _fed_by(case, loss, use)
        return Fix(
            f"Jam {listed(map(case.setup.called, keys))} from {WHO} again between {back} and {first}, in one round; "
            f"or {on}",
            jam_added(case, keys, loss.key, loss.line.since, roll),
        )
    source = source_of(case, loss.key)
    if source is None:
        return Fix(f"Set {WHO} again between {back} and {first}; or {on}")
    edits = jam_added(case, [loss.key], source, loss.line.since, roll)
    if lead_in:
        return Fix(f"Pull the lead of {WHO} and plug it again between {back} and {first}; or {on}", edits)
    return Fix(f"Jam {WHO} from {case.setup.called(source)} between {back} and {first}; or {on}", edits)


RULES: tuple[Rule, ...] = (off_longer_than_it_keeps_time, time_lost_with_power)
