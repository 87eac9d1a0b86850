"""Cameras that keep pictures from before the button is pressed, and the labels that these get."""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction

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
    Remove,
    either,
)
from synclint.rig.model import Device
from synclint.rules.framework import Case, Rule, Yielded, rule
from synclint.rules.hand_work import clips_of
from synclint.rules.moments import in_frames
from synclint.rules.ways_to_sync import cameras, is_own, keeps_label
from synclint.rules.wording import PRACTICE
from synclint.trade.quantities import say_duration


@rule(
    Record(
        name="pre-record-and-labels",
        summary="A camera keeps pictures from before the button, and their labels are late or used already",
        level=Level.WARNING,
        hurts=Hurts.TIME,
        mended=Mended.TEST_DAY,
        why="A clip with pre-record begins seconds before the button. By model its first label is that of its first "
        "picture or that of the button, and in record run it lies on labels that the clip before has used.",
        sources=(PRACTICE,),
        answers=("pre-record or cache record with external or record-run timecode",),
    )
)
def pre_record_and_labels(case: Case) -> Iterator[Yielded]:
    """A camera with pre-record is in record run, or was seen to stamp the button; else a clip is to be looked at."""
    record = pre_record_and_labels.record
    for device in cameras(case):
        side = device.handover
        if not side.pre_record.value or not keeps_label(case, device):
            continue
        if device.timecode.mode.value == "record run":
            yield _twice(case, device, side.pre_record.value)
        elif side.pre_record_labelled_at.value == "button":
            yield _late(case, device, side.pre_record.value)
        elif side.pre_record_labelled_at.value is None:
            line = f"Clap in the {say_duration(side.pre_record.value)} before the button on {WHO}, and see which label "
            line += "the clap bears: that of the clap, or one of the time after the button"
            yield CheckLine(record, Mended.TEST_DAY, line, (device.called,), side.pre_record.place)


def _twice(case: Case, device: Device, length: Fraction) -> Finding:
    """The finding on a camera in record run."""
    clips = clips_of(case, device)
    many = f", in up to {clips - 1} of {clips} clips" if clips and clips > 1 else ""
    mode = device.timecode.mode
    return pre_record_and_labels.record.finding(
        at=device.handover.pre_record.place,
        says=f"{WHO} {either('is', 'are')} in record run and {either('begins', 'begin')} each clip "
        f"{say_duration(length)} before the button, on labels of the clip before",
        who=(device.called,),
        cause=("twice", length, clips),
        costs=Cost(
            f"{say_duration(length)} of labels stand in two clips each time{many}, and a search by timecode finds both",
            (Amount("labels that come twice", float(length), "s a clip"),),
            float(length),
        ),
        fix=_off(case, device, f"or set {either('it', 'them')} to free run"),
        decided_by=(device.handover.pre_record, mode),
        also=(Mention(mode.place, "record run"),),
    )


def _late(case: Case, device: Device, length: Fraction) -> Finding:
    """The finding on a camera that stamps a clip with the time of the button."""
    labelled = device.handover.pre_record_labelled_at
    return pre_record_and_labels.record.finding(
        at=labelled.place,
        says=f"{WHO} {either('begins', 'begin')} each clip {say_duration(length)} before the button and "
        f"{either('labels', 'label')} its first picture with the time of the button",
        who=(device.called,),
        cause=("late", length),
        costs=Cost(
            f"every label of such a clip is {in_frames(case, length)} later than its picture",
            (Amount("labels late by", float(length), "s"),),
            float(length),
        ),
        fix=_off(case, device, f"or let post take {say_duration(length)} off and write it on the sheet"),
        decided_by=(device.handover.pre_record, labelled),
    )


def _off(case: Case, device: Device, instead: str) -> Fix:
    """Pre-record switched off."""
    place = device.handover.pre_record_place
    edits = (Remove(place),) if is_own(case, device, place) else ()
    return Fix(f"Switch pre-record of {WHO} off for sync takes, {instead}", edits)


RULES: tuple[Rule, ...] = (pre_record_and_labels,)
