"""Reel and roll names: one name, one device, for the whole job."""

from __future__ import annotations

import string
from collections.abc import Iterable, Iterator
from fractions import Fraction

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
    Unjudged,
    either,
    listed,
    shortened,
)
from synclint.rig.model import Device
from synclint.rules.framework import Case, Rule, Yielded, rule
from synclint.rules.hand_work import clips_of, rolls_of
from synclint.rules.ways_to_sync import camera_behind, set_edit
from synclint.rules.wording import PRACTICE, a_day
from synclint.trade.quantities import say_duration


@rule(
    Record(
        name="reel-names-collide",
        summary="Two devices write files under one reel or roll name",
        level=Level.ERROR,
        hurts=Hurts.POST,
        mended=Mended.MORNING,
        why="A conform looks for a clip by reel name and timecode. With the time of day in the files of two cameras "
        "called A there are two clips for one search, and the software takes either.",
        sources=(PRACTICE,),
        answers=("reel or roll names collide",),
    )
)
def reel_names_collide(case: Case) -> Iterator[Yielded]:
    """Compare the names of all cameras with one another, and those of all sound recorders."""
    record = reel_names_collide.record
    for pictures in (True, False):
        devices = [device for device in _named_alone(case) if (device.picture is not None) is pictures]
        if len(devices) < 2:
            continue
        unsaid = [device for device in devices if not _reel(device).written]
        if len(unsaid) == len(devices):
            if pictures and not case.setup.units:  # of units it is said elsewhere
                line = f"One list of camera letters for the whole job: one of its own for each of {WHO}"
                yield CheckLine(record, Mended.MORNING, line, tuple(device.called for device in devices))
            continue
        if unsaid:
            lacks = f"the reel names of {listed(device.called for device in unsaid)} (records: reel)"
            yield Unjudged(record, unsaid[0].handover.own.place, lacks, tuple(device.called for device in unsaid))
        yield from _colliding(case, devices)


def _named_alone(case: Case) -> Iterator[Device]:
    """The devices whose files need a name of their own: not what only plays or starts, no spares, no second copies."""
    for device in case.setup.devices.values():
        spare = device.handover.own.used_for.value == ("spare",)
        if not device.records or device.through or device.trigger.value or spare:
            continue
        if device.cls.value != "playback device" and camera_behind(case, device) is None:
            yield device


def _reel(device: Device) -> Fact[str]:
    return device.handover.own.reel


def _name(device: Device) -> str:
    """A name as software compares it, capitals or not."""
    return (_reel(device).value or "").strip().casefold()


def _colliding(case: Case, devices: list[Device]) -> Iterator[Finding]:
    """The findings on devices whose name another one has."""
    taken = {_name(device) for device in devices}
    first: dict[str, Device] = {}
    for device in devices:
        name = _name(device)
        if not name:
            continue
        other = first.setdefault(name, device)
        if other is not device:
            free = _free_name(_reel(device).value or "", taken)
            taken.add(free.casefold())
            yield _collision(case, other, device, free)


def _free_name(name: str, taken: Iterable[str]) -> str:
    """A name like another one with a letter that nobody has: B003 for A003, B001 for 001."""
    rest = name.strip()[1:] if name.strip()[:1].isalpha() else name.strip()
    return next(
        (f"{letter}{rest}" for letter in string.ascii_uppercase if f"{letter}{rest}".casefold() not in taken), ""
    )


def _collision(case: Case, first: Device, device: Device, free: str) -> Finding:
    """The finding on a device that has the name of another; an error where their labels are of the same hours."""
    project, reel = case.setup.project, _reel(device)
    by_day = project.timecode_as.value == "time of day"
    twice = _together(case, first.key, device.key) if case.run.rolls else None
    overlap = by_day and twice != 0 and all("file" in (each.timecode_on.value or ("file",)) for each in (first, device))
    alone = reel.place != _reel(first).place
    range_of_devices = device.handover.place == first.handover.place
    edits: tuple[Edit, ...] = ()
    if free and not range_of_devices:
        edits = set_edit(case, device, reel, device.handover.own.place, "reel", free)
    name = shortened(reel.value or "", 20)
    return reel_names_collide.record.finding(
        at=reel.place if alone else device.place,
        level=None if overlap else Level.WARNING,
        says=f"{WHO} {either('writes', 'write')} files of reel {name}, as {first.called} does",
        who=(device.called,),
        cause=(_name(first), overlap, first.key),
        costs=_cost(case, device, twice, name) if overlap else _to_choose(case, device, name),
        fix=Fix(
            f"Give {WHO} {either('a reel letter of its', 'reel letters of their')} own"
            + (either(f", such as {free}", "") if free.isalnum() else "")
            + ", from one list for the whole job",
            edits,
        ),
        decided_by=(reel, _reel(first), project.timecode_as) if overlap else (reel, _reel(first)),
        also=(Mention(_reel(first).place, f"{first.called} is {name} too"),),
    )


def _together(case: Case, one: str, other: str) -> Fraction:
    """For how many seconds two devices roll at the same time."""
    ours, theirs = (rolls_of(case).get(key, ()) for key in (one, other))
    seconds, at = Fraction(0), 0
    for roll in ours:
        while at < len(theirs) and theirs[at].end <= roll.start:
            at += 1
        for each in theirs[at:]:
            if each.start >= roll.end:
                break
            seconds += min(each.end, roll.end) - max(each.start, roll.start)
    return seconds


def _cost(case: Case, device: Device, twice: Fraction | None, name: str) -> Cost:
    """What it costs where two clips bear one name and one label."""
    if twice is None:
        says = f"by the time of day every label of {a_day(case)} may stand in two files of reel {name}"
        amounts = (
            (Amount("labels that may come twice", float(case.day_seconds / 3600), "h"),) if case.day_seconds else ()
        )
        return Cost(f"{says}, and a conform takes either", amounts, float(case.day_seconds or 0))
    clips = clips_of(case, device)
    number = f", in {clips} clips" if clips and clips > 1 else ""
    return Cost(
        f"{say_duration(twice)} of labels stand under reel {name} twice{number}, and a conform takes either",
        (Amount("labels that come twice", float(twice / 60), "min"),),
        float(twice),
    )


def _to_choose(case: Case, device: Device, name: str) -> Cost:
    """What it costs where only the names are alike."""
    clips = clips_of(case, device)
    if clips is None:
        return Cost(f"each search for a clip of reel {name} finds two devices, and somebody has to look which is meant")
    return Cost(
        f"{clips} {'clip' if clips == 1 else 'clips'} of reel {name} may be another device's, and somebody has to look",
        (Amount("clips to look at", clips, "clips"),),
        float(clips),
    )


RULES: tuple[Rule, ...] = (reel_names_collide,)
