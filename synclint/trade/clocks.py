"""Sums of independent clock errors: how far apart two times can be at worst, with what they share cancelling.

The error of a time is a sum of unknowns, each within a bound and independent of the others, and of known constants.
Rates are in parts per million, times in seconds; everything is exact. The worst case of a difference is the sum of the
bounds of what is left of it, which is the optimum of the linear program over all unknowns.
"""

from __future__ import annotations

from collections.abc import Container, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from fractions import Fraction
from functools import cached_property
from itertools import pairwise

MILLION = 1_000_000
_ZERO = Fraction(0)


@dataclass(frozen=True, slots=True)
class Unknown:
    """A quantity that has one value, somewhere from `low` to `high`; `name` tells it from all others.

    A rate error is in ppm (its coefficient in seconds, over a million), an error of a jam in seconds.
    """

    name: tuple[str, ...]
    low: Fraction
    high: Fraction

    def __hash__(self) -> int:
        """By the name, which tells it from all others; a hash of fractions takes long."""
        return hash(self.name)

    @property
    def leans(self) -> bool:
        """Whether its bounds are not alike on either side of zero."""
        return self.low != -self.high

    @property
    def middle(self) -> Fraction:
        """The value half way between its bounds."""
        return (self.low + self.high) / 2

    @property
    def spread(self) -> Fraction:
        """How far it may be from the middle."""
        return (self.high - self.low) / 2 if self.leans else self.high


def within(name: tuple[str, ...], bound: Fraction) -> Unknown:
    """An unknown that lies within a bound on either side of zero."""
    return Unknown(name, -bound, bound)


@dataclass(frozen=True, slots=True)
class Stretch:
    """An oscillator counted into a sum, `times` over, from one instant to another."""

    start: Fraction
    end: Fraction
    times: int = 1


@dataclass(frozen=True, slots=True)
class Oscillator:
    """A clock's rate error in ppm: a fixed part that keeps its value, and one that wanders within a bound."""

    fixed: Unknown
    varying: Fraction

    def __hash__(self) -> int:
        """By the name of the fixed part, as that."""
        return hash(self.fixed.name)


@dataclass(frozen=True)
class ErrorSum:
    """The error of a time in seconds, ahead positive."""

    constant: Fraction = _ZERO
    terms: Mapping[Unknown, Fraction] = field(default_factory=dict)
    """Unknowns that are counted once each, with their coefficients."""
    paced: Mapping[Oscillator, tuple[Stretch, ...]] = field(default_factory=dict)
    """The stretches over which each oscillator kept the time."""

    def __add__(self, other: ErrorSum) -> ErrorSum:
        """Both errors together; unknowns that they share count with both their coefficients."""
        return total((self, other))

    def __neg__(self) -> ErrorSum:
        """The same error, behind for ahead."""
        return ErrorSum(
            -self.constant,
            {unknown: -coefficient for unknown, coefficient in self.terms.items()},
            {oscillator: tuple(map(_counted_back, stretches)) for oscillator, stretches in self.paced.items()},
        )

    def __sub__(self, other: ErrorSum) -> ErrorSum:
        """By how much this time is ahead of another, all that they share cancelled.

        Two times that went through many of the same hands share most of what they are made of: that is known by its
        identity and counted no further.
        """
        terms = dict(self.terms)
        for unknown, coefficient in other.terms.items():
            before = terms.get(unknown, _ZERO)
            terms[unknown] = _ZERO if before is coefficient else before - coefficient
        paced = dict(self.paced)
        for oscillator, stretches in other.paced.items():
            mine = paced.get(oscillator, ())
            same = _shared(mine, stretches)
            paced[oscillator] = mine[same:] + tuple(map(_counted_back, stretches[same:]))
        return ErrorSum(self.constant - other.constant, terms, paced)

    @cached_property
    def _counted(self) -> tuple[tuple[Oscillator, Fraction, Fraction], ...]:
        """Each oscillator with its two integrals."""
        return tuple((oscillator, *_integrals(stretches)) for oscillator, stretches in self.paced.items())

    @property
    def shares(self) -> tuple[Share, ...]:
        """What each unknown adds to the worst case, the largest first."""
        found = [Share(unknown.name, abs(times) * unknown.spread) for unknown, times in self.terms.items()]
        for oscillator, net, gross in self._counted:
            fixed = abs(net) * oscillator.fixed.spread / MILLION
            found.append(Share(oscillator.fixed.name, fixed + gross * oscillator.varying / MILLION))
        return tuple(sorted((each for each in found if each.seconds), key=lambda each: (-each.seconds, each.name)))

    @property
    def oscillators(self) -> tuple[Oscillator, ...]:
        """The clocks that are left in this error once all that is shared has cancelled."""
        return tuple(oscillator for oscillator, _, gross in self._counted if gross)

    @property
    def coefficients(self) -> Mapping[tuple[str, ...], Fraction]:
        """How often each unknown counts, net: seconds over a million for a fixed rate, plain for an error of a jam."""
        found = {unknown.name: times for unknown, times in self.terms.items()}
        for oscillator, net, _ in self._counted:
            found[oscillator.fixed.name] = net / MILLION
        return found

    @property
    def names(self) -> Iterator[tuple[str, ...]]:
        """The names of all that it hangs on."""
        yield from (unknown.name for unknown in self.terms)
        yield from (oscillator.fixed.name for oscillator in self.paced)

    def profile(self, names: Container[tuple[str, ...]]) -> tuple[object, ...]:
        """How often some unknowns count, and a clock at which moments: alike for two errors where these cancel."""
        counted = [(unknown.name, times) for unknown, times in self.terms.items() if times and unknown.name in names]
        paced = [(each.fixed.name, _steps(to)) for each, to in self.paced.items() if each.fixed.name in names]
        return (*sorted(counted), *sorted(paced))

    @property
    def middle(self) -> Fraction:
        """The error in seconds if every unknown were at the middle of its bounds."""
        known = self.constant + sum(
            (times * unknown.middle for unknown, times in self.terms.items() if unknown.leans), _ZERO
        )
        for oscillator, net, _ in self._counted:
            if oscillator.fixed.leans:
                known += net * oscillator.fixed.middle / MILLION
        return known

    @property
    def spread(self) -> Fraction:
        """How far the error may be from the middle, in seconds."""
        total = sum((abs(times) * unknown.spread for unknown, times in self.terms.items() if times), _ZERO)
        for oscillator, net, gross in self._counted:
            total += (abs(net) * oscillator.fixed.spread + gross * oscillator.varying) / MILLION
        return total

    @cached_property
    def worst(self) -> Fraction:
        """The largest size that the error can have, in seconds."""
        return abs(self.middle) + self.spread


