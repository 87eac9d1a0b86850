"""Clips that are laid by what their cameras hear, from far away."""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction

from synclint.findings import (
    WHO,
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
    Record,
    Source,
    Unjudged,
    either,
)
from synclint.rig.model import Device
from synclint.rules.framework import Case, Rule, Yielded, rule
from synclint.rules.moments import in_frames
from synclint.rules.ways_to_sync import SCRATCH, TIMECODE, cameras, keeps_label, sync_by_edit
from synclint.rules.wording import PRACTICE
from synclint.trade.quantities import say_number
from synclint.trade.sound import SPEED_OF_SOUND, sound_delay

_SPEED = Source("speed of sound in air at 20 °C, 343 m/s; from memory", Confirmed.MEMORY)


@rule(
    Record(
        name="waveform-from-far-away",
        summary="Post lays clips by their sound, and a camera's microphone is far from what it hears",
        level=Level.WARNING,
        hurts=Hurts.TIME,
        mended=Mended.TEST_DAY,
        why="Sound takes 2.9 ms for a metre, a frame of 25 for 13.7 m. A clip whose scratch sound is laid on the "
        "mixer's sound puts its picture earlier by that much, the same in every clip, and beside what timecode says.",
        sources=(_SPEED, PRACTICE),
        answers=("waveform sync and timecode sync give different answers",),
    )
)
def waveform_from_far_away(case: Case) -> Iterator[Yielded]:
    """Compare what sound takes to a camera's microphone with the tolerance, where the camera is laid by its sound."""
    record, tolerance = waveform_from_far_away.record, _good_enough(case)
    for device in cameras(case):
        plan = _first_way(case, device)
        distance = device.handover.mic_distance
        if plan is None or device.handover.silent.value is True or _gets_a_line(case, device):
            continue
        if distance.value is None:
            lacks = f"how far the microphone of {device.called} is from what it hears (records: sound: mic_distance)"
            yield Unjudged(record, device.place, lacks, (device.called,))
        elif tolerance is None:
            yield Unjudged(record, case.setup.project.place, "the project's rate or tolerance", (device.called,))
        elif sound_delay(distance.value) > tolerance:
            yield _too_far(case, device, plan)


def _good_enough(case: Case) -> Fraction | None:
    """How late sound may be for a waveform to be trusted, in seconds: half a frame, or a tolerance that is less."""
    halves = [case.frame / 2] if case.frame is not None else []
    return min([*halves, *([case.tolerance] if case.tolerance is not None else [])], default=None)


def _first_way(case: Case, device: Device) -> Fact[tuple[str, ...]] | None:
    """The statement by which a device is laid by its sound before anything else; None where it is not."""
    project = case.setup.project
    labelled = keeps_label(case, device)
    for fact in (device.handover.sync_by, project.post_sync_by):
        if fact.value is not None:
            first = next((way for way in fact.value if way != TIMECODE or labelled is not False), None)
            return fact if first == SCRATCH else None
    second = project.post_second_way
    if labelled is False and second.value is not None and second.value[:1] == (SCRATCH,):
        return second  # it has no other way
    return None


def _gets_a_line(case: Case, device: Device) -> bool:
    """Whether sound comes to a device along a lead or by radio."""
    return any(link.target.device == device.key and link.carries.value == "sound" for link in case.setup.links)


def _too_far(case: Case, device: Device, plan: Fact[tuple[str, ...]]) -> Finding:
    """The finding on a camera whose sound comes late to it."""
    distance = device.handover.mic_distance
    metres = distance.value or Fraction(0)
    late = sound_delay(metres)
    rate = case.setup.project.rate.value
    amounts = [Amount("picture before its sound", float(late * 1000), "ms")]
    amounts += [Amount("in frames", float(late * rate.rate.fps), "frames")] if rate else []
    return waveform_from_far_away.record.finding(
        at=distance.place,
        says=f"post lays {WHO} by {either('its', 'their')} scratch sound, which "
        f"{either('its microphone hears', 'their microphones hear')} from {say_number(metres)} m away",
        who=(device.called,),
        cause=(metres, plan.place),
        costs=Cost(
            f"sound takes {in_frames(case, late)} over {say_number(metres)} m: laid on the mixer's sound, the picture "
            "of every clip lies that much too early",
            tuple(amounts),
            float(late),
        ),
        fix=_cure(case, device),
        decided_by=(distance, plan, case.setup.project.tolerance),
        also=(Mention(plan.place, "scratch sound is the first way to sync"),),
    )


def _cure(case: Case, device: Device) -> Fix:
    """Timecode first where there is any; else what can be seen."""
    edits: tuple[Edit, ...]
    line = f"or feed {WHO} a line of the mix"
    near = f"within {say_number((_good_enough(case) or Fraction(0)) * SPEED_OF_SOUND)} m a waveform is good enough"
    if keeps_label(case, device):
        edits = sync_by_edit(case, device, f"[{TIMECODE}, {SCRATCH}]")
        return Fix(f"Let post lay {WHO} by timecode and take the waveform only as a check, {line}; {near}", edits)
    edits = sync_by_edit(case, device, f"[slate, {SCRATCH}]")
    return Fix(
        f"Slate or clap where {WHO} {either('sees', 'see')} it and lay by the picture of that, {line}; {near}", edits
    )


RULES: tuple[Rule, ...] = (waveform_from_far_away,)
