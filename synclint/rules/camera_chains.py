"""Cameras that hand timecode on to cameras."""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction

from synclint.day.moments import State
from synclint.findings import (
    WHO,
    Amount,
    Cost,
    Finding,
    Fix,
    Hurts,
    Level,
    Mended,
    Mention,
    Record,
    either,
    listed,
)
from synclint.rig.model import Device
from synclint.rules.day_windows import rest_of_day
from synclint.rules.framework import Case, Rule, Yielded, rule
from synclint.rules.moments import clock_of
from synclint.rules.wording import PRACTICE, ppm_sum
from synclint.trade.drift import drift_seconds
from synclint.trade.quantities import say_duration

_WITH_PICTURE = frozenset({"HDMI timecode", "SDI timecode"})
"""What comes along with a camera's picture, to a recorder that is its own."""


@rule(
    Record(
        name="cameras-in-a-chain",
        summary="A camera that follows another device hands its timecode on to further cameras",
        level=Level.NOTE,
        hurts=Hurts.TIME,
        mended=Mended.MORNING,
        why="When the camera in the middle is switched off, or set to another rate, all that hang on it are alone. A "
        "distribution box, or a box on each, has no middle.",
        sources=(PRACTICE,),
        answers=("camera-to-camera chain",),
    )
)
def cameras_in_a_chain(case: Case) -> Iterator[Yielded]:
    """A camera follows live and is followed live by another camera."""
    hang: dict[str, dict[str, None]] = {}
    heads: dict[str, str] = {}
    for key, states in case.run.histories.items():
        for state in states:
            through = state.time.through if state.time else ()
            for middle in through[:-1]:
                if _is_camera(case.setup.devices[middle]):
                    hang.setdefault(middle, {})[key] = None
            if len(through) > 1 and _hands_on(case, through[0], key):
                heads.setdefault(through[0], key)
    for middle in heads:
        yield _finding(case, middle, tuple(hang[middle]))


def _is_camera(device: Device) -> bool:
    return device.picture is not None and device.cls.value != "video recorder"


def _hands_on(case: Case, middle: str, key: str) -> bool:
    """Whether one camera feeds another, and not a recorder of its own pictures."""
    feeds = (feed for feed in case.timecode.arriving.get(key, ()) if feed.source == middle)
    by_lead = any(feed.last.carries.value not in _WITH_PICTURE for feed in feeds)
    return by_lead and _is_camera(case.setup.devices[middle]) and _is_camera(case.setup.devices[key])


def _finding(case: Case, middle: str, hang: tuple[str, ...]) -> Finding:
    """The finding on the camera in the middle."""
    device = case.setup.devices[middle]
    source = next(state.source for state in case.run.histories[middle] if state.time and state.time.through)
    others = listed(map(case.setup.called, hang))
    off = _let_go(case, middle, hang)
    alone = sum((until - state.since for state, until in off), Fraction(0))
    amounts = [Amount("devices behind it", len(hang), "devices")]
    costs = f"when {WHO} {either('is', 'are')} switched off, {others} {'is' if len(hang) == 1 else 'are'} left alone"
    first = case.run.histories[middle]
    writer = next(state.time.through[-1] for state in first if state.time and state.time.through)
    total = ppm_sum(case.setup.devices[hang[0]].clock.accuracy, case.setup.devices[writer].clock.accuracy)
    if total:
        an_hour = drift_seconds(total, 3600)
        amounts.append(Amount("parting", float(an_hour * 1000), "ms an hour"))
        costs += f" and may part by {say_duration(an_hour)} an hour from {case.setup.called(writer)}"
    if off:
        amounts.append(Amount("left alone", float(alone / 60), "min"))
        costs = (
            f"at {clock_of(case, off[0][0].since)} {others} {'is' if len(hang) == 1 else 'are'} let go and "
            f"{'runs' if len(hang) == 1 else 'run'} alone, {say_duration(alone)} in all"
        )
    return cameras_in_a_chain.record.finding(
        at=device.timecode.source.place,
        says=f"{others} {'hangs' if len(hang) == 1 else 'hang'} on {WHO}, which {either('hangs', 'hang')} on "
        f"{case.setup.called(source or middle)}",
        who=(device.called,),
        also=tuple(Mention(state.cause, f"{device.called} lets go") for state, _ in off),
        costs=Cost(costs, tuple(amounts), float(len(hang))),
        fix=Fix(f"Feed {others} from {case.setup.called(source or middle)} by a distribution box, or a box on each"),
    )


def _let_go(case: Case, middle: str, hang: tuple[str, ...]) -> list[tuple[State, Fraction]]:
    """The times for which the camera in the middle was off and left the first behind it alone, with their ends."""
    found = []
    for key in hang[:1]:
        states = case.run.histories[key]
        for index, state in enumerate(states):
            hands = state.time.hands if state.time and not state.time.through else ()
            gone = not case.run.at(middle, state.since).working
            if hands and hands[-1].let_go and hands[-1].source == middle and hands[-1].at == state.since and gone:
                until = states[index + 1].since if index + 1 < len(states) else rest_of_day(case, state.since)
                found.append((state, until))
    return found


RULES: tuple[Rule, ...] = (cameras_in_a_chain,)
