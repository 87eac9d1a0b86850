"""Rules about how a rate is said: names for two rates, drop frame left open or where it is none."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import replace
from fractions import Fraction
from typing import NamedTuple

from synclint.findings import (
    WHO,
    Amount,
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
    either,
)
from synclint.rig.assumed import ROUNDS_RATE_NAMES
from synclint.rig.model import Device
from synclint.rules.cures import setup_edits
from synclint.rules.framework import MAIN_UNIT, Case, Yielded, rule
from synclint.rules.label_rates import (
    HOUR,
    Standard,
    folded,
    in_use,
    meant,
    meant_rate,
    said,
    standards,
    stretch_of,
    working,
)
from synclint.rules.rate_costs import count_cost, label_cost, over_the_day, pulled_cost
from synclint.trade.quantities import say_number
from synclint.trade.rates import AmbiguousRateError, Count, LabelRate, Rate, RateError, parse_label_rate

_PRACTICE = Source("how rates are named in menus and on call sheets; common practice, no source", Confirmed.PRACTICE)
_SUM = Source("exact arithmetic on 1000/1001", Confirmed.ARITHMETIC)
_DROPPING = Source("ST 12-1:2014, drop-frame counting", Confirmed.TABULATED)
_DROP_RATES = Source("libavutil: drop frame is only allowed with 30000/1001 or 60000/1001", Confirmed.LIBRARY)

_ROUND_NAME = re.compile(r"(24|30|48|60|120)( *fps)?( *ndf)?", re.IGNORECASE | re.ASCII)
"""A whole rate as a menu that rounds would write it; who writes 24.000 has looked."""

_PROJECT = "the project"


class Said(NamedTuple):
    """A rate that somebody wrote, and whose it is in the words of the setup."""

    who: str
    fact: Fact[LabelRate] | Fact[Rate]


# --- names that stand for two rates ----------------------------------------------------------------------------


@rule(
    Record(
        name="unclear-rate",
        summary="A rate such as 24p, which people say of 23.976 and of 24",
        level=Level.ERROR,
        hurts=Hurts.POST,
        mended=Mended.RENTAL,
        why=(
            "24p is the name of 24 in one shop and of 23.976 in the next. Whoever sets the recorder by such a sheet "
            "has an even chance of being 0.1 % off, and nothing on set shows it."
        ),
        sources=(_PRACTICE, _SUM),
        answers=("ambiguous rate name",),
    )
)
def unclear_rate(case: Case) -> Iterator[Yielded]:
    """Ask which rate is meant wherever one of two is written."""
    for who, fact in _all_rates(case):
        candidates = _candidates(fact.text) if fact.value is None else None
        if candidates is None:
            continue
        slow, fast = (LabelRate(rate) for rate in candidates)
        yield unclear_rate.record.finding(
            at=fact.place,
            says=f"{WHO} {either('gives', 'give')} {fact.text}, which is said of {slow.name} and of {fast.name}",
            who=(who,),
            cause=fact.text,
            costs=label_cost(case, fast, slow, "taken for the wrong one, the labels part by"),
            fix=Fix(f"Ask post and read the menus, then write {slow.name} or {fast.name} for {fact.text}"),
        )


def _all_rates(case: Case) -> Iterator[Said]:
    """Every rate that is written for the project and the devices on it."""
    project = case.setup.project
    yield from (Said(_PROJECT, fact) for fact in (project.rate, project.post_rate))
    for device in working(case):
        yield Said(device.called, device.timecode.rate)
        if device.picture is not None:
            yield Said(device.called, device.picture.shot_at)
            yield Said(device.called, device.picture.played_at)
        yield Said(device.called, device.clock.expects)


def _candidates(text: str) -> tuple[Rate, Rate] | None:
    """The two rates that a name is used for, the slower first."""
    try:
        parse_label_rate(text)
    except AmbiguousRateError as error:
        return error.candidates
    except RateError:
        return None
    return None


@rule(
    Record(
        name="rate-name-rounded-on-the-menu",
        summary="Plain 24, 30 or 60 on a kind of device whose menu says so of 23.976, 29.97 or 59.94",
        level=Level.NOTE,
        hurts=Hurts.POST,
        mended=Mended.TEST_DAY,
        why=(
            "Menus of small cameras, phones and drones say 24 and record 23.976. In a project at true 24 such a camera "
            "is 0.1 % off, and only its files show it."
        ),
        sources=(_PRACTICE, _SUM),
        answers=("rounded rate name",),
    )
)
def rate_name_rounded_on_the_menu(case: Case) -> Iterator[Yielded]:
    """Tell of rate names that are or may be rounded, where the project counts what they say."""
    by_unit = standards(case)
    for device in working(case):
        rounded = [fact for fact in _own_rates(device) if _ROUND_NAME.fullmatch(fact.text.strip(" "))]
        standard = by_unit.get(case.domain_of(device.key))
        if not rounded or rounded[0].value is None:
            continue
        exact = _rate(rounded[0])
        if standard is not None and standard.rate.rate.counted != exact.counted:
            continue  # told where rates are compared
        certain = [fact for fact in rounded if _renamed(device, fact)]
        if certain and standard is not None:
            yield _surely_rounded(case, device, certain[0], standard)
        elif not device.rate_names and device.cls.value in ROUNDS_RATE_NAMES:
            yield _perhaps_rounded(case, device, rounded[0])


def _own_rates(device: Device) -> Iterator[Fact[LabelRate] | Fact[Rate]]:
    """The rates of a device that name its base rate; what it shoots in slow motion does not."""
    yield device.timecode.rate
    picture = device.picture
    if picture is not None:
        if stretch_of(picture.shot_at.value, picture.played_at.value) is None:
            yield picture.shot_at
        yield picture.played_at


def _rate(fact: Fact[LabelRate] | Fact[Rate]) -> Rate:
    """The rate that a fact names at face value."""
    value = fact.value
    if isinstance(value, LabelRate):
        return value.rate
    return value or Rate(Fraction(1))


def _renamed(device: Device, fact: Fact[LabelRate] | Fact[Rate]) -> bool:
    """Whether the kit says that a name stands for another rate."""
    return _meaning(device, fact) != _rate(fact)


def _meaning(device: Device, fact: Fact[LabelRate] | Fact[Rate]) -> Rate | None:
    value = fact.value
    if isinstance(value, Rate):
        return meant_rate(device, Fact(value, fact.place, fact.standing, fact.text))
    label = meant(device, Fact(value, fact.place, fact.standing, fact.text)) if value else None
    return label.rate if label else None


def _surely_rounded(case: Case, device: Device, fact: Fact[LabelRate] | Fact[Rate], standard: Standard) -> Finding:
    """The finding on a name that the kit says is rounded, in a project at the rate that it seems to be."""
    name, real = _rate(fact).name, LabelRate(_meaning(device, fact) or _rate(fact))
    return rate_name_rounded_on_the_menu.record.finding(
        at=fact.place,
        level=Level.ERROR,
        says=f"{WHO} {either('is', 'are')} set to {name}, which its menu says of {real.rate.name}, "
        f"where {standard.by} counts {said(standard.rate)}",
        who=(device.called,),
        cause=("kit", name, real, standard.by),
        costs=_rounded_cost(case, device, fact, real, standard.rate),
        fix=Fix(f"Find true {name} in the menu of {WHO}, or agree on {real.rate.name} for all"),
        decided_by=(fact, standard.fact),
        also=(Mention(standard.fact.place, f"{standard.by} counts {standard.rate.name}"),),
    )


def _perhaps_rounded(case: Case, device: Device, fact: Fact[LabelRate] | Fact[Rate]) -> Finding:
    """The note on a name that this class of device is known to round."""
    exact = _rate(fact)
    twin = Rate(exact.fps * Fraction(1000, 1001))
    return rate_name_rounded_on_the_menu.record.finding(
        at=fact.place,
        says=f"{WHO} {either('says', 'say')} {exact.name}, and menus of a {device.cls.value} say so of {twin.name} too",
        who=(device.called,),
        cause=("class", exact, device.cls.value),
        costs=_rounded_cost(case, device, fact, LabelRate(twin), LabelRate(exact), f"if it is {twin.name}, "),
        fix=Fix(f"Look into a test clip of {WHO}: write {twin.name}, or {exact.name}.000 if it is true {exact.name}"),
        decided_by=(device.cls, fact),
    )


def _rounded_cost(
    case: Case,
    device: Device,
    fact: Fact[LabelRate] | Fact[Rate],
    real: LabelRate,
    exact: LabelRate,
    opening: str = "",
) -> Cost:
    """What a name that was rounded comes to: by its labels, and by the picture of a camera that keeps none."""
    if isinstance(fact.value, LabelRate) or device.timecode.rate.value is not None:
        return label_cost(case, real, exact, f"{opening}the labels part by")
    costs = pulled_cost(case, real.rate, Rate(exact.rate.counted.fps * real.rate.fps / real.rate.counted.fps))
    return replace(costs, says=f"{opening}{costs.says}")


# --- drop frame ------------------------------------------------------------------------------------------------


def _counts(case: Case) -> Iterator[Said]:
    """Every label rate that counts for something: the project's, post's, and those of devices whose labels matter."""
    project = case.setup.project
    yield from (Said(_PROJECT, fact) for fact in (project.rate, project.post_rate))
    yield from (Said(device.called, device.timecode.rate) for device in in_use(case))


@rule(
    Record(
        name="drop-frame-not-said",
        summary="29.97 or 59.94 without DF or NDF",
        level=Level.ERROR,
        hurts=Hurts.POST,
        mended=Mended.RENTAL,
        why=(
            "At 29.97 and 59.94 there are two ways to count, and where the sheet leaves it open some devices will be "
            "set one way and some the other. At every other rate there is only one, and nothing needs to be said."
        ),
        sources=(_DROPPING,),
        answers=("drop or non-drop not said",),
    )
)
def drop_frame_not_said(case: Case) -> Iterator[Yielded]:
    """Ask for the count where the rate leaves it open."""
    for who, fact in _counts(case):
        rate = fact.value
        if not isinstance(rate, LabelRate) or not rate.count_needed or rate.count is not None:
            continue
        costs = count_cost(case)
        yield drop_frame_not_said.record.finding(
            at=fact.place,
            says=f"{WHO} {either('says', 'say')} {rate.name} without DF or NDF",
            who=(who,),
            cause=rate,
            costs=Cost(f"if others count the other way, {costs.says}", costs.amounts, costs.weight),
            fix=Fix(f"Ask post, read the menus, and write {rate.name} NDF or {rate.name} DF"),
            decided_by=(fact,),
        )


@rule(
    Record(
        name="drop-frame-at-a-rate-without-it",
        summary="DF is said of a rate other than 29.97 and 59.94",
        level=Level.ERROR,
        hurts=Hurts.POST,
        mended=Mended.RENTAL,
        why=(
            "Drop frame exists to bring 29.97 near the clock. At 23.976, 24 and 25 there is none, and at 30 it runs "
            "away from the clock; a flag that is set all the same makes tools leave out numbers that were recorded."
        ),
        sources=(_DROP_RATES, _DROPPING),
        answers=("drop flag at a rate that has none",),
    )
)
def drop_frame_at_a_rate_without_it(case: Case) -> Iterator[Yielded]:
    """Tell of drop frame where there is none."""
    standard = standards(case).get(MAIN_UNIT)
    for who, fact in _counts(case):
        rate = fact.value
        if not isinstance(rate, LabelRate) or rate.count_allowed:
            continue
        # Two numbers a minute save every tenth: 108 an hour.
        apart = Fraction(108, rate.rate.counted.nominal)
        hourly = Amount("labels left out", 108.0, "labels an hour")
        opening = (
            "a tool that believes the flag leaves out 108 labels an hour, "
            f"{say_number(apart)} s at {rate.rate.counted.name}"
        )
        yield drop_frame_at_a_rate_without_it.record.finding(
            at=fact.place,
            says=f"{WHO} {either('says', 'say')} {rate.name}, and drop frame exists at 29.97 and 59.94 only",
            who=(who,),
            cause=rate,
            costs=over_the_day(case, opening, apart / HOUR, hourly, jammed=False),
            fix=_undropped(case, fact, rate, standard),
            decided_by=(fact,),
        )


def _undropped(case: Case, fact: Fact[LabelRate] | Fact[Rate], rate: LabelRate, standard: Standard | None) -> Fix:
    """What is meant by a rate with a flag that does not belong to it."""
    edits: tuple[Edit, ...] = ()
    if rate.rate.nominal in (30, 60):
        slow = LabelRate(Rate(rate.rate.fps * Fraction(1000, 1001)), Count.DF)
        if standard is not None and folded(standard.rate) == folded(slow):
            edits = setup_edits(case, SetValue(fact.place, slow.name))
        says = f"Ask what was meant, {slow.name} nearly always, and write that"
    else:
        plain = LabelRate(rate.rate, Count.NDF if rate.rate.fractional else None).name
        edits = setup_edits(case, SetValue(fact.place, plain))
        says = f"Write {plain}, and clear the flag in the menu"
    return Fix(says, edits)


RULES = (
    unclear_rate,
    rate_name_rounded_on_the_menu,
    drop_frame_not_said,
    drop_frame_at_a_rate_without_it,
)
