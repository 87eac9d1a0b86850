"""Who was jammed when: devices that came after the jam, and jams that only a part of the set was given again."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace
from fractions import Fraction
from typing import Any

from synclint.day.moments import Carried, Handed, Origin, Roll
from synclint.day.phases import Offset
from synclint.findings import (
    WHO,
    Amount,
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
    Place,
    Record,
    SetValue,
    Source,
    Unjudged,
    either,
    listed,
)
from synclint.rules.clock_words import clocks_told
from synclint.rules.day_edits import jam_added
from synclint.rules.framework import Case, Rule, Yielded, rule
from synclint.rules.moments import clock_of, in_frames, minutes_of, rolls_told
from synclint.rules.takes import (
    LOST,
    Part,
    Take,
    by_unit,
    furthest,
    main_line,
    sync_takes,
    told_as_clash,
    told_by_the_leads,
)
from synclint.rules.wording import PRACTICE
from synclint.trade.quantities import say_duration

_DRIFT = Source("ppm × hours × 3.6 = ms of drift; exact arithmetic", Confirmed.ARITHMETIC)


# --- who came late, or was left out in the morning -------------------------------------------------------------


@dataclass
class _Stray:
    """A device that nobody gave the time, with the takes that its labels are in."""

    key: str
    rolls: list[Roll]
    carriers: dict[str, None]
    """The other devices that bear its time."""
    beside: dict[str, None]
    """The devices of the takes that were given the time."""


@rule(
    Record(
        name="joined-without-a-jam",
        summary="A device rolls with the others and nobody has given it their time",
        level=Level.ERROR,
        hurts=Hurts.POST,
        mended=Mended.SET,
        why="Who comes after the jam shows digits like everybody else, and they are those of the last shoot. To arrive "
        "is to have the rate looked at, to be jammed and to be compared.",
        sources=(PRACTICE,),
        answers=("late joiner or half-done re-jam",),
    )
)
def joined_without_a_jam(case: Case) -> Iterator[Yielded]:
    """A take with sync sound joins devices that were jammed and one that was not."""
    if case.run.jams_taken_for_granted:
        return
    for stray in _strays(case).values():
        feeds = case.run.feeds.get(stray.key, ())
        connected = {feed.last.connected.value for feed in feeds}
        if connected == {None} and not case.timecode.follows_continuously(stray.key):
            lacks = f"whether the lead to {case.setup.called(stray.key)} is there to jam or stays on (connected:)"
            yield Unjudged(joined_without_a_jam.record, feeds[0].last.place, lacks, (case.setup.called(stray.key),))
        elif not (case.setup.devices[stray.key].timecode.mode.value == "jam" and "all day" in connected):
            yield _joined(case, stray)


def _strays(case: Case) -> dict[str, _Stray]:
    """The devices that nobody gave the time before they, or those that bear their time, were in a take with others."""
    found: dict[str, _Stray] = {}
    for take in sync_takes(case):
        for unit, parts in by_unit(case, take.parts).items():
            main = main_line(case, unit, take.roll, parts)
            if main.origin is Origin.LEFT:
                continue
            given = [part for part in parts if part.line == main]
            for part in parts:
                root = part.line.root
                if part.line.origin is not Origin.LEFT or told_by_the_leads(case, root) or told_as_clash(case, root):
                    continue
                stray = found.setdefault(root, _Stray(root, [], {}, {}))
                if take.roll not in stray.rolls:
                    stray.rolls.append(take.roll)
                stray.beside.update((other.key, None) for other in given)
                if part.key != root:
                    stray.carriers[part.key] = None
    return found


def _joined(case: Case, stray: _Stray) -> Finding:
    """The finding on a device that nobody gave the time."""
    device, run = case.setup.devices[stray.key], case.run
    first = min(stray.rolls, key=lambda roll: roll.start)
    came = [step for step in run.steps if step.what == "arrive" and stray.key in step.keys and step.at <= first.start]
    arrived = max(came, key=lambda step: step.at, default=None)
    beside = listed(map(case.setup.called, stray.beside))
    rolls, minutes = rolls_told(case, stray.rolls), minutes_of(stray.rolls)
    source = run.feeds[stray.key][0].source if run.feeds.get(stray.key) else next(iter(stray.beside))
    when = f"between {clock_of(case, arrived.at)} and" if arrived else "before"
    hang = listed(map(case.setup.called, stray.carriers))
    behind = f", and with {either('it', 'them')} of {hang}," if hang else ""
    opening = f"{either('arrives', 'arrive')} at {clock_of(case, arrived.at)} and " if arrived else ""
    return joined_without_a_jam.record.finding(
        at=arrived.event.place if arrived and arrived.event else device.timecode.source.place,
        says=f"{WHO} {opening}{either('is', 'are')} not jammed before {rolls} with {beside}",
        who=(device.called,),
        cause=(arrived.at if arrived else None, rolls, beside, hang),
        costs=Cost(
            f"labels of {WHO}{behind} in {rolls}, {say_duration(minutes * 60)} in all, are off by whatever "
            f"{either('it was', 'they were')} left at, seconds or hours",
            (Amount("takes off", len(stray.rolls), "takes"), Amount("time off", float(minutes), "min")),
            float(minutes),
        ),
        fix=Fix(
            f"Jam {WHO} from {case.setup.called(source)} {when} the roll at {clock_of(case, first.start)}, and compare "
            "a recorded clip",
            jam_added(case, [stray.key], source, arrived.at if arrived else _last_jam(case, first), first.start),
        ),
        also=tuple(Mention(roll.event.place, "a take that it is in") for roll in stray.rolls),
    )


def _last_jam(case: Case, roll: Roll) -> Fraction:
    """When the others were last jammed before a take; its beginning where they were not."""
    return max((jam.at for jam in case.run.jams if jam.at <= roll.start), default=roll.start)


# --- a jam that a part was given again -------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class HalfJam:
    """Two devices of a take that a jam of one of them has parted, past what is tolerated."""

    roll: Roll
    left_out: str
    """The device that was not jammed again, and that keeps the time of the first of the two."""
    parts: tuple[str, str]
    """The device of the take that bears its time, and the one beside it."""
    again: Handed
    """The jam of the others that it was left out of."""
    now: Offset
    """How far the two are apart by the end of the take."""
    together: Offset
    """How far they would be if it had been jammed with the others."""


def half_jams(case: Case) -> tuple[HalfJam, ...]:
    """All pairs that a jam of some has parted past the tolerance; who tells of drift leaves these to their rule."""
    return case.once(_half_jams)


def _half_jams(case: Case) -> tuple[HalfJam, ...]:
    tolerance = case.tolerance
    if tolerance is None or case.run.jams_taken_for_granted:
        return ()
    again = _jammed_again(case)
    return tuple(half for take in sync_takes(case) if again for half in _in_take(case, take, again, tolerance))


def _jammed_again(case: Case) -> set[tuple[str, Fraction]]:
    """The jams of devices that had the time already, by device and instant; a cure of a lost time is none."""
    found = set()
    for jam in case.run.jams:
        was, now = case.run.before(jam.target, jam.at).time, case.run.at(jam.target, jam.at).time
        if was is not None and now is not None and was.line == now.line and was.hands and was.line.origin not in LOST:
            found.add((jam.target, jam.at))
    return found


def _in_take(case: Case, take: Take, again: set[tuple[str, Fraction]], tolerance: Fraction) -> Iterator[HalfJam]:
    """The pairs of one take; of each device that was left out, the one that it is furthest from."""
    for parts in by_unit(case, take.parts).values():
        for line in dict.fromkeys(part.line for part in parts):
            together = [part for part in parts if part.line == line]
            hands = [hand for part in together for hand in part.time.hands if (hand.target, hand.at) in again]
            later = max(hands, key=lambda hand: hand.at, default=None)
            far, known = furthest(together, take.roll.end), dict[object, HalfJam | None]()
            for part in together if later else ():
                like = _alike(case, part)
                # Devices with clocks alike that were jammed together are as far off, each with its own name.
                if like not in known:
                    known[like] = _left_out(case, take.roll, part, far, later, tolerance)
                half = known[like]
                if half is not None and part.key != half.parts[1]:
                    yield replace(half, left_out=part.time.hands[-1].target, parts=(part.key, half.parts[1]))


def _alike(case: Case, part: Part) -> object:
    """What a device's error rests on: how good the clock is that keeps its time, and since which jam."""
    writer = case.setup.devices[part.writer]
    clock, pace = writer.clock, case.clock.root_of(part.writer).device
    last = part.time.hands[-1] if part.time.hands else None
    since = (last.at, last.source, last.let_go) if last else None
    own = pace if pace != part.writer or clock.runs.value else None
    fixed = part.state.device.offset.value
    return (clock.accuracy.value, clock.accuracy.assumed, clock.varying.value, own, since, fixed)


