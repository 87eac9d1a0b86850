"""Trackers and motion capture: at the pace of the pictures, with their time, and a delay that somebody undoes."""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction

from synclint.findings import (
    WHO,
    AddKey,
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
    listed,
)
from synclint.rig.graphs import Ending, Feed, followed
from synclint.rig.model import OWN_CLOCK, Device, End
from synclint.rules.framework import Case, Rule, Yielded, rule
from synclint.rules.wall_sync import shot_rate
from synclint.rules.walls import tracked
from synclint.rules.wording import PRACTICE
from synclint.trade.exposure import pictures_a_frame
from synclint.trade.quantities import say_duration, say_number
from synclint.trade.rates import Rate

_PAN = Fraction(60)
"""Degrees a second of a quick pan, by which a delay is told (a design choice, no source)."""


def _trackers(case: Case) -> Iterator[tuple[Device, tuple[Device, ...]]]:
    """All trackers with the cameras that their data belong to."""
    for device in case.setup.devices.values():
        cameras = tuple(case.setup.devices[key] for key in tracked(case, device))
        if device.tracking is not None and cameras:
            yield device, cameras


def _names(cameras: tuple[Device, ...]) -> str:
    return listed(camera.called for camera in cameras)


# --- at the pace of the pictures -------------------------------------------------------------------------------


@rule(
    Record(
        name="tracking-at-another-rate",
        summary="A tracker gives readings at a rate that is no whole multiple of the rate of its camera",
        level=Level.ERROR,
        hurts=Hurts.POST,
        mended=Mended.TEST_DAY,
        why="The newest reading is then now fresh and now nearly a reading old, over and over: the background jerks "
        "against a steady pan, and no fixed delay makes up for it.",
        sources=(Source("a reading at 50 Hz is up to 20 ms old: exact arithmetic", Confirmed.ARITHMETIC), PRACTICE),
        answers=("tracking data at another rate than the pictures",),
    )
)
def tracking_at_another_rate(case: Case) -> Iterator[Yielded]:
    """Compare how often a tracker tells with how often its cameras look."""
    for device, cameras in _trackers(case):
        fact = device.tracking.rate if device.tracking is not None else None
        if fact is None or fact.value is None:
            continue
        for camera in cameras:
            rate = shot_rate(camera)
            if rate is not None and rate.value is not None and (fact.value.fps / rate.value.fps).denominator != 1:
                yield _beats(device, camera, fact, fact.value, rate.value)
                break


def _beats(device: Device, camera: Device, fact: Fact[Rate], told: Rate, own: Rate) -> Finding:
    """The finding on a tracker beside a camera of another rate."""
    times = pictures_a_frame(told, own)
    wanted, off = Rate(own.fps * times), abs(told.fps - own.fps * times)
    old = told.frame
    if off >= 1:
        often = f"{say_number(off, 2)} times a second over again"
    else:
        often = f"once in {say_duration(1 / off)}" if off else "again and again"
    return tracking_at_another_rate.record.finding(
        at=fact.place,
        says=f"{WHO} {either('tells', 'tell')} {told.name} times a second where {camera.called} is, which takes "
        f"pictures at {own.name}",
        who=(device.called,),
        costs=Cost(
            f"the newest reading is 0 to {say_duration(old)} old, {often}: "
            f"{say_number(_PAN * old, 2)} degrees of jerk in a pan of {say_number(_PAN)} degrees a second",
            (Amount("a reading is old by up to", float(old * 1000), "ms"),),
            float(old),
        ),
        fix=Fix(
            f"Set {WHO} to {wanted.name} readings a second, {times} to a picture, locked to the reference of "
            f"{camera.called}",
            (SetValue(fact.place, wanted.name),),
        ),
        also=(Mention(camera.place, camera.called),),
        decided_by=(fact,),
    )


# --- with their time -------------------------------------------------------------------------------------------


@rule(
    Record(
        name="tracking-without-the-cameras-timecode",
        summary="A tracker's data bear no timecode, or that of another clock than its camera's",
        level=Level.ERROR,
        hurts=Hurts.POST,
        mended=Mended.MORNING,
        why="Live the data go along with the picture; afterwards nothing but the timecode tells which reading belongs "
        "to which frame, and the shot is tracked again by hand.",
        sources=(PRACTICE,),
        answers=("tracking, motion capture or lens data without timecode",),
    )
)
def tracking_without_the_cameras_timecode(case: Case) -> Iterator[Yielded]:
    """Compare the clock that labels a tracker's data with the one that labels its cameras."""
    for device, cameras in _trackers(case):
        mine = case.timecode.root_of(device.key)
        if mine.ending in (Ending.NOTHING, Ending.LOOP):
            continue  # told by the rules on who listens to what
        theirs = {root.device for camera in cameras if (root := case.timecode.root_of(camera.key)).generates}
        if not theirs or (mine.generates and mine.device in theirs):
            continue
        if device.timecode.source.value == OWN_CLOCK and case.timecode.arriving.get(device.key):
            continue  # fed and not listening
        tied = {jam.source for jam in case.run.jams if jam.target == device.key}
        if mine.generates and not tied.isdisjoint(theirs):
            continue
        yield _unlabelled(case, device, cameras, theirs, unsaid=mine.ending is Ending.UNSTATED)


