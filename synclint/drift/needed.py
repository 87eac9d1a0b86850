"""What accuracy of one device alone would spare all jams but the first."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from fractions import Fraction

from synclint.day.forecast import Forecast, Worst
from synclint.day.jams import Planner
from synclint.drift.values import Needed

_MOST_TRIES = 12
"""How often an accuracy is tightened; each time for a pair that was not yet the widest of a moment."""


@dataclass(frozen=True)
class Accuracies:
    """The accuracies at which the days would hold without the rounds of a plan."""

    planner: Planner

    def told(self) -> tuple[Needed, ...]:
        """For each clock that counts in the widest pair of a moment past the tolerance; no other could mend that."""
        alone = self.planner.alone
        cases = self._beyond(alone)
        if not cases or self.planner.lost(alone, self.planner.since) is not None:
            return ()  # where a master is set anew no accuracy spares the jam after it
        cases.sort(key=_size, reverse=True)
        clocks = (share.name for case in cases for share in case.offset.error.shares)
        pacers = dict.fromkeys(alone.phases.pace_of(name[1]) for name in clocks if name[0] == "rate")
        return tuple(self._needed(key, cases) for key in pacers)

    def _beyond(self, forecast: Forecast) -> list[Worst]:
        """The widest pair of each moment after the first jam at which it is beyond the tolerance."""
        found = []
        for gathering in self.planner.windows(forecast, self.planner.since):
            found += [case for case in forecast.worst_in(gathering) if case.offset.worst > self.planner.tolerance]
        return found

    def _needed(self, key: str, cases: list[Worst]) -> Needed:
        """The accuracy at which a device alone would mend every case; there is none if one has another cause too.

        What mends the widest pairs may leave others past the tolerance; these are the widest then, and it is tightened.
        """
        device = self.planner.setup.devices[key]
        forecast, needed = self.planner.alone, None
        for _ in range(_MOST_TRIES):
            ppm = _least(forecast.needed_accuracy(case, key, self.planner.tolerance) for case in cases)
            if ppm is None:
                break
            needed = ppm
            forecast = self.planner.alone.at_accuracy(key, needed)
            cases = self._beyond(forecast)
            if not cases:
                return Needed(device.called, needed, device.clock.accuracy.value)
        return Needed(device.called, None, device.clock.accuracy.value)


def _least(accuracies: Iterable[Fraction | None]) -> Fraction | None:
    """The finest of some accuracies; None where one of them is none."""
    found = list(accuracies)
    return None if None in found else min(filter(None, found))


def _size(case: Worst) -> Fraction:
    return case.offset.worst
