"""Rules about pictures that are not shot at the rate of their labels: slow and fast motion, 50, 59.94 and 60."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from fractions import Fraction

from synclint.day.moments import Roll
from synclint.findings import (
    WHO,
    Amount,
    CheckLine,
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
    SetValue,
    Source,
    Unjudged,
    either,
)
from synclint.rig.model import Device
from synclint.rules.cures import setup_edits
from synclint.rules.framework import Case, Yielded, rule
from synclint.rules.label_rates import double, in_use, odds, picture_rate, stretch_of, working
from synclint.rules.moments import rolls_told
from synclint.rules.plugged_references import locked_together, locked_too, unheard, would_pace
from synclint.rules.takes import sync_takes
from synclint.rules.wording import PRACTICE
from synclint.trade.quantities import say_duration, say_number
from synclint.trade.rates import TOP_COUNTED, Rate

_SUM = Source("exact arithmetic", Confirmed.ARITHMETIC)
_PAIRS = Source(
    "ST 12-1:2014, 12: above 30 a label counts a pair of pictures, as cited in libavutil", Confirmed.LIBRARY
)
_LTC_RATES = Source("ST 2059-1: LTC code words at up to 30 a second", Confirmed.TABULATED)

_EXAMPLE_TAKE = Fraction(30)
"""Seconds of a take by which a cost is told where nobody says how long takes are."""

_RUNNING = frozenset({"free run", "jam", "continuous"})
"""The ways of running in which the time between takes counts on the labels."""


# --- slow and fast motion --------------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class OffSpeed:
    """A camera that shoots slow or fast motion."""

    device: Device
    shot: Fact[Rate]
    played: Fact[Rate]
    stretch: Fraction
    """How many times as long as life its pictures play."""

    @property
    def words(self) -> str:
        """As a slate says it: `48 played at 23.976`."""
        shot, played = self.shot.value, self.played.value
        return f"{shot.name if shot else '?'} played at {played.name if played else '?'}"


def _off_speed(case: Case) -> Iterator[OffSpeed]:
    """The cameras that are off-speed from the start of the day."""
    found = (_speed_of(device) for device in working(case))
    return (camera for camera in found if camera is not None)


def _speed_of(device: Device) -> OffSpeed | None:
    """The slow or fast motion that a camera is set to; one that may simply be of a 50 or 59.94 project has none."""
    picture = device.picture
    if picture is None or picture.variable.value:
        return None
    stretch = stretch_of(picture.shot_at.value, picture.played_at.value)
    if stretch is None or _may_be_double(device):
        return None
    return OffSpeed(device, picture.shot_at, picture.played_at, stretch)


def _may_be_double(device: Device) -> bool:
    """Whether a camera of twice the project's rate is only assumed to play at the project's."""
    picture = device.picture
    return picture is not None and picture.played_at.assumed and double(picture.shot_at.value, picture.played_at.value)


def _sync_rolls(case: Case, keep: Callable[[Device], bool]) -> dict[str, list[tuple[Device, Roll]]]:
    """The takes with sync sound of the cameras that are set in some way when they begin, by camera."""
    found: dict[str, list[tuple[Device, Roll]]] = {}
    for take in sync_takes(case):
        for key in take.roll.devices:
            device = case.run.at(key, take.roll.start).device
            if device.picture is not None and not device.trigger.value and keep(device):
                found.setdefault(key, []).append((device, take.roll))
    return found


def _rolls_stated(case: Case) -> bool:
    return any(event.do.value == "roll" for day in case.setup.days for event in day.events)


def _take_of(case: Case, device: Device) -> Fraction | None:
    """The longest take that a camera shoots, where anybody says."""
    return device.longest_take.value or case.take_seconds


@rule(
    Record(
        name="off-speed-camera-in-a-sync-scene",
        summary="A camera in slow or fast motion shoots a scene that is recorded with sync sound",
        level=Level.ERROR,
        hurts=Hurts.POST,
        mended=Mended.SET,
        why=(
            "Slow motion plays longer than it lasted, so no sound of the take lies under it. Many cameras also fall "
            "back to record run and record no sound while off-speed, and with it the timecode on a track is gone."
        ),
        sources=(PRACTICE, _SUM),
        answers=("off-speed camera in a sync-sound scene",),
    )
)
def off_speed_camera_in_a_sync_scene(case: Case) -> Iterator[Yielded]:
    """Look for cameras that are off-speed when a scene of some day begins."""
    record, any_roll = off_speed_camera_in_a_sync_scene.record, _rolls_stated(case)
    for rolls in _sync_rolls(case, lambda device: _speed_of(device) is not None).values():
        by_speed: dict[str, list[tuple[Device, Roll]]] = {}
        for device, roll in rolls:
            camera = _speed_of(device)
            by_speed.setdefault(camera.words if camera else "", []).append((device, roll))
        for scenes in by_speed.values():
            camera = _speed_of(scenes[0][0])
            if camera is not None:
                yield _sync_finding(case, record, camera, [roll for _, roll in scenes])
    for camera in () if any_roll else _off_speed(case):
        line = f"Slate {WHO} MOS with its speed, {camera.words}, and keep it out of sync scenes"
        yield CheckLine(record, Mended.SET, line, (camera.device.called,), camera.shot.place)
    for (device, _), *_more in _sync_rolls(case, _may_be_double).values():
        if device.picture is not None:
            lacks = f"the rate that files of {device.called} play at (records: picture: played_at)"
            yield Unjudged(record, device.picture.shot_at.place, lacks, (device.called,))


def _sync_finding(case: Case, record: Record, camera: OffSpeed, rolls: list[Roll]) -> Finding:
    """The finding on an off-speed camera that shoots scenes with sync sound."""
    scenes = rolls_told(case, rolls, "scene")
    base = camera.played.value.name if camera.played.value else "the rate it plays at"
    takes = f"shoot {camera.words} as takes of their own, MOS, with the speed on the slate"
    return record.finding(
        at=camera.shot.place,
        says=f"{WHO} {either('shoots', 'shoot')} {camera.words} in {scenes}, recorded with sync sound",
        who=(camera.device.called,),
        cause=(camera.shot.value, camera.played.value, scenes),
        costs=_stretch_cost(case, camera),
        fix=Fix(
            f"Shoot the sync takes at {base}; {takes}, and write sync_sound: false at their roll",
            _at_base_speed(case, camera, rolls),
        ),
        decided_by=(camera.shot, camera.played),
        also=tuple(Mention(roll.event.place, "a scene with sync sound") for roll in rolls),
    )


def _at_base_speed(case: Case, camera: OffSpeed, rolls: list[Roll]) -> tuple[Edit, ...]:
    """The camera at the speed that it plays at, where it has no other takes that may be meant to be off-speed."""
    others = (roll for roll in case.run.rolls if camera.device.key in roll.devices and roll not in rolls)
    played, shot = camera.played.value, camera.shot
    if played is None or not shot.stated or any(others):
        return ()
    return setup_edits(case, SetValue(shot.place, played.name))


def _stretch_cost(case: Case, camera: OffSpeed) -> Cost:
    """How long a take plays, and by how much it misses its sound."""
    known = _take_of(case, camera.device)
    take = known or _EXAMPLE_TAKE
    plays, name = take * camera.stretch, "the longest take of" if known else "a take of"
    apart = abs(plays - take)
    says = (
        f"its picture plays {say_number(camera.stretch, 4)} times as long as the scene lasted: {name} "
        f"{say_duration(take)} plays {say_duration(plays)}, {say_duration(apart)} {'more' if plays > take else 'less'} "
        "than its sound, and its labels run on for as long"
    )
    amounts = (Amount("stretch", float(camera.stretch), "times"), Amount("picture beside sound", float(apart), "s"))
    return Cost(says, amounts, float(apart))


@rule(
    Record(
        name="stretched-labels-collide",
        summary="A slow-motion clip starts at the time of day and counts on into the labels of what is shot next",
        level=Level.WARNING,
        hurts=Hurts.TIME,
        mended=Mended.MORNING,
        why=(
            "A slow-motion clip takes its first label from the running timecode and counts its pictures at the rate "
            "they play at. It bears labels of a time still to come, and a search by timecode finds two pictures."
        ),
        sources=(PRACTICE, _SUM),
        answers=("stretched labels collide with the next clip",),
    )
)
def stretched_labels_collide(case: Case) -> Iterator[Yielded]:
    """Tell of slow-motion cameras whose labels run with the time of day."""
    record = stretched_labels_collide.record
    in_scenes = _sync_rolls(case, lambda device: _speed_of(device) is not None)
    for camera in _off_speed(case):
        device, mode = camera.device, camera.device.timecode.mode
        on_file = device.timecode_on.value is None or "file" in device.timecode_on.value
        if camera.stretch <= 1 or not on_file or device.key in in_scenes:
            continue  # in a sync scene the speed itself is what is wrong
        if mode.value in _RUNNING:
            yield record.finding(
                at=mode.place,
                says=f"{WHO} {either('shoots', 'shoot')} {camera.words} with labels that run with the day",
                who=(device.called,),
                cause=(camera.shot.value, camera.played.value, _take_of(case, device)),
                costs=_overlap_cost(case, camera),
                fix=Fix(
                    f"Put {WHO} on record run with an hour of its own and a reel letter of its own",
                    setup_edits(case, SetValue(mode.place, "record run")),
                ),
                decided_by=(camera.shot, camera.played, mode),
            )
        elif mode.value is None and device.timecode_on.value is not None:
            lacks = f"how the timecode of {device.called} runs (timecode: mode)"
            yield Unjudged(record, device.timecode.place, lacks, (device.called,))


def _overlap_cost(case: Case, camera: OffSpeed) -> Cost:
    """How many labels a take bears, and how many of them come again."""
    known = _take_of(case, camera.device)
    take = known or _EXAMPLE_TAKE
    labels = take * camera.stretch
    over, name = labels - take, "the longest take of" if known else "a take of"
    says = (
        f"{name} {say_duration(take)} bears {say_duration(labels)} of labels, and the last {say_duration(over)} "
        "of them stand on what is shot next too"
    )
    return Cost(says, (Amount("labels that come twice", float(over), "s"),), float(over))


# --- 50, 59.94 and 60 ------------------------------------------------------------------------------------------


@rule(
    Record(
        name="two-pictures-share-a-label",
        summary="A camera at 50, 59.94 or 60 is labelled in pairs and not locked to those it is cut with",
        level=Level.NOTE,
        hurts=Hurts.TIME,
        mended=Mended.POST,
        why=(
            "Timecode has no more than 30 numbers a second, so at 50 and 59.94 two pictures bear one. That is as it "
            "should be; without a common reference nothing says which of the two is the first."
        ),
        sources=(_PAIRS, PRACTICE),
        answers=("two pictures share one label",),
    )
)
def two_pictures_share_a_label(case: Case) -> Iterator[Yielded]:
    """Tell of cameras above 30 pictures a second whose pairs nothing lines up with the others'."""
    cameras = [device for device in working(case) if device.picture is not None]
    for device in cameras:
        fact = picture_rate(device)
        rate = fact.value.rate if fact and fact.value else None
        if fact is None or rate is None or rate.fps <= TOP_COUNTED or not _labelled(device):
            continue
        others = [other for other in cameras if other is not device and _cut_together(case, device, other)]
        rest = locked_together(case, (device, *others))
        if not others or case.clock.root_of(device.key) == rest:
            continue  # alone, or locked to the rest
        paces = case.clock.root_of(device.key).device
        if paces != device.key and paces in unheard(case) and would_pace(case, device.key) == rest:
            continue  # locked with the camera before it, of which it is told
        group = rate.fps / rate.counted.fps
        apart = (group - 1) / rate.fps
        yield two_pictures_share_a_label.record.finding(
            at=fact.place,
            says=f"{WHO} {either('shoots', 'shoot')} {rate.name}, {_number(group)} pictures to a label, and nothing "
            f"locks {either('it', 'them')} to the other cameras",
            who=(device.called,),
            cause=(rate, rest),
            costs=Cost(
                f"a cut by label is good to {_number(group - 1)} {'picture' if group == 2 else 'pictures'} either way, "
                f"{say_duration(apart)}",
                (Amount("pictures apart", float(apart * 1000), "ms"),),
                float(apart),
            ),
            fix=locked_too(case, device, rest, "or tell post which picture of a label is first"),
            decided_by=(fact, device.clock.source),
        )


