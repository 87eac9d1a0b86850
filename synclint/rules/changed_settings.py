"""Settings that are changed in the day after the jam, on devices that forget their time by it."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from synclint.day.schedule import Step
from synclint.findings import (
    WHO,
    Cost,
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
from synclint.rig.model import Device
from synclint.rules.day_edits import jam_added
from synclint.rules.framework import Case, Rule, Yielded, rule
from synclint.rules.lost_lines import (
    Use,
    behind,
    first_use,
    is_special,
    losses,
    others_beside,
    source_of,
    use_amounts,
    use_kept,
    use_of,
    use_told,
)
from synclint.rules.moments import clock_of
from synclint.rules.wording import PRACTICE


@dataclass(frozen=True, slots=True)
class Change:
    """A device whose rate or way of running is changed in the day, and what it was before."""

    key: str
    step: Step
    old: Device
    new: Device

    @property
    def kinds(self) -> tuple[str, ...]:
        """What changes, in the words of `loses_time_on`."""
        rate = self.old.timecode.rate.value != self.new.timecode.rate.value or _shot(self.old) != _shot(self.new)
        mode = self.old.timecode.mode.value != self.new.timecode.mode.value
        return (*(("rate change",) if rate else ()), *(("mode change",) if mode else ()))

    @property
    def comes_back(self) -> bool:
        """Whether it takes a camera out of record run or off-speed, back to normal."""
        return is_special(self.old) and not is_special(self.new)

    @property
    def goes_off(self) -> bool:
        """Whether it takes a camera into record run or off-speed, or from one such way to another."""
        return is_special(self.new)

    @property
    def words(self) -> str:
        """What it is set to: `25`, `free run`."""
        if "mode change" in self.kinds:
            return self.new.timecode.mode.value or "another mode"
        if _shot(self.old) != _shot(self.new) and self.new.picture is not None:
            return self.new.picture.shot_at.text
        return self.new.timecode.rate.text


def _shot(device: Device) -> object:
    return device.picture.shot_at.value if device.picture else None


def changes(case: Case) -> tuple[Change, ...]:
    """All changes of rate or mode in the days, in order."""
    return case.once(_changes)


def _changes(case: Case) -> tuple[Change, ...]:
    found = []
    for step in case.run.steps:
        for key in step.keys if step.what == "set" else ():
            if key in case.run.histories:
                old, new = case.run.before(key, step.at).device, case.run.at(key, step.at).device
                change = Change(key, step, old, new)
                if change.kinds:
                    found.append(change)
    return tuple(found)


@rule(
    Record(
        name="jammed-before-the-rate-was-set",
        summary="Rate or run mode is changed after the jam on a device that loses its time by it",
        level=Level.ERROR,
        hurts=Hurts.POST,
        mended=Mended.SET,
        why="On many cameras the count starts anew or is converted when the rate or the mode is switched; how far off "
        "it then is nobody can say. First rate, count and mode, then the jam.",
        sources=(PRACTICE,),
        answers=("jammed before the rate was set", "recorder left its time-of-day mode and came back"),
    )
)
def jammed_before_the_rate_was_set(case: Case) -> Iterator[Yielded]:
    """A change of rate or mode made a device start anew, and what it then carries is recorded beside others."""
    record = jammed_before_the_rate_was_set.record
    lines = {(loss.key, loss.line.since): loss.line for loss in losses(case) if loss.off_since is None}
    for change in changes(case):
        if change.goes_off or change.comes_back:
            continue  # off-speed takes bear no time of day; what comes after them is told as such
        loses = change.old.timecode.loses_time_on
        line = lines.get((change.key, change.step.at))
        if line is not None:
            use = use_of(case, line)
            if use is not None and case.run.jams_taken_for_granted:
                yield _unjudged(case, record, change, "is jammed again after it (do: jam)")
            elif use is not None:
                says = (
                    f"set to {change.words} at {clock_of(case, change.step.at)}, {WHO} "
                    f"{either('loses', 'lose')} the time of {either('its', 'their')} jam, and "
                    f"{either('is', 'are')} not jammed again before {use.before(case)}"
                )
                yield _finding(case, record, change, use, says)
        elif loses.value is None and _kept(case, change) is not None and not case.run.jams_taken_for_granted:
            yield _unjudged(case, record, change, "keeps its time through it (able: timecode: loses_time_on)")


def _kept(case: Case, change: Change) -> Use | None:
    """What is recorded on the time that a device's own counter is trusted to have kept through a change."""
    return use_kept(case, change.key, change.step.at, change.step.at)


