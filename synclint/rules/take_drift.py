"""Takes whose recordings part though their labels were right at the head: no clock paces both."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from fractions import Fraction
from itertools import combinations
from typing import Any

from synclint.day.forecast import TakeOffset
from synclint.day.moments import Roll
from synclint.findings import (
    WHO,
    Amount,
    Confirmed,
    Cost,
    Fact,
    Finding,
    Fix,
    Hurts,
    Level,
    Mended,
    Mention,
    Place,
    Record,
    Source,
    Unjudged,
    either,
    listed,
)
from synclint.rig.model import Device
from synclint.rules.framework import Case, Rule, Yielded, rule
from synclint.rules.generations import deciding
from synclint.rules.lost_lines import is_special
from synclint.rules.lost_pace import fell
from synclint.rules.moments import clock_of, clocks_told, in_frames, rolls_told
from synclint.rules.plugged_references import only_unheard
from synclint.rules.wording import PRACTICE
from synclint.trade.quantities import say_duration

_SUM = Source("ms = 3.6 × ppm × hours, both clocks added: exact arithmetic", Confirmed.ARITHMETIC)

_REFERENCES = frozenset({"black burst", "tri-level", "word clock", "AES reference", "clock", "PTP", "GNSS"})
"""What brings a pace and no picture of its own."""
_MOST_LOOKED_AT = 24
"""Of how many recordings of a take, those with the coarsest clocks first, every pair is looked at."""


@dataclass(frozen=True, slots=True)
class Span:
    """A take as it was told, or the longest that is planned and may be made at any time."""

    keys: tuple[str, ...]
    start: Fraction
    length: Fraction
    roll: Roll | None
    place: Place


@dataclass(frozen=True, slots=True)
class Parting:
    """Two recordings that part past the tolerance in a take."""

    span: Span
    take: TakeOffset

    @property
    def keys(self) -> tuple[str, str]:
        """The two."""
        return self.take.first, self.take.second

    @property
    def seconds(self) -> Fraction:
        """How far apart they may be at its end: with what their labels were off at its start, where that is known."""
        sizes = [self.take.slip.worst if self.take.slip else Fraction(0)]
        if self.span.roll is not None and self.take.total is not None:
            sizes.append(self.take.total)
        return max(sizes)

    @property
    def facts(self) -> tuple[Fact[Any], ...]:
        """What that rests on."""
        parts = (self.take.slip, self.take.label if self.span.roll is not None else None)
        return tuple(dict.fromkeys(fact for part in parts if part is not None for fact in part.facts))


# --- the takes -------------------------------------------------------------------------------------------------


def recordings(case: Case, keys: Iterable[str], at: Fraction) -> tuple[str, ...]:
    """Those of some devices that record to be cut together: no triggers, and none off its speed."""
    found = []
    for key in keys:
        device = case.run.at(key, at).device
        stretched = is_special(device) and device.timecode.mode.value != "record run"
        if device.records and not device.trigger.value and not stretched:
            found.append(key)
    return tuple(found)


def spans(case: Case) -> Iterator[Span]:
    """The takes with sync sound, and the longest that is planned with all that roll together at some time."""
    for roll in sorted(case.forecast.takes, key=lambda each: each.start):
        keys = recordings(case, roll.devices, roll.start)
        yield Span(keys, roll.start, roll.length, roll, roll.event.place)
    longest = case.setup.longest_take
    if longest is None or longest.value is None:
        return
    told = [roll.devices for roll in case.forecast.takes]
    for keys in dict.fromkeys(told) if told else case.domains.values():
        yield Span(recordings(case, keys, case.run.start), case.run.start, longest.value, None, longest.place)


def partings(case: Case) -> tuple[Parting, ...]:
    """All pairs of recordings that part past the tolerance in a take."""
    return case.once(_partings)


def _partings(case: Case) -> tuple[Parting, ...]:
    tolerance = case.tolerance
    if tolerance is None:
        return ()
    return tuple(each for span in spans(case) for each in _in_span(case, span, tolerance))


def _in_span(case: Case, span: Span, tolerance: Fraction) -> Iterator[Parting]:
    """The pairs of one take."""
    for first, second in combinations(_coarsest(case, span), 2):
        take = _take(case, span, first, second)
        if take is None or take.slip is None:
            continue
        parting = Parting(span, take)
        if take.slip.worst > tolerance or (parting.seconds > tolerance and _labels_hold(case, take, tolerance)):
            yield parting


def _take(case: Case, span: Span, first: str, second: str) -> TakeOffset | None:
    """The take as two devices record it, in clips as long as both can make them; of first and last clip the worse."""
    able = [case.setup.devices[key].longest_take.value for key in (first, second)]
    length = min(each for each in (span.length, *able) if each is not None)
    starts = dict.fromkeys((span.start, span.start + span.length - length)) if span.roll else (span.start,)
    takes = [case.forecast.take(first, second, start, length) for start in starts]
    return max(takes, key=lambda take: -1 if take.total is None else take.total, default=None)


def _labels_hold(case: Case, take: TakeOffset, tolerance: Fraction) -> bool:
    """Whether the labels of two recordings stay within the tolerance, so that only both together leave it."""
    if case.run.jams_taken_for_granted or take.label is None or take.label.worst > tolerance:
        return False
    end = case.phases.offset(take.first, take.second, take.end)
    return end is not None and end.worst <= tolerance


def _coarsest(case: Case, span: Span) -> list[str]:
    """The recordings of a take; where they are very many, those whose clocks may go farthest."""
    keys = list(span.keys)
    if len(keys) <= _MOST_LOOKED_AT:
        return keys
    end = span.start + span.length
    reach = {key: case.phases.paced(key, span.start, end)[0].worst for key in keys}
    paced: dict[str, str] = {}
    for key in sorted(keys, key=lambda each: (-reach[each], keys.index(each))):
        paced.setdefault(case.phases.paces.at(key, span.start), key)
    return list(paced.values())[:_MOST_LOOKED_AT]


# --- a part of the rig on a reference --------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class _Locked:
    """The recordings of a take that one reference paces, with the device that gives it."""

    pace: str
    keys: frozenset[str]


def _locked(case: Case, span: Span) -> list[_Locked]:
    """The parts of a take's recordings that a reference paces, the largest first; one device alone is no part."""
    groups: dict[str, list[str]] = {}
    for key in span.keys:
        groups.setdefault(case.phases.paces.at(key, span.start), []).append(key)
    found = [
        _Locked(pace, frozenset(keys))
        for pace, keys in groups.items()
        if len(keys) > 1 and any(_on_reference(case, key, span.start) for key in keys)
    ]
    return sorted(found, key=lambda each: -len(each.keys))


