"""The two of many devices that may be farthest apart, found without looking at every pair.

What an error hangs on is either a device's own, so that no other's error hangs on it, or shared. Devices that were
handed their time by one counter, at S and at T, share all but what that counter gathered between; so for two of them

    worst = |m1 - m2| + |p1 - p2| + s1 + s2

with m the middle of the whole error, s the spread of what is the device's own, and p the spread of what is shared. As
|x| is the larger of x and -x, the largest sum over all pairs is the largest over four signs of one term a device, which
a single pass finds. The same holds, p being the same for all, of devices whose shared parts are alike.

Of devices with like shared parts only those foremost to either side can be widest against a device of another group.
How wide, no pair can be wider than both are from a third; so these are tried in the order of how far they are from what
most devices share, until no pair left can be wider.
"""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Collection, Hashable, Iterable, Sequence
from dataclasses import dataclass
from fractions import Fraction
from heapq import nlargest
from itertools import combinations, pairwise, product

from synclint.day.moments import Carried, State
from synclint.day.phases import Offset, Phase, Phases
from synclint.trade.clocks import ErrorSum

_SIGNS = tuple(product((1, -1), repeat=2))

Pair = tuple[str, str, Offset]


@dataclass(frozen=True, slots=True)
class _Time:
    """A device with its error, before it is known what of it is its own."""

    key: str
    aside: bool
    phase: Phase
    own: ErrorSum | None
    """What may be its own: what came after its counter, or the one that it lives on, was heard last."""
    path: Hashable
    """Like for those that were handed their time by one counter."""


@dataclass(frozen=True, slots=True)
class _Candidate:
    """A device, and what tells how far it can be from others."""

    key: str
    aside: bool
    phase: Phase
    group: Hashable
    middle: Fraction
    spread: Fraction
    shared: Fraction


def widest_pair(
    phases: Phases, states: Iterable[tuple[str, State]], at: Fraction, aside: Collection[str] = ()
) -> Pair | None:
    """The widest pair with a bound among devices in given states at an instant; None where no pair has a bound.

    Those that stand aside are not compared with one another.
    """
    best: Pair | None = None
    states, aside = list(states), frozenset(aside)
    for times in _comparable(_times(phases, states, at, aside)):
        best = _widest(phases, times, best)
    return best or _same(phases, states, at, aside)


def _same(phases: Phases, states: Iterable[tuple[str, State]], at: Fraction, aside: frozenset[str]) -> Pair | None:
    """Two devices that show the very same time, where there are no others."""
    shown: dict[Hashable, tuple[str, Carried]] = {}
    for key, state in states:
        if state.time is None:
            continue
        like = (_heard(phases, (key, *state.time.through)), state.time.line, state.time.hands)
        other, time = shown.setdefault(like, (key, state.time))
        if other != key and not (other in aside and key in aside):
            offset = phases.apart(phases.of_time(other, time, at), phases.of_time(key, state.time, at))
            return None if offset is None else (other, key, offset)
    return None


def _times(phases: Phases, states: Iterable[tuple[str, State]], at: Fraction, aside: frozenset[str]) -> Iterable[_Time]:
    """The times that are shown at an instant; of those that are the very same, one each."""
    alike: dict[Hashable, dict[Fraction, tuple[str, Carried]]] = defaultdict(dict)
    for key, state in states:
        if state.time is None:
            continue
        chain = _heard(phases, (key, *state.time.through))
        ahead = phases.fixed(key, state.time.through)
        alike[chain, state.time.line, state.time.hands, key in aside].setdefault(ahead, (key, state.time))
    for shown in alike.values():
        for ahead in dict.fromkeys((min(shown), max(shown))):
            yield _time(phases, *shown[ahead], at, aside)


def _heard(phases: Phases, chain: tuple[str, ...]) -> tuple[str, ...]:
    """A chain from the first device on that has a time of its own: one that is set by radio, or the counter itself."""
    for index, (receiver, source) in enumerate(pairwise(chain)):
        if phases.resync_every(source, receiver) is not None:
            return chain[index:]
    return chain[-1:]


def _time(phases: Phases, key: str, time: Carried, at: Fraction, aside: frozenset[str]) -> _Time:
    phase = phases.of_time(key, time, at)
    chain = _heard(phases, (key, *time.through))
    own: ErrorSum | None = None
    path: Hashable = None
    if len(chain) > 1:
        own = phases.own_part(chain[0], Carried(time.line, time.hands, chain[1:]), at)
        path = ("live", chain[1:], time.hands, phases.resync_every(chain[1], chain[0]))
    elif time.hands:
        own = phases.own_part(chain[0], Carried(time.line, time.hands), at)
        *earlier, last = time.hands
        given = _heard(phases, (last.source, *last.through))
        # One that is set by radio gives on what is not all its counter's.
        path = ("handed", tuple(earlier), (given, last.at) if len(given) > 1 else None)
    return _Time(key, key in aside, phase, own, path)


