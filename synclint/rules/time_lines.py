"""Takes that join two lines of time, and masters that go away while others hang live on them."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction

from synclint.day.clocktime import moved_between
from synclint.day.moments import Origin, Roll, Timeline
from synclint.day.phases import Offset
from synclint.day.schedule import Step
from synclint.findings import (
    WHO,
    Amount,
    CheckLine,
    Confirmed,
    Cost,
    Finding,
    Fix,
    Hurts,
    Level,
    Mended,
    Mention,
    Place,
    Record,
    Source,
    either,
    listed,
)
from synclint.rules.day_edits import jam_added
from synclint.rules.framework import Case, Rule, Yielded, rule
from synclint.rules.generations import deciding
from synclint.rules.moments import clock_of, clocks_moved, in_frames, minutes_of, rolls_told
from synclint.rules.takes import (
    LOST,
    Part,
    Take,
    by_unit,
    furthest,
    main_line,
    others,
    sync_takes,
    told_as_clash,
    told_by_the_leads,
)
from synclint.rules.wording import PRACTICE
from synclint.trade.labels import label_speed
from synclint.trade.quantities import say_duration

_SUM = Source("labels at 23.976 and 29.97 NDF lose 3.5964 s an hour; exact arithmetic", Confirmed.ARITHMETIC)

_WALL = "wall clock"


# --- two lines of time in a take -------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class _Parted:
    """Devices of a take that carry another line of time than it ought to be on."""

    roll: Roll
    odd: tuple[Part, ...]
    beside: tuple[Part, ...]


@rule(
    Record(
        name="two-time-lines-in-a-take",
        summary="A take joins devices whose times come from two settings that nothing ties together",
        level=Level.ERROR,
        hurts=Hurts.POST,
        mended=Mended.SET,
        why="Once a master is set again, its time has nothing to do any more with what it gave before. Whoever is not "
        "jammed from it anew goes on with the old time, and both look right.",
        sources=(PRACTICE, _SUM),
        answers=("two masters in one timecode domain", "unsuitable master"),
    )
)
def two_time_lines_in_a_take(case: Case) -> Iterator[Yielded]:
    """A take with sync sound is on two lines of time, for a reason that stands in the day."""
    if case.run.jams_taken_for_granted:
        return
    found: dict[tuple[Timeline, Timeline], list[_Parted]] = {}
    for take in sync_takes(case):
        for unit, recorded in by_unit(case, take.parts).items():
            parts = [*recorded, *(slate for slate in take.slates if case.domain_of(slate.key) == unit)]
            main = main_line(case, unit, take.roll, recorded)
            for line in dict.fromkeys(part.line for part in parts):
                old, new = _old_and_new(line, main)
                if line != main and not _told_elsewhere(case, old, new, parts):
                    odd, beside = (tuple(part for part in parts if part.line == each) for each in (old, new))
                    found.setdefault((old, new), []).append(_Parted(take.roll, odd, beside))
    for (old, new), parted in found.items():
        yield _two_lines(case, old, new, parted)


def _old_and_new(line: Timeline, main: Timeline) -> tuple[Timeline, Timeline]:
    """The odd one first: of two settings of one device the earlier, else the one that is not the take's own."""
    return (main, line) if line.root == main.root and main.since < line.since else (line, main)


def _told_elsewhere(case: Case, odd: Timeline, main: Timeline, parts: list[Part]) -> bool:
    """Whether another rule tells why these two lines are two."""
    if {odd.origin, main.origin} & (LOST | {Origin.LEFT}):
        return True
    if odd.root == main.root:
        return False
    carriers = [part for part in parts if part.line == odd]
    if any(told_as_clash(case, part.writer) for part in carriers):
        return True
    # A clock that labels its own files, or those that hang on it by its leads, is told of as a second master.
    jammed = [part for part in carriers if _given_by_a_jam(case, part)]
    return odd.origin is not Origin.OUTSIDE and not jammed and told_by_the_leads(case, odd.root)


def _given_by_a_jam(case: Case, part: Part) -> bool:
    """Whether a device has its time by a jam from another than its leads lead to."""
    return bool(part.time.hands) and case.timecode.root_of(part.writer).device != part.line.root


