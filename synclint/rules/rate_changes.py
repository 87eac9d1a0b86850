"""Rates that are changed in the course of a day, and who was not told."""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Iterator
from dataclasses import dataclass, field
from fractions import Fraction
from itertools import pairwise

from synclint.day.moments import Roll
from synclint.day.schedule import Step
from synclint.findings import (
    WHO,
    Amount,
    CheckLine,
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
    either,
    listed,
)
from synclint.rig.model import Device, PictureSide
from synclint.rules.framework import Case, Rule, Yielded, rule
from synclint.rules.label_rates import HOUR, Relation, clear, folded, meant, picture_rate, relation, stretch_of
from synclint.rules.moments import clock_of, rolls_told
from synclint.rules.rate_costs import conversion
from synclint.rules.takes import Take, by_unit, sync_takes
from synclint.rules.wording import PRACTICE
from synclint.trade.labels import divergence
from synclint.trade.quantities import say_duration, say_frequency, say_number
from synclint.trade.rates import LabelRate

_SUM = Source("exact arithmetic", Confirmed.ARITHMETIC)

_PART = frozenset({Relation.COUNT, Relation.THOUSANDTH, Relation.NEARLY, Relation.APART})
"""How labels may stand to each other so that they part; whole seconds that agree are no fault."""


@dataclass(frozen=True, slots=True)
class _Rates:
    """What counts of a device's settings in a take."""

    label: LabelRate | None
    picture: LabelRate | None
    """What its files play at, where it shoots at that speed."""
    speed: Fraction | None
    """How fast its recording plays, 1 being life; None where it is off-speed by intent."""
    said: str
    facts: tuple[Fact[object], ...] = field(compare=False)


def _rates(device: Device) -> _Rates:
    """The rates that a device is set to."""
    label = meant(device, device.timecode.rate)
    used = label if clear(label) else None
    picture, sound = device.picture, device.sound
    if picture is not None:
        return _of_picture(device, used, picture)
    said = [device.timecode.rate.value.name] if device.timecode.rate.value else []
    if sound is None or not sound.sample_rate.value or not sound.stamped.value:
        return _Rates(used, None, None, "".join(said), (device.timecode.rate,))
    rate, stamped = sound.sample_rate.value, sound.stamped.value
    if stamped != rate or not said:
        said.append(f"sound {say_frequency(rate)}" + (f" stamped {say_frequency(stamped)}" if stamped != rate else ""))
    return _Rates(
        used, None, stamped / rate, " and ".join(said), (device.timecode.rate, sound.sample_rate, sound.stamped)
    )


def _of_picture(device: Device, label: LabelRate | None, picture: PictureSide) -> _Rates:
    """The rates that a camera is set to; its own sound lies in one file with the picture and goes along with it."""
    shot, played = picture.shot_at.value, picture.played_at.value
    plays, speed, said = None, None, "not said"
    if shot is not None and played is not None:
        said = shot.name if shot == played else f"{shot.name} played at {played.name}"
        if stretch_of(shot, played) is None:
            rate = picture_rate(device)
            plays, speed = rate.value if rate else None, played.fps / shot.fps
    own = device.timecode.rate.value
    if own is not None:
        alike = shot == played and shot is not None and shot.counted == own.rate.counted
        said = own.name if alike else f"picture {said} and timecode {own.name}"
    return _Rates(label, plays, speed, said, (device.timecode.rate, picture.shot_at, picture.played_at))


@dataclass(frozen=True, slots=True)
class _Apart:
    """Devices whose rates were changed in the day, and those that they no longer go with, in a take."""

    roll: Roll
    changed: tuple[str, ...]
    stay: tuple[str, ...]
    now: tuple[_Rates, _Rates]
    """Those of the changed ones, and those of the others."""
    since: Fraction
    """When the changed ones were changed."""
    place: Place
    came_back: bool
    """Whether the others were changed too, and are back."""


@rule(
    Record(
        name="rate-changed-for-some",
        summary="A rate is changed in the day for some devices of a take and not for the others",
        level=Level.ERROR,
        hurts=Hurts.POST,
        mended=Mended.SET,
        why="A rate for one scene is called out loud and reaches the cameras; the recorder, the slate and the boxes "
        "stay where they were, or never come back.",
        sources=(PRACTICE, _SUM),
        answers=("rate change for one scene not reaching everyone",),
    )
)
def rate_changed_for_some(case: Case) -> Iterator[Yielded]:
    """In a take with sync sound some devices disagree that agreed at the start of the day."""
    sets = [step for step in case.run.steps if step.what == "set"]
    changes = [step for step in sets if any(_changes_rate(case, key, step.at) for key in step.keys)]
    yield from (_called_out(case, step) for step in changes if not _takes_back(case, step))
    if not changes:
        return
    found: dict[tuple[Place, bool, str], list[_Apart]] = {}
    for take in sync_takes(case):
        for apart in _apart(case, take):
            found.setdefault((apart.place, apart.came_back, apart.now[1].said), []).append(apart)
    for group in found.values():
        yield _parted(case, group)


