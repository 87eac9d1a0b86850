"""Who listens to what: somebody makes timecode, it arrives where it is waited for, and who is fed also listens."""

from __future__ import annotations

from collections.abc import Iterator

from synclint.findings import (
    WHO,
    Amount,
    Cost,
    Fix,
    Hurts,
    Level,
    Mended,
    Mention,
    Record,
    SetValue,
    either,
    listed,
)
from synclint.rig.graphs import Ending, Feed
from synclint.rig.model import OWN_CLOCK, Device
from synclint.rules.framework import Case, Rule, Yielded, rule
from synclint.rules.wording import PRACTICE, a_day

# --- nobody generates, or one waits for nothing ----------------------------------------------------------------


@rule(
    Record(
        name="nobody-makes-timecode",
        summary="Every device waits for timecode and none makes it",
        level=Level.ERROR,
        hurts=Hurts.DAY,
        mended=Mended.MORNING,
        why="Displays stand still, or each runs on from its own last value; it shows at the first playback.",
        sources=(PRACTICE,),
        answers=("nobody generates",),
    )
)
def nobody_makes_timecode(case: Case) -> Iterator[Yielded]:
    """All chains of a domain end at a device that waits, and no device runs on a clock of its own."""
    for keys in case.domains.values():
        waiting = _waiting(case, keys)
        if not waiting or not _nobody_generates(case, keys):
            continue
        first = case.setup.devices[waiting[0]]
        as_sound = sum(len(case.recorded_as_sound.get(key, ())) for key in waiting)
        count = as_sound + sum(case.timecode.root_of(key).ending is Ending.NOTHING for key in keys)
        yield nobody_makes_timecode.record.finding(
            at=first.timecode.source.place,
            says=f"nobody makes timecode: {listed(case.setup.called(key) for key in waiting)} "
            f"{'waits' if len(waiting) == 1 else 'wait'} for it and no device runs on its own clock",
            who=tuple(case.setup.called(key) for key in waiting),
            also=tuple(
                Mention(case.setup.devices[key].timecode.source.place, f"{case.setup.called(key)} waits too")
                for key in waiting[1:]
            ),
            costs=Cost(
                f"{count} {'device' if count == 1 else 'devices'} without usable timecode all day",
                (Amount("devices without timecode", count, "devices"),),
            ),
            fix=Fix(
                f"Let {first.called} run on its own clock, and see digits move on all the others",
                (SetValue(first.timecode.source.place, OWN_CLOCK),) if first.timecode.source.stated else (),
            ),
        )


def _waiting(case: Case, keys: tuple[str, ...]) -> list[str]:
    """The devices that listen to a port at which nothing arrives."""
    return [
        key
        for key in keys
        if case.timecode.root_of(key).ending is Ending.NOTHING and case.timecode.root_of(key).device == key
    ]


def _nobody_generates(case: Case, keys: tuple[str, ...]) -> bool:
    """Whether no device of a domain has a clock of its own to label with."""
    return not any(case.timecode.root_of(key).generates for key in keys)


@rule(
    Record(
        name="nothing-arrives",
        summary="A device is set to take timecode from a port that no timecode reaches",
        level=Level.ERROR,
        hurts=Hurts.POST,
        mended=Mended.MORNING,
        why="By model it holds its last value, counts on by itself or writes zeros; nobody sees it on the body.",
        sources=(PRACTICE,),
        answers=("set to external but nothing arrives",),
    )
)
def nothing_arrives(case: Case) -> Iterator[Yielded]:
    """A device listens to a port at which nothing arrives, while others make timecode."""
    for keys in case.domains.values():
        if _nobody_generates(case, keys):
            continue
        behind: dict[str, list[str]] = {}
        for other in keys:
            behind.setdefault(case.timecode.root_of(other).device, []).append(other)
        for key in _waiting(case, keys):
            device = case.setup.devices[key]
            others = [*(other for other in behind[key] if other != key), *case.recorded_as_sound.get(key, ())]
            hang = f", and {listed(map(case.setup.called, others))} with it" if others else ""
            yield nothing_arrives.record.finding(
                at=device.timecode.source.place,
                says=f"{WHO} {either('takes', 'take')} timecode from {device.timecode.source.value}, where no lead, "
                f"radio or network brings any{hang}",
                who=(device.called,),
                cause=("nothing", device.timecode.source.place),
                costs=Cost(
                    f"{WHO} {either('runs', 'run')} on a made-up time, or on zeros, for {a_day(case)}, and hands it on "
                    f"to {listed(map(case.setup.called, others))}"
                    if others
                    else f"{WHO} {either('runs', 'run')} on a made-up time, or on zeros, for {a_day(case)}",
                    (Amount("devices without timecode", 1 + len(others), "devices"),),
                ),
                fix=_where_it_arrives(case, device),
            )


