"""Whether anybody looks at what was recorded, and not only at what a display shows."""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction

from synclint.day.run import Comparison
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
    Record,
    either,
    listed,
)
from synclint.rig.model import Device, Event
from synclint.rules.day_edits import said_under
from synclint.rules.day_windows import rest_of_day
from synclint.rules.framework import Case, Rule, Yielded, rule
from synclint.rules.lost_lines import is_special
from synclint.rules.moments import clock_of, minutes_of
from synclint.rules.wording import PRACTICE
from synclint.trade.quantities import say_duration

_CLIP = "recorded clip"


@rule(
    Record(
        name="compare-on-recorded-clips",
        summary="Cameras are compared by their displays and not by a recorded clip",
        level=Level.NOTE,
        hurts=Hurts.HABIT,
        mended=Mended.MORNING,
        why="A display shows the code that comes in and not the one that is stamped, and a reader on a standing code "
        "shows one frame more than the file has: checked that way people put a good rig wrong.",
        sources=(PRACTICE,),
        answers=("nobody looks at a recorded clip",),
    )
)
def compare_on_recorded_clips(case: Case) -> Iterator[Yielded]:
    """A line to look at clips after the jam; a note where the days tell that only displays are looked at."""
    by_device: dict[str, list[Comparison]] = {}
    for each in case.run.comparisons:
        by_device.setdefault(each.device, []).append(each)
    open_at: dict[tuple[Fraction | None, Fraction | None, str], list[Device]] = {}
    for device in _cameras(case):
        jam = _last_set(case, device.key)
        reads = [each for each in by_device.get(device.key, ()) if each.at >= (jam or case.run.start)]
        if any(each.read_by == _CLIP for each in reads):
            continue
        arrives = None if jam is not None else _arrival(case, device.key)
        open_at.setdefault((jam, arrives, case.domain_of(device.key)), []).append(device)
        if reads and all(each.read_by == "display" for each in reads):
            yield _only_displays(case, device, reads[0].event, reads[0].at)
    for (jam, arrives, unit), devices in open_at.items():
        yield _line(case, jam, arrives, unit, devices)


def _arrival(case: Case, key: str) -> Fraction | None:
    """When a device arrives that was not there from the start."""
    steps = (step.at for step in case.run.steps if step.what == "arrive" and key in step.keys)
    return None if case.run.histories[key][0].present else next(steps, None)


def _cameras(case: Case) -> list[Device]:
    """The cameras that record a label, where there is something to compare it with."""
    found = []
    for device in case.setup.devices.values():
        tracks = (device.sound.tracks.value if device.sound else None) or {}
        labelled = device.timecode.source.value is not None or "LTC" in tracks.values()
        kept = device.timecode_on.value != ("none",) and not device.trigger.value
        if device.picture is not None and labelled and kept and not device.through and not is_special(device):
            found.append(device)
    several = sum(device.records or device.cls.value == "timecode slate" for device in case.setup.devices.values()) > 1
    return found if several else []


def _last_set(case: Case, key: str) -> Fraction | None:
    """When the time that a device has at the end was last handed on by a jam; None where by none that is told of."""
    time = case.run.at(key, case.run.end).time if case.run.steps else None
    jams = [hand.at for hand in time.hands if not hand.let_go] if time else []
    return None if case.run.jams_taken_for_granted or not jams else jams[-1]


def _line(case: Case, jam: Fraction | None, arrives: Fraction | None, unit: str, devices: list[Device]) -> CheckLine:
    """The line of the checklist, for devices that share a timecode."""
    root = _root_of(case, devices[0].key)
    slates = (case.setup.devices[key] for key in case.forecast.slates if case.domain_of(key) == unit)
    slate = next((each for each in slates if _root_of(case, each.key) == root), None)  # one may show a song
    declared = case.setup.units.get(unit)
    meant = declared.master.value if declared else case.setup.project.master_timecode.value
    master = case.setup.devices.get(meant or "")
    # What has no clock has no display either, and a generator in a rack need have none.
    named = master is not None and not master.through and master.cls.value != "sync generator"
    shown = f"the running display of {slate.called if slate else master.called if master and named else 'the master'}"
    if slate is None and master is not None and not named:
        shown = f"a display that is fed by {master.called}"
    jams = "After the jam" if case.run.jams_taken_for_granted else "Before the first roll"
    if arrives is not None:
        jams = f"After {listed(each.called for each in devices)} {'arrives' if len(devices) == 1 else 'arrive'} at "
        jams += clock_of(case, arrives)
    after = f"After the jam at {clock_of(case, jam)}" if jam is not None else jams
    due = jam if jam is not None else arrives
    first_roll = min((roll.start for roll in case.run.rolls), default=None)
    later = due is not None and first_roll is not None and due > first_roll
    return CheckLine(
        compare_on_recorded_clips.record,
        Mended.SET if later else Mended.MORNING,
        f"{after}: roll {WHO} on {shown}, play back, and compare the frames recorded with those in the picture",
        tuple(device.called for device in devices),
        devices[0].timecode.place,
        due,
    )


def _root_of(case: Case, key: str) -> str:
    """The clock at the end of a device's chain, of one that records timecode as sound too."""
    on_track = next((root for root, keys in case.recorded_as_sound.items() if key in keys), None)
    return on_track or case.timecode.root_of(key).device


def _only_displays(case: Case, device: Device, event: Event, instant: Fraction) -> Finding:
    """The note on a camera that was compared by its display only."""
    rolls = [roll for roll in case.run.rolls if device.key in roll.devices and roll.start >= instant]
    rest = rest_of_day(case, instant) - instant
    resting = f"{len(rolls)} {'roll' if len(rolls) == 1 else 'rolls'}, {say_duration(minutes_of(rolls) * 60)}"
    on_it = resting if rolls else f"the {say_duration(rest)} to the end of the day"
    minutes = minutes_of(rolls) if rolls else rest / 60
    rest_on = "rest" if len(rolls) > 1 else "rests"
    return compare_on_recorded_clips.record.finding(
        at=event.place,
        says=f"{WHO} {either('is', 'are')} compared by {either('its display', 'their displays')} only, and no recorded "
        "clip is looked at",
        who=(device.called,),
        cause=event.place,
        costs=Cost(
            f"a display does not show the 1 to 6 frames that a body takes to stamp its code; {on_it} {rest_on} on it",
            (Amount("rests on it", float(minutes), "min"),),
            float(minutes),
        ),
        fix=Fix(
            f"Roll {WHO} on a running display, play back, compare, and write read_by: {_CLIP}",
            said_under(event, "read_by", _CLIP) if event.place.span.file == case.setup.file else (),
        ),
    )


RULES: tuple[Rule, ...] = (compare_on_recorded_clips,)
