"""Timecode that comes from a playback: it belongs to a song, and not to the day."""

from __future__ import annotations

from collections.abc import Iterator

from synclint.rig.model import Device
from synclint.rules.framework import Case


def song_sources(case: Case) -> frozenset[str]:
    """The devices that play a timecode which is not known to run on without a stop or a jump."""
    return case.once(_song_sources)


def _song_sources(case: Case) -> frozenset[str]:
    return frozenset(key for key, device in case.setup.devices.items() if plays_song_code(device))


def plays_song_code(device: Device) -> bool:
    """Whether a device plays a timecode which is not known to run on without a stop or a jump."""
    return device.plays_timecode.written and device.plays_continuous.value is not True


def on_song_code(case: Case) -> frozenset[str]:
    """The devices that take their time from a song: live, along others, or by a jam on some day."""
    return case.once(_on_song_code)


def _on_song_code(case: Case) -> frozenset[str]:
    return frozenset(_followers(case)) if song_sources(case) else frozenset()


def _followers(case: Case) -> Iterator[str]:
    sources = song_sources(case)
    for key in case.setup.devices:
        if key in sources or case.setup.devices[key].through:
            continue
        states = case.run.histories.get(key, ())
        jammed = any(state.time is not None and state.time.line.root in sources for state in states)
        if jammed or case.timecode.root_of(key).device in sources:
            yield key


def song_of(case: Case, key: str) -> str | None:
    """The playback whose song a device takes its time from."""
    sources = song_sources(case)
    root = case.timecode.root_of(key).device
    if root in sources:
        return root
    roots = (state.time.line.root for state in case.run.histories.get(key, ()) if state.time is not None)
    return next((each for each in roots if each in sources), None)