def _on_reference(case: Case, key: str, at: Fraction) -> bool:
    """Whether a reference paces a device, and no picture that it records."""
    if case.phases.paces.at(key, at) == key:
        return False
    feeds = case.clock.listened.get(key, ())
    carried = {feed.last.carries.value for feed in feeds}
    return not carried or not _REFERENCES.isdisjoint(carried) or case.setup.devices[key].cls.value != "video recorder"


def _half_locked(case: Case) -> dict[tuple[str, str], list[Parting]]:
    """The devices that are not on the reference of the others and part from them, with who gives the reference."""
    return case.once(_find_half_locked)


def _find_half_locked(case: Case) -> dict[tuple[str, str], list[Parting]]:
    found: dict[tuple[str, str], list[Parting]] = {}
    for parting in partings(case):
        for group in _locked(case, parting.span)[:1]:
            outside = [key for key in parting.keys if key not in group.keys]
            if len(outside) == 1 and not fell(case, outside, parting.span.roll):
                found.setdefault((outside[0], group.pace), []).append(parting)
    return found


@rule(
    Record(
        name="half-locked-rig",
        summary="A part of the recordings is paced by one reference and the rest is not, and they part in a take",
        level=Level.ERROR,
        hurts=Hurts.POST,
        mended=Mended.MORNING,
        why="The locked part agrees with itself and walks away from the rest as one body, which is harder to see than "
        "everybody drifting. Either all recordings that are cut together hang on one reference, or all are known not "
        "to.",
        sources=(_SUM, PRACTICE),
        answers=("half-locked rig", "stage multitrack free-running against the truck"),
    )
)
def half_locked_rig(case: Case) -> Iterator[Yielded]:
    """A recording on its own clock, or on another's reference, parts from those that one reference paces."""
    for (key, pace), found in _half_locked(case).items():
        if not only_unheard(case, key, pace):
            yield _half(case, key, pace, max(found, key=lambda each: each.seconds))


