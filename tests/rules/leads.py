"""Rigs for the rules about leads with timecode: a box with one jack, and cameras that record or read it."""

from __future__ import annotations

from tests.rules.running import rig

BOX = "out: [LTC], connector: 3.5 mm TRS, level: {line: 1 Vpp open, mic: 30 mVpp open}, source_impedance: 1 kohm"
MIC = (
    "in: [sound, LTC], connector: 3.5 mm TRS, channels: {tip: left, ring: right}, accepts: 1..300 mVpp, "
    "input_impedance: 2 kohm"
)
TRACKS = "{left: LTC, right: scratch}"


def small(
    *,
    box: str = BOX,
    box_set: str = "output: mic",
    mic: str = MIC,
    mic_set: str = "gain: fixed, processing: []",
    sound: str = "sample_rate: 48 kHz, coding: PCM",
    tracks: str = TRACKS,
    lead: str = "lead: 3.5 mm TRS to 3.5 mm TRS",
    on: str = "[left]",
    more: str = "",
    links: str = "",
    project: str = "rate: 25",
    day: str = "call: 09:00, wrap: 18:00",
) -> str:
    """A box that feeds the microphone jack of a small camera all day."""
    devices = f"""
  box: {{able: {{class: compensated generator, ports: {{jack: {{{box}}}}}}}, ports: {{jack: {{{box_set}}}}}}}
  cam:
    able: {{class: small camera, ports: {{mic_in: {{{mic}}}}}}}
    ports: {{mic_in: {{{mic_set}}}}}
    records: {{picture: {{shot_at: 25, played_at: 25}}, sound: {{{sound}, tracks: {tracks}}}, timecode_on: {on}}}
{more}"""
    lead_to_cam = f"  - {{from: box.jack, to: cam.mic_in, carries: LTC, connected: all day, {lead}}}\n"
    return rig(devices, project=project, day=day, links=lead_to_cam + links)


def reader(
    *,
    box: str = "out: [LTC], level: 1 Vpp open, source_impedance: 1 kohm",
    box_set: str = "",
    tc_in: str = "in: [LTC], accepts: 0.5..5 Vpp, input_impedance: 10 kohm",
    tc_set: str = "",
    lead: str = "connected: all day",
    count: int = 1,
    more: str = "",
    links: str = "",
) -> str:
    """A box that feeds the timecode inputs of some cameras, all from its one jack."""
    devices = f"""
  box: {{able: {{class: compensated generator, ports: {{jack: {{{box}}}}}}}, ports: {{jack: {{{box_set}}}}}}}
  cam_1..cam_{count}:
    able: {{class: cinema camera, ports: {{tc_in: {{{tc_in}}}}}}}
    timecode: {{from: tc_in}}
    ports: {{tc_in: {{{tc_set}}}}}
{more}"""
    leads = f"  - {{from: box.jack, to: [cam_1..cam_{count}.tc_in], carries: LTC, {lead}}}\n"
    return rig(devices, day="call: 09:00, wrap: 18:00", links=links or leads)
