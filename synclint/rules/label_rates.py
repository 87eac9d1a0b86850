"""What the rules on rates share: which rates stand side by side, and how two of them relate."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from enum import Enum
from fractions import Fraction

from synclint.findings import Fact
from synclint.rig.model import Device, Unit
from synclint.rules.framework import MAIN_UNIT, Case
from synclint.rules.song_code import on_song_code, song_sources
from synclint.trade.labels import label_speed
from synclint.trade.rates import Count, LabelRate, Rate, RateError, parse_label_rate

HOUR = Fraction(3600)

OFF_SPEED = Fraction(5, 100)
"""From which change of speed on a picture is slow or fast motion and no longer a conversion (24 to 25 is 4.2 %)."""

_TWIN = Fraction(1001, 1000)
_NEAR = Fraction(2, 1_000_000)  # 29.97 DF labels run 1 ppm fast of the clock


class Relation(Enum):
    """How two label rates stand to each other once pairs of pictures count as one."""

    SAME = "same rate and count"
    TWINS = "23.976 and 29.97 NDF: whole seconds agree for ever"
    WHOLE = "24, 25 and 30: whole seconds agree for ever"
    COUNT = "one rate, drop frame and non-drop"
    THOUSANDTH = "1000 to 1001"
    NEARLY = "29.97 DF beside a rate of real seconds"
    APART = "neither seconds nor frames agree"


def folded(rate: LabelRate) -> LabelRate:
    """The rate that labels of 50, 59.94 and the like count at, with DF or nothing as its count."""
    return LabelRate(rate.rate.counted, Count.DF if rate.drop else None)


def clear(rate: LabelRate | None) -> bool:
    """Whether a rate is said in full and exists; other rules ask about one that is not."""
    return rate is not None and rate.count_allowed and not (rate.count_needed and rate.count is None)


def relation(one: LabelRate, other: LabelRate) -> Relation:
    """How two label rates relate."""
    a, b = folded(one), folded(other)
    if a.rate == b.rate:
        return Relation.SAME if a.count == b.count else Relation.COUNT
    apart = abs(label_speed(a) - label_speed(b))
    if not apart:
        return Relation.TWINS if a.rate.fractional else Relation.WHOLE
    if apart < _NEAR:
        return Relation.NEARLY
    if a.rate.fps / b.rate.fps in (_TWIN, 1 / _TWIN) and not (a.drop or b.drop):
        return Relation.THOUSANDTH
    return Relation.APART


def said(rate: LabelRate) -> str:
    """A rate beside its twin as it is said aloud: `true 24` for 24, so that nobody hears 23.976."""
    return f"true {rate.rate.name}" if rate.rate.fps.denominator == 1 else rate.name


# --- what a device counts and shoots ---------------------------------------------------------------------------


def meant(device: Device, fact: Fact[LabelRate]) -> LabelRate | None:
    """The rate behind the name in the menu, where the kit says that the menu rounds."""
    name = fact.text.split(" ")[0]
    if fact.value is None or name not in device.rate_names:
        return fact.value
    try:
        return LabelRate(parse_label_rate(device.rate_names[name]).rate, fact.value.count)
    except RateError:
        return fact.value


def picture_rate(device: Device) -> Fact[LabelRate] | None:
    """What a camera's files play at, as a label rate without a count, or None where nobody can tell.

    A rate that they are only assumed to play at says nothing against the camera: then it is what it shoots.
    """
    picture = device.picture
    if picture is None or picture.variable.value:
        return None
    shot, played = picture.shot_at, picture.played_at
    fact = played if played.stated and played.value is not None else shot
    if fact.value is None:
        return None
    if fact is shot and played.value is not None and stretch_of(shot.value, played.value) is not None:
        return None if not double(shot.value, played.value) else _as_label(device, shot)
    return _as_label(device, fact)


def played_as_stated(device: Device) -> bool:
    """Whether somebody says at which rate a camera's files play."""
    return device.picture is not None and device.picture.played_at.stated


def pulled_as_stated(case: Case, device: Device) -> bool:
    """Whether a picture is stated to play a thousandth beside what it is shot at, and post does not say otherwise.

    Whether the sound goes with it is what counts then, and is told by the rule on speeds.
    """
    picture, post = device.picture, case.setup.project.post_rate.value
    if picture is None or picture.variable.value or not played_as_stated(device):
        return False
    shot, played = meant_rate(device, picture.shot_at), meant_rate(device, picture.played_at)
    if shot is None or played is None or shot.fps / played.fps not in (_TWIN, 1 / _TWIN):
        return False
    return post is None or post.rate.counted == played.counted


def meant_rate(device: Device, fact: Fact[Rate]) -> Rate | None:
    """The picture rate behind the name in the menu."""
    rate = _as_label(device, fact).value
    return rate.rate if rate else None


