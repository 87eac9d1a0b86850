"""Whose oscillator paces each device, from one change to the next.

A device that takes its pace from a reference goes at that of the device at the end of the chain for as long as the
chain is whole; where a link of it is lost or its source is off, the device before the gap runs by itself.
"""

from __future__ import annotations

from bisect import bisect_right
from collections import defaultdict
from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction

from synclint.day.outages import Outage, darkened, outages
from synclint.day.run import OUTSIDE, Run
from synclint.rig.graphs import OUTSIDE_TIME, ClockGraph, Feed, followed, paced_from
from synclint.rig.model import OWN_CLOCK, End

STAYS_ALONE = "stays on its own clock"
"""Of a device that does not follow its reference again by itself once it has failed."""


@dataclass(frozen=True, slots=True)
class Pace:
    """Whose oscillator paces a device from an instant on; `outside` where its pace comes from outside the rig."""

    since: Fraction
    key: str


class Paces:
    """Who paces whom through the days."""

    def __init__(self, run: Run, clock: ClockGraph) -> None:
        """Take the run and who paces whom while nothing is lost."""
        self.run = run
        self.clock = clock
        self._histories: dict[str, tuple[Pace, ...]] = {}
        self._outages: dict[int, list[Outage]] = defaultdict(list)
        """For each link, by identity, when it is lost."""
        moments: set[Fraction] = set()
        for each in (*outages(run.setup, run.steps), *darkened(run.setup, run.steps)):
            moments |= {each.start} if each.end is None else {each.start, each.end}
            for link in each.links:
                self._outages[link].append(each)
        self._moments = sorted(moments)

    def at(self, key: str, instant: Fraction) -> str:
        """The device whose oscillator paces another at an instant, or `outside`."""
        history = self.history(key)
        return history[max(0, bisect_right(history, instant, key=lambda pace: pace.since) - 1)].key

    def between(self, key: str, start: Fraction, end: Fraction) -> Iterator[tuple[Fraction, Fraction, str]]:
        """The stretches from one instant to another, each with whose oscillator paces a device over it."""
        history = self.history(key)
        index = max(0, bisect_right(history, start, key=lambda pace: pace.since) - 1)
        while start < end:
            until = min(end, history[index + 1].since) if index + 1 < len(history) else end
            yield start, until, history[index].key
            start, index = until, index + 1

    def history(self, key: str) -> tuple[Pace, ...]:
        """Who paces a device, from change to change; the first holds before the days too."""
        if key not in self._histories:
            self._histories[key] = self._run_through(key)
        return self._histories[key]

    def _run_through(self, key: str) -> tuple[Pace, ...]:
        start = self.run.start
        if all(paced_from(state.device) == OWN_CLOCK for state in self.run.histories[key]):
            return (Pace(start, key),)
        found: list[Pace] = []
        at: Fraction | None = start
        while at is not None:
            pace, watched = self._walk(key, at)
            if found and found[-1].key == key and self._stays_alone(key, at):
                pace = key
            if not found or found[-1].key != pace:
                found.append(Pace(at, pace))
            at = self._next(watched, at)
        return tuple(found)

    def _stays_alone(self, key: str, at: Fraction) -> bool:
        """Whether a device that has lost its reference goes on by itself, though it is back, until it is touched."""
        state, before = self.run.at(key, at), self.run.before(key, at)
        touched = state.device is not before.device or state.working != before.working
        return state.device.clock.on_loss.value == STAYS_ALONE and not touched

    def _next(self, watched: set[str], at: Fraction) -> Fraction | None:
        """The next instant at which anything changes that a pace hangs on."""
        following = bisect_right(self._moments, at)
        later = self._moments[following : following + 1]
        for key in watched:
            states = self.run.histories[key]
            index = bisect_right(states, at, key=lambda state: state.since)
            later += [states[index].since] if index < len(states) else []
        return min(later, default=None)

    def _walk(self, key: str, at: Fraction) -> tuple[str, set[str]]:
        """Who paces a device at an instant, and all devices that were looked at to tell."""
        watched, current = {key}, key
        chain: set[str] = set()
        while current not in chain:
            chain.add(current)
            state = self.run.at(current, at)
            source = paced_from(state.device)
            if source == OWN_CLOCK or not state.working:
                return current, watched
            if source is None:
                break
            feeds = followed(self.clock.feeds_at(End(current, source)))
            watched |= {feed.source for feed in feeds}
            alive = next((feed for feed in feeds if self._is_alive(feed, at)), None)
            if alive is not None:
                current = alive.source
                continue
            port = state.device.ports.get(source)
            if port is not None and not OUTSIDE_TIME.isdisjoint(port.takes.value or ()):
                return OUTSIDE, watched
            return (current if feeds else key), watched
        return key, watched  # it goes round, or nobody knows where it comes from: by itself

    def _is_alive(self, feed: Feed, at: Fraction) -> bool:
        """Whether a feed brings anything at an instant."""
        lost = any(each.holds(at) for link in feed.links for each in self._outages.get(id(link), ()))
        return not lost and self.run.at(feed.source, at).working
