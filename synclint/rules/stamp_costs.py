"""What it costs that a follower is set to another rate than it is fed: in its files, on its display, at its output."""

from __future__ import annotations

from fractions import Fraction

from synclint.findings import Amount, Cost, either
from synclint.rig.model import Device
from synclint.rules.framework import Case
from synclint.rules.label_rates import HOUR, Relation, meant_rate, relation, stretch_of
from synclint.rules.spans import clock_cost, take_of
from synclint.trade.labels import label_speed
from synclint.trade.quantities import say_duration, say_number
from synclint.trade.rates import LabelRate, Rate


def stamp_cost(case: Case, device: Device, own: LabelRate, comes: LabelRate) -> Cost:
    """What it comes to: where sound files start, what the labels in a clip run to, or what is handed on or shown."""
    if stamps(device) and device.picture is None:
        words, hour, last = clock_cost(case, own, comes)
        return Cost(
            f"each file's start is worked out at the wrong rate and is off by {words}: the same all through a file, "
            "another value in the next",
            (Amount("off for each hour on the timecode", float(hour), "s"), Amount("off at most", float(last), "s")),
            float(last),
        )
    a_second, labels = _apart_inside(device, own, comes)
    apart = _in_labels(a_second * HOUR, own) if labels else f"{say_number(a_second * HOUR, 4)} s"
    amounts = [Amount("labels apart", float(a_second * HOUR), "s an hour")]
    if not stamps(device):
        gives = device.key in case.label_givers
        does = either("it hands", "they hand") if gives else either("it shows", "they show")
        says = (
            f"whether {does}{' on' if gives else ''} the digits that come in or {either('counts', 'count')} anew at "
            f"{own.name} differs by model and is not known here: counted, the labels part by {apart} an hour"
        )
        return Cost(says, tuple(amounts), float(a_second))
    if not a_second:
        words, hour, last = clock_cost(case, own, comes)
        says = (
            f"frame by frame its labels are right, but its files say {own.name}: time counted by that is off by {words}"
        )
        return Cost(says, (Amount("off for each hour on the timecode", float(hour), "s"),), float(last))
    says = (
        f"each clip starts on the digits that it reads and counts on at {own.name}: inside it the labels part by "
        f"{apart} an hour"
    )
    take = take_of(case, device)
    if take is not None and take.value is not None:
        over = a_second * take.value
        says += f", {_in_labels(over, own) if labels else say_duration(over)} over the longest take of "
        says += say_duration(take.value)
        amounts.append(Amount("apart over the longest take", float(over), "s"))
    return Cost(f"{says}; by model its start may be worked out anew as well", tuple(amounts), float(a_second))


def _apart_inside(device: Device, own: LabelRate, comes: LabelRate) -> tuple[Fraction, bool]:
    """By how many seconds a second a count of a device's own parts from what it is fed, and if that is told in labels.

    A count goes by the frames that there are: 25 labels to a second where pictures come at 23.976 run slow by 4 %.
    """
    frames = _frames(device) if stamps(device) else None
    pace = frames.counted.fps / own.counted.rate.fps if frames is not None else 1
    apart = abs(label_speed(own.counted) * pace - label_speed(comes.counted))
    return apart, relation(own, comes) is Relation.COUNT


def _frames(device: Device) -> Rate | None:
    """What a device shoots, where that is neither slow nor fast motion."""
    picture = device.picture
    if picture is None or stretch_of(picture.shot_at.value, picture.played_at.value) is not None:
        return None
    return meant_rate(device, picture.shot_at)


def _in_labels(seconds: Fraction, own: LabelRate) -> str:
    """A difference of counts as it is known: 36 labels (1.2 s)."""
    return f"{say_number(seconds * own.rate.counted.nominal)} labels ({say_duration(seconds)})"


def stamps(device: Device) -> bool:
    """Whether a device writes labels in files of its own."""
    return device.records and (device.timecode_on.value is None or "file" in device.timecode_on.value)