def _as_label(device: Device, fact: Fact[Rate]) -> Fact[LabelRate]:
    bare = LabelRate(fact.value) if fact.value else None
    label = Fact(bare, fact.place, fact.standing, fact.text, fact.why)
    return replace(label, value=meant(device, label))


def stretch_of(shot: Rate | None, played: Rate | None) -> Fraction | None:
    """How many times as long as life an off-speed picture plays; None where it is not off-speed."""
    if shot is None or played is None:
        return None
    stretch = shot.fps / played.fps
    return stretch if abs(stretch - 1) > OFF_SPEED else None


def double(shot: Rate | None, played: Rate | None) -> bool:
    """Whether a camera may well shoot 50, 59.94 or 60 for a 25 or 29.97 project and mean to play it at that rate."""
    if shot is None or played is None or shot.nominal not in (50, 60):
        return False
    return shot.nominal == 2 * played.nominal


# --- who is compared with whom ---------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class Standard:
    """The rate that devices are compared with, who says so, and where."""

    rate: LabelRate
    by: str
    fact: Fact[LabelRate]


@dataclass(frozen=True, slots=True)
class Odd:
    """A device whose labels or pictures run at another rate than its unit's."""

    device: Device
    rate: LabelRate
    fact: Fact[LabelRate]
    standard: Standard
    relation: Relation
    by_picture: bool
    """Whether it is the picture that differs, and not what it is set to count."""
    renamed: bool
    """Whether the rate is not the one that its name says, by the kit."""


def in_use(case: Case) -> list[Device]:
    """The devices whose own labels matter: they stand in files, are shown, or go to others."""
    songs = song_sources(case) | on_song_code(case)  # a rule of their own compares them
    used = (device for device in working(case) if device.key in case.label_givers or _labels_itself(device))
    return [device for device in used if device.key not in songs]


def working(case: Case) -> list[Device]:
    """All devices with a clock that are there for more than to start others."""
    return [device for device in case.setup.devices.values() if not device.through and not device.trigger.value]


def _labels_itself(device: Device) -> bool:
    return device.timecode_on.value is None or "file" in device.timecode_on.value


@dataclass(frozen=True, slots=True)
class StampedOver:
    """A device that follows another all the time and is set to count otherwise."""

    device: Device
    writer: Device
    """The device whose counter makes the labels that reach it."""
    own: LabelRate
    comes: LabelRate


def stamped_over(case: Case, device: Device) -> StampedOver | None:
    """What a device stamps over what it follows, which is told by a rule of its own.

    Rates whose whole seconds agree pass: there the device is told of as one that is jammed.
    """
    fact, graph = device.timecode.rate, case.timecode
    if fact.value is None or not graph.follows_continuously(device.key) or not graph.root_of(device.key).generates:
        return None  # where nothing arrives, or it goes round, other rules tell that
    writer = case.setup.devices[graph.writer_of(device.key)]
    if writer.key in song_sources(case):
        return None
    own, comes = meant(device, fact), meant(writer, writer.timecode.rate)
    if writer is device or own is None or comes is None or not clear(own) or not clear(comes):
        return None
    # A name that the menu rounds is told as such where it would be right at face value.
    agree = any(label_speed(folded(rate)) == label_speed(folded(comes)) for rate in (own, fact.value))
    return None if agree else StampedOver(device, writer, own, comes)


def standards(case: Case) -> Mapping[str, Standard]:
    """For each unit with timecode of its own, the rate that its devices are compared with."""
    return case.once(_standards)


def _standards(case: Case) -> dict[str, Standard]:
    members: dict[str, list[Device]] = {MAIN_UNIT: []}
    for device in in_use(case):
        members.setdefault(case.domain_of(device.key), []).append(device)
    found = {key: _standard(case, key, devices) for key, devices in members.items()}
    return {key: standard for key, standard in found.items() if standard is not None}


def _standard(case: Case, key: str, members: list[Device]) -> Standard | None:
    """What one unit is compared with: the project, its master, else what most of it counts."""
    project = case.setup.project.rate
    agreed = Standard(project.value, "the project", project) if project.value and clear(project.value) else None
    unit = case.setup.units.get(key)
    if agreed and (key == MAIN_UNIT or unit is None):
        return _before_the_pull(case, key, agreed.rate, members) or agreed
    for master in _masters(case, unit, members):
        rate = meant(master, master.timecode.rate)
        if rate is not None and clear(rate):
            return Standard(rate, f"{master.called}, the master,", master.timecode.rate)
    return agreed or _most_common(members)


