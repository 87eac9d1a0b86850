"""Rules about devices whose rates differ: by a thousandth, by their count, or altogether."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from fractions import Fraction

from synclint.findings import (
    WHO,
    Amount,
    Confirmed,
    Cost,
    Finding,
    Fix,
    Hurts,
    Level,
    Mended,
    Mention,
    Record,
    Source,
    Unjudged,
    either,
)
from synclint.rig.assumed import ROUNDS_RATE_NAMES
from synclint.rules.cures import (
    another_device,
    has_rate,
    must_hire,
    picture_at,
    rate_edits,
    stand_in,
    wanted_rate,
    with_conversion,
)
from synclint.rules.framework import Case, Yielded, rule
from synclint.rules.label_rates import (
    Odd,
    Relation,
    folded,
    in_use,
    odds,
    picture_rate,
    played_as_stated,
    relation,
    said,
    standards,
)
from synclint.rules.rate_costs import conversion, count_cost, label_cost, pulled_cost
from synclint.rules.unit_rates import is_to_count
from synclint.trade.quantities import say_duration
from synclint.trade.rates import Count, LabelRate, Rate

_SUM = Source("exact arithmetic on 1000/1001", Confirmed.ARITHMETIC)
_DROPPING = Source("ST 12-1:2014, drop-frame counting", Confirmed.TABULATED)
_RESIDUE = Source("ST 2059-1:2021, 9.1.2: drop-frame labels stray up to 3 frames a day", Confirmed.TABULATED)
_ONE_BASE = Source("one frame base on set; common practice, no source", Confirmed.PRACTICE)

_DROP_WANDER = Fraction(241, 2000)
"""Seconds that 29.97 DF labels may be out (exact arithmetic).

