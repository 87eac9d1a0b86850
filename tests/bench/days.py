"""How long the days of a shoot take to be run through and checked, as there are more of them.

    python tests/bench/days.py [--days 7 30 365] [--devices 60] [--events 20]

A recorder, boxes jammed from it, a camera on each box; every day has its jam, its rolls, its batteries, somebody who
leaves and comes back, a lost lead and a change of rate. What is wanted is that a day of a year costs what a day of a
week does.
"""

import argparse
import os
import sys
import time
from collections.abc import Callable, Iterator
from datetime import date, timedelta
from functools import partial
from typing import TypeVar

from synclint.checker import Choice, check_text
from synclint.documents.reading import load_text
from synclint.rig.build import build
from synclint.rules.catalogue import RULES
from synclint.rules.framework import Case, Rule

T = TypeVar("T")

HEAD = """\
synclint: setup/1
title: {days} days
project:
  rate: 25
  sample_rate: 48 kHz
  timecode: {{as: time of day, zone: Europe/Lisbon}}
  tolerance: 1 frame
  master: {{timecode: bag, clock: none}}

devices:
  bag:
    able: {{class: field recorder, ports: {{tc_out: {{out: [LTC]}}}}, clock: {{accuracy: 0.2 ppm}},
      timecode: {{keeps_time_off: 2 h}}}}
    timecode: {{from: own clock, mode: free run, rate: 25}}
    records: {{sound: {{sample_rate: 48 kHz}}, timecode_on: [file]}}
  box_1..box_{boxes}:
    able: {{class: compensated generator, ports: {{jack: {{in: [LTC], out: [LTC]}}}}, clock: {{accuracy: 0.2 ppm}},
      timecode: {{jam_error: 0.1 ms, loses_time_on: [power off]}}}}
    timecode: {{from: jack, mode: jam, rate: 25}}
  cam_1..cam_{boxes}:
    able: {{class: cinema camera, ports: {{tc_in: {{in: [LTC]}}}}, timecode: {{keeps_time_off: 1 h}}}}
    timecode: {{from: tc_in, mode: continuous, rate: 25}}
    records: {{picture: {{shot_at: 25, played_at: 25}}, timecode_on: [file]}}

links:
  - {{from: bag.tc_out, to: box_1..box_{boxes}.jack, carries: LTC, connected: to jam}}
  - {{from: box_1..box_{boxes}.jack, to: cam_1..cam_{boxes}.tc_in, carries: LTC, connected: all day}}

days:
"""

# Twenty events; more of a day come round again a minute later. `n` is another box and camera each time.
EVENTS = (
    "at: 07:0{m}, do: jam, of: all",
    "at: 07:1{m}, do: compare, of: [box_{n}], against: bag, read_by: display",
    "at: 08:0{m}, do: roll, of: [bag, cam_1..cam_{half}], until: 08:20",
    "at: 08:3{m}, do: power off, of: [cam_{n}], until: 08:45",
    "at: 09:0{m}, do: roll, of: [bag, cam_{n}], until: 09:20",
    "at: 09:3{m}, do: set, of: [cam_{n}], to: {{records: {{picture: {{shot_at: 50}}}}}}",
    "at: 09:4{m}, do: roll, of: [cam_{n}], until: 09:50, sync_sound: false",
    "at: 09:5{m}, do: set, of: [cam_{n}], to: {{records: {{picture: {{shot_at: 25}}}}}}",
    "at: 10:0{m}, do: roll, of: [bag, cam_1..cam_{half}], until: 10:20",
    "at: 10:3{m}, do: leave, of: [cam_{n}], until: 11:30",
    "at: 11:0{m}, do: roll, of: [bag, cam_{other}], until: 11:20",
    "at: 12:3{m}, do: break, until: 13:20",
    "at: 12:4{m}, do: jam, of: all",
    "at: 13:1{m}, do: compare, of: [cam_{n}], against: bag, read_by: recorded clip",
    "at: 14:0{m}, do: roll, of: [bag, cam_1..cam_{half}], until: 14:20",
    "at: 14:3{m}, do: power off, of: [box_{n}], until: 14:40",
    "at: 14:5{m}, do: jam, of: [box_{n}]",
    "at: 15:0{m}, do: link lost, of: [cam_{other}], until: 15:20",
    "at: 16:0{m}, do: roll, of: [bag, cam_{n}], until: 16:20",
    "at: 17:0{m}, do: roll, of: [bag, cam_1..cam_{half}], until: 17:20",
)


