"""Rules about the time and the rate that files are stamped with, and how post reads them."""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction

from synclint.findings import (
    WHO,
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
    listed,
)
from synclint.rig.model import OWN_CLOCK, Device
from synclint.rules.cures import (
    another_device,
    has_rate,
    must_hire,
    picture_at,
    rate_edits,
    setup_edits,
    stand_in,
    wanted_rate,
    with_conversion,
)
from synclint.rules.framework import Case, Yielded, rule
from synclint.rules.label_rates import (
    Relation,
    StampedOver,
    Standard,
    clear,
    in_use,
    meant_rate,
    odds,
    relation,
    stamped_over,
    standards,
)
from synclint.rules.rate_costs import conversion
from synclint.rules.spans import DAY, clock_cost, recorders, same_labels
from synclint.rules.stamp_costs import stamp_cost, stamps
from synclint.rules.unit_rates import is_to_count
from synclint.rules.wording import PRACTICE
from synclint.trade.labels import label_speed, second_aligned
from synclint.trade.quantities import say_clock, say_duration, say_frequency
from synclint.trade.rates import LabelRate
from synclint.trade.speed import time_stamp_wrap

_STAMP = Source("EBU Tech 3285, TimeReference: a 64-bit value, the first sample count since midnight", Confirmed.QUOTED)
_SUM = Source("A label at 23.976 stands for 1.001 times the time it stands for at 24", Confirmed.ARITHMETIC)


@rule(
    Record(
        name="time-stamp-past-32-bits",
        summary="High sample rate whose time stamp outgrows 32 bits during the day",
        level=Level.NOTE,
        hurts=Hurts.TIME,
        mended=Mended.TEST_DAY,
        why=(
            "A sound file's time stamp counts samples since midnight in two words of 32 bits. A tool that reads only "
            "the lower word puts files half a day early from 12:25:39 on at 96 kHz, and from 06:12:49 on at 192 kHz. "
            "At 48 kHz a whole day fits."
        ),
        sources=(_STAMP, Source("2^32 samples at 96 kHz last 44,739.24 s", Confirmed.ARITHMETIC)),
        answers=("96 or 192 kHz time stamp beyond 32 bits",),
    )
)
def time_stamp_past_32_bits(case: Case) -> Iterator[Yielded]:
    """Compare the moment at which 32 bits are full with the hours of the days."""
    record = time_stamp_past_32_bits.record
    project = case.setup.project
    if (project.post_time_stamp_bits.value or 0) >= 64:
        return
    for device in recorders(case.setup):
        rate = device.sound.sample_rate if device.sound else None
        if rate is None or rate.value is None or rate.value < 88_200:
            continue
        if project.timecode_as.value is None:
            lacks = "whether timecode is the time of day (project: timecode: as)"
            yield Unjudged(record, project.place, lacks, (device.called,))
        elif project.timecode_as.value != "time of day":
            continue
        elif case.setup.longest_day is None:
            yield Unjudged(record, case.setup.place, "call and wrap of the day", (device.called,))
        else:
            yield from _past_32_bits(case, device, rate)


def _past_32_bits(case: Case, device: Device, rate: Fact[Fraction]) -> Iterator[Yielded]:
    """The finding on a device whose files pass the moment on one of the days."""
    project = case.setup.project
    sample_rate = rate.value or Fraction(1)
    wrap = time_stamp_wrap(sample_rate)
    # The stamp counts real time from label 00:00:00:00, and at 23.976 labels run slower than that.
    label = wrap * (label_speed(project.rate.value) if project.rate.value else 1)
    past = [_hours_past(label, day.call.value, day.wrap.value) for day in case.setup.days]
    hours = max(past, default=Fraction(0))
    if not hours:
        return
    times = " or a multiple of it" if 2 * wrap < DAY else ""
    yield time_stamp_past_32_bits.record.finding(
        at=rate.place,
        says=f"{WHO} {either('records', 'record')} at {say_frequency(sample_rate)}: from {say_clock(label)} on the "
        f"timecode the time stamp of {either('its', 'their')} files does not fit in 32 bits",
        level=Level.WARNING if project.post_time_stamp_bits.value == 32 else None,
        who=(device.called,),
        cause=sample_rate,
        costs=Cost(
            f"a tool that reads only 32 bits of it puts the files of {say_duration(hours)} of the day "
            f"{say_clock(label)} of timecode too early{times}",
            (
                Amount("files early by", float(label), "s of timecode"),
                Amount("hours of the day", float(hours / 3600), "h"),
            ),
            float(hours),
        ),
        fix=Fix(
            f"Record sync sound on {WHO} at 48 kHz, or test a file from after {say_clock(label)} on the timecode with "
            "post's tool"
        ),
        decided_by=(rate, project.timecode_as),
    )


