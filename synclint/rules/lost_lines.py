"""Where a device's time was lost or may have been lost, and what is recorded on it afterwards."""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass
from fractions import Fraction
from itertools import pairwise

from synclint.day.moments import Carried, Origin, Roll, Timeline
from synclint.day.schedule import Step
from synclint.findings import Amount, listed
from synclint.rig.model import Device
from synclint.rules.day_windows import end_told, shooting_parts, window_at
from synclint.rules.framework import Case
from synclint.rules.label_rates import stretch_of
from synclint.rules.moments import clock_of, rolls_told
from synclint.rules.takes import LOST, Part, by_unit, sync_takes
from synclint.trade.quantities import say_duration


@dataclass(frozen=True, slots=True)
class Loss:
    """A device that went on from something else than the time it had."""

    key: str
    line: Timeline
    step: Step
    """What made it: power that came back, or a setting."""
    off_since: Fraction | None
    """When it was switched off, where that is what made it."""


def losses(case: Case) -> tuple[Loss, ...]:
    """All lost times that some device carries at some moment, in the order in which they began."""
    return case.once(_losses)


def _losses(case: Case) -> tuple[Loss, ...]:
    lines = {
        state.time.line: None
        for states in case.run.histories.values()
        for state in states
        if state.time is not None and state.time.line.origin in LOST and state.time.line.origin is not Origin.TAKES
    }
    steps = {(step.at, key): step for step in case.run.steps if step.what in ("power back", "set") for key in step.keys}
    found = []
    for line in sorted(lines, key=lambda each: (each.since, each.root)):
        step = steps.get((line.since, line.root))
        if step is not None:
            off = _off_since(case, line.root, line.since) if step.what == "power back" else None
            found.append(Loss(line.root, line, step, off))
    return tuple(found)


def fed_off(case: Case, loss: Loss) -> bool:
    """Whether a device went off because what feeds it did, which is told as such."""
    feeder = case.setup.devices[loss.key].fed_by
    offs = (step for step in case.run.steps if step.what == "power off" and step.at == loss.off_since)
    return feeder is not None and any(feeder in step.keys and loss.key in step.keys for step in offs)


def _off_since(case: Case, key: str, back: Fraction) -> Fraction:
    """When a device was switched off that is back at an instant."""
    since = back
    for state in reversed(case.run.histories[key]):
        if state.since < back:
            if state.powered:
                break
            since = state.since
    return since


# --- what is recorded on it ------------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class Use:
    """What was recorded on a time that does not belong beside the others."""

    rolls: tuple[Roll, ...]
    """The takes; none where the day tells of none, and all of it counts."""
    seconds: Fraction
    carriers: tuple[str, ...]
    """The devices that carried it."""
    beside: tuple[str, ...]
    """Those beside them that carried another."""
    start: Fraction
    rolls_before: bool
    """Whether the days tell of takes, but of none after it."""

    @property
    def when(self) -> tuple[Fraction, ...]:
        """When it was, so that like findings are one."""
        return tuple(roll.start for roll in self.rolls) or (self.start, self.seconds)

    def before(self, case: Case) -> str:
        """Until when nobody put it right, as a sentence says it."""
        return rolls_told(case, self.rolls) if self.rolls else end_told(case, self.start)


Carries = Callable[[Part, Fraction], bool | None]
"""Whether a device carries a time at an instant; None for one that does not count."""


def use_of(case: Case, line: Timeline) -> Use | None:
    """What is recorded on a line of time beside devices that carry another; None where nothing is."""
    return _use(case, line.since, _until(case, line), lambda part, _: part.line == line)


def use_of_both(case: Case, line: Timeline, other: Timeline) -> Use | None:
    """What is recorded on a line of time beside devices that carry another one, all else left aside."""
    since, until = max(line.since, other.since), min(_until(case, line), _until(case, other))
    return _use(case, since, until, lambda part, _: part.line == line if part.line in (line, other) else None)


def use_kept(case: Case, key: str, start: Fraction, end: Fraction) -> Use | None:
    """What is recorded after a span on a time that the counter of one device kept all through it."""

    def kept(part: Part, at: Fraction) -> bool:
        return any(keeper == key and since < start and end < until for keeper, since, until in _keepers(part.time, at))

    counted = case.once(_keepers_until).get(key, {})
    return _use(case, end, max((last for since, last in counted.items() if since < start), default=end), kept)


def _until(case: Case, line: Timeline) -> Fraction:
    """Until when any device carries a line of time."""
    return case.once(_lives).get(line, line.since)


