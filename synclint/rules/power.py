"""Power that goes without being asked: boxes fed from the camera that they label, and what switches itself off."""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction
from itertools import pairwise

from synclint.findings import (
    WHO,
    AddKey,
    Amount,
    Cost,
    Edit,
    Finding,
    Fix,
    Hurts,
    Level,
    Mended,
    Record,
    SetValue,
    Unjudged,
    either,
)
from synclint.rig.model import OWN_CLOCK, Device
from synclint.rules.batteries import stretches_of
from synclint.rules.framework import Case, Rule, Yielded, rule
from synclint.rules.lost_lines import Loss, Use, fed_off, losses, use_amounts, use_of, use_told
from synclint.rules.moments import clock_of
from synclint.rules.staying_on import (
    follows_live,
    forgets,
    jammed_from,
    live_on,
    must_stay,
    that_hang_on,
    then_told,
)
from synclint.rules.wording import PRACTICE
from synclint.trade.quantities import say_duration

# --- fed from a camera -----------------------------------------------------------------------------------------


@rule(
    Record(
        name="box-powered-from-its-camera",
        summary="A device that keeps the time runs on the battery of a camera that is switched off or changed",
        level=Level.ERROR,
        hurts=Hurts.POST,
        mended=Mended.RENTAL,
        why="Both lose the time together, and the box is the one that the camera would have been jammed from.",
        sources=(PRACTICE,),
        answers=("timecode box powered from the camera it feeds",),
    )
)
def box_powered_from_its_camera(case: Case) -> Iterator[Yielded]:
    """A device without a battery of its own goes off with the one that feeds it, and forgets the time."""
    for key in case.run.histories:
        device = case.setup.devices[key]
        feeder = case.setup.devices.get(device.fed_by or "")
        if feeder is None or forgets(device) is False or feeder.power.source.value == "mains":
            continue
        offs = [step for step in case.run.steps if step.what == "power off" and {key, feeder.key} <= {*step.keys}]
        uses = [(each, use_of(case, each.line)) for each in losses(case) if each.key == key and fed_off(case, each)]
        bad = [(loss, use) for loss, use in uses if use is not None]
        if bad and case.run.jams_taken_for_granted:
            back = clock_of(case, bad[0][0].line.since)
            lacks = f"whether {device.called} is jammed after it is back at {back} (do: jam)"
            yield Unjudged(box_powered_from_its_camera.record, device.power.source.place, lacks, (device.called,))
        elif bad:
            yield _fed(case, device, feeder, _lost_both(case, *bad[0]), None)
        elif not offs and not _lasts_the_day(case, feeder):
            yield _may_go(case, device, feeder)


def _lost_both(case: Case, loss: Loss, use: Use) -> Cost:
    """What it costs that both were off."""
    at = clock_of(case, loss.line.since if loss.off_since is None else loss.off_since)
    says = f"both are off at {at}, and {WHO} {either('comes', 'come')} back without the time: {use_told(case, use)}"
    return Cost(says, use_amounts(use), float(use.seconds))


def _lasts_the_day(case: Case, feeder: Device) -> bool:
    """Whether the battery of a feeder lasts through each day."""
    runtime = feeder.power.runtime.value
    stretches = list(stretches_of(case, feeder.key))
    if runtime is None:
        return not stretches
    return all(each.length <= runtime * (each.factor.value or 1) for each in stretches)