def _hours_past(label: Fraction, call: Fraction | None, wrap: Fraction | None) -> Fraction:
    """The seconds of a day's work that lie after a label and before the midnight that starts the count again."""
    if call is None or wrap is None:
        return Fraction(0)
    found = Fraction(0)
    for midnight in (Fraction(0), DAY):
        found += max(Fraction(0), min(wrap, midnight + DAY) - max(call, midnight + label))
    return found


@rule(
    Record(
        name="stamps-its-own-rate",
        summary="A device that follows timecode is set to another rate than it is fed",
        level=Level.ERROR,
        hurts=Hurts.POST,
        mended=Mended.MORNING,
        why=(
            "Timecode on a lead carries numbers and not their rate, so a recorder that is set to 24 and fed 23.976 "
            "writes 24 in its files. A sound file holds samples since midnight, so where it starts is worked out at "
            "the wrong rate, 50.4 s away at 14:00:00: constant inside a file, another value in the next. A camera "
            "mostly writes the digits that it reads, and only what it counts on from there is wrong."
        ),
        sources=(_SUM, PRACTICE),
        answers=("recorder stamps its own set rate, whatever comes in", "rate mismatch of a follower"),
    )
)
def stamps_its_own_rate(case: Case) -> Iterator[Yielded]:
    """Compare the rate that a continuous follower is set to with that of the device whose labels reach it."""
    at_odds = {odd.device.key for odd in odds(case) if not odd.by_picture}
    for device in in_use(case):
        if device.timecode.rate.value is None or not case.timecode.follows_continuously(device.key):
            continue
        writer = _writer(case, device)
        comes = writer.timecode.rate if writer is not None else None
        if writer is not None and comes is not None and comes.value is None and not comes.written:
            lacks = f"the rate that {writer.called} is set to, which {device.called} follows"
            yield Unjudged(stamps_its_own_rate.record, writer.timecode.place, lacks, (device.called,))
        found = stamped_over(case, device)
        if found is None:
            continue
        standard = standards(case).get(case.domain_of(device.key))
        is_right = standard is not None and relation(found.own, standard.rate) is Relation.SAME
        if is_right and found.writer.key in at_odds:
            continue  # where the device that it follows is put right, so is this
        if is_to_count(case, device, found.own):
            continue  # so it is where the whole unit is put right
        yield _stamped_over(case, found, standard)


def _writer(case: Case, device: Device) -> Device | None:
    """The device whose counter makes the labels that reach a follower."""
    if not case.timecode.root_of(device.key).generates:
        return None  # nothing arrives, or it goes round: other rules tell that
    key = case.timecode.writer_of(device.key)
    return case.setup.devices[key] if key != device.key else None


def _stamped_over(case: Case, found: StampedOver, standard: Standard | None) -> Yielded:
    """The finding on a follower that is set to another rate."""
    device, writer, own, comes = found.device, found.writer, found.own, found.comes
    # What feeds it may be wrong itself, or at a rate that its pictures must not have.
    base = comes if standard is None or relation(comes, standard.rate) is Relation.SAME else standard.rate
    wanted = wanted_rate(own, base)
    fix, costs = _to_set(case, device, own, wanted), stamp_cost(case, device, own, comes)
    does = _does(device, own)
    rate = device.timecode.rate
    return stamps_its_own_rate.record.finding(
        at=rate.place,
        says=f"{WHO} {does} and {either('is', 'are')} fed {comes.name} by {writer.called}",
        who=(device.called,),
        cause=(writer.key, own, comes, does, costs.says, fix.says),
        costs=with_conversion(costs, device, own, base) if _pace_differs(own, base) else costs,
        fix=fix,
        decided_by=(rate, writer.timecode.rate),
        also=(Mention(writer.timecode.rate.place, f"{writer.called} counts {comes.name}"),),
        mended=Mended.RENTAL if must_hire(device, wanted) else None,
    )