def _lives(case: Case) -> dict[Timeline, Fraction]:
    found: dict[Timeline, Fraction] = {}
    for time, end in _carried(case):
        found[time.line] = max(end, found.get(time.line, end))
    return found


def _keepers_until(case: Case) -> dict[str, dict[Fraction, Fraction]]:
    """For each device, by when its counter was set, until when anybody carries what it kept from then on."""
    found: dict[str, dict[Fraction, Fraction]] = {}
    for time, end in _carried(case):
        for keeper, since, _ in _keepers(time, end):
            kept = found.setdefault(keeper, {})
            kept[since] = max(end, kept.get(since, end))
    return found


def _carried(case: Case) -> Iterator[tuple[Carried, Fraction]]:
    """Every time that any device carries, with until when."""
    for states in case.run.histories.values():
        for state, end in zip(states, (*(later.since for later in states[1:]), case.run.end), strict=True):
            if state.time is not None:
                yield state.time, end


def _keepers(time: Carried, now: Fraction) -> Iterator[tuple[str, Fraction, Fraction]]:
    """Whose counters kept a time, each from when to when."""
    keeper, since = time.line.root, time.line.since
    for hand in time.hands:
        yield keeper, since, hand.at
        keeper, since = hand.target, hand.at
    yield keeper, since, now


def _use(case: Case, since: Fraction, until: Fraction, carries: Carries) -> Use | None:
    """The takes from one instant to another in which some carry that time and some do not; without takes, the hours."""
    if any(roll.start >= since for roll in case.run.rolls):
        return _in_takes(case, since, until, carries)
    return _in_hours(case, since, carries)


def _in_takes(case: Case, since: Fraction, until: Fraction, carries: Carries) -> Use | None:
    """What takes are made on such a time."""
    rolls: list[Roll] = []
    carriers: dict[str, None] = {}
    beside: dict[str, None] = {}
    takes = sync_takes(case)
    for take in takes[bisect_left(takes, since, key=lambda take: take.roll.start) :]:
        roll = take.roll
        if roll.start > until:
            break
        for unit, members in by_unit(case, take.parts).items():
            # A slate is in every picture; and who rolls alone is cut with the others all the same.
            alone = len(members) == 1 and carries(members[0], roll.start)
            near = _labelled_at(case, roll.start) if alone else _slates_at(case, roll.start)
            shown = [part for part in near if case.domain_of(part.key) == unit]
            on, off = _split(case, {part.key: part for part in (*members, *shown)}.values(), roll.start, carries)
            if on and off:
                rolls += [roll] if not rolls or rolls[-1] is not roll else []
                carriers.update(dict.fromkeys(on))
                beside.update(dict.fromkeys(off))
    if not rolls:
        return None
    length = sum((roll.length for roll in rolls), Fraction(0))
    return Use(tuple(rolls), length, tuple(carriers), tuple(beside), rolls[0].start, rolls_before=False)


def _in_hours(case: Case, since: Fraction, carries: Carries) -> Use | None:
    """For how long such a time is there to be recorded, where the days tell of no take after it began."""
    seconds, start, over = Fraction(0), None, since
    carriers: dict[str, None] = {}
    beside: dict[str, None] = {}
    stretches = _stretches(case, since)
    for first, last in stretches:
        parts = _labelled_at(case, first)
        for unit in dict.fromkeys(case.domain_of(part.key) for part in parts):
            members = (part for part in parts if case.domain_of(part.key) == unit)
            on, off = _split(case, members, first, carries)
            if on and off:
                seconds += last - first
                start, over = first if start is None else start, last
                carriers.update(dict.fromkeys(on))
                beside.update(dict.fromkeys(off))
    put_right = bool(case.run.rolls) and over < stretches[-1][1] if stretches else False
    if start is None or put_right:
        return None  # of a day whose takes are told, none is made before it is put right
    return Use((), seconds, tuple(carriers), tuple(beside), start, rolls_before=bool(case.run.rolls))


def _stretches(case: Case, since: Fraction) -> list[tuple[Fraction, Fraction]]:
    """The working hours from an instant on, cut wherever something happens."""
    happens = sorted({step.at for step in case.run.steps if step.at > since})
    found = []
    for first, last in shooting_parts(case, since, case.run.end):
        cuts = [first, *(at for at in happens if first < at < last), last]
        found += list(pairwise(cuts))
    day = window_at(case, since)
    # A day that nobody ends goes on after the last that is told of it.
    return found or ([(since, since)] if day is None or not day.wrap_stated else [])