def _two_lines(case: Case, odd: Timeline, main: Timeline, parted: list[_Parted]) -> Finding:
    """The finding on two lines of time, for all takes that join them."""
    first = min(parted, key=lambda each: each.roll.start)
    rolls = [each.roll for each in parted]
    carriers = dict.fromkeys(part.key for each in parted for part in each.odd)
    who = tuple(map(case.setup.called, carriers))
    writers = dict.fromkeys(part.writer for each in parted for part in each.odd)
    beside = others(case, [part for each in parted for part in each.beside])
    at, why = _reason(case, odd, main, first.odd[0])
    minutes = minutes_of(rolls)
    return two_time_lines_in_a_take.record.finding(
        at=at,
        says=f"{WHO} {why}, and {either('is', 'are')} in {rolls_told(case, rolls)} with {beside}",
        who=who,
        cause=("lines", odd, main),
        costs=_jump(case, odd, main, minutes),
        fix=_one_line(case, odd, main, first, list(writers)),
        also=tuple(Mention(roll.event.place, "a take that joins both") for roll in rolls),
    )


def _one_line(case: Case, odd: Timeline, main: Timeline, first: _Parted, writers: list[str]) -> Fix:
    """How all come to one time before the first take that joins both."""
    roll, devices = first.roll, case.setup.devices
    unit = case.domain_of(first.odd[0].key)
    since, then = max(main.since, *(part.time.set_at for part in first.odd)), clock_of(case, roll.start)
    source = main.root if main.root in devices else first.beside[0].key
    jammed = list(dict.fromkeys((*writers, *_left_behind(case, odd, roll, unit))))
    if main.since <= odd.since:
        jammed = writers
    again = f"jam {listed(map(case.setup.called, jammed))} from {case.setup.called(source)}"
    window = f"between {clock_of(case, since)} and the roll at {then}" if since < roll.start else f"before {then}"
    if odd.root in devices and case.domain_of(odd.root) != unit and case.domain_of(source) == unit:
        adopt = f"Jam {case.setup.called(source)} from {case.setup.called(odd.root)} {window}"
        return Fix(
            f"{adopt}, or {again} again; and compare a recorded clip", jam_added(case, [source], odd.root, since)
        )
    edits = jam_added(case, jammed, source, since, roll.start)
    return Fix(f"{again[0].upper()}{again[1:]} {window}, and compare a recorded clip", edits)


def _left_behind(case: Case, odd: Timeline, roll: Roll, unit: str) -> Iterator[str]:
    """All of a unit that still runs by itself on an old line of time when a take begins: spares are jammed with it."""
    for key in case.run.histories:
        state = case.run.at(key, roll.start)
        runs = state.working and state.time is not None and state.time.line == odd and not state.time.through
        if runs and key != odd.root and case.domain_of(key) == unit:
            yield key


def _reason(case: Case, odd: Timeline, main: Timeline, part: Part) -> tuple[Place, str]:
    """Where it comes from that a device is on a line of its own, and why, in words."""
    if odd.root == main.root:
        said = f"still {either('carries', 'carry')} the time that {case.setup.called(odd.root)} had before it was set"
        return main.cause, f"{said} at {clock_of(case, main.since)}"
    if odd.origin is Origin.OUTSIDE:
        runs = case.setup.called(main.root)
        return odd.cause, f"{either('takes', 'take')} the time from outside the rig, which {runs} does not"
    if part.time.hands:
        hand = part.time.hands[-1]
        root = "the time from outside" if main.origin is Origin.OUTSIDE else case.setup.called(main.root)
        said = f"{either('was', 'were')} jammed from {case.setup.called(hand.source)} at {clock_of(case, hand.at)}"
        return hand.cause, f"{said}, which nothing ties to {root}"
    at = clock_of(case, odd.since)
    if odd.root == part.key:
        return odd.cause, f"{either('was', 'were')} set by hand at {at}"
    return odd.cause, f"{either('carries', 'carry')} the time to which {case.setup.called(odd.root)} was set at {at}"


def _jump(case: Case, odd: Timeline, main: Timeline, minutes: Fraction) -> Cost:
    """By how much two lines of time differ, where that can be known, and for how long it is recorded."""
    for_long = f"{say_duration(minutes * 60)} of takes"
    time = Amount("time off", float(minutes), "min")
    rate = case.setup.project.rate.value
    if rate is not None and _by_the_wall(case, odd) and _by_the_wall(case, main):
        first, then = sorted((main.since, odd.since))
        by, _ = moved_between(case.setup, first, then) or (Fraction(0), first)
        apart = abs((1 - label_speed(rate)) * (then - first) + by)
        if apart >= 1:
            moved = clocks_moved(case, first, then)
            why = moved or f"{rate.name} labels fall behind the wall"
            says = (
                f"{why}, so a clock that is set to {'them' if moved else 'it'} again jumps: the two times are "
                f"{say_duration(apart)} apart in {for_long}"
            )
            return Cost(says, (Amount("apart", float(apart), "s"), time), float(apart))
        says = f"set by hand twice, the two are up to a second apart, nobody knows by how much, in {for_long}"
        return Cost(says, (Amount("apart at most", 1.0, "s"), time), 1.0)
    says = f"the two are apart by nobody knows how much, whole seconds or hours, in {for_long}"
    return Cost(says, (time,), float(minutes))


