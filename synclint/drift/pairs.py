"""The pairs that must agree: the worst of each kind, the worst of each take, and those that have no bound."""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from collections import Counter
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace
from fractions import Fraction
from functools import cached_property
from itertools import pairwise

from synclint.day.forecast import Forecast, Pair, TakeOffset, Worst
from synclint.day.moments import State
from synclint.day.phases import Phase
from synclint.day.telling import ONE_ROUND
from synclint.trade.clocks import ErrorSum, Unknown


@dataclass(frozen=True, slots=True)
class Gap:
    """A take, or where none is told a stretch of the days, in which two have a time each and no bound between them."""

    since: Fraction
    """When the take begins, or the stretch."""
    at: Fraction
    """From when on they have no bound."""
    until: Fraction
    """When the take ends, or the stretch."""
    one: State
    two: State


@dataclass(frozen=True)
class Pairs:
    """The worst cases of the pairs of a forecast."""

    forecast: Forecast

    @cached_property
    def _takes_of(self) -> dict[str, frozenset[int]]:
        """The takes that each device is in, by their numbers; a slate is in all of them."""
        forecast = self.forecast
        return {
            key: frozenset(
                number for number, roll in enumerate(forecast.takes) if key in roll.devices or forecast.is_slate(key)
            )
            for key in forecast.labelled
        }

    def moments(self, pair: Pair) -> Iterator[tuple[Fraction, State, State]]:
        """When the worst case of a pair can be largest, with what the two are then.

        These are the edges inside its takes, or of the days where no take is told. From change to change a worst case
        is convex, so of all moments between two changes the outermost do.
        """
        turns = sorted(self.forecast.turns_of(pair.first) | self.forecast.turns_of(pair.second))
        kept: dict[int, list[tuple[Fraction, State, State]]] = {}
        for at, from_then_on in sorted(self._edges(pair, turns)):
            state = self.forecast.run.at if from_then_on else self.forecast.run.before
            place = (bisect_right if from_then_on else bisect_left)(turns, at)
            kept.setdefault(place, []).append((at, state(pair.first, at), state(pair.second, at)))
        for each in kept.values():
            yield each[0]
            if len(each) > 1:
                yield each[-1]

    def _edges(self, pair: Pair, turns: list[Fraction]) -> set[tuple[Fraction, bool]]:
        """The edges, each with whether what follows it is meant or what goes before it."""
        forecast = self.forecast
        if not forecast.takes:
            return {(at, False) for at in (*turns, forecast.run.end) if at > forecast.run.start}
        rolls = [forecast.takes[each] for each in self._takes_of[pair.first] & self._takes_of[pair.second]]
        found = {(roll.start, True) for roll in rolls} | {(roll.end, False) for roll in rolls}
        return found | {
            (at, side) for roll in rolls for at in turns if roll.start < at < roll.end for side in (False, True)
        }

    def worst_cases(self, pair: Pair) -> Iterator[Worst]:
        """The worst cases of a pair at those moments, where it has a bound."""
        for at, one, two in self.moments(pair):
            offset = self.apart(pair, one, two, at)
            if offset is not None:
                yield offset

    def apart(self, pair: Pair, one: State, two: State, at: Fraction) -> Worst | None:
        """How far a pair may be apart in given states at an instant; None where that has no bound."""
        if one.time is None or two.time is None:
            return None
        phases = self.forecast.phases
        offset = phases.apart(phases.of_time(pair.first, one.time, at), phases.of_time(pair.second, two.time, at))
        return None if offset is None else Worst(pair.first, pair.second, at, offset)

    # --- where there is no bound ---

    def gaps(self, first: str, second: str) -> Iterator[Gap]:
        """Where two have no bound though both show a time, in the order of time."""
        pair = Pair(first, second, self.forecast.kind_of(first, second))
        turns = sorted(self.forecast.turns_of(first) | self.forecast.turns_of(second))
        if not self.forecast.takes:
            yield from self._lasting(pair, turns)
            return
        known: dict[int, bool] = {}  # between two changes there is a bound all the time, or none
        none = frozenset[int]()
        shared = self._takes_of.get(first, none) & self._takes_of.get(second, none)
        for roll in sorted((self.forecast.takes[each] for each in shared), key=lambda roll: roll.start):
            for at in (roll.start, *(at for at in turns if roll.start < at < roll.end)):
                place, (one, two) = bisect_right(turns, at), (self.forecast.run.at(key, at) for key in (first, second))
                if place not in known:
                    known[place] = self._unbounded(pair, one, two, at)
                if known[place]:
                    yield Gap(roll.start, at, roll.end, one, two)
                    break

    def _unbounded(self, pair: Pair, one: State, two: State, at: Fraction) -> bool:
        """Whether two have a time each and no bound between them; what is off shows nothing that could be wrong."""
        return one.time is not None and two.time is not None and self.apart(pair, one, two, at) is None

    def _lasting(self, pair: Pair, turns: list[Fraction]) -> Iterator[Gap]:
        """Where no take is told: the stretches without a bound, but for what is before the first jam or between two."""
        run = self.forecast.run
        found: list[Gap] = []
        held: Fraction | None = None
        for since, until in pairwise(sorted({run.start, *(at for at in turns if run.start < at < run.end), run.end})):
            one, two = run.at(pair.first, since), run.at(pair.second, since)
            if self._unbounded(pair, one, two, since):
                before = found.pop() if found and found[-1].until == since else Gap(since, since, until, one, two)
                found.append(replace(before, until=until))
            elif held is None and one.time is not None and two.time is not None:
                held = since
        for gap in found:
            if gap.until - gap.at > ONE_ROUND and (held is None or gap.at > held):
                yield gap

    @cached_property
    def different(self) -> tuple[Pair, ...]:
        """The pairs that must agree, those that show the very same times once."""
        found: dict[object, Pair] = {}
        for pair in self.forecast.pairs:
            told = sorted((self._signature(pair.first), self._signature(pair.second)))
            takes = self._takes_of[pair.first] & self._takes_of[pair.second]
            found.setdefault((pair.kind, *told, takes), pair)
        return tuple(found.values())

    def _signature(self, key: str) -> int:
        return self._signatures[key]

    @cached_property
    def _signatures(self) -> dict[str, int]:
        """Devices that show the very same time all day, by a number that they share."""
        numbers: dict[object, int] = {}
        found = {}
        histories = self.forecast.run.histories
        for key in self.forecast.labelled:
            shows = (self.forecast.phases.pace_of(key), *(self._shown(key, state) for state in histories[key]))
            found[key] = numbers.setdefault(shows, len(numbers))
        return found

    def _shown(self, key: str, state: State) -> object:
        """What time a device shows in a state: whose counter, with which history and how far off by known offsets."""
        if state.time is None:
            return state.since, None
        through = state.time.through
        ahead = self.forecast.phases.fixed(key, through)
        return state.since, through[-1] if through else key, state.time.line, state.time.hands, ahead

    def worst_of_kinds(self) -> list[tuple[Pair, Worst]]:
        """The worst pair of each kind, in the order in which the kinds are met."""
        best: dict[object, tuple[Pair, Worst]] = {}
        for pair in self.different:
            for case in self.worst_cases(pair):
                known = best.get(pair.kind)
                if known is None or case.offset.worst > known[1].offset.worst:
                    best[pair.kind] = (pair, case)
        return list(best.values())

    # --- takes ---

    def recording(self, keys: Iterable[str]) -> list[str]:
        """Those of some devices that make files with labels; of several that are the same in all, the first."""
        kept: dict[object, str] = {}
        for key in keys:
            if key in self._signatures and not self.forecast.is_slate(key):
                kept.setdefault((self._signatures[key], self.longest_of((key,))), key)
        return list(kept.values())

    def unlike(self, keys: list[str], start: Fraction, end: Fraction) -> list[str]:
        """Of devices that are interchangeable in a take two, and all others.

        Two are where their errors have the same terms, but for unknowns of the same bounds that each has alone: any
        third is then as far from the one as it may be from the other.
        """
        phases = self.forecast.phases
        parts: dict[str, tuple[Phase | None, ErrorSum]] = {}
        for key in keys:
            parts[key] = (phases.at(key, start), phases.paced(key, start, end)[0])
        met = Counter(name for parts_of in parts.values() for name in _names_in(parts_of))
        alike: dict[object, list[str]] = {}
        for key, (label, slip) in parts.items():
            lacking = (label.line, tuple(sorted(label.lacking))) if label is not None else ()
            sums = (_anonymous(label.error, met) if label is not None else (), _anonymous(slip, met))
            # One whose time changes meanwhile is like no other.
            changes = key if len(self.forecast.run.between(key, start, end)) > 1 else ""
            alike.setdefault((changes, lacking, self.longest_of((key,)), sums), []).append(key)
        kept = {key for group in alike.values() for key in group[:2]}
        return [key for key in keys if key in kept]

    def longest_of(self, keys: Iterable[str]) -> Fraction | None:
        """The longest clip that some devices can all make, where one of them says so."""
        devices = self.forecast.setup.devices
        stated = (devices[key].longest_take.value for key in keys)
        return min((each for each in stated if each is not None), default=None)

    def in_take(self, first: str, second: str, start: Fraction, end: Fraction) -> TakeOffset:
        """Two recordings in a take: its first clips or its last, whichever end farther apart."""
        length = min(filter(None, (end - start, self.longest_of((first, second)))))
        starts = dict.fromkeys((start, end - length))
        takes = [self.forecast.take(first, second, each, length) for each in starts]
        return max(takes, key=lambda take: -1 if take.total is None else take.total)

    def fits(self, take: TakeOffset, tolerance: Fraction) -> Fraction:
        """How long a take that leaves the tolerance may be, from its start on; never more than is so.

        The worst case is convex in the length, so a chord meets the tolerance no later than it does.
        """
        low, high = Fraction(0), take.end - take.start
        for _ in range(_CHORDS):
            near, far = (self.forecast.take(take.first, take.second, take.start, each).total for each in (low, high))
            if near is None or far is None or near >= tolerance or far <= near:
                break
            low += (high - low) * (tolerance - near) / (far - near)
        return low


_CHORDS = 4


def _names_in(parts: tuple[Phase | None, ErrorSum]) -> set[tuple[str, ...]]:
    """The unknowns in a label's error and in the slip of its recording."""
    sums = [parts[1], *([parts[0].error] if parts[0] is not None else [])]
    terms = {unknown.name for each in sums for unknown in each.terms}
    return terms | {oscillator.fixed.name for each in sums for oscillator in each.paced}


def _anonymous(error: ErrorSum, met: Counter[tuple[str, ...]]) -> object:
    """A sum without the names of those unknowns that nobody shares."""

    def name(unknown: Unknown) -> object:
        return (unknown.low, unknown.high, unknown.name if met[unknown.name] > 1 else ())

    terms = Counter((name(unknown), times) for unknown, times in error.terms.items())
    paced = Counter(
        (name(oscillator.fixed), oscillator.varying, stretches) for oscillator, stretches in error.paced.items()
    )
    return (error.constant, frozenset(terms.items()), frozenset(paced.items()))
