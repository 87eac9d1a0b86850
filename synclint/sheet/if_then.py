"""What to do when something happens, in lines made from the rig."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from synclint.findings import listed
from synclint.rig.model import OWN_CLOCK, Device
from synclint.sheet.crew import Given, loses_told, track_feeds
from synclint.sheet.values import Rule
from synclint.trade.quantities import say_duration

_FEW = 5


def rules(given: Given) -> tuple[Rule, ...]:
    """The if-then lines, the likeliest first."""
    return tuple(_rules(given))


def _rules(given: Given) -> Iterator[Rule]:
    shows = _slates(given)
    film = f"film {listed(shows)}" if shows else "film a running display"
    yield from _batteries(given, film)
    roots = [key for key in given.timecode.followers if given.setup.devices[key].timecode.source.value == OWN_CLOCK]
    for key in roots:
        hang = [each for each in given.timecode.followers[key] if each in given.run.histories]
        if hang:
            keeps = given.setup.devices[key].timecode.keeps_time_off.value
            off = f"off for more than {say_duration(keeps)}" if keeps else "off"
            yield Rule(f"{given.setup.called(key)} was {off} or was set anew", _after_the_master(given, hang, film))
    yield Rule(
        "a rate, count or run mode was changed on anything",
        f"say it out loud, set the others to match, jam again, {film}, and compare a recorded clip",
    )
    radio = [link for link in given.setup.links if link.by == "radio" and link.target.device in given.run.histories]
    if radio:
        names = _names(given, list(dict.fromkeys(link.target.device for link in radio)))
        yield Rule(
            "a radio link is gone for more than a take",
            f"let {names} run on, jam by lead if it lasts, and compare when it is back",
        )
    on_track = [device for device in given.setup.devices.values() if track_feeds(given.timecode, device)]
    if on_track:
        yield Rule(
            f"no even tone on the timecode track of {_names(given, [each.key for each in on_track])}",
            "look at the lead, the gain and the side before the take; else clap head and tail",
        )
    yield Rule("a timecode display stands still or flashes", "do not roll: look at the lead and at what feeds it")
    yield Rule("there is no timecode and no time to mend it", "clap in the picture at head and tail, and tell sound")


def _after_the_master(given: Given, hang: Sequence[str], film: str) -> str:
    """What is done when a master comes back with another time: jam who is jammed, look at who follows live."""
    jammed = [key for key in hang if not given.timecode.follows_continuously(key)]
    if jammed:
        return f"jam {_names(given, jammed)} again, all in one round, then {film}"
    return f"see its digits again on {_names(given, hang)} before the next take, then {film}"


def _batteries(given: Given, film: str) -> Iterator[Rule]:
    """What a change of battery asks for, of each kind of device."""
    jammed, finds, keeps = [], [], []
    for key in given.run.histories:
        device = given.setup.devices[key]
        if device.timecode.source.value == OWN_CLOCK or device.timecode.source.value is None:
            continue
        if given.timecode.follows_continuously(key):
            finds.append(key)
        elif _keeps(device):
            keeps.append(key)
        else:
            jammed.append(key)
    if jammed:
        yield Rule(_changed(given, jammed), f"jam it again before the next take, then {film}")
    if keeps:
        yield Rule(_changed(given, keeps), "it keeps its time: see the digits, and compare")
    if finds:
        then = f"it takes the time again by itself: see the digits move before the take, then {film}"
        yield Rule(_changed(given, finds), then)


def _changed(given: Given, keys: Sequence[str]) -> str:
    return f"a battery is changed: {_names(given, keys)}"


def _keeps(device: Device) -> bool:
    return loses_told(device).startswith(("keeps", "off for more"))


def _slates(given: Given) -> Sequence[str]:
    devices = given.setup.devices.values()
    return [device.called for device in devices if device.cls.value == "timecode slate"][:2]


def _names(given: Given, keys: Sequence[str]) -> str:
    return listed((given.setup.called(key) for key in keys), limit=_FEW)