def _by_the_wall(case: Case, line: Timeline) -> bool:
    """Whether a line of time was set to the clock on the wall."""
    if line.origin is not Origin.SET:
        return False
    events = (step.event for step in case.run.steps if step.at == line.since and step.what == "set clock")
    return any(event is not None and event.words("from") == (_WALL,) and line.root in event.of for event in events)


# --- a master that goes away -----------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class _Away:
    """A stretch of time for which a device that others follow live is gone."""

    step: Step
    key: str
    until: Fraction
    followers: tuple[str, ...]


@rule(
    Record(
        name="master-goes-away",
        summary="A device that others follow live is switched off or leaves, and they roll without it",
        level=Level.WARNING,
        hurts=Hurts.POST,
        mended=Mended.SET,
        why="Who follows live has no time of its own to fall back on but its own clock, and a track of LTC falls "
        "silent. A battery on the master is changed between takes, or never runs out.",
        sources=(PRACTICE,),
        answers=("unsuitable master",),
    )
)
def master_goes_away(case: Case) -> Iterator[Yielded]:
    """Live followers of a device roll while it is gone, without timecode, or further than is tolerated."""
    for away in _absences(case):
        silent = [roll for roll in case.run.rolls if _overlaps(roll, away) and _without_time(case, roll, away)]
        parted = _parted_while(case, away)
        if silent:
            yield _no_timecode(case, away, silent)
        if parted is not None:
            yield _drifted(case, away, *parted)
        if not silent and parted is None:
            yield _looked_after(case, away)


def _absences(case: Case) -> Iterator[_Away]:
    """Every time that a device goes which others follow live just then, those that go with it left out."""
    for step in case.run.steps:
        hang = _hung_on(case, step.at, frozenset(step.keys)) if step.what in ("power off", "leave") else {}
        for key, followers in hang.items():
            # What ends the event need not bring it back: another one may hold it off for longer.
            back = (state.since for state in case.run.between(key, step.at, case.run.end) if state.working)
            yield _Away(step, key, next(back, case.run.end), tuple(followers))


def _hung_on(case: Case, at: Fraction, keys: frozenset[str]) -> dict[str, list[str]]:
    """For each of some devices those that followed it live until an instant, and are still there afterwards."""
    found: dict[str, list[str]] = {}
    for follower in case.run.histories:
        time = case.run.before(follower, at).time
        for key in time.through if time is not None else ():
            if key in keys and case.run.at(follower, at).working:
                found.setdefault(key, []).append(follower)
    return found


def _overlaps(roll: Roll, away: _Away) -> bool:
    return roll.start < away.until and away.step.at < roll.end


def _without_time(case: Case, roll: Roll, away: _Away) -> list[str]:
    """The followers that have no timecode at all while their source is gone, and roll."""
    at = max(roll.start, away.step.at)
    return [key for key in away.followers if key in roll.devices and case.run.at(key, at).time is None]


def _no_timecode(case: Case, away: _Away, rolls: list[Roll]) -> Finding:
    """The finding on takes without timecode."""
    keys = dict.fromkeys(key for roll in rolls for key in _without_time(case, roll, away))
    seconds = sum((min(roll.end, away.until) - max(roll.start, away.step.at) for roll in rolls), Fraction(0))
    return master_goes_away.record.finding(
        level=Level.ERROR,
        at=_cause(case, away),
        says=f"{_gone(case, away)} while {WHO}, which {either('records', 'record')} its timecode as sound, "
        f"{either('is', 'are')} in {rolls_told(case, rolls)}",
        who=tuple(map(case.setup.called, keys)),
        cause=("silent", away.step.at, away.key),
        costs=Cost(
            f"{say_duration(seconds)} of {WHO} bear no timecode at all",
            (Amount("without timecode", float(seconds / 60), "min"),),
            float(seconds),
        ),
        fix=Fix(f"{_stay(case, away)} through the take, or put another box in its place first"),
        also=tuple(Mention(roll.event.place, "a take without it") for roll in rolls),
    )


