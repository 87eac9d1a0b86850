"""Another way to lay clips where timecode fails: planned at all, and there on every camera that it is meant for."""

from __future__ import annotations

from collections.abc import Iterator

from synclint.findings import WHO, CheckLine, Edit, Fact, Finding, Fix, Hurts, Level, Mended, Record, SetValue, either
from synclint.rig.model import Device
from synclint.rules.framework import Case, Rule, Yielded, rule
from synclint.rules.hand_work import BY_HAND, by_hand
from synclint.rules.ways_to_sync import SCRATCH, TIMECODE, cameras, keeps_label, shows_a_display, sync_by_edit, ways


@rule(
    Record(
        name="second-way-not-there",
        summary="Where timecode fails a camera has none of the other ways to sync that are planned",
        level=Level.NOTE,
        hurts=Hurts.HABIT,
        mended=Mended.SET,
        why="One lead that comes loose costs a day of clips laid by hand, unless there is a slate in the picture or "
        "scratch sound on the camera. A second way costs a clap.",
        sources=(BY_HAND,),
        answers=("no second way to sync",),
    )
)
def second_way_not_there(case: Case) -> Iterator[Yielded]:
    """Compare the ways planned beside timecode with what each labelled camera records and can see."""
    unplanned: list[Device] = []
    display = shows_a_display(case.setup)
    for device in cameras(case):
        kept = device.timecode_on.value or ()
        if not keeps_label(case, device) or len(kept) > 1:
            continue  # without timecode there is a rule of its own; on file and track it has two
        others = [way for way in _all_ways(case, device) if way != TIMECODE]
        if not others and case.setup.project.post_second_way.value is None:
            unplanned.append(device)
        elif not any(_is_there(device, way, display=display) for way in others):
            yield _not_there(case, device, tuple(others))
    if unplanned and not display:
        yield CheckLine(
            second_way_not_there.record,
            Mended.SET,
            f"No second way to sync is planned for {WHO}: slate or clap each roll in the picture, and record scratch "
            "sound wherever there is a microphone",
            tuple(device.called for device in unplanned),
            case.setup.project.place,
        )


def _all_ways(case: Case, device: Device) -> tuple[str, ...]:
    """The ways of a device, with those that the project falls back on."""
    return (*(device.handover.sync_by.value or ()), *(ways(case, device) or ()))


def _is_there(device: Device, way: str, *, display: bool) -> bool:
    """Whether a way can be gone with a camera, as far as the rig tells."""
    if way == SCRATCH:
        tracks = (device.sound.tracks.value if device.sound else None) or {}
        return device.handover.silent.value is not True and not (tracks and set(tracks.values()) == {"LTC"})
    return way != "display in picture" or display


def _not_there(case: Case, device: Device, planned: tuple[str, ...]) -> Finding:
    """The note on a camera that has no second way."""
    second: Fact[tuple[str, ...]] = case.setup.project.post_second_way
    at, edits = _mend(case, device, second)
    return second_way_not_there.record.finding(
        at=at.place,
        says=_what(device, planned),
        who=(device.called,),
        cause=("second way", planned, at.place),
        costs=by_hand(case, device, "if its timecode fails, "),
        fix=Fix(f"Clap once in the picture of {WHO} at the start of each roll, and write clap as a second way", edits),
        decided_by=(at, device.handover.silent),
    )


def _what(device: Device, planned: tuple[str, ...]) -> str:
    """What is missing: the ways that are planned, or any at all."""
    if not planned:
        return f"no second way to sync is planned for {WHO}"
    silent = device.handover.silent.value is True
    lacking = {
        SCRATCH: either("records no sound", "record no sound")
        if silent
        else f"{either('has', 'have')} LTC on every sound track",
        "display in picture": f"{either('sees', 'see')} no timecode display in this rig",
    }
    reasons = " and ".join(lacking[way] for way in dict.fromkeys(planned))
    return f"{WHO} {reasons}, and nothing else is planned as a second way to sync"


def _mend(case: Case, device: Device, second: Fact[tuple[str, ...]]) -> tuple[Fact[tuple[str, ...]], tuple[Edit, ...]]:
    """Where the ways stand that a camera does not have, and the edit that adds one that it has."""
    if second.value is not None:
        return second, (SetValue(second.place, f"[{', '.join((*second.value, 'clap'))}]"),)
    own = device.handover.sync_by
    fact = own if own.value is not None else case.setup.project.post_sync_by
    return fact, sync_by_edit(case, device, f"[{', '.join((*(fact.value or ()), 'clap'))}]")


RULES: tuple[Rule, ...] = (second_way_not_there,)
