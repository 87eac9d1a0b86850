"""A day of twelve events and six devices, worked out on paper, against what the program makes of it."""

from __future__ import annotations

import re
from collections.abc import Iterator
from functools import cache
from itertools import product

import pytest

from synclint.day.moments import State
from synclint.trade.quantities import parse_clock_time
from tests.day.running import Days, lived

SETUP = """\
synclint: setup/1
title: A day on paper
project: {rate: 25}
days:
  - date: 2026-06-14
    call: 06:30
    wrap: 19:00
    events:
      - {at: 06:50, do: set clock, of: [bag], from: wall clock}
      - {at: 07:00, do: jam, of: all}
      - {at: 07:20, do: compare, of: [box_a], against: bag, read_by: display}
      - {at: 09:00, do: arrive, of: [slate]}
      - {at: 09:05, do: jam, of: [slate], from: box_a}
      - {at: 10:00, do: roll, of: [bag, cam_a, cam_b], until: 10:30}
      - {at: 11:00, do: power off, of: [box_b], until: 11:04, why: battery}
      - {at: 12:00, do: power off, of: [bag], until: 14:30, why: lunch}
      - {at: 12:40, do: break, until: 13:25}
      - {at: 13:00, do: link lost, of: [cam_a], until: 13:10}
      - {at: 15:00, do: set, of: [cam_a], to: {timecode: {from: own clock}}}
      - {at: 15:30, do: jam, of: all}

devices:
  bag:
    able:
      class: field recorder
      ports: {tc_out: {out: [LTC]}}
      timecode: {keeps_time_off: 2 h, at_power_up: own calendar clock}
    timecode: {from: own clock, mode: free run, rate: 25}
  box_a:
    able: {class: compensated generator, ports: {jack: {in: [LTC], out: [LTC]}}, timecode: {loses_time_on: [power off]}}
    timecode: {from: jack, mode: jam, rate: 25}
  box_b: {like: box_a}
  slate:
    able: {class: timecode slate, ports: {in: {in: [LTC]}}}
    timecode: {from: in, mode: jam, rate: 25}
  cam_a:
    able: {class: cinema camera, ports: {tc_in: {in: [LTC]}}}
    timecode: {from: tc_in, mode: continuous, rate: 25}
    records: {picture: {shot_at: 25, played_at: 25}}
  cam_b:
    able: {class: small camera, ports: {mic_in: {in: [LTC]}}}
    records:
      picture: {shot_at: 25, played_at: 25}
      sound: {sample_rate: 48 kHz, tracks: {left: LTC, right: scratch}}

links:
  - {from: bag.tc_out, to: [box_a.jack, box_b.jack, slate.in], carries: LTC, connected: to jam}
  - {from: box_a.jack, to: cam_a.tc_in, carries: LTC, connected: all day}
  - {from: box_b.jack, to: cam_b.mic_in, carries: LTC, connected: all day}
"""