def _where_it_arrives(case: Case, device: Device) -> Fix:
    """What makes a device hear timecode: another port of its own at which some arrives, else a lead."""
    source = device.timecode.source
    feed = next((each for each in case.timecode.arriving.get(device.key, ()) if _meant_to_be_heard(device, each)), None)
    if feed is not None:
        return Fix(
            f"Set {WHO} to take timecode from {feed.port}, where it arrives from {case.setup.called(feed.source)}",
            (SetValue(source.place, feed.port),) if source.stated else (),
        )
    port = device.ports.get(source.value or "")
    if port is not None and "timecode" in (port.takes.value or ()):
        return Fix(f"Let {WHO} join a radio group or a network at {source.value}, and see the digits move")
    return Fix(f"Plug timecode into {source.value}, and see the digits move")


@rule(
    Record(
        name="fed-but-on-own-clock",
        summary="Timecode is plugged into a device that is set to its own clock",
        level=Level.ERROR,
        hurts=Hurts.POST,
        mended=Mended.MORNING,
        why="The lead on the body makes everybody believe that it is locked; its files are off by whatever it was "
        "last set to, and only post finds out.",
        sources=(PRACTICE,),
        answers=("fed but set to internal",),
    )
)
def fed_but_on_own_clock(case: Case) -> Iterator[Yielded]:
    """Timecode arrives at a device that labels itself."""
    for key, feeds in case.timecode.arriving.items():
        device = case.setup.devices[key]
        if device.timecode.source.value != OWN_CLOCK:
            continue
        heard = [feed for feed in feeds if _meant_to_be_heard(device, feed)]
        if heard:
            yield _fed(case, device, heard[0])


def deaf_to(case: Case, key: str) -> bool:
    """Whether a clock labels others only because it does not hear the timecode that it is fed, which is told once."""
    device = case.setup.devices[key]
    return device.timecode.source.value == OWN_CLOCK and any(
        _meant_to_be_heard(device, feed) and case.timecode.root_of(feed.source).device != key
        for feed in case.timecode.arriving.get(key, ())
    )


def _meant_to_be_heard(device: Device, feed: Feed) -> bool:
    """Whether a feed is there to label the device, and not to be compared, recorded as sound or taken as a pace."""
    port = device.ports.get(feed.port)
    as_sound = port is not None and "sound" in (port.takes.value or ())
    return not (as_sound or feed.last.only_compares or feed.last.carries.value == "PTP")