def _apart(case: Case, take: Take) -> Iterator[_Apart]:
    """The devices of a take that a change of rates has parted, those that label its devices counted in."""
    for parts in by_unit(case, take.parts).values():
        alike: dict[tuple[_Rates, _Rates, Fraction, Place], list[str]] = {}
        for key in dict.fromkeys(
            (*(part.key for part in parts), *(key for part in parts for key in part.time.through))
        ):
            now, first = _rates(case.run.at(key, take.roll.start).device), _rates(case.setup.devices[key])
            alike.setdefault((now, first, *_since(case, key, take.roll.start)), []).append(key)
        for (ours, our_first, since, place), changed in alike.items():
            for (theirs, their_first, their_since, _), stay in alike.items():
                if ours == our_first or (theirs != their_first and their_since >= since):
                    continue  # not changed, or told from the side of the one that was changed last
                if _disagree(case, ours, theirs, take.roll) and not _disagree(case, our_first, their_first, take.roll):
                    back = theirs == their_first and their_since > case.run.start
                    yield _Apart(take.roll, tuple(changed), tuple(stay), (ours, theirs), since, place, back)


def _disagree(case: Case, one: _Rates, other: _Rates, roll: Roll) -> bool:
    """Whether labels part, pictures have to be converted, or one recording plays at another speed than the other."""
    if one.label and other.label and relation(one.label, other.label) in _PART:
        return True
    if _two_pictures(one, other) or _to_convert(case, one, other):
        return True
    if one.speed is None or other.speed is None:
        return False
    tolerance = case.tolerance
    return abs(one.speed / other.speed - 1) * roll.length > (tolerance or Fraction(0))


def _two_pictures(one: _Rates, other: _Rates) -> bool:
    """Whether two cameras make pictures of which one has to be converted."""
    ours, theirs = one.picture, other.picture
    return ours is not None and theirs is not None and ours.rate.counted != theirs.rate.counted


def _to_convert(case: Case, one: _Rates, other: _Rates) -> LabelRate | None:
    """The rate of the one picture of two recordings, where it is not the project's and the other counts at that."""
    project = case.setup.project.rate.value
    picture, beside = (one.picture, other) if one.picture is not None else (other.picture, one)
    if project is None or picture is None or beside.picture is not None or beside.label is None:
        return None
    whole = relation(picture, beside.label) is Relation.WHOLE
    counts = folded(beside.label) == folded(project) != folded(picture)
    return picture if whole and counts else None


def _changes_rate(case: Case, key: str, at: Fraction) -> bool:
    """Whether a setting at an instant gives a device other rates."""
    if key not in case.run.histories:
        return False
    was, now = case.run.before(key, at).device, case.run.at(key, at).device
    return was is not now and _rates(was) != _rates(now)


def _takes_back(case: Case, step: Step) -> bool:
    """Whether a setting brings all its devices back to the rates of the morning; it was called out with the change."""
    keys = [key for key in step.keys if key in case.run.histories]
    return all(_rates(case.run.at(key, step.at).device) == _rates(case.setup.devices[key]) for key in keys)


def _since(case: Case, key: str, until: Fraction) -> tuple[Fraction, Place]:
    """When a device was last given other rates, and by what."""
    changes = case.once(_rates_changed)[key]
    index = bisect_right(changes, until, key=lambda change: change[0])
    return changes[index - 1] if index else (case.run.start, case.setup.place)


def _rates_changed(case: Case) -> dict[str, list[tuple[Fraction, Place]]]:
    """When each device is given other rates, and by what."""
    return {
        key: [
            (now.since, now.cause)
            for was, now in pairwise(states)
            if was.device is not now.device and _rates(was.device) != _rates(now.device)
        ]
        for key, states in case.run.histories.items()
    }


