"""Rigs for the tests of what post gets: a recorder, a camera that is labelled from it, and one that a test is about."""

from __future__ import annotations

from tests.rules.running import rig

BAG = (
    "  bag: {able: {class: bag recorder, ports: {tc_out: {out: [LTC]}}, clock: {accuracy: 0.5 ppm}}, "
    "timecode: {from: own clock, mode: free run, rate: 25}, "
    "records: {sound: {sample_rate: 48 kHz}, timecode_on: [file]}}\n"
)
PICTURE = "picture: {shot_at: 25, played_at: 25}"


def labelled(
    key: str = "cam_a", *, records: str = "timecode_on: [file]", more: str = "", mode: str = "continuous"
) -> str:
    """A camera that takes LTC from the recorder."""
    able = "able: {class: cinema camera, ports: {tc_in: {in: [LTC]}}, clock: {accuracy: 2 ppm}}"
    side = f"timecode: {{from: tc_in, mode: {mode}, rate: 25}}"
    return f"  {key}: {{{able}, {side}, records: {{{PICTURE}, {records}}}{more}}}\n"


def bare(key: str = "cam_b", *, able: str = "timecode: {modes: []}", records: str = "", more: str = "") -> str:
    """A camera without timecode."""
    side = f", {records}" if records else ""
    return f"  {key}: {{able: {{{able}}}, records: {{{PICTURE}{side}}}{more}}}\n"


def fed(*keys: str) -> str:
    """The leads that label cameras."""
    return "".join(f"  - {{from: bag.tc_out, to: {key}.tc_in, carries: LTC, connected: all day}}\n" for key in keys)


def shoot(
    *devices: str,
    post: str = "",
    day: str = "call: 09:00, wrap: 18:00, longest_take: 5 min, clips: 40",
    events: tuple[str, ...] = (),
    links: str = "",
    project: str = "timecode: {as: time of day}",
    units: str = "",
) -> str:
    """A setup of the recorder and these devices; `post` is what the project says of post."""
    said = f", post: {{{post}}}" if post else ""
    told = f", events: [{', '.join(events)}]" if events else ""
    return rig(
        BAG + "".join(devices),
        project=f"rate: 25, tolerance: 1 frame, {project}, master: {{timecode: bag}}{said}",
        day=f"{day}{told}",
        links=links,
        units=units,
    )


def roll(at: str, until: str, *keys: str, more: str = "") -> str:
    """A take."""
    return f"{{at: {at}, do: roll, of: [{', '.join(keys)}], until: {until}{more}}}"