def _may_go(case: Case, device: Device, feeder: Device) -> Finding:
    """The finding on a feeder whose battery has to be changed at a time that nobody has planned."""
    runtime, day = feeder.power.runtime.value, max(each.length for each in stretches_of(case, feeder.key))
    amounts: tuple[Amount, ...] = ()
    if runtime is None:
        says = f"the battery of {feeder.called} is changed at some time in {say_duration(day)}"
    else:
        changes = -(-day // runtime) - 1 if runtime else 0
        says = f"the battery of {feeder.called} lasts {say_duration(runtime)} of {say_duration(day)}"
        amounts = (Amount("changes in the day", changes, "changes"),) if changes > 0 else ()
    costs = Cost(f"{says}; at each change {WHO} {either('loses its', 'lose their')} time too", amounts, float(day))
    return _fed(case, device, feeder, costs, Level.WARNING)


def _fed(case: Case, device: Device, feeder: Device, costs: Cost, level: Level | None) -> Finding:
    """The finding on a device and its feeder."""
    edits: tuple[Edit, ...] = (SetValue(device.power.source.place, "own battery"),)
    label = "which it labels, and " if feeder.key in live_on(case, device.key) else ""
    return box_powered_from_its_camera.record.finding(
        at=device.power.source.place,
        level=level,
        says=f"{WHO} {either('runs', 'run')} on the battery of {feeder.called}, {label}"
        f"{either('has', 'have')} none of {either('its', 'their')} own",
        who=(device.called,),
        cause=("fed", feeder.key),
        costs=costs,
        fix=Fix(
            f"Give {WHO} {either('a battery of its', 'batteries of their')} own, or {feeder.called} a plate that takes "
            "the next battery before the first is off",
            edits,
        ),
        decided_by=(device.power.source,),
        numbers_from=(feeder.power.runtime,) if feeder.power.runtime.value is not None else (),
    )


# --- what switches itself off ----------------------------------------------------------------------------------


@rule(
    Record(
        name="automatic-power-off",
        summary="A device that others hang on, or that forgets the time, is set to switch itself off",
        level=Level.ERROR,
        hurts=Hurts.POST,
        mended=Mended.MORNING,
        why="It dies between two setups, when nobody touches it, and comes back with a time of its own. The menu has a "
        "line for it; a power bank that sleeps at low current does the same.",
        sources=(PRACTICE,),
        answers=("automatic power-off, power-bank sleep",),
    )
)
def automatic_power_off(case: Case) -> Iterator[Yielded]:
    """A device that must stay on would switch itself off within the day."""
    for key in case.run.histories:
        device = case.setup.devices[key]
        after = device.power.auto_off
        if not after.value or (case.day_seconds is not None and after.value >= case.day_seconds):
            continue
        if not must_stay(case, device) and not (jammed_from(case, key) and forgets(device) is not False):
            if forgets(device) is None and not follows_live(case, key) and device.timecode.source.value is not None:
                lacks = f"whether {device.called} keeps its time while it is off (able: timecode: loses_time_on)"
                yield Unjudged(automatic_power_off.record, device.timecode.place, lacks, (device.called,))
            continue
        yield _switches_off(case, device, after.value)


def _switches_off(case: Case, device: Device, after: Fraction) -> Finding:
    """The finding on a device that switches itself off."""
    sure = forgets(device) is True or bool(live_on(case, device.key))
    auto_off, own = device.power.auto_off, device.timecode.source.value == OWN_CLOCK
    edits: tuple[Edit, ...] = ()
    if auto_off.place.span.file == case.setup.file:
        edits = (SetValue(auto_off.place, "never"),)
    elif device.power.place.path[-1:] == ("power",) and device.power.place.span.file == case.setup.file:
        edits = (AddKey(device.power.place, "auto_off", "never"),)
    rolls = sorted(case.run.rolls, key=lambda roll: roll.start)
    gaps = [later.start - earlier.end for earlier, later in pairwise(rolls)]
    long = [gap for gap in gaps if gap >= after]
    told = f"{len(long)} of the gaps between takes {'is' if len(long) == 1 else 'are'} longer; " if long else ""
    root = (
        f", and all that {either('is', 'are')} jammed from it later with it"
        if own and jammed_from(case, device.key)
        else ""
    )
    return automatic_power_off.record.finding(
        at=auto_off.place,
        level=None if sure else Level.WARNING,
        says=f"{WHO} {either('switches itself', 'switch themselves')} off after {say_duration(after)} without a touch",
        who=(device.called,),
        cause=("auto off", after, sure),
        costs=Cost(
            f"{told}{then_told(case, device)}{root}",
            (Amount("switches off after", float(after / 60), "min"),),
            float(len(live_on(case, device.key)) + 1),
        ),
        fix=Fix(
            f"Set automatic power-off of {WHO} to never, and feed {WHO} from what does not sleep at a low current",
            edits,
        ),
        decided_by=(auto_off,),
        also=that_hang_on(case, device),
    )


RULES: tuple[Rule, ...] = (box_powered_from_its_camera, automatic_power_off)
