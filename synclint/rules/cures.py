"""What is set on a device whose rate is wrong, or what stands in for a rate that it does not have."""

from __future__ import annotations

from dataclasses import replace

from synclint.findings import WHO, Cost, Edit, Fact, Fix, SetValue
from synclint.rig.model import Device
from synclint.rules.framework import Case
from synclint.rules.label_rates import (
    Relation,
    clear,
    folded,
    meant_rate,
    picture_rate,
    relation,
)
from synclint.rules.rate_costs import conversion
from synclint.trade.rates import LabelRate


def wanted_rate(own: LabelRate, standard: LabelRate) -> LabelRate:
    """The rate to set: that of the standard, at twice its speed on a camera of 59.94 that only counts the other way."""
    if relation(own, standard) is Relation.COUNT:
        return LabelRate(own.rate, standard.count)
    return standard


def has_rate(device: Device, wanted: LabelRate) -> bool:
    """Whether a device can be set to a rate; one whose rates nobody lists can."""
    able = device.timecode.able_rates.value
    return not able or any(_does(rate, wanted) for rate in able)


def stand_in(device: Device, wanted: LabelRate) -> LabelRate | None:
    """The first rate of a device whose whole seconds agree with the one wanted, or None where it has none."""
    able = device.timecode.able_rates.value or ()
    return next((rate for rate in able if _stands_in(rate, wanted)), None)


def must_hire(device: Device, wanted: LabelRate) -> bool:
    """Whether a device has neither a rate nor one that stands in for it, so that only another device mends it."""
    return not has_rate(device, wanted) and stand_in(device, wanted) is None


def another_device(wanted: LabelRate) -> Fix:
    """What to do about a device that must be hired anew."""
    return Fix(f"Take another device for {WHO}: it has no {wanted.name}")


def _does(able: LabelRate, wanted: LabelRate) -> bool:
    """Whether a rate that a device lists covers the one wanted; 29.97 alone is taken for both counts."""
    if able.count_needed and able.count is None:
        return able.rate.counted == wanted.rate.counted
    return folded(able) == folded(wanted)


def _stands_in(able: LabelRate, wanted: LabelRate) -> bool:
    return clear(able) and relation(able, wanted) in (Relation.TWINS, Relation.WHOLE)


def picture_at(device: Device, rate: LabelRate) -> bool:
    """Whether a device takes a picture that is to play at the pace of a label rate."""
    picture = picture_rate(device)
    return picture is not None and picture.value is not None and picture.value.rate.counted == rate.rate.counted


def with_conversion(costs: Cost, device: Device, own: LabelRate, standard: LabelRate) -> Cost:
    """A cost, with what becomes of the picture where the device takes one at that rate."""
    if not picture_at(device, own):
        return costs
    return replace(costs, says=f"{costs.says}; {conversion(own, standard)}")


def rate_edits(
    case: Case, device: Device, label: Fact[LabelRate] | None, own: LabelRate, wanted: LabelRate
) -> tuple[Edit, ...]:
    """The edits that give a device a rate for its own one, its picture too where that was set alike."""
    edits = [] if label is None else [SetValue(label.place, wanted.name)]
    picture = device.picture
    if picture is not None and relation(own, wanted) is not Relation.COUNT:
        sides = (picture.shot_at, picture.played_at)
        alike = [fact for fact in sides if fact.stated and meant_rate(device, fact) == own.rate]
        edits += [SetValue(fact.place, wanted.rate.name) for fact in alike]
    return setup_edits(case, *edits)


def setup_edits(case: Case, *edits: SetValue) -> tuple[Edit, ...]:
    """Those edits that are of the setup: a kit states what others rely on as well."""
    return tuple(edit for edit in edits if edit.place.span.file == case.setup.file)
