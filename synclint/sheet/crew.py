"""The head of the sheet and its line a device: the five numbers, how timecode arrives, what makes it go."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, fields
from fractions import Fraction

from synclint.day.clocktime import clock_of, day_clocks
from synclint.day.run import Run
from synclint.findings import listed
from synclint.rig.graphs import ClockGraph, Feed, TimecodeGraph
from synclint.rig.model import OWN_CLOCK, Device, Setup
from synclint.rig.offsets import MENU, FixedOffset, offsets_of
from synclint.sheet.values import DeviceLine, Number
from synclint.trade.quantities import say_clock, say_duration, say_frequency, say_number

NOT_STATED = "not stated"


@dataclass(frozen=True)
class Given:
    """What a sheet is made from besides the report."""

    setup: Setup
    timecode: TimecodeGraph
    clock: ClockGraph
    run: Run


# --- the five numbers ------------------------------------------------------------------------------------------


def five_numbers(given: Given) -> tuple[Number, ...]:
    """Rate and count, meaning of the labels, sample rate, master, tolerance."""
    project = given.setup.project
    rate, tolerance, sample = project.rate.value, project.tolerance, project.sample_rate.value
    fps = rate.rate.fps if rate is not None else None
    exact = "" if fps is None else f"{fps}, not {round(fps)}" if fps.denominator > 1 else f"{fps} a second"
    return (
        Number("Rate and count", rate.name if rate is not None else NOT_STATED, exact),
        Number("Labels", project.timecode_as.value or NOT_STATED, project.zone.value or _zone_of(given.setup)),
        Number("Sample rate", say_frequency(sample) if sample is not None else NOT_STATED, _bits(given.setup)),
        _master(given),
        Number("Tolerance", tolerance.text or _tolerance(given.setup), _tolerance_detail(given.setup)),
    )


def _zone_of(setup: Setup) -> str:
    return next((day.zone.value for day in setup.days if day.zone.value is not None), "")


def _bits(setup: Setup) -> str:
    """The bit depth, where all that record sound with one have the same."""
    sounds = (device.sound for device in setup.devices.values())
    depths = {sound.bit_depth.value for sound in sounds if sound is not None and sound.bit_depth.value is not None}
    return f"{depths.pop()} bit" if len(depths) == 1 else ""


def _master(given: Given) -> Number:
    """Who is meant to lead, or who does where nobody says; and how it comes to its time."""
    setup = given.setup
    meant = setup.project.master_timecode.value
    roots = [meant] if meant in setup.devices else list(given.timecode.followers)
    if not roots or meant == "none":
        return Number("Master", "none")
    names = listed(setup.called(key) for key in roots if key is not None)
    hands = [step for step in given.run.steps if step.what == "set clock" and roots[0] in step.keys]
    if not hands or hands[0].event is None:
        return Number("Master", names)
    source = "".join(hands[0].event.words("from"))
    detail = f"set {clock_of(setup, hands[0].at)}{f' from {source}' if source else ''}"
    return Number("Master", names, detail)


def _tolerance(setup: Setup) -> str:
    value = setup.project.tolerance.value
    if value is None:
        return NOT_STATED
    if value.frames is None:
        return say_duration(value.seconds or Fraction(0))
    return f"{say_number(value.frames)} {'frame' if value.frames == 1 else 'frames'}"


def _tolerance_detail(setup: Setup) -> str:
    seconds = setup.project.tolerance_seconds
    whole = _tolerance(setup)
    said = f"{say_duration(seconds)} " if seconds is not None and say_duration(seconds) != whole else ""
    assumed = ", assumed" if setup.project.tolerance.assumed else ""
    return f"{said}between any two{assumed}"


# --- a line a device -------------------------------------------------------------------------------------------


def device_lines(given: Given) -> tuple[DeviceLine, ...]:
    """A line for each device with a clock, in the order of the file; alike ones share it."""
    offsets = offsets_of(given.setup)
    jams = _jams(given.run)
    folded: dict[tuple[object, ...], list[str]] = {}
    lines: dict[tuple[object, ...], DeviceLine] = {}
    for device in given.setup.devices.values():
        if device.through:
            continue
        line = _line(given, device, offsets.get(device.key), jams.get(device.key, ()))
        alike = tuple(getattr(line, each.name) for each in fields(line) if each.name not in ("devices", "keys"))
        folded.setdefault(alike, []).append(device.key)
        lines.setdefault(alike, line)
    return tuple(
        DeviceLine(tuple(map(given.setup.called, keys)), tuple(keys), *alike)  # type: ignore[arg-type]  # as they stood
        for alike, keys in folded.items()
    )


def _jams(run: Run) -> dict[str, tuple[str, ...]]:
    """When each device is jammed."""
    found: dict[str, dict[str, None]] = {}
    for jam in run.jams:
        found.setdefault(jam.target, {})[clock_of(run.setup, jam.at)] = None
    return {key: tuple(times) for key, times in found.items()}


def _line(given: Given, device: Device, offset: FixedOffset | None, jams: tuple[str, ...]) -> DeviceLine:
    feeds = given.timecode.listened.get(device.key, ())
    on_track = track_feeds(given.timecode, device)
    arrives = feeds or on_track
    return DeviceLine(
        devices=(device.called,),
        keys=(device.key,),
        runs=_runs(device, on_track),
        gets=_gets(given.setup, device, arrives),
        stays=" and ".join(dict.fromkeys(_stays(feed) for feed in arrives)),
        reference=_reference(given, device),
        offset=offset_told(offset),
        kept_on=_kept_on(device),
        level=_level(device, on_track),
        loses=loses_told(device),
        jams=jams,
    )


def track_feeds(timecode: TimecodeGraph, device: Device) -> tuple[Feed, ...]:
    """What arrives at a device that records its timecode as sound and listens to none."""
    tracks = (device.sound.tracks.value if device.sound else None) or {}
    if device.timecode.source.value is not None or "LTC" not in tracks.values():
        return ()
    return tuple(feed for feed in timecode.arriving.get(device.key, ()) if not feed.last.only_compares)


def _runs(device: Device, on_track: Iterable[Feed]) -> str:
    mode, source = device.timecode.mode.value, device.timecode.source.value
    if any(True for _ in on_track):
        return "timecode recorded as sound"
    if mode is None and source is None:
        return "no timecode"
    if source == OWN_CLOCK:
        return f"own clock, {mode}" if mode else "own clock"
    return mode or NOT_STATED


def _gets(setup: Setup, device: Device, feeds: Iterable[Feed]) -> str:
    """By what and from whom timecode arrives, and into which port."""
    told = []
    for feed in feeds:
        link = feed.last
        by = "by radio" if link.by == "radio" else "by network" if link.by == "network" else "by lead"
        through = [setup.called(each.source.device) for each in feed.links[1:]]
        way = f" through {listed(dict.fromkeys(through))}" if through else ""
        told.append(f"{link.carries.value or 'timecode'} {by} from {setup.called(feed.source)}{way} into {feed.port}")
    if told:
        return "; ".join(told)
    port = device.ports.get(device.timecode.source.value or "")
    outside = port.takes.value if port is not None else None
    if port is not None and outside:
        return f"{listed(outside)} into {port.key}"
    return "" if device.timecode.source.value in (OWN_CLOCK, None) else "nothing arrives"


def _stays(feed: Feed) -> str:
    if feed.last.by != "lead":
        return "all day"
    return {"to jam": "only to jam", "to compare": "only to compare"}.get(feed.last.connected.value or "", "all day")


def _reference(given: Given, device: Device) -> str:
    """What paces it, where that is not its own clock."""
    told = [
        f"{feed.last.format.value or feed.last.carries.value or 'reference'} from {given.setup.called(feed.source)} "
        f"into {feed.port}"
        for feed in given.clock.listened.get(device.key, ())
    ]
    return "; ".join(told)


def offset_told(offset: FixedOffset | None) -> str:
    """A fixed offset with its sign, and who corrects it; empty where there is none."""
    if offset is None or not offset.amount:
        return ""
    said = offset.written(offset.amount)
    if offset.left:
        entry = offset.entry
        if entry is None:
            return f"{said}, not corrected"
        by = f"enter {entry.written} in the menu" if entry.where == MENU else f"have post subtract {entry.written}"
        return f"{said}, not corrected: {by}"
    where = MENU if offset.device.offset_corrected_in.value == MENU else "post"
    return f"{said}, corrected in {where}"


def _kept_on(device: Device) -> str:
    """Where its recordings keep a label."""
    places = device.timecode_on.value
    if not device.records:
        return ""
    if places is None:
        return NOT_STATED
    return listed(places) if places else "none"


def _level(device: Device, feeds: Iterable[Feed]) -> str:
    """What is set at the socket at which timecode is recorded as sound."""
    told: list[str] = []
    for feed in feeds:
        port = device.ports.get(feed.port)
        pads = [link.lead.pad for link in feed.links if link.lead is not None]
        told += [f"pad {say_number(pad.value)} dB" for pad in pads if pad.value]
        if port is None:
            continue
        sides = (("gain", port.electrics.gain), ("plug-in power", port.electrics.plug_in_power))
        told += [f"{name} {fact.value}" for name, fact in sides if fact.value is not None]
    return ", ".join(dict.fromkeys(told))


def loses_told(device: Device) -> str:
    """What makes it lose its time, in words; empty where nobody says."""
    side, said = device.timecode, []
    losses = [each for each in side.loses_time_on.value or () if each != "power off" or not side.keeps_time_off.value]
    if losses:
        said.append(listed(losses))
    if side.keeps_time_off.value:
        said.append(f"off for more than {say_duration(side.keeps_time_off.value)}")
    return " or ".join(said) if said else ("keeps it" if side.loses_time_on.value == () else "")


# --- the days --------------------------------------------------------------------------------------------------


def days_told(setup: Setup) -> Iterator[str]:
    """Each day with its date, its hours and its zone."""
    for number, clock in enumerate(day_clocks(setup), 1):
        day = clock.day
        date = str(day.date.value) if day.date.value is not None else f"day {number}"
        call, wrap = (say_clock(fact.value) if fact.value is not None else "?" for fact in (day.call, day.wrap))
        zone = f", {clock.zone}" if clock.zone else ""
        yield f"{date}, {call} to {wrap}{zone}"