def _before_the_pull(case: Case, key: str, agreed: LabelRate, members: list[Device]) -> Standard | None:
    """The rate that a unit is shot at to be pulled to the agreed one, all of it: 24 for 23.976."""
    cameras = [device for device in working(case) if case.domain_of(device.key) == key and _at_speed(device)]
    shots = {_shot_for(case, device, agreed) for device in cameras}
    shot = shots.pop() if len(shots) == 1 else None
    if shot is None:
        return None
    rates = [rate for device in members if (rate := meant(device, device.timecode.rate)) and clear(rate)]
    alike = [rate for rate in rates if rate.rate.counted == shot.counted]
    along = len(alike) == len(rates) or _sound_goes_along(case, key, agreed.rate.counted.fps / shot.counted.fps)
    if not alike or not along:
        return None
    first = next(device.picture.shot_at for device in cameras if device.picture)
    fact = Fact(alike[0], first.place, first.standing, first.text, first.why)
    return Standard(alike[0], f"{cameras[0].called}, shot to be played at {agreed.rate.name},", fact)


def _at_speed(device: Device) -> bool:
    """Whether a device takes pictures that are neither slow nor fast motion."""
    picture = device.picture
    return picture is not None and stretch_of(picture.shot_at.value, picture.played_at.value) is None


def _shot_for(case: Case, device: Device, agreed: LabelRate) -> Rate | None:
    """What a camera shoots to be pulled to the rate that was agreed on; None where it is not."""
    picture, plays = device.picture, picture_rate(device)
    if picture is None or plays is None or plays.value is None or not pulled_as_stated(case, device):
        return None
    shot = meant_rate(device, picture.shot_at)
    return shot if plays.value.rate.counted == agreed.rate.counted else None


def _sound_goes_along(case: Case, key: str, pull: Fraction) -> bool:
    """Whether all sound of a unit is pulled as its pictures are, as far as a header can say it."""
    ratios = [
        device.sound.stamped.value / device.sound.sample_rate.value
        for device in working(case)
        if case.domain_of(device.key) == key and device.picture is None and device.cls.value != "playback device"
        if device.sound and device.sound.sample_rate.value and device.sound.stamped.value
    ]
    return bool(ratios) and all(abs(ratio / pull - 1) < _NEAR for ratio in ratios)


def _masters(case: Case, unit: Unit | None, members: list[Device]) -> Iterator[Device]:
    """The devices that may speak for a unit, the declared one first, then the one that labels most."""
    declared = unit.master.value if unit else case.setup.project.master_timecode.value
    if declared is not None and declared in case.setup.devices:
        yield case.setup.devices[declared]
    followers = case.timecode.followers
    yield from sorted(
        (device for device in members if device.key in followers), key=lambda device: -len(followers[device.key])
    )


def _most_common(members: list[Device]) -> Standard | None:
    """The rate of most devices, in the words of the first that has it."""
    rates = [(rate, device) for device in members if (rate := meant(device, device.timecode.rate)) and clear(rate)]
    if not rates:
        return None
    common = Counter(folded(rate) for rate, _ in rates).most_common(1)[0][0]
    rate, first = next((rate, device) for rate, device in rates if folded(rate) == common)
    return Standard(rate, first.called, first.timecode.rate)


def odds(case: Case) -> tuple[Odd, ...]:
    """Every device that runs at another rate than its unit, told once."""
    return case.once(_odds)


def _odds(case: Case) -> tuple[Odd, ...]:
    return tuple(_compared(case))


def _compared(case: Case) -> Iterator[Odd]:
    by_unit = standards(case)
    labelled = {device.key for device in in_use(case)}
    for device in working(case):
        standard = by_unit.get(case.domain_of(device.key))
        if standard is None:
            continue
        label = device.timecode.rate if device.key in labelled else None
        rate = meant(device, label) if label is not None else None
        if label is not None and rate is not None and clear(rate):
            odd = _odd(device, label, rate, standard, by_picture=False)
            if odd.relation is not Relation.SAME and stamped_over(case, device) is None:
                yield odd
        picture = picture_rate(device)
        if picture is not None and picture.value is not None and not _same_pace(device, label, picture.value):
            rate = picture.value
            if rate.rate.counted == standard.rate.rate.counted or pulled_as_stated(case, device):
                continue  # a picture has no count
            yield _odd(device, picture, rate, standard, by_picture=True)


def _same_pace(device: Device, label: Fact[LabelRate] | None, picture: LabelRate) -> bool:
    """Whether the labels run with the picture, so that what is wrong with one is told with the other."""
    if label is None or label.value is None:
        return label is not None and label.written
    rate = meant(device, label)
    return rate is not None and rate.rate.counted == picture.rate.counted


def _odd(device: Device, fact: Fact[LabelRate], rate: LabelRate, standard: Standard, *, by_picture: bool) -> Odd:
    how = relation(rate, standard.rate)
    renamed = device.rate_names.get(fact.text.split(" ")[0]) is not None
    return Odd(device, rate, fact, standard, how, by_picture, renamed)
