"""Cameras that keep time as phones do: pictures at no constant rate, labels from a clock of whole seconds."""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction

from synclint.findings import (
    WHO,
    AddKey,
    Amount,
    Confirmed,
    Cost,
    Edit,
    Fact,
    Finding,
    Fix,
    Hurts,
    Level,
    Mended,
    Mention,
    Place,
    Record,
    SetValue,
    Source,
    either,
)
from synclint.rig.model import Device
from synclint.rules.framework import Case, Rule, Yielded, rule
from synclint.rules.hand_work import BY_HAND, by_hand, rolls_of
from synclint.rules.spans import take_of
from synclint.rules.ways_to_sync import TIMECODE, cameras, is_own, sync_by_edit
from synclint.rules.wording import PRACTICE
from synclint.trade.quantities import say_duration
from synclint.trade.rates import Rate

_THOUSANDTH = Fraction(1, 1000)
_DISPLAY = "display in picture"
_SUM = Source("0.1 % of an hour is 3.6 s", Confirmed.ARITHMETIC)


@rule(
    Record(
        name="variable-frame-rate",
        summary="A camera whose picture rate varies is laid to sound",
        level=Level.ERROR,
        hurts=Hurts.POST,
        mended=Mended.MORNING,
        why="Phones and screen recordings take a picture when there is light or work for one. Their average rate is "
        "not the one in the header, and the difference comes and goes: head and tail may fit, and the middle not.",
        sources=(PRACTICE, _SUM),
        answers=("variable frame rate",),
    )
)
def variable_frame_rate(case: Case) -> Iterator[Yielded]:
    """A camera shoots at a variable rate, by its settings or as its type does, and its clips are laid to sound."""
    for device in cameras(case):
        fact = _varying(case, device)
        if fact is not None:
            yield _varies(case, device, fact)


def _varying(case: Case, device: Device) -> Fact[str] | Fact[bool] | None:
    """By what a camera varies its rate in the takes that are laid to sound; None where it keeps one."""
    side, rolls = device.handover, rolls_of(case).get(device.key, ())
    if side.never_constant.value:
        return side.never_constant
    pictures = [case.run.at(device.key, roll.start).device.picture for roll in rolls if roll.event.sync_sound]
    for picture in pictures or [device.picture]:
        if picture is not None and picture.variable.value:
            return side.shot_at if picture is device.picture else picture.variable
    return None


def _varies(case: Case, device: Device, fact: Fact[str] | Fact[bool]) -> Finding:
    """The finding on a camera that keeps no rate."""
    take = take_of(case, device)
    seconds = take.value if take is not None and take.value is not None else Fraction(3600)
    apart = seconds * _THOUSANDTH
    length = f"the longest take of {say_duration(seconds)}" if take is not None else "an hour"
    wanted = _constant(case, device)
    at = fact.place if fact.value else device.handover.own.place
    return variable_frame_rate.record.finding(
        at=at,
        says=f"{WHO} {either('takes its', 'take their')} pictures at a rate that varies, and {either('is', 'are')} "
        "laid to sound",
        who=(device.called,),
        cause=("varies", seconds, wanted),
        costs=Cost(
            f"for each 0.1 % that the rate is off on the average, picture and sound are {say_duration(apart)} apart at "
            f"the end of {length}; inside it they drift to and fro, and no timecode tells by how much",
            (Amount("apart for each 0.1 %", float(apart), "s"),),
            float(apart),
        ),
        fix=_keep_a_rate(case, device, at, wanted),
        decided_by=(fact,),
    )


def _constant(case: Case, device: Device) -> Rate | None:
    """The constant rate to set: the project's where the camera is known to have it, or nobody says what it has."""
    project, able = case.setup.project.rate.value, device.handover.able_rates.value
    if project is None or device.handover.never_constant.value:
        return None
    return project.rate if able is None or project.rate in able else None


def _keep_a_rate(case: Case, device: Device, at: Place, wanted: Rate | None) -> Fix:
    """A constant rate in the camera; where it has none, files made constant before the edit."""
    if wanted is not None:
        edits = (SetValue(at, wanted.name),) if is_own(case, device, at) else ()
        return Fix(f"Set {WHO} to a constant {wanted.name}, and clap at head and tail of each clip", edits)
    return Fix(
        f"Record with what keeps a constant rate on {WHO}; else have each file made constant before the edit, and clap "
        f"at its head and tail; where nobody cuts {either('it', 'them')} to sound, write sync_by: none"
    )


# --- labels of whole seconds -----------------------------------------------------------------------------------


@rule(
    Record(
        name="labels-only-to-the-second",
        summary="Post lays a camera by labels that come from a clock of whole seconds",
        level=Level.WARNING,
        hurts=Hurts.TIME,
        mended=Mended.MORNING,
        why="An action camera, a drone or a phone takes its time from an app or a network, to the second. Its files "
        "look labelled to the frame, and each clip is up to a second off, one so and the next otherwise.",
        sources=(BY_HAND,),
        answers=("clock-only cameras and rates from another world",),
    )
)
def labels_only_to_the_second(case: Case) -> Iterator[Yielded]:
    """A camera whose labels are good to a second keeps them in its files, and is not laid by anything else."""
    for device in cameras(case):
        fine, on = device.handover.labels_to, device.timecode_on
        in_file = on.value is None or "file" in on.value
        planned = device.handover.sync_by.value or case.setup.project.post_sync_by.value
        if fine.value == "second" and in_file and (planned is None or planned[:1] == (TIMECODE,)):
            yield _coarse(case, device)


def _coarse(case: Case, device: Device) -> Finding:
    """The finding on a camera whose labels are not good to a frame."""
    fine, on, rate = device.handover.labels_to, device.timecode_on, case.setup.project.rate.value
    frames = f", {rate.rate.nominal} frames at {rate.rate.name}" if rate else ""
    amounts = (Amount("labels off by", rate.rate.nominal, "frames"),) if rate else (Amount("labels off by", 1, "s"),)
    work = by_hand(case, device)
    edits: tuple[Edit, ...] = ()
    if on.written and is_own(case, device, on.place):
        edits = (SetValue(on.place, "none"), *sync_by_edit(case, device, f"[{_DISPLAY}]"))
    elif is_own(case, device, device.handover.own.place) and not on.written:
        edits = (AddKey(device.handover.own.place, "timecode_on", "none"), *sync_by_edit(case, device, f"[{_DISPLAY}]"))
    return labels_only_to_the_second.record.finding(
        at=on.place if on.written else device.place,
        says=f"{WHO} {either('is', 'are')} laid by {either('its', 'their')} timecode, which is good to a second only",
        who=(device.called,),
        cause="to the second",
        costs=Cost(
            f"each clip lies up to 1 s early or late{frames}: {work.says}", (*amounts, *work.amounts), work.weight
        ),
        fix=Fix(
            f"Film the running timecode display with {WHO} at the start and the end of each card, and tell post to lay "
            f"{either('it', 'them')} by that: timecode_on: none, sync_by: [{_DISPLAY}]",
            edits,
        ),
        decided_by=(fine,),
        also=(Mention(fine.place, "labels to a second"),),
    )


RULES: tuple[Rule, ...] = (variable_frame_rate, labels_only_to_the_second)
