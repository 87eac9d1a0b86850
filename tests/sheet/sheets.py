"""Sheets to look at: of the samples, and of setups made up for a test."""

from __future__ import annotations

from functools import cache
from pathlib import Path

from synclint.checker import Choice, examine
from synclint.sheet.build import build
from synclint.sheet.crew import Given
from synclint.sheet.html import html
from synclint.sheet.values import Sheet

SAMPLES = Path(__file__).parents[2] / "sample_setups"

HOSTILE_TITLE = "</title><script>alert(1)</script> ](http://x.example) | `a` **b** & <b>"
HOSTILE_NAMES = (
    "<script>alert('bag')</script>",
    "](javascript:alert(1)) | a |",
    '</svg></style>`*_~#"\' onload="x',
    "{{ 7*7 }}{% raw %}&amp;<!--",
)
HOSTILE_WORDS = "<script>because</script> | ](q) `code`"

HOSTILE = rf"""
synclint: setup/1
title: '{HOSTILE_TITLE}'
revision: "<img src=x onerror=alert(2)>"
project:
  rate: 23.976 NDF
  sample_rate: 48 kHz
  timecode: {{as: time of day, zone: Europe/Lisbon}}
  tolerance: 1 frame
  master: {{timecode: bag, clock: none}}
days:
  - date: 2026-06-14
    zone: Europe/Lisbon
    call: 06:30
    wrap: 12:00
    longest_take: 20 min
    events:
      - {{at: 07:00, do: jam, of: all}}
      - {{at: 09:00, do: power off, of: [box_a], until: 09:05, why: "{HOSTILE_WORDS}"}}
      - {{at: 09:10, do: jam, of: [box_a]}}
devices:
  bag:
    name: "{HOSTILE_NAMES[0]}"
    able: {{class: field recorder, ports: {{tc_out: {{out: [LTC]}}}}}}
    timecode: {{from: own clock, mode: free run, rate: 23.976 NDF}}
    clock: {{from: own clock}}
    records: {{sound: {{sample_rate: 48 kHz}}, timecode_on: [file]}}
  box_a:
    name: "{HOSTILE_NAMES[1]}"
    able: {{class: compensated generator, ports: {{jack: {{in: [LTC], out: [LTC]}}}}}}
    timecode: {{from: jack, mode: jam, rate: 23.976 NDF}}
  box_b: {{like: box_a, name: '{HOSTILE_NAMES[2].replace("'", "''")}'}}
  cam_a:
    name: "{HOSTILE_NAMES[3]}"
    able: {{class: cinema camera, ports: {{tc_in: {{in: [LTC]}}}}}}
    timecode: {{from: tc_in, mode: continuous, rate: 23.976 NDF}}
    records: {{picture: {{shot_at: 23.976, played_at: 23.976}}, timecode_on: [file]}}
links:
  - {{from: bag.tc_out, to: [box_a.jack, box_b.jack], carries: LTC, connected: to jam, lead: "<i>3.5</i> to <script>"}}
  - {{from: box_a.jack, to: cam_a.tc_in, carries: LTC, connected: all day}}
accepted:
  - {{rule: single-master-without-spare, device: bag, why: "{HOSTILE_WORDS}", by: "<b>me</b>", until: 2026-06-30}}
"""

TWO_NIGHTS = """
synclint: setup/1
title: Two nights
revision: A
project:
  rate: 25
  tolerance: 1 frame
  master: {timecode: bag, clock: none}
days:
  - date: 2026-06-14
    zone: Europe/Lisbon
    call: 18:00
    wrap: 04:00 +1
    longest_take: 10 min
    events:
      - {at: 18:30, do: jam, of: all}
      - {at: 01:00 +1, do: jam, of: all}
  - date: 2026-06-16
    zone: Europe/Lisbon
    call: 18:00
    wrap: 23:00
    longest_take: 10 min
    events:
      - {at: 18:30, do: jam, of: all}
devices:
  bag:
    able: {class: field recorder, ports: {tc_out: {out: [LTC]}}}
    timecode: {from: own clock, mode: free run, rate: 25}
    clock: {from: own clock}
    records: {sound: {sample_rate: 48 kHz}, timecode_on: [file]}
  box_a:
    able: {class: compensated generator, ports: {jack: {in: [LTC], out: [LTC]}}}
    timecode: {from: jack, mode: jam, rate: 25}
links:
  - {from: bag.tc_out, to: box_a.jack, carries: LTC, connected: to jam}
"""


def sheet_of(path: Path, log: Path | None = None) -> Sheet:
    """The sheet of a setup in a file."""
    examined = examine(str(path), Choice(drift=True, log=str(log) if log else None))
    case = examined.case
    assert case is not None
    return build(Given(case.setup, case.timecode, case.clock, case.run), examined.report)


def sheet_from(text: str, folder: Path, name: str = "made.setup.yaml") -> Sheet:
    """The sheet of a setup given as text."""
    path = folder / name
    path.write_text(text, encoding="utf-8")
    return sheet_of(path)


@cache
def sample(name: str) -> Sheet:
    """The sheet of a sample."""
    return sheet_of(SAMPLES / f"{name}.setup.yaml")


@cache
def sample_html(name: str) -> str:
    """The page of a sample."""
    return html(sample(name))
