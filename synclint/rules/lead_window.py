"""From when to when a jam by a lead mends a link that is lost: late enough to hold, and before the roll."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from fractions import Fraction
from math import ceil, floor

from synclint.day.forecast import Gathering
from synclint.day.jams import Planner
from synclint.day.leads import by_lead
from synclint.day.moments import Carried, Handed
from synclint.rules.framework import Case

_MOST_PAIRS = 400
"""Of how many pairs it is looked at whether a jam holds them; beyond that the pair that is told of stands for all."""


@dataclass(frozen=True, slots=True)
class Cut:
    """A follower whose link is lost, with all that show its time, and until when it is on its own."""

    key: str
    start: Fraction
    end: Fraction
    former: str
    carriers: tuple[str, ...]
    pair: tuple[str, str]
    """The two that get farthest apart on account of it."""


@dataclass(frozen=True, slots=True)
class LeadWindow:
    """When a jam by a lead would do."""

    source: str
    since: Fraction
    until: Fraction
    whole: bool
    """Whether it holds to the last that must agree; else it holds to the first only."""
    holds_for: Fraction
    """For how long at most such a jam, done at the end of the window, holds."""


def lead_window(
    case: Case, cut: Cut, failing: Sequence[Gathering], until: Fraction, *, rolls: bool
) -> LeadWindow | None:
    """From when on a jam by a lead, done by an instant, holds all that fail; None where none can.

    Of several takes, else, from when on it holds the first; where no take is told for how long it holds.
    """
    source = _source(case, cut, until)
    if source is None or until <= cut.start:
        return None
    longest = _first(lambda s: not _holds(case, cut, source, until, failing[0], until + s), 1, _LONGEST) - 1
    for chosen in (failing, failing[:1]):

        def holds(jam: Fraction, chosen: Sequence[Gathering] = chosen) -> bool:
            return all(_holds(case, cut, source, jam, each, min(each.end, cut.end)) for each in chosen)

        if holds(until):
            since = _first(lambda second: holds(Fraction(second)), ceil(cut.start), floor(until))
            whole = len(chosen) == len(failing)
            return LeadWindow(source, min(Fraction(since), until), until, whole, Fraction(longest))
    if rolls or longest < _WORTH_A_JAM:
        return None
    return LeadWindow(source, cut.start, until, whole=False, holds_for=Fraction(longest))


_WORTH_A_JAM = 900
"""Seconds that a jam must hold to be worth it where it is to be done again and again."""
_LONGEST = 48 * 3600
"""Seconds; a jam that holds for longer holds any day."""


def outside_rolls(case: Case, until: Fraction) -> Fraction:
    """The latest moment up to an instant that is inside no roll."""
    return Planner.latest_outside(until, case.run)


def _source(case: Case, cut: Cut, at: Fraction) -> str | None:
    """From whom it can be jammed by a lead at an instant."""

    def time_of(key: str) -> Carried | None:
        state = case.run.at(key, at) if key in case.run.histories else None
        return state.time if state is not None and state.working else None

    return by_lead(cut.key, cut.former, case.setup.devices, case.timecode.arriving.get(cut.key, ()), time_of)


def _first(is_so: Callable[[int], bool], low: int, high: int) -> int:
    """The first whole number of a range from which on something is so; the end of the range where it is so nowhere."""
    while low < high:
        middle = (low + high) // 2
        low, high = (low, middle) if is_so(middle) else (middle + 1, high)
    return low


def _holds(case: Case, cut: Cut, source: str, jam: Fraction, gathering: Gathering, at: Fraction) -> bool:
    """Whether all that show a device's time are within the tolerance just before an instant had it been jammed."""
    given, tolerance = case.run.at(source, jam).time, case.tolerance
    if given is None or tolerance is None:
        return False
    hand = Handed(cut.key, source, jam, case.setup.place, through=given.through)
    others = [key for key in gathering.keys if key not in cut.carriers]
    pairs = [(one, other) for one in cut.carriers if one in gathering.keys for other in others]
    for one, other in pairs if len(pairs) <= _MOST_PAIRS else [cut.pair]:
        mine, yours = case.run.before(one, min(at, cut.end)).time, case.run.before(other, min(at, cut.end)).time
        if mine is None or yours is None or (case.forecast.is_slate(one) and case.forecast.is_slate(other)):
            continue
        jammed = Carried(given.line, (*given.hands, hand), mine.through)
        apart = case.phases.apart(case.phases.of_time(one, jammed, at), case.phases.of_time(other, yours, at))
        if apart is not None and apart.worst > tolerance:
            return False
    return True