# Of each device: what its time comes from, how old it is (hours:minutes, since the jam that it comes from, or else
# since the line of time began), when that jam was (`-` where none), and the line of time: whose, how begun, and when.
TABLE = """
06:40 Nothing has happened since the day began at the call, 06:30. The recorder runs on what it was switched on
      with. The boxes listen to a lead that is not plugged: each shows what it was left with. Camera A lives on box
      A, camera B records box B. The slate is still on its way.
    bag    bag    0:10  -      bag running 06:30
    box_a  box_a  0:10  -      box_a left 06:30
    box_b  box_b  0:10  -      box_b left 06:30
    slate  away
    cam_a  box_a  0:10  -      box_a left 06:30
    cam_b  box_b  0:10  -      box_b left 06:30
06:55 The recorder was set by eye at 06:50: a new line of time. Nobody else knows of it.
    bag    bag    0:05  -      bag set 06:50
    box_a  box_a  0:25  -      box_a left 06:30
    box_b  box_b  0:25  -      box_b left 06:30
    slate  away
    cam_a  box_a  0:25  -      box_a left 06:30
    cam_b  box_b  0:25  -      box_b left 06:30
07:10 All were jammed at 07:00: whoever has a lead `to jam` and is there, which is both boxes. The cameras have
      none, but what they live on was jammed. The recorder itself was not: its counter runs since 06:50.
    bag    bag    0:20  -      bag set 06:50
    box_a  bag    0:10  07:00  bag set 06:50
    box_b  bag    0:10  07:00  bag set 06:50
    slate  away
    cam_a  box_a  0:10  07:00  bag set 06:50
    cam_b  box_b  0:10  07:00  bag set 06:50
07:30 A comparison at 07:20 changes nothing.
    bag    bag    0:40  -      bag set 06:50
    box_a  bag    0:30  07:00  bag set 06:50
    box_b  bag    0:30  07:00  bag set 06:50
    slate  away
    cam_a  box_a  0:30  07:00  bag set 06:50
    cam_b  box_b  0:30  07:00  bag set 06:50
09:02 The slate has come at 09:00 with whatever was left on it.
    bag    bag    2:12  -      bag set 06:50
    box_a  bag    2:02  07:00  bag set 06:50
    box_b  bag    2:02  07:00  bag set 06:50
    slate  slate  2:32  -      slate left 06:30
    cam_a  box_a  2:02  07:00  bag set 06:50
    cam_b  box_b  2:02  07:00  bag set 06:50
09:30 It was jammed at 09:05, from box A: its time is the recorder's of 06:50, by way of box A's jam at 07:00.
    bag    bag    2:40  -      bag set 06:50
    box_a  bag    2:30  07:00  bag set 06:50
    box_b  bag    2:30  07:00  bag set 06:50
    slate  box_a  0:25  09:05  bag set 06:50
    cam_a  box_a  2:30  07:00  bag set 06:50
    cam_b  box_b  2:30  07:00  bag set 06:50
11:02 Box B is off, so camera B, which has no counter, has no time.
    bag    bag    4:12  -      bag set 06:50
    box_a  bag    4:02  07:00  bag set 06:50
    box_b  off
    slate  box_a  1:57  09:05  bag set 06:50
    cam_a  box_a  4:02  07:00  bag set 06:50
    cam_b  none
11:10 Box B came back at 11:04 and loses its time when off: it began anew, and camera B records that.
    bag    bag    4:20  -      bag set 06:50
    box_a  bag    4:10  07:00  bag set 06:50
    box_b  box_b  0:06  -      box_b restarted 11:04
    slate  box_a  2:05  09:05  bag set 06:50
    cam_a  box_a  4:10  07:00  bag set 06:50
    cam_b  box_b  0:06  -      box_b restarted 11:04
12:30 The recorder is off since 12:00. The boxes run by themselves, as they have since 07:00.
    bag    off
    box_a  bag    5:30  07:00  bag set 06:50
    box_b  box_b  1:26  -      box_b restarted 11:04
    slate  box_a  3:25  09:05  bag set 06:50
    cam_a  box_a  5:30  07:00  bag set 06:50
    cam_b  box_b  1:26  -      box_b restarted 11:04
13:05 Camera A lost its lead at 13:00: it goes on by itself from what box A showed then, which is still the time of
      07:00.
    bag    off
    box_a  bag    6:05  07:00  bag set 06:50
    box_b  box_b  2:01  -      box_b restarted 11:04
    slate  box_a  4:00  09:05  bag set 06:50
    cam_a  box_a  6:05  07:00  bag set 06:50
    cam_b  box_b  2:01  -      box_b restarted 11:04
13:30 At 13:10 the lead is back, and it lives on box A again. The break in between is nobody's affair.
    bag    off
    box_a  bag    6:30  07:00  bag set 06:50
    box_b  box_b  2:26  -      box_b restarted 11:04
    slate  box_a  4:25  09:05  bag set 06:50
    cam_a  box_a  6:30  07:00  bag set 06:50
    cam_b  box_b  2:26  -      box_b restarted 11:04
14:45 The recorder was off for 2 h 30 min and keeps its time for 2 h: at 14:30 it began from its calendar clock.
    bag    bag    0:15  -      bag calendar 14:30
    box_a  bag    7:45  07:00  bag set 06:50
    box_b  box_b  3:41  -      box_b restarted 11:04
    slate  box_a  5:40  09:05  bag set 06:50
    cam_a  box_a  7:45  07:00  bag set 06:50
    cam_b  box_b  3:41  -      box_b restarted 11:04
15:10 Camera A was set to its own clock at 15:00 and goes on from what box A showed then.
    bag    bag    0:40  -      bag calendar 14:30
    box_a  bag    8:10  07:00  bag set 06:50
    box_b  box_b  4:06  -      box_b restarted 11:04
    slate  box_a  6:05  09:05  bag set 06:50
    cam_a  box_a  8:10  07:00  bag set 06:50
    cam_b  box_b  4:06  -      box_b restarted 11:04
15:45 All were jammed at 15:30: both boxes and the slate from the recorder, whose time is of 14:30. Camera A no
      longer listens. Camera B records box B. Everybody is on one line but camera A, which is on the morning's.
    bag    bag    1:15  -      bag calendar 14:30
    box_a  bag    0:15  15:30  bag calendar 14:30
    box_b  bag    0:15  15:30  bag calendar 14:30
    slate  bag    0:15  15:30  bag calendar 14:30
    cam_a  box_a  8:45  07:00  bag set 06:50
    cam_b  box_b  0:15  15:30  bag calendar 14:30
"""


