"""Units that each have a timecode of their own and record a scene together."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from fractions import Fraction

from synclint.day.moments import Roll
from synclint.findings import (
    Amount,
    CheckLine,
    Cost,
    Finding,
    Fix,
    Hurts,
    Level,
    Mended,
    Mention,
    Record,
    listed,
)
from synclint.rules.day_edits import jam_added
from synclint.rules.framework import MAIN_UNIT, Case, Rule, Yielded, rule
from synclint.rules.moments import clock_of, minutes_of, rolls_told
from synclint.rules.takes import LOST, Part, Take, by_unit, main_line, sync_takes
from synclint.rules.wording import PRACTICE, ppm_sum
from synclint.trade.drift import drift_seconds
from synclint.trade.quantities import say_duration

_QUARTER = 900
"""Seconds."""


@rule(
    Record(
        name="units-meet-without-a-common-jam",
        summary="Devices of two units with a timecode each are in one take, and no jam ties the units together",
        level=Level.ERROR,
        hurts=Hurts.POST,
        mended=Mended.SET,
        why="Each unit's master is right for its own. In a scene that they shoot together there are two times, and "
        "every cut between the units has to be found by eye.",
        sources=(PRACTICE,),
        answers=("units overlap in code and names, or meet with two masters",),
    )
)
def units_meet_without_a_common_jam(case: Case) -> Iterator[Yielded]:
    """A take with sync sound joins devices of units that share no timecode, on different lines of time."""
    record = units_meet_without_a_common_jam.record
    for unit in case.setup.units.values():
        line = f"Units {MAIN_UNIT} and {unit.key}: camera letters, reels and sound rolls of their own for each"
        yield CheckLine(record, Mended.MORNING, line, at=unit.place)
    meetings: dict[tuple[str, ...], list[Take]] = {}
    for take in sync_takes(case):
        apart = _apart(case, take)
        if len(apart) > 1:
            meetings.setdefault(tuple(apart), []).append(take)
    for units, takes in meetings.items():
        if case.run.jams_taken_for_granted:
            rolls = rolls_told(case, [take.roll for take in takes])
            line = f"Units {listed(units)} are together in {rolls}: jam one from the other's master before it"
            yield CheckLine(record, Mended.SET, line, at=takes[0].roll.event.place, by=takes[0].roll.start)
        else:
            yield _met(case, units, takes)


def _apart(case: Case, take: Take) -> dict[str, list[Part]]:
    """The units of a take that have no line of time in common; what one unit lost by itself is told elsewhere."""
    found: dict[str, list[Part]] = {}
    lines = set()
    for unit, parts in by_unit(case, take.parts).items():
        line = main_line(case, unit, take.roll, parts)
        if line.origin not in LOST and line not in lines:
            lines.add(line)
            found[unit] = parts
    return found


def _met(case: Case, units: tuple[str, ...], takes: list[Take]) -> Finding:
    """The finding on units that meet."""
    rolls = [take.roll for take in takes]
    first = min(takes, key=lambda take: take.roll.start)
    members = by_unit(case, first.parts)
    roots = [main_line(case, unit, first.roll, members[unit]).root for unit in units]
    masters = [case.setup.called(root) for root in roots]
    sides = [f"{listed(case.setup.called(part.key) for part in members[unit])} of {unit}" for unit in units]
    joining = dict.fromkeys(part.writer for unit in units[1:] for part in members[unit])
    start = clock_of(case, first.roll.start)
    jammed = _jammed_first(case, units, roots, [*joining, *_on_their_times(case, units[1:], first.roll)])
    accuracies = [case.setup.devices[root].clock.accuracy for root in roots if root in case.setup.devices]
    return units_meet_without_a_common_jam.record.finding(
        at=first.roll.event.place,
        says=f"{' record with '.join(sides)} in {rolls_told(case, rolls)}, on the times of {listed(masters)}, which "
        "no jam ties together",
        who=tuple(dict.fromkeys(case.setup.called(part.key) for unit in units for part in members[unit])),
        costs=_cost(minutes_of(rolls), ppm_sum(*accuracies)),
        fix=Fix(
            f"Before the roll at {start} jam {listed(map(case.setup.called, jammed))} from {masters[0]}, and compare "
            "recorded clips of both units",
            jam_added(case, jammed, roots[0], _free_before(case, first.roll), first.roll.start),
        ),
        numbers_from=accuracies,
        also=tuple(Mention(take.roll.event.place, "they are together here too") for take in takes if take != first),
    )


def _jammed_first(case: Case, units: tuple[str, ...], roots: list[str], joining: list[str]) -> list[str]:
    """Who is jammed so that the other units adopt the time: their masters, then whoever took the time from those."""
    adopted = [root for root in roots[1:] if root in case.setup.devices]
    hang = [key for key in joining if key not in adopted and case.domain_of(key) in units]
    return list(dict.fromkeys((*adopted, *hang)))


def _on_their_times(case: Case, units: Iterable[str], roll: Roll) -> Iterator[str]:
    """All of some units that runs by itself: their slates and spares adopt the time with the rest."""
    for key in case.run.histories:
        state = case.run.at(key, roll.start)
        if case.domain_of(key) in units and state.working and state.time is not None and not state.time.through:
            yield key


def _free_before(case: Case, roll: Roll) -> Fraction:
    """From when on a jam before a take is in no other one: a quarter of an hour before it, or where one just ended."""
    ends = (other.end for other in case.run.rolls if other.start < roll.start)
    return min(max([roll.start - _QUARTER, *ends]), roll.start)


def _cost(minutes: Fraction, total: Fraction | None) -> Cost:
    """How far two masters that nothing ties are apart, and for how long that is recorded."""
    says = f"set by hand the masters differ by whole seconds, in {say_duration(minutes * 60)} of takes"
    amounts = [Amount("time off", float(minutes), "min")]
    if total:
        an_hour = drift_seconds(total, 3600)
        says += f"; jammed alike in the morning they would part by up to {say_duration(an_hour)} an hour"
        amounts.append(Amount("parting", float(an_hour * 1000), "ms an hour"))
    return Cost(says, tuple(amounts), float(minutes))


RULES: tuple[Rule, ...] = (units_meet_without_a_common_jam,)
