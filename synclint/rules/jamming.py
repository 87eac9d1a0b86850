"""Jams: that the lead does what the setting says, and that nobody hands on a drift."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction
from typing import Any

from synclint.day.moments import Carried, Timeline
from synclint.day.run import OUTSIDE, Jam
from synclint.findings import (
    WHO,
    Amount,
    Confirmed,
    Cost,
    Edit,
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
from synclint.rig.model import Device
from synclint.rules.cures import setup_edits
from synclint.rules.day_edits import said_under
from synclint.rules.day_windows import set_anew
from synclint.rules.framework import Case, Rule, Yielded, rule
from synclint.rules.generations import deciding
from synclint.rules.moments import clock_of, in_frames
from synclint.rules.wording import PRACTICE, a_day, ppm_sum
from synclint.trade.drift import drift_seconds
from synclint.trade.quantities import say_duration

_SUM = Source("ms = 3.6 × ppm × hours, both clocks added: exact arithmetic", Confirmed.ARITHMETIC)


@dataclass(frozen=True, slots=True)
class Drift:
    """How far a device may be from its source at the end of the longest time between two jams."""

    seconds: Fraction
    end: str
    facts: tuple[Fact[Any], ...]


_Worst = tuple[Fraction, tuple[Fact[Any], ...]]
"""How far apart two times may be, and on which facts that rests."""
_Drifts = tuple[_Worst | None, _Worst | None]
"""How far off the source of a jam may be at it, and its target at the end; None where nobody can say."""


# --- the setting and the lead ----------------------------------------------------------------------------------


@rule(
    Record(
        name="jam-and-lead-disagree",
        summary="A device set to follow has no lead in after the jam, or one set to jam has a lead in all day",
        level=Level.ERROR,
        hurts=Hurts.POST,
        mended=Mended.MORNING,
        why="Continuous follows only while something is plugged. Jam takes the time once, when the lead is plugged: a "
        "camera that drifts with a lead in it is not being corrected, and everybody believes that it is.",
        sources=(PRACTICE, _SUM),
        answers=("cable pulled too soon", "jam-once mode with a permanent cable"),
    )
)
def jam_and_lead_disagree(case: Case) -> Iterator[Yielded]:
    """The run mode of a device and the time for which its lead is plugged do not fit."""
    for device, feed in _disagreements(case):
        yield from _judge(case, device, feed)


def _disagreements(case: Case) -> Iterator[tuple[Device, Feed]]:
    """The devices whose setting and lead do not fit, each with the lead."""
    for key, feeds in case.timecode.listened.items():
        device = case.setup.devices[key]
        leads = [feed for feed in feeds if feed.last.by == "lead" and not feed.last.only_compares]
        if not leads or len(leads) < len(feeds) or not case.timecode.root_of(key).generates:
            continue
        plugged = {feed.last.connected.value for feed in leads}
        mode = device.timecode.mode.value
        if (mode == "continuous" and plugged == {"to jam"}) or (mode == "jam" and plugged == {"all day"}):
            yield device, leads[0]


def drifting_for_their_leads(case: Case) -> frozenset[str]:
    """The devices that leave the tolerance because setting and lead do not fit; who tells of drift leaves them out."""
    return case.once(_drifting_for_their_leads)


def _drifting_for_their_leads(case: Case) -> frozenset[str]:
    tolerance, found = case.tolerance, set()
    for device, feed in _disagreements(case):
        drift = _drift(case, device.key, feed.source)
        if drift is not None and tolerance is not None and drift.seconds > tolerance:
            found.add(device.key)
    return frozenset(found)


def _judge(case: Case, device: Device, feed: Feed) -> Iterator[Yielded]:
    """The finding on a device whose setting and lead disagree; how bad it is hangs on how far it drifts."""
    drift, tolerance = _drift(case, device.key, feed.source), case.tolerance
    record = jam_and_lead_disagree.record
    if drift is None or tolerance is None:
        lacking = [key for key in (device.key, feed.source) if case.setup.devices[key].clock.accuracy.value is None]
        lacks = f"the clock accuracy of {case.setup.called(lacking[0])}" if lacking else "how long the day is"
        yield Unjudged(record, device.timecode.mode.place, lacks, (device.called,))
        return
    leaves = drift.seconds > tolerance
    follows = device.timecode.mode.value == "continuous"
    source = case.setup.called(feed.source)
    says = (
        f"{WHO} {either('is', 'are')} set to continuous, and the lead from {source} is plugged to jam only"
        if follows
        else f"{WHO} {either('is', 'are')} set to jam, and the lead from {source} is in all day"
    )
    yield record.finding(
        at=device.timecode.mode.place,
        level=None if leaves else Level.NOTE,
        says=says,
        who=(device.called,),
        cause=(follows, feed.source, leaves),
        also=(Mention(feed.last.connected.place, f"plugged {feed.last.connected.value}"),),
        costs=_drift_cost(case, drift, source, tolerance, follows=follows),
        fix=_lead_fix(case, device, feed, follows=follows, leaves=leaves),
        decided_by=(device.timecode.mode, *(deciding(drift.facts) if leaves else ())),
        numbers_from=drift.facts,
    )


def _drift(case: Case, key: str, source: str) -> Drift | None:
    """How far a device drifts from its source at worst, from a jam to the next or to the end of the day."""
    found = None
    for jam in case.run.jams:
        if jam.target == key:
            until, told = _while_it_holds(case, jam)
            worst = _apart(case, key, jam.source, until)
            if worst is None:
                return None
            if until > jam.at and (found is None or worst[0] > found.seconds):
                found = Drift(worst[0], f"by {told}", worst[1])
    if found is not None:
        return found
    # Nobody tells of its jam: then it is one at the call.
    accuracies = [case.setup.devices[each].clock.accuracy for each in (key, case.timecode.writer_of(source))]
    total = ppm_sum(*accuracies)
    if total is None:
        return None
    over = case.day_seconds
    seconds = drift_seconds(total, over or 3600)
    return Drift(seconds, f"over {a_day(case)}" if over else "in each hour", tuple(accuracies))


def _while_it_holds(case: Case, jam: Jam) -> tuple[Fraction, str]:
    """Until when a device and its source both go on with what they had at a jam; with the words for it."""
    until, told = set_anew(case, jam.target, jam.at)
    for key in (jam.target, jam.source):
        line = _line_of(case, key, jam.at)
        for state in case.run.between(key, jam.at, until)[1:]:
            if state.time is None or state.time.line != line:
                until, told = state.since, clock_of(case, state.since)
                break
    return until, told


def _line_of(case: Case, key: str, at: Fraction) -> Timeline | None:
    time = case.run.at(key, at).time
    return time.line if time else None


def _apart(case: Case, key: str, other: str, at: Fraction) -> tuple[Fraction, tuple[Fact[Any], ...]] | None:
    """How far two devices are apart just before an instant; nothing where they carry two times, which is told apart."""
    phases = []
    for each in (key, other):
        time = case.run.before(each, at).time
        phases.append(case.phases.of_time(each, time, at) if time is not None else None)
    one, two = phases
    if one is None or two is None or one.line != two.line:
        return Fraction(0), ()
    apart = case.phases.apart(one, two)
    return (apart.worst, apart.facts) if apart is not None else None


def _drift_cost(case: Case, drift: Drift, source: str, tolerance: Fraction, *, follows: bool) -> Cost:
    """How far it drifts while people believe that it follows."""
    how = "on its own clock after the jam" if follows else "not corrected by the lead that is in it"
    hows = "on their own clocks after the jam" if follows else "not corrected by the leads that are in them"
    side = "more than" if drift.seconds > tolerance else "within"
    return Cost(
        f"{either(how, hows)}, {WHO} may be {in_frames(case, drift.seconds)} from {source} "
        f"{drift.end}, {side} the tolerance of {say_duration(tolerance)}",
        (
            Amount("drift", float(drift.seconds * 1000), "ms"),
            Amount("tolerance", float(tolerance * 1000), "ms"),
        ),
        float(drift.seconds),
    )


def _lead_fix(case: Case, device: Device, feed: Feed, *, follows: bool, leaves: bool) -> Fix:
    """Let the setting and the lead say the same."""
    mode, connected = device.timecode.mode, feed.last.connected
    modes = device.timecode.able_modes.value
    if follows and leaves:
        shared = sum(link.connected.place == connected.place for link in case.setup.links) > 1
        edits: tuple[Edit, ...] = () if shared else setup_edits(case, SetValue(connected.place, "all day"))
        return Fix(f"Leave the lead in {WHO} all day, or a box of {either('its', 'their')} own", edits)
    if follows:
        return Fix(f"Set {WHO} to jam, which is what {either('it does', 'they do')}, or leave the lead in all day")
    if modes is None or "continuous" in modes:
        edits = setup_edits(case, SetValue(mode.place, "continuous"))
        return Fix(
            f"Set {WHO} to continuous, so that {either('it follows its lead', 'they follow their leads')}", edits
        )
    return Fix(f"Pull the lead of {WHO} and plug it again at every break, and write these jams into the day")


# --- a drift that is handed on ---------------------------------------------------------------------------------


@rule(
    Record(
        name="jam-from-a-drifted-source",
        summary="A device is jammed from one that had itself been running free since its own jam",
        level=Level.WARNING,
        hurts=Hurts.TIME,
        mended=Mended.SET,
        why="Errors add: the source has drifted before the next device is set from it, and the two then drift on from "
        "there. A box on the camera is right; a round of jams from the master is better than a chain of them.",
        sources=(PRACTICE, _SUM),
        answers=("jam of a jam",),
    )
)
def jam_from_a_drifted_source(case: Case) -> Iterator[Yielded]:
    """A jam hands on a drift that counts against the tolerance."""
    for jam, time, drifts in case.once(_drifting):
        yield from _handed_on(case, jam, time, drifts, case.tolerance)


def _from_those_that_ran_free(case: Case) -> Iterator[tuple[Jam, Carried]]:
    """The jams from a source that had itself been jammed and had run free since, with the time that it had."""
    for jam in case.run.jams:
        time = case.run.at(jam.source, jam.at).time
        if time is None or not time.hands or time.set_at >= jam.at or time.line.root == OUTSIDE:
            continue  # from the root itself, or in one round with its source
        root = case.run.before(time.line.root, jam.at).time
        if root is None or root.line == time.line:
            yield jam, time  # where the root has another time by now, there is nothing left to be far from


def jams_that_hand_on_drift(case: Case) -> frozenset[tuple[str, Fraction]]:
    """The jams, by target and instant, whose target leaves the tolerance by a drift that was handed on."""
    return case.once(_jams_that_hand_on_drift)


def _jams_that_hand_on_drift(case: Case) -> frozenset[tuple[str, Fraction]]:
    tolerance, found = case.tolerance, set()
    for jam, _, (drifted, at_end) in case.once(_drifting):
        if drifted and at_end and tolerance is not None and drifted[0] >= tolerance / 4 and at_end[0] > tolerance:
            found.add((jam.target, jam.at))
    return frozenset(found)


def _drifting(case: Case) -> tuple[tuple[Jam, Carried, _Drifts], ...]:
    """The jams from a source that had run free, with how far off that and the target may be."""
    return tuple((jam, time, _drifts(case, jam, time)) for jam, time in _from_those_that_ran_free(case))


def _drifts(case: Case, jam: Jam, time: Carried) -> _Drifts:
    """How far a source may be from the root when it is jammed from, and its target when the day or the jam ends."""
    drifted = _from_root(case, jam.source, time, jam.at)
    until, _ = set_anew(case, jam.target, jam.at)
    after = case.run.before(jam.target, until).time
    holds = after is not None and after.line == time.line
    return drifted, _from_root(case, jam.target, after, until) if after is not None and holds else drifted


def _handed_on(case: Case, jam: Jam, time: Carried, drifts: _Drifts, tolerance: Fraction | None) -> Iterator[Yielded]:
    """The finding on a jam from a source that ran free, where its drift counts."""
    record = jam_from_a_drifted_source.record
    place = jam.event.place if jam.event else case.setup.place
    keeper, root = time.hands[-1].target, time.line.root
    drifted, at_end = drifts
    _, told = set_anew(case, jam.target, jam.at)
    if drifted is None or at_end is None or tolerance is None:
        lacking = (key for key in (keeper, root) if case.setup.devices[key].clock.accuracy.value is None)
        called = case.setup.called(next(lacking, keeper))
        yield Unjudged(record, place, f"the clock accuracy of {called}", (case.setup.called(jam.target),))
        return
    if drifted[0] < tolerance / 4:
        return
    master, source = case.setup.called(root), case.setup.called(jam.source)
    via = f"follows {case.setup.called(keeper)}, and that" if keeper != jam.source else "itself"
    leaves = at_end[0] > tolerance
    yield record.finding(
        at=place,
        level=None if leaves else Level.NOTE,
        says=f"{WHO} {either('is', 'are')} jammed at {clock_of(case, jam.at)} from {source}, which {via} had run free "
        f"since {clock_of(case, time.set_at)}",
        who=(case.setup.called(jam.target),),
        cause=(place, jam.source, leaves),
        costs=Cost(
            f"up to {in_frames(case, drifted[0])} of drift from {master} is handed on; by "
            f"{told} {WHO} may be {in_frames(case, at_end[0])} from {master}, "
            f"{'more than' if leaves else 'within'} the tolerance of {say_duration(tolerance)}",
            (
                Amount("handed on", float(drifted[0] * 1000), "ms"),
                Amount("off at the end", float(at_end[0] * 1000), "ms"),
            ),
            float(at_end[0]),
        ),
        fix=Fix(
            f"Jam {source} from {master}, and not the other way"
            if jam.target == root
            else f"Jam {WHO} from {master} at {clock_of(case, jam.at)}, or {case.setup.called(keeper)} first",
            _from_the_root(case, jam, root),
        ),
        decided_by=deciding(drifted[1]) if leaves else (),
        numbers_from=(*drifted[1], *at_end[1]),
    )


def _from_the_root(case: Case, jam: Jam, root: str) -> tuple[Edit, ...]:
    """The jam as one from the root, where the day tells of it for this device alone."""
    event = jam.event
    if event is None or event.of != (jam.target,) or jam.target == root or event.place.span.file != case.setup.file:
        return ()
    return said_under(event, "from", root)


def _from_root(case: Case, key: str, time: Carried, at: Fraction) -> _Worst | None:
    """How far a time is from what the device that began it would show, were it still there."""
    root = case.phases.of_time(time.line.root, Carried(time.line), at)
    apart = case.phases.apart(case.phases.of_time(key, time, at), root)
    return (apart.worst, apart.facts) if apart is not None else None


RULES: tuple[Rule, ...] = (jam_and_lead_disagree, jam_from_a_drifted_source)