def _half(case: Case, key: str, pace: str, parting: Parting) -> Finding:
    """The finding on one device beside the locked part."""
    device, span = case.setup.devices[key], parting.span
    group = next(each for each in _locked(case, span) if each.pace == pace)
    mine = case.phases.paces.at(key, span.start)
    called = case.setup.called(pace) if pace in case.setup.devices else "time from outside"
    order = [each for each in case.setup.devices if each in group.keys and each != pace]
    its = f"by {case.setup.called(mine)}" if mine in case.setup.devices and mine != key else None
    by = f"is paced {its}|are paced {its}" if its else "runs free|run free"
    verb = "is paced" if len(order) == 1 else "are paced"
    return half_locked_rig.record.finding(
        at=device.clock.source.place,
        says=f"{listed(map(case.setup.called, order))} {verb} by {called}, and {WHO} {either(*by.split('|'))} beside "
        f"{'it' if len(order) == 1 else 'them'}",
        who=(device.called,),
        cause=("half locked", pace, mine if its else ""),
        costs=_cost(case, parting, ()),
        fix=Fix(
            f"Bring {WHO} onto a reference from {called}{_reference_ports(device)}, or tell post that {WHO} "
            f"{either('is', 'are')} to be stretched, and clap at head and tail"
        ),
        decided_by=(case.setup.project.tolerance, *deciding(parting.facts)),
        numbers_from=deciding(parting.facts),
        also=(Mention(span.place, "the take" if span.roll else "the longest take"),),
    )


def _reference_ports(device: Device) -> str:
    """By what a device can take a reference, in brackets."""
    able = {each for port in device.ports.values() for each in port.takes.value or () if each in _REFERENCES}
    return f" ({listed(sorted(able))})" if able else ""


# --- a long take -----------------------------------------------------------------------------------------------


@rule(
    Record(
        name="take-drifts-apart",
        summary="Two recordings of a take part past the tolerance, each at the pace of its own clock",
        level=Level.ERROR,
        hurts=Hurts.POST,
        mended=Mended.SET,
        why="Timecode tells where a recording begins and does not keep it in step: the label is right at the head, and "
        "by the tail of a long take sound and picture have parted. LTC on a track tells that they did and does not "
        "cure it.",
        sources=(_SUM, PRACTICE),
        answers=("long take without a common clock",),
    )
)
def take_drifts_apart(case: Case) -> Iterator[Yielded]:
    """The clocks that pace two recordings part by more than is tolerated over a take."""
    beside = {key for key, _ in _half_locked(case)}
    found = [
        one
        for one in partings(case)
        if beside.isdisjoint(one.keys) and not fell(case, one.keys, one.span.roll) and not only_unheard(case, *one.keys)
    ]
    if found:
        yield _drifts(case, max(found, key=lambda each: each.seconds), found)
    yield from _unknown_paces(case)


def _unknown_paces(case: Case) -> Iterator[Unjudged]:
    """The devices that pace recordings, of whose clocks nobody knows how good they are."""
    told: set[str] = set()
    for span in spans(case) if case.tolerance is not None else ():
        paces = {case.phases.paces.at(key, span.start) for key in span.keys}
        told |= {
            pace
            for pace in paces
            if len(paces) > 1 and pace in case.setup.devices and case.setup.devices[pace].clock.accuracy.value is None
        }
    for key in sorted(told):
        device = case.setup.devices[key]
        lacks = f"how accurate the clock of {device.called} is (able: clock: accuracy)"
        yield Unjudged(take_drifts_apart.record, device.clock.place, lacks, (device.called,))


