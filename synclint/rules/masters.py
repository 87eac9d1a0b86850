"""Who is master: one clock and no other, the one that was meant, fit for it, and with another to take its place."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from fractions import Fraction

from synclint.findings import (
    WHO,
    Amount,
    CheckLine,
    Cost,
    Fact,
    Fix,
    Hurts,
    Level,
    Mended,
    Mention,
    Place,
    Record,
    SetValue,
    Unjudged,
    either,
    listed,
)
from synclint.rig.assumed import BY_CLASS
from synclint.rig.graphs import ClockGraph, TimecodeGraph
from synclint.rig.model import Device
from synclint.rules.framework import MAIN_UNIT, Case, Rule, Yielded, rule
from synclint.rules.lead_edits import jam_lead
from synclint.rules.listening import deaf_to, to_listen
from synclint.rules.song_code import song_sources
from synclint.rules.wording import PRACTICE, a_day, ppm_sum
from synclint.trade.drift import drift_seconds
from synclint.trade.quantities import say_duration, say_ppm

_JAM_MINUTES = 2
"""What it takes to carry a lead to a device, jam it and look at it (common practice, no source)."""


# --- two masters, or another than was meant --------------------------------------------------------------------


@rule(
    Record(
        name="two-timecode-masters",
        summary="Two clocks that nothing ties together each label a part of the set",
        level=Level.ERROR,
        hurts=Hurts.POST,
        mended=Mended.MORNING,
        why="Set by hand, two clocks differ by whole seconds; jammed once and left, they part at the sum of their "
        "errors. Every clip must then be traced to whose time it carries.",
        sources=(PRACTICE,),
        answers=("two masters in one timecode domain",),
    )
)
def two_timecode_masters(case: Case) -> Iterator[Yielded]:
    """More than one clock labels devices of the same domain."""
    for keys in case.domains.values():
        masters = _masters(case, keys)
        if len(masters) < 2:
            continue  # one master is right
        first = _first_of(case, masters)
        for other in (key for key in masters if key != first and not deaf_to(case, key)):
            yield _two_masters(case, case.setup.devices[first], case.setup.devices[other])


def _masters(case: Case, keys: tuple[str, ...]) -> list[str]:
    """The clocks among some devices that label others with the time of the day, and not with that of a song."""
    return [key for key in keys if case.labelled_by.get(key, ()) and key not in song_sources(case)]


def _first_of(case: Case, masters: list[str]) -> str:
    """Of several masters the one to follow: as meant, else one that nobody feeds, else the one with most devices."""
    meant = case.setup.project.master_timecode.value
    if meant in masters:
        return meant
    return max(masters, key=lambda key: (not deaf_to(case, key), len(case.labelled_by.get(key, ()))))


def _two_masters(case: Case, first: Device, other: Device) -> Yielded:
    """The finding on a second master."""
    hang = listed(case.setup.called(key) for key in case.labelled_by.get(other.key, ()))
    port = next((port.key for port in other.ports.values() if "LTC" in (port.takes.value or ())), None)
    lead = jam_lead(case, first.key, f"{other.key}.{port}") if port else ()
    edits = (*to_listen(other, port, "jam"), *lead) if port and lead else ()
    return two_timecode_masters.record.finding(
        at=other.timecode.source.place,
        says=f"{WHO} {either('runs on its own clock and labels', 'run on their own clocks and label')} {hang}, while "
        f"{first.called} labels the rest",
        who=(other.called,),
        also=(Mention(first.timecode.source.place, f"{first.called}, the other master"),),
        costs=_parting(case, first, other),
        fix=Fix(f"Jam {WHO} from {first.called} and let it follow; then jam {hang} again", edits),
        numbers_from=(first.clock.accuracy, other.clock.accuracy),
    )


def _parting(case: Case, first: Device, other: Device) -> Cost:
    """How two clocks part once they have been set alike."""
    by_hand = "set by hand they differ by whole seconds from the start"
    total = ppm_sum(first.clock.accuracy, other.clock.accuracy)
    if total is None or not total:
        return Cost(by_hand)
    an_hour = drift_seconds(total, 3600)
    says = f"{by_hand}; jammed alike once, they part by up to {say_duration(an_hour)} an hour"
    amounts = [Amount("parting", float(an_hour * 1000), "ms an hour")]
    if case.day_seconds:
        over_day = drift_seconds(total, case.day_seconds)
        says += f", {say_duration(over_day)} over {a_day(case)}"
        amounts.append(Amount("parting over the day", float(over_day * 1000), "ms"))
    return Cost(says, tuple(amounts), float(total))


@rule(
    Record(
        name="another-master-than-meant",
        summary="The device named as master is not the one whose time the set carries",
        level=Level.ERROR,
        hurts=Hurts.POST,
        mended=Mended.MORNING,
        why="The sheet says one thing and the leads another; at the next jam somebody will follow the sheet.",
        sources=(PRACTICE,),
        answers=("two masters in one timecode domain", "unsuitable master"),
    )
)
def another_master_than_meant(case: Case) -> Iterator[Yielded]:
    """The one master that the leads and settings make differs from `project.master.timecode`."""
    meant = case.setup.project.master_timecode
    if meant.value is None or meant.value not in case.setup.devices or case.setup.devices[meant.value].through:
        return  # of one that has no clock another rule tells
    keys = case.domains.get(case.domain_of(meant.value), ())
    masters = _masters(case, keys)
    if len(masters) != 1 or masters[0] == meant.value:
        return
    actual, wanted = case.setup.devices[masters[0]], case.setup.devices[meant.value]
    follows = case.timecode.root_of(wanted.key).device == actual.key
    carried = case.labelled_by.get(actual.key, ())
    state = "itself follows it" if follows else "is not tied to it"
    yield another_master_than_meant.record.finding(
        at=meant.place,
        says=f"the sheet names {wanted.called} as timecode master, but {actual.called} labels the set, and "
        f"{wanted.called} {state}",
        who=(actual.called,),
        also=(Mention(actual.timecode.source.place, f"{actual.called} runs on its own clock"),),
        costs=Cost(
            (
                f"{len(carried)} devices carry the time of {actual.called}"
                if len(carried) > 1
                else f"the one device that follows carries the time of {actual.called}"
            )
            + ("" if follows else f"; files of {wanted.called} agree with none of them"),
            (Amount("devices on the other master", len(carried), "devices"),),
        ),
        fix=_crown(meant.place, actual, wanted),
    )


def _crown(meant: Place, actual: Device, wanted: Device) -> Fix:
    """What to do about another master: name it where it is fit for it, or put the one that was meant in its place."""
    instead = f"set {wanted.called} to its own clock and feed the others from it"
    if actual.records or actual.timecode.mode.value == "record run":
        return Fix(f"Turn the lead round: {instead}, {actual.called} too")
    return Fix(f"Write {actual.key} as the project's master, or {instead}", (SetValue(meant, actual.key),))


# --- is the master fit for it ----------------------------------------------------------------------------------

_COARSE_PPM = 5
"""From here on a clock is no master's (common practice, no source: recorders and generators state 2.5 or less)."""


