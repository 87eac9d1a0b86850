"""How the work of the drift forecast grows with the rig: the widest pair, the worst of the days, and the plan of jams.

    python tests/bench/drift.py [--sizes 1000 10000] [--runs 3]

The rig is a recorder as master with boxes jammed from it, each with its own accuracy; no take is told, so all of them
must agree with one another through the day.
"""

from __future__ import annotations

import argparse
import sys
import time
from collections.abc import Callable
from fractions import Fraction
from pathlib import Path
from statistics import median

sys.path.insert(0, str(Path(__file__).parents[2]))

from synclint.day.forecast import Forecast
from synclint.day.jams import Planner
from synclint.day.phases import Phases
from synclint.day.run import run_days
from synclint.documents.collector import collector_paused
from synclint.documents.reading import load_text
from synclint.rig.build import build
from synclint.rules.framework import Case

HEAD = """\
synclint: setup/1
title: Boxes jammed from one master
project: {rate: 25, tolerance: 1/2 frame, master: {timecode: m}}
days:
  - date: 2026-06-14
    call: 07:00
    wrap: 19:00
    events: [{at: 07:00, do: jam, of: all}, {at: 13:00, do: break, until: 14:00}]
devices:
  m:
    able: {class: bag recorder, ports: {out: {out: [LTC]}}, clock: {accuracy: 0.2 ppm}}
    timecode: {from: own clock, mode: free run, rate: 25}
    records: {sound: {sample_rate: 48 kHz}}
"""
BOX = (
    "  b{n}: {{able: {{ports: {{tc: {{in: [LTC]}}}}, clock: {{accuracy: 0.{ppm:03} ppm}}}}, "
    "timecode: {{from: tc, mode: jam, rate: 25}}, records: {{sound: {{sample_rate: 48 kHz}}}}}}\n"
)
TOLERANCE = Fraction(1, 50)


def case_of(size: int) -> Case:
    """A master and as many boxes as make `size` devices."""
    boxes = range(1, size)
    rig = HEAD + "".join(BOX.format(n=n, ppm=200 + n * 7919 % 300) for n in boxes)
    rig += (
        "links:\n  - {from: m.out, to: ["
        + ", ".join(f"b{n}.tc" for n in boxes)
        + "], carries: LTC, connected: to jam}\n"
    )
    document = load_text(rig, "bench.setup.yaml").document
    if document is None:
        sys.exit("the rig cannot be read")
    return Case(build(document, ()).setup)


def seconds(work: Callable[[], object]) -> float:
    """How much processor time some work takes, so that whatever else runs is of no account."""
    with collector_paused():  # as the program has it
        start = time.process_time()
        work()
        return time.process_time() - start


def measure(size: int) -> tuple[float, ...]:
    """Seconds for the widest pair at one moment, the worst of the days, and the plan of jams."""
    case = case_of(size)
    forecast = Forecast(run_days(case.setup, case.timecode), Phases(case.run, case.clock))
    at = forecast.run.end
    keys = forecast.labelled
    return (
        seconds(lambda: Forecast(forecast.run, Phases(forecast.run, case.clock)).widest(keys, at)),
        seconds(lambda: Forecast(forecast.run, Phases(forecast.run, case.clock)).worst_of_all),
        seconds(lambda: Planner(case.setup, case.timecode, case.clock, TOLERANCE).plan),
    )


def main() -> None:
    """Print the table."""
    parser = argparse.ArgumentParser(description="Time the drift forecast on rigs of growing size.")
    parser.add_argument("--sizes", type=int, nargs="+", default=[1000, 10_000], metavar="DEVICES")
    parser.add_argument("--runs", type=int, default=3, help="runs, of which medians are taken")
    options = parser.parse_args()
    if options.runs < 1 or min(options.sizes) < 2:
        parser.error("at least one run, and rigs of at least 2 devices")
    print(
        f"Python {sys.version.split()[0]}, medians of {options.runs} runs; seconds, and times those of the size before"
    )
    print(" devices   widest pair         worst of the days   plan of jams")
    before: tuple[float, ...] | None = None
    for size in options.sizes:
        runs = [measure(size) for _ in range(options.runs)]
        figures = tuple(median(column) for column in zip(*runs, strict=True))
        grown = [f"x{now / then:5.2f}" for now, then in zip(figures, before, strict=True)] if before else [""] * 3
        print(
            f"{size:>8} " + " ".join(f"{each:>11.3f} {times:>7}" for each, times in zip(figures, grown, strict=True)),
            flush=True,
        )
        before = figures


if __name__ == "__main__":
    main()