def _drifts(case: Case, worst: Parting, found: list[Parting]) -> Finding:
    """The finding on all such takes, told of the pair that parts most."""
    span, one, other = worst.span, *map(case.setup.called, worst.keys)
    others = {each.span.place: "a take past the tolerance" for each in found if each.span.place != span.place}
    where = f"in {rolls_told(case, [span.roll])}" if span.roll else "over the longest take"
    length = say_duration(worst.take.end - worst.take.start)
    facts = worst.facts
    return take_drifts_apart.record.finding(
        at=span.place,
        says=f"{where}, {length}, {WHO} part, each at the pace of its own clock",
        who=(one, other),
        costs=_cost(case, worst, found),
        fix=Fix(_cure(case, worst)),
        decided_by=(case.setup.project.tolerance, *deciding(facts)),
        numbers_from=deciding(facts),
        also=tuple(Mention(place, says) for place, says in others.items()),
    )


def _cost(case: Case, worst: Parting, found: Iterable[Parting]) -> Cost:
    """How far two recordings part, by which clocks, and when the tolerance is used up."""
    take, tolerance = worst.take, case.tolerance or Fraction(0)
    length = take.end - take.start
    parts = []
    if worst.span.roll is not None and take.label is not None and take.slip is not None and take.label.worst:
        parts.append(f"{say_duration(take.label.worst)} at its head and {say_duration(take.slip.worst)} more since")
    clocks = clocks_told(case, worst.take)
    parts += [clocks] if clocks else []
    says = f"{in_frames(case, worst.seconds)} by the end of {say_duration(length)}"
    says += f" ({', '.join(parts)})" if parts else ""
    fits = _fits(case, worst, tolerance)
    says += f", where {say_duration(tolerance)} is tolerated: used up after {say_duration(fits)}"
    others = {frozenset(each.keys) for each in found} - {frozenset(worst.keys)}
    if others:
        says += f"; {len(others)} other {'pair parts' if len(others) == 1 else 'pairs part'} past it too"
    amounts = [Amount("apart at the end of the take", float(worst.seconds * 1000), "ms")]
    amounts.append(Amount("tolerance used up after", float(fits / 60), "min"))
    day = case.day_seconds
    if take.slip is not None and day is not None and length:
        amounts.append(Amount("apart over the day", float(take.slip.worst * day / length * 1000), "ms"))
    return Cost(says, tuple(amounts), float(worst.seconds))


def _fits(case: Case, worst: Parting, tolerance: Fraction) -> Fraction:
    """How long such a take may be, from its start on; never more than is so.

    What is told is convex in the length, so that a chord meets the tolerance no later than it does.
    """
    take = worst.take

    def apart(length: Fraction) -> Fraction:
        return Parting(worst.span, case.forecast.take(take.first, take.second, take.start, length)).seconds

    low, high = Fraction(0), take.end - take.start
    for _ in range(_CHORDS):
        near, far = apart(low), apart(high)
        if near >= tolerance or far <= near:
            break
        low += (high - low) * (tolerance - near) / (far - near)
    return low


_CHORDS = 4


def _cure(case: Case, worst: Parting) -> str:
    """To cut, to clap twice, or to pace both from one reference where both can be."""
    devices = [case.setup.devices[key] for key in worst.keys]
    fits = _fits(case, worst, case.tolerance or Fraction(0))
    cut = f"Cut before {say_duration(fits)} are over, and begin anew; or clap" if fits >= _WORTH_CUTTING else "Clap"
    says = f"{cut} at head and tail, so that post can stretch one to the other"
    if worst.span.roll is not None and worst.take.slip is not None and worst.take.slip.worst <= (case.tolerance or 0):
        says = f"Jam all right before {clock_of(case, worst.span.roll.start)}; or {says[0].lower()}{says[1:]}"
    if all(_reference_ports(device) for device in devices):
        return f"{says}; or pace both from one reference"
    return says


_WORTH_CUTTING = Fraction(60)

RULES: tuple[Rule, ...] = (half_locked_rig, take_drifts_apart)