def _does(device: Device, own: LabelRate) -> str:
    """What a device does at its own rate, its picture included."""
    if not stamps(device):
        return f"{either('is', 'are')} set to {own.name}"
    writes = f"{either('stamps its files', 'stamp their files')} {own.name}"
    shot = device.picture.shot_at if device.picture is not None else None
    if shot is None or shot.value is None or not picture_at(device, own) or meant_rate(device, shot) != own.rate:
        return writes
    return f"{either('shoots', 'shoot')} {own.rate.name}, {writes}"


def _pace_differs(own: LabelRate, base: LabelRate) -> bool:
    return own.rate.counted != base.rate.counted


def _to_set(case: Case, device: Device, own: LabelRate, wanted: LabelRate) -> Fix:
    """The rate to set, or what to do with a device that does not have it."""
    if not has_rate(device, wanted):
        partner = stand_in(device, wanted)
        if partner is None:
            return another_device(wanted)
        return Fix(
            f"Set {WHO}, which {either('has', 'have')} no {wanted.name}, to {partner.name} and feed "
            f"{either('it', 'them')} from a box at {partner.name} that is jammed on a whole second; tell post"
        )
    says = f"Set {WHO} to {wanted.name} before the first take"
    if picture_at(device, own) and _pace_differs(own, wanted):
        says = f"Set {WHO} to {wanted.name}, picture and timecode, before the first take"
    if stamps(device):
        says += (
            f", and film a timecode display to see that {either('its', 'their')} files say the same; the headers of "
            "files that exist can be put right in post"
        )
    return Fix(says, rate_edits(case, device, device.timecode.rate, own, wanted))


@rule(
    Record(
        name="reader-does-not-take-this-rate",
        summary="A device is fed timecode at a rate that its reader does not take",
        level=Level.ERROR,
        hurts=Hurts.DAY,
        mended=Mended.RENTAL,
        why=(
            "23.976 and 29.97 NDF agree at every whole second, so one jam may serve both; but the lead between them "
            "carries 24 or 30 frames a second, and a reader that does not know the other rate takes nothing."
        ),
        sources=(
            Source("23.976 and 29.97 NDF labels agree at every whole second", Confirmed.ARITHMETIC),
            Source("Readers differ in the rates they take; common practice, no source", Confirmed.PRACTICE),
        ),
        answers=("a cable between second-aligned rates", "a device that cannot do what is asked"),
    )
)
def reader_does_not_take_this_rate(case: Case) -> Iterator[Yielded]:
    """Compare the rates that a follower is able to read with the rate that reaches it."""
    record = reader_does_not_take_this_rate.record
    for device in case.setup.devices.values():
        writer = None if device.through or device.trigger.value else _fed_by(case, device)
        comes = writer.timecode.rate.value if writer else None
        own = device.timecode.rate.value
        if writer is None or comes is None or not clear(comes) or (own is None and device.timecode.rate.written):
            continue
        if own is not None and (not clear(own) or not second_aligned(own.counted, comes.counted)):
            continue  # told as a difference of rates
        able = device.timecode.able_rates
        if able.value:
            if not any(same_labels(each, comes) is not False for each in able.value):
                yield _not_taken(case, device, writer, comes, able.value)
        elif own is not None and not same_labels(own, comes):
            lacks = f"whether {device.called}, set to {own.name}, reads {comes.name} (able: timecode: rates)"
            yield Unjudged(record, device.timecode.rate.place, lacks, (device.called,))


def _fed_by(case: Case, device: Device) -> Device | None:
    """The device whose counter makes the labels that a follower reads, all day or in a jam."""
    if case.timecode.follows_continuously(device.key):
        return _writer(case, device)
    side = device.timecode
    if side.source.value in (None, OWN_CLOCK) or side.mode.value not in (None, "jam"):
        return None
    feeds = [feed for feed in case.timecode.listened.get(device.key, ()) if not feed.last.only_compares]
    return case.setup.devices[case.timecode.writer_of(feeds[0].source)] if feeds else None


