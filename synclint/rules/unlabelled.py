"""Cameras that record no timecode, and of which nobody says by what else their clips find their place."""

from __future__ import annotations

from collections.abc import Iterator

from synclint.findings import (
    WHO,
    CheckLine,
    Finding,
    Fix,
    Hurts,
    Level,
    Mended,
    Record,
    Unjudged,
    either,
)
from synclint.rig.model import Device
from synclint.rules.framework import Case, Rule, Yielded, rule
from synclint.rules.hand_work import BY_HAND, by_hand
from synclint.rules.ways_to_sync import (
    MARKS,
    SCRATCH,
    TIMECODE,
    camera_behind,
    cameras,
    keeps_label,
    own_ways,
    shows_a_display,
    sync_by_edit,
)


@rule(
    Record(
        name="camera-with-no-way-to-sync",
        summary="A camera records no timecode, and nothing says by what else post lays its clips",
        level=Level.WARNING,
        hurts=Hurts.TIME,
        mended=Mended.MORNING,
        why="Without timecode, a slate or a plan, an assistant looks for every clip by eye and by the sound of it. "
        "A clap in the picture at each start, or a small box on one sound track, saves that.",
        sources=(BY_HAND,),
        answers=("no timecode input and no plan",),
    )
)
def camera_with_no_way_to_sync(case: Case) -> Iterator[Yielded]:
    """A camera keeps no label, and no slate, clap, display or scratch sound is planned for it."""
    record = camera_with_no_way_to_sync.record
    display = shows_a_display(case.setup)
    for device in _without_timecode(case):
        labelled, silent, planned = keeps_label(case, device), device.handover.silent, own_ways(case, device)
        if silent.value is True or _has_mark(planned) or (planned is None and display):
            continue
        if labelled is None:
            if planned is None or SCRATCH not in planned:
                yield _unsure(record, device)
        elif planned is None or SCRATCH not in planned:
            yield _no_way(case, device)
        elif silent.value is None:
            lacks = f"whether {device.called} records the scratch sound that post is to lay it by (records: sound)"
            yield Unjudged(record, device.place, lacks, (device.called,))


def _without_timecode(case: Case) -> Iterator[Device]:
    """The cameras whose clips are laid, and of which nobody can say that they keep timecode."""
    for device in cameras(case):
        if keeps_label(case, device) is not True and camera_behind(case, device) is None:
            yield device


def _unsure(record: Record, device: Device) -> Unjudged:
    """Nobody says whether a camera keeps timecode."""
    lacks = f"whether {device.called} takes timecode (timecode: from, or able: timecode: modes: [])"
    return Unjudged(record, device.place, lacks, (device.called,))


def _has_mark(planned: tuple[str, ...] | None) -> bool:
    return not set(MARKS).isdisjoint(planned or ())


def _no_way(case: Case, device: Device) -> Finding:
    """The finding on a camera that is laid by nothing."""
    none = f"{WHO} {either('records', 'record')} no timecode, and"
    by_timecode = TIMECODE in (own_ways(case, device) or ())
    clips = f"{either('its', 'their')} clips"
    return camera_with_no_way_to_sync.record.finding(
        at=device.place,
        says=f"{none} post is to lay {clips} by that alone"
        if by_timecode
        else f"{none} nothing says how post is to lay {clips} to the sound",
        who=(device.called,),
        cause=("no way", by_timecode),
        costs=by_hand(case, device),
        fix=Fix(
            f"Clap or slate each start in the picture of {WHO} and write sync_by: [slate], or put LTC from a small box "
            f"on one sound track of {either('it', 'each')}",
            sync_by_edit(case, device, "[slate]"),
        ),
        decided_by=(device.timecode.able_modes,),
    )


# --- and without sound -----------------------------------------------------------------------------------------


@rule(
    Record(
        name="silent-camera-without-a-mark",
        summary="A camera records neither timecode nor sound, and nothing marks its pictures",
        level=Level.WARNING,
        hurts=Hurts.TIME,
        mended=Mended.SET,
        why="A flying camera hears nothing and often sees no slate. A flash or a hand signal that another camera sees "
        "too, or the running display filmed before take-off, is all that ties its pictures to the rest.",
        sources=(BY_HAND,),
        answers=("silent camera with no visual mark",),
    )
)
def silent_camera_without_a_mark(case: Case) -> Iterator[Yielded]:
    """A camera keeps no label and records no sound, and no slate, clap, display or flash is planned for it."""
    record = silent_camera_without_a_mark.record
    display = shows_a_display(case.setup)
    for device in _without_timecode(case):
        own, planned = device.handover.sync_by.value, own_ways(case, device)
        if device.handover.silent.value is not True:
            continue
        if _has_mark(planned) or (planned is None and display):
            if own is None and device.cls.value == "drone camera":
                line = f"Before take-off show {WHO} the slate or the running display, or flash a light that another "
                yield CheckLine(record, Mended.SET, f"{line}camera sees too", (device.called,), device.place)
            continue
        if keeps_label(case, device) is None:
            yield _unsure(record, device)
        else:
            yield _no_mark(case, device)


def _no_mark(case: Case, device: Device) -> Finding:
    """The finding on a silent camera that nothing marks."""
    return silent_camera_without_a_mark.record.finding(
        at=device.place,
        says=f"{WHO} {either('records', 'record')} neither timecode nor sound, and no slate, display or flash is "
        f"planned for {either('its', 'their')} pictures",
        who=(device.called,),
        cause="no mark",
        costs=by_hand(case, device),
        fix=Fix(
            f"At each start flash a light that {WHO} and another camera both see, or film the running timecode display "
            f"with {either('it', 'them')}, and write sync_by: [flash]; where nobody cuts {either('it', 'them')} to "
            "sound, write sync_by: none",
            sync_by_edit(case, device, "[flash]"),
        ),
        decided_by=(device.handover.silent, device.timecode.able_modes),
    )


RULES: tuple[Rule, ...] = (camera_with_no_way_to_sync, silent_camera_without_a_mark)