def _split(
    case: Case, members: Iterable[Part], at: Fraction, carries: Carries
) -> tuple[tuple[str, ...], tuple[str, ...]]:
    """Of some devices those that carry such a time, and those that do not; what is shot off-speed is neither."""
    on: list[str] = []
    off: list[str] = []
    for part in members:
        carried = None if is_special(part.state.device) else carries(part, at)
        if carried is not None:
            (on if carried else off).append(part.key)
    recording = [key for key in (*on, *off) if case.setup.devices[key].records]
    # Slates among themselves spoil no file.
    return (tuple(on), tuple(off)) if recording else ((), ())


def _labelled_at(case: Case, at: Fraction) -> tuple[Part, ...]:
    """All devices that record a label or show one to the cameras, as they are at an instant."""
    known = case.once(_known)
    if at not in known:
        known[at] = tuple(_labelled(case, at))
    return known[at]


def _slates_at(case: Case, at: Fraction) -> tuple[Part, ...]:
    """All devices that show a label to the cameras, as they are at an instant."""
    slates = case.once(_slates)
    return tuple(part for part in _labelled_at(case, at) if part.key in slates) if slates else ()


def _slates(case: Case) -> frozenset[str]:
    return frozenset(key for key, device in case.setup.devices.items() if _shows(device))


def _known(_: Case) -> dict[Fraction, tuple[Part, ...]]:
    return {}


def _labelled(case: Case, at: Fraction) -> Iterator[Part]:
    for key in case.run.histories:
        state = case.run.at(key, at)
        device, time = state.device, state.time
        counts = (device.records and device.timecode_on.value != ("none",)) or _shows(device)
        if counts and time is not None and not device.trigger.value and time.line.origin is not Origin.TAKES:
            yield Part(key, state, time)


def _shows(device: Device) -> bool:
    """Whether a device shows timecode to the cameras."""
    return device.cls.value == "timecode slate"


def is_special(device: Device) -> bool:
    """Whether a camera is in record run, or in slow or fast motion, so that its labels are no time of day."""
    picture = device.picture
    stretched = picture is not None and stretch_of(picture.shot_at.value, picture.played_at.value) is not None
    return stretched or device.timecode.mode.value == "record run"


# --- in words --------------------------------------------------------------------------------------------------


def use_told(case: Case, use: Use) -> str:
    """How much is recorded so: `2 rolls, 35 min, from 13:30 on`, or the hours to the wrap."""
    if use.rolls:
        count = f"{len(use.rolls)} {'roll' if len(use.rolls) == 1 else 'rolls'}"
        return f"{count}, {say_duration(use.seconds)}, from {clock_of(case, use.rolls[0].start)} on"
    if not use.seconds:
        return f"all that is shot from {clock_of(case, use.start)} on"
    return f"all that is shot in the {say_duration(use.seconds)} from {clock_of(case, use.start)} on"


def use_amounts(use: Use) -> tuple[Amount, ...]:
    """The same as numbers."""
    minutes = Amount("on a wrong time", float(use.seconds / 60), "min")
    return (Amount("rolls", len(use.rolls), "rolls"), minutes) if use.rolls else (minutes,)


def others_beside(case: Case, use: Use, line: Timeline) -> tuple[str, ...]:
    """Those beside a lost time, without the ones that lost theirs by the very same event, unless there are no more."""

    def lost_too(key: str) -> bool:
        time = case.run.at(key, use.start).time
        return time is not None and time.line.origin in LOST and time.line.cause == line.cause

    return tuple(key for key in use.beside if not lost_too(key)) or use.beside


def behind(case: Case, use: Use, key: str) -> str:
    """The devices that carry a time of another one, as ` and of Camera A behind it`; nothing where none does."""
    others = [case.setup.called(each) for each in use.carriers if each != key]
    return listed(others) if others else ""


def first_use(case: Case, use: Use) -> str:
    """What has to wait for a jam: `the roll at 13:30`, or the next roll."""
    return rolls_told(case, use.rolls[:1]) if use.rolls else "the next roll"


def source_of(case: Case, key: str) -> str | None:
    """What a device would be jammed from: what it was last jammed from, else what reaches it; None for a root."""
    jams = [jam.source for jam in case.run.jams if jam.target == key]
    feeds = case.run.feeds.get(key, ())
    return jams[-1] if jams else feeds[0].source if feeds else None