def _left_out(
    case: Case, roll: Roll, part: Part, far: list[Part], later: Handed | None, tolerance: Fraction
) -> HalfJam | None:
    """A device of a take that a later jam of others left out, with the one that it is furthest from."""
    last = part.time.hands[-1] if part.time.hands else None
    if last is None or last.let_go or later is None or later.at <= last.at:
        return None
    jammed = _as_if_jammed(case, part.time, last, later)
    pairs = [_pair(case, roll, part, jammed, other, later) for other in far if other is not part] if jammed else []
    parted = [each for each in pairs if each and each.together.worst <= tolerance < each.now.worst]
    return max(parted, key=lambda each: each.now.worst, default=None)


def _as_if_jammed(case: Case, time: Carried, last: Handed, later: Handed) -> Carried | None:
    """The time that a device would carry had it been jammed again from the same source with the others."""
    source = case.run.at(last.source, later.at).time
    if source is None or source.line != time.line:
        return None
    return replace(time, hands=(*source.hands, Handed(last.target, last.source, later.at, later.cause)))


def _pair(case: Case, roll: Roll, part: Part, jammed: Carried, other: Part, later: Handed) -> HalfJam | None:
    """Two devices at the end of a take, as they are and as they would be."""
    phases = case.phases
    beside = phases.of_time(other.key, other.time, roll.end)
    now = phases.apart(phases.of_time(part.key, part.time, roll.end), beside)
    together = phases.apart(phases.of_time(part.key, jammed, roll.end), beside)
    if now is None or together is None:
        return None
    return HalfJam(roll, part.time.hands[-1].target, (part.key, other.key), later, now, together)


