"""Timecode that reaches a camera or its recorder as data: over links that sleep, and from cameras that stand still."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction

from synclint.day.moments import Roll
from synclint.findings import (
    WHO,
    Amount,
    CheckLine,
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
    SetValue,
    Unjudged,
    either,
)
from synclint.rig.model import Device, Port
from synclint.rules.framework import Case, Rule, Yielded, rule
from synclint.rules.hand_work import rolls_of
from synclint.rules.moments import clock_of, minutes_of
from synclint.rules.ways_to_sync import cameras
from synclint.rules.wording import PRACTICE
from synclint.trade.quantities import say_duration

_DATA = "data timecode"
_RECORD_RUN = "record run"


@dataclass(frozen=True, slots=True)
class _Sleep:
    """What puts a data link to sleep, and after how long."""

    after: Fact[Fraction]
    is_link: bool
    """Whether the link sleeps, and not the whole camera."""


@rule(
    Record(
        name="data-timecode-sleeps",
        summary="A camera takes timecode over a data link that sleeps in the pauses between takes",
        level=Level.ERROR,
        hurts=Hurts.POST,
        mended=Mended.MORNING,
        why="Timecode by Bluetooth, USB or the hot shoe is right on the first clip. When the link has gone to sleep "
        "the camera goes on by its own clock, with the same sign on its screen, and only the files show it.",
        sources=(PRACTICE,),
        answers=("metadata timecode over Bluetooth, USB or hot shoe",),
    )
)
def data_timecode_sleeps(case: Case) -> Iterator[Yielded]:
    """Compare the idle time after which a data link sleeps with the pauses between a camera's takes."""
    record = data_timecode_sleeps.record
    for device in cameras(case):
        port = _data_port(case, device)
        if port is None or _has_another(device) or device.timecode.mode.value == "jam":
            continue
        sleep = _sleep_of(device, port)
        if sleep is None:
            lacks = f"whether the data link of {device.called} stays awake (ports: {port.key}: sleeps_after)"
            yield Unjudged(record, port.place, lacks, (device.called,))
        elif not sleep.after.value:
            line = f"Play back a clip of {WHO} in each recording mode, and look at the timecode in the file"
            yield CheckLine(record, Mended.MORNING, line, (device.called,), port.place)
        else:
            yield from _judged(case, device, port, sleep)


def _data_port(case: Case, device: Device) -> Port | None:
    """The port at which a device takes timecode as data, or None where it does not."""
    feeds = case.timecode.listened.get(device.key, ())
    port = device.ports.get(device.timecode.source.value or "")
    return port if any(feed.last.carries.value == _DATA for feed in feeds) else None


def _has_another(device: Device) -> bool:
    """Whether a device keeps timecode on a sound track too."""
    tracks = (device.sound.tracks.value if device.sound else None) or {}
    return "LTC" in tracks.values()


def _sleep_of(device: Device, port: Port) -> _Sleep | None:
    """What puts the link to sleep: its own power saving, else that of the whole camera; None where nobody says."""
    if port.sleeps_after.value is not None:
        return _Sleep(port.sleeps_after, is_link=True)
    if device.power.auto_off.value:
        return _Sleep(device.power.auto_off, is_link=False)
    return None


def _judged(case: Case, device: Device, port: Port, sleep: _Sleep) -> Iterator[Yielded]:
    """Judge the pauses of a device's day."""
    after = sleep.after.value or Fraction(0)
    rolls = [roll for roll in rolls_of(case).get(device.key, ()) if roll.event.sync_sound]
    asleep = _asleep(case, device, rolls, after)
    if rolls and not asleep:
        return  # it never sleeps long enough
    if not rolls and case.day_seconds is not None and case.day_seconds <= after:
        return
    yield _finding(case, device, port, sleep, asleep)


def _asleep(case: Case, device: Device, rolls: list[Roll], after: Fraction) -> list[Roll]:
    """The takes of a device that come after a pause in which its link went to sleep, with no jam of it since."""
    # A jam of all is of those that are plugged to be jammed; this one has to be named.
    named = [step for step in case.run.steps if step.what == "jam" and device.key in step.keys]
    jams = [step.at for step in named if step.event is not None and not step.event.of_all]
    found: list[Roll] = []
    sleeping, awake = False, None
    for roll in rolls:
        woken = max((jam for jam in jams if jam <= roll.start and (awake is None or jam >= awake)), default=None)
        if woken is not None:
            sleeping, awake = False, woken
        sleeping = sleeping or (awake is not None and roll.start - awake >= after)
        if sleeping:
            found.append(roll)
        awake = max(roll.end, awake or roll.end)
    return found


