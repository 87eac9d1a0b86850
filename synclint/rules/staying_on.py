"""Who must not go off: devices that others live on, and those that forget the time and do not find it again."""

from __future__ import annotations

from fractions import Fraction

from synclint.findings import WHO, Mention, either
from synclint.rig.model import Device
from synclint.rules.framework import Case


def live_on(case: Case, key: str) -> list[str]:
    """The devices that follow one live at some moment, through others too."""
    found = case.once(_followers)
    return found.get(key, [])


def _followers(case: Case) -> dict[str, list[str]]:
    found: dict[str, dict[str, None]] = {}
    for key, states in case.run.histories.items():
        for state in states:
            for source in state.time.through if state.time else ():
                found.setdefault(source, {})[key] = None
    return {key: list(followers) for key, followers in found.items()}


def follows_live(case: Case, key: str) -> bool:
    """Whether a device follows another live, so that it finds the time again by itself."""
    return any(state.time is not None and state.time.through for state in case.run.histories[key])


def forgets(device: Device) -> bool | None:
    """Whether a device forgets the time when it is off for as long as a battery takes; None where nobody says."""
    if device.timecode.source.value is None:
        return False
    if device.timecode.keeps_time_off.value is not None:
        return device.timecode.keeps_time_off.value < _A_CHANGE
    loses = device.timecode.loses_time_on.value
    return None if loses is None else "power off" in loses


_A_CHANGE = Fraction(120)
"""How long a change of battery takes, in seconds."""


def must_stay(case: Case, device: Device) -> bool:
    """Whether it does harm when a device goes off unplanned, though nobody notices.

    A recording that stops is noticed. A box is not, while others live on it; nor is that a device has come back with
    another time than it had.
    """
    if not device.records and (live_on(case, device.key) or _is_plugged(case, device.key)):
        return True
    shows = device.records or device.cls.value == "timecode slate" or jammed_from(case, device.key)
    counts_takes = device.timecode.mode.value == "record run"
    return shows and forgets(device) is True and not counts_takes and not follows_live(case, device.key)


def _is_plugged(case: Case, key: str) -> bool:
    """Whether a device gives its timecode to another all day."""
    feeds = (feed for arriving in case.timecode.arriving.values() for feed in arriving if feed.source == key)
    return any(feed.last.connected.value not in ("to jam", "to compare") for feed in feeds)


def jammed_from(case: Case, key: str) -> bool:
    """Whether others are jammed from a device."""
    return any(jam.source == key for jam in case.run.jams)


def then_told(case: Case, device: Device) -> str:
    """What happens when a device goes off, in words that hold for several like it."""
    live = live_on(case, device.key)
    if not live:
        return f"{WHO} {either('comes', 'come')} back without the time of the others"
    silent = [key for key in live if case.setup.devices[key].timecode.source.value is None]
    them = either("it", "them")
    if len(silent) == len(live):
        return f"what records the timecode of {them} as sound falls silent"
    rest = ", and what records it as sound falls silent" if silent else ""
    return f"what follows {them} goes on by its own clock{rest}"


def that_hang_on(case: Case, device: Device) -> tuple[Mention, ...]:
    """Where it says that others live on a device."""
    live = (case.setup.devices[key] for key in live_on(case, device.key))
    return tuple(Mention(each.timecode.place, f"{each.called} lives on {device.called}") for each in live)