def _parted(case: Case, group: list[_Apart]) -> Finding:
    """The finding on a change that did not reach everybody, or that some did not take back."""
    first = min(group, key=lambda each: each.roll.start)
    rolls = list(dict.fromkeys(each.roll.event.place for each in group))
    told = rolls_told(case, [each.roll for each in group])
    changed = tuple(dict.fromkeys(case.setup.called(key) for each in group for key in each.changed))
    stay = tuple(dict.fromkeys(case.setup.called(key) for each in group for key in each.stay))
    ours, theirs = first.now
    if first.came_back:
        who, says = changed, f"{WHO} {either('is', 'are')} still at {ours.said} in {told}, where {listed(stay)} "
        says += f"{'is' if len(stay) == 1 else 'are'} back at {theirs.said}"
    else:
        who, says = stay, f"{listed(changed)} {'is' if len(changed) == 1 else 'are'} set to {ours.said} at "
        says += f"{clock_of(case, first.since)}, and {WHO} {either('stays', 'stay')} at {theirs.said} in {told}"
    before = f"before the roll at {clock_of(case, first.roll.start)}"
    return rate_changed_for_some.record.finding(
        at=first.place,
        says=says,
        who=who,
        cause=(first.place, first.came_back, theirs.said),
        level=Level.WARNING if all(_to_convert(case, *each.now) for each in group) else None,
        costs=_cost(case, max(group, key=lambda each: (_two_pictures(*each.now), each.roll.length))),
        fix=Fix(f"{_agree(case, first, listed(changed), before)}; then jam and compare a recorded clip"),
        decided_by=[fact for rates in first.now for fact in rates.facts if fact.value is not None],
        also=tuple(Mention(each, "a take of both") for each in rolls),
    )


def _agree(case: Case, apart: _Apart, changed: str, before: str) -> str:
    """What is set on whom so that all of a take agree: what the scene was changed to, or what it was before."""
    ours, theirs = apart.now
    if apart.came_back:
        return f"Set {WHO} back to {theirs.said} {before}"
    if ours.label and theirs.label and relation(ours.label, theirs.label) in _PART:
        return f"Set {WHO} to {ours.label.name} {before}, or {changed} back to {theirs.said}"
    if _to_convert(case, ours, theirs):
        return f"Set {changed} back to {theirs.said} {before}"
    return f"Set {changed} back to {theirs.said} {before}, or have {WHO} record for the same change of speed"


def _cost(case: Case, apart: _Apart) -> Cost:
    """By how much labels, pictures or speeds part, in an hour and over the take."""
    ours, theirs = apart.now
    length, parts, amounts = apart.roll.length, [], []
    if ours.label and theirs.label and relation(ours.label, theirs.label) in _PART:
        a_second = abs(divergence(folded(ours.label), folded(theirs.label), Fraction(1)))
        an_hour, over = a_second * HOUR, a_second * length
        frames = an_hour * folded(ours.label).rate.nominal
        parts.append(
            f"from the jam on the labels part by {say_number(an_hour, 4)} s an hour ({say_number(frames)} frames at "
            f"{folded(ours.label).rate.name}), {say_duration(over)} over the take of {say_duration(length)} alone"
        )
        amounts += [
            Amount("labels apart", float(an_hour), "s an hour"),
            Amount("apart over the take", float(over), "s"),
        ]
    if ours.picture and theirs.picture and _two_pictures(ours, theirs):
        parts.append(conversion(ours.picture, theirs.picture))
    odd, project = _to_convert(case, ours, theirs), case.setup.project.rate.value
    if odd and project:
        parts.append(f"whole seconds agree; {conversion(odd, project)}")
        amounts.append(Amount("to convert", float(length / 60), "min"))
    if ours.speed and theirs.speed and ours.speed != theirs.speed:
        off = abs(ours.speed / theirs.speed - 1) * length
        parts.append(f"what is recorded parts by {say_duration(off)} over the take of {say_duration(length)}")
        amounts.append(Amount("recordings apart over the take", float(off), "s"))
    return Cost("; ".join(parts), tuple(amounts), float(length))


def _called_out(case: Case, step: Step) -> CheckLine:
    """The line for a change of rates: who, to what, and that it is taken back."""
    keys = [key for key in step.keys if _changes_rate(case, key, step.at)]
    was, now = (
        _rates(state.device).said for state in (case.run.before(keys[0], step.at), case.run.at(keys[0], step.at))
    )
    line = f"At {clock_of(case, step.at)} call out the rate: {WHO} to {now}, the slate says so"
    if _is_taken_back(case, step, keys):
        line += f"; afterwards back to {was}"
    place = step.event.place if step.event else None
    who = tuple(map(case.setup.called, keys))
    return CheckLine(rate_changed_for_some.record, Mended.SET, f"{line}, jam and compare", who, place, step.at)


def _is_taken_back(case: Case, step: Step, keys: list[str]) -> bool:
    """Whether devices whose rates a setting changed have those of before it again at the end, as it is written."""
    before = {key: _rates(case.run.before(key, step.at).device) for key in keys}
    later = (other for other in case.run.steps if other.what == "set" and other.at > step.at)
    back = {key for other in later for key in other.keys if key in before}
    return all(key in back and _rates(case.run.at(key, case.run.end).device) == before[key] for key in keys)


RULES: tuple[Rule, ...] = (rate_changed_for_some,)