_NUMBERS = ("no", "one", "two", "three", "four", "five", "six")


def _number(value: Fraction) -> str:
    """A small number in letters."""
    return _NUMBERS[int(value)] if value.denominator == 1 and value < len(_NUMBERS) else say_number(value)


def _labelled(device: Device) -> bool:
    """Whether a camera keeps a label of its own in its files."""
    on, side = device.timecode_on.value, device.timecode
    return "file" in on if on is not None else side.source.value is not None or side.rate.value is not None


def _cut_together(case: Case, one: Device, other: Device) -> bool:
    """Whether two cameras are of one unit, or of units that are cut together."""
    ours, theirs = case.domain_of(one.key), case.domain_of(other.key)
    if ours == theirs:
        return True
    units = case.setup.units
    return any(
        first in units and second in (units[first].cut_with.value or ())
        for first, second in ((ours, theirs), (theirs, ours))
    )


@rule(
    Record(
        name="ltc-at-a-double-rate",
        summary="A timecode source is set to 50, 59.94 or 60 and feeds LTC, which stops at 30",
        level=Level.WARNING,
        hurts=Hurts.TIME,
        mended=Mended.MORNING,
        why=(
            "LTC counts pairs of pictures above 30 a second, so there is no LTC at 50 or 59.94. A box set so sends 25 "
            "or 29.97 at best, and at worst something that a reader refuses."
        ),
        sources=(_LTC_RATES, _PAIRS),
        answers=("timecode box set to the double rate",),
    )
)
def ltc_at_a_double_rate(case: Case) -> Iterator[Yielded]:
    """Tell of sources of LTC that are set above 30."""
    at_odds = {odd.device.key for odd in odds(case)}
    giving = {link.source.device for link in case.setup.links if link.carries.value == "LTC"}
    for device in in_use(case):
        fact = device.timecode.rate
        # A camera counts its own 50 and sends pairs; one at a wrong rate is told where rates are compared.
        if device.key not in giving or device.picture is not None or fact.value is None or device.key in at_odds:
            continue
        rate, counted = fact.value.rate, fact.value.counted
        if rate.fps <= TOP_COUNTED:
            continue
        yield ltc_at_a_double_rate.record.finding(
            at=fact.place,
            says=f"{WHO} {either('is', 'are')} set to {fact.value.name} and {either('sends', 'send')} LTC, which "
            f"counts pairs of pictures at {counted.rate.name}",
            who=(device.called,),
            cause=fact.value,
            costs=Cost(
                f"of {rate.nominal} numbers a second only {counted.rate.nominal} come down the lead, and each label "
                f"lasts {say_duration(counted.rate.frame)}",
                (Amount("length of a label", float(counted.rate.frame * 1000), "ms"),),
                float(counted.rate.frame),
            ),
            fix=Fix(
                f"Set {WHO} to {counted.name}, and leave the cameras at {rate.name}",
                setup_edits(case, SetValue(fact.place, counted.name)),
            ),
            decided_by=(fact,),
        )


RULES = (
    off_speed_camera_in_a_sync_scene,
    stretched_labels_collide,
    two_pictures_share_a_label,
    ltc_at_a_double_rate,
)
