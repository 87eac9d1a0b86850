"""Devices that are set by hand, each from the clock on the wall."""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction

from synclint.day.moments import Origin, Timeline
from synclint.day.schedule import Step
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
    Record,
    Source,
    either,
    listed,
)
from synclint.rules.framework import Case, Rule, Yielded, rule
from synclint.rules.lost_lines import Use, first_use, use_amounts, use_of_both, use_told
from synclint.rules.moments import clock_of
from synclint.rules.takes import told_by_the_leads
from synclint.rules.wording import PRACTICE
from synclint.trade.labels import label_speed
from synclint.trade.quantities import say_duration, say_number
from synclint.trade.rates import LabelRate

_SUM = Source("exact arithmetic", Confirmed.ARITHMETIC)
_HAND = Fraction(1)
"""How far two settings by hand lie apart, in seconds (common practice, no source)."""
_WALL_CLOCK = "wall clock"


@rule(
    Record(
        name="set-by-the-clock-apart",
        summary="Devices that are cut together are each set by hand from the clock on the wall",
        level=Level.ERROR,
        hurts=Hurts.POST,
        mended=Mended.MORNING,
        why="Labels at 23.976 and 29.97 NDF lose 3.6 s an hour on the clock on the wall. Set from it at different "
        "times two cameras are apart for ever, and each looked right at the moment it was set. Even at one moment, or "
        "at 24, 25 and 30, two hands are a second apart.",
        sources=(_SUM, PRACTICE),
        answers=("cameras set from wall clock at different moments, fractional rate",),
    )
)
def set_by_the_clock_apart(case: Case) -> Iterator[Yielded]:
    """Two times that were set by hand on clocks of their own are recorded beside each other."""
    lines = _set_by_hand(case)
    for unit in dict.fromkeys(case.domain_of(line.root) for line in lines):
        ours = [line for line in lines if case.domain_of(line.root) == unit]
        first = _first_of(case, ours)
        for line in ours:
            # One that listens to a port was never jammed, or no more: told where jams are judged.
            if line.root == first.root or not told_by_the_leads(case, line.root):
                continue
            use = use_of_both(case, line, first)
            if use is not None:
                yield _finding(case, first, line, use)


def _set_by_hand(case: Case) -> list[Timeline]:
    """All times that were set by hand, in the order in which they were set."""
    lines = {
        state.time.line: None
        for states in case.run.histories.values()
        for state in states
        if state.time is not None and state.time.line.origin is Origin.SET
    }
    return sorted(lines, key=lambda line: (line.since, line.root))


def _first_of(case: Case, lines: list[Timeline]) -> Timeline:
    """The time that the others are told against: the master's, else that which labels most, else the first."""
    meant = case.setup.project.master_timecode.value
    return max(lines, key=lambda line: (line.root == meant, len(case.labelled_by.get(line.root, ())), -line.since))


def _finding(case: Case, first: Timeline, line: Timeline, use: Use) -> Finding:
    """The finding on a device that was set by hand beside another."""
    one, other = case.setup.called(first.root), case.setup.called(line.root)
    apart = _by_the_clock(case, first, line)
    tolerance = case.tolerance
    at_once = first.since == line.since
    when = "at that moment too" if at_once else f"at {clock_of(case, first.since)}"
    return set_by_the_clock_apart.record.finding(
        at=line.cause,
        level=None if apart and (tolerance is None or apart > tolerance) else Level.WARNING,
        says=f"{WHO} {either('is', 'are')} set by hand at {clock_of(case, line.since)} and {one} {when}, and neither "
        f"is jammed from the other before {use.before(case)}",
        who=(other,),
        cause=(first, line.since, apart, use.when),
        also=() if first.cause == line.cause else (Mention(first.cause, f"the setting of {one}"),),
        costs=_cost(case, first, line, use, apart),
        fix=Fix(
            f"Jam {WHO} from {one} between {clock_of(case, max(line.since, first.since))} and {first_use(case, use)}, "
            "by lead; no hand sets to the frame"
        ),
    )


def _by_the_clock(case: Case, first: Timeline, line: Timeline) -> Fraction:
    """How far two times lie apart, in seconds, because labels fell behind the wall between the two settings."""
    rates = [_rate(case, each) for each in (first, line)]
    if any(_set_from(case, each) != _WALL_CLOCK for each in (first, line)) or None in rates:
        return Fraction(0)
    speeds = {label_speed(rate) for rate in rates if rate is not None}
    behind = 1 - speeds.pop()
    return abs(line.since - first.since) * abs(behind) if not speeds else Fraction(0)


def _rate(case: Case, line: Timeline) -> LabelRate | None:
    """The rate at which a device counted when it was set."""
    return case.run.at(line.root, line.since).device.timecode.rate.value or case.setup.project.rate.value


def _set_from(case: Case, line: Timeline) -> str:
    """What a device was set by: the clock on the wall where nobody says."""
    step = next((each for each in _settings(case) if each.at == line.since and line.root in each.keys), None)
    words = step.event.words("from") if step and step.event else ()
    return words[0] if words else _WALL_CLOCK


def _settings(case: Case) -> Iterator[Step]:
    return (step for step in case.run.steps if step.what == "set clock")


def _cost(case: Case, first: Timeline, line: Timeline, use: Use, apart: Fraction) -> Cost:
    """How far apart they are by the clock, and by the hand."""
    carriers, beside = (listed(map(case.setup.called, keys)) for keys in (use.carriers, use.beside))
    where = f"{use_told(case, use)}, {carriers} beside {beside}"
    hand = Amount("apart by hand", float(_HAND), "s")
    rate = _rate(case, line)
    if not apart:
        frames = f", {say_number(_HAND * rate.rate.fps, 4)} frames" if rate else ""
        says = f"two settings by hand are up to {say_duration(_HAND)}{frames}, apart: {where}"
        return Cost(says.replace("frames, apart", "frames apart"), (hand, *use_amounts(use)), float(_HAND))
    between = abs(line.since - first.since)
    name = rate.name if rate else "their"
    says = (
        f"in the {say_duration(between)} between the two {name} labels fell {say_duration(apart)} behind the watch: "
        f"they are that far apart, give or take a second, in {where}"
    )
    amounts = (Amount("apart by the clock", float(apart), "s"), hand, *use_amounts(use))
    return Cost(says, amounts, float(apart))


RULES: tuple[Rule, ...] = (set_by_the_clock_apart,)