def _finding(case: Case, device: Device, port: Port, sleep: _Sleep, asleep: list[Roll]) -> Finding:
    """The finding on a device whose timecode goes to sleep."""
    after = sleep.after
    length = say_duration(after.value or Fraction(0))
    what = (
        "that link sleeps" if sleep.is_link else either("the camera switches itself off", "they switch themselves off")
    )
    return data_timecode_sleeps.record.finding(
        at=after.place,
        level=None if asleep else Level.WARNING,
        says=f"{WHO} {either('takes', 'take')} timecode as data at {port.key}, and {what} after {length} without use",
        who=(device.called,),
        cause=("asleep", after.value, sleep.is_link, port.key, tuple(roll.start for roll in asleep)),
        costs=_cost(case, asleep, length),
        fix=Fix(
            f"Set power saving of {WHO} to never, or wake and jam {either('it', 'them')} before each take that comes "
            f"after a pause of {length}; LTC on a sound track as well is a second way",
            _edits(case, after),
        ),
        decided_by=(after,),
        also=tuple(Mention(roll.event.place, "a take after such a pause") for roll in asleep),
    )


def _cost(case: Case, asleep: list[Roll], length: str) -> Cost:
    """Which takes are labelled by the camera's own clock."""
    own = f"{either('the camera', 'each camera')} goes on by its own clock, nobody knows how far off"
    if not asleep:
        return Cost(f"in the first pause of {length} {own}, for the rest of the day")
    minutes = minutes_of(asleep)
    count = "1 take" if len(asleep) == 1 else f"{len(asleep)} takes"
    return Cost(
        f"from the take at {clock_of(case, asleep[0].start)} on {own}: {count}, {say_duration(minutes * 60)}",
        (Amount("on its own time", float(minutes), "min"), Amount("takes on its own time", len(asleep), "rolls")),
        float(minutes),
    )


def _edits(case: Case, after: Fact[Fraction]) -> tuple[Edit, ...]:
    return (SetValue(after.place, "never"),) if after.place.span.file == case.setup.file else ()


# --- a recorder that follows what stands still -----------------------------------------------------------------


@rule(
    Record(
        name="labelled-by-a-trigger",
        summary="A recorder takes the timecode of a camera in record run that only starts it",
        level=Level.ERROR,
        hurts=Hurts.POST,
        mended=Mended.MORNING,
        why="A recorder that a camera starts over HDMI or SDI reads the camera's timecode too. In record run that "
        "stands still between takes and starts anew with each card, and the recorder writes what it reads.",
        sources=(PRACTICE,),
        answers=("timecode via HDMI",),
    )
)
def labelled_by_a_trigger(case: Case) -> Iterator[Yielded]:
    """A device that keeps the label in its file follows live a camera in record run that is declared as a trigger."""
    if case.setup.project.timecode_as.value == _RECORD_RUN:
        return
    for device in case.setup.devices.values():
        on = device.timecode_on.value
        follows = case.timecode.follows_continuously(device.key) and device.records and not device.trigger.value
        if not follows or (on is not None and "file" not in on):
            continue
        writer = case.setup.devices[case.timecode.writer_of(device.key)]
        # One that is no trigger is told of by itself.
        if writer is device or not writer.trigger.value or writer.timecode.mode.value != _RECORD_RUN:
            continue
        if not _is_second_master(case, writer.key):
            yield _standing(case, device, writer)


def _is_second_master(case: Case, key: str) -> bool:
    """Whether a camera on its own clock labels others beside a master, which is told of among masters."""
    members = case.domains.get(case.domain_of(key), ())
    return key in case.labelled_by and any(other != key and other in case.labelled_by for other in members)


def _standing(case: Case, device: Device, writer: Device) -> Finding:
    """The finding on a recorder whose labels stand still."""
    rolls = [roll for roll in rolls_of(case).get(device.key, ()) if roll.event.sync_sound]
    minutes = minutes_of(rolls)
    told = f": {len(rolls)} {'take' if len(rolls) == 1 else 'takes'}, {say_duration(minutes * 60)}" if rolls else ""
    mode, able = writer.timecode.mode, writer.timecode.able_modes.value
    can = (able is None or "free run" in able) and mode.place.span.file == case.setup.file
    carries = next((feed.last.carries.value for feed in case.timecode.listened.get(device.key, ())), "timecode")
    ltc = f"LTC of {either('its', 'their')} own and let {writer.called} only start {either('it', 'them')}"
    return labelled_by_a_trigger.record.finding(
        at=mode.place,
        says=f"{WHO} {either('takes', 'take')} the {carries} of {writer.called}, which is a trigger in record run",
        who=(device.called,),
        cause=("trigger", writer.key),
        costs=Cost(
            f"files of {WHO} bear a count of takes that starts at 00:00:00:00 and not the time, and are laid by "
            f"hand{told}",
            (Amount("labelled by takes", float(minutes), "min"),) if rolls else (),
            float(minutes),
        ),
        fix=Fix(
            f"Set {writer.called} to free run, so that its timecode runs between takes too; or give {WHO} {ltc}"
            if can
            else f"Give {WHO} {ltc}",
            (SetValue(mode.place, "free run"),) if can else (),
        ),
        decided_by=(mode, writer.trigger),
        also=(Mention(device.timecode.source.place, f"{device.called} listens to it"),),
    )


RULES: tuple[Rule, ...] = (data_timecode_sleeps, labelled_by_a_trigger)