def _comparable(times: Iterable[_Time]) -> Iterable[list[_Time]]:
    """Times sorted by what they must have in common for a bound: the line, and every clock that nobody states."""
    found: dict[Hashable, list[_Time]] = defaultdict(list)
    for each in times:
        lacking = (
            {name for name in each.phase.error.names if name[1] in each.phase.lacking} if each.phase.lacking else ()
        )
        found[each.phase.line, each.phase.error.profile(lacking)].append(each)
    return found.values()


def _widest(phases: Phases, times: Sequence[_Time], best: Pair | None) -> Pair | None:
    """The widest pair of comparable times and of the best so far."""
    users = Counter(name for each in times for name in each.phase.error.names)
    candidates = [_candidate(each, users) for each in times]
    groups: dict[Hashable, list[_Candidate]] = defaultdict(list)
    for each in candidates:
        groups[each.group].append(each)
    for group in groups.values():
        best = _better(phases, best, combinations(_extremes(group), 2))
    if len(groups) > 1:
        centre = _centre(times, candidates)
        best = _across(phases, best, [_by_shared(group) for group in groups.values()], centre)
    return best


def _candidate(each: _Time, users: Counter[tuple[str, ...]]) -> _Candidate:
    """A device ready for comparison: in the group of its counter where what may be its own is, else of its likes."""
    error = each.phase.error
    if each.own is not None and all(users[name] == 1 for name in each.own.names):
        spread = each.own.spread
        return _Candidate(each.key, each.aside, each.phase, each.path, error.middle, spread, error.spread - spread)
    shared = frozenset(name for name in error.names if users[name] > 1)
    spread = sum((share.seconds for share in error.shares if share.name not in shared), Fraction(0))
    return _Candidate(
        each.key, each.aside, each.phase, ("alike", error.profile(shared)), error.middle, spread, Fraction(0)
    )


def _extremes(group: Sequence[_Candidate]) -> list[_Candidate]:
    """The devices of a group among which its widest pair is: the two foremost for each choice of signs, both ways."""
    found: dict[str, _Candidate] = {}
    for one, two in _SIGNS:

        def ahead(each: _Candidate, one: int = one, two: int = two) -> Fraction:
            return each.spread + one * each.middle + two * each.shared

        for most, aside in ((2, False), (1, True)):
            found |= {each.key: each for each in nlargest(most, (c for c in group if c.aside is aside), key=ahead)}
    return list(found.values())


def _by_shared(group: Sequence[_Candidate]) -> list[_Candidate]:
    """Of those with one shared part the foremost to either side: what may be widest against another group."""
    alike: dict[Hashable, list[_Candidate]] = defaultdict(list)
    for each in group:
        alike[each.shared, each.aside].append(each)
    found: dict[str, _Candidate] = {}
    for members in alike.values():
        for foremost in (
            max(members, key=lambda each: each.spread + each.middle),
            max(members, key=lambda each: each.spread - each.middle),
        ):
            found[foremost.key] = foremost
    return list(found.values())


def _centre(times: Sequence[_Time], candidates: Sequence[_Candidate]) -> ErrorSum:
    """What most devices share, from which the others are measured; any error would do, this one prunes best."""
    most = Counter((each.group, each.shared) for each in candidates).most_common(1)[0][0]
    time = next(time for time, each in zip(times, candidates, strict=True) if (each.group, each.shared) == most)
    return time.phase.error - time.own if time.own is not None else time.phase.error


def _better(phases: Phases, best: Pair | None, pairs: Iterable[tuple[_Candidate, _Candidate]]) -> Pair | None:
    """The widest of some pairs and of the best so far."""
    for one, other in pairs:
        if not (one.aside and other.aside):
            offset = phases.apart(one.phase, other.phase)
            if offset is not None and (best is None or offset.worst > best[2].worst):
                best = (one.key, other.key, offset)
    return best


def _across(phases: Phases, best: Pair | None, groups: Iterable[Sequence[_Candidate]], centre: ErrorSum) -> Pair | None:
    """The widest pair of devices of different groups: by their bounds, until no pair left can be wider."""
    measured = []
    for group in groups:
        bounds = [((each.phase.error - centre).worst, each) for each in group]
        measured.append(sorted(bounds, key=lambda bound: bound[0], reverse=True))
    measured.sort(key=lambda bounds: bounds[0][0], reverse=True)
    for index, ones in enumerate(measured):
        for others in measured[index + 1 :]:
            if best is not None and ones[0][0] + others[0][0] <= best[2].worst:
                break
            best = _between(phases, best, ones, others)
    return best


def _between(
    phases: Phases,
    best: Pair | None,
    ones: Sequence[tuple[Fraction, _Candidate]],
    others: Sequence[tuple[Fraction, _Candidate]],
) -> Pair | None:
    """The widest pair of a device of one group and one of another; both come with their bounds, the largest first."""
    for bound, one in ones:
        if best is not None and bound + others[0][0] <= best[2].worst:
            break
        for other_bound, other in others:
            if best is not None and bound + other_bound <= best[2].worst:
                break
            best = _better(phases, best, [(one, other)])
    return best
