"""How long a check takes as rigs grow, beside a general YAML linter on the same file in the same run.

    python tests/bench/scale.py [--sizes 10 100 1000 10000] [--runs 3]

The rig is a recorder as master, boxes jammed from it, and a camera on each box, all written out without ranges. Both
programs run as processes of their own, in turn, so that a busy moment hits both. Needs the extra `bench`.
"""

import argparse
import importlib.util
import os
import subprocess
import sys
import tempfile
import time
from pathlib import Path
from statistics import median

KIT = """\
synclint: kit/1
title: Kinds of the benchmark
types:
  bag_recorder:
    class: field recorder
    ports: {tc_out: {out: [LTC]}}
    timecode: {rates: [25], modes: [free run]}
    records: {sound: {sample_rates: [48 kHz], coding: PCM}}
  timecode_box:
    class: compensated generator
    ports: {jack: {in: [LTC], out: [LTC]}}
    timecode: {rates: [25], modes: [jam]}
    clock: {accuracy: 0.2 ppm}
  cinema_camera:
    class: cinema camera
    ports: {tc_in: {in: [LTC]}}
    timecode: {rates: [25], modes: [continuous]}
"""

HEAD = """\
synclint: setup/1
title: A rig of {size} devices
kits: [bench.kit.yaml]

project:
  rate: 25
  sample_rate: 48 kHz
  timecode: {{as: time of day, zone: Europe/Lisbon}}
  tolerance: 1 frame
  master: {{timecode: bag, clock: none}}

days:
  - date: 2026-06-14
    zone: Europe/Lisbon
    call: 06:30
    wrap: 18:30
    longest_take: 20 min
    events:
      - {{at: 07:00, do: jam, of: all}}

devices:
  bag:
    type: bag_recorder
    timecode: {{from: own clock, mode: free run, rate: 25}}
    clock: {{from: own clock}}
    records: {{sound: {{sample_rate: 48 kHz}}, timecode_on: [file]}}
"""

BOX = """\
  box_{n}:
    type: timecode_box
    timecode: {{from: jack, mode: jam, rate: 25}}
"""

CAMERA = """\
  cam_{n}:
    type: cinema_camera
    timecode: {{from: tc_in, mode: continuous, rate: 25}}
    records: {{picture: {{shot_at: 25, played_at: 25}}, timecode_on: [file]}}
"""

JAM = "  - {{from: bag.tc_out, to: box_{n}.jack, carries: LTC, connected: to jam}}\n"
RIDE = "  - {{from: box_{n}.jack, to: cam_{n}.tc_in, carries: LTC, connected: all day}}\n"

# long lines would only make it write warnings, which is not the work to be compared
GENERAL = ("-m", "yamllint", "-d", "{extends: relaxed, rules: {line-length: disable}}")


def setup_text(size: int) -> str:
    """A setup of exactly `size` devices: the master, as many boxes as cameras, and one box more where that is odd."""
    boxes = range(1, size // 2 + 1)
    cameras = range(1, (size - 1) // 2 + 1)
    return "".join(
        [
            HEAD.format(size=size),
            *(BOX.format(n=n) for n in boxes),
            *(CAMERA.format(n=n) for n in cameras),
            "\nlinks:\n",
            *(JAM.format(n=n) for n in boxes),
            *(RIDE.format(n=n) for n in cameras),
        ]
    )


def timed(*arguments: str) -> tuple[float, int]:
    """Seconds of wall time and the exit status of a run of this Python with these arguments."""
    start = time.perf_counter()
    done = subprocess.run([sys.executable, *arguments], stdout=subprocess.DEVNULL, stderr=subprocess.PIPE, check=False)
    seconds = time.perf_counter() - start
    if done.returncode not in (0, 1):
        sys.stderr.buffer.write(done.stderr)
        sys.exit(f"{' '.join(arguments)} ended with status {done.returncode}")
    return seconds, done.returncode


def measure(folder: Path, size: int, runs: int) -> str:
    """One row of the table."""
    setup = folder / f"rig_{size}.setup.yaml"
    setup.write_text(setup_text(size), encoding="utf-8")
    ours, theirs = [], []
    status = 0
    for _ in range(runs):
        seconds, status = timed("-m", "synclint", "check", "--color", "never", str(setup))
        ours.append(seconds)
        theirs.append(timed(*GENERAL, str(setup))[0])
    ratio = median(a / b for a, b in zip(ours, theirs, strict=True))
    kilobytes = setup.stat().st_size / 1000
    return (
        f"{size:>8} {kilobytes:>9.1f} {median(ours) * 1000:>12.0f} {median(ours) * 1e6 / size:>14.0f} "
        f"{median(theirs) * 1000:>12.0f} {ratio:>7.2f} {status:>7}"
    )


def main() -> None:
    """Print the table."""
    parser = argparse.ArgumentParser(description="Time synclint on rigs of growing size beside yamllint.")
    parser.add_argument("--sizes", type=int, nargs="+", default=[10, 100, 1000, 10_000], metavar="DEVICES")
    parser.add_argument("--runs", type=int, default=3, help="runs of each program, of which medians are taken")
    parser.add_argument("--keep", type=Path, metavar="FOLDER", help="write the setups there and keep them")
    options = parser.parse_args()
    if options.runs < 1 or min(options.sizes) < 3:  # the smallest rig: a master, a box and its camera
        parser.error("at least one run, and rigs of at least 3 devices")
    if importlib.util.find_spec("yamllint") is None:
        sys.exit("yamllint is missing: pip install -e '.[bench]'")
    print(f"Python {sys.version.split()[0]}, {os.cpu_count()} cores, medians of {options.runs} runs in turn")
    print(" devices     kB    synclint ms   us per device  yamllint ms   ratio  status")
    with tempfile.TemporaryDirectory() as temporary:
        folder = options.keep or Path(temporary)
        folder.mkdir(parents=True, exist_ok=True)
        (folder / "bench.kit.yaml").write_text(KIT, encoding="utf-8")
        for size in options.sizes:
            print(measure(folder, size, options.runs), flush=True)


if __name__ == "__main__":
    main()