@rule(
    Record(
        name="unsuitable-master",
        summary="The master has no clock at all, stops with each take, or is too coarse to be followed",
        level=Level.ERROR,
        hurts=Hurts.POST,
        mended=Mended.MORNING,
        why="A master in record run stops whenever the camera stops; one with a coarse clock takes the whole set off "
        "the hour and parts from all that were jammed from it; what only passes signals on is nobody's time.",
        sources=(PRACTICE,),
        answers=("unsuitable master",),
    )
)
def unsuitable_master(case: Case) -> Iterator[Yielded]:
    """A clock that labels others is in record run, or is coarse while they are jammed from it, or is named and none."""
    yield from _without_a_clock(case)
    fit = [each for each in case.setup.devices.values() if _is_fit(each)]
    for key, device in case.setup.devices.items():
        hang = case.labelled_by.get(key, ())
        if not hang or device.trigger.value or key in song_sources(case):
            continue
        if device.timecode.mode.value == "record run":
            yield _stopping_master(case, device, hang)
            continue
        listening = (each for each in hang if each in case.timecode.listened)
        jammed = [each for each in listening if not case.timecode.follows_continuously(each)]
        if not jammed:
            continue  # who follows all day is carried along, whatever the clock does
        if device.clock.accuracy.value is None:
            yield Unjudged(
                unsuitable_master.record, device.clock.place, f"the clock accuracy of {device.called}", (device.called,)
            )
        elif device.clock.accuracy.value >= _COARSE_PPM and case.clock.root_of(key).device == key:
            yield _coarse_master(case, device, jammed, next((each for each in fit if each is not device), None))