def _fed(case: Case, device: Device, feed: Feed) -> Yielded:
    """The finding on a device that does not listen; for the master it is only a lead with the wrong word on it."""
    master = case.setup.project.master_timecode.value == device.key
    source = case.setup.called(feed.source)
    others = () if master else case.labelled_by.get(device.key, ())
    hang = f" and of {listed(map(case.setup.called, others))} behind {either('it', 'them')}" if others else ""
    fix = (
        Fix(f"Write `connected: to compare` on the lead from {source}, or unplug it")
        if master
        else _hear(device, feed, source)
    )
    return fed_but_on_own_clock.record.finding(
        at=device.timecode.source.place,
        says=f"{WHO} {either('is', 'are')} fed timecode from {source} and set to {OWN_CLOCK}",
        who=(device.called,),
        cause=("fed", feed.source, device.timecode.source.place.path[-2:], master, others),
        also=(Mention(feed.last.place, f"the timecode from {source}"),),
        level=Level.NOTE if master else None,
        costs=Cost(
            "none while it is the master; the next reader of the sheet will think that it follows"
            if master
            else f"labels of {WHO}{hang} are off by an unknown amount, seconds or hours, for {a_day(case)}",
            () if master else (Amount("devices off", 1 + len(others), "devices"),),
        ),
        fix=fix,
    )


@rule(
    Record(
        name="tied-to-nothing",
        summary="A device labels its own files from its own clock, and nothing ties that clock to the master",
        level=Level.ERROR,
        hurts=Hurts.POST,
        mended=Mended.MORNING,
        why="Set by eye, its labels are seconds off from the start, and nobody can say how many.",
        sources=(PRACTICE,),
        answers=("two masters in one timecode domain",),
    )
)
def tied_to_nothing(case: Case) -> Iterator[Yielded]:
    """A recording device on its own clock, with its own labels on its files, beside a master that labels others."""
    tied = {jam.target for jam in case.run.jams}
    for keys in case.domains.values():
        masters = [key for key in keys if case.labelled_by.get(key, ())]
        if not masters:
            continue  # own clocks everywhere: nobody was meant to be tied to anybody
        meant = case.setup.project.master_timecode.value
        master = case.setup.called(meant if meant in masters else masters[0])
        for key in keys:
            device = case.setup.devices[key]
            own = device.timecode.source.value == OWN_CLOCK and device.timecode.mode.value != "record run"
            labelled = "file" in (device.timecode_on.value or ("file",)) and device.records
            # What its clock does not tell to the frame has a rule of its own.
            coarse = device.handover.labels_to.value == "second"
            idle = key not in masters and key not in case.timecode.arriving and key not in tied
            if own and labelled and idle and not coarse and key != meant and not device.trigger.value:
                yield tied_to_nothing.record.finding(
                    at=device.timecode.source.place,
                    says=f"{WHO} {either('runs', 'run')} on {either('its own clock', 'their own clocks')}, and nothing "
                    f"ties {either('it', 'them')} to {master}",
                    who=(device.called,),
                    cause=("loose", master),
                    costs=Cost(
                        f"labels of {WHO} are off by an unknown amount, seconds where {either('it was', 'they were')} "
                        f"set by eye, for {a_day(case)}",
                        (Amount("devices off", 1, "devices"),),
                    ),
                    fix=Fix(f"Jam {WHO} from {master} in the morning, or put a box on {either('it', 'each')}"),
                )


def _hear(device: Device, feed: Feed, source: str) -> Fix:
    """How a device comes to listen to what is plugged into it, in the way that the lead is there for."""
    mode = "jam" if feed.last.connected.value == "to jam" else "continuous"
    how = "be jammed from" if mode == "jam" else "follow"
    return Fix(
        f"Set {WHO} to {how} what arrives at {feed.port}; film the display of {source} for two seconds and compare it "
        "with the recorded clip",
        to_listen(device, feed.port, mode),
    )


def to_listen(device: Device, port: str, mode: str) -> tuple[SetValue, ...]:
    """The edits that make a device listen to a port, in a mode that it has."""
    timecode = device.timecode
    edits = [SetValue(timecode.source.place, port)] if timecode.source.stated else []
    able = timecode.able_modes.value
    if timecode.mode.stated and timecode.mode.value != mode and (able is None or mode in able):
        edits.append(SetValue(timecode.mode.place, mode))
    return tuple(edits)


RULES: tuple[Rule, ...] = (nobody_makes_timecode, nothing_arrives, fed_but_on_own_clock, tied_to_nothing)