def _unjudged(case: Case, record: Record, change: Change, what: str) -> Unjudged:
    called = case.setup.called(change.key)
    at = change.step.event.place if change.step.event else change.new.place
    lacks = f"whether {called}, set to {change.words} at {clock_of(case, change.step.at)}, {what}"
    return Unjudged(record, at, lacks, (called,))


@rule(
    Record(
        name="special-mode-and-no-jam",
        summary="A camera comes back from an off-speed or record-run mode and is not jammed again",
        level=Level.ERROR,
        hurts=Hurts.POST,
        mended=Mended.SET,
        why="Interval, frame-by-frame and slow-and-quick modes force record run whatever is set. Back to normal, the "
        "counter may stand where record run left it: treat it as a change of battery.",
        sources=(PRACTICE,),
        answers=("interval, frame-by-frame, slow-and-quick mode, then back to normal",),
    )
)
def special_mode_and_no_jam(case: Case) -> Iterator[Yielded]:
    """A camera was off-speed or in record run, is back, and rolls on its own counter without a jam in between."""
    record = special_mode_and_no_jam.record
    lines = {(loss.key, loss.line.since): loss.line for loss in losses(case) if loss.off_since is None}
    for change in changes(case):
        if not change.comes_back:
            continue
        line = lines.get((change.key, change.step.at))
        loses = change.old.timecode.loses_time_on
        if line is None and loses.value is not None:
            continue  # somebody says what makes it lose its time, and this does not
        use = use_of(case, line) if line is not None else _kept(case, change)
        if use is None:
            continue
        if case.run.jams_taken_for_granted:
            yield _unjudged(case, record, change, "is jammed again after it (do: jam)")
            continue
        was = "record run" if change.old.timecode.mode.value == "record run" else _speed(change.old)
        says = (
            f"{WHO} {either('comes', 'come')} back from {was} at {clock_of(case, change.step.at)} and "
            f"{either('is', 'are')} not jammed again before {use.before(case)}"
        )
        yield _finding(case, record, change, use, says, sure=line is not None)


def _speed(device: Device) -> str:
    return f"{device.picture.shot_at.text} pictures a second" if device.picture else "off-speed"


# --- the finding of both ---------------------------------------------------------------------------------------


def _finding(case: Case, record: Record, change: Change, use: Use, says: str, *, sure: bool = True) -> Finding:
    """The finding on a device that was set after its jam."""
    event = change.step.event
    loses = change.old.timecode.loses_time_on
    source = source_of(case, change.key)
    hang = behind(case, use, change.key)
    start = "comes back with a time that nobody knows" if sure else "may stand where record run left it"
    starts = "come back with a time that nobody knows" if sure else "may stand where record run left them"
    line = next((each.line for each in losses(case) if each.key == change.key and each.step is change.step), None)
    others = others_beside(case, use, line) if line is not None else use.beside
    first, beside = first_use(case, use), listed(map(case.setup.called, others))
    roll = use.rolls[0].start if use.rolls else None
    jam = f"Jam {WHO} from {case.setup.called(source)}" if source else f"Jam {beside} from {WHO}"
    return record.finding(
        at=event.place if event else change.new.place,
        level=None if sure and not use.rolls_before else Level.WARNING,
        says=says,
        who=(case.setup.called(change.key),),
        cause=(change.step.at, use.when, source, sure, change.words),
        also=(Mention(loses.place, "what it loses its time on"),) if loses.value else (),
        costs=Cost(
            f"{WHO} {either(start, starts)}: {use_told(case, use)}, "
            f"{'with ' + hang + ' on the same time, ' if hang else ''}beside {beside} on another",
            use_amounts(use),
            float(use.seconds),
        ),
        fix=Fix(
            f"{jam} between {clock_of(case, change.step.at)} and {first}, after rate, count and mode are set; then "
            "look at a recorded clip",
            jam_added(case, *((change.key,), source) if source else (others, change.key), change.step.at, roll),
        ),
        decided_by=(loses,) if sure else (),
    )


RULES: tuple[Rule, ...] = (jammed_before_the_rate_was_set, special_mode_and_no_jam)