Inside ten minutes they run from 60.0 ms behind to 60.5 ms ahead, and a jam may come at either end of that.
"""


@rule(
    Record(
        name="rates-a-thousandth-apart",
        summary="A device runs at 24 where the others run at 23.976, or 30 against 29.97, 60 against 59.94",
        level=Level.ERROR,
        hurts=Hurts.POST,
        mended=Mended.MORNING,
        why=(
            "LTC tells a reader the count and not the speed, so nothing on set shows that two devices count 1000 "
            "frames in the time of 1001. They agree at the jam and part by 3.6 s in every hour that follows."
        ),
        sources=(_SUM, _ONE_BASE),
        answers=("1000/1001 mismatch between devices meant to sync",),
    )
)
def rates_a_thousandth_apart(case: Case) -> Iterator[Yielded]:
    """Tell of devices that run 0.1 % beside the rate of their unit."""
    record = rates_a_thousandth_apart.record
    for odd in _odds(case):
        # A menu that rounds its names has a rule of its own.
        if odd.relation is Relation.THOUSANDTH and not odd.renamed:
            costs = label_cost(case, odd.rate, odd.standard.rate, of=odd.device)
            costs = _pulled_cost(case, odd) if odd.by_picture else _with_picture(costs, odd)
            yield _finding(case, record, odd, costs)
    by_unit = standards(case)
    for device in in_use(case):
        side, standard = device.timecode, by_unit.get(case.domain_of(device.key))
        unsaid = side.rate.value is None and not side.rate.written and picture_rate(device) is None
        if standard and unsaid and side.source.value is not None and not case.timecode.follows_continuously(device.key):
            lacks = f"the rate that {device.called} is set to count (timecode: rate)"
            yield Unjudged(record, side.rate.place, lacks, (device.called,))


@rule(
    Record(
        name="drop-and-non-drop-mixed",
        summary="Some devices count 29.97 (or 59.94) in drop frame and some in non-drop",
        level=Level.ERROR,
        hurts=Hurts.POST,
        mended=Mended.MORNING,
        why=(
            "Both count the same frames and give them other numbers: drop frame leaves out two numbers a minute, save "
            "every tenth. Sound and picture agree at the jam and are seconds apart on the timeline by lunch."
        ),
        sources=(_DROPPING,),
        answers=("drop and non-drop mixed",),
    )
)
def drop_and_non_drop_mixed(case: Case) -> Iterator[Yielded]:
    """Tell of devices that count in the other way than their unit."""
    for odd in _odds(case):
        if odd.relation is Relation.COUNT and not odd.by_picture:
            yield _finding(case, drop_and_non_drop_mixed.record, odd, count_cost(case, odd.device))


@rule(
    Record(
        name="rates-not-second-aligned",
        summary="A device counts at a rate whose seconds part from the others'",
        level=Level.ERROR,
        hurts=Hurts.POST,
        mended=Mended.MORNING,
        why=(
            "23.976 and 29.97 NDF agree at every whole second, and so do 24, 25 and 30. Across those families, and "
            "from 23.976 to 29.97 DF, labels part by 3.6 s an hour, and pictures have to be converted as well."
        ),
        sources=(_SUM, _ONE_BASE),
        answers=("cross-rate pair that is not second-aligned",),
    )
)
def rates_not_second_aligned(case: Case) -> Iterator[Yielded]:
    """Tell of devices whose rate neither is nor keeps step with that of their unit."""
    for odd in _odds(case):
        if odd.relation is Relation.APART:
            costs = label_cost(case, odd.rate, odd.standard.rate, of=odd.device)
            yield _finding(case, rates_not_second_aligned.record, odd, _with_picture(costs, odd))


@rule(
    Record(
        name="rates-nearly-second-aligned",
        summary="29.97 DF stands beside 24, 25 or 30, which it follows only to within some frames",
        level=Level.WARNING,
        hurts=Hurts.POST,
        mended=Mended.MORNING,
        why=(
            "Drop frame keeps near the clock on the average of ten minutes. Between its jumps its labels stray by "
            "60 ms either way, so a sound that is laid by label may lie two frames beside its picture; where the jam "
            "came just before a jump and not on a ten-minute mark, twice as much."
        ),
        sources=(_RESIDUE, _SUM),
        answers=("cross-rate pair that is only approximately second-aligned",),
    )
)
def rates_nearly_second_aligned(case: Case) -> Iterator[Yielded]:
    """Tell of devices in drop frame beside rates of real seconds; a note where the tolerance bears all they stray."""
    record, tolerance = rates_nearly_second_aligned.record, case.setup.project.tolerance
    for odd in _odds(case):
        if odd.relation is not Relation.NEARLY:
            continue
        allowed = tolerance.value.in_seconds(odd.standard.rate.rate) if tolerance.value else Fraction(0)
        costs = Cost(
            "within ten minutes drop-frame labels stray by up to 60 ms if jammed on a ten-minute mark, up to 120 ms "
            "otherwise (two and four frames of 29.97), and run ahead of the others by 86 ms a day",
            (
                Amount("stray, jammed on a ten-minute mark", 60.5, "ms"),
                Amount("stray, jammed at another time", 120.5, "ms"),
                Amount("labels apart", 86.4, "ms a day"),
            ),
            0.1205,
        )
        level = Level.WARNING if allowed < _DROP_WANDER else Level.NOTE
        yield replace(_finding(case, record, odd, _with_picture(costs, odd)), level=level)


@rule(
    Record(
        name="second-aligned-rates-differ",
        summary="24, 25 and 30 (or 23.976 and 29.97 NDF) side by side: whole seconds agree, frames do not",
        level=Level.NOTE,
        hurts=Hurts.POST,
        mended=Mended.MORNING,
        why=(
            "24, 25 and 30 count real seconds, so labels agree at every whole second and a sound recorder may differ "
            "if post knows of it; so do 23.976 and 29.97 NDF. Frame numbers do not agree, and pictures at another rate "
            "have to be converted."
        ),
        sources=(_SUM,),
        answers=("second-aligned rates mixed",),
    )
)
def second_aligned_rates_differ(case: Case) -> Iterator[Yielded]:
    """Tell of devices at another rate whose seconds agree; a warning where they take pictures at it."""
    record = second_aligned_rates_differ.record
    for odd in _odds(case):
        pictures = odd.by_picture or picture_at(odd.device, odd.rate)
        # Sound beside 23.976 is often labelled 29.97 NDF, and nothing is wrong with it.
        if odd.relation is Relation.WHOLE or (odd.relation is Relation.TWINS and pictures):
            slower = min(folded(odd.rate).rate, folded(odd.standard.rate).rate)
            says = f"whole seconds agree; inside a second a label is good to a frame, {say_duration(slower.frame)}"
            amount = Amount("frame numbers apart", float(slower.frame * 1000), "ms")
            costs = _with_picture(Cost(says, (amount,), float(slower.frame)), odd)
            level = Level.WARNING if pictures else Level.NOTE
            yield replace(_finding(case, record, odd, costs), level=level)


# --- what these rules say alike --------------------------------------------------------------------------------


def _odds(case: Case) -> Iterator[Odd]:
    """Devices at another rate than their unit's, save those at the one that their unit is told to take."""
    return (odd for odd in odds(case) if not is_to_count(case, odd.device, odd.rate))


