"""A recorder, a box and cameras through a day, for the tests of what happens in it."""

from __future__ import annotations

from tests.rules.running import rig

_ABLE = "able: {{class: {cls}, ports: {{{ports}}}, clock: {{accuracy: {ppm} ppm}}{more}}}"
_IN = "{in: [LTC]}"
_BOTH = "{in: [LTC], out: [LTC]}"

TO_JAM = "to jam"
ALL_DAY = "all day"
JAM = "{at: 07:00, do: jam, of: all}"


def bag(timecode: str = "", *, rate: str = "25", ppm: str = "0.5") -> str:
    """The recorder on its own clock; `timecode` are its abilities."""
    able = _ABLE.format(cls="bag recorder", ports="tc_out: {out: [LTC]}", ppm=ppm, more=_timecode(timecode))
    side = f"timecode: {{from: own clock, mode: free run, rate: {rate}}}"
    return f"  bag: {{{able}, {side}, records: {{sound: {{sample_rate: 48 kHz}}, timecode_on: [file]}}}}\n"


def box(key: str = "box_a", *, ppm: str = "0.5", timecode: str = "") -> str:
    """A box that is jammed and gives its time on."""
    able = _ABLE.format(cls="compensated generator", ports=f"jack: {_BOTH}", ppm=ppm, more=_timecode(timecode))
    return f"  {key}: {{{able}, timecode: {{from: jack, mode: jam, rate: 25}}}}\n"


def slate(timecode: str = "") -> str:
    """A slate that is jammed."""
    able = _ABLE.format(cls="timecode slate", ports=f"jack: {_IN}", ppm="1", more=_timecode(timecode))
    return f"  slate: {{{able}, timecode: {{from: jack, mode: jam, rate: 25}}}}\n"


def cam(
    key: str = "cam_a",
    timecode: str = "",
    *,
    mode: str = "jam",
    ppm: str = "2",
    source: str = "tc_in",
    rate: str = "25",
    shot: str = "25",
) -> str:
    """A camera that is jammed, or follows; `timecode` are its abilities."""
    ports = f"tc_in: {_IN}, tc_out: {{out: [LTC]}}"
    able = _ABLE.format(cls="cinema camera", ports=ports, ppm=ppm, more=_timecode(timecode))
    side = f"timecode: {{from: {source}, mode: {mode}, rate: {rate}}}"
    picture = f"picture: {{shot_at: {shot}, played_at: {rate.split(maxsplit=1)[0]}}}"
    return f"  {key}: {{{able}, {side}, records: {{{picture}, timecode_on: [file]}}}}\n"


def _timecode(timecode: str) -> str:
    return f", timecode: {{{timecode}}}" if timecode else ""


def lead(source: str, target: str, connected: str = TO_JAM) -> str:
    """A lead of LTC between two sockets."""
    return f"  - {{from: {source}, to: {target}, carries: LTC, connected: {connected}}}\n"


def a_day(
    *events: str,
    devices: str,
    links: str = "",
    day: str = "call: 06:30, wrap: 19:00",
    project: str = "rate: 25, tolerance: 1 frame, timecode: {as: time of day}, master: {timecode: bag}",
) -> str:
    """A setup with these events in its day."""
    return rig(devices, project=project, day=f"{day}, events: [{', '.join(events)}]", links=links)


def roll(at: str, until: str, *keys: str, more: str = "") -> str:
    """A take."""
    return f"{{at: {at}, do: roll, of: [{', '.join(keys)}], until: {until}{more}}}"


def off(at: str, until: str, *keys: str) -> str:
    """A device that is switched off."""
    end = f", until: {until}" if until else ""
    return f"{{at: {at}, do: power off, of: [{', '.join(keys)}]{end}}}"


FED = lead("bag.tc_out", "cam_a.tc_in")