@dataclass(frozen=True, slots=True)
class Share:
    """What one unknown adds to a worst case, in seconds."""

    name: tuple[str, ...]
    seconds: Fraction


def paced_by(oscillator: Oscillator, start: Fraction, end: Fraction) -> ErrorSum:
    """The error that a clock gathers from one instant to another."""
    return ErrorSum(paced={oscillator: (Stretch(start, end),)}) if end > start else ErrorSum()


def once(unknown: Unknown) -> ErrorSum:
    """An error that is there once, such as that of a jam."""
    return ErrorSum(terms={unknown: Fraction(1)})


def known(seconds: Fraction) -> ErrorSum:
    """An error that is known, such as a fixed delay."""
    return ErrorSum(seconds)


def total(sums: Iterable[ErrorSum]) -> ErrorSum:
    """All errors together."""
    constant = _ZERO
    terms: dict[Unknown, Fraction] = {}
    paced: dict[Oscillator, tuple[Stretch, ...]] = {}
    for each in sums:
        if each.constant:
            constant += each.constant
        for unknown, coefficient in each.terms.items():
            terms[unknown] = terms[unknown] + coefficient if unknown in terms else coefficient
        for oscillator, stretches in each.paced.items():
            paced[oscillator] = paced.get(oscillator, ()) + stretches
    return ErrorSum(constant, terms, paced)


def _counted_back(stretch: Stretch) -> Stretch:
    """A stretch that takes away what it gave."""
    return Stretch(stretch.start, stretch.end, -stretch.times)


def _shared(one: Sequence[Stretch], other: Sequence[Stretch]) -> int:
    """With how many of the very same stretches two times begin."""
    both = enumerate(zip(one, other, strict=False))
    return next((n for n, (mine, its) in both if mine is not its), min(len(one), len(other)))


def _integrals(stretches: Sequence[Stretch]) -> tuple[Fraction, Fraction]:
    """The integral of an oscillator's coefficient over time, and that of its size.

    A fixed rate error cancels over any stretches of equal length, one that wanders only over the same moments.
    """
    if all(one.end <= other.start for one, other in pairwise(stretches)):
        lengths = [(each.times, each.end - each.start) for each in stretches]
        return (
            sum((times * length for times, length in lengths), _ZERO),
            sum((abs(times) * length for times, length in lengths), _ZERO),
        )
    net = gross = _ZERO
    level, since = 0, _ZERO
    for moment, step in _steps(stretches):
        net += level * (moment - since)
        gross += abs(level) * (moment - since)
        level, since = level + step, moment
    return net, gross


def _steps(stretches: Iterable[Stretch]) -> tuple[tuple[Fraction, int], ...]:
    """The instants at which a clock counts more or fewer times than before, and by how much."""
    steps: dict[Fraction, int] = {}
    for each in stretches:
        steps[each.start] = steps.get(each.start, 0) + each.times
        steps[each.end] = steps.get(each.end, 0) - each.times
    return tuple((moment, steps[moment]) for moment in sorted(steps) if steps[moment])
