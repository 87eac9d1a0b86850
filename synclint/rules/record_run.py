"""Cameras whose labels stand still between takes, among others whose labels run with the day."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from fractions import Fraction

from synclint.day.moments import Origin, Roll
from synclint.findings import (
    WHO,
    Amount,
    Cost,
    Fact,
    Finding,
    Fix,
    Hurts,
    Level,
    Mended,
    Mention,
    Record,
    SetValue,
    either,
    listed,
)
from synclint.rig.model import Device
from synclint.rules.cures import setup_edits
from synclint.rules.framework import Case, Rule, Yielded, rule
from synclint.rules.label_rates import double, stretch_of
from synclint.rules.moments import minutes_of, rolls_told
from synclint.rules.wording import PRACTICE, a_day
from synclint.trade.quantities import say_duration

_RECORD_RUN = "record run"


@rule(
    Record(
        name="record-run-among-free-run",
        summary="A camera in record run is cut together with devices whose labels run with the day",
        level=Level.ERROR,
        hurts=Hurts.POST,
        mended=Mended.MORNING,
        why="Record run counts takes: it starts at 00:00:00:00, or at an hour a card, and stands still in between. Its "
        "labels have nothing to do with anybody else's, and every clip is laid by hand.",
        sources=(PRACTICE,),
        answers=("record-run-only camera in a free-run rig",),
    )
)
def record_run_among_free_run(case: Case) -> Iterator[Yielded]:
    """A device that keeps its label in the file counts its takes, beside others that record a running time."""
    if case.setup.project.timecode_as.value == _RECORD_RUN:
        return
    for key, mode, rolls in _stints(case):
        beside = () if case.labelled_by.get(key) else _beside(case, key, rolls)  # a master is told of among masters
        if beside:
            yield _finding(case, case.setup.devices[key], mode, rolls, beside)


def _counts_takes(device: Device) -> bool:
    """Whether a device records with labels in its file that count takes, otherwise than for slow or fast motion."""
    on = device.timecode_on.value
    in_file = on is None or "file" in on
    picture = device.picture
    if device.timecode.mode.value != _RECORD_RUN or not in_file or not device.records or device.trigger.value:
        return False
    if picture is None:
        return True
    shot, played = picture.shot_at.value, picture.played_at.value
    return stretch_of(shot, played) is None and not double(shot, played)


def _stints(case: Case) -> Iterator[tuple[str, Fact[str], tuple[Roll, ...]]]:
    """The settings by which devices count takes, each with the scenes with sync sound that are shot so."""
    if not case.run.rolls:
        counting = (each for each in case.setup.devices.values() if _counts_takes(each))
        yield from ((device.key, device.timecode.mode, ()) for device in counting)
        return
    found: dict[tuple[str, Fact[str]], list[Roll]] = {}
    for roll in case.run.rolls:
        for key in roll.devices if roll.event.sync_sound else ():
            device = case.run.at(key, roll.start).device
            if _counts_takes(device):
                found.setdefault((key, device.timecode.mode), []).append(roll)
    for (key, mode), rolls in found.items():
        yield key, mode, tuple(rolls)


def _beside(case: Case, key: str, rolls: Iterable[Roll]) -> tuple[str, ...]:
    """The devices that record a running time beside one that counts takes, in its scenes or, without any, at all."""
    unit = case.domain_of(key)
    near = {other for roll in rolls for other in roll.devices} or set(case.run.histories)
    start = min((roll.start for roll in rolls), default=case.run.start)
    found = []
    for other in case.run.histories:
        state = case.run.at(other, start)
        device = state.device
        running = state.time is not None and state.time.line.origin is not Origin.TAKES
        kept = device.records and device.timecode_on.value != ("none",) and not device.trigger.value
        if other != key and other in near and running and kept and case.domain_of(other) == unit:
            found.append(other)
    return tuple(found)


def _finding(case: Case, device: Device, mode: Fact[str], rolls: tuple[Roll, ...], beside: tuple[str, ...]) -> Finding:
    """The finding on a device in record run."""
    others = listed(map(case.setup.called, beside))
    when = rolls_told(case, rolls) if rolls else a_day(case)
    minutes = minutes_of(rolls)
    amounts = [Amount("takes", len(rolls), "rolls"), Amount("labelled by takes", float(minutes), "min")]
    if not rolls:
        amounts = [Amount("labelled by takes", float(case.day_seconds / 60), "min")] if case.day_seconds else []
    length = f" ({say_duration(minutes * 60)})" if rolls else ""
    on_set = mode.place.path[:1] == ("days",)
    slate = _slate_beside(case, rolls, beside)
    laid = f"is laid by the digits of {case.setup.called(slate)} in its picture" if slate else "is laid by hand"
    return record_run_among_free_run.record.finding(
        at=mode.place,
        level=Level.NOTE if slate else None,
        says=f"{WHO} {either('is', 'are')} in record run while labels of {others} run with the day",
        who=(device.called,),
        cause=(when, beside, _able(device), slate),
        also=tuple(Mention(roll.event.place, "a scene with sync sound") for roll in rolls),
        costs=Cost(
            f"labels of {WHO} start at 00:00:00:00 and stand still between takes: every clip of {when}{length} {laid}",
            tuple(amounts),
            float(minutes or Fraction(0)),
        ),
        fix=_fix(case, device, mode, on_set=on_set),
        mended=Mended.SET if on_set else None,
        decided_by=(mode,),
    )


def _slate_beside(case: Case, rolls: Iterable[Roll], beside: Iterable[str]) -> str | None:
    """The slate that shows the others' time to every picture, where post means to lay clips by it; else None."""
    if "slate" not in (case.setup.project.post_second_way.value or ()):
        return None
    moments = [roll.start for roll in rolls] or [case.run.start]

    def shows_theirs(key: str, at: Fraction) -> bool:
        slate = case.run.at(key, at)
        times = (case.run.at(other, at).time for other in beside)
        lines = {time.line for time in times if time is not None}
        return slate.working and slate.time is not None and slate.time.line in lines

    return next((key for key in case.forecast.slates if all(shows_theirs(key, at) for at in moments)), None)


def _able(device: Device) -> bool:
    """Whether a device has another way of running than record run, as far as anybody says."""
    modes = device.timecode.able_modes.value
    return modes is None or "free run" in modes


def _fix(case: Case, device: Device, mode: Fact[str], *, on_set: bool) -> Fix:
    """Free run where the device has it, else another label than that of its file."""
    if not _able(device):
        return Fix(
            f"{WHO} {either('has', 'have')} no free run: record LTC on a track of {either('it', 'each')}, or slate "
            f"every take, and tell post to leave the timecode of {either('its', 'their')} files alone (timecode_on)"
        )
    jam = "" if on_set else ", before the morning jam"
    return Fix(
        f"Set {WHO} to free run{jam}, and jam {either('it', 'them')}",
        setup_edits(case, SetValue(mode.place, "free run")),
    )


RULES: tuple[Rule, ...] = (record_run_among_free_run,)