@rule(
    Record(
        name="half-jammed-again",
        summary="Some devices are jammed again and others are not, and by the end of a take they have parted",
        level=Level.ERROR,
        hurts=Hurts.POST,
        mended=Mended.SET,
        why="A jam of some puts the morning's drift between them and the rest: who was jammed together drifts from the "
        "same moment on. After a power cycle a jam of one device is the cure; else all are jammed, or none.",
        sources=(PRACTICE, _DRIFT),
        answers=("late joiner or half-done re-jam",),
    )
)
def half_jammed_again(case: Case) -> Iterator[Yielded]:
    """A pair leaves the tolerance that would have kept it, had both been jammed when one was jammed again."""
    by_jam: dict[tuple[str, Fraction], list[HalfJam]] = {}
    for half in half_jams(case):
        by_jam.setdefault((half.left_out, half.again.at), []).append(half)
    for halves in by_jam.values():
        yield _half_jammed(case, halves)


def _half_jammed(case: Case, halves: list[HalfJam]) -> Finding:
    """The finding on a device that was left out of a jam."""
    worst = _worst_named(case, halves)
    again, device = worst.again, case.setup.devices[worst.left_out]
    at, end = clock_of(case, again.at), clock_of(case, worst.roll.end)
    jams = [jam for jam in case.run.jams if jam.at == again.at]
    jammed = listed(case.setup.called(jam.target) for jam in jams)
    one, other = map(case.setup.called, worst.parts)
    rolls = [half.roll for half in halves]
    facts = worst.now.facts
    tolerance, tolerated = case.setup.project.tolerance, case.tolerance or Fraction(0)
    within = "within" if worst.together.worst <= tolerated else "up to"
    apart = "" if worst.together.worst <= tolerated else " apart all the same"
    return half_jammed_again.record.finding(
        at=again.cause,
        says=f"{WHO} {either('is', 'are')} left out when {jammed} {'is' if len(jams) == 1 else 'are'} jammed again at "
        f"{at}, and {either('its', 'their')} labels stand beside theirs in {rolls_told(case, rolls)}",
        who=(device.called,),
        cause=("left out", again.at, rolls_told(case, rolls)),
        costs=Cost(
            f"by the end of the roll at {end} {one} may be {in_frames(case, worst.now.worst)} from {other}, where "
            f"{say_duration(tolerated)} is tolerated; jammed together they would be {within} "
            f"{say_duration(worst.together.worst)}{apart}{clocks_told(case, worst.now)}",
            (
                Amount("apart at the end of the take", float(worst.now.worst * 1000), "ms"),
                Amount("apart if jammed together", float(worst.together.worst * 1000), "ms"),
            ),
            float(worst.now.worst),
        ),
        fix=_all_or_none(case, worst, min(rolls, key=lambda roll: roll.start)),
        decided_by=(tolerance, *deciding(facts)),
        numbers_from=facts,
        also=tuple(Mention(roll.event.place, "a take that both are in") for roll in rolls),
    )


