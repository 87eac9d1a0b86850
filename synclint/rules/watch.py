"""Labels set to the time of day that part from the watches people log by."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction

from synclint.day.clocktime import DayClock, day_clocks
from synclint.findings import (
    Amount,
    CheckLine,
    Confirmed,
    Cost,
    Fix,
    Hurts,
    Level,
    Mended,
    Mention,
    Record,
    SetValue,
    Source,
)
from synclint.rules.framework import MAIN_UNIT, Case, Rule, Yielded, rule
from synclint.rules.label_rates import HOUR, clear, standards
from synclint.rules.moments import clocks_moved
from synclint.trade.quantities import say_clock, say_duration, say_number

_SUM = Source("exact arithmetic on 1000/1001", Confirmed.ARITHMETIC)
_BEHIND = Fraction(1, 1001)
"""How far labels at 23.976 or 29.97 NDF fall behind in a second."""


@dataclass(frozen=True, slots=True)
class _Stretch:
    """Labels from the instant at which they were right to the wrap of their day."""

    clock: DayClock
    since: Fraction
    until: Fraction
    by_hand: bool
    """Whether a clock is set at its start; else they are taken to be right at call."""

    @property
    def behind(self) -> Fraction:
        """Seconds by which they have fallen behind at its end."""
        return _BEHIND * (self.until - self.since)


@rule(
    Record(
        name="non-drop-labels-as-wall-clock",
        summary="Takes are logged by a watch while non-drop labels at 23.976 or 29.97 fall behind it",
        level=Level.WARNING,
        hurts=Hurts.TIME,
        mended=Mended.MORNING,
        why=(
            "An hour of labels at 23.976 or 29.97 NDF lasts 3603.6 s. Labels set to the time of day fall behind every "
            "watch, so who looks for a take by a log from a watch looks in the wrong place."
        ),
        sources=(_SUM, Source("ST 12-1:2014, rates of 1000/1001", Confirmed.TABULATED)),
        answers=("fractional non-drop code used as the wall clock",),
    )
)
def non_drop_labels_as_wall_clock(case: Case) -> Iterator[Yielded]:
    """Compare the labels of a day with a watch."""
    record, project = non_drop_labels_as_wall_clock.record, case.setup.project
    standard = standards(case).get(MAIN_UNIT)
    if project.timecode_as.value != "time of day" or standard is None or not clear(standard.rate):
        return
    rate = standard.rate
    if not rate.rate.fractional or rate.drop or project.logged_by.value == "timecode display":
        return
    hourly = Amount("labels behind the clock", float(_BEHIND * HOUR), "s an hour")
    costs = _by_wrap(
        case, f"{rate.name} labels fall behind the watch by {say_number(_BEHIND * HOUR, 4)} s an hour", hourly
    )
    if project.logged_by.value != "watch":
        line = f"Log takes by a timecode display and not by a watch: {costs.says}"
        yield CheckLine(record, Mended.MORNING, line, at=standard.fact.place)
        return
    yield record.finding(
        at=project.logged_by.place,
        says=f"takes are logged by a watch, and the labels are the time of day counted at {rate.name}",
        costs=costs,
        fix=Fix("Log by a timecode display", (SetValue(project.logged_by.place, "timecode display"),)),
        decided_by=(project.timecode_as, project.logged_by, standard.fact),
        also=(Mention(standard.fact.place, f"{standard.by} counts {rate.name}"),),
    )


def _by_wrap(case: Case, says: str, hourly: Amount) -> Cost:
    """What labels fall behind by wrap, the clocks being moved told, and from day to day where there are several."""
    amounts = [hourly]
    worst = max(_stretches(case), key=lambda each: each.behind, default=None)
    if worst is not None:
        amounts.append(Amount("labels behind the clock at wrap", float(worst.behind), "s"))
        right = f"set right at {say_clock(worst.clock.shows(worst.since))}" if worst.by_hand else "right at call"
        wrap = say_clock(worst.clock.shows(worst.until))
        says += f", {say_duration(worst.behind)} by wrap ({wrap}) if they were {right}"
        moved = clocks_moved(case, worst.since, worst.until)
        if moved:
            says += f"; {moved}, and the labels do not go with them"
    if len(case.setup.days) > 1:
        says += f", {say_duration(_BEHIND * 24 * HOUR)} from one day to the next unless set anew"
    return Cost(says, tuple(amounts), float(_BEHIND))


def _stretches(case: Case) -> Iterator[_Stretch]:
    """For each day from call to wrap how long labels run on after the last setting by hand."""
    for clock in day_clocks(case.setup):
        if clock.day.call.value is None or clock.day.wrap.value is None:
            continue
        call, wrap = clock.call, clock.instant(clock.day.wrap.value)
        settings = [step.at for step in case.run.steps if step.what == "set clock" and call <= step.at < wrap]
        if wrap > call:
            yield _Stretch(clock, max(settings, default=call), wrap, bool(settings))


RULES: tuple[Rule, ...] = (non_drop_labels_as_wall_clock,)
