"""When to jam again, in words and clock times, and what accuracy would spare it."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from synclint.day.clocktime import clock_of
from synclint.day.forecast import Forecast, Worst
from synclint.day.jams import Breach, Plan, Planner, Round
from synclint.drift.pairs import Pairs
from synclint.drift.values import JamPlan, JamRound, Leaves, Needed
from synclint.rig.model import Setup


@dataclass(frozen=True)
class Planned:
    """The plans of two planners, told: of one that plans anew, and of one that keeps what is written."""

    planner: Planner
    further: Planner
    forecast: Forecast

    @property
    def setup(self) -> Setup:
        """The setup that is planned for."""
        return self.planner.setup

    def told(self) -> JamPlan:
        """The plan for people."""
        plan, run = self.planner.plan, self.forecast.run
        jams = sorted({jam.at for jam in run.jams})
        return JamPlan(
            holds=plan.holds,
            jams=tuple(clock_of(self.setup, at) for at in jams),
            granted=run.jams_taken_for_granted,
            leaves=self._leaves(plan.first_breach, self.planner.planned),
            logged=any(step.logged and step.what == "jam" for step in run.steps),
            morning=clock_of(self.setup, self.planner.morning),
            morning_leaves=self._leaves(plan.morning_breach, self.planner.alone),
            rounds=tuple(map(self._round, plan.rounds)),
            added=()
            if plan.holds or not self._written_after(plan)
            else tuple(map(self._round, self.further.plan.rounds)),
            possible=plan.possible,
            needed=self._needed() if plan.morning_breach is not None else (),
        )

    def _written_after(self, plan: Plan) -> bool:
        """Whether jams are written after the morning's, so that it makes a difference whether they are kept."""
        return any(jam.at > self.planner.morning for jam in self.forecast.run.jams) and plan.first_breach is not None

    def _round(self, each: Round) -> JamRound:
        return JamRound(
            each.at,
            clock_of(self.setup, each.at),
            None if each.by is None else clock_of(self.setup, each.by),
            self._break_at(each.at) if each.in_break else None,
        )

    def _leaves(self, breach: Breach | None, forecast: Forecast) -> Leaves | None:
        if breach is None:
            return None
        pair = (breach.pair.first, breach.pair.second)
        until = forecast.held_until(*pair, self.planner.tolerance, breach.at)
        one, other = map(self.setup.called, pair)
        return Leaves(breach.at, clock_of(self.setup, breach.at), one, other, clock_of(self.setup, until))

    def _break_at(self, at: Fraction) -> str:
        """The break that an instant is in: from when to when."""
        breaks = (step for step in self.forecast.run.steps if step.what == "break" and step.until)
        step = next(each for each in breaks if each.at <= at <= (each.until or at))
        return f"{clock_of(self.setup, step.at)} to {clock_of(self.setup, step.until or at)}"

    # --- what accuracy would do ---

    def _needed(self) -> tuple[Needed, ...]:
        """For each device whose clock counts where the morning's jam does not do: what accuracy of it alone would."""
        cases = self._beyond()
        if not cases:
            return ()
        phases = self.forecast.phases
        pacers = dict.fromkeys(
            phases.pace_of(key) for case in sorted(cases, key=_size, reverse=True) for key in self._clocks(case)
        )
        return tuple(self._needed_of(key, cases) for key in pacers)

    def _beyond(self) -> list[Worst]:
        """Every worst case beyond the tolerance, were there no jams but the morning's."""
        alone = Pairs(self.planner.alone)
        return [case for case in alone.beyond(self.planner.tolerance) if case.at > self.planner.morning]

    @staticmethod
    def _clocks(case: Worst) -> list[str]:
        """The devices whose rates count in a worst case, the largest share first."""
        return [share.name[1] for share in case.offset.error.shares if share.name[0] == "rate"]

    def _needed_of(self, key: str, cases: list[Worst]) -> Needed:
        """The accuracy at which a device alone would mend every case; there is none if one has another cause too."""
        device = self.setup.devices[key]
        needed: Fraction | None = None
        for case in cases:
            ppm = self.forecast.needed_accuracy(case, key, self.planner.tolerance)
            if ppm is None:
                return Needed(device.called, None, device.clock.accuracy.value)
            needed = ppm if needed is None else min(needed, ppm)
        return Needed(device.called, needed, device.clock.accuracy.value)


def _size(case: Worst) -> Fraction:
    return case.offset.worst