def _not_taken(case: Case, device: Device, writer: Device, comes: LabelRate, able: tuple[LabelRate, ...]) -> Yielded:
    """The finding on a reader that does not know what it is fed."""
    takes = listed(dict.fromkeys(each.name for each in able))
    place = device.timecode.rate.place
    return reader_does_not_take_this_rate.record.finding(
        at=place,
        says=f"{WHO} {either('is', 'are')} fed {comes.name} by {writer.called} and {either('reads', 'read')} "
        f"only {takes}",
        who=(device.called,),
        cause=(writer.key, comes, able),
        costs=Cost(
            f"{either('it takes', 'they take')} no timecode from this lead: every file of "
            f"{either('this device', 'these devices')} is lined up by hand",
            (Amount("devices without timecode", 1, "devices"),),
        ),
        fix=_to_read(case, device, writer, comes),
        decided_by=(device.timecode.able_rates, writer.timecode.rate),
        also=(Mention(writer.timecode.rate.place, f"{writer.called} counts {comes.name}"),),
    )


def _to_read(case: Case, device: Device, writer: Device, comes: LabelRate) -> Fix:
    """How a reader gets what it knows: from a source that goes back to the agreed rate, else from a box in between."""
    own, fact = device.timecode.rate.value, writer.timecode.rate
    standard = standards(case).get(case.domain_of(device.key))
    agreed = standard.rate if standard is not None and relation(standard.rate, comes) is not Relation.SAME else None
    if agreed is not None and has_rate(device, agreed) and has_rate(writer, agreed):
        says = f"Set {writer.called} to {agreed.name}, or feed {WHO} from a small box set to it"
        return Fix(says, setup_edits(case, SetValue(fact.place, agreed.name)))
    source = f"a device set to {own.name}" if own else f"a device at one of {either('its', 'their')} own rates"
    return Fix(f"Feed {WHO} from {source} (a small box in between does it), or take a device that reads {comes.name}")


@rule(
    Record(
        name="post-reads-another-rate",
        summary="Post works at a rate at which the sound lands elsewhere",
        level=Level.ERROR,
        hurts=Hurts.POST,
        mended=Mended.TEST_DAY,
        why=(
            "A sound file says how many samples passed since midnight and leaves it to the reader to make a label of "
            "that. Read at 24 instead of 23.976 it lands 3.6 s away for each hour on the timecode, 50.4 s at 14:00:00. "
            "Rates whose whole seconds agree, such as 23.976 and 29.97 NDF, put it where it belongs."
        ),
        sources=(_STAMP, _SUM),
        answers=("post project rate makes the sound land elsewhere",),
    )
)
def post_reads_another_rate(case: Case) -> Iterator[Yielded]:
    """Compare post's rate with the project's."""
    project = case.setup.project
    record = post_reads_another_rate.record
    shoot, post = project.rate, project.post_rate
    if shoot.value is None or post.value is None or not clear(shoot.value):
        return
    if not clear(post.value):
        lacks = f"whether post counts {post.value.name} DF or NDF (project: post: rate)"
        yield Unjudged(record, post.place, lacks)
        return
    if second_aligned(shoot.value.counted, post.value.counted) or _goes_with_the_picture(case, shoot.value, post.value):
        return
    words, hour, last = clock_cost(case, post.value, shoot.value)
    films = any(device.picture is not None for device in recorders(case.setup))
    pictures = f"; {conversion(shoot.value, post.value)}" if films and _pace_differs(shoot.value, post.value) else ""
    yield record.finding(
        at=post.place,
        says=f"post works at {post.value.name} and the shoot counts {shoot.value.name}",
        costs=Cost(
            f"sound files land off by {words}{pictures}",
            (Amount("off for each hour on the timecode", float(hour), "s"), Amount("off at most", float(last), "s")),
            float(last),
        ),
        fix=Fix(
            f"Agree with post on {shoot.value.name} and send a test pair of picture and sound before the first day",
            (SetValue(post.place, shoot.value.name),),
        ),
        decided_by=(shoot, post),
        also=(Mention(shoot.place, f"the shoot counts {shoot.value.name}"),),
    )


def _goes_with_the_picture(case: Case, shoot: LabelRate, post: LabelRate) -> bool:
    """Whether pictures are shot at the shoot's rate to be played at post's, and the sound's pull is to go with them."""
    wanted = label_speed(post.counted) / label_speed(shoot.counted)
    for device in recorders(case.setup):
        side = device.picture
        if side is None or side.played_at.assumed or side.shot_at.value is None or side.played_at.value is None:
            continue
        if wanted != 1 and side.played_at.value.fps / side.shot_at.value.fps == wanted:
            return True
    return False


RULES = (time_stamp_past_32_bits, stamps_its_own_rate, reader_does_not_take_this_rate, post_reads_another_rate)