def _worst_named(case: Case, halves: list[HalfJam]) -> HalfJam:
    """Of the one that was left out and those beside it, the slates among them, the two that get farthest apart."""
    rolls = [half.roll for half in halves]
    found = [*halves]
    for take in sync_takes(case):
        if take.roll not in rolls:
            continue
        half = halves[rolls.index(take.roll)]
        parts = by_unit(case, (*take.parts, *take.slates))[case.domain_of(half.parts[0])]
        late = [part for part in parts if part.time.hands and part.time.hands[-1].target == half.left_out]
        fresh = [part for part in parts if (part.time.jammed_at or half.again.at) >= half.again.at]
        for part in late:
            jammed = _as_if_jammed(case, part.time, part.time.hands[-1], half.again)
            if jammed is not None:
                beside = [each for each in furthest(fresh, take.roll.end) if not _both_show(case, part, each)]
                pairs = [_pair(case, take.roll, part, jammed, other, half.again) for other in beside]
                found += [pair for pair in pairs if pair is not None]
    return max(found, key=lambda each: each.now.worst)


def _both_show(case: Case, one: Part, other: Part) -> bool:
    """Whether two are slates, which need not agree with one another."""
    return case.forecast.is_slate(one.key) and case.forecast.is_slate(other.key)


def _all_or_none(case: Case, half: HalfJam, first: Roll) -> Fix:
    """To jam the one that was left out with the others; where it was away then, before the take."""
    again, last = half.again, case.run.before(half.left_out, half.again.at)
    key = case.run.at(half.left_out, again.at)
    time = last.time
    source = case.setup.called(time.hands[-1].source if time and time.hands else again.source)
    if not key.working:
        return Fix(f"Jam {WHO} from {source} before the roll at {clock_of(case, first.start)}, and compare a clip")
    jam = next((jam for jam in case.run.jams if jam.at == again.at and jam.target == again.target), None)
    edits: tuple[Edit, ...] = ()
    if jam is not None and jam.event is not None:
        of = jam.event.under("of")
        if of is not None and half.left_out not in jam.event.of:
            place = Place((*jam.event.place.path, "of"), of.span)
            edits = (SetValue(place, f"[{', '.join((*jam.event.of, half.left_out))}]"),)
    return Fix(f"Jam {WHO} from {source} with the others at {clock_of(case, again.at)}: all or none", edits)


def deciding(facts: Iterable[Fact[Any]]) -> tuple[Fact[Any], ...]:
    """Of the facts behind an offset those that may have decided it; an assumed nothing has not."""
    return tuple(fact for fact in facts if fact.value or not fact.assumed)


RULES: tuple[Rule, ...] = (joined_without_a_jam, half_jammed_again)
