"""Changes to the rig in the course of a day: from when on the sheet of the morning is wrong."""

from __future__ import annotations

from collections.abc import Iterator

from synclint.day.moments import State
from synclint.day.schedule import Step
from synclint.findings import (
    WHO,
    Amount,
    CheckLine,
    Cost,
    Finding,
    Fix,
    Hurts,
    Level,
    Mended,
    Mention,
    Record,
    either,
)
from synclint.rules.day_edits import clip_compared
from synclint.rules.framework import Case, Rule, Yielded, rule
from synclint.rules.lost_lines import is_special
from synclint.rules.moments import clock_of
from synclint.rules.takes import LOST, Take, by_unit, main_line, sync_takes
from synclint.rules.wording import PRACTICE
from synclint.trade.quantities import say_duration


@rule(
    Record(
        name="changed-without-a-jam",
        summary="How a device takes its time is changed in the day, and it rolls before anybody jams or compares it",
        level=Level.NOTE,
        hurts=Hurts.HABIT,
        mended=Mended.SET,
        why="From that minute on the sheet of the morning is wrong, and post goes by the sheet. A change is a jam, a "
        "comparison and a new letter on the sheet, with the timecode from which it holds.",
        sources=(PRACTICE,),
        answers=("change without jam, verify and a new sheet",),
    )
)
def changed_without_a_jam(case: Case) -> Iterator[Yielded]:
    """A setting of how a device is labelled is changed, and neither a jam nor a comparison follows before a take."""
    for step in case.run.steps:
        if step.what not in ("set", "arrive", "leave") or step.event is None or step.at <= case.run.start:
            continue
        changed = [key for key in step.keys if key in case.run.histories and _changed(case, step, key)]
        unseen = [] if case.run.jams_taken_for_granted or step.what != "set" else changed
        for key in unseen:
            take = _next_take(case, step, key)
            special = is_special(case.run.before(key, step.at).device)  # back from it is told where jams are judged
            if special or take is None or _looked_at(case, step, key, take):
                continue
            if _on_the_line(case, take, key):
                yield _unseen(case, step, key, take)
        if changed:
            yield _new_sheet(case, step, changed)


def _changed(case: Case, step: Step, key: str) -> bool:
    """Whether a step changes from where or how a device takes its time, or brings or takes one that records."""
    was, now = case.run.before(key, step.at), case.run.at(key, step.at)
    if step.what != "set":
        return was.present != now.present and now.device.records
    return _how(was) != _how(now)


def _how(state: State) -> tuple[str | None, str | None]:
    """From where and in which mode a device takes its time."""
    timecode = state.device.timecode
    return timecode.source.value, timecode.mode.value


def _next_take(case: Case, step: Step, key: str) -> Take | None:
    """The first take with sync sound that a device is in afterwards."""
    takes = (take for take in sync_takes(case) if take.roll.start >= step.at)
    return next((take for take in takes if any(part.key == key for part in take.parts)), None)


def _looked_at(case: Case, step: Step, key: str, take: Take) -> bool:
    """Whether a device is jammed or compared between a change and a take."""
    jams = (jam.at for jam in case.run.jams if jam.target == key)
    seen = (each.at for each in case.run.comparisons if key in (each.device, each.against))
    return any(step.at <= at <= take.roll.start for at in (*jams, *seen))


def _on_the_line(case: Case, take: Take, key: str) -> bool:
    """Whether a device is on the line of its take; where it is not, that is told as a fault."""
    parts = next(parts for parts in by_unit(case, take.parts).values() if any(part.key == key for part in parts))
    line = next(part.line for part in parts if part.key == key)
    return line.origin not in LOST and line == main_line(case, case.domain_of(key), take.roll, parts)


def _unseen(case: Case, step: Step, key: str, take: Take) -> Finding:
    """The note on a change that nobody has looked at before a take."""
    was, now = _how(case.run.before(key, step.at)), _how(case.run.at(key, step.at))
    at, start = clock_of(case, step.at), clock_of(case, take.roll.start)
    words = ", ".join(
        f"{name} {new} and no more {name} {old}" if old else f"{name} {new}"
        for name, old, new in zip(("from", "in mode"), was, now, strict=True)
        if old != new
    )
    place = step.event.place if step.event else case.setup.place
    return changed_without_a_jam.record.finding(
        at=place,
        says=f"from {at} on {WHO} {either('takes its', 'take their')} time {words}, and nobody jams or "
        f"compares {either('it', 'them')} before the roll at {start}",
        who=(case.setup.called(key),),
        cause=(place, words, start),
        costs=Cost(
            f"the take of {say_duration(take.roll.length)} is the first to show whether its labels are right, and post "
            f"has a sheet that is wrong from {at} on",
            (Amount("takes before anybody looks", float(take.roll.length / 60), "min"),),
            float(take.roll.length),
        ),
        fix=Fix(
            f"Jam {WHO} after {at}, film the slate and compare the recorded clip; give the sheet its next letter",
            clip_compared(case, [key], _root_of(case, take, key), step.at, take.roll.start),
        ),
        also=(Mention(take.roll.event.place, "the take"),),
    )


def _root_of(case: Case, take: Take, key: str) -> str:
    """The device whose time a take is on."""
    parts = next(parts for parts in by_unit(case, take.parts).values() if any(part.key == key for part in parts))
    return main_line(case, case.domain_of(key), take.roll, parts).root


def _new_sheet(case: Case, step: Step, keys: list[str]) -> CheckLine:
    """The line for the sheet: from which timecode on what is different."""
    revision = case.setup.revision.value
    letter = f"a new revision letter (now {revision})" if revision else "a new revision letter"
    at = clock_of(case, step.at)
    does = {
        "set": "takes time in another way|take time in another way",
        "arrive": "joins|join",
        "leave": "leaves|leave",
    }
    one, many = does[step.what].split("|")
    until = "until" if step.what == "leave" else "from"
    line = f"{WHO} {either(one, many)} at {at}: write it on the sheet with {letter} and '{until} TC {at}'"
    place = step.event.place if step.event else None
    who = tuple(map(case.setup.called, keys))
    return CheckLine(changed_without_a_jam.record, Mended.SET, line, who, place, step.at)


RULES: tuple[Rule, ...] = (changed_without_a_jam,)
