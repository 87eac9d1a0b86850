"""Chains that come back to where they began, and devices labelled by one clock and paced by another."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction

from synclint.findings import (
    WHO,
    Amount,
    Confirmed,
    Cost,
    Edit,
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
from synclint.rig.graphs import Ending
from synclint.rig.model import OWN_CLOCK, Device
from synclint.rules.framework import Case, Rule, Yielded, rule
from synclint.rules.lead_edits import plugged
from synclint.rules.plugged_references import only_unheard
from synclint.rules.wording import PRACTICE, a_day, ppm_sum
from synclint.trade.drift import drift_seconds, seconds_until
from synclint.trade.quantities import say_duration, say_ppm
from synclint.trade.sound_clocks import GRADE_2


@rule(
    Record(
        name="timecode-loop",
        summary="Devices follow each other's timecode in a circle",
        level=Level.ERROR,
        hurts=Hurts.DAY,
        mended=Mended.MORNING,
        why="Nobody keeps the time: a word of LTC can be read only when all of it has arrived, so each reader adds a "
        "frame, and the numbers walk or repeat.",
        sources=(PRACTICE, Source("libltc: a word is complete one frame after it began", Confirmed.LIBRARY)),
        answers=("timecode loop",),
    )
)
def timecode_loop(case: Case) -> Iterator[Yielded]:
    """A circle in which every device follows continuously."""
    graph = case.timecode
    for cycle in graph.cycles(lambda feed: graph.follows_continuously(feed.target)):
        first = case.setup.devices[_breaker(case, cycle)]
        hops = len(cycle)
        frame = case.frame
        round_trip = f" ({say_duration(frame * hops)})" if frame else ""
        yield timecode_loop.record.finding(
            at=first.timecode.source.place,
            says=f"timecode runs in a circle: {_way(case, cycle)}",
            who=tuple(map(case.setup.called, cycle)),
            also=_steps(case, cycle, first),
            costs=Cost(
                f"nobody keeps the time; each reader adds a frame, so the numbers walk by {hops} "
                f"{'frame' if hops == 1 else 'frames'}{round_trip} every time round",
                (Amount("added each time round", hops, "frames"),),
                hops,
            ),
            fix=Fix(
                f"Set {first.called} to its own clock, so that one device of the circle does not listen",
                (SetValue(first.timecode.source.place, OWN_CLOCK), *_only_to_compare(case, cycle, first)),
            ),
        )


def _only_to_compare(case: Case, cycle: tuple[str, ...], first: Device) -> tuple[Edit, ...]:
    """The lead that closes a circle, as one that is there to compare two clocks."""
    feeds = case.timecode.listened.get(first.key, ())
    return plugged(case, (feed for feed in feeds if feed.source in cycle), "to compare")


def _breaker(case: Case, cycle: tuple[str, ...]) -> str:
    """The device of a circle that should stop listening: the master that was meant, else one made for it."""
    meant = case.setup.project.master_timecode.value
    return meant if meant in cycle else cycle[0]


def _way(case: Case, cycle: tuple[str, ...]) -> str:
    """A circle in words, the way the signal runs."""
    names = list(map(case.setup.called, cycle))
    shown = names if len(names) <= _SHOWN else [*names[: _SHOWN - 1], f"{len(names) - _SHOWN + 1} more"]
    return " to ".join((*shown, names[0]))


_SHOWN = 8


def _steps(case: Case, cycle: tuple[str, ...], first: Device) -> tuple[Mention, ...]:
    """Where the other devices of a circle are set to listen."""
    return tuple(
        Mention(case.setup.devices[key].timecode.source.place, f"{case.setup.called(key)} listens here")
        for key in cycle
        if key != first.key
    )


@rule(
    Record(
        name="master-follows-its-follower",
        summary="A master is set to take its time from a device that was jammed from it",
        level=Level.ERROR,
        hurts=Hurts.POST,
        mended=Mended.MORNING,
        why="The follower has the master's own time of the morning, with its drift since: the next jam corrects "
        "nothing, and hands the drift on to everybody.",
        sources=(PRACTICE,),
        answers=("timecode loop", "jam of a jam, or camera-to-camera chain"),
    )
)
def master_follows_its_follower(case: Case) -> Iterator[Yielded]:
    """A circle with a jam in it, into which no other clock ever brings a time."""
    graph = case.timecode
    running = {key for cycle in graph.cycles(lambda feed: graph.follows_continuously(feed.target)) for key in cycle}
    for cycle in graph.cycles():
        if running.intersection(cycle) or _time_comes_in(case, frozenset(cycle)):
            continue
        master = case.setup.devices[_master_of(case, cycle)]
        follower = case.setup.devices[cycle[cycle.index(master.key) - 1]]
        yield master_follows_its_follower.record.finding(
            at=master.timecode.source.place,
            says=f"{master.called} is set to take timecode from {follower.called}, which has its time from "
            f"{master.called}",
            who=(master.called,),
            also=_steps(case, cycle, master),
            costs=_jam_cost(case, master, follower),
            fix=Fix(
                f"Set {master.called} to its own clock; leave the lead back from {follower.called} to compare the two",
                (SetValue(master.timecode.source.place, OWN_CLOCK), *_only_to_compare(case, cycle, master)),
            ),
            numbers_from=(master.clock.accuracy, follower.clock.accuracy),
        )


def _time_comes_in(case: Case, cycle: frozenset[str]) -> bool:
    """Whether some device of a circle is also fed by a clock outside it: jams in turn, and no fault."""
    return any(
        feed.source not in cycle and case.timecode.root_of(feed.source).ending is not Ending.LOOP
        for key in cycle
        for feed in case.timecode.listened[key]
    )


def _master_of(case: Case, cycle: tuple[str, ...]) -> str:
    """Who was meant to be the master of a circle: as declared, else the one that follows all day, else the first."""
    meant = case.setup.project.master_timecode.value
    if meant in cycle:
        return meant
    return next((key for key in cycle if case.timecode.follows_continuously(key)), cycle[0])


def _jam_cost(case: Case, master: Device, follower: Device) -> Cost:
    """What comes back to the master with its own time."""
    total = ppm_sum(master.clock.accuracy, follower.clock.accuracy)
    says = f"nobody in this circle has a time of its own; a jam gives {master.called} its own old time back"
    if not total:
        return Cost(says)
    an_hour = drift_seconds(total, 3600)
    amounts = [Amount("drift handed on", float(an_hour * 1000), "ms an hour")]
    says += f", out by up to {say_duration(an_hour)} for each hour since the last"
    if case.day_seconds:
        says += f" ({say_duration(drift_seconds(total, case.day_seconds))} over {a_day(case)})"
    return Cost(says, tuple(amounts), float(total))


@rule(
    Record(
        name="clock-loop",
        summary="Devices pace each other in a circle",
        level=Level.ERROR,
        hurts=Hurts.DAY,
        mended=Mended.MORNING,
        why="With no clock at the root both wander to the edge of what they can follow, then click, mute or lock "
        "anew; nothing recorded is to be trusted.",
        sources=(PRACTICE, Source("AES11-2009, capture ranges (grade 2: 50 ppm)", Confirmed.TABULATED)),
        answers=("clock loop",),
    )
)
def clock_loop(case: Case) -> Iterator[Yielded]:
    """A circle of references."""
    for cycle in case.clock.cycles():
        meant = case.setup.project.master_clock.value
        first = case.setup.devices[meant if meant in cycle else cycle[0]]
        yield clock_loop.record.finding(
            at=first.clock.source.place,
            says=f"the reference runs in a circle: {_way(case, cycle)}",
            who=tuple(map(case.setup.called, cycle)),
            also=tuple(
                Mention(case.setup.devices[key].clock.source.place, f"{case.setup.called(key)} takes its pace here")
                for key in cycle
                if key != first.key
            ),
            costs=Cost(
                f"no clock leads {'this device' if len(cycle) == 1 else f'these {len(cycle)} devices'}: "
                f"{'it wanders' if len(cycle) == 1 else 'they wander'} by up to 50 ppm "
                f"({say_duration(drift_seconds(_CAPTURE, 3600))} an hour), then click, mute or lose lock",
                (Amount("wander", float(_CAPTURE), "ppm"),),
                len(cycle),
            ),
            fix=Fix(
                f"Set {first.called} to its own clock, and let the others follow it",
                (SetValue(first.clock.source.place, OWN_CLOCK),),
            ),
        )


_CAPTURE = GRADE_2.capture


@rule(
    Record(
        name="label-and-pace-unrelated",
        summary="A device follows timecode from one clock and a reference from another that is not tied to it",
        level=Level.ERROR,
        hurts=Hurts.POST,
        mended=Mended.TEST_DAY,
        why="The label slides against the frame; at each crossing the camera repeats or skips a number, or re-times "
        "where it can be seen.",
        sources=(Source("ST 12-1: a code word is aligned with the frame it labels", Confirmed.LIBRARY), PRACTICE),
        answers=("timecode and genlock from unrelated sources on one device",),
    )
)
def label_and_pace_unrelated(case: Case) -> Iterator[Yielded]:
    """A device on an outside reference follows timecode whose writer is paced by another clock."""
    for each in between_clocks(case):
        if not only_unheard(case, each.writer.key, each.device.key):
            yield _unrelated(case, each)


@dataclass(frozen=True, slots=True)
class BetweenClocks:
    """A device that labels picture by picture from one clock and is paced by another."""

    device: Device
    writer: Device
    """Whose labels it follows."""
    pace: Device
    """Whose clock paces it."""
    other: Device
    """Whose clock paces the writer."""


def between_clocks(case: Case) -> Iterator[BetweenClocks]:
    """All devices between two clocks; a recorder of sound is none, whose file is stamped once, at its start."""
    for key, device in case.setup.devices.items():
        if not case.timecode.follows_continuously(key) or device.clock.source.value in (None, OWN_CLOCK):
            continue
        if device.clock.source.value == device.timecode.source.value:
            continue  # the label comes with the frames that it labels
        if device.sound is not None and device.picture is None:
            continue
        writer = case.setup.devices[case.timecode.writer_of(key)]
        pace, other = case.clock.root_of(key), case.clock.root_of(writer.key)
        if writer.key == key or not (pace.generates and other.generates) or pace.device == other.device:
            continue
        yield BetweenClocks(device, writer, case.setup.devices[pace.device], case.setup.devices[other.device])


def _jammed_once(case: Case, device: Device) -> tuple[Edit, ...]:
    """A device that takes its time once, and leads that are plugged as long as that takes."""
    leads = plugged(case, case.timecode.listened.get(device.key, ()), "to jam")
    return (SetValue(device.timecode.mode.place, "jam"), *leads)


def sliding(case: Case, pace: Device, other: Device) -> tuple[Cost, Level | None]:
    """What it costs that labels of one clock slide against pictures of another, and how bad that is if not an error."""
    total = ppm_sum(pace.clock.accuracy, other.clock.accuracy)
    frame = case.frame
    costs = Cost("its labels slide against its frames, and a number is repeated or skipped at each crossing")
    level = None
    if total and frame:
        each = seconds_until(total, frame) or Fraction(0)
        once = case.day_seconds is not None and each >= case.day_seconds
        # A repeated label costs a take its sync only where one falls within it.
        level = Level.WARNING if once or (case.take_seconds or each) < each else None
        often = f"a label repeated or skipped every {say_duration(each)}"
        if once:
            often = f"a frame in {say_duration(each)}, at most one label repeated or skipped in {a_day(case)}"
        costs = Cost(
            f"the two clocks part by up to {say_ppm(total)}: {often}",
            (Amount("time to a repeated or skipped label", float(each), "s"),),
            float(total),
        )
    return costs, level


def _unrelated(case: Case, between: BetweenClocks) -> Yielded:
    """The finding on a device between two clocks."""
    device, writer, pace, other = between.device, between.writer, between.pace, between.other
    costs, level = sliding(case, pace, other)
    return label_and_pace_unrelated.record.finding(
        at=device.timecode.source.place,
        level=level,
        says=f"{WHO} {either('follows', 'follow')} the timecode of {writer.called} and the reference of {pace.called}, "
        f"and nothing ties {other.called} to {pace.called}",
        who=(device.called,),
        cause=("unrelated", writer.key, pace.key, level),
        also=(Mention(device.clock.source.place, f"the reference of {device.called}"),),
        costs=costs,
        fix=Fix(
            f"{_tied(case, pace, other)}; or jam {WHO} once and let {either('it count on its', 'them count on their')} "
            "reference",
            _jammed_once(case, device) if device.timecode.mode.stated else (),
        ),
        decided_by=(other.clock.source, device.clock.source),
        numbers_from=(pace.clock.accuracy, other.clock.accuracy),
    )


def _tied(case: Case, pace: Device, other: Device) -> str:
    """Which of two clocks is to be locked to the other: never the master, or what the set is paced by, to a stray."""
    master = case.setup.project.master_clock.value
    led = {key: len(case.clock.followers.get(key, ())) for key in (pace.key, other.key)}
    keeps = other.cls.value in _HOUSE or led[other.key] > led[pace.key]
    if other.key == master or (pace.key != master and pace.cls.value not in _HOUSE and keeps):
        pace, other = other, pace
    return f"Lock {other.called} to {pace.called} with word clock or black burst"


_HOUSE = frozenset({"sync generator"})
"""What is there to pace the others."""


RULES: tuple[Rule, ...] = (
    timecode_loop,
    master_follows_its_follower,
    clock_loop,
    label_and_pace_unrelated,
)