def cells() -> Iterator[tuple[str, str, str]]:
    """Each clock time with each device and what stands there of it."""
    clock = ""
    for line in TABLE.strip().splitlines():
        begun = re.match(r"(\d\d:\d\d) ", line)
        clock = begun[1] if begun else clock
        row = re.match(r" {4}(\w+) +(.+)", line)
        if row:
            yield clock, row[1], " ".join(row[2].split())


CELLS = list(cells())


@cache
def day() -> Days:
    return lived(SETUP)


def cell(state: State, clock: str) -> str:
    """A device at a clock time, in the words of the table."""
    if not state.present:
        return "away"
    if not state.powered:
        return "off"
    if state.time is None:
        return "none"
    age = state.time.age(day().instant(clock)) / 60
    line, jam = state.time.generation
    hours, minutes = divmod(int(age), 60)
    assert age == hours * 60 + minutes
    return " ".join(
        [
            str(state.source),
            f"{hours}:{minutes:02}",
            "-" if jam is None else seen(jam - day().instant("00:00")),
            line.root,
            line.origin.name.lower(),
            seen(line.since - day().instant("00:00")),
        ]
    )


def seen(seconds: object) -> str:
    """A time of the day as the table writes it."""
    hours, minutes = divmod(int(str(seconds)) // 60, 60)
    return f"{hours:02}:{minutes:02}"


def test_the_table_is_whole() -> None:
    assert len(day().case.setup.days[0].events) == 12
    clocks = list(dict.fromkeys(clock for clock, _, _ in CELLS))
    assert len(clocks) == 14
    assert [(clock, key) for clock, key, _ in CELLS] == list(product(clocks, day().case.setup.devices))
    assert day().run.contradictions == ()


@pytest.mark.parametrize(("clock", "key", "expected"), CELLS, ids=[f"{clock}-{key}" for clock, key, _ in CELLS])
def test_a_device_is_what_the_table_says(clock: str, key: str, expected: str) -> None:
    assert cell(day().at(key, clock), clock) == expected


def test_the_day_begins_at_the_call_and_ends_with_the_wrap() -> None:
    run = day().run
    # 2026-06-14 is 20,618 days after 1970-01-01: 56 years of 365 days, 14 leap days from 1972 to 2024, and in 2026
    # January to May with 151 days and thirteen days of June: 20,440 + 14 + 164.
    midnight = 20_618 * 86_400
    assert run.start == midnight + parse_clock_time("06:30")
    assert run.end == midnight + parse_clock_time("19:00")
