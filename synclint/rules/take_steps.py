"""Timecode that steps while a take runs."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction
from itertools import pairwise

from synclint.day.moments import Carried, Origin, Roll, State
from synclint.day.phases import Offset
from synclint.findings import (
    WHO,
    Amount,
    Cost,
    Edit,
    Fact,
    Finding,
    Fix,
    Hurts,
    Level,
    Mended,
    Mention,
    Record,
    either,
)
from synclint.rules.day_edits import moved_to
from synclint.rules.framework import Case, Rule, Yielded, rule
from synclint.rules.generations import deciding
from synclint.rules.moments import clock_of, in_frames
from synclint.rules.takes import LOST, labelled_in
from synclint.rules.wording import PRACTICE
from synclint.trade.quantities import say_duration


@dataclass(frozen=True, slots=True)
class _Step:
    """A device whose time is set anew while it rolls."""

    key: str
    roll: Roll
    after: State
    size: Offset | None
    """None where it is set by hand and nobody knows by how much."""

    @property
    def at(self) -> Fraction:
        """The instant at which it steps."""
        return self.after.since


@rule(
    Record(
        name="timecode-steps-inside-a-take",
        summary="A device is given a new time while it rolls, and its labels step by a frame or more",
        level=Level.WARNING,
        hurts=Hurts.TIME,
        mended=Mended.SET,
        why="A file takes its label once and counts on, so a jam inside a take mends nothing in it; where code is "
        "written for every frame there is a jump or a number twice. The frames stay where they were.",
        sources=(PRACTICE,),
        answers=("timecode stepped inside a take",),
    )
)
def timecode_steps_inside_a_take(case: Case) -> Iterator[Yielded]:
    """A jam, a setting or a link that is back steps the time of a device while it rolls."""
    for roll in case.run.rolls:
        for part in labelled_in(case, roll):
            for step in _steps(case, part.key, roll):
                if step.size is None or step.size.worst >= _limit(case, step.after):
                    yield _stepped(case, step)


def _steps(case: Case, key: str, roll: Roll) -> Iterator[_Step]:
    """Where a device's time is set anew inside a take, with how far the new one may be from the old."""
    states = case.run.between(key, roll.start, roll.end)
    for before, after in pairwise(states):
        was, now = before.time, after.time
        if was is None or now is None or not _set_anew(was, now):
            continue
        if was.line == now.line:
            phases = case.phases
            old, new = (phases.of_time(key, time, after.since) for time in (was, now))
            size = phases.apart(old, new)
            if size is not None:
                yield _Step(key, roll, after, size)
        elif now.line.origin is Origin.SET and was.line.origin not in {*LOST, Origin.LEFT}:
            yield _Step(key, roll, after, None)


def _set_anew(was: Carried, now: Carried) -> bool:
    """Whether a time is another than before, and not the same that goes on by itself or by another way."""
    let_go = bool(now.hands) and now.hands[-1].let_go
    return not let_go and (was.line, was.hands) != (now.line, now.hands)


def _limit(case: Case, state: State) -> Fraction:
    """From which step on it matters: a frame, or half of one where code is written for every frame."""
    frame = case.frame or Fraction(1, 25)
    kept_on = state.device.timecode_on.value or ("file",)
    return frame if "file" in kept_on else frame / 2


def _stepped(case: Case, step: _Step) -> Finding:
    """The finding on a step."""
    device = case.setup.devices[step.key]
    at, start = clock_of(case, step.at), clock_of(case, step.roll.start)
    facts: tuple[Fact[object], ...] = step.size.facts if step.size else ()
    into = say_duration(step.at - step.roll.start)
    return timecode_steps_inside_a_take.record.finding(
        at=step.after.cause,
        says=f"the time of {WHO} is set anew at {at}, while {either('it has', 'they have')} been rolling since {start}",
        who=(device.called,),
        cause=("step", step.at, step.roll.start),
        costs=_cost(case, step, into),
        fix=Fix(
            f"Leave the time of {WHO} alone from {start} to {clock_of(case, step.roll.end)}; jam it between takes",
            _after_the_take(case, step),
        ),
        decided_by=deciding(facts),
        numbers_from=facts,
        also=(Mention(step.roll.event.place, "the take"),),
    )


def _after_the_take(case: Case, step: _Step) -> tuple[Edit, ...]:
    """The jam or setting at the end of the take, where none of those that it is of is in another take then."""
    made = (each for each in case.run.steps if each.at == step.at and each.what in {"jam", "set clock"})
    event = next((each.event for each in made if each.event and each.event.place == step.after.cause), None)
    end = step.roll.end
    if event is None or event.place.span.file != case.setup.file:
        return ()
    busy = {key for roll in case.run.rolls if roll.start < end < roll.end for key in roll.devices}
    return () if busy.intersection(event.of) else moved_to(case, event, end)


def _cost(case: Case, step: _Step, into: str) -> Cost:
    """How far the labels step, and where in the take."""
    if step.size is None:
        says = f"{into} into the take the labels jump by nobody knows how much, and what was recorded stays as it was"
        return Cost(says, (Amount("into the take", float((step.at - step.roll.start) / 60), "min"),))
    says = (
        f"{into} into the take the labels step by up to {in_frames(case, step.size.worst)}, and what was recorded "
        "stays as it was"
    )
    return Cost(says, (Amount("step", float(step.size.worst * 1000), "ms"),), float(step.size.worst))


RULES: tuple[Rule, ...] = (timecode_steps_inside_a_take,)