def _unlabelled(case: Case, device: Device, cameras: tuple[Device, ...], clocks: set[str], *, unsaid: bool) -> Finding:
    """The finding on data that no timecode lays."""
    names, source = _names(cameras), case.setup.called(min(clocks))
    says = (
        f"{WHO} {either('has', 'have')} no timecode" if unsaid else f"{WHO} {either('labels its', 'label their')} data "
    )
    says += "" if unsaid else "from a clock that nothing ties to the cameras"
    feed = _timecode_feed(case, device, clocks)
    return tracking_without_the_cameras_timecode.record.finding(
        at=device.timecode.source.place if device.timecode.source.written else device.place,
        says=f"{says}, and {names} {'has' if len(cameras) == 1 else 'have'} that of {source}",
        who=(device.called,),
        costs=Cost(
            f"after the day nobody can lay the data to the pictures of {names}; each shot is tracked again by hand",
            (Amount("cameras whose data cannot be laid", len(cameras), "cameras"),),
            len(cameras),
        ),
        fix=_label(case, device, cameras[0], feed)
        if feed is not None
        else Fix(f"Feed {WHO} the timecode of {source}, and see it in a file of data"),
        also=tuple(Mention(camera.timecode.place, camera.called) for camera in cameras),
        decided_by=(device.timecode.source,) if device.timecode.source.written else (),
    )


def _timecode_feed(case: Case, device: Device, clocks: set[str]) -> Feed | None:
    """Timecode of one of some clocks that arrives at a port to which the device does not listen yet."""
    ports = (port for port in device.ports if port != device.timecode.source.value)
    arrives = (followed(case.timecode.feeds_at(End(device.key, port))) for port in ports)
    first = (feeds[0] for feeds in arrives if feeds)
    return next((feed for feed in first if case.timecode.root_of(feed.source).device in clocks), None)


def _label(case: Case, device: Device, camera: Device, feed: Feed) -> Fix:
    """Let a tracker listen to the timecode that arrives."""
    side = device.timecode
    mode = "jam" if feed.last.connected.value == "to jam" else "continuous"
    rate = camera.timecode.rate.value or case.setup.project.rate.value
    rest = f"from: {feed.port}, mode: {mode}" + (f", rate: {rate.name}" if rate is not None else "")
    edits: tuple[Edit, ...] = ()
    own = device.place.path
    if side.source.written and side.source.place.path[: len(own)] == own:
        edits = (SetValue(side.source.place, feed.port),)
    elif side.place.path == (*own, "timecode"):
        edits = (AddKey(side.place, "from", feed.port),)
    else:
        edits = (AddKey(device.handover.place, "timecode", f"{{{rest}}}"),)
    how = "be jammed from" if mode == "jam" else "follow"
    return Fix(
        f"Let {WHO} {how} the timecode that arrives at {feed.port} from {case.setup.called(feed.source)}, and see it "
        "in a file of data",
        edits,
    )


# --- and a delay that somebody undoes --------------------------------------------------------------------------


@rule(
    Record(
        name="tracking-delay-corrected-nowhere",
        summary="A tracker's readings are late and nobody makes up for it",
        level=Level.ERROR,
        hurts=Hurts.POST,
        mended=Mended.TEST_DAY,
        why="The background starts and stops after the foreground, which every pan shows. What is known can be made up "
        "for, in one place; what is not is a frame more or less on each whip pan.",
        sources=(Source("delay × degrees a second: exact arithmetic", Confirmed.ARITHMETIC), PRACTICE),
        answers=("tracking data with an undeclared or uncorrected delay",),
    )
)
def tracking_delay_corrected_nowhere(case: Case) -> Iterator[Yielded]:
    """Ask of every delay of a tracker where it is made up for."""
    record = tracking_delay_corrected_nowhere.record
    for device, cameras in _trackers(case):
        side = device.tracking
        if side is None:
            continue
        delay = side.delay.value
        if delay is None:
            yield CheckLine(
                record,
                Mended.TEST_DAY,
                f"Pan {_names(cameras)} quickly and stop: count by how many frames the readings of {WHO} are late, and "
                "write it down (tracking: delay, corrected_in)",
                (device.called,),
                side.place,
            )
        elif side.corrected_in.value is None and (delay.frames or delay.seconds):
            lacks = f"where the delay of {device.called} is made up for (tracking: corrected_in)"
            yield Unjudged(record, side.place, lacks, (device.called,))
        elif side.corrected_in.value == "nowhere" and (delay.frames or delay.seconds):
            yield from _late(device, cameras)


def _late(device: Device, cameras: tuple[Device, ...]) -> Iterator[Yielded]:
    """The finding on readings that are late."""
    side, rate = device.tracking, shot_rate(cameras[0])
    if side is None or side.delay.value is None or rate is None or rate.value is None:
        return
    late = abs(side.delay.value.in_seconds(rate.value))
    frames = late * rate.value.fps
    yield tracking_delay_corrected_nowhere.record.finding(
        at=side.corrected_in.place,
        says=f"readings of {WHO} are {say_duration(late)} late ({say_number(frames, 2)} "
        f"{'frame' if frames == 1 else 'frames'} of {cameras[0].called}), and nobody makes up for it",
        who=(device.called,),
        costs=Cost(
            f"the background trails the foreground by {say_number(late * _PAN, 2)} degrees in a pan of "
            f"{say_number(_PAN)} degrees a second, and catches up after it stops",
            (
                Amount("readings late by", float(late * 1000), "ms"),
                Amount("trails in a quick pan by", float(late * _PAN), "degrees"),
            ),
            float(late),
        ),
        fix=Fix(
            f"Enter the delay of {WHO} in the render node, pan quickly to see that it is right, and tell post so",
            (SetValue(side.corrected_in.place, "render node"),),
        ),
        also=(Mention(side.delay.place, "how late"),),
        decided_by=(side.delay, side.corrected_in),
    )


RULES: tuple[Rule, ...] = (
    tracking_at_another_rate,
    tracking_without_the_cameras_timecode,
    tracking_delay_corrected_nowhere,
)
