"""Rules about what a video reference does to sound that is paced by it."""

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
from synclint.rules.spans import HOUR, PULLS, recorders, take_of
from synclint.trade.quantities import say_duration, say_frequency
from synclint.trade.rates import Rate
from synclint.trade.references import ReferenceFormatError, parse_reference

_VIDEO = frozenset({"black burst", "tri-level", "SDI timecode", "picture"})
"""What carries a field rate to which sound can be locked."""

_TWINNED = frozenset({24, 30, 48, 60})
"""Whole rates with a twin a thousandth away, so that a menu can stand on the wrong one."""


@rule(
    Record(
        name="clocked-from-the-wrong-family",
        summary="A sound device is set to expect another field rate than its video reference has",
        level=Level.ERROR,
        hurts=Hurts.POST,
        mended=Mended.MORNING,
        why=(
            "A recorder that takes its pace from a video reference multiplies the field rate that it believes it gets. "
            "With 60 in its menu and 59.94 on the lead, 48 kHz becomes 47.952 kHz with every light green, and the "
            "sound parts from the picture by 3.6 s an hour."
        ),
        sources=(
            Source("Clocking sound from video, common practice, no source", Confirmed.PRACTICE),
            Source("48 kHz × 59.94/60 is 47.952 kHz", Confirmed.ARITHMETIC),
        ),
        answers=("recorder or console clocked from the wrong video family",),
    )
)
def clocked_from_the_wrong_family(case: Case) -> Iterator[Yielded]:
    """Compare the field rate that a sound device expects with the reference that paces it."""
    for device in recorders(case.setup):
        if device.sound is None or device.clock.source.value in (None, OWN_CLOCK):
            continue
        if device.picture is not None and not device.clock.expects.written:
            continue  # a camera's sound goes with its picture
        feed = _reference(case, device)
        if feed is not None:
            yield from _judged(case, device, feed)


def _reference(case: Case, device: Device) -> Feed | None:
    """The video reference that paces a device."""
    feeds = [feed for feed in case.clock.listened.get(device.key, ()) if not feed.last.only_compares]
    return next((feed for feed in feeds if feed.last.carries.value in _VIDEO), None)


def _judged(case: Case, device: Device, feed: Feed) -> Iterator[Yielded]:
    """Judge one device with its reference."""
    record = clocked_from_the_wrong_family.record
    link = _link_with_format(feed)
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


def _link_with_format(feed: Feed) -> Link:
    """The last link on the way that says its format."""
    return next((link for link in reversed(feed.links) if link.format.written), feed.last)


def _rate_on(link: Link) -> Rate | None:
    """The field or frame rate of the reference on a link."""
    if link.format.value is None:
        return None
    try:
        return parse_reference(link.format.value).rate
    except ReferenceFormatError:
        return None


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