def _parted_while(case: Case, away: _Away) -> tuple[Roll, str, str, Offset] | None:
    """The pair that parts furthest past the tolerance while a source is gone, and the take that it does so in."""
    tolerance = case.tolerance
    if tolerance is None:
        return None
    worst: tuple[Roll, str, str, Offset] | None = None
    for take in sync_takes(case):
        if not _overlaps(take.roll, away):
            continue
        for one, other in _let_go_pairs(case, take, away):
            offset = _offset_while(case, take.roll, away, one, other)
            if offset is not None and offset.worst > max(tolerance, worst[3].worst if worst else tolerance):
                worst = (take.roll, one, other, offset)
    return worst


def _let_go_pairs(case: Case, take: Take, away: _Away) -> Iterator[tuple[str, str]]:
    """The devices of a take that run by themselves for want of their source, each with every one beside it."""
    for parts in by_unit(case, take.parts).values():
        far = furthest(parts, take.roll.end)
        for one in parts:
            if one.key in away.followers:
                yield from ((one.key, other.key) for other in far if other.key != one.key)


def _offset_while(case: Case, roll: Roll, away: _Away, one: str, other: str) -> Offset | None:
    """How far two devices are apart when the take ends, or just before the source returns."""
    at, end = max(roll.start, away.step.at), min(roll.end, away.until)
    times = case.run.at(one, at).time, case.run.at(other, at).time
    if times[0] is None or times[1] is None or not any(hand.let_go for hand in times[0].hands):
        return None
    phases = case.phases
    return phases.apart(phases.of_time(one, times[0], end), phases.of_time(other, times[1], end))


def _drifted(case: Case, away: _Away, roll: Roll, one: str, other: str, offset: Offset) -> Finding:
    """The finding on devices that drift for want of the source that they follow."""
    tolerance = case.tolerance or Fraction(0)
    return master_goes_away.record.finding(
        at=_cause(case, away),
        says=f"{_gone(case, away)}, and {WHO}, which {either('follows', 'follow')} it live, "
        f"{either('runs', 'run')} on by {either('its own clock', 'their own clocks')} in {rolls_told(case, [roll])}",
        who=(case.setup.called(one),),
        cause=("drifts", away.step.at, away.key, one),
        costs=Cost(
            f"by the end it may be {in_frames(case, offset.worst)} from {case.setup.called(other)}, where "
            f"{say_duration(tolerance)} is tolerated",
            (Amount("apart at the end of the take", float(offset.worst * 1000), "ms"),),
            float(offset.worst),
        ),
        fix=Fix(f"{_stay(case, away)} while {WHO} {either('rolls', 'roll')}, or put a jammed box in its place"),
        decided_by=(case.setup.project.tolerance, *deciding(offset.facts)),
        numbers_from=offset.facts,
        also=(Mention(roll.event.place, "the take"),),
    )


def _looked_after(case: Case, away: _Away) -> CheckLine:
    """What to look at where a source is gone for a while and nothing is wrong with that."""
    until = f"; when it is back at {clock_of(case, away.until)}" if away.until < case.run.end else "; then"
    line = f"{_gone(case, away)}{until}, see the same digits on {WHO}"
    who = tuple(map(case.setup.called, away.followers))
    return CheckLine(master_goes_away.record, Mended.SET, line, who, _cause(case, away), away.step.at)


def _gone(case: Case, away: _Away) -> str:
    """That a device goes, and when: `box_a is off from 12:10 to 12:14`."""
    start = clock_of(case, away.step.at)
    if away.step.what == "leave":
        return f"{case.setup.called(away.key)} leaves at {start}"
    until = f" to {clock_of(case, away.until)}" if away.until < case.run.end else ""
    return f"{case.setup.called(away.key)} is off from {start}{until}"


def _stay(case: Case, away: _Away) -> str:
    """To let a device stay as it is: `Keep box_a on`, by a fresh battery, or `Let box_a stay`."""
    called = case.setup.called(away.key)
    return f"Let {called} stay" if away.step.what == "leave" else f"Change the battery before, and keep {called} on"


def _cause(case: Case, away: _Away) -> Place:
    return away.step.event.place if away.step.event else case.setup.place


RULES: tuple[Rule, ...] = (two_time_lines_in_a_take, master_goes_away)
