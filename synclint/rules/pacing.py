"""Rules about what a reference does to sound that is paced by it."""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction

from synclint.findings import (
    WHO,
    AddKey,
    Amount,
    Confirmed,
    Cost,
    Fact,
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
from synclint.rig.graphs import Feed
from synclint.rig.model import OWN_CLOCK, Device, Link
from synclint.rules.framework import Case, Yielded, rule
from synclint.rules.label_rates import HOUR
from synclint.rules.references_used import format_on, link_with_format
from synclint.rules.spans import PULLS, nearly, recorders, take_of
from synclint.trade.quantities import QuantityError, parse_frequency, say_duration, say_frequency
from synclint.trade.rates import Rate

_VIDEO = frozenset({"black burst", "tri-level", "SDI timecode", "picture"})
"""What carries a field rate to which sound can be locked."""

_SAMPLES = frozenset({"word clock", "AES reference"})
"""What carries a sample rate."""

_TWINNED = frozenset({24, 30, 48, 60})
"""Whole rates with a twin a thousandth away, so that a menu can stand on the wrong one."""


@rule(
    Record(
        name="clocked-from-the-wrong-family",
        summary="A sound recorder is set to another field rate or sample rate than its reference has",
        level=Level.ERROR,
        hurts=Hurts.POST,
        mended=Mended.MORNING,
        why=(
            "A recorder that takes its pace from a video reference multiplies the field rate that it believes it gets. "
            "With 60 in its menu and 59.94 on the lead, 48 kHz becomes 47.952 kHz with every light green, and the "
            "sound parts from the picture by 3.6 s an hour. So it does, the other way, on a word clock at 48.048 kHz."
        ),
        sources=(
            Source("Clocking sound from video, common practice, no source", Confirmed.PRACTICE),
            Source("48 kHz × 59.94/60 is 47.952 kHz", Confirmed.ARITHMETIC),
        ),
        answers=("recorder or console clocked from the wrong video family",),
    )
)
def clocked_from_the_wrong_family(case: Case) -> Iterator[Yielded]:
    """Compare the field rate that a sound recorder expects, or its sample rate, with the reference that paces it."""
    for device in recorders(case.setup):
        if device.sound is None or device.clock.source.value in (None, OWN_CLOCK):
            continue
        if device.picture is not None and not device.clock.expects.written:
            continue  # a camera's sound goes with its picture
        video, samples = _reference(case, device, _VIDEO), _reference(case, device, _SAMPLES)
        if video is not None:
            yield from _judged(case, device, video)
        elif samples is not None:
            yield from _sampled(case, device, device.sound.sample_rate, samples)


def _reference(case: Case, device: Device, carriers: frozenset[str]) -> Feed | None:
    """The reference of a kind that paces a device."""
    feeds = [feed for feed in case.clock.listened.get(device.key, ()) if not feed.last.only_compares]
    return next((feed for feed in feeds if feed.last.carries.value in carriers), None)


def _sampled(case: Case, device: Device, own: Fact[Fraction], feed: Feed) -> Iterator[Yielded]:
    """Judge a device with the word clock that paces it."""
    link = link_with_format(feed)
    arriving = _samples_on(link)
    if not arriving or not own.value:
        return
    factor = next((arriving / own.value * times for times in _MULTIPLES if _pulls(arriving / own.value * times)), None)
    if factor is not None and nearly(factor, Fraction(1)):
        return
    gives, clock = case.setup.called(feed.source), link.carries.value
    wanted = say_frequency(own.value)
    meant = f"; where the pull is meant, write sample_rate: {say_frequency(arriving)}, stamped: {wanted}"
    yield clocked_from_the_wrong_family.record.finding(
        at=own.place,
        says=f"{WHO} {either('takes its', 'take their')} pace from {gives} by {clock} at {say_frequency(arriving)} and "
        f"{either('is', 'are')} set to record at {wanted}",
        who=(device.called,),
        cause=(feed.source, arriving, own.value),
        costs=_CANNOT_LOCK if factor is None else _cost(case, device, factor),
        fix=Fix(
            f"Set the {clock} that {gives} sends to {WHO} to {wanted}, then count 10 min of recording against a clock "
            f"that is not on it: 0.1 % is 0.6 s off by then{meant if factor is not None else ''}",
            (SetValue(link.format.place, wanted),),
        ),
        decided_by=(own, link.format),
        also=(Mention(link.format.place, f"the {clock} at {say_frequency(arriving)}"),),
    )


_MULTIPLES = (Fraction(1), Fraction(2), Fraction(1, 2), Fraction(4), Fraction(1, 4))
"""A recorder at 96 kHz locks to 48 kHz as well."""


def _pulls(factor: Fraction) -> bool:
    return any(nearly(factor, pull) for pull in (Fraction(1), *PULLS))


def _samples_on(link: Link) -> Fraction | None:
    """The sample rate on a link, where its format says one."""
    try:
        return parse_frequency(link.format.value) if link.format.value else None
    except QuantityError:
        return None


def _judged(case: Case, device: Device, feed: Feed) -> Iterator[Yielded]:
    """Judge one device with its reference."""
    record = clocked_from_the_wrong_family.record
    link = link_with_format(feed)
    arriving = _rate_on(link)
    expects = device.clock.expects
    if arriving is None:
        if expects.value is not None and not link.format.written:
            lacks = f"the format of the reference that reaches {device.called} (links: format)"
            yield Unjudged(record, link.place, lacks, (device.called,))
        return
    if expects.value is None:
        if not expects.written and arriving.nominal in _TWINNED:
            lacks = f"which field rate {device.called} is set to expect (clock: expects)"
            yield Unjudged(record, device.clock.place, lacks, (device.called,))
        return
    factor = _factor(expects.value, arriving)
    if factor == 1:
        return
    gives = case.setup.called(feed.source)
    yield record.finding(
        at=expects.place,
        says=f"{WHO} {either('takes its', 'take their')} pace from {gives} at {arriving.name} and "
        f"{either('is', 'are')} set to expect {expects.value.name}",
        who=(device.called,),
        cause=(feed.source, arriving, expects.value),
        costs=_cost(case, device, factor) if factor in PULLS else _CANNOT_LOCK,
        fix=_fix(device, arriving),
        decided_by=(expects, link.format),
        also=(Mention(link.format.place, f"the reference at {arriving.name}"),),
    )


def _rate_on(link: Link) -> Rate | None:
    """The field or frame rate of the reference on a link."""
    reference = format_on(link)
    return reference.rate if reference is not None else None


def _factor(expected: Rate, arriving: Rate) -> Fraction:
    """By how much the pace comes out wrong: 1 where fields are told for frames or the other way round."""
    ratio = arriving.fps / expected.fps
    for times in (Fraction(1), Fraction(2), Fraction(1, 2)):
        if ratio * times == 1 or ratio * times in PULLS:
            return ratio * times
    return ratio


_CANNOT_LOCK = Cost(
    "the rates are of different families: it does not lock, and runs on its own clock as if there were no reference"
)


def _cost(case: Case, device: Device, factor: Fraction) -> Cost:
    """What a pace wrong by a thousandth comes to."""
    apart = abs(1 / factor - 1)
    an_hour = apart * HOUR
    rate = device.sound.sample_rate if device.sound else None
    says = f"the sound parts from the picture by {say_duration(an_hour)} an hour with every light green"
    if rate is not None and rate.value is not None:
        says = f"{say_frequency(rate.value)} becomes {_hertz(rate.value * factor)} and {says}"
    amounts = [Amount("parting", float(an_hour), "s an hour")]
    take: Fact[Fraction] | None = take_of(case, device)
    weight = an_hour
    if take is not None and take.value is not None:
        weight = apart * take.value
        says += f", {say_duration(weight)} over the longest take of {say_duration(take.value)}"
        amounts.append(Amount("parting over the longest take", float(weight), "s"))
    return Cost(says, tuple(amounts), float(weight))


def _hertz(sample_rate: Fraction) -> str:
    """A sample rate to the hertz, as it is known in the trade: 47.952 kHz."""
    return say_frequency(Fraction(round(sample_rate)))


def _fix(device: Device, arriving: Rate) -> Fix:
    """Set the menu to what arrives, and count ten minutes."""
    says = (
        f"Set the field rate in the menu of {WHO} to {arriving.name}, then count 10 min of recording against a clock "
        "that is not on the reference: a wrong family is 0.6 s off by then"
    )
    expects = device.clock.expects
    edit = (
        SetValue(expects.place, arriving.name)
        if expects.written
        else AddKey(device.clock.place, "expects", arriving.name)
    )
    return Fix(says, (edit,))


RULES = (clocked_from_the_wrong_family,)
