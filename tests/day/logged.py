"""The days of a small rig with a log of them: a bag, two boxes jammed from it, and a camera on the first box."""

from __future__ import annotations

from synclint.documents.reading import load_text
from synclint.documents.schema import validate
from synclint.rig.log import BuiltLog, read_log
from synclint.rig.model import Setup
from synclint.rules.framework import Case
from tests.day.running import Days, shoot

BOX = (
    "able: {class: compensated generator, ports: {jack: {in: [LTC], out: [LTC]}}, "
    "timecode: {jam_error: 0.1 ms, loses_time_on: [power off]}, clock: {accuracy: 0.5 ppm%s}}, "
    "timecode: {from: jack, mode: jam}"
)
BAG = "able: {class: bag recorder, ports: {out: {out: [LTC]}}, clock: {accuracy: 0.2 ppm}}, timecode: {from: own clock}"
CAMERA = (
    "able: {class: cinema camera, ports: {in: {in: [LTC]}}, clock: {accuracy: 2 ppm}}, "
    "timecode: {from: in, mode: continuous}, offset: {amount: +1 frame}"
)
DEVICES = f"""
bag: {{{BAG}}}
box_a: {{{BOX % ""}}}
box_b: {{{BOX % ""}}}
cam_a: {{{CAMERA}}}
"""
LINKS = """
{from: bag.out, to: [box_a.jack, box_b.jack], carries: LTC, connected: to jam}
{from: box_a.jack, to: cam_a.in, carries: LTC, connected: all day}
"""
EVENTS = """
{at: 07:00, do: jam, of: all}
{at: 12:40, do: jam, of: all}
"""


def rigged(events: str = EVENTS, devices: str = DEVICES, more: str = "") -> Days:
    """The rig on one day of these events."""
    return shoot(devices, events, links=LINKS, more=more)


def log_text(entries: str, head: str = "") -> str:
    """A log of these entries, a line each."""
    lines = [f"  - {line.strip()}\n" for line in entries.strip().splitlines()]
    return f"synclint: log/1\n{head}entries:\n{''.join(lines)}"


def read(setup: Setup, text: str) -> BuiltLog:
    """A log that is right as a document, read against a setup."""
    loaded = load_text(text, "day.log.yaml")
    assert loaded.document is not None
    assert [problem.sentence for problem in (*loaded.problems, *validate(loaded.document))] == []
    return read_log(loaded.document, setup)


def logged(entries: str, days: Days | None = None) -> Days:
    """The days of the rig with a log in which nothing is wrong."""
    days = days or rigged()
    built = read(days.case.setup, log_text(entries))
    assert [problem.sentence for problem in built.problems] == []
    return Days(days.document, Case(days.case.setup, built.log))