def _finding(case: Case, record: Record, odd: Odd, costs: Cost) -> Finding:
    """The finding on a device whose rate is not its unit's."""
    standard, device = odd.standard, odd.device
    exact = odd.relation is Relation.THOUSANDTH
    mine, theirs = (said(rate) if exact else rate.name for rate in (odd.rate, standard.rate))
    does = either("counts", "count")
    if odd.by_picture:
        does = either("plays", "play") if _slowed(odd) else either("shoots", "shoot")
    fix = _cure(case, odd)
    hired = not odd.by_picture and must_hire(device, wanted_rate(odd.rate, standard.rate))
    return record.finding(
        at=odd.fact.place,
        says=f"{WHO} {does} {mine} where {standard.by} counts {theirs}",
        who=(device.called,),
        cause=(odd.by_picture, odd.rate, standard.rate, standard.by, fix.says),
        costs=costs,
        fix=fix,
        decided_by=(odd.fact, standard.fact),
        also=(Mention(standard.fact.place, f"{standard.by} counts {theirs}"),),
        mended=Mended.RENTAL if hired else None,
    )


def _slowed(odd: Odd) -> bool:
    """Whether a picture that differs is one that plays at another rate than it was shot at."""
    picture = odd.device.picture
    return picture is not None and picture.shot_at.value != odd.rate.rate


def _pulled_cost(case: Case, odd: Odd) -> Cost:
    """What a picture a thousandth off comes to where its labels are right: it is pulled, and the sound is not."""
    wanted = _twin(odd)
    if not _slowed(odd):
        return pulled_cost(case, odd.rate.rate, wanted)
    return pulled_cost(case, odd.rate.rate, wanted, "runs longer" if odd.rate.rate > wanted else "runs shorter")


def _twin(odd: Odd) -> Rate:
    """The rate a thousandth away that a picture ought to have, above 30 too."""
    return Rate(odd.standard.rate.rate.counted.fps * odd.rate.rate.fps / odd.rate.rate.counted.fps)


def _with_picture(costs: Cost, odd: Odd) -> Cost:
    """A cost with what becomes of the picture; where the labels are right, that alone."""
    if odd.by_picture:
        return replace(costs, says=conversion(odd.rate, odd.standard.rate), amounts=_change(odd))
    return with_conversion(costs, odd.device, odd.rate, odd.standard.rate)


def _change(odd: Odd) -> tuple[Amount, ...]:
    ratio = odd.standard.rate.rate.counted.fps / odd.rate.rate.counted.fps
    return (Amount("change of speed", float(abs(ratio - 1) * 100), "%"),)


def _cure(case: Case, odd: Odd) -> Fix:
    """What to set on the device, or what stands in for the rate that it does not have."""
    device, thousandth = odd.device, odd.relation is Relation.THOUSANDTH
    wanted = wanted_rate(odd.rate, odd.standard.rate)
    if odd.by_picture:
        return _picture_cure(case, odd, LabelRate(_twin(odd)) if thousandth else wanted)
    name = said(wanted) if thousandth else wanted.name
    if must_hire(device, wanted):
        return another_device(wanted)
    partner = None if has_rate(device, wanted) else stand_in(device, wanted)
    if partner is not None:
        has = f"which {either('has', 'have')} no {name}"
        says = f"Set {WHO}, {has}, to {partner.name}; jam on a whole second and tell post"
        return Fix(says, rate_edits(case, device, odd.fact, odd.rate, partner))
    says = f"Set {WHO} to {name} before the jam"
    if odd.relation is Relation.NEARLY:
        says += ", or jam at hh:m0:00"
    if odd.relation is Relation.APART and relation(_undropped(odd.rate), wanted) is Relation.TWINS:
        says += f", or to {_undropped(odd.rate).name}, whose whole seconds agree with it"
    rounds = device.cls.value in ROUNDS_RATE_NAMES and odd.rate.rate.fps.denominator == 1
    if rounds and thousandth:
        says += f"; where the menu says {odd.rate.rate.name} for {wanted.rate.name}, write {wanted.rate.name}"
    return Fix(says, rate_edits(case, device, odd.fact, odd.rate, wanted))


def _picture_cure(case: Case, odd: Odd, wanted: LabelRate) -> Fix:
    """What to do about a picture at another rate than its labels."""
    device, thousandth = odd.device, odd.relation is Relation.THOUSANDTH
    name = said(wanted) if thousandth else wanted.rate.name
    says = f"Shoot {name} on {WHO}"
    if _slowed(odd):
        says = f"Have the files of {WHO} interpreted (conformed) at {name}"
    if thousandth and not played_as_stated(device):
        says += f", or write played_at: {wanted.rate.name} where post is to pull the picture to it"
    return Fix(says, rate_edits(case, device, None, odd.rate, wanted))


def _undropped(rate: LabelRate) -> LabelRate:
    return LabelRate(rate.rate, Count.NDF)


RULES = (
    rates_a_thousandth_apart,
    drop_and_non_drop_mixed,
    rates_not_second_aligned,
    rates_nearly_second_aligned,
    second_aligned_rates_differ,
)