def _without_a_clock(case: Case) -> Iterator[Yielded]:
    """The findings on masters that are named and only pass on what comes in."""
    project, devices = case.setup.project, case.setup.devices
    clocks = [key for key, device in devices.items() if not device.through]
    named: list[tuple[Fact[str], str, Iterable[str], TimecodeGraph | ClockGraph]] = [
        (project.master_timecode, "the timecode master", case.domains.get(MAIN_UNIT, ()), case.timecode),
        (project.master_clock, "the clock master", clocks, case.clock),
    ]
    for unit in case.setup.units.values():
        of_unit = [key for key in clocks if unit.key in (devices[key].unit.value, case.domain_of(key))]
        named.append((unit.master, f"the master of unit {unit.key}", of_unit, case.timecode))
    for master, what, keys, graph in named:
        device = devices.get(master.value or "")
        if device is not None and device.through:
            yield _clockless_master(case, master, what, list(keys), graph)


def _clockless_master(
    case: Case, master: Fact[str], what: str, keys: list[str], graph: TimecodeGraph | ClockGraph
) -> Yielded:
    """The finding on a master that has no clock, with the one that those who look to it follow."""
    roots = {key: graph.root_of(key) for key in keys}
    followed = list(dict.fromkeys(root.device for key, root in roots.items() if root.generates and root.device != key))
    called = case.setup.called(master.value or "")
    look = f"{len(keys)} {'device looks' if len(keys) == 1 else 'devices look'}"
    return unsuitable_master.record.finding(
        at=master.place,
        says=f"{called} is named as {what} and has no clock: it only passes on what comes in",
        who=(called,),
        costs=Cost(
            f"{look} to it, and it has no time of its own to give",
            (Amount("devices without a master", len(keys), "devices"),),
        ),
        fix=Fix(
            f"Write {followed[0]} as {what}, which the others follow",
            (SetValue(master.place, followed[0]),),
        )
        if len(followed) == 1
        else Fix(f"Write a device with a clock of its own, such as a recorder or a box, as {what}"),
    )


def _stopping_master(case: Case, device: Device, hang: tuple[str, ...]) -> Yielded:
    """The finding on a master in record run."""
    return unsuitable_master.record.finding(
        at=device.timecode.mode.place,
        says=f"{device.called} is the master of {listed(map(case.setup.called, hang))} and is in record run",
        who=(device.called,),
        costs=Cost(
            f"its timecode stands still whenever {device.called} does not roll; {len(hang)} "
            f"{'device carries' if len(hang) == 1 else 'devices carry'} a count of its takes and not of time",
            (Amount("devices that follow it", len(hang), "devices"),),
        ),
        fix=Fix(
            f"Set {device.called} to free run; if it is only there to start the others, write `trigger: true` and "
            "label them from a generator",
            (SetValue(device.timecode.mode.place, "free run"),),
        ),
    )


def _coarse_master(case: Case, device: Device, jammed: list[str], better: Device | None) -> Yielded:
    """The finding on a master whose clock is coarse, with a device that would be the better one."""
    accuracy = device.clock.accuracy
    ppm = accuracy.value or Fraction(0)
    an_hour = drift_seconds(ppm, 3600)
    says = f"its clock may be {say_ppm(ppm)} out: {say_duration(an_hour)} an hour against the time of day"
    if case.day_seconds:
        says += f", {say_duration(drift_seconds(ppm, case.day_seconds))} over {a_day(case)}"
    return unsuitable_master.record.finding(
        at=device.timecode.source.place,
        level=Level.WARNING,
        says=f"{device.called} is the master that {listed(map(case.setup.called, jammed))} "
        f"{'is' if len(jammed) == 1 else 'are'} jammed from, with a clock of {say_ppm(ppm)}",
        who=(device.called,),
        costs=Cost(
            f"{says}, and as much against every device jammed from it",
            (Amount("drift", float(an_hour * 1000), "ms an hour"),),
            float(ppm),
        ),
        fix=Fix(
            f"Make {better.called} the master and jam {device.called} from it"
            if better
            else "Make a recorder or a timecode generator the master"
        ),
        decided_by=(accuracy,),
    )


