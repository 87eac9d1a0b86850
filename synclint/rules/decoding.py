"""Reading timecode that was recorded as sound: takes that are too short, a decoder that nobody tried."""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction

from synclint.findings import (
    WHO,
    Amount,
    CheckLine,
    Cost,
    Fact,
    Finding,
    Fix,
    Hurts,
    Level,
    Mended,
    Mention,
    Record,
    SetValue,
    Standing,
    either,
    listed,
)
from synclint.rig.assumed import DECODES_FROM
from synclint.rig.model import Device
from synclint.rules.framework import Case, Rule, Yielded, rule
from synclint.rules.timecode_leads import LTC
from synclint.rules.wording import PRACTICE
from synclint.trade.quantities import say_duration, say_number


def _as_sound(case: Case) -> list[Device]:
    """The cameras whose only label is the timecode on their sound tracks."""
    found = []
    for device in case.setup.devices.values():
        tracks = (device.sound.tracks.value if device.sound else None) or {}
        on = device.timecode_on.value
        labels = LTC in tracks.values() and (on is None or "file" not in on)
        if labels and device.picture is not None and not device.trigger.value:
            found.append(device)
    return found


@rule(
    Record(
        name="takes-too-short-to-decode",
        summary="Takes are shorter than a decoder of recorded LTC needs",
        level=Level.WARNING,
        hurts=Hurts.TIME,
        mended=Mended.SET,
        why="A decoder wants some whole labels in a row before it trusts them, and gain and servo settle in the first "
        "second. Rolling three seconds before the action costs nothing.",
        sources=(PRACTICE,),
        answers=("clips too short to decode",),
    )
)
def takes_too_short_to_decode(case: Case) -> Iterator[Yielded]:
    """Compare the shortest takes of a day with what a decoder needs, for cameras that keep labels on a track."""
    devices = _as_sound(case)
    for day in case.setup.days if devices else ():
        if day.shortest_take.value is not None and day.shortest_take.value < DECODES_FROM[0]:
            yield _too_short(case, day.shortest_take, devices)


def _too_short(case: Case, take: Fact[Fraction], devices: list[Device]) -> Finding:
    """The finding on takes that are too short."""
    seconds, rate = take.value or Fraction(0), case.setup.project.rate.value
    needs = say_duration(DECODES_FROM[0])
    labels = f", {say_number(seconds * rate.rate.fps)} labels at {rate.rate.name}," if rate is not None else ""
    amounts = [Amount("shortest take", float(seconds), "s")]
    amounts += [Amount("labels in it", float(seconds * rate.rate.counted.fps), "labels")] if rate is not None else []
    names, keep = listed(device.called for device in devices), "keeps its" if len(devices) == 1 else "keep their"
    fact = Fact(DECODES_FROM[0], take.place, Standing.ASSUMED, why=DECODES_FROM[1])
    return takes_too_short_to_decode.record.finding(
        at=take.place,
        says=f"takes of {say_duration(seconds)} are planned, and {names} {keep} labels as sound, which a decoder reads "
        f"from some {needs} on",
        who=tuple(device.called for device in devices),
        costs=Cost(
            f"a take of {say_duration(seconds)}{labels} may give no label: it is laid by hand",
            tuple(amounts),
            -float(seconds),
        ),
        fix=Fix(
            f"Roll {needs} before the action on {names}, and slate what is shorter",
            (SetValue(take.place, needs),),
        ),
        decided_by=(take, fact),
        also=tuple(
            Mention(device.sound.tracks.place, f"{device.called} keeps its labels here")
            for device in devices
            if device.sound is not None
        ),
    )


@rule(
    Record(
        name="nobody-reads-the-timecode-track",
        summary="Cameras keep their labels as sound, and post's tool does not read them",
        level=Level.ERROR,
        hurts=Hurts.POST,
        mended=Mended.TEST_DAY,
        why="LTC on a sound track is a whistle to a tool that does not decode it, and two decoders may read one file a "
        "frame apart. Ten seconds of each camera, read by the very tool that will be used, tell before the first day.",
        sources=(PRACTICE,),
        answers=("post does not read timecode recorded as sound", "decoder not named or not tried"),
    )
)
def nobody_reads_the_timecode_track(case: Case) -> Iterator[Yielded]:
    """Compare the cameras that keep their labels as sound with what post and the dailies read."""
    project, record = case.setup.project, nobody_reads_the_timecode_track.record
    reads = project.post_reads_audio_timecode
    if reads.value is False and not project.dailies_read_audio_timecode.value:
        for device in _as_sound(case):
            yield _unread(device, reads)
    elif project.post_audio_timecode_tried.value is None:
        for device in _as_sound(case):
            says = f"Have post read 10 s of {WHO} with its own tool, and write down by how many frames the label is off"
            yield CheckLine(record, Mended.TEST_DAY, says, (device.called,), device.place)


def _unread(device: Device, reads: Fact[bool]) -> Finding:
    """The finding on a camera whose labels nobody reads."""
    sound = device.sound
    return nobody_reads_the_timecode_track.record.finding(
        at=reads.place,
        says=f"{WHO} {either('keeps its labels', 'keep their labels')} as sound only, and post's tool does not read "
        "them",
        who=(device.called,),
        cause="unread",
        costs=Cost(
            f"every clip of {WHO} comes without a label and is laid by hand",
            (Amount("cameras without labels", 1, "devices"),),
        ),
        fix=Fix(
            f"Agree with post on a decoder, or let the dailies turn the LTC of {WHO} into file timecode, and try it "
            "with a clip of 10 s"
        ),
        also=(Mention(sound.tracks.place, f"the tracks of {device.called}"),) if sound is not None else (),
        decided_by=(reads,),
    )


RULES: tuple[Rule, ...] = (takes_too_short_to_decode, nobody_reads_the_timecode_track)
