"""What it takes to lay clips by eye and ear: how many there are, and how long each of them takes."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping
from fractions import Fraction

from synclint.day.moments import Roll
from synclint.findings import WHO, Amount, Confirmed, Cost, Source, either
from synclint.rig.model import Device
from synclint.rules.framework import Case
from synclint.trade.quantities import say_duration

LEAST, MOST = Fraction(120), Fraction(600)
"""Seconds that an assistant takes to lay a clip where nothing lays it by itself."""

BY_HAND = Source("2 to 10 min to lay a clip by eye and ear; common practice, no source", Confirmed.PRACTICE)


def clips_of(case: Case, device: Device) -> int | None:
    """How many clips a device shoots: as each day says, else the takes that a day tells it is in; None if neither."""
    rolls = Counter(roll.day for roll in rolls_of(case).get(device.key, ()))
    days = enumerate(case.setup.days)
    total = sum(rolls[number] if day.clips.value is None else day.clips.value for number, day in days)
    return total or None


def rolls_of(case: Case) -> Mapping[str, tuple[Roll, ...]]:
    """The takes that each device is in, in the order of their starts."""
    return case.once(_rolls_of)


def _rolls_of(case: Case) -> dict[str, tuple[Roll, ...]]:
    found: dict[str, list[Roll]] = {}
    for roll in sorted(case.run.rolls, key=lambda roll: roll.start):
        for key in roll.devices:
            found.setdefault(key, []).append(roll)
    return {key: tuple(rolls) for key, rolls in found.items()}


def by_hand(case: Case, device: Device, opening: str = "", verb: str = "laid") -> Cost:
    """What it costs that the clips of a device are laid by eye and ear; `opening` says why, and ends in a space."""
    clips = clips_of(case, device)
    if clips is None:
        says = f"{opening}every clip of {WHO} is {verb} by eye and ear, at 2 to 10 min a clip"
        return Cost(says, (Amount("by hand at most, a clip", float(MOST / 60), "min"),), float(MOST))
    least, most = clips * LEAST, clips * MOST
    number = f"{clips} {'clip' if clips == 1 else 'clips'}{either('', ' of each')}"
    says = (
        f"{opening}{number} {'is' if clips == 1 else 'are'} {verb} by eye and ear, {say_duration(least)} to "
        f"{say_duration(most)} of an assistant's time{either('', ' for each of them')}"
    )
    amounts = (
        Amount("clips by hand", clips, "clips"),
        Amount("by hand at least", float(least / 3600), "h"),
        Amount("by hand at most", float(most / 3600), "h"),
    )
    return Cost(says, amounts, float(most))