def days_text(days: int, devices: int, events: int) -> str:
    """A setup of so many days."""
    boxes = max(3, (devices - 1) // 2)
    return HEAD.format(days=days, boxes=boxes) + "".join(_days(days, boxes, events))


def _days(days: int, boxes: int, events: int) -> Iterator[str]:
    for index in range(days):
        yield (
            f"  - date: {date(2026, 1, 5) + timedelta(days=index)}\n"
            "    call: 06:30\n    wrap: 18:30\n    longest_take: 20 min\n    events:\n"
        )
        for number in range(events):
            round_again, which = divmod(number, len(EVENTS))
            n = (index + round_again) % boxes + 1
            said = EVENTS[which].format(m=round_again % 10, n=n, other=n % boxes + 1, half=boxes // 2)
            yield f"      - {{{said}}}\n"


def timed(make: Callable[[], T]) -> tuple[float, T]:
    """Seconds that something takes, and what comes of it."""
    start = time.perf_counter()
    made = make()
    return time.perf_counter() - start, made


def measure(days: int, devices: int, events: int, slowest: int) -> str:
    """One row of the table, and beneath it the rules that take longest."""
    text = days_text(days, devices, events)
    loading, loaded = timed(lambda: load_text(text, "days.setup.yaml"))
    document = loaded.document
    if document is None:
        sys.exit(f"the setup of {days} days cannot be read")
    building, built = timed(lambda: build(document, ()))
    case = Case(built.setup)
    running, run = timed(lambda: case.run)
    rules = sorted(((*timed(partial(yielded_by, rule, case)), rule.name) for rule in RULES), reverse=True)
    whole, report = timed(lambda: check_text(text, "days.setup.yaml", Choice()))
    if report.crashes:
        sys.exit(report.crashes[0].trace)
    states = sum(map(len, run.histories.values()))
    parts = (loading, building, running, sum(seconds for seconds, _, _ in rules), whole)
    row = f"{days:>6} {len(run.steps):>7} {states:>8} " + " ".join(f"{part * 1000 / days:>9.2f}" for part in parts)
    told = [
        f"         {name}: {seconds * 1000 / days:.2f} ms a day, {yielded} told"
        for seconds, yielded, name in rules[:slowest]
    ]
    return "\n".join([f"{row} {whole:>9.2f}", *told])


def yielded_by(rule: Rule, case: Case) -> int:
    """How much a rule has to say."""
    return len(list(rule(case)))


def main() -> None:
    """Print the table."""
    parser = argparse.ArgumentParser(description="Time the running of days.")
    parser.add_argument("--days", type=int, nargs="+", default=[7, 30, 365])
    parser.add_argument("--devices", type=int, default=60)
    parser.add_argument("--events", type=int, default=20, help="a day")
    parser.add_argument("--slowest", type=int, default=0, metavar="N", help="name the N rules that take longest")
    options = parser.parse_args()
    rig = f"{options.devices} devices, {options.events} events a day"
    print(f"Python {sys.version.split()[0]}, {os.cpu_count()} cores; {rig}")
    print("                        ----------- milliseconds a day -------------------    in all")
    print("  days   steps   states   loading  building   running     rules     check         s")
    for days in options.days:
        print(measure(days, options.devices, options.events, options.slowest), flush=True)


if __name__ == "__main__":
    main()