def _is_made_for_it(device: Device) -> bool:
    """Whether a device is of a class that is made to be a master."""
    row = BY_CLASS.get(device.cls.value or "")
    return row is not None and row.keeps_time_for_others


def _is_fit(device: Device) -> bool:
    """Whether a device would make a good master: made for it, and with a clock that is known not to be coarse."""
    accuracy = device.clock.accuracy.value
    return _is_made_for_it(device) and accuracy is not None and accuracy < _COARSE_PPM


@rule(
    Record(
        name="single-master-without-spare",
        summary="All hang on one generator, and no other is free to take its place",
        level=Level.NOTE,
        hurts=Hurts.HABIT,
        mended=Mended.MORNING,
        why="What is jammed runs on when the master dies, but nothing can be jammed until another takes its place; "
        "what follows it live stops with it, and at a live show there is no time to mend that.",
        sources=(PRACTICE,),
        answers=("one master, no understudy, no protected power",),
    )
)
def single_master_without_spare(case: Case) -> Iterator[Yielded]:
    """Several devices hang on a master, and every other device that could generate is in use."""
    free = [device.key for device in case.setup.devices.values() if _is_free(case, device)]
    masters = (_masters(case, keys) for keys in case.domains.values())
    first = {_first_of(case, keys) for keys in masters if keys}
    for key, device in case.setup.devices.items():
        hang = case.labelled_by.get(key, ())
        if len(hang) < 2 or key in song_sources(case):
            continue  # one follower is two minutes' work
        mains = device.power.source.value == "mains"
        supply = (
            "a supply that outlasts a cut, and a plug that nobody can pull"
            if mains
            else "fresh battery and a second supply"
        )
        yield CheckLine(
            single_master_without_spare.record,
            Mended.MORNING,
            f"{device.called}: {supply}, automatic power-off switched off",
            (device.called,),
        )
        if key not in first or any(other != key for other in free[:2]):
            continue  # a second master wants no spare
        yield single_master_without_spare.record.finding(
            at=device.place,
            says=f"{len(hang)} devices carry the time of {device.called}, and no other generator in this rig is free "
            "to take over",
            who=(device.called,),
            costs=_if_it_dies(case, device, [each for each in hang if case.is_fed_by(each, key)]),
            fix=Fix("Jam a spare box with the others in the morning and leave it running in the kit"),
        )


def _if_it_dies(case: Case, master: Device, direct: list[str]) -> Cost:
    """What a dead battery on the master costs: who goes on by itself, who stops, and how long it takes to mend."""
    holding = [key for key in direct if _goes_on(case, case.setup.devices[key])]
    stopping = [key for key in direct if key not in holding]
    minutes = _JAM_MINUTES * (len(stopping) + 1)
    parts = []
    if stopping:
        lose = "loses its" if len(stopping) == 1 else "lose their"
        parts.append(f"{listed(map(case.setup.called, stopping))} {lose} time at once")
    if holding:
        by = "runs on by its own clock" if len(holding) == 1 else "run on by their own clocks"
        parts.append(f"{listed(map(case.setup.called, holding))} {by}")
    back = f"bring {master.called} back" + (f" from {case.setup.called(holding[0])}" if holding else "")
    again = f" and feed {'it' if len(stopping) == 1 else 'them'} again" if stopping else ""
    parts.append(f"to {back}{again} takes about {minutes} min, at {_JAM_MINUTES} min for each lead")
    return Cost(
        f"if its battery dies, {'; '.join(parts)}", (Amount("time to set the rig right", minutes, "min"),), minutes
    )


def _goes_on(case: Case, device: Device) -> bool:
    """Whether a device keeps its time when its source dies: it was jammed, or it has a generator of its own."""
    jammed = device.key in case.timecode.listened and not case.timecode.follows_continuously(device.key)
    return jammed or _is_made_for_it(device)


def _is_free(case: Case, device: Device) -> bool:
    """Whether a device can generate and neither records nor labels anybody nor is shown to the cameras."""
    busy = device.records or device.through or device.cls.value == "timecode slate"
    generates = device.timecode.source.value is not None and (device.cls.value is None or _is_made_for_it(device))
    return generates and not busy and device.key not in case.label_givers


RULES: tuple[Rule, ...] = (
    two_timecode_masters,
    another_master_than_meant,
    unsuitable_master,
    single_master_without_spare,
)
