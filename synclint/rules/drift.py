"""How long a jam holds: pairs that leave the tolerance before anybody jams again."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from fractions import Fraction
from itertools import combinations
from math import floor

from synclint.day.forecast import Gathering, Pair, Worst
from synclint.day.jams import Round
from synclint.day.moments import Handed, Roll
from synclint.findings import (
    WHO,
    Amount,
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
    Unjudged,
    either,
    listed,
)
from synclint.rules.clock_words import clocks_told, jams_told
from synclint.rules.day_windows import end_told, rest_of_day, set_anew, windows
from synclint.rules.fixed_delays import off_for_good
from synclint.rules.framework import Case, Rule, Yielded, rule
from synclint.rules.generations import deciding, half_jams
from synclint.rules.jammed_anew import mended_by_the_jam_anew
from synclint.rules.jamming import drifting_for_their_leads, jams_that_hand_on_drift
from synclint.rules.lost_lines import is_special
from synclint.rules.moments import clock_of, in_frames
from synclint.rules.takes import told_as_clash
from synclint.rules.wording import PRACTICE
from synclint.trade.quantities import say_duration, say_ppm

_SUM = Source("ms = 3.6 × ppm × hours, both clocks added: exact arithmetic", Confirmed.ARITHMETIC)

_MOST_COUNTED = 60
"""Of how many devices that are together every pair is looked at to count those that leave the tolerance."""
_MOST_PLANNED = 400
"""Up to how many devices, or devices times takes, it is worked out when to jam again: `check` is to stay quick."""
_FINEST = Fraction(1, 10)
"""The finest accuracy in ppm that is advised: what tuned generators keep for a day (common practice, no source)."""
_BARELY = Fraction(11, 10)
"""Up to how many times the tolerance a worst case is a warning only: accuracies are not stated to a tenth."""
_MOST_ROUNDS = 4
"""More jams than these in a day are no plan but a sign that a clock is too coarse for it."""


@dataclass(frozen=True, slots=True)
class _Leaving:
    """Devices that must agree for a while and do not: the first pair to leave the tolerance, and the worst."""

    gathering: Gathering
    """With those left out of which another rule tells."""
    roll: Roll | None
    at: Fraction
    first: Pair
    worst: Worst


@rule(
    Record(
        name="jam-holds-too-short",
        summary="Devices that must agree drift out of the tolerance before they are jammed again",
        level=Level.ERROR,
        hurts=Hurts.POST,
        mended=Mended.SET,
        why="A jam sets the time and not the speed: from then on every clock goes its own way, and the errors of two "
        "add up. In the morning all displays agree; in the afternoon post finds files a frame or more apart. Less than "
        "a tenth past the tolerance is a warning, since no accuracy is stated to a tenth.",
        sources=(_SUM, PRACTICE),
        answers=("re-jam interval longer than the drift budget",),
    )
)
def jam_holds_too_short(case: Case) -> Iterator[Yielded]:
    """The worst case of a pair that must agree is past the tolerance before the next jam, or the end."""
    tolerance = case.tolerance
    if tolerance is None:
        return
    yield from _unknown_clocks(case)
    found = [each for each in (_leaving(case, *meeting, tolerance) for meeting in meetings(case)) if each]
    if found and case.run.jams_taken_for_granted:
        first = min(found, key=lambda each: each.at)
        one, other = map(case.setup.called, (first.first.first, first.first.second))
        lacks = (
            f"when devices are jammed again (days: events: do: jam); the jam at the call alone holds {one} and {other} "
            f"until {clock_of(case, first.at)}"
        )
        yield Unjudged(jam_holds_too_short.record, case.setup.project.place, lacks, (one, other))
    elif found:
        yield _finding(case, found, tolerance)


def meetings(case: Case) -> list[tuple[Gathering, Roll | None]]:
    """Who must agree from when to when: in each take with sync sound, or from call to wrap where none is told."""
    gatherings = case.forecast.gatherings
    if case.forecast.takes:
        rolls = sorted(case.forecast.takes, key=lambda roll: roll.start)
        return list(zip(gatherings, rolls, strict=True))
    whole = gatherings[0]
    return [
        (replace(whole, start=max(day.call, case.run.start), end=day.wrap), None)
        for day in windows(case)
        if day.wrap > day.call
    ]


def _unknown_clocks(case: Case) -> Iterator[Unjudged]:
    """The devices of whose clocks nobody knows how good they are, where it counts."""
    if all(device.clock.accuracy.value is not None for device in case.setup.devices.values() if not device.through):
        return
    told: set[str] = set()
    for gathering, _ in meetings(case):
        lines: dict[object, list[frozenset[str]]] = {}
        for key in gathering.keys:
            time = case.run.before(key, gathering.end).time
            if time is not None:
                phase = case.phases.of_time(key, time, gathering.end)
                lines.setdefault(phase.line, []).append(frozenset(phase.lacking))
        for lacking in lines.values():
            # What all of them share is of no account.
            told |= frozenset().union(*lacking) - frozenset.intersection(*lacking)
    for key in sorted(told):
        device = case.setup.devices[key]
        lacks = f"how accurate the clock of {device.called} is (able: clock: accuracy)"
        yield Unjudged(jam_holds_too_short.record, device.clock.place, lacks, (device.called,))


# --- who leaves it ---------------------------------------------------------------------------------------------


def _leaving(case: Case, gathering: Gathering, roll: Roll | None, tolerance: Fraction) -> _Leaving | None:
    """The pairs of a gathering that leave the tolerance, those left out of which another rule tells."""
    keys = [key for key in gathering.keys if not _told(case, key, gathering.start, roll)]
    while len(keys) > 1:
        left = replace(gathering, keys=tuple(keys))
        found = case.forecast.first_beyond(left, tolerance)
        if found is None:
            return None
        at, pair = found
        aside = _aside(case, pair, at, roll, tolerance)
        if aside is None:
            worst, aside = _widest(case, left, at, roll, tolerance)
            if aside is None:
                return _Leaving(left, roll, at, pair, worst)
            pair = Pair(worst.first, worst.second, pair.kind)
        keys = _without(case, keys, aside, pair, gathering.start)
    return None


def _without(case: Case, keys: list[str], aside: str, pair: Pair, at: Fraction) -> list[str]:
    """Devices without one of a pair and all like it; where both are alike one stays, to be looked at with the rest."""
    like = _likeness(case, aside, at)
    other = pair.second if pair.first == aside else pair.first
    return [key for key in keys if key != aside and (key == other or like is None or _likeness(case, key, at) != like)]


def _likeness(case: Case, key: str, at: Fraction) -> object:
    """What two devices have in common that drift alike; None for one that follows another."""
    time, device = case.run.at(key, at).time, case.setup.devices[key]
    if time is None or time.through or case.phases.paces.at(key, at) != key:
        return None
    clock, more = device.clock, (device.timecode.jam_error, device.longest_take, device.offset, device.cls)
    facts = tuple(fact.value for fact in (clock.accuracy, clock.varying, clock.runs, clock.tunes_to, *more))
    return (facts, time.line, tuple((hand.at, hand.source, hand.let_go) for hand in time.hands))


def _widest(
    case: Case, gathering: Gathering, first: Fraction, roll: Roll | None, tolerance: Fraction
) -> tuple[Worst, str | None]:
    """The worst pair of a gathering, with a device of it to be left out if another rule tells of the pair."""
    forecast = case.forecast
    moments = set[Fraction]().union(*map(forecast.turns_of, gathering.keys))
    moments = {at for at in moments if first < at < gathering.end} | {gathering.end}
    if first == gathering.start:
        moments.add(first)
    cases = [each for each in (forecast.widest(gathering.keys, at) for at in sorted(moments)) if each is not None]
    if not cases:  # it is out at its start and right after: what was just before does not count
        moment = forecast.first_beyond(gathering, tolerance)
        cases = [_as_worst(case, moment[1], first)] if moment else []
    worst = max(cases, key=lambda each: each.offset.worst)
    pair = Pair(worst.first, worst.second, forecast.kind_of(worst.first, worst.second))
    return worst, _aside(case, pair, worst.at, roll, tolerance)


def _as_worst(case: Case, pair: Pair, at: Fraction) -> Worst:
    offset = case.phases.offset(pair.first, pair.second, at)
    if offset is None:
        raise AssertionError(pair)  # it was found to be past the tolerance
    return Worst(pair.first, pair.second, at, offset)


def _aside(case: Case, pair: Pair, at: Fraction, roll: Roll | None, tolerance: Fraction) -> str | None:
    """The device of a pair because of which another rule tells of it; none where this one is to."""
    for key in (pair.first, pair.second):
        if _told(case, key, at, roll):
            return key
    if mended_by_the_jam_anew(case, pair, at, roll, tolerance):
        return pair.first
    if roll is not None and at > roll.start:
        slip = case.forecast.take(pair.first, pair.second, roll.start, roll.length).slip
        if slip is not None and slip.worst > tolerance:  # a jam right before it would not do either
            shares = [share.name[1] for share in slip.error.shares if share.name[0] == "rate"]
            paced = {case.phases.paces.at(key, roll.start): key for key in (pair.first, pair.second)}
            return next((paced[name] for name in shares if name in paced), pair.second)
    return None


def _told(case: Case, key: str, at: Fraction, roll: Roll | None) -> bool:
    """Whether another rule tells why a device is off at an instant, or it is not meant to agree with anybody."""
    state = case.run.at(key, at)
    if is_special(state.device):
        return True
    time = state.time
    if time is None:
        return False
    for each in (key, *time.through):
        if each in drifting_for_their_leads(case) or told_as_clash(case, each) or off_for_good(case, each):
            return True
    if any((hand.target, hand.at) in jams_that_hand_on_drift(case) for hand in time.hands):
        return True
    outside = {each.device for each in case.measured.relatives.values() if each.outside}
    if any(hand.target in outside for hand in time.hands):
        return True
    if time.hands and _left_alone(case, time.hands[-1]):
        return True
    halves = [half for half in half_jams(case) if half.roll is roll] if roll else []
    return any(key == half.parts[0] or (time.jammed_at or half.again.at) < half.again.at for half in halves)


def _left_alone(case: Case, hand: Handed) -> bool:
    """Whether a follower goes on by itself because its source went or its link was lost, which is told as such."""
    whats = {"link lost"} | ({"power off", "leave"} if case.forecast.takes else set())
    return hand.let_go and any(step.at == hand.at and step.what in whats for step in case.run.steps)


# --- in words --------------------------------------------------------------------------------------------------


def _finding(case: Case, found: list[_Leaving], tolerance: Fraction) -> Finding:
    """The finding on the first pair to leave the tolerance, and what it comes to with the worst of all."""
    each = max(found, key=lambda one: one.worst.offset.worst)
    worst, first = each.worst, min(found, key=lambda one: one.at)
    pair = (first.first.first, first.first.second)
    jams = _jams_behind(case, first.first, first.at)
    until = case.forecast.held_until(*pair, tolerance, first.at)
    project, facts = case.setup.project, worst.offset.facts
    count = _count(case, each, tolerance)
    alone = count == 1 and {worst.first, worst.second} == set(pair)
    return jam_holds_too_short.record.finding(
        level=Level.WARNING if worst.offset.worst <= tolerance * _BARELY else None,
        at=_place(case, jams),
        says=f"{_hold(case, jams)} within the tolerance until {clock_of(case, until)} only, and "
        f"{_goes_on(case, first, until)}",
        who=tuple(map(case.setup.called, pair)),
        costs=_cost(case, each, first, count, tolerance),
        fix=Fix(f"{_plan(case, first.at)}{_accuracy(case, worst, tolerance) if alone else ''}"),
        decided_by=(project.tolerance, *deciding(facts)),
        numbers_from=deciding(facts),
        also=tuple(Mention(one.roll.event.place, "a take past the tolerance") for one in found if one.roll),
    )


def _hold(case: Case, jams: list[Handed]) -> str:
    """What holds them: `the jam at 07:00 holds cam_a and cam_b`; by themselves where they were never jammed."""
    if not jams:
        return f"{WHO} {either('holds', 'hold')}"
    return f"{jams_told(case, jams)} {'holds' if len({hand.at for hand in jams}) == 1 else 'hold'} {WHO}"


def _place(case: Case, jams: list[Handed]) -> Place:
    return max(jams, key=lambda hand: hand.at).cause if jams else case.setup.place


def _goes_on(case: Case, each: _Leaving, left: Fraction) -> str:
    """What goes on after they have left it."""
    if each.roll is not None:
        return f"they are in the roll at {clock_of(case, each.roll.start)}"
    pair = (each.first.first, each.first.second)
    times = [case.run.before(key, each.at).time for key in pair]
    clocks = [time.hands[-1].target for time in times if time is not None and time.hands]
    _, following = min(set_anew(case, key, left) for key in clocks or pair[:1])
    return f"they go on to {following}"


def _cost(case: Case, each: _Leaving, first: _Leaving, count: int, tolerance: Fraction) -> Cost:
    """How far apart the worst pair may be, when and since which jam, and how many pairs there are."""
    worst = each.worst
    when = clock_of(case, worst.at)
    if each.roll is not None and worst.at == each.roll.end:
        when = f"the end of the roll at {when}"
    elif each.roll is None and worst.at == rest_of_day(case, worst.at):
        when = end_told(case, worst.at)
    jams, named = _jams_behind(case, worst, worst.at), _jams_behind(case, first.first, first.at)
    if {hand.at for hand in jams} - {hand.at for hand in named}:
        when += f", after {jams_told(case, jams)},"
    apart = in_frames(case, worst.offset.worst)
    same = {worst.first, worst.second} == {first.first.first, first.first.second}
    they = "they" if same else f"{case.setup.called(worst.first)} and {case.setup.called(worst.second)}"
    says = f"by {when} {they} may be {apart} apart, where {say_duration(tolerance)} is tolerated"
    amounts = [Amount("apart at worst", float(worst.offset.worst * 1000), "ms")]
    if count > 1:
        says += f", and {count - 1} other {'pair is' if count == 2 else 'pairs are'} past it too"
        amounts.append(Amount("pairs past the tolerance", count, "pairs"))
    return Cost(f"{says}{clocks_told(case, worst.offset)}", tuple(amounts), float(worst.offset.worst))


def _jams_behind(case: Case, pair: Pair | Worst, at: Fraction) -> list[Handed]:
    """The last jams of two devices before an instant."""
    return [hand for key in (pair.first, pair.second) for hand in case.forecast.jams_behind(key, at)]


def _count(case: Case, each: _Leaving, tolerance: Fraction) -> int:
    """How many pairs are past the tolerance where it is worst; one where there are too many to look at."""
    keys, at, forecast = each.gathering.keys, each.worst.at, case.forecast
    if len(keys) > _MOST_COUNTED:
        return 1
    states = {key: forecast.just_before(key, at) for key in keys}
    phases = [(key, case.phases.of_time(key, state.time, at)) for key, state in states.items() if state.time]
    count = 0
    for (one, mine), (other, yours) in combinations(phases, 2):
        apart = case.phases.apart(mine, yours)
        slates = forecast.is_slate(one) and forecast.is_slate(other)
        count += apart is not None and apart.worst > tolerance and not slates
    return max(count, 1)


def _plan(case: Case, first: Fraction) -> str:
    """When to jam again, in words."""
    work = len(case.run.histories) * max(len(case.run.rolls), 1)
    plan = case.further_jams if work <= _MOST_PLANNED else None
    rounds = plan.rounds if plan else ()
    if not rounds:
        return f"Jam all again by {clock_of(case, first)}, outside of a roll"
    if len(rounds) > _MOST_ROUNDS:
        return (
            f"Leave a lead or a box on the coarsest clocks all day: to hold, all would have to be jammed "
            f"{len(rounds)} times more, first by {_by(case, rounds[0])}"
        )
    return f"Jam {_whom(case, rounds)} again {', and again '.join(_round(case, each) for each in rounds)}"


def _whom(case: Case, rounds: tuple[Round, ...]) -> str:
    """Who is jammed: all, and by a lead whoever has lost its link."""
    leads = dict.fromkeys(each for one in rounds for each in one.by_lead)
    told = listed(f"{case.setup.called(key)} from {case.setup.called(source)}" for key, source in leads)
    if not leads:
        return "all"
    return f"all, and {told} by a lead," if any(one.others for one in rounds) else f"{told} by a lead"


def _round(case: Case, each: Round) -> str:
    """One round of jams: `by 12:47:14 (in the break, at 12:40, will do)`, `right before the roll at 15:00`."""
    at, by = clock_of(case, each.at), _by(case, each)
    if each.in_break:
        begins = any(step.what == "break" and step.at == each.at for step in case.run.steps)
        when = f"in the break, {f'at {at}' if begins else f'from {at} on'}"
        return f"by {by} ({when}, will do)" if at != by else f"in the break, at {at}"
    if at != by:
        return f"at {at}, by {by} at the latest"
    rolls = any(roll.start == each.at for roll in case.run.rolls)
    return f"right before the roll at {by}" if rolls else f"at {by}"


def _by(case: Case, each: Round) -> str:
    return clock_of(case, each.at if each.by is None else each.by)


def _accuracy(case: Case, worst: Worst, tolerance: Fraction) -> str:
    """What a better clock in one of the two would do."""
    found: list[tuple[Fraction, str]] = []
    for share in worst.offset.error.shares:
        if share.name[0] == "rate":
            ppm = case.forecast.needed_accuracy(worst, share.name[1], tolerance)
            rounded = _rounded_down(ppm) if ppm is not None else Fraction(0)
            found += [(rounded, share.name[1])] if rounded >= _FINEST else []
    if not found:
        return "; a better clock in one of the two alone would not do"
    ppm, key = max(found)
    return f"; or with a clock of {say_ppm(ppm)} in {case.setup.called(key)} that pair would hold by itself"


def _rounded_down(ppm: Fraction) -> Fraction:
    """A wanted accuracy, never said laxer than it is."""
    steps = 100 if ppm < 10 else 10
    return Fraction(floor(ppm * steps), steps)


RULES: tuple[Rule, ...] = (jam_holds_too_short,)
