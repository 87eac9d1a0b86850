"""When to jam again, in words and clock times."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from synclint.day.clocktime import clock_of
from synclint.day.forecast import Forecast
from synclint.day.jams import Breach, Plan, Planner, Round
from synclint.drift.bounds import Bounds
from synclint.drift.needed import Accuracies
from synclint.drift.values import JamPlan, JamRound, Leaves
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
            added=tuple(map(self._round, self.further.plan.rounds)) if self._written_after(plan) else (),
            possible=plan.possible,
            needed=Accuracies(self.planner).told() if plan.morning_breach is not None else (),
        )

    def _written_after(self, plan: Plan) -> bool:
        """Whether more is needed, and it makes a difference whether jams written after the morning's are kept."""
        return not plan.holds and any(jam.at > self.planner.morning for jam in self.forecast.run.jams)

    def _round(self, each: Round) -> JamRound:
        return JamRound(
            each.at,
            clock_of(self.setup, each.at),
            None if each.by is None else clock_of(self.setup, each.by),
            self._break_at(each.at) if each.in_break else None,
            each.by,
            tuple((self.setup.called(one), self.setup.called(other)) for one, other in each.by_lead),
            each.others,
        )

    def _leaves(self, breach: Breach | None, forecast: Forecast) -> Leaves | None:
        if breach is None:
            return None
        pair = (breach.pair.first, breach.pair.second)
        until = forecast.held_until(*pair, self.planner.tolerance, breach.at)
        one, other = map(self.setup.called, pair)
        clock = clock_of(self.setup, breach.at)
        return Leaves(breach.at, clock, one, other, clock_of(self.setup, until), self._why(breach, forecast))

    @staticmethod
    def _why(breach: Breach, forecast: Forecast) -> str:
        """Why a pair has no bound; nothing where it leaves the tolerance."""
        if not breach.lost:
            return ""
        one, other = ((key, forecast.run.at(key, breach.at)) for key in (breach.pair.first, breach.pair.second))
        return Bounds(forecast).why(*one, *other, breach.at).removeprefix("no bound: ")

    def _break_at(self, at: Fraction) -> str:
        """The break that an instant is in: from when to when."""
        breaks = (step for step in self.forecast.run.steps if step.what == "break" and step.until)
        step = next(each for each in breaks if each.at <= at <= (each.until or at))
        return f"{clock_of(self.setup, step.at)} to {clock_of(self.setup, step.until or at)}"
